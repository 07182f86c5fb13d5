"""The plane: points, turns and distances in mm, x to the right and y down, so that a positive turn is clockwise."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, hypot, sin

from bom.boards.board import Hole
from bom.relays.footprint import Pin

Point = tuple[float, float]


def plus(a: Point, b: Point) -> Point:
    return (a[0] + b[0], a[1] + b[1])


def minus(a: Point, b: Point) -> Point:
    return (a[0] - b[0], a[1] - b[1])


def turned(point: Point, angle: float) -> Point:
    """The point turned about the origin by ``angle`` radians."""
    co, si = cos(angle), sin(angle)
    return (point[0] * co - point[1] * si, point[0] * si + point[1] * co)


def direction(v: Point) -> Point:
    """The unit vector along ``v``; (0, 0) for a vector of no length."""
    length = hypot(*v)
    return (v[0] / length, v[1] / length) if length else (0.0, 0.0)


def off(point: Point, spot: Point, angle: float, shift: Point) -> float:
    """How far the point, turned and shifted, is from the spot."""
    x, y = turned(point, angle)
    return hypot(x + shift[0] - spot[0], y + shift[1] - spot[1])


def centres(things: Sequence[Pin] | Sequence[Hole]) -> tuple[Point, ...]:
    return tuple((t.x_mm, t.y_mm) for t in things)


def middle(points: Sequence[Point]) -> Point:
    """The middle of the box round the points (the origin where there are none)."""
    xs, ys = [p[0] for p in points] or [0.0], [p[1] for p in points] or [0.0]
    return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def about_the_middle(points: Sequence[Point]) -> tuple[Point, ...]:
    about = middle(points)
    return tuple(minus(p, about) for p in points)


def distances(points: Sequence[Point]) -> tuple[tuple[float, ...], ...]:
    """Every point's distance to every other."""
    apart = [[0.0] * len(points) for _ in points]
    for i, (x, y) in enumerate(points):
        for k in range(i):
            apart[i][k] = apart[k][i] = hypot(points[k][0] - x, points[k][1] - y)
    return tuple(map(tuple, apart))


def half_turn(angle_deg: float) -> float:
    """An angle brought above -180 and up to 180 degrees; the last bits are dropped so that a half turn reads 180."""
    turn = 180.0 - (180.0 - angle_deg) % 360.0
    return round(turn, 9) + 0.0  # how many digits, and the sign of a turn of 0, no test can hold
