"""Placement: how a set of pins best goes into a set of holes, for every pairing of pins with holes.

For a pairing of pins with holes the *play* is the smallest, over the pins, of hole radius - lead radius - distance
between centres; turning and shifting the part (never mirroring it) make it as large as it can be. Answers are within
0.00001 mm of the true optimum, certified: the pairings left out contradict themselves (``bom.fit.pairing``), the shift
at one angle is exact (``bom.fit.best_shift``), and the search over the angle ends only when a floor under the error at
every angle not tried is within 0.000002 mm of the best found (``bom.fit.best_angle``).

A flat lead whose long side's angle is known goes in where all four of its corners lie inside the hole, so each corner
is a point of its own with the hole's radius for room. In the middle of the hole that asks for its diagonal, off the
middle across its thin side for less. Without the angle its diagonal stands for it, which is the safe bound.

Lengths are in mm, x to the right and y down, so a positive rotation is clockwise as seen.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import degrees

from bom.boards.board import Hole
from bom.fit.best_angle import CLOSE_MM, at_any_angle
from bom.fit.best_shift import Reach
from bom.fit.pairing import ROUNDING_MM, Pairing, Patience, PinsAndHoles, pairings
from bom.fit.plane import Point, centres, half_turn, middle, off, plus, turned
from bom.relays.footprint import Pin

# Shares of the limit tried in turn, up to all of it: a close answer spares the wide search. The steps on the way only
# save time, so no test can hold them.
_WIDENING = (0.02, 0.1, 0.3, 1.0)


@dataclass(frozen=True, slots=True)
class Placement:
    """One way in: the hole each pin takes; turn by ``rotation_deg``, move by ``shift_mm`` (hole = turned pin + shift).

    ``play_mm`` is the least room left round any lead (negative: it misses by that much), ``tightest`` the pin that has
    it, ``deviation_mm`` the largest distance between a pin and its hole's centre in this position.
    """

    assignment: dict[str, str]
    rotation_deg: float
    shift_mm: Point
    play_mm: float
    tightest: str
    deviation_mm: float


def mirrored(pins: Sequence[Pin]) -> tuple[Pin, ...]:
    """The same pins seen from the other side, flat leads turned over too."""
    return tuple(replace(p, x_mm=-p.x_mm, lead_angle_deg=_other_way(p.lead_angle_deg)) for p in pins)


def _other_way(angle: float | None) -> float | None:
    return None if angle is None else -angle


def place(
    pins: Sequence[Pin], holes: Sequence[Hole], limit_mm: float = 0.0, patience: Patience | None = None
) -> tuple[Placement, ...]:
    """Every pairing that goes in with a play of at least -``limit_mm``, each in its best position, the most play first.

    Sizes that are not stated get the kindest guess (``bom.fit.pairing.room_round``). Where ``patience`` is gone after
    it, not every way was tried.

    >>> pins = [Pin("A1", 0, 0, 0.8), Pin("A2", 7.62, 0, 0.8)]
    >>> holes = [Hole("a", 10, 10, 1.0), Hole("b", 10, 17.5, 1.0)]
    >>> way = place(pins, holes)[0]
    >>> way.assignment, way.rotation_deg, round(way.play_mm, 3)
    ({'A1': 'a', 'A2': 'b'}, 90.0, 0.04)
    """
    both = PinsAndHoles.of(pins, holes)
    found = (_settled(both, way, limit_mm + ROUNDING_MM) for way in pairings(both, limit_mm, patience))
    return tuple(sorted((p for p in found if p), key=lambda p: -p.play_mm))


def closest(
    pins: Sequence[Pin], holes: Sequence[Hole], limit_mm: float = 1.0, patience: Patience | None = None
) -> Placement | None:
    """The placement with the most play, None where even that is below -``limit_mm``.

    Where ``patience`` is gone after it, it is the best of what was tried.
    """
    both = PinsAndHoles.of(pins, holes)
    tried = (_best(both, pairings(both, limit, patience), limit) for limit in (limit_mm * s for s in _WIDENING))
    return next(filter(None, tried), None)


def _best(both: PinsAndHoles, ways: Iterable[Pairing], limit: float) -> Placement | None:
    """The placement with the most play, each one measured only while it may still beat the best so far."""
    best: Placement | None = None
    for pairing in ways:
        worth = limit if best is None else -best.play_mm - CLOSE_MM
        best = _settled(both, pairing, worth) or best
    return best


def _settled(both: PinsAndHoles, pairing: Pairing, limit: float) -> Placement | None:
    """The pairing in its best position, or None where its largest error is certainly above ``limit``."""
    reach = at_any_angle(both.pairs(pairing), both.swing(pairing, limit), limit)
    return None if reach is None or reach.error > limit else _placement(both, pairing, reach)


def _placement(both: PinsAndHoles, pairing: Pairing, reach: Reach) -> Placement:
    apart = [off(both.points[i], both.spots[j], reach.angle, reach.shift) for i, j in enumerate(pairing)]
    play = [_play(both, i, j, reach) for i, j in enumerate(pairing)]
    tight = min(range(len(play)), key=play.__getitem__)
    return Placement(
        both.named(pairing),
        half_turn(degrees(reach.angle)),
        _whole_shift(both, reach),
        play[tight],
        both.pins[tight].name,
        max(apart),
    )


def _play(both: PinsAndHoles, pin: int, hole: int, reach: Reach) -> float:
    """The room left round one lead: its hole's radius less the distance of its farthest point."""
    points = (plus(both.points[pin], f) for f in both.feelers[pin])
    farthest = max(off(p, both.spots[hole], reach.angle, reach.shift) for p in points)
    return both.room[pin][hole] + both.reach[pin] - farthest


def _whole_shift(both: PinsAndHoles, reach: Reach) -> Point:
    """The shift between the drawings as they were given, not about their middles."""
    there = middle(centres(both.holes))
    x, y = turned(middle(centres(both.pins)), reach.angle)
    return (reach.shift[0] + there[0] - x, reach.shift[1] + there[1] - y)
