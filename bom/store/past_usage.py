"""What was used before the ledger began, from the shop's own files; it only serves to work out levels."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from sqlalchemy import delete, func, insert, select

from bom.store import tables as t
from bom.store.part_names import part_and_maker, part_names
from bom.store.unit_of_work import take_turn

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True)
class Used:
    """This much of a part went out on this day."""

    day: date
    part_number: str
    quantity: Decimal
    reason: str = ""


def take_past_usage(session: Session, file: str, used: Iterable[Used]) -> int:
    """Keep what this file says, in the place of what a file of this name said before; how many rows were kept."""
    take_turn(session)
    session.execute(delete(t.past_usage).where(t.past_usage.c.file == file))
    last = session.scalar(select(func.max(t.past_usage.c.sequence))) or 0
    rows = [_row(session, n, file, one) for n, one in enumerate(used, last + 1)]
    if rows:
        session.execute(insert(t.past_usage), rows)
    return len(rows)


def rows_of(session: Session, file: str) -> int:
    """How many rows are kept of this file."""
    return session.scalar(select(func.count()).where(t.past_usage.c.file == file)) or 0


def past_usage(session: Session, part: str | None = None) -> tuple[Used, ...]:
    """What is kept, of all parts or of one, oldest first."""
    c, names = t.past_usage.c, part_names(session)
    wanted = select(c.day, c.part_number, c.maker, c.thousandths, c.reason).order_by(c.day, c.sequence)
    rows = session.execute(wanted.where(*([] if part is None else [c.part_number == names.part(part)[0]])))
    found = (Used(day, names.name(n, m), Decimal(int(q)) / 1000, reason) for day, n, m, q, reason in rows)
    return tuple(one for one in found if part in (None, one.part_number))


def _row(session: Session, number: int, file: str, used: Used) -> dict[str, object]:
    part_number, maker = part_and_maker(session, used.part_number)
    return {
        "sequence": number,
        "file": file,
        "day": used.day,
        "part_number": part_number,
        "maker": maker,
        "thousandths": int(used.quantity * 1000),
        "reason": used.reason,
    }
