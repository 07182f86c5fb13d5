"""Reorder sums against scipy (SciPy 1.14 or newer: scipy.stats, scipy.optimize, scipy.signal), over many inputs."""

from __future__ import annotations

import random

import pytest
from scipy.optimize import minimize_scalar
from scipy.signal import lfilter
from scipy.stats import nbinom, norm, poisson

from bom.buying.levels import PriceSteps, YearlyUse, best_lot
from bom.buying.reorder_points import (
    croston,
    economic_order_quantity,
    lumpy_reorder_point,
    normal_reorder_point,
    poisson_reorder_point,
    sba,
    tsb,
)

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


@pytest.mark.parametrize(("order_cost", "demand", "share"), USES)
def test_the_lot_where_only_further_pieces_are_cheaper_is_where_the_year_costs_least(
    order_cost: float, demand: float, share: float
) -> None:
    """The goods of a lot are added up price by price, and scipy searches the whole year's cost between the breaks."""

    def goods(pieces: float) -> float:
        ends = [*(start for start, _ in STEPS[1:]), float("inf")]
        return sum(price * max(0.0, min(pieces, end) - start) for (start, price), end in zip(STEPS, ends, strict=True))

    def year(pieces: float) -> float:
        each = goods(pieces) / pieces
        return demand * each + order_cost * demand / pieces + share * each * pieces / 2

    ends = [*(start for start, _ in STEPS[1:]), 1e6]
    found = [year(cheapest(year, max(start, 1e-3), end)) for (start, _), end in zip(STEPS, ends, strict=True)]
    ours = best_lot(YearlyUse(demand, order_cost, rate=share), [PriceSteps(STEPS, incremental=True)])
    assert ours is not None
    assert ours.yearly_cost == pytest.approx(min(found), rel=1e-5)
    assert ours.yearly_cost == pytest.approx(year(ours.pieces), rel=1e-9)


@pytest.mark.parametrize("level", [0.6, 0.9, 0.95, 0.999])
def test_the_normal_points_are_quantiles_of_the_demand_in_the_lead_time(level: float) -> None:
    """Of 60 a week over a lead time that alone is uncertain, and of a demand that alone is."""
    assert normal_reorder_point(60, 0, 6, 2, level) == pytest.approx(norm.ppf(level, 60 * 6, 60 * 2), rel=1e-9)
    assert normal_reorder_point(60, 7, 9, 0, level) == pytest.approx(norm.ppf(level, 60 * 9, 7 * 3), rel=1e-9)
    both = norm.ppf(level, 60 * 9, (norm.var(0, 7 * 3) + norm.var(0, 60 * 2)) ** 0.5)
    assert normal_reorder_point(60, 7, 9, 2, level) == pytest.approx(both, rel=1e-9)


def smoothed(values: list[float], share: float) -> float:
    """The last value of simple exponential smoothing that starts at the first one, as scipy's linear filter has it."""
    first, *rest = values
    if not rest:
        return first
    filtered, _ = lfilter([share], [1, share - 1], rest, zi=[(1 - share) * first])
    return float(filtered[-1])


@pytest.mark.parametrize("share", [0.05, 0.1, 0.3])
def test_forecasts_of_rare_use_are_smoothed_as_a_filter_smooths(share: float) -> None:
    for _ in range(40):
        series = [0.0, *(CHANCE.choice([0, 0, 0, 1, 2, 11]) for _ in range(40)), 1.0, 0.0]
        used = [n for n, amount in enumerate(series, 1) if amount]
        gaps = [float(b - a) for a, b in zip([0, *used], used, strict=False)]
        size = smoothed([series[n - 1] for n in used], share)
        chance = smoothed([float(amount > 0) for amount in series], share)
        assert croston(series, share) == pytest.approx(size / smoothed(gaps, share), rel=1e-9)
        assert sba(series, share) == pytest.approx(size / smoothed(gaps, share) * (1 - share / 2), rel=1e-9)
        assert tsb(series, share, share) == pytest.approx(size * chance, rel=1e-9)
