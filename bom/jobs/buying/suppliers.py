"""Suppliers taken from their files and shown, with the prices of theirs that look like slips and are confirmed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.buying import SupplierStands
from bom.buying.doubtful_prices import kept_out, price_at, shown
from bom.buying.offer import Feed, Offer, Rates, Supplier
from bom.shop.prices import known_offers, rates_to
from bom.shop.settings import settings_of, settle
from bom.values.difference import Difference, Replacing, changes_between, some
from bom.values.part_number import normal
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def add_supplier(session: Session, file: Path, replacing: Replacing | None = None) -> list[str]:
    """Take a supplier's file; what to tell the user. Raises ProblemsFound, and WouldReplace where the supplier is kept
    with something else and may not be replaced."""
    from bom.intake.supplier_file import take_supplier
    from bom.store.offers import feed_of
    from bom.store.offers import supplier as kept_supplier
    from bom.store.offers import take_supplier as keep_supplier

    (supplier, feed), notes = take_supplier(file)
    kept, kept_feed = kept_supplier(session, supplier.name), feed_of(session, supplier.name)
    if kept is not None:
        changes = (*changes_between(kept, supplier), *changes_between(_by_name(kept_feed), _by_name(feed), "feed"))
        concerns = resting_on(session, supplier.name)
        (replacing or Replacing()).settle([Difference(f"supplier {supplier.name}", changes, concerns)])
    keep_supplier(session, supplier, feed)
    listed = "a price list that refresh reads" if feed else "no price list"
    told = [f"note: {note}" for note in (*notes, *no_rate(session, supplier))]
    same = ", unchanged" if (kept, kept_feed) == (supplier, feed) else ""
    settled = settle(session, currency=supplier.currency)
    return [f"supplier {supplier.name}, {supplier.currency}, {listed}{same}", *told, *settled]


def forget_supplier(session: Session, name: str) -> str:
    """Take a supplier out again, its name as its file spells it; its price list goes with it. Refused while an order or
    a quote rests on it."""
    from bom.store.offers import forget_supplier as forget
    from bom.store.offers import quotes_until, suppliers
    from bom.store.on_order import on_order

    known = [s.name for s in suppliers(session)]
    found = next((n for n in known if n.casefold() == name.strip().casefold()), None)
    if found is None:
        raise Refused(no_supplier(name, known))
    orders = dict.fromkeys(o.number for o in on_order(session) if o.supplier == found)
    quotes = [day for day in quotes_until(session, found) if day >= date.today()]
    if resting := [said for said in (some([*orders], "order"), _quotes_words(found, len(quotes))) if said]:
        raise Refused(f"{found} stays: {'; '.join(resting)}")
    forget(session, found)
    return found


def _quotes_words(supplier: str, count: int) -> str:
    return f"{count} quote{'' if count == 1 else 's'} (bom quote forget {supplier!r} takes them out)" if count else ""


def _by_name(feed: Feed | None) -> Feed | None:
    """A list of the same name in another folder is the same list."""
    return feed and replace(feed, file=Path(feed.file).name)


def resting_on(session: Session, supplier: str) -> tuple[str, ...]:
    """Who uses the supplier: its offers and quotes, orders still to come, lots that it sent."""
    from bom.store.offers import list_state, quotes_until
    from bom.store.on_order import on_order
    from bom.store.shelf import lots

    listed, state = quotes_until(session, supplier), list_state(session, supplier)
    offers = state.offers if state else 0
    orders = dict.fromkeys(o.number for o in on_order(session) if o.supplier == supplier)
    sent = [lot.number for lot in lots(session) if lot.supplier.casefold() == supplier.casefold()]
    said = [
        f"{offers} offers of its price list" if offers else "",
        f"{len(listed)} quote{'' if len(listed) == 1 else 's'}" if listed else "",
        some([*orders], "order"),
        some(sent, "lot"),
    ]
    return tuple(filter(None, said))


def no_rate(session: Session, supplier: Supplier) -> list[str]:

    base = settings_of(session).counts_in
    if rates_to(session, base).to_base(supplier.currency):
        return []
    said = f"there is no rate from {supplier.currency} to {base}, so {supplier.name}'s offers are shown and not ranked"
    return [f"{said} (bom supplier rates FILE)"]


def no_supplier(name: str, known: Iterable[str]) -> str:
    """Why there is none of this name: the one it is likest to, else those there are."""
    by_key = {k.casefold(): k for k in known}
    if not by_key:
        return "no supplier yet: bom supplier add FILE"
    near = [by_key[key] for key in get_close_matches(name.strip().casefold(), by_key, 2, 0.7)]
    return f"no supplier {name}; " + (f"did you mean {' or '.join(near)}?" if near else f"there are {_listed(by_key)}")


def _listed(by_key: dict[str, str]) -> str:
    return ", ".join(by_key[key] for key in sorted(by_key))


def age(now: datetime, then: datetime) -> str:
    """In the unit a person would say: 5 minutes, 3 hours, 12 days."""
    minutes = max(0, int((now - then).total_seconds() // 60))
    for size, unit in ((2 * 24 * 60, "day"), (60, "hour"), (1, "minute")):
        if minutes >= size:
            count = minutes // (24 * 60 if unit == "day" else size)
            return f"{count} {unit}" + ("" if count == 1 else "s")
    return "less than a minute"


def show_suppliers(session: Session, name: str = "") -> list[SupplierStands]:
    """Each supplier, or the one named: how its price list stands and how old it is, and its quotes."""
    from bom.store.offers import suppliers

    known = [s for s in suppliers(session) if not name or s.name.casefold() == name.casefold()]
    if not known:
        raise Refused(no_supplier(name, [s.name for s in suppliers(session)]))
    rates = rates_to(session, settings_of(session).counts_in)
    return [_shown(session, supplier, rates) for supplier in known]


def _shown(session: Session, supplier: Supplier, rates: Rates) -> SupplierStands:
    from bom.store.offers import list_state, quotes_until

    now, state, days = datetime.now(UTC), list_state(session, supplier.name), quotes_until(session, supplier.name)
    seen, failed = (state.seen, state.failed) if state else (None, None)
    return SupplierStands(
        supplier=supplier.name,
        currency=supplier.currency,
        rate=rates.to_base(supplier.currency),
        rate_to=rates.base,
        list=state.file if state else "",
        offers=state.offers if state else 0,
        as_of=seen,
        age=age(now, seen) if seen else "",
        failed=failed,
        why_failed=state.why if state and failed else "",
        in_doubt=tuple(f"{o.part_number} at {kept_out(o)}" for o in in_doubt(session, supplier.name)),
        quotes=sum(day >= date.today() for day in days),
        quotes_expired=sum(day < date.today() for day in days),
    )


def in_doubt(session: Session, supplier: str) -> list[Offer]:
    """The supplier's offers and quotes that no plan takes until somebody confirms their price."""
    return [o for o in known_offers(session) if o.doubt and o.supplier == supplier]


def confirm(session: Session, name: str, parts: Sequence[str]) -> list[str]:
    """Take the prices of these parts for true; what to tell the user. Refused: a part with no price in doubt there."""
    from bom.store.offers import confirm_prices, suppliers

    names = [s.name for s in suppliers(session)]
    supplier = next((n for n in names if n.casefold() == name.strip().casefold()), None)
    if supplier is None:
        raise Refused(no_supplier(name, names))
    found, wanted = in_doubt(session, supplier), {normal(part) for part in parts}
    if strange := [part for part in parts if normal(part) not in {normal(o.part_number) for o in found}]:
        there = ", ".join(dict.fromkeys(o.part_number for o in found)) or "none"
        raise Refused(f"{supplier} has no price in doubt for {', '.join(strange)}; in doubt: {there}")
    taken = [o for o in found if normal(o.part_number) in wanted]
    confirm_prices(session, taken, date.today())
    return [f"{supplier}: {o.part_number} at {shown(price_at(o, o.fewest))} is taken for true" for o in taken]
