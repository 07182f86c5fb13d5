"""Registration: how a set of pins best goes into a set of holes, for every way of telling pins to holes.

For an assignment of pins to holes the *play* is the smallest, over the pins, of hole radius - lead radius - distance
between centres; turning and shifting the part (never mirroring it) make it as large as it can be.  Answers are within
0.00001 mm of the true optimum, certified: the assignments left out contradict themselves (``bom.fit.pairing``), the
shift at one angle is exact (``bom.fit.shift``), and the search over the angle ends only when a floor under the error at
every angle not tried is within 0.000002 mm of the best found (``bom.fit.angle``).

A flat lead whose long side's angle is known is tried as it is: it goes in where all four of its corners lie inside the
hole, so each corner is a point of its own with the hole's radius for room.  Centred that is its diagonal; off the
middle it is less.  Without the angle its diagonal stands for it, the safe bound.

Lengths are in mm, x to the right and y down, so a positive rotation is clockwise as seen.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import degrees, radians

from bom.boards.board import Hole
from bom.fit.angle import CLOSE_MM, at_angles, at_any_angle
from bom.fit.pairing import ROUNDING_MM, Accept, Pairing, Patience, Room, Seats, pairings
from bom.fit.pairing import corners as corners
from bom.fit.plane import Point, centres, half_turn, middle, off, plus, turned
from bom.fit.shift import Reach
from bom.relays.footprint import Pin

_WIDENING = (0.02, 0.1, 0.3, 1.0)  # shares of the limit tried in turn: a close answer spares the wide search


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


def radial_room(pin: Pin, hole: Hole) -> float:
    """Hole radius less lead radius in mm (a flat lead by half its diagonal). ValueError where either is not stated."""
    if pin.lead_diameter_mm is None or hole.drill_mm is None:
        raise ValueError(f"lead of pin {pin.name} or drill of hole {hole.name} is not stated")
    return (hole.drill_mm - pin.lead_diameter_mm) / 2


def no_room(pin: Pin, hole: Hole) -> float:
    """Nought, so that play is the deviation with its sign turned."""
    return 0.0


def mirrored(pins: Sequence[Pin]) -> tuple[Pin, ...]:
    """The same pins seen from the other side, flat leads turned over too."""
    return tuple(replace(p, x_mm=-p.x_mm, lead_angle_deg=_other_way(p.lead_angle_deg)) for p in pins)


def _other_way(angle: float | None) -> float | None:
    return None if angle is None else -angle


def place(
    pins: Sequence[Pin],
    holes: Sequence[Hole],
    limit_mm: float = 0.0,
    allowed: Accept | None = None,
    room: Room = radial_room,
    flat: bool = True,
    patience: Patience | None = None,
) -> tuple[Placement, ...]:
    """Every distinct assignment that goes in with play >= -``limit_mm``, the most play first.

    ``allowed`` may refuse assignments ({pin: hole}) before they are measured; ``flat`` False takes every flat lead by
    its diagonal. Where ``patience`` is gone after it, not every way was tried. ValueError where ``room`` needs a size
    that is not stated.
    """
    seats = Seats.of(pins, holes, room, flat)
    found = (_settled(seats, way, limit_mm + ROUNDING_MM) for way in pairings(seats, limit_mm, allowed, patience))
    return tuple(sorted((p for p in found if p), key=lambda p: -p.play_mm))


def closest(
    pins: Sequence[Pin],
    holes: Sequence[Hole],
    limit_mm: float = 1.0,
    allowed: Accept | None = None,
    room: Room = no_room,
    angles_deg: Sequence[float] | None = None,
    flat: bool = False,
    patience: Patience | None = None,
) -> Placement | None:
    """The placement with the most play, None where even that is below -``limit_mm``.

    ``angles_deg`` keeps to those angles; ``flat`` tries flat leads of known angle by their corners; lengths in mm.
    Where ``patience`` is gone after it, it is the best of what was tried.
    """
    seats = Seats.of(pins, holes, room, flat)
    angles = None if angles_deg is None else tuple(map(radians, angles_deg))
    limits = [limit_mm * share for share in _WIDENING]
    tried = (_best(seats, pairings(seats, limit, allowed, patience), limit, angles) for limit in limits)
    return next(filter(None, tried), None)


def deviation(
    pins: Sequence[Pin],
    holes: Sequence[Hole],
    limit: float = 1.0,
    accept: Accept | None = None,
    angles_deg: Sequence[float] | None = None,
) -> float | None:
    """The smallest possible largest pin-to-hole-centre distance in mm, None above ``limit``.

    Only assignments ({pin: hole}) that ``accept`` lets through count.
    """
    found = closest(pins, holes, limit, accept, no_room, angles_deg)
    return None if found is None else found.deviation_mm


def _best(seats: Seats, ways: Iterable[Pairing], limit: float, angles: Sequence[float] | None) -> Placement | None:
    """The placement with the most play, each one measured only while it may still beat the best so far."""
    best: Placement | None = None
    for pairing in ways:
        worth = limit if best is None else -best.play_mm - CLOSE_MM
        best = _settled(seats, pairing, worth, angles) or best
    return best


def _settled(seats: Seats, pairing: Pairing, limit: float, angles: Sequence[float] | None = None) -> Placement | None:
    """The assignment in its best position, or None where its largest error is certainly above ``limit``."""
    pairs = seats.pairs(pairing)
    reach = at_angles(pairs, angles) if angles else at_any_angle(pairs, seats.swing(pairing, limit), limit)
    return None if reach is None or reach.error > limit else _placement(seats, pairing, reach)


def _placement(seats: Seats, pairing: Pairing, reach: Reach) -> Placement:
    apart = [off(seats.points[i], seats.spots[j], reach.angle, reach.shift) for i, j in enumerate(pairing)]
    play = [_play(seats, i, j, reach) for i, j in enumerate(pairing)]
    tight = min(range(len(play)), key=play.__getitem__)
    return Placement(
        seats.named(pairing),
        half_turn(degrees(reach.angle)),
        _whole_shift(seats, reach),
        play[tight],
        seats.pins[tight].name,
        max(apart),
    )


def _play(seats: Seats, pin: int, hole: int, reach: Reach) -> float:
    """The room left round one lead: its hole's radius less the distance of its farthest point."""
    points = (plus(seats.points[pin], f) for f in seats.feelers[pin])
    farthest = max(off(p, seats.spots[hole], reach.angle, reach.shift) for p in points)
    return seats.room[pin][hole] + seats.reach[pin] - farthest


def _whole_shift(seats: Seats, reach: Reach) -> Point:
    """The shift between the drawings as they were given, not about their middles."""
    there = middle(centres(seats.holes))
    x, y = turned(middle(centres(seats.pins)), reach.angle)
    return (reach.shift[0] + there[0] - x, reach.shift[1] + there[1] - y)
