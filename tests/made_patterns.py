"""Random patterns, the spans that hold them, and pictures of them: what measuring is tested and timed with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import cos, radians, sin

import numpy as np
from numpy.typing import NDArray

from bom.measure.answer import Pattern
from bom.measure.network import ways_to_bend
from bom.measure.picture import Mark, Taken
from bom.measure.spans import Measured, Span, Turn

Numbers = NDArray[np.float64]
LEAST_PITCH_MM = 2.5


@dataclass(frozen=True)
class Made:
    """Holes in their true places, and readings of them."""

    points: Numbers
    measured: Measured


def turn_of(names: Sequence[str], points: Numbers) -> Turn:
    """The three that lie farthest from a line, as they go round."""

    def area(three: tuple[int, ...]) -> float:
        (a, b), (c, d) = points[three[1]] - points[three[0]], points[three[2]] - points[three[0]]
        return float(a * d - b * c)

    a, b, c = three = max(combinations(range(len(names)), 3), key=lambda t: abs(area(t)))
    return Turn(names[a], names[b], names[c], clockwise=area(three) > 0)


def scattered(dice: np.random.Generator, count: int, box: tuple[float, float] = (30.0, 20.0)) -> Numbers:
    """So many places in a box, none nearer to another than relays have their pins."""
    points: list[Numbers] = []
    while len(points) < count:
        one = dice.uniform(0, box)
        if all(np.hypot(*(one - other)) > LEAST_PITCH_MM for other in points):
            points.append(one)
    return np.array(points)


def spans_of(dice: np.random.Generator, points: Numbers, names: Sequence[str], spare: int, error: float) -> list[Span]:
    """Random spans that just hold the pattern, and some to spare, each off by no more than the error."""
    pairs = list(combinations(range(len(points)), 2))
    dice.shuffle(pairs)
    chosen: list[tuple[int, int]] = []
    rest: list[tuple[int, int]] = []
    lacking = 2 * len(points) - 3
    for pair in pairs:
        still = ways_to_bend([Span(names[i], names[k], 1.0, 1.0) for i, k in (*chosen, pair)], names) if lacking else 0
        (chosen if still < lacking else rest).append(pair)
        lacking = min(lacking, still)
    return [read(dice, points, names, pair, error) for pair in (*chosen, *rest[:spare])]


def read(dice: np.random.Generator, points: Numbers, names: Sequence[str], pair: tuple[int, int], error: float) -> Span:
    i, k = pair
    apart = float(np.hypot(*(points[i] - points[k])))
    return Span(names[i], names[k], apart + float(dice.uniform(-error, error)), error)


def made(dice: np.random.Generator, count: int, spare: int, error: float = 0.05) -> Made:
    points = scattered(dice, count)
    names = tuple(f"h{n}" for n in range(count))
    spans = tuple(spans_of(dice, points, names, spare, error))
    return Made(points, Measured(names, spans, turns=(turn_of(names, points),)))


def off(points: Numbers, found: Pattern) -> Numbers:
    """How far each place found is off the true one where both patterns lie on each other, never mirrored; mm."""
    got = np.array([[s.x_mm, s.y_mm] for s in found.spots])
    here, there = points - points.mean(axis=0), got - got.mean(axis=0)
    left, _, right = np.linalg.svd(there.T @ here)
    turn = left @ np.diag([1.0, np.sign(np.linalg.det(left @ right))]) @ right
    distances: Numbers = np.linalg.norm(there @ turn - here, axis=1)
    return distances


def within(points: Numbers, found: Pattern) -> bool:
    """Whether every place lies within its stated error."""
    return bool((off(points, found) <= [s.error_mm for s in found.spots]).all())


WIDE, HIGH, FOCAL = 4000.0, 3000.0, 3000.0


def seen(dice: np.random.Generator, points: Numbers, taken: Taken, most_tilt_deg: float = 35.0) -> Numbers:
    """The places in pixels: a scan at 600 dots an inch, or a photo from about 70 mm away, tilted."""
    if taken is not Taken.PHOTO:
        angle = dice.uniform(-0.2, 0.2)
        turn = np.array([[cos(angle), -sin(angle)], [sin(angle), cos(angle)]])
        stretch = 1.01 if taken is Taken.STRETCHED else 1.0
        flat: Numbers = points @ turn.T * 600 / 25.4 * [1.0, stretch] + [300, 200]
        return flat
    axis, tilt, about = dice.normal(size=2), radians(dice.uniform(5, most_tilt_deg)), dice.uniform(-3.1, 3.1)
    x, y = axis / np.hypot(*axis)
    cross = np.array([[0, 0, y], [0, 0, -x], [-y, x, 0]])
    turned = np.eye(3) + sin(tilt) * cross + (1 - cos(tilt)) * cross @ cross
    about_z = np.array([[cos(about), -sin(about), 0], [sin(about), cos(about), 0], [0, 0, 1]])
    flat_on = np.hstack((points - points.mean(axis=0), np.zeros((len(points), 1))))
    before = flat_on @ (turned @ about_z).T + [dice.uniform(-10, 10), dice.uniform(-8, 8), 70]
    picture: Numbers = before[:, :2] / before[:, 2:] * FOCAL + [WIDE / 2, HIGH / 2]
    return picture


def marks(dice: np.random.Generator, names: Sequence[str], pixels: Numbers, error_px: float) -> tuple[Mark, ...]:
    shaken = pixels + dice.uniform(-error_px, error_px, pixels.shape)
    return tuple(Mark(name, float(x), float(y)) for name, (x, y) in zip(names, shaken, strict=True))
