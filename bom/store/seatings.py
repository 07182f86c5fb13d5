"""Seatings kept: which footprints and wirings may serve at a place, as a document, for one edition of the drawings.

They only save time: where none can be kept at once (another writer is at work), nothing is lost.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import Connection, delete, insert, select
from sqlalchemy.exc import DBAPIError

from bom.store import tables as t
from bom.store.unit_of_work import WRITES

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


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
