"""Mistakes: which readings do not agree with the rest, and whether that can be told at all.

A reading is a mistake where the others agree with each other without it, and leaving out no other one in its place
does nearly as well. With a single reading to spare every reading explains the same contradiction, so none is named.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from bom.measure.least_squares import Adjusted, Numbers, settle
from bom.measure.network import Network

EVIDENCE = 10.0
"""By how much more, in sum of squares, another explanation must leave: about 3 standard deviations. Our own choice."""

_CHECKED = 0.02  # of a mistake must show in a reading's residual for it to be suspected


@dataclass(frozen=True, slots=True)
class Cleaned:
    """The solution without the spans named by number; ``suspects`` where they disagree and none can be told."""

    solved: Adjusted
    mistakes: tuple[int, ...] = ()
    suspects: tuple[int, ...] = ()


def cleaned(network: Network, unknowns: Numbers) -> Cleaned:
    """The mistakes taken out one by one, the rest adjusted again each time; at most half of what is to spare."""
    found = Cleaned(_solved(network, unknowns, ()))
    most = found.solved.spare // 2
    while not found.solved.agrees and not found.suspects:
        found = _without_one_more(network, unknowns, found, most)
    return found


def _solved(network: Network, unknowns: Numbers, without: tuple[int, ...]) -> Adjusted:
    counts = network.used(without)[None].astype(float)
    return network.adjusted(settle(network, unknowns[None], counts).unknowns[0], without)


def _without_one_more(network: Network, start: Numbers, before: Cleaned, most: int) -> Cleaned:
    """The mistake whose leaving out leaves least, where no other explains as much."""
    tried = _checked(network, before)
    left = _left_without(network, start, [(*before.mistakes, n) for n in tried])
    ranked = sorted(zip(left, tried, strict=True))
    if not ranked:
        return replace(before, suspects=_worst(before.solved, network))
    alike = tuple(n for rest, n in ranked if rest <= ranked[0][0] + EVIDENCE)
    if len(before.mistakes) >= most or before.solved.spare < 2:
        return replace(before, suspects=alike)
    without = (*before.mistakes, ranked[0][1])
    solved = _solved(network, start, without)
    told = len(alike) == 1
    if solved.agrees:
        return Cleaned(solved, without) if told else replace(before, suspects=alike)
    return Cleaned(solved, without)


def _checked(network: Network, before: Cleaned) -> list[int]:
    """The spans that others check, by number; those left out already are not among them."""
    there = [n for n in range(network.readings) if n not in before.mistakes]
    return [n for n, share in zip(there, before.solved.share, strict=True) if share > _CHECKED and _is_span(network, n)]


def _is_span(network: Network, number: int) -> bool:
    return number < len(network.spans)


def _left_without(network: Network, start: Numbers, sets: list[tuple[int, ...]]) -> list[float]:
    """What is left where each of these sets of readings is left out."""
    if not sets:
        return []
    counts = np.array([network.used(without) for without in sets], float)
    return [float(left) for left in settle(network, np.tile(start, (len(sets), 1)), counts).left]


def _worst(solved: Adjusted, network: Network) -> tuple[int, ...]:
    spans = np.abs(solved.normalised[: len(network.spans)])
    return tuple(int(n) for n in np.argsort(-spans)[:3])
