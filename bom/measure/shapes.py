"""Shapes: patterns of one set of spans, how they differ, which way round they go, and what tells them apart."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np

from bom.measure.answer import Lacks, Next, Open
from bom.measure.least_squares import Numbers
from bom.measure.network import Network
from bom.measure.spans import Turn

SAME_MM = 0.01
"""By how much two shapes may differ that are one."""

_CLEARLY = 4.0  # times the callipers' error: what tells two shapes apart
_MOST_PROPOSED = 4


def distances(points: Numbers) -> Numbers:
    found: Numbers = np.linalg.norm(points[:, None] - points, axis=2)
    return found


def alike(one: Numbers, other: Numbers) -> bool:
    """Whether they are one shape, or mirror images."""
    return bool(np.abs(distances(one) - distances(other)).max() < SAME_MM)


def laid_on(one: Numbers, other: Numbers) -> Numbers:
    """``other`` shifted, turned and, where that serves, mirrored so that it lies on ``one`` as well as it can (least
    squares; closed form)."""
    here, there = one - one.mean(axis=0), other - other.mean(axis=0)
    left, _, right = np.linalg.svd(there.T @ here)
    found: Numbers = there @ left @ right + one.mean(axis=0)
    return found


def differ(one: Numbers, other: Numbers, wide: Numbers) -> bool:
    """Whether some hole of the other shape lies outside its circle, in whichever mirror image."""
    return bool((np.linalg.norm(laid_on(one, other) - one, axis=1) > wide + SAME_MM).any())


def way_round(network: Network, points: Numbers, turn: Turn, least_mm: float = 0.0) -> int:
    """1 where the shape goes round as the turn says, -1 where its mirror image does, 0 where the three lie about on a
    line: none is further than ``least_mm`` off the line through the other two."""
    a, b, c = (points[network.names.index(name)] for name in (turn.a, turn.b, turn.c))
    area = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
    longest = max(float(np.hypot(*(p - q))) for p, q in ((a, b), (b, c), (a, c)))
    if abs(area) <= least_mm * longest:
        return 0
    return 1 if bool(area > 0) == turn.clockwise else -1


def goes_round(network: Network, shape: Numbers, turns: Sequence[Turn]) -> bool:
    """Whether one of the two mirror images of a shape goes round as all turns say that it tells clearly."""
    clearly = _CLEARLY * network.largest_error
    return len({way_round(network, network.points(shape), turn, clearly) for turn in turns} - {0}) < 2


def clearest(network: Network, points: Numbers) -> Turn | None:
    """The three holes farthest from lying on a line, as they go round one way."""

    def area(three: Sequence[int]) -> float:
        (a, b), (c, d) = (points[three[n]] - points[three[0]] for n in (1, 2))
        return abs(float(a * d - b * c))

    three = max(combinations(range(network.holes), 3), key=area, default=None)
    return None if three is None else _turn([network.names[n] for n in three])


def _turn(three: Sequence[str]) -> Turn:
    a, b, c = three
    return Turn(a, b, c)


def several(network: Network, turns: Sequence[Turn], shapes: Sequence[Numbers]) -> Open:
    """What tells the shapes apart: spans that differ among them, and a turn that only one of them has."""
    apart = [distances(shape) for shape in shapes]
    measured = {s.ends for s in network.spans}
    pairs = [(i, k) for i, k in combinations(range(len(shapes[0])), 2) if _ends(network, i, k) not in measured]
    alike = set(combinations(range(len(shapes)), 2))
    proposed: list[Next] = []
    while alike and len(proposed) < _MOST_PROPOSED:
        told = {p: {(m, n) for m, n in alike if _tells(network, apart, p, m, n)} for p in pairs}
        best = max(pairs, key=lambda p: (len(told[p]), _gap(apart, p)), default=None)
        if best is None or not told[best]:
            break
        lengths = sorted({round(float(a[best]), 2) for a in apart})
        proposed.append(Next(network.names[best[0]], network.names[best[1]], tuple(lengths)))
        alike -= told[best]
    return Open(Lacks.SHAPES, tuple(proposed), turn=_telling_turn(network, turns, shapes), at_least=len(shapes))


def _ends(network: Network, i: int, k: int) -> frozenset[str]:
    return frozenset((network.names[i], network.names[k]))


def _tells(network: Network, apart: Sequence[Numbers], pair: tuple[int, int], m: int, n: int) -> bool:
    return abs(float(apart[m][pair] - apart[n][pair])) > _CLEARLY * network.largest_error


def _gap(apart: Sequence[Numbers], pair: tuple[int, int]) -> float:
    """The least by which this distance differs between any two shapes."""
    return min((abs(float(m[pair] - n[pair])) for m, n in combinations(apart, 2)), default=0.0)


def _telling_turn(network: Network, turns: Sequence[Turn], shapes: Sequence[Numbers]) -> Turn | None:
    """Three holes that go round one way in the first shape and the other way in all others, once one turn is stated."""
    if not turns:
        return clearest(network, shapes[0])
    clearly = _CLEARLY * network.largest_error
    sides = [way_round(network, shape, turns[0]) or 1 for shape in shapes]
    for three in combinations(network.names, 3):
        first, *rest = (
            side * way_round(network, s, _turn(three), clearly) for side, s in zip(sides, shapes, strict=True)
        )
        if first and all(way == -first for way in rest):
            return _turn(three)
    return None
