"""What an offer, a supplier or a rate says where it leaves something out, and rates from one base to another."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from bom.buying.offer import Break, Feed, Offer, Rates, Supplier
from bom.buying.plan_problem import PlanOffer, PlanSupplier
from bom.values.money import Money

RATES = Rates("EUR", date(2026, 3, 2), (("USD", Decimal("0.8")), ("GBP", Decimal("1.2"))), "made up")


@pytest.mark.parametrize(("currency", "worth"), [("EUR", 1), ("USD", Decimal("0.8")), ("SEK", None)])
def test_a_currency_is_worth_its_rate_and_the_base_one(currency: str, worth: Decimal | None) -> None:
    assert RATES.to_base(currency) == worth


def test_rates_are_crossed_to_another_base() -> None:
    """1 EUR is 1 / 0.8 USD, and 1 GBP 1.2 / 0.8."""
    crossed = RATES.in_terms_of("USD")
    assert crossed is not None
    assert (crossed.base, dict(crossed.worth)) == ("USD", {"GBP": Decimal("1.5"), "EUR": Decimal("1.25")})
    assert RATES.in_terms_of("EUR") is RATES and RATES.in_terms_of("SEK") is None


def test_what_is_left_out_means_nothing_more_to_pay_and_single_pieces() -> None:
    offer = Offer("S", "A", (Break(1, Money.of(2, "EUR")),))
    assert (offer.fewest, offer.moq, offer.multiple, offer.line) == (1, 1, 1, 0)
    assert Supplier("S", "EUR").tax_pct == 0


@pytest.mark.parametrize(("moq", "multiple", "fewest"), [(5, 1, 5), (1, 4, 4), (6, 4, 6)])
def test_the_fewest_pieces_that_are_sold(moq: int, multiple: int, fewest: int) -> None:
    assert Offer("S", "A", (), moq=moq, multiple=multiple).fewest == fewest


def test_a_price_list_is_kept_half_a_day_and_is_for_as_many_as_it_says() -> None:
    assert (Feed().keep_hours, Feed().price_per) == (12.0, 0)


TWO = ((5, Decimal(3)), (10, Decimal(2)))


@pytest.mark.parametrize(
    ("pieces", "listed", "incremental"), [(0, 0, 0), (1, 3, 3), (5, 15, 15), (9, 27, 27), (10, 20, 29), (12, 24, 33)]
)
def test_the_first_price_holds_below_its_quantity_too(pieces: int, listed: int, incremental: int) -> None:
    assert PlanOffer("O", "S", "A", TWO).goods(pieces) == listed
    assert PlanOffer("O", "S", "A", TWO, incremental=True).goods(pieces) == incremental


@pytest.mark.parametrize(
    ("stock", "moq", "multiple", "fewest", "most"),
    [
        (None, 1, 1, 1, None),
        (8, 1, 1, 1, 8),
        (8, 8, 1, 8, 8),
        (8, 9, 1, 9, 0),
        (8, 1, 3, 3, 6),
        (8, 7, 3, 9, 0),
        (0, 1, 1, 1, 0),
    ],
)
def test_the_fewest_and_the_most_that_may_be_ordered(
    stock: int | None, moq: int, multiple: int, fewest: int, most: int | None
) -> None:
    offer = PlanOffer("O", "S", "A", TWO, stock, moq=moq, multiple=multiple)
    assert (offer.rounded_up(1), offer.most) == (fewest, most)


def test_a_plain_offer_is_sold_singly() -> None:
    assert PlanOffer("O", "S", "A", TWO).rounded_up(1) == 1


@pytest.mark.parametrize(
    ("recoverable", "inside", "goods"), [(False, False, "0.6"), (True, False, "0.5"), (False, True, "0.5")]
)
def test_a_listed_unit_comes_to_its_rate_and_the_tax_on_top(recoverable: bool, inside: bool, goods: str) -> None:
    supplier = PlanSupplier(
        "S",
        "USD",
        fx_to_base=Decimal("0.5"),
        tax_rate=Decimal("0.2"),
        tax_recoverable=recoverable,
        prices_include_tax=inside,
    )
    assert supplier.goods_factor == Decimal(goods)


def test_tax_inside_a_price_that_is_got_back_makes_it_cheaper() -> None:
    supplier = PlanSupplier("S", "EUR", tax_rate=Decimal("0.25"), tax_recoverable=True, prices_include_tax=True)
    assert supplier.goods_factor == Decimal("0.8")
