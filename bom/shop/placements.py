"""Placements between jobs: what was worked out before is taken from where it is kept, what is new is kept there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from bom.boards.board import HolePattern, Place
from bom.fit.measured_drawings import is_measured, widened
from bom.fit.placement import mirrored
from bom.fit.placement_cache import CACHE, GeometryKey, key_of
from bom.relays.footprint import Footprint, Pin, View
from bom.shop.names import AFTERWARDS
from bom.store.kept_results import store_placements, stored_placements

if TYPE_CHECKING:
    from bom.shop.shop import Shop
    from bom.store.unit_of_work import Session


_FEW = 500  # sets of pins looked for by their keys; of more, all that is known of the holes is read


def recall_placements(shop: Shop, places: Iterable[Place | None], footprints: Iterable[Footprint]) -> None:
    """Have ready what is kept of these pins in these places; nothing is asked for twice."""
    keep_afterwards(shop.session)
    drawn, asked = tuple(footprints), shop.kept("placements asked for", set[GeometryKey])
    wanted = {key for place in places if place is not None for key in _tried_at(place, drawn)}
    if new := wanted - CACHE.tried.keys() - asked:
        asked |= new
        pins = {key[0] for key in new}
        CACHE.take(stored_placements({key[1] for key in new}, pins if len(pins) <= _FEW else None))


def _tried_at(place: Place, footprints: Iterable[Footprint]) -> Iterator[GeometryKey]:
    pattern, dressing = place.pattern.from_component_side(), place.board.leg_dressing_mm
    for footprint in footprints:
        for pins in _readings(footprint, place.pattern):
            yield key_of(pins, pattern.holes, dressing)
            if is_measured(footprint, pattern):
                yield key_of(pins, widened(footprint, pattern), dressing)


def _readings(footprint: Footprint, pattern: HolePattern) -> tuple[tuple[Pin, ...], ...]:
    """The pins as they are tried: turned over too, where nobody knows from which side they or the holes were drawn."""
    pins = footprint.from_component_side().pins
    return (pins, mirrored(pins)) if View.UNKNOWN in (footprint.view, pattern.view) else (pins,)


def keep_afterwards(session: Session) -> None:
    """Have what this job works out stored once it is done."""
    session.info.setdefault(AFTERWARDS, {})[keep_placements] = None


def keep_placements() -> None:
    """Keep what was worked out since the last time."""
    if news := CACHE.hand_out():
        store_placements(news)
