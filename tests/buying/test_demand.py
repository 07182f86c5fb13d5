"""How a part is used, which method fits, and the level that comes of it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from bom.buying.levels import Lead, PriceSteps, Wish, lead_of, level_for, lot_for
from bom.buying.reorder_points import (
    Pattern,
    Usage,
    croston,
    days_left,
    lumpy_reorder_point,
    method_for,
    pattern,
    poisson_reorder_point,
    sba,
    tsb,
    weeks,
)
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
    """The toggle switches of tests/published: D 4000, S 30, h 40 % of the price: 1000 at a time."""
    steps = ((1, 0.90), (500, 0.85), (1000, 0.80))
    wish = Wish(order_cost=30, holding_pct=40)
    assert lot_for(4000 / 365, wish, [PriceSteps(((1, 0.95),)), PriceSteps(steps)]) == 1000
    assert lot_for(900 / 365, wish, [PriceSteps(steps)]) == 500  # 1000 would last more than a year
    assert lot_for(4000 / 365, wish, [PriceSteps(((1, 100.0), (300, 90.0), (600, 80.0)), incremental=True)]) == 1502


def test_how_long_stock_lasts() -> None:
    assert days_left(9, 0.5) == 18
    assert days_left(-2, 0.5) == 0
    assert days_left(9, 0) is None


@pytest.mark.parametrize(("weeks_known", "said"), [(3, True), (7, True), (8, False)])
def test_a_past_of_less_than_eight_weeks_is_said(weeks_known: int, said: bool) -> None:
    assert (f"only {weeks_known} weeks known" in level_for([1.0] * weeks_known, LEAD, Wish()).why) is said


def used(interval: float, size: float = 1.0, variation: float = 0.0, silent: int = 0) -> Pattern:
    return Pattern(100, 10, interval, size, variation, silent)


@pytest.mark.parametrize(
    ("interval", "variation", "kind"),
    [(1.31, 0.48, "smooth"), (1.33, 0.48, "intermittent"), (1.31, 0.50, "erratic"), (1.32, 0.49, "lumpy")],
)
def test_often_and_steady_end_at_the_published_limits(interval: float, variation: float, kind: str) -> None:
    assert used(interval, variation=variation).kind == kind


@pytest.mark.parametrize(("expected", "method"), [(9.9, "poisson"), (10.0, "normal"), (10.1, "normal")])
def test_ten_in_a_lead_time_are_no_longer_counted_piece_by_piece(expected: float, method: str) -> None:
    assert method_for(Usage(expected / 10, 10), used(1.0)) == method


@pytest.mark.parametrize(("size", "method"), [(1.45, "poisson"), (1.5, "sba"), (1.55, "sba")])
def test_uses_of_one_and_a_half_pieces_are_no_longer_a_piece_at_a_time(size: float, method: str) -> None:
    assert method_for(Usage(0.01, 10), used(5.0, size)) == method


@pytest.mark.parametrize(("silent", "method"), [(12, "poisson"), (13, "tsb")])
def test_a_part_silent_for_more_than_three_intervals_falls_out_of_use(silent: int, method: str) -> None:
    assert method_for(Usage(0.01, 10), used(4.0, silent=silent)) == method


def test_a_lead_time_that_never_varied_is_taken_to_vary_by_a_fifth() -> None:
    assert lead_of([10.0, 10.0], [], 7).spread == pytest.approx(2.0)
    assert lead_of([], [], 7).spread == pytest.approx(1.4)


@pytest.mark.parametrize(("took", "days"), [([30.0, 30.0], 4), ([30.0, 30.0, 30.0], 30)])
def test_three_deliveries_count_for_more_than_what_is_promised(took: list[float], days: float) -> None:
    assert lead_of([4.0], took, 7).days == days


def test_the_newest_use_counts_for_a_tenth() -> None:
    series = [0.0, 3.0, 0.0, 0.0, 1.0, 0.0, 8.0]
    assert (croston(series), sba(series)) == (croston(series, 0.1), sba(series, 0.1))
    assert tsb(series) == tsb(series, 0.1, 0.1) != tsb(series, 0.1, 0.11)
