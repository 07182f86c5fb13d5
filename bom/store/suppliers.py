"""Suppliers, how to read their price lists, what they offer, and dated exchange rates.

A price list replaces the supplier's earlier list as a whole; quotes, which were given for us until a date, outlive it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime
from decimal import Decimal
from itertools import groupby
from typing import Any

from sqlalchemy import ColumnElement, delete, func, insert, select
from sqlalchemy.orm import Session

from bom.buying.offer import Break, Feed, Offer, Rates, Supplier
from bom.store import tables as t
from bom.store.catalogue import Changes
from bom.store.documents import decode, encode
from bom.store.filing import all_filed, file_away, filed, throw_away
from bom.store.rows import moment_of, moment_text
from bom.values.money import Money
from bom.values.part_number import normal
from bom.values.problem import Refused


def take_supplier(session: Session, supplier: Supplier, feed: Feed | None = None, digest: str = "") -> Changes:
    """Keep the supplier, and how to read its price list, under its name."""
    return file_away(session, t.suppliers, supplier, digest, feed=None if feed is None else encode(feed))


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


def drop_supplier(session: Session, name: str) -> bool:
    """Forget the supplier and its offers; whether there was one."""
    return throw_away(session, t.suppliers, name)


def take_offers(session: Session, supplier: str, offers: Iterable[Offer], when: datetime) -> int:
    """Replace the supplier's list by these offers, seen at ``when`` unless they say; how many were taken."""
    taken = _of_supplier(session, supplier, offers)
    if any(o.valid_until for o in taken):
        raise Refused("an offer with a date is a quote; take it as one")
    session.execute(delete(t.offers).where(t.offers.c.supplier == supplier, t.offers.c.valid_until.is_(None)))
    return _add_offers(session, taken, when)


def take_quotes(session: Session, supplier: str, quotes: Iterable[Offer], when: datetime) -> int:
    """Add quotes; one for the same part from the same supplier takes the earlier one's place. How many were taken."""
    taken = _of_supplier(session, supplier, quotes)
    if not all(q.valid_until for q in taken):
        raise Refused("expected every quote to say until when it is valid")
    for number in {q.part_number for q in taken}:
        session.execute(
            delete(t.offers).where(
                t.offers.c.supplier == supplier,
                t.offers.c.part_number == number,
                t.offers.c.valid_until.is_not(None),
            )
        )
    return _add_offers(session, taken, when)


def _of_supplier(session: Session, supplier: str, offers: Iterable[Offer]) -> tuple[Offer, ...]:
    taken = tuple(offers)
    if strange := next((o.supplier for o in taken if o.supplier != supplier), None):
        raise Refused(f"expected offers of {supplier}, found one of {strange}")
    if session.scalar(select(t.suppliers.c.name).where(t.suppliers.c.name == supplier)) is None:
        raise Refused(f"there is no supplier {supplier!r}; add it first")
    return taken


def _add_offers(session: Session, offers: Sequence[Offer], when: datetime) -> int:
    first = (session.scalar(select(func.max(t.offers.c.id))) or 0) + 1
    numbered = list(enumerate(offers, first))
    if numbered:
        session.execute(insert(t.offers), [_offer_row(number, o, when) for number, o in numbered])
    if steps := [row for number, o in numbered for row in _break_rows(number, o)]:
        session.execute(insert(t.breaks), steps)
    return len(numbered)


def _offer_row(number: int, offer: Offer, when: datetime) -> dict[str, Any]:
    kept = {c.name: getattr(offer, c.name) for c in t.offers.c if c.name not in ("id", "normal_number", "seen")}
    return {
        "id": number,
        "normal_number": normal(offer.part_number),
        "seen": moment_text(offer.seen or when),
        **kept,
    }


def _break_rows(number: int, offer: Offer) -> list[dict[str, Any]]:
    return [
        {
            "offer": number,
            "place": place,
            "from_quantity": b.from_quantity,
            "millionths": b.price.millionths,
            "currency": b.price.currency,
        }
        for place, b in enumerate(offer.breaks)
    ]


def offers(session: Session, part_numbers: Iterable[str] | None = None) -> tuple[Offer, ...]:
    """Every offer and quote in the order taken, or those for these parts however their numbers are spelled."""
    conditions: list[ColumnElement[bool]] = []
    if part_numbers is not None:
        conditions.append(t.offers.c.normal_number.in_({normal(n) for n in part_numbers}))
    steps = _breaks(session, conditions)
    rows = session.execute(select(t.offers).where(*conditions).order_by(t.offers.c.id)).mappings()
    return tuple(_offer(row, steps.get(row["id"], ())) for row in rows)


def _breaks(session: Session, conditions: list[ColumnElement[bool]]) -> dict[int, tuple[Break, ...]]:
    b = t.breaks.c
    rows = session.execute(
        select(b.offer, b.from_quantity, b.millionths, b.currency)
        .join(t.offers, t.offers.c.id == b.offer)
        .where(*conditions)
        .order_by(b.offer, b.place)
    )
    return {
        offer: tuple(Break(start, Money(price, currency)) for _, start, price, currency in steps)
        for offer, steps in groupby(rows, lambda row: int(row[0]))
    }


def _offer(row: Any, steps: tuple[Break, ...]) -> Offer:
    kept = {name: row[name] for name in row if name not in ("id", "normal_number", "seen")}
    return Offer(**kept, breaks=steps, seen=moment_of(row["seen"]))


def list_seen(session: Session, supplier: str) -> datetime | None:
    """When the supplier's list was last taken (its newest offer that is no quote); None where there is none."""
    mine = (t.offers.c.supplier == supplier) & t.offers.c.valid_until.is_(None)
    moments = [moment_of(text) for text in session.scalars(select(t.offers.c.seen).where(mine).distinct())]
    return max((m for m in moments if m is not None), default=None)


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
