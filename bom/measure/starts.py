"""Starts: every shape that a pattern might have by its spans, roughly, so that none is overlooked.

Two spans from holes that have their place leave a hole two places, one on either side. Holes are placed in an order in
which each has two such spans, both places kept, and of all shapes those that agree best with the other spans. Where no
such order leads to the end (some rigid networks have none), random shapes fill in, many of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import numpy as np

from bom.measure.least_squares import Numbers
from bom.measure.network import Network

_MOST = 96  # shapes kept at a time
_RANDOM = 240
_PAIRS = 6  # of spans that a place is looked for by
_SLACK_MM = 0.15  # what a rough place may be off beside the callipers' error
_FAR = 36.0  # a span off by more standard deviations squared counts no more than this: it may be a mistake
_SAME_MM = 0.25
_TINY_MM = 1e-6


def starts(network: Network) -> Numbers:
    """Rough positions (shapes, holes, 2), one of each pair of mirror images."""
    rows = [[network.names.index(name) for name in row.names] for row in network.rows]
    order = _order(network, rows)
    shapes = _built(network, order, rows)
    if len(order) == network.holes:
        return shapes
    return _filled(network, shapes, order)


def _lengths(network: Network) -> dict[tuple[int, int], tuple[float, float]]:
    """Centre distance and its standard deviation by pair, the last reading of a pair counting."""
    found = {}
    for a, b, mm, error in zip(network.a, network.b, network.centre_mm, network.error, strict=True):
        found[int(a), int(b)] = found[int(b), int(a)] = (float(mm), float(error))
    return found


Rows = list[list[int]]  # holes that lie on a line


def _order(network: Network, rows: Rows) -> list[int]:
    """The longest order that begins with some span, each next hole having the most spans, or a row, to those before."""
    beside: dict[int, set[int]] = {n: set() for n in range(network.holes)}
    for a, b in zip(network.a, network.b, strict=True):
        beside[int(a)].add(int(b))
        beside[int(b)].add(int(a))
    return max(
        (_grown(beside, rows, a, b) for a, others in beside.items() for b in others if a < b), key=len, default=[0]
    )


def _grown(beside: dict[int, set[int]], rows: Rows, a: int, b: int) -> list[int]:
    order = [a, b]
    while True:
        ties = {n: _ties(beside, rows, n, order) for n in beside if n not in order}
        best = max(ties, key=lambda n: ties[n], default=None)
        if best is None or ties[best] < 2:
            return order
        order.append(best)


def _ties(beside: dict[int, set[int]], rows: Rows, hole: int, placed: list[int]) -> int:
    """How many spans and rows tie a hole to those that have their places; a row alone says nothing."""
    spans = len(beside[hole] & set(placed))
    return spans + len(list(_lines(rows, hole, placed))) if spans else 0


def _lines(rows: Rows, hole: int, placed: list[int]) -> Iterator[tuple[int, int]]:
    """Two placed holes of each row that a hole is one of."""
    for row in rows:
        there = [n for n in row if n in placed]
        if hole in row and len(there) > 1:
            yield there[0], there[-1]


def _built(network: Network, order: list[int], rows: Rows) -> Numbers:
    """Shapes with the holes of the order in their places, the rest at the origin."""
    lengths = _lengths(network)
    shapes, costs = np.zeros((1, network.holes, 2)), np.zeros(1)
    if len(order) > 1:
        shapes[0, order[1], 0] = max(lengths[order[0], order[1]][0], 0.0)
    for n, hole in enumerate(order[2:], 2):
        beside = [other for other in order[:n] if (hole, other) in lengths]
        lines = list(_lines(rows, hole, order[:n]))
        shapes, costs = _with_hole(shapes, costs, hole, beside, lengths, lines, one_side=n == 2)
    return shapes


def _with_hole(
    shapes: Numbers,
    costs: Numbers,
    hole: int,
    beside: list[int],
    lengths: dict[tuple[int, int], tuple[float, float]],
    lines: list[tuple[int, int]],
    *,
    one_side: bool,
) -> tuple[Numbers, Numbers]:
    """Each shape with each place that the hole may have in it, the best of all of them."""
    mm, error = (np.array([lengths[hole, other][n] for other in beside]) for n in (0, 1))
    found: list[tuple[float, int, Numbers]] = []
    for number, shape in enumerate(shapes):
        there = shape[beside]
        crossings = (p for a, b in lines for p in _on_line(shape[a], shape[b], there, mm))
        places = np.array([p for p in (*_places(there, mm), *crossings) if not one_side or p[1] >= -_TINY_MM])
        misfit = (np.linalg.norm(places[:, None] - there, axis=2) - mm) / np.hypot(error, _SLACK_MM)
        worth = np.minimum(misfit**2, _FAR).sum(axis=1)
        kept: list[Numbers] = []
        for cost, place in sorted(zip(worth, places, strict=True), key=lambda found: float(found[0])):
            if all(np.hypot(*(place - other)) > _SAME_MM for other in kept):
                kept.append(place)
                found.append((float(costs[number] + cost), number, place))
    found = sorted(found, key=lambda one: one[0])[:_MOST]
    grown = shapes[[number for _, number, _ in found]]
    grown[:, hole] = [place for _, _, place in found]
    return grown, np.array([cost for cost, _, _ in found])


def _places(there: Numbers, mm: Numbers) -> Iterator[Numbers]:
    """Where circles round two known holes meet, for the pairs of them that are farthest apart."""
    pairs = sorted(combinations(range(len(there)), 2), key=lambda p: -float(np.hypot(*(there[p[0]] - there[p[1]]))))
    for i, k in pairs[:_PAIRS]:
        base = there[k] - there[i]
        long = max(float(np.hypot(*base)), _TINY_MM)
        along = (mm[i] ** 2 - mm[k] ** 2 + long**2) / (2 * long)
        high = np.sqrt(max(mm[i] ** 2 - along**2, 0.0))
        foot, across = there[i] + base * (along / long), np.array([-base[1], base[0]]) / long
        yield foot + high * across
        yield foot - high * across


def _on_line(a: Numbers, b: Numbers, there: Numbers, mm: Numbers) -> Iterator[Numbers]:
    """Where circles round known holes cross the line through two others."""
    along = (b - a) / max(float(np.hypot(*(b - a))), _TINY_MM)
    for middle, radius in zip(there, mm, strict=True):
        foot = a + along * float((middle - a) @ along)
        half = np.sqrt(max(radius**2 - float(((middle - foot) ** 2).sum()), 0.0))
        yield foot + half * along
        yield foot - half * along


def _filled(network: Network, shapes: Numbers, order: list[int]) -> Numbers:
    """Shapes with the holes that no order reached put at random, and some with every hole so."""
    dice = np.random.default_rng(network.holes)
    size = float(network.centre_mm.max(initial=1.0))
    chosen = shapes[dice.integers(len(shapes), size=_RANDOM)].copy()
    rest = [n for n in range(network.holes) if n not in order]
    middle = chosen[:, order].mean(axis=1, keepdims=True)
    chosen[:, rest] = middle + dice.uniform(-size, size, (_RANDOM, len(rest), 2))
    chosen[_RANDOM // 2 :] = dice.uniform(-size, size, (_RANDOM - _RANDOM // 2, network.holes, 2))
    return chosen
