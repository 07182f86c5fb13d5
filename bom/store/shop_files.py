"""The shop's own files that were booked: when, under which name, with what content, and which entries each made.

Whoever books a file works alone on the ledger, so its entries are a run: from the first to the last number. A file of
past usage tells what was used before the ledger began; it only serves to work out levels.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from sqlalchemy import Table, delete, func, insert, select, update

from bom.store import tables as t
from bom.store.part_names import part_and_maker, part_names
from bom.store.rows import moment_of, moment_text
from bom.store.unit_of_work import take_turn

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True)
class TakenFile:
    """A file as it was booked. ``mark`` stands for its content; ``moves`` and ``orders`` are (first, last) of a run,
    last below first for none; ``undone`` None = its entries stand."""

    number: int
    kind: str
    name: str
    mark: str
    when: datetime
    moves: tuple[int, int]
    orders: tuple[int, int]
    undone: datetime | None = None


def last_entries(session: Session) -> tuple[int, int]:
    """The numbers of the last move and the last entry of orders; waits until no other writer is at work."""
    take_turn(session)
    return _last(session, t.moves), _last(session, t.orders)


def _last(session: Session, table: Table) -> int:
    return session.scalar(select(func.max(table.c.sequence))) or 0


def keep_taken(session: Session, kind: str, name: str, mark: str, when: datetime, before: tuple[int, int]) -> None:
    """Remember a file whose entries are all those since ``before``."""
    moves, orders = last_entries(session)
    number = (session.scalar(select(func.max(t.taken_files.c.number))) or 0) + 1
    row = {"number": number, "kind": kind, "name": name, "mark": mark, "moment": moment_text(when)}
    runs = {"first_move": before[0] + 1, "last_move": moves, "first_order": before[1] + 1, "last_order": orders}
    session.execute(insert(t.taken_files), [row | runs])


def taken_files(session: Session) -> tuple[TakenFile, ...]:
    """Every file that was booked, the oldest first."""
    rows = session.execute(select(t.taken_files).order_by(t.taken_files.c.number))
    return tuple(
        TakenFile(
            r.number,
            r.kind,
            r.name,
            r.mark,
            datetime.fromisoformat(r.moment),
            (r.first_move, r.last_move),
            (r.first_order, r.last_order),
            moment_of(r.undone),
        )
        for r in rows
    )


def mark_undone(session: Session, number: int, when: datetime) -> None:
    """Remember that the file's entries were undone."""
    c = t.taken_files.c
    session.execute(update(t.taken_files).where(c.number == number).values(undone=moment_text(when)))


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
