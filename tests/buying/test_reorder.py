"""When and how much to reorder."""

from __future__ import annotations

from decimal import Decimal

import pytest

from bom.buying.reorder_points import Usage, due, order_up_to, poisson_reorder_point, reorder_point
from bom.values.problem import Refused


@pytest.mark.parametrize(
    ("available", "on_order", "pieces"),
    [(4, 0, 0), (3, 0, 7), (0, 3, 7), (0, 4, 0), (-2, 0, 12), (Decimal("2.5"), 0, 8)],
)
def test_an_order_is_due_at_the_point_and_fills_up_to_the_level(
    available: Decimal | int, on_order: int, pieces: int
) -> None:
    assert due("KM-7", available, on_order, 3, 10) == pieces


def test_a_level_below_the_point_is_refused() -> None:
    with pytest.raises(Refused, match="KM-7"):
        due("KM-7", 0, 0, 5, 4)


def test_slow_movers_are_counted_piece_by_piece() -> None:
    slow = Usage(per_day=0.1, lead_days=10)
    assert (reorder_point("poisson", slow, 0.95), order_up_to("poisson", slow, 0.95)) == (3, 4)


def test_looking_less_often_raises_the_point() -> None:
    often, seldom = Usage(0.1, 10), Usage(0.1, 10, review_days=30)
    assert reorder_point("poisson", seldom, 0.95) == 8 > reorder_point("poisson", often, 0.95)
    assert order_up_to("poisson", often, 0.95, lot=25) == 28


def test_no_use_needs_no_stock() -> None:
    assert poisson_reorder_point(0.0, 0.99) == 0


@pytest.mark.parametrize("level", [0.0, 1.0, 95.0])
def test_a_service_level_is_a_share(level: float) -> None:
    with pytest.raises(Refused, match="service level"):
        poisson_reorder_point(1.0, level)


def test_a_service_level_next_to_certainty_still_ends() -> None:
    assert poisson_reorder_point(4.0, 1 - 2**-53) < 200
