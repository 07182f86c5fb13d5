"""Results kept so that nothing is worked out twice: placements, what may serve at a place, how many relays there are.

A placement is how a set of pins goes into a set of holes; a drawing that changes has another key, so what is stored
for it is never asked for again. Which footprints and wirings may serve at a place is kept for one edition of the
drawings, which grows with every change of a footprint, a wiring or the kinds that use them; where it cannot be kept
at once (another writer is at work), nothing is lost.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING

from sqlalchemy import Connection, delete, insert, select, update
from sqlalchemy.exc import DBAPIError

from bom.fit.placement_cache import GeometryKey, Placements
from bom.store import tables as t
from bom.store.documents import decode, encode
from bom.store.unit_of_work import WRITES

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


def stored_placements(
    session: Session, holes: Collection[str], pins: Collection[str] | None = None
) -> dict[GeometryKey, Placements]:
    """Everything tried in the holes of these keys, or what was tried there with the pins of these keys."""
    among = [] if pins is None else [t.placements.c.pins.in_(pins)]
    rows = session.execute(select(t.placements).where(t.placements.c.holes.in_(holes), *among))
    return {(row.pins, row.holes, row.dressing): decode(Placements, row.document) for row in rows}


def store_placements(session: Session, tried: Mapping[GeometryKey, Placements]) -> int:
    """Keep what is not there yet; how many that were. What was worked out once is never worked out otherwise."""
    known = {key for holes in {key[1] for key in tried} for key in _keys(session, holes)}
    rows = [
        {"pins": pins, "holes": holes, "dressing": dressing, "document": encode(found)}
        for (pins, holes, dressing), found in tried.items()
        if (pins, holes, dressing) not in known
    ]
    if rows:
        session.execute(insert(t.placements), rows)
    return len(rows)


def _keys(session: Session, holes: str) -> set[GeometryKey]:
    columns = select(t.placements.c.pins, t.placements.c.holes, t.placements.c.dressing)
    return {
        (row.pins, row.holes, row.dressing) for row in session.execute(columns.where(t.placements.c.holes == holes))
    }


def kept_seating(session: Session, asked: str, edition: int) -> str | None:
    """The document kept for this question and edition, or None."""
    c = t.seatings.c
    return session.scalar(select(c.document).where(c.asked == asked, c.edition == edition))


def keep_seating(session: Session, asked: str, edition: int, document: str) -> None:
    """Keep the document: with the rest where the session writes, else in a moment of its own that waits for nobody."""
    row: dict[str, str | int] = {"asked": asked, "edition": edition, "document": document}
    if session.connection().get_execution_options().get(WRITES):
        _put(session.connection(), row)
        return
    engine = session.connection().engine
    try:
        with engine.connect() as connection:
            if engine.dialect.name == "sqlite":
                connection.exec_driver_sql("PRAGMA busy_timeout = 0")
            _put(connection, row)
            connection.commit()
            connection.invalidate()  # its patience is gone
    except DBAPIError:
        return


def _put(connection: Connection, row: dict[str, str | int]) -> None:
    """In place of what was kept for the same question, and of every older edition."""
    c = t.seatings.c
    connection.execute(delete(t.seatings).where((c.asked == row["asked"]) | (c.edition != row["edition"])))
    connection.execute(insert(t.seatings).values(**row))


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
    mark(session, "drawings", marked(session, "drawings") + 1)
