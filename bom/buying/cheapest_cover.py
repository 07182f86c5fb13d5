"""Knows the cheapest way to cover one need alone, to the piece, from offers with price tiers, packs and stock."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from bom.buying.model import Columns
from bom.solver.program import INFINITY


def tiers_of(columns: Sequence[Columns]) -> dict[str, list[int]]:
    """Offer to its places among the columns; at most one of them may be chosen."""
    offers: dict[str, list[int]] = {}
    for place, at in enumerate(columns):
        offers.setdefault(at.offer.id, []).append(place)
    return offers


def cheapest_cover(columns: Sequence[Columns], demand: int, costs: Sequence[float]) -> tuple[float, list[int]] | None:
    """(what the need costs at least, packs of each column); None where whole packs cannot cover it.

    ``costs`` are those of the program's variables, in floats. The cheapest way to cover 0, 1, 2 ... pieces is found by
    the first offer, then by the first two, and so on (dynamic programming; Bellman 1957, from memory).
    """
    import numpy as np

    taken = np.arange(demand + 1)
    best = np.where(taken == 0, 0.0, INFINITY)
    before = taken[:, None] - taken[None, :]  # what earlier offers cover, where this one covers so many
    steps: list[tuple[Any, Any, Any]] = []
    for tiers in tiers_of(columns).values():
        cost, place, packs = _offer_costs(columns, tiers, demand, costs)
        ways = np.where(before >= 0, best[np.maximum(before, 0)], INFINITY) + cost[None, :]
        used = ways.argmin(axis=1)
        best = ways[taken, used]
        steps.append((used, place, packs))
    if not np.isfinite(best[demand]):
        return None
    return float(best[demand]), _traced(steps, demand, len(columns))


def _traced(steps: Sequence[tuple[Any, Any, Any]], demand: int, columns: int) -> list[int]:
    """The packs of each column, read back from the last offer's table to the first."""
    packs, left = [0] * columns, demand
    for used, place, count in reversed(steps):
        pieces = int(used[left])
        if count[pieces]:
            packs[int(place[pieces])] = int(count[pieces])
        left -= pieces
    return packs


def _offer_costs(
    columns: Sequence[Columns], tiers: Iterable[int], demand: int, costs: Sequence[float]
) -> tuple[Any, Any, Any]:
    """For 0, 1, 2 ... pieces used of an offer: the least cost, the column it takes and how many packs of it."""
    import numpy as np

    pieces = np.arange(demand + 1)
    best, place, packs = np.where(pieces == 0, 0.0, INFINITY), np.zeros_like(pieces), np.zeros_like(pieces)
    for k in tiers:
        cost, count = _tier_costs(columns[k], pieces, costs)
        better = cost < best
        best, place, packs = np.where(better, cost, best), np.where(better, k, place), np.where(better, count, packs)
    return best, place, packs


def _tier_costs(at: Columns, pieces: Any, costs: Sequence[float]) -> tuple[Any, Any]:
    """(what so many pieces used cost in this tier, the packs for them)."""
    import numpy as np

    size, pack = at.offer.multiple, costs[at.packs]
    count = np.maximum(-(-pieces // size), -(-at.tier.low // size))
    if pack < 0:  # every pack more is worth it, for its supplier's threshold
        count = np.full_like(count, at.tier.high // size)
    (use,) = at.used.values()
    cost = costs[at.chosen] + pack * count + costs[use] * pieces
    held = (pieces <= count * size) & (count * size <= at.tier.high)
    return np.where(held, cost, INFINITY), count
