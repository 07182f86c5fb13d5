"""Numbers that the shop keeps under a name, so that they need not be found out afresh.

They are how many relays there are, and which edition of the drawings these are. An edition is drawn anew whenever a
footprint, a wiring or the kinds that use them change, so that no two shops have the same one with different drawings.
"""

from __future__ import annotations

from secrets import randbits
from typing import TYPE_CHECKING

from sqlalchemy import insert, select, update

from bom.store import tables as t

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


def marked(session: Session, name: str) -> int:
    """The number kept under this name; 0 where there is none."""
    return session.scalar(select(t.marks.c.number).where(t.marks.c.name == name)) or 0


def mark(session: Session, name: str, number: int) -> None:
    """Keep the number under this name."""
    there = session.scalar(select(t.marks.c.name).where(t.marks.c.name == name))
    if there is None:
        session.execute(insert(t.marks).values(name=name, number=number))
    else:
        session.execute(update(t.marks).where(t.marks.c.name == name).values(number=number))


def next_edition(session: Session) -> None:
    """The drawings are no longer what they were."""
    mark(session, "drawings", randbits(62))
