"""Suppliers taken from their files and shown, prices of theirs that look like slips confirmed, exchange rates taken."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.buying import RatesTaken, SupplierStands
from bom.answers.catalogue import FileChecked
from bom.buying.doubtful_prices import kept_out, price_at, shown
from bom.buying.offer import Feed, Offer, Rates, Supplier
from bom.intake.supplier_file import read_dated_rates, take_supplier
from bom.shop.prices import offers_in_doubt
from bom.shop.settings import change_setting, settle
from bom.shop.shop import Shop
from bom.store.offers import confirm_prices, feed_of, list_state, quotes_until, rates, take_rates
from bom.store.offers import forget_supplier as forget
from bom.store.offers import supplier as kept_supplier
from bom.store.offers import take_supplier as keep_supplier
from bom.store.shelf import lots_sent_by
from bom.values.difference import Change, Difference, Replacing, changes_between, some
from bom.values.part_number import normal
from bom.values.problem import ProblemsFound, Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def add_supplier(session: Session, file: Path, replacing: Replacing | None = None) -> list[str]:
    """Take a supplier's file; what to tell the user. Raises ProblemsFound, and WouldReplace where the supplier is kept
    with something else and may not be replaced."""
    shop = Shop(session)
    (supplier, feed), notes = take_supplier(file)
    kept, kept_feed = kept_supplier(shop.session, supplier.name), feed_of(shop.session, supplier.name)
    if kept is not None:
        changes = (*changes_between(kept, supplier), *changes_between(_by_name(kept_feed), _by_name(feed), "feed"))
        concerns = resting_on(shop, supplier.name)
        (replacing or Replacing()).settle([Difference(f"supplier {supplier.name}", changes, concerns)])
    keep_supplier(shop.session, supplier, feed)
    listed = "a price list that refresh reads" if feed else "no price list"
    told = [f"note: {note}" for note in (*notes, *no_rate(shop, supplier))]
    same = ", unchanged" if (kept, kept_feed) == (supplier, feed) else ""
    settled = settle(shop.session, currency=supplier.currency)
    return [f"supplier {supplier.name}, {supplier.currency}, {listed}{same}", *told, *settled]


def check_supplier_file(session: Session | None, file: Path) -> FileChecked:
    """A supplier's file read as taking it would read it; nothing is taken, and no price list read."""
    try:
        (supplier, feed), notes = take_supplier(file)
    except ProblemsFound as found:
        return FileChecked(str(file), "supplier", None, found.problems, (), ())
    missing = feed is not None and bool(feed.file) and not Path(feed.file).is_file()
    listed = [f"its price list {Path(feed.file).name} is not there yet"] if feed and missing else []
    rate = no_rate(Shop(session), supplier) if session is not None else []
    return FileChecked(str(file), "supplier", supplier.name, (), (), (*notes, *listed, *rate))


def forget_supplier(session: Session, name: str) -> str:
    """Take a supplier out again, its name as its file spells it; its price list goes with it. Refused while an order or
    a quote rests on it."""
    shop = Shop(session)
    known = [s.name for s in shop.suppliers]
    found = next((n for n in known if n.casefold() == name.strip().casefold()), None)
    if found is None:
        raise Refused(no_supplier(name, known))
    orders = dict.fromkeys(o.number for o in shop.on_order if o.supplier == found)
    quotes = [day for day in quotes_until(shop.session, found) if day >= date.today()]
    if resting := [said for said in (some([*orders], "order"), _quotes_words(found, len(quotes))) if said]:
        raise Refused(f"{found} stays: {'; '.join(resting)}")
    forget(shop.session, found)
    return found


def _quotes_words(supplier: str, count: int) -> str:
    return f"{count} quote{'' if count == 1 else 's'} (bom quote forget {supplier!r} takes them out)" if count else ""


def _by_name(feed: Feed | None) -> Feed | None:
    """A list of the same name in another folder is the same list."""
    return feed and replace(feed, file=Path(feed.file).name)


def resting_on(shop: Shop, supplier: str) -> tuple[str, ...]:
    """Who uses the supplier: its offers and quotes, orders still to come, lots that it sent."""
    listed, state = quotes_until(shop.session, supplier), list_state(shop.session, supplier)
    offers = state.offers if state else 0
    orders = dict.fromkeys(o.number for o in shop.on_order if o.supplier == supplier)
    sent = lots_sent_by(shop.session, supplier)
    said = [
        f"{offers} offers of its price list" if offers else "",
        f"{len(listed)} quote{'' if len(listed) == 1 else 's'}" if listed else "",
        some([*orders], "order"),
        some(sent, "lot"),
    ]
    return tuple(filter(None, said))


def no_rate(shop: Shop, supplier: Supplier) -> list[str]:
    base = shop.currency
    if shop.rates_to(base).to_base(supplier.currency):
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
    shop = Shop(session)
    known = [s for s in shop.suppliers if not name or s.name.casefold() == name.casefold()]
    if not known:
        raise Refused(no_supplier(name, [s.name for s in shop.suppliers]))
    rates = shop.rates_to(shop.currency)
    return [_shown(shop, supplier, rates) for supplier in known]


def _shown(shop: Shop, supplier: Supplier, rates: Rates) -> SupplierStands:
    now, state, days = (
        datetime.now(UTC),
        list_state(shop.session, supplier.name),
        quotes_until(shop.session, supplier.name),
    )
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
        in_doubt=tuple(f"{o.part_number} at {kept_out(o)}" for o in in_doubt(shop, supplier.name)),
        quotes=sum(day >= date.today() for day in days),
        quotes_expired=sum(day < date.today() for day in days),
    )


def in_doubt(shop: Shop, supplier: str) -> list[Offer]:
    """The supplier's offers and quotes that no plan takes until somebody confirms their price."""
    return [o for o in shop.kept("offers in doubt", lambda: offers_in_doubt(shop)) if o.supplier == supplier]


def confirm(session: Session, name: str, parts: Sequence[str]) -> list[str]:
    """Take the prices of these parts for true; what to tell the user. Refused: a part with no price in doubt there."""
    shop = Shop(session)
    names = [s.name for s in shop.suppliers]
    supplier = next((n for n in names if n.casefold() == name.strip().casefold()), None)
    if supplier is None:
        raise Refused(no_supplier(name, names))
    found, wanted = in_doubt(shop, supplier), {normal(part) for part in parts}
    if strange := [part for part in parts if normal(part) not in {normal(o.part_number) for o in found}]:
        there = ", ".join(dict.fromkeys(o.part_number for o in found)) or "none"
        raise Refused(f"{supplier} has no price in doubt for {', '.join(strange)}; in doubt: {there}")
    taken = [o for o in found if normal(o.part_number) in wanted]
    confirm_prices(shop.session, taken, date.today())
    return [f"{supplier}: {o.part_number} at {shown(price_at(o, o.fewest))} is taken for true" for o in taken]


def take_rates_file(session: Session, file: Path, base: str = "", replacing: Replacing | None = None) -> RatesTaken:
    """Take dated exchange rates. ``base`` makes that currency the shop's; a shop that has none yet takes the file's.

    Raises ProblemsFound, and WouldReplace where a day's rates or the shop's currency were others and may not be
    replaced.
    """
    shop = Shop(session)
    taken = read_dated_rates(file)
    chosen = _base_of(taken, base.strip().upper())
    (replacing or Replacing()).settle([*_other_days(shop, taken), *_other_currency(shop, chosen if base else "")])
    for day in taken:
        take_rates(shop.session, day)
    if base:
        change_setting(shop.session, "currency", chosen)
    settle(shop.session, currency=chosen)
    newest = [day for day in taken if day.base == chosen][-1]
    return RatesTaken(
        base_currency=chosen,
        counts_in=shop.currency,
        date=newest.day,
        rates=dict(newest.worth),
        source=newest.source,
        days_taken=len(taken),
    )


def _other_days(shop: Shop, taken: tuple[Rates, ...]) -> Iterator[Difference]:
    """Days whose rates were taken before and were not these."""
    for day in taken:
        kept = rates(shop.session, day.base, day.day)
        if kept is None or kept.day != day.day:
            continue
        changes = tuple(changes_between(dict(kept.worth), dict(day.worth)))
        codes = {change.where for change in changes}
        concerned = [s.name for s in shop.suppliers if s.currency in codes]
        yield Difference(
            f"rates to {day.base} of {day.day}", changes, tuple(filter(None, [some(concerned, "supplier")]))
        )


def _other_currency(shop: Shop, chosen: str) -> Iterator[Difference]:
    if (kept := shop.settings.currency) and chosen not in ("", kept):
        yield Difference("the shop's currency", (Change("", kept, chosen),), ("every cost, price and plan",))


def _base_of(taken: tuple[Rates, ...], wanted: str) -> str:
    bases = sorted({day.base for day in taken})
    if wanted and wanted not in bases:
        raise Refused(f"expected --base to be one of {', '.join(bases)}, as in the file, found {wanted}")
    if not wanted and len(bases) > 1:
        raise Refused(f"the file has rates to {' and '.join(bases)}; say which one the shop works in with --base")
    return wanted or bases[0]
