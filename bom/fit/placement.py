"""Placement: how a set of pins best goes into a set of holes, for every pairing of pins with holes.

For a pairing of pins with holes the *play* is the smallest, over the pins, of hole radius - lead radius - distance
between centres; turning and shifting the part (never mirroring it) make it as large as it can be. Answers are within
0.00001 mm of the true optimum, certified: the pairings left out contradict themselves, the shift at one angle is
exact, and the search over the angle ends only when a bound on the error at every angle not tried is within 0.000002
mm of the best found (``turn_and_shift``).

Two pins contradict each other where their distance and that of their holes differ by more than both may be off; a
third also where it is too far from the spot that the first two predict. These are necessary conditions, so no pairing
that could go in is lost.

A flat lead whose long side's angle is known goes in where all four of its corners lie inside the hole, so each corner
is a point of its own with the hole's radius for room. In the middle of the hole that asks for its diagonal, off the
middle across its thin side for less. Without the angle its diagonal stands for it, which is the safe bound.

Lengths are in mm, x to the right and y down, so a positive rotation is clockwise as seen.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import degrees, hypot, pi, radians, sin, sqrt

from bom.boards.board import Hole
from bom.fit.plane import Point, about_the_middle, centres, distances, half_turn, middle, minus, off, plus, turned
from bom.fit.turn_and_shift import CLOSE_MM, PointsAndSpots, Reach, Swing, at_any_angle, swing
from bom.relays.footprint import Pin

# A play of exactly 0 is a fit, though found only to within ``bom.fit.turn_and_shift.CLOSE_MM``. Far below what anyone
# measures, so no test can tell a tenth of it.
ROUNDING_MM = 3e-6

Pairing = tuple[int, ...]  # the number of each pin's hole, in the order of the pins
# Measuring a pairing takes about as long for each pin as three steps of the search. It decides only when patience is
# gone, and that moves with the machine, so no test can hold it.
_MEASURING = 3


UNSTATED_ROOM_MM = 1.0
"""Room round a lead in a hole whose drill nobody stated: as wide as a near miss is far. Common practice, no source."""


@dataclass(slots=True)
class Patience:
    """How many steps a search may still take; ``gone`` once it was cut short, so that not every way was tried.

    Holes closer together than the room in them, or on the same spot, have more pairings than anyone can try. The
    number is some seconds' work at most, and a hundred times what any drawing of a relay needs (measured).
    """

    left: int = 60_000  # it decides only how long is too long, so no test can hold it

    @property
    def gone(self) -> bool:
        return self.left < 0

    def allows(self, steps: int) -> bool:
        """Spend these steps; whether there were that many."""
        self.left -= steps
        return self.left >= 0


def corners(pin: Pin) -> tuple[Point, ...]:
    """The corners of a flat lead about its middle, in mm; nothing for a round one or one of unknown angle."""
    if pin.lead_mm is None or pin.lead_width_mm is None or pin.lead_angle_deg is None:
        return ()
    long, short = max(pin.lead_mm, pin.lead_width_mm) / 2, min(pin.lead_mm, pin.lead_width_mm) / 2
    angle = radians(pin.lead_angle_deg)
    return tuple(turned(c, angle) for c in ((long, short), (-long, short), (-long, -short), (long, -short)))


def reach_of(pin: Pin) -> float:
    """How far a flat lead of known angle reaches from its middle, in mm: half its diagonal; 0 for any other."""
    return hypot(*corners(pin)[0]) if corners(pin) else 0.0


def room_round(pin: Pin, hole: Hole) -> float:
    """Hole radius less lead radius in mm, a flat lead by half its diagonal; negative where the lead is too thick.

    What is not stated gets the kindest guess: a lead as thin as air, a hole ``UNSTATED_ROOM_MM`` too wide all round. A
    part that does not go in even so certainly does not; where it does, the answer stays unknown.
    """
    return UNSTATED_ROOM_MM if hole.drill_mm is None else (hole.drill_mm - (pin.lead_diameter_mm or 0.0)) / 2


def off_centre(room: float, reach: float) -> float:
    """How far a lead's middle may be off its hole's in this room, in mm; negative where the lead is too thick.

    However a flat lead lies, one of its corners points away from the hole's middle, so the squares of the offset and
    of the half diagonal ``reach`` together are at most the square of the hole's radius.
    """
    return room if room < 0 or not reach else sqrt(room * (room + 2 * reach))


@dataclass(frozen=True, slots=True)
class PinsAndHoles:
    """Pins and holes about their middles, the room of every pair, and the distances among each.

    ``feelers`` are the points of each pin that must stay within its room, about its middle; ``reach`` how far out they
    are (0 for a lead taken by its diameter); ``order`` the pins, those that rule out most first.
    """

    pins: tuple[Pin, ...]
    holes: tuple[Hole, ...]
    points: tuple[Point, ...]
    spots: tuple[Point, ...]
    room: tuple[tuple[float, ...], ...]
    spans: tuple[tuple[float, ...], ...]
    gaps: tuple[tuple[float, ...], ...]
    feelers: tuple[tuple[Point, ...], ...]
    reach: tuple[float, ...]
    order: tuple[int, ...]

    @classmethod
    def of(cls, pins: Sequence[Pin], holes: Sequence[Hole]) -> PinsAndHoles:
        points, spots = about_the_middle(centres(pins)), about_the_middle(centres(holes))
        rooms = tuple(tuple(room_round(p, h) for h in holes) for p in pins)
        feelers = tuple(corners(p) or ((0.0, 0.0),) for p in pins)
        reach = tuple(map(reach_of, pins))
        spans, gaps = distances(points), distances(spots)
        return cls(tuple(pins), tuple(holes), points, spots, rooms, spans, gaps, feelers, reach, _order(spans))

    def slack(self, pin: int, hole: int, limit: float) -> float:
        """How far the pin's middle may be off its hole's with ``limit`` mm more room than there is."""
        return off_centre(self.room[pin][hole] + limit, self.reach[pin])

    def named(self, pairing: Sequence[int]) -> dict[str, str]:
        return {pin.name: self.holes[j].name for pin, j in zip(self.pins, pairing, strict=True)}

    def pairs(self, pairing: Sequence[int]) -> PointsAndSpots:
        """Every point that must stay in its hole, with that hole's middle and radius."""
        points = [(px + fx, py + fy) for (px, py), fs in zip(self.points, self.feelers, strict=True) for fx, fy in fs]
        spots = [self.spots[j] for i, j in enumerate(pairing) for _ in self.feelers[i]]
        rooms = [self.room[i][j] + self.reach[i] for i, j in enumerate(pairing) for _ in self.feelers[i]]
        return PointsAndSpots(points, spots, rooms)

    def swing(self, pairing: Sequence[int], limit: float) -> Swing:
        """The angles that the two pins farthest apart leave."""
        if len(self.points) < 2:
            return 0.0, 0.0
        i, k = self.order[:2]
        return self.swing_of((i, pairing[i]), (k, pairing[k]), limit)

    def swing_of(self, one: tuple[int, int], other: tuple[int, int], limit: float) -> Swing:
        (i, h), (k, m) = one, other
        slack = self.slack(i, h, limit) + self.slack(k, m, limit)
        return swing((self.points[i], self.points[k]), (self.spots[h], self.spots[m]), slack)


def _order(spans: Sequence[Sequence[float]]) -> tuple[int, ...]:
    """The two pins farthest apart, which rule out most, then the rest, the farthest from the first of them first."""
    numbers = range(len(spans))
    # any two are right, and these only end sooner, so no test can hold it
    ends = max(combinations(numbers, 2), key=lambda pair: spans[pair[0]][pair[1]], default=tuple(numbers))
    rest = [n for n in numbers if n not in ends]
    # any order is right, and this one only ends sooner, so no test can hold it
    return (*ends, *sorted(rest, key=lambda n: -spans[ends[0]][n]))


def pairings(both: PinsAndHoles, limit: float, patience: Patience | None = None) -> Iterator[Pairing]:
    """Every pairing that may go in with a play of -``limit`` mm; with ``patience`` no more than it allows."""
    if not both.pins or len(both.pins) > len(both.holes):
        return
    for pairing in _PairingSearch.over(both, limit, patience).extend({}, None):
        # it decides only how long is too long, so no test can hold it
        if patience and not patience.allows(_MEASURING * len(pairing)):
            return
        yield pairing


@dataclass(frozen=True, slots=True)
class _PairingSearch:
    """The pins in the order in which they are given holes, and how far each may be off in each hole.

    ``limit`` is the room allowed beyond what there is, in mm, with rounding forgiven.
    """

    both: PinsAndHoles
    limit: float
    order: tuple[int, ...]
    slacks: tuple[tuple[float, ...], ...]
    patience: Patience | None

    @classmethod
    def over(cls, both: PinsAndHoles, limit: float, patience: Patience | None) -> _PairingSearch:
        holes, limit = range(len(both.holes)), limit + ROUNDING_MM
        slacks = tuple(tuple(both.slack(i, j, limit) for j in holes) for i in range(len(both.pins)))
        return cls(both, limit, both.order, slacks, patience)

    def extend(self, chosen: dict[int, int], angles: Swing | None) -> Iterator[Pairing]:
        """Give the next pin each hole that agrees with the holes given before."""
        if len(chosen) == len(self.order):
            yield tuple(chosen[i] for i in range(len(self.order)))
            return
        # a step takes longer among many holes; it decides only when patience is gone, so no test can hold it
        if self.patience and not self.patience.allows(1 + len(self.both.holes) // 32):
            return
        pin = self.order[len(chosen)]
        for hole in self._agreeing(pin, chosen, angles):
            chosen[pin] = hole
            yield from self.extend(chosen, angles or self._angles(chosen))
            del chosen[pin]

    def _agreeing(self, pin: int, chosen: dict[int, int], angles: Swing | None) -> list[int]:
        """The free holes at the right distance from those taken and, once there are two, near the predicted spot."""
        free = [j for j, slack in enumerate(self.slacks[pin]) if slack >= 0 and j not in chosen.values()]
        for other, taken in chosen.items():
            span, gaps, slacks = self.both.spans[pin][other], self.both.gaps[taken], self.slacks[pin]
            theirs = self.slacks[other][taken]
            free = [j for j in free if abs(span - gaps[j]) <= slacks[j] + theirs]
        return free if angles is None else self._near(pin, free, chosen, angles)

    def _near(self, pin: int, free: list[int], chosen: dict[int, int], angles: Swing) -> list[int]:
        both, first = self.both, self.order[0]
        taken, (angle, half) = chosen[first], angles
        x, y = turned(minus(both.points[pin], both.points[first]), angle)
        x, y = x + both.spots[taken][0], y + both.spots[taken][1]
        loose = self.slacks[first][taken] + both.spans[pin][first] * 2 * sin(min(half, pi) / 2)
        spots, slacks = both.spots, self.slacks[pin]
        return [j for j in free if hypot(x - spots[j][0], y - spots[j][1]) <= slacks[j] + loose]

    def _angles(self, chosen: dict[int, int]) -> Swing | None:
        """The angles that the first two pins leave in their holes; None while fewer have one."""
        if len(chosen) < 2:
            return None
        i, k = self.order[:2]
        return self.both.swing_of((i, chosen[i]), (k, chosen[k]), self.limit)


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
    """The pins as seen from the other side, flat leads turned over too."""
    return tuple(replace(p, x_mm=-p.x_mm, lead_angle_deg=_other_way(p.lead_angle_deg)) for p in pins)


def _other_way(angle: float | None) -> float | None:
    return None if angle is None else -angle


def place(
    pins: Sequence[Pin], holes: Sequence[Hole], limit_mm: float = 0.0, patience: Patience | None = None
) -> tuple[Placement, ...]:
    """Every pairing that goes in with a play of at least -``limit_mm``, each in its best position, the most play first.

    Sizes that are not stated get the kindest guess (``bom.fit.placement.room_round``). Where ``patience`` is gone after
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
