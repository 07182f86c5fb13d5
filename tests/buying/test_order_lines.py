"""Why so many pieces, and what an order reaches."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from bom.buying.order_lines import thresholds, why_so_many
from bom.buying.problem import PlanOffer, PlanSupplier

SUPPLIER = PlanSupplier(
    "S", "EUR", shipping_fee=Decimal(5), free_shipping_from=Decimal(40), min_order_value=Decimal(20)
)
OFFER = PlanOffer("O", "S", "A", ((1, Decimal(2)), (10, Decimal(1))))


@pytest.mark.parametrize(
    ("quantity", "spare", "goods", "why"),
    [
        (4, 0, "30", "as needed"),
        (12, 0, "30", "10+ price"),
        (10, 4, "30", "10+ price makes 10 cheaper than 6"),
        (9, 1, "20", "1 more reach the minimum order of 20.00 EUR"),
        (20, 5, "40", "10+ price, 5 more reach free shipping from 40.00 EUR"),
        (9, 1, "90", "1 more fill up the order"),
    ],
)
def test_a_quantity_says_what_made_it(quantity: int, spare: int, goods: str, why: str) -> None:
    assert why_so_many(OFFER, quantity, spare, SUPPLIER, Decimal(goods)) == why


@pytest.mark.parametrize("breaks", [((1, Decimal(2)), (10, Decimal(2))), ((10, Decimal(2)),)])
def test_a_break_that_changes_no_price_is_no_reason(breaks: tuple[tuple[int, Decimal], ...]) -> None:
    assert why_so_many(replace(OFFER, breaks=breaks), 12, 0, SUPPLIER, Decimal(30)) == "as needed"


@pytest.mark.parametrize(
    ("goods", "said"),
    [
        ("40", ("shipping is free from 40.00 EUR: reached", "minimum order 20.00 EUR: reached")),
        ("31.5", ("shipping is free from 40.00 EUR: 8.50 EUR short", "minimum order 20.00 EUR: reached")),
    ],
)
def test_an_order_says_which_thresholds_it_reaches(goods: str, said: tuple[str, ...]) -> None:
    assert thresholds(SUPPLIER, Decimal(goods)) == said
    assert thresholds(PlanSupplier("T", "EUR"), Decimal(goods)) == ()
