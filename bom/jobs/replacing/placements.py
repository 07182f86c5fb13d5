"""Placements between jobs: what was worked out before is taken from the database, what is new is kept there."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from bom.boards.board import Place
from bom.fit.check import prepare
from bom.fit.kept import BOOK, holes_key, key_of
from bom.relays.footprint import Footprint
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def recall_placements(session: Session, place: Place | None, footprints: Iterable[Footprint]) -> None:
    """Have ready what is known of this place, and sift the footprints that are new to it."""
    from bom.store.placements import stored_placements

    if place is None:
        return
    BOOK.take(stored_placements(session, holes_key(place.pattern.from_component_side().holes)))
    prepare(footprints, place)


def recall_few(session: Session, place: Place | None, footprints: Iterable[Footprint]) -> None:
    """The same for few footprints: what the memory holds already is not read again."""
    from bom.store.placements import stored_placements

    if place is None:
        return
    holes, dressing = place.pattern.from_component_side().holes, place.board.leg_dressing_mm
    keys = {key_of(f.from_component_side().pins, holes, dressing) for f in footprints}
    if new := {key[0] for key in keys if key not in BOOK.tried}:
        BOOK.take(stored_placements(session, holes_key(holes), new))


def keep_placements(engine: Any) -> None:
    """Store what was worked out since the last time; where the database cannot be written it is worked out again."""
    from bom.store.placements import store_placements
    from bom.store.unit_of_work import work

    if not (news := BOOK.hand_out()):
        return
    try:
        with work(engine) as session:
            store_placements(session, news)
    except Refused:
        return
