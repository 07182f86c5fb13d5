"""The level that a part's past use asks for, worked out by hand."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from math import sqrt

import pytest

from bom.buying.levels import Lead, PriceSteps, Wish, lead_of, level_for, lot_for
from bom.buying.reorder_points import Pattern, Usage, pattern, sba, tsb, weeks

LEAD = Lead(14, 3, "4 deliveries")
LUMPS = [0.0, 0, 4, 0, 0, 0, 8, 0]  # a use in every fourth week, of 6 on average, variance 4


def test_what_a_shop_wants_unless_it_says_otherwise() -> None:
    assert Wish() == Wish(service=0.95, review_days=7.0, cover_days=60.0, order_cost=None, holding_pct=25.0)
    assert Usage(2.0, 3.0) == Usage(2.0, 3.0, 0.0, 0.0, 0.0)


def test_steady_use_is_normal_over_lead_time_and_review() -> None:
    """Mean 10.5 a week, sample variance 50/39; 21 days covered: 31.5 + 1.645 sqrt(21 x 0.18315 + 1.5^2 x 3^2)."""
    level = level_for([10, 12, 9, 11] * 10, LEAD, Wish())
    assert level.usage.per_day == pytest.approx(1.5)
    assert level.usage.spread_per_day == pytest.approx(sqrt(50 / 39 / 7))
    assert level.usage.variance == pytest.approx(24.09615, abs=1e-5)
    assert (level.method, level.point, level.up_to) == ("normal", 40, 40 + 90)


def test_rare_use_has_the_spread_of_its_sizes_and_of_whether_it_comes() -> None:
    """A use with a chance of 1/4: variance 1/4 x 4 + 1/4 x 3/4 x 36 = 7.75 a week."""
    level = level_for(LUMPS * 5, LEAD, Wish())
    assert level.method == "sba"
    assert level.usage.per_day == pytest.approx(sba(LUMPS * 5, 0.1) / 7)
    assert level.usage.spread_per_day == pytest.approx(sqrt(7.75 / 7))


def test_a_part_falling_silent_is_reckoned_with_the_chance_that_is_left() -> None:
    series = LUMPS * 4 + [0.0] * 20
    chance = 0.0
    for used in series:
        chance += 0.1 * ((used > 0) - chance)
    level = level_for(series, LEAD, Wish())
    assert level.method == "tsb"
    assert level.usage.per_day == pytest.approx(tsb(series, 0.1, 0.1) / 7)
    assert level.usage.spread_per_day == pytest.approx(sqrt((chance * 4 + chance * (1 - chance) * 36) / 7))


@pytest.mark.parametrize(
    ("series", "per_day", "spread"), [([], 0.0, 0.0), ([3.0], 3 / 7, 0.0), ([1.0, 3.0], 2 / 7, sqrt(2 / 7))]
)
def test_a_week_or_two_say_little(series: list[float], per_day: float, spread: float) -> None:
    usage = level_for(series, LEAD, Wish(), by_piece=False).usage
    assert (usage.per_day, usage.spread_per_day) == pytest.approx((per_day, spread))


def test_what_was_never_used_has_a_level_of_nothing() -> None:
    level = level_for([0.0] * 9, LEAD, Wish())
    assert (level.method, level.point, level.up_to) == ("none", 0, 0)
    assert level.why == "nothing used in 9 weeks"


@pytest.mark.parametrize(
    ("weekly", "said"), [(1 / 3, "1 in 21 days"), (0.2, "0.6 in 21 days"), (700, "2100 in 21 days")]
)
def test_the_reason_says_what_is_expected_in_the_time_covered(weekly: float, said: str) -> None:
    assert said in level_for([weekly] * 40, LEAD, Wish()).why


def test_the_reason_is_told_in_plain_words_before_its_method() -> None:
    level = level_for([5.6] * 12, lead_of([10, 10], [], 7), Wish(review_days=0, cover_days=30))
    assert level.why == (
        "used about 7.6 in 10 days, lead 10 days: order at 12, up to 35; Croston SBA (rare or lumpy), "
        "95% without running out, lead ±2 days (2 offers)"
    )


def test_a_look_now_and_then_is_part_of_the_reason() -> None:
    assert (
        "in 17 days, lead 10 days and a look every 7: order at "
        in level_for([5.6] * 12, lead_of([10], [], 7), Wish()).why
    )


def test_the_smallest_lot_is_one() -> None:
    assert lot_for(1 / 365, Wish(order_cost=1e-6), [PriceSteps(((0.0, 100.0),))]) == 1
    assert lot_for(1.0, Wish(order_cost=None), [PriceSteps(((0.0, 100.0),))]) == 60


def test_spreads_of_demand_and_lead_time_add_up() -> None:
    """21 x 0.5^2 + 1.5^2 x 3^2."""
    assert Usage(1.5, 14, 0.5, 3.0, 7).variance == pytest.approx(5.25 + 20.25)


def test_no_use_is_no_pattern() -> None:
    assert pattern([0, 0]) == Pattern(2, 0, None, None, None, 2)


def test_each_use_falls_into_its_own_week() -> None:
    last = date(2026, 3, 31)
    used = [(last - timedelta(days=7 * n), Decimal(n + 1)) for n in range(12)]
    assert weeks(used, last - timedelta(days=7 * 12 - 1), last) == tuple(map(float, range(12, 0, -1)))
    assert len(weeks([], last - timedelta(days=69), last)) == 10 == len(weeks([], last - timedelta(days=75), last))
