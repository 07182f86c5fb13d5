"""The best turn and shift: how a set of points comes nearest to its spots, so that the largest error is smallest.

*At one angle* the best shift is the middle of the smallest circle that reaches round a few points with an allowance
for each, found exactly by pivoting on the point that is worst off. The one to three points that decide give weights
under which the directions to them cancel; the weighted mean of the errors bounds the largest error from below at
*every* angle (own derivation: a maximum is never less than a weighted mean, and a distance never less than its
component along a fixed direction).

*Over the angle* it is branch and bound. The bound found at each end of a range of angles holds all over the range, so
no angle of it can do better than the lowest point of the higher of the two; that point is the next angle tried. It
ends when no range left has a bound more than ``CLOSE_MM`` below the best error found: so much at most is the answer
above the true optimum.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, count, pairwise
from math import acos, asin, atan2, cos, hypot, pi, sin, sqrt

from bom.fit.plane import Point, direction, minus

_EXACT_MM = 1e-10  # forgives rounding inside one shift problem; no test can tell a tenth of it

Weighted = list[tuple[int, float]]  # deciding places with their weights


@dataclass(frozen=True, slots=True)
class PointsAndSpots:
    """Points that must come to their spots, and the room each has there; all in mm about some middle."""

    points: Sequence[Point]
    spots: Sequence[Point]
    rooms: Sequence[float]


@dataclass(frozen=True, slots=True)
class Reach:
    """The best shift at one angle: the error there, and the floor ``a cos(angle) + b sin(angle) + c`` at any angle.

    ``places`` are those that decide.
    """

    angle: float
    error: float
    shift: Point
    a: float
    b: float
    c: float
    places: tuple[int, ...] = ()

    def floor(self, angle: float) -> float:
        """No shift at this angle has a smaller largest error."""
        return self.a * cos(angle) + self.b * sin(angle) + self.c


def reach_at(pairs: PointsAndSpots, angle: float, likely: tuple[int, ...] = ()) -> Reach:
    """The best shift at this angle (radians), with its floor. ``likely`` to decide are the places tried first."""
    co, si = cos(angle), sin(angle)
    wanted = [
        (hx - x * co + y * si, hy - x * si - y * co) for (hx, hy), (x, y) in zip(pairs.spots, pairs.points, strict=True)
    ]
    (sx, sy), basis = smallest_reach(wanted, pairs.rooms, likely)
    error = max([hypot(sx - x, sy - y) - r for (x, y), r in zip(wanted, pairs.rooms, strict=True)])
    return Reach(angle, error, (sx, sy), *_floor(pairs, wanted, (sx, sy), basis), tuple([i for i, _ in basis]))


def _floor(pairs: PointsAndSpots, wanted: Sequence[Point], shift: Point, basis: Weighted) -> tuple[float, float, float]:
    """The weighted components of the errors along today's directions, as cosine, sine and constant of the angle."""
    a = b = c = 0.0
    for i, weight in basis:
        ux, uy = direction(minus(shift, wanted[i])) if len(basis) > 1 else (0.0, 0.0)
        (px, py), (hx, hy) = pairs.points[i], pairs.spots[i]
        a += weight * (ux * px + uy * py)
        b += weight * (uy * px - ux * py)
        c -= weight * (ux * hx + uy * hy + pairs.rooms[i])
    return a, b, c


def smallest_reach(
    wanted: Sequence[Point], rooms: Sequence[float], likely: tuple[int, ...] = ()
) -> tuple[Point, Weighted]:
    """The point whose largest (distance - room) is smallest, and the places that decide with their weights.

    Each step's answer is larger than the last, so it ends; from the ``likely`` places it is a step or two.
    """
    shift, error, basis = _first_point(wanted, rooms, list(likely))
    for _ in range(8 * len(wanted)):  # it ends by itself long before; only rounding could keep it, so no test can
        worst, over = None, error + _EXACT_MM
        for i, (x, y) in enumerate(wanted):
            beyond = hypot(shift[0] - x, shift[1] - y) - rooms[i]
            if beyond > over:
                worst, over = i, beyond
        if worst is None:
            break
        shift, error, basis = _pivot(wanted, rooms, [i for i, _ in basis], worst)
    return shift, basis


def _first_point(wanted: Sequence[Point], rooms: Sequence[float], likely: list[int]) -> tuple[Point, float, Weighted]:
    """The point for these places alone, or, where they do not decide it, for the place with the least room."""
    # wherever it begins, it ends at the same point; this only ends sooner, so no test can hold it
    if len(likely) > 1 and (solved := _between(wanted, rooms, likely)) is not None:
        return solved
    first = min(range(len(wanted)), key=rooms.__getitem__)
    return wanted[first], -rooms[first], [(first, 1.0)]


def _pivot(
    wanted: Sequence[Point], rooms: Sequence[float], basis: list[int], worst: int
) -> tuple[Point, float, Weighted]:
    """The smallest set of deciding places that serves the old ones and the worst one."""
    everyone = [*basis, worst]
    tried: list[tuple[float, tuple[Point, float, Weighted]]] = []
    for size in (1, 2):
        for others in combinations(basis, size):
            solved = _between(wanted, rooms, [worst, *others])
            if solved is None:
                continue
            (x, y), error, _ = solved
            over = max([hypot(x - wanted[i][0], y - wanted[i][1]) - rooms[i] for i in everyone]) - error
            if over <= _EXACT_MM:
                return solved
            tried.append((over, solved))
    return min(tried, key=lambda pair: pair[0])[1]  # two places always have an answer


def _between(
    wanted: Sequence[Point], rooms: Sequence[float], places: list[int]
) -> tuple[Point, float, Weighted] | None:
    """The point equally badly off at two or three places, or None where they do not decide it."""
    if len(places) == 2:
        return _between_two(wanted, rooms, *places)
    return _between_three(wanted, rooms, places)


def _between_two(
    wanted: Sequence[Point], rooms: Sequence[float], i: int, k: int
) -> tuple[Point, float, Weighted] | None:
    dx, dy = minus(wanted[k], wanted[i])
    apart = hypot(dx, dy)
    if apart <= abs(rooms[i] - rooms[k]):
        loose = i if rooms[i] < rooms[k] else k  # one place has room to spare for the other
        return wanted[loose], -rooms[loose], [(loose, 1.0)]
    error = (apart - rooms[i] - rooms[k]) / 2
    along = (error + rooms[i]) / apart
    return (wanted[i][0] + dx * along, wanted[i][1] + dy * along), error, [(i, 0.5), (k, 0.5)]


def _between_three(
    wanted: Sequence[Point], rooms: Sequence[float], places: list[int]
) -> tuple[Point, float, Weighted] | None:
    """Apollonius' problem: distance to each of three places = error + its room; one linear pair, then a quadratic."""
    i, k, m = places
    (ax, ay), (bx, by) = minus(wanted[k], wanted[i]), minus(wanted[m], wanted[i])
    cross = ax * by - ay * bx
    if abs(cross) < 1e-18:  # in one line, but for rounding: no test can tell a tenth of it
        return None
    ra, rb = rooms[k] - rooms[i], rooms[m] - rooms[i]
    # With z = distance to place i: 2 a.t = |a|^2 - ra^2 - 2 ra z, and the same for b.
    fa, fb = (ax * ax + ay * ay - ra * ra) / 2, (bx * bx + by * by - rb * rb) / 2
    px, py = (fa * by - fb * ay) / cross, (ax * fb - bx * fa) / cross
    qx, qy = (-ra * by + rb * ay) / cross, (-ax * rb + bx * ra) / cross
    z = _least(qx * qx + qy * qy - 1, px * qx + py * qy, px * px + py * py)
    # No distance is below 0. A wrong answer would only cost another step: no test can tell `z + min(ra, rb)` from less.
    if z is None or z + min(ra, rb) < 0:
        return None
    tx, ty = px + qx * z, py + qy * z
    weights = _balance([direction((tx, ty)), direction((tx - ax, ty - ay)), direction((tx - bx, ty - by))])
    shift = (wanted[i][0] + tx, wanted[i][1] + ty)
    return (shift, z - rooms[i], list(zip(places, weights, strict=True))) if weights else None


def _least(a: float, half_b: float, c: float) -> float | None:
    """The least z >= 0 with a z^2 + 2 half_b z + c = 0, for c >= 0; None where there is none.

    The other root never decides: where the directions to the places cancel, no point has a smaller error.
    """
    square = half_b * half_b - a * c
    if square < 0:
        return None
    rest = sqrt(square) - half_b
    return c / rest if rest > 0 else None


def _balance(directions: list[Point]) -> list[float] | None:
    """Weights >= 0, summing to 1, under which three directions cancel; None where they all point to one side."""
    (ux, uy), (vx, vy), (wx, wy) = directions
    raw = [vx * wy - vy * wx, wx * uy - wy * ux, ux * vy - uy * vx]
    total = sum(raw)
    if abs(total) < 1e-15:  # all along one line, but for rounding: no test can tell a tenth of it
        return None
    weights = [r / total for r in raw]
    return weights if min(weights) >= 0 else None


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
    ranges = list(_first_ranges(pairs, *worth))
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


def _first_ranges(pairs: PointsAndSpots, middle: float, half: float) -> Iterator[AngleRange]:
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
