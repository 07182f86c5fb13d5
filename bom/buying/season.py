"""Knows how much to have for one season or a last buy, short against over: for shops that ask it from Python.

No command asks it: what being short or over costs is in no file. The published newsvendor examples check it.

Source of the rule: the newsvendor ratio Cu / (Cu + Co) (Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd
edition; Stevenson, Operations Management, 14th edition). The tests hold it to printed examples.
"""

from __future__ import annotations

from collections.abc import Sequence

from bom.buying.reorder import poisson_reorder_point
from bom.values.problem import Refused


def least_stock(chances: Sequence[float], short_cost: float, over_cost: float) -> int:
    """Pieces to have where 0, 1, 2, ... are asked for with these ``chances``: the least with P(asked <= r) at or above
    Cu / (Cu + Co), the cost of being one short against that of being one over."""
    ratio, reached = _ratio(short_cost, over_cost), 0.0
    for pieces, chance in enumerate(chances):
        reached += chance
        if reached >= ratio - 1e-12:
            return pieces
    raise Refused("expected chances that sum to 1")


def season_stock(mean: float, short_cost: float, over_cost: float) -> int:
    """The same for one season of Poisson demand, as for a part that is sold off for the last time."""
    return poisson_reorder_point(mean, _ratio(short_cost, over_cost))


def _ratio(short_cost: float, over_cost: float) -> float:
    if short_cost <= 0 or over_cost <= 0:
        raise Refused("expected a cost of being short and one of being over, both above 0")
    return short_cost / (short_cost + over_cost)
