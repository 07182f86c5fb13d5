"""The best angle: which turn, with its best shift, leaves the smallest largest error, certified.

Branch and bound over ranges of angle. The reach found at each end of a range gives a floor under the error at every
angle (``bom.fit.best_shift``), so no angle of the range can do better than the lowest point of the higher of its two
floors; that point is the next angle tried. It ends when no range left has a floor more than ``CLOSE_MM`` below the
best error found: so much at most is the answer above the true optimum.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import count, pairwise
from math import acos, asin, atan2, hypot, pi

from bom.fit.best_shift import PointsAndSpots, Reach, reach_at
from bom.fit.plane import Point, minus

# How far from the true optimum an answer may be; tests hold ten times that, since no test can tell rounding from it.
CLOSE_MM = 2e-6
_WIDEST = pi / 4  # a range is begun no wider than this, which only saves time: no test can hold it
_NARROWEST = 1e-12  # radians; a narrower range is settled, and since rounding is coarser, no test can hold it

Swing = tuple[float, float]  # angles worth trying: the middle and how far to either side, in radians


@dataclass(frozen=True, slots=True)
class AngleRange:
    """The angles between two that were tried."""

    left: Reach
    right: Reach

    def lowest(self) -> tuple[float, float]:
        """The lowest point of the higher of the two floors, (error, angle): no angle here has a smaller error."""
        return min((self._higher(angle), angle) for angle in self._turning_points())

    def _higher(self, angle: float) -> float:
        return max(self.left.floor(angle), self.right.floor(angle))

    def _turning_points(self) -> Iterator[float]:
        """Where the higher floor may be lowest: the ends, each floor's own lowest point, and where they cross."""
        left, right = self.left, self.right
        yield from (left.angle, right.angle)
        yield from self._within((atan2(-left.b, -left.a), atan2(-right.b, -right.a)))
        a, b, c = left.a - right.a, left.b - right.b, left.c - right.c
        size = hypot(a, b)
        if size > abs(c):
            peak, aside = atan2(b, a), acos(-c / size)
            yield from self._within((peak - aside, peak + aside))

    def _within(self, angles: Iterable[float]) -> Iterator[float]:
        start, wide = self.left.angle, self.right.angle - self.left.angle
        for angle in angles:
            on = (angle - start) % (2 * pi)
            if on < wide:
                yield start + on


def swing(pins: tuple[Point, Point], holes: tuple[Point, Point], slack: float) -> Swing:
    """The angles that two pins and their holes leave while the ends miss by at most ``slack`` together."""
    pin, hole = minus(pins[1], pins[0]), minus(holes[1], holes[0])
    longer = max(hypot(*pin), hypot(*hole))
    middle = atan2(hole[1], hole[0]) - atan2(pin[1], pin[0])
    # the least bit more forgives rounding, and no test can tell how much
    return middle, pi if slack >= longer else asin(max(slack, 0.0) / longer) + 1e-9


def at_any_angle(pairs: PointsAndSpots, worth: Swing, limit: float) -> Reach | None:
    """The best angle of those worth trying, None where its error is certainly above ``limit``."""
    ranges = list(_begun(pairs, *worth))
    best = min((r for both in ranges for r in (both.left, both.right)), key=lambda reach: reach.error)
    number = count()  # decides among equals
    heap: list[tuple[float, float, int, AngleRange]] = [(*both.lowest(), next(number), both) for both in ranges]
    heapq.heapify(heap)
    while heap and heap[0][0] <= limit and heap[0][0] < best.error - CLOSE_MM:
        _, angle, _, both = heapq.heappop(heap)
        reach = _inside(pairs, both, angle)
        if reach is None:
            continue
        best = min(best, reach, key=lambda r: r.error)
        for part in (AngleRange(both.left, reach), AngleRange(reach, both.right)):
            heapq.heappush(heap, (*part.lowest(), next(number), part))
    return best if best.error <= limit else None


def _begun(pairs: PointsAndSpots, middle: float, half: float) -> Iterator[AngleRange]:
    """The ranges to begin with; a single angle is a range by itself."""
    parts = max(1, int(2 * half / _WIDEST) + 1)  # how finely to begin only saves time, so no test can hold it
    tried = [reach_at(pairs, middle - half + 2 * half * n / parts) for n in range(parts + 1)]
    yield from (AngleRange(a, b) for a, b in pairwise(tried))


def _inside(pairs: PointsAndSpots, both: AngleRange, angle: float) -> Reach | None:
    """A reach inside the range, at the angle or, where that is one of its ends, half-way; None where none is left."""
    start, end = both.left.angle, both.right.angle
    if end - start < _NARROWEST:
        return None
    near = (end - start) * 1e-3  # an angle nearer to an end tells nothing new; it only saves time: no test can hold it
    likely = min(both.left, both.right, key=lambda reach: reach.error).places
    # where in the range it is tried decides only how soon the floors close: no test can hold it
    tried = angle if start + near < angle < end - near else (start + end) / 2
    return reach_at(pairs, tried, likely)
