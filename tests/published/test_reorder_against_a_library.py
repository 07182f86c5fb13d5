"""Reorder sums against a general inventory-theory library (stockpyl, after Snyder and Shen), over many inputs."""

from __future__ import annotations

import random
from typing import Any

import pytest

from bom.buying.lot_size import PriceSteps, YearlyUse, best_lot
from bom.buying.reorder import economic_order_quantity, lumpy_reorder_point, poisson_reorder_point
from bom.buying.season import season_stock


@pytest.fixture(scope="module")
def library() -> Any:
    pytest.importorskip("stockpyl", reason="stockpyl is not installed")
    from stockpyl import eoq, newsvendor

    return eoq, newsvendor


CHANCE = random.Random(7)
USES = [(CHANCE.uniform(1, 500), CHANCE.uniform(10, 1e5), CHANCE.uniform(0.05, 0.5)) for _ in range(30)]


@pytest.mark.parametrize(("order_cost", "demand", "share"), USES)
def test_lots_and_lots_at_breaks_agree(library: Any, order_cost: float, demand: float, share: float) -> None:
    eoq, _ = library
    lot, _ = eoq.economic_order_quantity(order_cost, share * 7, demand)
    assert economic_order_quantity(order_cost, demand, share * 7) == pytest.approx(lot, rel=1e-9)
    starts, prices = [0, 200, 1500], [7.0, 6.5, 6.1]
    theirs = eoq.economic_order_quantity_with_all_units_discounts(order_cost, share, demand, starts, prices)
    steps = PriceSteps(tuple(zip(starts, prices, strict=True)))
    ours = best_lot(YearlyUse(demand, order_cost, rate=share), [steps])
    assert ours is not None
    assert (ours.pieces, ours.yearly_cost) == pytest.approx((theirs[0], theirs[2]), rel=1e-9)


@pytest.mark.parametrize(
    ("mean", "short", "over"), [(4, 3, 2), (18, 270, 200), (50, 0.7, 0.18), (0.4, 9, 1), (7, 1, 8)]
)
def test_stock_for_one_poisson_season_agrees(library: Any, mean: float, short: float, over: float) -> None:
    _, newsvendor = library
    stock, _ = newsvendor.newsvendor_poisson(over, short, mean)
    assert season_stock(mean, short, over) == stock


def test_reorder_points_agree_with_the_quantiles_of_a_statistics_library() -> None:
    """scipy.stats, Poisson and negative binomial; n = m^2 / (v - m), p = m / v."""
    from scipy.stats import nbinom, poisson

    for _ in range(200):
        mean, level = CHANCE.uniform(0.05, 60), CHANCE.uniform(0.5, 0.999)
        variance = mean * CHANCE.uniform(1.05, 20)
        assert poisson_reorder_point(mean, level) == int(poisson.ppf(level, mean))
        wanted = int(nbinom.ppf(level, mean**2 / (variance - mean), mean / variance))
        assert lumpy_reorder_point(mean, variance, level) == wanted
