"""A supplier's own sums are turned into its currency, and two needs of one part are two needs."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from bom.buying.from_offers import Need, problem_from
from bom.buying.offer import Break, Offer, Rates, Supplier
from bom.buying.plan import plan
from bom.values.money import Money

DAY = date(2026, 11, 2)
RATES = Rates("GBP", DAY, (("EUR", Decimal("0.87")), ("USD", Decimal("0.75"))))
OFFER = Offer("S", "P", (Break(1, Money.of(2, "EUR")),), stock=100)


@pytest.mark.parametrize(
    ("fee", "in_euros"),
    [(Money.of("8.70", "GBP"), "10"), (Money.of(10, "EUR"), "10"), (Money.of("11.60", "USD"), "10")],
)
def test_a_fee_in_another_currency_goes_over_the_base(fee: Money, in_euros: str) -> None:
    """8.70 GBP / 0.87 and 11.60 USD x 0.75 / 0.87 are both 10 EUR, worked by hand."""
    problem, left_out = problem_from(
        [Need("P", 5, ("P",))], [Supplier("S", "EUR", import_fee=fee)], [OFFER], RATES, tax_registered=True, today=DAY
    )
    assert left_out == ()
    assert problem.suppliers[0].import_fee == Decimal(in_euros)


@pytest.mark.parametrize(
    ("lead", "within", "status"),
    [(42, None, "optimal"), (42, 60, "optimal"), (42, 30, "infeasible"), (None, None, "infeasible")],
)
def test_a_part_of_which_none_is_in_stock_is_planned_by_its_day(
    lead: int | None, within: int | None, status: str
) -> None:
    """What its supplier usually takes, 2 days here, is for what lies there."""
    offer, supplier = replace(OFFER, stock=0, lead_days=lead), Supplier("S", "EUR", lead_days=2)
    problem, left_out = problem_from(
        [Need("P", 5, ("P",), within)], [supplier], [offer], RATES, tax_registered=True, today=DAY
    )
    assert plan(problem).status == status
    assert [reason.partition(": ")[2] for reason in left_out] == (
        [] if lead else ["none in stock, and no day is stated when there will be"]
    )


def test_a_list_that_leaves_the_day_open_is_not_taken_to_come_in_the_usual_time() -> None:
    supplier = Supplier("S", "EUR", lead_days=2)
    problem, _ = problem_from([Need("P", 5, ("P",), 30)], [supplier], [OFFER], RATES, tax_registered=True, today=DAY)
    assert problem.offers[0].lead_days is None and plan(problem).status == "infeasible"


def test_needs_of_one_part_keep_apart_under_names_of_their_own() -> None:
    needs = [Need("P", count, ("P",)) for count in (1, 2, 3)]
    problem, _ = problem_from(needs, [Supplier("S", "EUR")], [OFFER], RATES, tax_registered=True, today=DAY)
    assert [need.id for need in problem.needs] == ["P", "P #2", "P #3"]
