"""The lot that costs least in a year."""

from __future__ import annotations

import pytest

from bom.buying.levels import PriceSteps, YearlyUse, best_lot
from bom.buying.reorder_points import economic_order_quantity
from bom.values.problem import Refused

USE = YearlyUse(1300, 8, 0.3)
STEPS = ((1.0, 2.0), (100.0, 1.9), (1000.0, 1.5))


@pytest.mark.parametrize("incremental", [False, True])
def test_without_breaks_it_is_the_plain_lot(incremental: bool) -> None:
    lot = best_lot(USE, [PriceSteps(((0.0, 0.75),), incremental)])
    assert lot is not None and lot.pieces == pytest.approx(economic_order_quantity(8, 1300, 0.3 * 0.75))


@pytest.mark.parametrize("incremental", [False, True])
@pytest.mark.parametrize("most", [40.0, 99.0, 100.0, 500.0])
def test_it_is_never_more_than_the_most(incremental: bool, most: float) -> None:
    lot = best_lot(USE, [PriceSteps(STEPS, incremental)], most)
    assert lot is not None and lot.pieces <= most


def test_at_exactly_the_most_a_break_may_be_taken() -> None:
    lot = best_lot(YearlyUse(1000, 1, 0.01), [PriceSteps(((1.0, 2.0), (1000.0, 0.1)))], 1000.0)
    assert lot is not None and lot.pieces == 1000


def test_none_is_small_enough() -> None:
    assert best_lot(USE, [PriceSteps(((50.0, 2.0),))], 49.0) is None


@pytest.mark.parametrize(("rate", "holding"), [(0.0, 0.0), (0.2, 4.0)])
def test_one_way_of_holding_is_needed(rate: float, holding: float) -> None:
    with pytest.raises(Refused, match="either a rate or a cost of holding"):
        YearlyUse(100, 5, rate, holding)


@pytest.mark.parametrize(("demand", "fixed"), [(0.0, 5.0), (100.0, 0.0), (-1.0, 5.0)])
def test_a_demand_and_a_cost_of_ordering_are_needed(demand: float, fixed: float) -> None:
    with pytest.raises(Refused, match="needs a demand, a cost of ordering"):
        YearlyUse(demand, fixed, 0.2)


@pytest.mark.parametrize(("fixed", "demand", "holding"), [(-1, 10, 1), (1, -10, 1), (1, 10, 0)])
def test_a_plain_lot_of_impossible_costs_is_refused(fixed: float, demand: float, holding: float) -> None:
    with pytest.raises(Refused, match="a holding cost above 0"):
        economic_order_quantity(fixed, demand, holding)


def test_a_plain_lot_of_nothing_is_nothing() -> None:
    assert economic_order_quantity(0, 10, 1) == economic_order_quantity(1, 0, 1) == 0


def test_less_than_a_piece_a_year_has_a_lot_too() -> None:
    assert best_lot(YearlyUse(0.5, 0.5, 0.2), [PriceSteps(((0.0, 2.0),))]) is not None
