"""A supplier's own sums are turned into its currency, and two needs of one part are two needs."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from bom.buying.from_offers import Need, problem_from
from bom.buying.offer import Break, Offer, Rates, Supplier
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


def test_needs_of_one_part_keep_apart_under_names_of_their_own() -> None:
    needs = [Need("P", count, ("P",)) for count in (1, 2, 3)]
    problem, _ = problem_from(needs, [Supplier("S", "EUR")], [OFFER], RATES, tax_registered=True, today=DAY)
    assert [need.id for need in problem.needs] == ["P", "P #2", "P #3"]
