"""Suppliers and what they offer: price lists, each taken whole in place of the earlier one, and quotes; dated rates.

A quote outlives the lists that come after it. A price list is taken offer by offer as it is read, so that a long one
never lies in memory as a whole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date, datetime
from decimal import Decimal
from itertools import chain, islice
from operator import attrgetter
from typing import TYPE_CHECKING, Any, NamedTuple

from sqlalchemy import ColumnElement, Connection, delete, func, insert, select, update

from bom.buying.offer import Break, Feed, Offer, Rates, Supplier
from bom.store import tables as t
from bom.store.catalogue import Changes
from bom.store.documents import all_filed, decode, encode, file_away, filed, forget
from bom.store.part_names import part_names
from bom.store.rows import moment_of, moment_text
from bom.values.money import Money
from bom.values.part_number import normal, same
from bom.values.problem import Refused

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


def take_supplier(session: Session, supplier: Supplier, feed: Feed | None = None, digest: str = "") -> Changes:
    """Keep the supplier, and how to read its price list, under its name."""
    return file_away(session, t.suppliers, supplier, digest, feed=None if feed is None else encode(feed))


def forget_supplier(session: Session, name: str) -> None:
    """Take the supplier of this name out again, with its price list and its quotes."""
    forget(session, t.suppliers, name)


def supplier(session: Session, name: str) -> Supplier | None:
    """The supplier of this name, or None."""
    return filed(session, t.suppliers, Supplier, name)


def suppliers(session: Session) -> tuple[Supplier, ...]:
    """Every supplier, by name."""
    return all_filed(session, t.suppliers, Supplier)


def feed_of(session: Session, supplier: str) -> Feed | None:
    """How to read the supplier's price list; None where it has none."""
    found = session.scalar(select(t.suppliers.c.feed).where(t.suppliers.c.name == supplier))
    return None if found is None else decode(Feed, found)


_AT_ONCE = 2000  # offers that are written together: enough to be quick, few enough to stay small
_TERMS = ("maker", "supplier_code", "stock", "moq", "multiple", "lead_days", "incremental")
_KEPT = ("supplier", "part_number", *_TERMS, "line")
_COLUMNS = tuple(c.name for c in t.offers.c)
_terms = attrgetter(*_TERMS)


class ListState(NamedTuple):
    """A supplier's price list as last taken: what it is called, when, how many offers; when and why it last failed."""

    file: str
    seen: datetime | None
    offers: int
    failed: datetime | None = None
    why: str = ""
    digest: str = ""


def take_offers(
    session: Session, supplier: str, offers: Iterable[Offer], when: datetime, file: str = "", digest: str = ""
) -> int:
    """Replace the supplier's list by these offers, seen at ``when`` unless they say; how many were taken.

    ``digest`` stands for the list's bytes and how they were read, so that the same list need not be read again.
    """
    _must_be_known(session, supplier)
    session.execute(delete(t.offers).where(t.offers.c.supplier == supplier, t.offers.c.valid_until.is_(None)))
    count = _add(session, _of_list(supplier, offers), ListState(file, when, 0))
    _enter(session, supplier, file=file, seen=moment_text(when), offers=count, failed=None, why="", digest=digest)
    return count


def list_unchanged(session: Session, supplier: str, when: datetime) -> None:
    """Remember that the list was the same again at this moment; so its offers were seen then."""
    _enter(session, supplier, seen=moment_text(when), failed=None, why="")


def list_failed(session: Session, supplier: str, when: datetime, why: str) -> None:
    """Remember that the list could not be taken; its last good offers stay."""
    _enter(session, supplier, failed=moment_text(when), why=why)


def take_quotes(session: Session, supplier: str, quotes: Iterable[Offer], when: datetime) -> int:
    """Add quotes; one for the same part from the same supplier takes the earlier one's place. How many were taken."""
    _must_be_known(session, supplier)
    taken = tuple(_of(supplier, quotes))
    if not all(q.valid_until for q in taken):
        raise Refused("expected every quote to say until when it is valid")
    c, names = t.offers.c, part_names(session)
    quoted = {normal(q.part_number): set[str]() for q in taken}
    for quote in taken:
        quoted[normal(quote.part_number)].add(names.name(quote.part_number, quote.maker))
    earlier = (c.supplier == supplier) & c.normal_number.in_(quoted) & c.valid_until.is_not(None)
    rows = session.execute(select(c.id, c.normal_number, c.part_number, c.maker).where(earlier)).all()
    gone = [r.id for r in rows if not names.makers(r.part_number) or names.name(r[2], r.maker) in quoted[r[1]]]
    session.execute(delete(t.offers).where(c.id.in_(gone)))
    return _add(session, iter(taken), ListState("", None, 0), when)


def forget_quotes(session: Session, supplier: str, names: Iterable[str] | None = None) -> list[str]:
    """Take out the supplier's quotes, all or those for parts of these names; the names of the parts they were for."""
    c, wanted = t.offers.c, None if names is None else set(names)
    rows = session.execute(
        select(c.id, c.part_number, c.maker).where(c.supplier == supplier, c.valid_until.is_not(None))
    )
    found = [(row.id, part_names(session).name(row.part_number, row.maker)) for row in rows]
    gone = [(number, name) for number, name in found if wanted is None or any(same(name, one) for one in wanted)]
    session.execute(delete(t.offers).where(c.id.in_([number for number, _ in gone])))
    return list(dict.fromkeys(name for _, name in gone))


def _must_be_known(session: Session, supplier: str) -> None:
    if session.scalar(select(t.suppliers.c.name).where(t.suppliers.c.name == supplier)) is None:
        raise Refused(f"there is no supplier {supplier!r}; add it first")


def _of(supplier: str, offers: Iterable[Offer]) -> Iterator[Offer]:
    for offer in offers:
        if offer.supplier != supplier:
            raise Refused(f"expected offers of {supplier}, found one of {offer.supplier}")
        yield offer


def _of_list(supplier: str, offers: Iterable[Offer]) -> Iterator[Offer]:
    for offer in _of(supplier, offers):
        if offer.valid_until:
            raise Refused("an offer with a date is a quote; take it as one")
        yield offer


def _add(session: Session, offers: Iterator[Offer], state: ListState, when: datetime | None = None) -> int:
    first = number = (session.scalar(select(func.max(t.offers.c.id))) or 0) + 1
    write = _writer(session.connection())
    while batch := tuple(islice(offers, _AT_ONCE)):
        write([_row(n, offer, state, when) for n, offer in enumerate(batch, number)])
        number += len(batch)
    return number - first


def _writer(connection: Connection) -> Callable[[list[tuple[Any, ...]]], object]:
    """Writes rows through the database's own driver: with a long list, translating each row would take most time."""
    statement = insert(t.offers).compile(dialect=connection.dialect, column_keys=_COLUMNS)
    if statement.positional:
        return lambda rows: connection.exec_driver_sql(str(statement), rows)
    return lambda rows: connection.exec_driver_sql(str(statement), [dict(zip(_COLUMNS, r, strict=True)) for r in rows])


def _row(number: int, offer: Offer, state: ListState, when: datetime | None) -> tuple[Any, ...]:
    """An offer in the order of the table's columns. What it shares with its list is left empty, to keep lists short."""
    seen, until = offer.seen or when, offer.valid_until
    return (
        number,
        offer.supplier,
        offer.part_number,
        normal(offer.part_number),
        *_terms(offer),
        None if until is None else until.isoformat(),
        None if seen == state.seen else moment_text(seen),
        "" if offer.file == state.file else offer.file,
        offer.line,
        offer.breaks[0].price.currency if offer.breaks else "",
        _prices(offer.breaks),
    )


def _prices(breaks: Iterable[Break]) -> str:
    return " ".join([f"{b.from_quantity}:{b.price.millionths}" for b in breaks])


def _enter(session: Session, supplier: str, **values: Any) -> None:
    lists = t.price_lists
    done = session.connection().execute(update(lists).where(lists.c.supplier == supplier).values(**values))
    if not done.rowcount:
        empty = {"file": "", "seen": None, "offers": 0, "failed": None, "why": "", "digest": ""}
        session.execute(insert(lists).values(supplier=supplier, **(empty | values)))


def list_state(session: Session, supplier: str) -> ListState | None:
    """How the supplier's list stands; None where it was never read."""
    c = t.price_lists.c
    found = session.execute(
        select(c.file, c.seen, c.offers, c.failed, c.why, c.digest).where(c.supplier == supplier)
    ).one_or_none()
    if found is None:
        return None
    return ListState(found.file, moment_of(found.seen), found.offers, moment_of(found.failed), found.why, found.digest)


def list_seen(session: Session, supplier: str) -> datetime | None:
    """When the supplier's list was last taken; None where there is none."""
    state = list_state(session, supplier)
    return state.seen if state else None


def offers(session: Session, part_numbers: Iterable[str] | None = None) -> tuple[Offer, ...]:
    """Every offer and quote in the order taken, or those for these parts however their numbers are spelled."""
    if part_numbers is None:
        return tuple(one.offer for one in _offers(session, []))
    return tuple(one.offer for one in offers_of(session, {normal(n) for n in part_numbers}))


def quotes(session: Session, supplier: str = "") -> tuple[Offer, ...]:
    """Every quote that is kept, or this supplier's, in the order taken; some may be over."""
    mine = [t.offers.c.supplier == supplier] if supplier else []
    return tuple(one.offer for one in _offers(session, [t.offers.c.valid_until.is_not(None), *mine]))


class Kept(NamedTuple):
    """An offer as it is kept: the number that says in which order offers were taken, and its part's normal number."""

    number: int
    normal_number: str
    offer: Offer


def offers_of(session: Session, normal_numbers: Iterable[str]) -> Iterator[Kept]:
    """The offers and quotes for parts of these normal numbers."""
    # Databases bound how many values one question may hold, so a long list of parts is asked for in pieces.
    wanted = iter(sorted(set(normal_numbers)))
    while some := list(islice(wanted, _AT_ONCE)):
        yield from _offers(session, [t.offers.c.normal_number.in_(some)])


def _offers(session: Session, conditions: list[ColumnElement[bool]]) -> Iterator[Kept]:
    c, lists = t.offers.c, t.price_lists.c
    own = (c.valid_until, c.seen, c.file, c.currency, c.prices)
    columns = [c.id, c.normal_number, *(c[name] for name in _KEPT), *own, lists.seen, lists.file]
    joined = t.offers.outerjoin(t.price_lists, lists.supplier == c.supplier)
    rows = session.execute(select(*columns).select_from(joined).where(*conditions).order_by(c.id))
    return (Kept(row[0], row[1], _offer(row[2:])) for row in rows)


class Asking(NamedTuple):
    """The lowest and the highest price of an offer, in millionths of its currency, whatever breaks they are at."""

    normal_number: str
    supplier: str
    currency: str
    lowest: int
    highest: int


def every_price(session: Session) -> Iterator[Asking]:
    """What each offer and quote asks, read one by one: of a long list no more is made than these figures."""
    c = t.offers.c
    columns = (c.normal_number, c.supplier, c.currency, c.prices)
    rows = session.execute(select(*columns).where(c.prices != "").execution_options(yield_per=_AT_ONCE))
    for number, supplier, currency, prices in chain.from_iterable(rows.partitions()):  # quicker than row by row
        asked = [int(price) for price in prices.replace(":", " ").split()[1::2]]
        yield Asking(number, supplier, currency, min(asked), max(asked))


class StatedLead(NamedTuple):
    """How many days an offer says that it takes, None where only its supplier's usual days are known."""

    part_number: str
    normal_number: str
    maker: str
    supplier: str
    days: int | None


def stated_leads(session: Session) -> Iterator[StatedLead]:
    """The lead time of each offer and quote with a price, in the order taken, read one by one."""
    c = t.offers.c
    columns = (c.part_number, c.normal_number, c.maker, c.supplier, c.lead_days)
    asked = select(*columns).where(c.prices != "").order_by(c.id).execution_options(yield_per=_AT_ONCE)
    return (StatedLead(*row) for row in session.execute(asked))


def _offer(row: Any) -> Offer:
    *kept, until, seen, file, currency, prices, list_seen, list_file = row
    of_list = until is None
    return Offer(
        **dict(zip(_KEPT, kept, strict=True)),
        valid_until=until,
        breaks=_breaks(prices, currency),
        seen=moment_of(seen or (list_seen if of_list else None)),
        file=file or (list_file if of_list else "") or "",
    )


def _breaks(prices: str, currency: str) -> tuple[Break, ...]:
    steps = (step.partition(":") for step in prices.split())
    return tuple(Break(int(start), Money(int(price), currency)) for start, _, price in steps)


class Confirmed(NamedTuple):
    """An offer's price breaks that somebody said are true, and when; ``normal_number`` is its part's."""

    supplier: str
    normal_number: str
    breaks: tuple[Break, ...]
    day: date


def confirm_prices(session: Session, offers: Iterable[Offer], day: date) -> None:
    """Keep that these offers' prices are true, from this day on."""
    keys = [t.confirmed_prices.c[name] for name in ("supplier", "normal_number", "prices", "currency")]
    rows = {(o.supplier, normal(o.part_number), _prices(o.breaks), o.breaks[0].price.currency) for o in offers}
    for row in sorted(rows):
        same = [key == value for key, value in zip(keys, row, strict=True)]
        session.execute(delete(t.confirmed_prices).where(*same))
        session.execute(insert(t.confirmed_prices).values((*row, day)))


def confirmed_prices(session: Session) -> tuple[Confirmed, ...]:
    """Every price that was confirmed; there are few."""
    c = t.confirmed_prices.c
    rows = session.execute(select(c.supplier, c.normal_number, c.prices, c.currency, c.day).order_by(*c))
    return tuple(Confirmed(r.supplier, r.normal_number, _breaks(r.prices, r.currency), r.day) for r in rows)


def quotes_until(session: Session, supplier: str) -> tuple[date, ...]:
    """The last day of each quote of this supplier, the earliest first; some may be over."""
    c = t.offers.c
    days = select(c.valid_until).where(c.supplier == supplier, c.valid_until.is_not(None)).order_by(c.valid_until)
    return tuple(day for day in session.scalars(days) if day is not None)


def outside_catalogue(session: Session, supplier: str, most: int = 3) -> tuple[int, tuple[str, ...]]:
    """How many of the supplier's offers are for parts that the catalogue does not hold, and the first few of them."""
    c, relay = t.offers.c, t.relays.c
    supplies = {normal(number) for number in session.scalars(select(t.supplies.c.part_number))}
    known = select(relay.id).where(relay.normal_number == c.normal_number).exists()
    unknown = (c.supplier == supplier) & c.valid_until.is_(None) & ~known & c.normal_number.not_in(supplies)
    count = session.scalar(select(func.count()).select_from(t.offers).where(unknown)) or 0
    few = session.scalars(select(c.part_number).where(unknown).order_by(c.id).limit(most))
    return count, tuple(few)


def take_rates(session: Session, taken: Rates) -> None:
    """Keep a day's rates; the same base and day again takes their place."""
    c = t.rates.c
    session.execute(delete(t.rates).where(c.base == taken.base, c.day == taken.day))
    day = {"base": taken.base, "day": taken.day, "source": taken.source}
    rows = [{**day, "currency": currency, "worth": str(worth)} for currency, worth in taken.worth]
    if rows:
        session.execute(insert(t.rates), rows)


def rates(session: Session, base: str, day: date | None = None) -> Rates | None:
    """The newest rates to this base, not later than ``day`` where given; None without any."""
    c = t.rates.c
    until = [] if day is None else [c.day <= day]
    newest = session.scalar(select(func.max(c.day)).where(c.base == base, *until))
    if newest is None:
        return None
    rows = session.execute(
        select(c.currency, c.worth, c.source).where(c.base == base, c.day == newest).order_by(c.currency)
    ).all()
    return Rates(base, newest, tuple((r.currency, Decimal(r.worth)) for r in rows), rows[0].source)
