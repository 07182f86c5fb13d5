"""Placements between jobs: what was worked out before is taken from the database, what is new is kept there."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from bom.boards.board import Place
from bom.fit.placement_cache import CACHE, holes_key, key_of
from bom.relays.footprint import Footprint
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


_FEW = 500  # sets of pins looked for by their keys; of more, all that is known of the holes is read


def recall_placements(session: Session, place: Place | None, footprints: Iterable[Footprint]) -> None:
    """Have ready what the database knows of these pins in this place; what the memory holds is not read again."""
    from bom.store.kept_results import stored_placements

    if place is None:
        return
    holes, dressing = place.pattern.from_component_side().holes, place.board.leg_dressing_mm
    keys = {key_of(f.from_component_side().pins, holes, dressing) for f in footprints}
    if new := {key[0] for key in keys if key not in CACHE.tried}:
        CACHE.take(stored_placements(session, holes_key(holes), new if len(new) <= _FEW else None))


def keep_placements(engine: Any) -> None:
    """Store what was worked out since the last time; where the database cannot be written it is worked out again."""
    from bom.store.kept_results import store_placements
    from bom.store.unit_of_work import work

    if not (news := CACHE.hand_out()):
        return
    try:
        with work(engine) as session:
            store_placements(session, news)
    except Refused:
        return
