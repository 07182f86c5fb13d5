"""Placement cache: how each set of pins goes into each set of holes, worked out once and remembered.

A drawing counts by its geometry alone: positions and sizes in their order, seen from the component side. Names of pins
and holes, nets and wirings play no part, so few answers serve many relays; one is worked out again only where the pins
or the holes themselves change. What is remembered may be handed out to be stored, and taken in again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from hashlib import sha256

from bom.boards.board import Hole
from bom.fit.placement import Patience, Placement, closest, mirrored, place, room_round
from bom.fit.plane import Point
from bom.relays.footprint import Pin

MISS_MM = 1.0  # a pin further off than this is not a near miss but another pattern; common practice, no source
# Where there is too much to try, ways off the middle by no more than this are looked for by themselves. It decides only
# which of too many ways are found, so no test can hold it.
_CENTRED_MM = 0.2
_MOST_SPOTS = 1000  # more are a whole board; relays are so far below it that no test can hold the number
_MOST = 50_000  # answers kept in memory, the oldest go first: a matter of memory, which no test can hold

GeometryKey = tuple[str, str, str]  # of the pins, of the holes, how far legs may be dressed


@dataclass(frozen=True, slots=True)
class NumberedPlacement:
    """A placement by numbers instead of names: the hole of each pin in order; otherwise as ``Placement``."""

    pairing: tuple[int, ...]
    rotation_deg: float
    shift_mm: Point
    play_mm: float
    tightest: int
    deviation_mm: float


@dataclass(frozen=True, slots=True)
class Placements:
    """Every way in, those seen from the other side, and the nearest miss where there is no way in.

    ``whole`` False: there are more ways of telling pins to holes than can be tried, and these are only some.
    ``ways_only`` True: nothing but the ways in was looked for.
    """

    ways: tuple[NumberedPlacement, ...] = ()
    over: tuple[NumberedPlacement, ...] = ()
    near: NumberedPlacement | None = None
    whole: bool = True
    ways_only: bool = False


@dataclass(slots=True)
class PlacementCache:
    """What was tried so far, and what of it nobody has stored yet; a search that was cut short is never stored."""

    tried: dict[GeometryKey, Placements] = field(default_factory=dict)
    news: dict[GeometryKey, Placements] = field(default_factory=dict)

    def look_up(self, pins: Sequence[Pin], holes: Sequence[Hole], dressing_mm: float) -> Placements:
        """The answer, worked out where it is not there yet."""
        key = key_of(pins, holes, dressing_mm)
        known = self.tried.get(key)
        if known is not None and not known.ways_only:
            return known
        return self._learnt(key, work_out(pins, holes, dressing_mm, known))

    def ways(self, pins: Sequence[Pin], holes: Sequence[Hole], dressing_mm: float) -> Placements:
        """The ways in alone, which take a small part of the time where there are none."""
        key = key_of(pins, holes, dressing_mm)
        if (known := self.tried.get(key)) is not None:
            return known
        return self._learnt(key, ways_in(pins, holes, dressing_mm))

    def _learnt(self, key: GeometryKey, found: Placements) -> Placements:
        self.take({key: found})
        if found.whole:
            self.news[key] = found
        return found

    def take(self, stored: Mapping[GeometryKey, Placements]) -> None:
        """Remember answers worked out at another time."""
        self.tried.update(stored)
        while len(self.tried) > _MOST:
            del self.tried[next(iter(self.tried))]

    def hand_out(self) -> dict[GeometryKey, Placements]:
        """What was worked out since the last time this was asked."""
        news, self.news = self.news, {}
        return news


CACHE = PlacementCache()
"""The one that every check of this program looks in."""


def work_out(
    pins: Sequence[Pin], holes: Sequence[Hole], dressing_mm: float, known: Placements | None = None
) -> Placements:
    """The exact search: every way in, every way in seen from the other side, and without any the nearest miss.

    ``known`` are the ways in where ``ways_in`` found them before.
    """
    if max(len(pins), len(holes)) > _MOST_SPOTS:
        return Placements(whole=False)
    found = known or ways_in(pins, holes, dressing_mm)
    over, _ = _ways_in(mirrored(pins), holes, dressing_mm)
    near = _nearest_miss(pins, holes) if not found.ways and found.whole else None
    number = _numbers(pins, holes)
    return Placements(
        found.ways,
        tuple(_by_number(way, *number) for way in over),
        _by_number(near, *number) if near else None,
        found.whole,
    )


def _numbers(pins: Sequence[Pin], holes: Sequence[Hole]) -> tuple[dict[str, int], dict[str, int]]:
    return {pin.name: n for n, pin in enumerate(pins)}, {hole.name: n for n, hole in enumerate(holes)}


def ways_in(pins: Sequence[Pin], holes: Sequence[Hole], dressing_mm: float) -> Placements:
    """Every way in by an exact search, and no more."""
    if max(len(pins), len(holes)) > _MOST_SPOTS:
        return Placements(whole=False)
    ways, whole = _ways_in(pins, holes, dressing_mm)
    number = _numbers(pins, holes)
    return Placements(tuple(_by_number(way, *number) for way in ways), whole=whole, ways_only=True)


def _ways_in(pins: Sequence[Pin], holes: Sequence[Hole], dressing_mm: float) -> tuple[tuple[Placement, ...], bool]:
    """Every way in, and whether that is all; where it is not, at least those that sit about centred are among them."""
    patience = Patience()
    ways = place(pins, holes, dressing_mm, patience)
    if not patience.gone:
        return ways, True
    room = min(max(room_round(pin, hole) for hole in holes) for pin in pins)
    centred = place(pins, holes, -max(0.0, room - _CENTRED_MM), Patience())
    known = [way.assignment for way in centred]
    return (*centred, *(way for way in ways if way.assignment not in known)), False


def _nearest_miss(pins: Sequence[Pin], holes: Sequence[Hole]) -> Placement | None:
    """The best there is within a near miss; None where there are too many ways to try them all."""
    patience = Patience()
    near = closest(pins, holes, MISS_MM, patience)
    return None if patience.gone else near


def _by_number(way: Placement, pins: Mapping[str, int], holes: Mapping[str, int]) -> NumberedPlacement:
    pairing = tuple(holes[way.assignment[name]] for name in pins)
    return NumberedPlacement(pairing, way.rotation_deg, way.shift_mm, way.play_mm, pins[way.tightest], way.deviation_mm)


def by_name(seat: NumberedPlacement, pins: Sequence[Pin], holes: Sequence[Hole]) -> Placement:
    """The placement with the names that pins and holes have in these drawings."""
    assignment = {pin.name: holes[n].name for pin, n in zip(pins, seat.pairing, strict=True)}
    tightest = pins[seat.tightest].name
    return Placement(assignment, seat.rotation_deg, seat.shift_mm, seat.play_mm, tightest, seat.deviation_mm)


def key_of(pins: Sequence[Pin], holes: Sequence[Hole], dressing_mm: float) -> GeometryKey:
    return pins_key(tuple(pins)), holes_key(tuple(holes)), f"{dressing_mm:g}"


@lru_cache(maxsize=32768)
def pins_key(pins: tuple[Pin, ...]) -> str:
    """The pins' geometry, whatever they are called."""
    return _digest([(p.x_mm, p.y_mm, p.lead_mm, p.lead_width_mm, p.lead_angle_deg) for p in pins])


@lru_cache(maxsize=1024)
def holes_key(holes: tuple[Hole, ...]) -> str:
    """The holes' geometry, whatever they are called and joined to."""
    return _digest([(h.x_mm, h.y_mm, h.drill_mm) for h in holes])


def _digest(numbers: list[tuple[float | None, ...]]) -> str:
    """By value: 1 and 1.0 are the same, and so are 0 and -0."""
    exact = [[None if n is None else float(n) + 0.0 for n in row] for row in numbers]
    return sha256(repr(exact).encode()).hexdigest()[:32]
