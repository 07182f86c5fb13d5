"""Why so many pieces, and what an order reaches."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from bom.buying.from_offers import Need, problem_from
from bom.buying.offer import Break, Offer, Rates, Supplier
from bom.buying.order_lines import lines_of, thresholds, why_so_many
from bom.buying.plan import plan
from bom.buying.plan_problem import PlanOffer, PlanSupplier
from bom.values.money import Money

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


def test_a_break_from_two_pieces_on_is_a_reason() -> None:
    assert (
        why_so_many(replace(OFFER, breaks=((1, Decimal(2)), (2, Decimal(1)))), 3, 0, SUPPLIER, Decimal(30))
        == "2+ price"
    )


@pytest.mark.parametrize(("dear", "landed"), [("6", ["2.25", "6.75"]), ("0", ["2.5", "0"])])
def test_what_an_order_costs_besides_is_shared_out_by_value(dear: str, landed: list[str]) -> None:
    """10 pieces at 2 and 10 at 6, and 10 for shipping, 90 in all: a quarter for the first. What is free bears none."""
    fee = {"6": "10", "0": "5"}[dear]
    suppliers = (Supplier("S", "EUR", shipping_fee=Money.of(fee, "EUR")),)
    offers = tuple(
        Offer("S", part, (Break(1, Money.of(price, "EUR")),), stock=50) for part, price in (("A", "2"), ("B", dear))
    )
    day = date(2026, 3, 2)
    needs = (Need("A", 10), Need("B", 10))
    problem, _ = problem_from(needs, suppliers, offers, Rates("EUR", day), tax_registered=False, today=day)
    lines = lines_of(plan(problem), problem, offers)
    assert [line.landed_each for line in lines] == [Money.of(each, "EUR") for each in landed]
