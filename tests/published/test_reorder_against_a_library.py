"""Reorder sums against scipy (SciPy 1.14 or newer, scipy.stats and scipy.optimize), over many inputs."""

from __future__ import annotations

import random

import pytest
from scipy.optimize import minimize_scalar
from scipy.stats import nbinom, poisson

from bom.buying.lot_size import PriceSteps, YearlyUse, best_lot
from bom.buying.reorder import economic_order_quantity, lumpy_reorder_point, poisson_reorder_point

CHANCE = random.Random(7)
USES = [(CHANCE.uniform(1, 500), CHANCE.uniform(10, 1e5), CHANCE.uniform(0.05, 0.5)) for _ in range(30)]
STEPS = ((0.0, 7.0), (200.0, 6.5), (1500.0, 6.1))


def cheapest(cost: object, low: float, high: float) -> float:
    """The pieces between these at which a year costs least, as scipy's bounded search finds them."""
    return float(minimize_scalar(cost, bounds=(low, high), method="bounded", options={"xatol": 1e-6}).x)


@pytest.mark.parametrize(("order_cost", "demand", "share"), USES)
def test_the_plain_lot_is_where_the_years_cost_is_least(order_cost: float, demand: float, share: float) -> None:
    ours = economic_order_quantity(order_cost, demand, share * 7)
    found = cheapest(lambda q: order_cost * demand / q + share * 7 * q / 2, ours / 50, ours * 50)
    assert ours == pytest.approx(found, rel=1e-4)


@pytest.mark.parametrize(("order_cost", "demand", "share"), USES)
def test_the_lot_at_breaks_is_the_cheapest_of_every_breaks_own(order_cost: float, demand: float, share: float) -> None:
    """Within each break the cost is searched by scipy with no formula for the lot; the least of them is the answer."""

    def year(pieces: float, price: float) -> float:
        return demand * price + order_cost * demand / pieces + share * price * pieces / 2

    ends = [start for start, _ in STEPS[1:]] + [1e6]
    costs = []
    for (start, price), end in zip(STEPS, ends, strict=True):
        within = cheapest(lambda q, price=price: year(q, price), max(start, 1e-3), end)
        costs += [year(max(start, 1e-3), price), year(within, price)]
    ours = best_lot(YearlyUse(demand, order_cost, rate=share), [PriceSteps(STEPS)])
    assert ours is not None
    assert ours.yearly_cost == pytest.approx(min(costs), rel=1e-6)


def test_reorder_points_agree_with_the_quantiles_of_a_statistics_library() -> None:
    """scipy.stats, Poisson and negative binomial; n = m^2 / (v - m), p = m / v."""
    for _ in range(200):
        mean, level = CHANCE.uniform(0.05, 60), CHANCE.uniform(0.5, 0.999)
        variance = mean * CHANCE.uniform(1.05, 20)
        assert poisson_reorder_point(mean, level) == int(poisson.ppf(level, mean))
        wanted = int(nbinom.ppf(level, mean**2 / (variance - mean), mean / variance))
        assert lumpy_reorder_point(mean, variance, level) == wanted
