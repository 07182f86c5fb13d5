"""Placements in the database: how each set of pins goes into each set of holes, worked out once for both geometries.

A drawing that changes has another key, so what is stored for it is never asked for again.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING

from sqlalchemy import insert, select

from bom.fit.placement_cache import Key, Placements
from bom.store.documents import decode, encode
from bom.store.tables import placements as table

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


def stored_placements(session: Session, holes: str, pins: Collection[str] | None = None) -> dict[Key, Placements]:
    """Everything tried in the holes of this key, or what was tried there with the pins of these keys."""
    among = [] if pins is None else [table.c.pins.in_(pins)]
    rows = session.execute(select(table).where(table.c.holes == holes, *among))
    return {(row.pins, row.holes, row.dressing): decode(Placements, row.document) for row in rows}


def store_placements(session: Session, tried: Mapping[Key, Placements]) -> int:
    """Keep what is not there yet; how many that were. What was worked out once is never worked out otherwise."""
    known = {key for holes in {key[1] for key in tried} for key in _keys(session, holes)}
    rows = [
        {"pins": pins, "holes": holes, "dressing": dressing, "document": encode(found)}
        for (pins, holes, dressing), found in tried.items()
        if (pins, holes, dressing) not in known
    ]
    if rows:
        session.execute(insert(table), rows)
    return len(rows)


def _keys(session: Session, holes: str) -> set[Key]:
    columns = select(table.c.pins, table.c.holes, table.c.dressing)
    return {(row.pins, row.holes, row.dressing) for row in session.execute(columns.where(table.c.holes == holes))}
