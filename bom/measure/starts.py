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


def starts(network: Network) -> Numbers:
    """Rough positions (shapes, holes, 2), one of each pair of mirror images."""
    order = _order(network)
    shapes = _built(network, order)
    if len(order) == network.holes:
        return shapes
    return _filled(network, shapes, order)


def _lengths(network: Network) -> dict[tuple[int, int], tuple[float, float]]:
    """Centre distance and its standard deviation by pair, the last reading of a pair counting."""
    found = {}
    for a, b, mm, error in zip(network.a, network.b, network.centre_mm, network.error, strict=True):
        found[int(a), int(b)] = found[int(b), int(a)] = (float(mm), float(error))
    return found


def _order(network: Network) -> list[int]:
    """The longest order that begins with some span, each next hole having the most spans to those before it."""
    beside: dict[int, set[int]] = {n: set() for n in range(network.holes)}
    for a, b in zip(network.a, network.b, strict=True):
        beside[int(a)].add(int(b))
        beside[int(b)].add(int(a))
    return max((_grown(beside, a, b) for a, others in beside.items() for b in others if a < b), key=len, default=[0])


def _grown(beside: dict[int, set[int]], a: int, b: int) -> list[int]:
    order = [a, b]
    while True:
        rest = [n for n in beside if n not in order]
        best = max(rest, key=lambda n: len(beside[n] & set(order)), default=None)
        if best is None or len(beside[best] & set(order)) < 2:
            return order
        order.append(best)


def _built(network: Network, order: list[int]) -> Numbers:
    """Shapes with the holes of the order in their places, the rest at the origin."""
    lengths = _lengths(network)
    shapes, costs = np.zeros((1, network.holes, 2)), np.zeros(1)
    if len(order) > 1:
        shapes[0, order[1], 0] = max(lengths[order[0], order[1]][0], 0.0)
    for n, hole in enumerate(order[2:], 2):
        beside = [other for other in order[:n] if (hole, other) in lengths]
        shapes, costs = _with_hole(shapes, costs, hole, beside, lengths, one_side=n == 2)
    return shapes


def _with_hole(
    shapes: Numbers,
    costs: Numbers,
    hole: int,
    beside: list[int],
    lengths: dict[tuple[int, int], tuple[float, float]],
    *,
    one_side: bool,
) -> tuple[Numbers, Numbers]:
    """Each shape with each place that the hole may have in it, the best of all of them."""
    mm, error = (np.array([lengths[hole, other][n] for other in beside]) for n in (0, 1))
    found: list[tuple[float, int, Numbers]] = []
    for number, shape in enumerate(shapes):
        there = shape[beside]
        places = np.array([p for p in _places(there, mm) if not one_side or p[1] >= 0])
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
        long = max(float(np.hypot(*base)), 1e-6)
        along = (mm[i] ** 2 - mm[k] ** 2 + long**2) / (2 * long)
        high = np.sqrt(max(mm[i] ** 2 - along**2, 0.0))
        foot, across = there[i] + base * (along / long), np.array([-base[1], base[0]]) / long
        yield foot + high * across
        yield foot - high * across


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
