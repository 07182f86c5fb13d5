"""Reorder sums against worked examples of textbooks. Tables print z to two digits, so those answers are met to 0.3.

Stevenson, Operations Management, 14th edition: example 8 on page 528, example 10 on page 532, example 15 on page 537,
and example 5 (number from memory). Hyndman and Athanasopoulos, Forecasting: Principles and Practice, 2nd edition,
section 12.2 (its figures from memory). Syntetos, Boylan and Croston, On the categorization of demand patterns, Journal
of the Operational Research Society 56 (2005), the two limits (from memory).
"""

from __future__ import annotations

import pytest

from bom.buying.reorder_points import (
    INTERVAL_LIMIT,
    VARIATION_LIMIT,
    croston,
    economic_order_quantity,
    normal_reorder_point,
    pattern,
    poisson_reorder_point,
    safety_stock,
)


def test_lot_size_of_stevenson_example_5() -> None:
    """A hospital's cleaner: 816 a year, 12 an order, 4 to hold one: 70."""
    assert economic_order_quantity(12, 816, 4) == pytest.approx(70, abs=0.05)


def test_poisson_service_of_stevenson_example_15() -> None:
    """Poisson 4, service level 0.60: 4; the printed cumulated chances are .018 .092 .238 .433 .629 .785."""
    assert poisson_reorder_point(4, 0.60) == 4
    assert [poisson_reorder_point(4, level) for level in (0.018, 0.0915, 0.2375, 0.433, 0.6285, 0.785)] == [*range(6)]


def test_reorder_point_of_stevenson_example_8() -> None:
    """Demand in the lead time 50 with spread 5, risk 3 %: 9.40 and 59.40."""
    assert safety_stock(50, 5, 1, 0, 0.97) == pytest.approx(9.40, abs=0.01)
    assert normal_reorder_point(50, 5, 1, 0, 0.97) == pytest.approx(59.40, abs=0.01)


def test_fixed_interval_level_of_stevenson_example_10() -> None:
    """30 a day, spread 3, lead 2 and interval 7 days, 99 %, 71 there: order 220."""
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


def test_croston_on_product_c_of_hyndman_and_athanasopoulos() -> None:
    """Mean size 2.750 over mean interval 2.793 is 0.985."""
    assert croston(PRODUCT_C) == pytest.approx(2.750 / 2.793, abs=5e-4)
    assert croston(PRODUCT_C) == pytest.approx(0.985, abs=5e-4)


def test_product_c_is_lumpy_by_the_published_limits() -> None:
    assert (INTERVAL_LIMIT, VARIATION_LIMIT) == (1.32, 0.49)
    assert pattern(PRODUCT_C).kind == "lumpy"
