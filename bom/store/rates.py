"""Knows dated exchange rates."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from sqlalchemy import delete, func, insert, select

from bom.buying.offer import Rates
from bom.store import tables as t

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


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
