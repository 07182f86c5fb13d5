"""How a part is used, which method fits, and the level that comes of it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from bom.buying.demand import croston, pattern, sba, tsb, weeks
from bom.buying.levels import Lead, Wish, lead_of, level_for, lot_for
from bom.buying.lot_size import PriceSteps
from bom.buying.reorder import days_left, lumpy_reorder_point, poisson_reorder_point
from bom.values.problem import Refused

LEAD = Lead(14, 3, "4 deliveries")


@pytest.mark.parametrize(
    ("series", "kind", "method"),
    [
        ([0.0] * 30, "none", "none"),
        ([10, 12, 9, 11] * 10, "smooth", "normal"),
        ([2, 40, 1, 9] * 10, "erratic", "normal"),
        ([0, 0, 1, 0] * 10, "intermittent", "poisson"),
        ([0, 0, 6, 0] * 10, "intermittent", "sba"),
        ([0, 0, 1, 0, 0, 0, 30, 0] * 5, "lumpy", "sba"),
        ([0, 0, 6, 0] * 8 + [0] * 20, "intermittent", "tsb"),
        ([1, 0, 1, 1] * 10, "intermittent", "poisson"),
        ([1, 1, 1, 1, 0] * 8, "smooth", "poisson"),
    ],
)
def test_the_method_fits_how_a_part_is_used(series: list[float], kind: str, method: str) -> None:
    assert pattern(series).kind == kind
    assert level_for(series, LEAD, Wish()).method == method


def test_material_is_not_counted_piece_by_piece() -> None:
    series = [0, 0, 1, 0] * 10
    assert level_for(series, LEAD, Wish(), by_piece=False).method == "sba"


def test_a_part_that_fell_silent_is_expected_less_and_less() -> None:
    before, after = [0, 0, 6, 0] * 8, [0, 0, 6, 0] * 8 + [0] * 20
    assert tsb(after) < tsb(before)
    assert croston(after) == croston(before)


@pytest.mark.parametrize("forecast", [croston, sba, tsb])
def test_without_any_use_nothing_is_expected(forecast: object) -> None:
    assert forecast([0, 0, 0]) == 0 == forecast([])  # type: ignore[operator]


def test_weeks_end_today_and_leave_a_broken_first_one_out() -> None:
    used = [(date(2026, 1, 1), Decimal(5)), (date(2026, 1, 8), Decimal(2)), (date(2026, 1, 14), Decimal("0.5"))]
    assert weeks(used, date(2026, 1, 1), date(2026, 1, 14)) == (5.0, 2.5)
    assert weeks(used, date(2026, 1, 1), date(2026, 1, 10)) == (2.0,)
    assert weeks(used, date(2026, 1, 9), date(2026, 1, 14)) == ()
    with pytest.raises(Refused):
        weeks(used, date(2026, 1, 2), date(2026, 1, 1))


def test_more_spread_asks_for_more_and_none_is_poisson() -> None:
    assert lumpy_reorder_point(4, 4, 0.95) == poisson_reorder_point(4, 0.95) == 8
    assert lumpy_reorder_point(4, 8, 0.95) == 9 < lumpy_reorder_point(4, 40, 0.95)


def test_a_wider_spread_of_the_lead_time_raises_the_point() -> None:
    series = [0, 0, 1, 0] * 10
    assert level_for(series, Lead(30, 20, ""), Wish()).point > level_for(series, Lead(30, 0, ""), Wish()).point


def test_millimetres_by_the_ten_thousand_are_reckoned_fast_and_nearly_alike() -> None:
    fine, coarse = lumpy_reorder_point(900, 90_000, 0.95), lumpy_reorder_point(9e6, 9e12, 0.95)
    assert coarse / 1e4 == pytest.approx(fine, rel=0.01)


@pytest.mark.parametrize(
    ("promised", "took", "days", "known_by"),
    [
        ([4.0, 14.0], [], 9, "2 offers"),
        ([4.0], [9.0, 11.0, 10.0], 10, "3 deliveries"),
        ([4.0], [30.0], 4, "1 offer"),
        ([], [], 7, "no offer: the usual days"),
    ],
)
def test_lead_times_come_from_deliveries_or_offers(
    promised: list[float], took: list[float], days: float, known_by: str
) -> None:
    lead = lead_of(promised, took, 7)
    assert (lead.days, lead.known_by) == (days, known_by)
    assert lead.spread >= 0.2 * lead.days


def test_the_lot_is_the_days_to_cover_or_the_one_that_costs_least() -> None:
    assert lot_for(0.5, Wish(cover_days=60)) == 30
    assert lot_for(816 / 365, Wish(order_cost=12, holding_pct=20), [PriceSteps(((1, 20.0),))]) == 70  # h 4
    assert lot_for(1.0, Wish(order_cost=1e9), [PriceSteps(((1, 1.0),))]) == 365  # never more than a year
    assert lot_for(0.0, Wish()) == 1


def test_a_lot_goes_up_to_a_price_break_where_the_year_is_cheaper_so() -> None:
    """Surge Electric (see tests/published): D 4000, S 30, h 40 % of the price: 1000 at a time."""
    steps = ((1, 0.90), (500, 0.85), (1000, 0.80))
    wish = Wish(order_cost=30, holding_pct=40)
    assert lot_for(4000 / 365, wish, [PriceSteps(((1, 0.95),)), PriceSteps(steps)]) == 1000
    assert lot_for(900 / 365, wish, [PriceSteps(steps)]) == 500  # 1000 would last more than a year
    assert lot_for(4000 / 365, wish, [PriceSteps(((1, 100.0), (300, 90.0), (600, 80.0)), incremental=True)]) == 1502


def test_how_long_stock_lasts() -> None:
    assert days_left(9, 0.5) == 18
    assert days_left(-2, 0.5) == 0
    assert days_left(9, 0) is None


def test_a_short_past_is_said() -> None:
    assert "only 3 weeks known" in level_for([1, 0, 1], LEAD, Wish()).why
