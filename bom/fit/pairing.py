"""Pairing: which pin may take which hole, every way in which no two pins contradict each other.

Two pins contradict each other where their distance and that of their holes differ by more than both may be off; a
third also where it is too far from the spot that the first two predict. These are necessary conditions, so no pairing
that could go in is lost.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import hypot, pi, radians, sin, sqrt

from bom.boards.board import Hole
from bom.fit.best_angle import Swing, swing
from bom.fit.best_shift import PointsAndSpots
from bom.fit.plane import Point, about_the_middle, centres, distances, minus, turned
from bom.relays.footprint import Pin

# A play of exactly 0 is a fit, though found only to within ``bom.fit.best_angle.CLOSE_MM``. Far below what anyone
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
    """The pins in the order in which they are given holes, and how far each may be off in each hole."""

    both: PinsAndHoles
    limit: float
    order: tuple[int, ...]
    slacks: tuple[tuple[float, ...], ...]
    patience: Patience | None

    @classmethod
    def over(cls, both: PinsAndHoles, limit: float, patience: Patience | None) -> _PairingSearch:
        holes, loose = range(len(both.holes)), limit + ROUNDING_MM
        slacks = tuple(tuple(both.slack(i, j, loose) for j in holes) for i in range(len(both.pins)))
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
        loose = self.slacks[first][taken] + both.spans[pin][first] * 2 * sin(min(half, pi) / 2) + ROUNDING_MM
        spots, slacks = both.spots, self.slacks[pin]
        return [j for j in free if hypot(x - spots[j][0], y - spots[j][1]) <= slacks[j] + loose]

    def _angles(self, chosen: dict[int, int]) -> Swing | None:
        """The angles that the first two pins leave in their holes; None while fewer have one."""
        if len(chosen) < 2:
            return None
        i, k = self.order[:2]
        return self.both.swing_of((i, chosen[i]), (k, chosen[k]), self.limit + ROUNDING_MM)
