"""The best shift of a part held at one angle: the point whose largest (distance less room) to some places is smallest.

It is the smallest circle that reaches round a few points with an allowance for each, found exactly by pivoting on the
place that is worst off. The one to three places that decide give weights under which the directions to them cancel;
the weighted mean of the errors bounds the largest error from below at *every* angle (own derivation: a maximum is never
less than a weighted mean, and a distance never less than its component along a fixed direction).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import cos, hypot, sin, sqrt

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
    shift, error, basis = _begun(wanted, rooms, list(likely))
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


def _begun(wanted: Sequence[Point], rooms: Sequence[float], likely: list[int]) -> tuple[Point, float, Weighted]:
    """The point for these places alone, or, where they do not decide it, for the place with the least room."""
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
    for z in _roots(qx * qx + qy * qy - 1, px * qx + py * qy, px * px + py * py):
        tx, ty = px + qx * z, py + qy * z
        if z < 0 or z + ra < 0 or z + rb < 0:
            continue
        weights = _balance([direction((tx, ty)), direction((tx - ax, ty - ay)), direction((tx - bx, ty - by))])
        if weights:
            shift = (wanted[i][0] + tx, wanted[i][1] + ty)
            return shift, z - rooms[i], list(zip(places, weights, strict=True))
    return None


def _roots(a: float, half_b: float, c: float) -> list[float]:
    """Roots of a z^2 + 2 half_b z + c, the smaller first."""
    if abs(a) < 1e-15:  # no square term, but for rounding: no test can tell a tenth of it
        return [] if half_b == 0 else [-c / (2 * half_b)]
    square = half_b * half_b - a * c
    if square < 0:
        return []
    root = sqrt(square)
    return sorted(((-half_b - root) / a, (-half_b + root) / a))


def _balance(directions: list[Point]) -> list[float] | None:
    """Weights >= 0, summing to 1, under which three directions cancel; None where they all point to one side."""
    (ux, uy), (vx, vy), (wx, wy) = directions
    raw = [vx * wy - vy * wx, wx * uy - wy * ux, ux * vy - uy * vx]
    total = sum(raw)
    if abs(total) < 1e-15:  # all along one line, but for rounding: no test can tell a tenth of it
        return None
    weights = [r / total for r in raw]
    return weights if min(weights) >= 0 else None
