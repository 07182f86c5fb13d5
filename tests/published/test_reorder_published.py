"""Reorder sums against printed answers. Tables print z to two digits, so those answers are met to 0.3."""

from __future__ import annotations

import pytest

from bom.buying.demand import croston, pattern, sba, tsb
from bom.buying.reorder import (
    economic_order_quantity,
    normal_reorder_point,
    poisson_reorder_point,
    safety_stock,
)


def test_lot_size_of_snyder_and_shen_example_3_1() -> None:
    """Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd edition, example 3.1, as reprinted in the docs of
    a public inventory library: K 8, h 0.225, D 1300."""
    assert economic_order_quantity(8, 1300, 0.225) == pytest.approx(304.0468, abs=5e-5)


def test_lot_size_of_the_hospital_cleaner_problem() -> None:
    """A slide set on Stevenson, Operations Management: D 816, S 12, h 4 gives 70."""
    assert economic_order_quantity(12, 816, 4) == pytest.approx(70, abs=0.05)


@pytest.mark.parametrize(("mean", "at_95", "at_99"), [(0.5, 2, 3), (1, 3, 4), (2, 5, 6), (4, 8, 9), (9, 14, 17)])
def test_poisson_reorder_points(mean: float, at_95: int, at_99: int) -> None:
    """Quantiles of the Poisson distribution, reckoned with another program."""
    assert (poisson_reorder_point(mean, 0.95), poisson_reorder_point(mean, 0.99)) == (at_95, at_99)


def test_poisson_service_of_stevenson_example_15() -> None:
    """Stevenson, Operations Management, 14th edition, example 15, page 537: Poisson 4, service level 0.60 -> 4."""
    assert poisson_reorder_point(4, 0.60) == 4


def test_reorder_point_of_stevenson_example_8() -> None:
    """Stevenson, 14th edition, example 8, page 528: lead-time demand 50, spread 5, risk 3 %: 9.40 and 59.40."""
    assert safety_stock(50, 5, 1, 0, 0.97) == pytest.approx(9.40, abs=0.01)
    assert normal_reorder_point(50, 5, 1, 0, 0.97) == pytest.approx(59.40, abs=0.01)


def test_reorder_point_with_an_uncertain_lead_time() -> None:
    """A solved textbook problem (page 543; title not shown): 60 a week, lead time 6 with spread 2, 90 %: 513.6."""
    assert normal_reorder_point(60, 0, 6, 2, 0.90) == pytest.approx(513.6, abs=0.3)


def test_fixed_interval_level_of_stevenson_example_10() -> None:
    """Stevenson, 14th edition, example 10, page 532: 30 a day, spread 3, lead 2 and interval 7 days, 99 %, 71 there:
    order 220."""
    assert normal_reorder_point(30, 3, 9, 0, 0.99) - 71 == pytest.approx(220, abs=0.3)


PRODUCT_C = [
    0,
    2,
    0,
    1,
    0,
    11,
    0,
    0,
    0,
    0,
    2,
    0,
    6,
    3,
    0,
    0,
    0,
    0,
    0,
    7,
    0,
    0,
    0,
    0,
    0,
    0,
    0,
    3,
    1,
    0,
    0,
    1,
    0,
    1,
    0,
    0,
]


def test_croston_and_its_kin_on_a_published_series() -> None:
    """Hyndman and Athanasopoulos, Forecasting: Principles and Practice, 2nd edition, section 12.2, product C: 2.750
    over 2.793 is 0.985. The further digits, SBA and TSB (0.1, 0.1) by a public forecasting library."""
    assert croston(PRODUCT_C) == pytest.approx(2.750 / 2.793, abs=5e-4)
    assert croston(PRODUCT_C) == pytest.approx(0.984597, abs=5e-7)
    assert sba(PRODUCT_C) == pytest.approx(0.935367, abs=5e-7)
    assert tsb(PRODUCT_C) == pytest.approx(0.804065, abs=5e-7)


def test_the_published_series_is_lumpy() -> None:
    """Interval 3.27 and squared variation 0.798, beyond the cut-offs 1.32 and 0.49."""
    seen = pattern(PRODUCT_C)
    assert (round(seen.interval or 0, 2), round(seen.variation or 0, 3), seen.kind) == (3.27, 0.798, "lumpy")
