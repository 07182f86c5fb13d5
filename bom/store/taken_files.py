"""The shop's files that were booked: when, under which name, with what content, and which entries each made.

Whoever books a file works alone on the ledger, so its entries are a run: from the first to the last number.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy import Table, func, insert, select, update

from bom.store import tables as t
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
