"""Price and profit of one kit."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from bom.kits.kit import Market, Packing
from bom.kits.price import price_for, profit
from bom.values.money import Money
from bom.values.problem import Refused


def gbp(amount: str) -> Money:
    return Money.of(amount, "GBP")


MARKET = Market(False, Decimal(20), Decimal("12.8"), gbp("0.30"), price=gbp("14.90"))
REGISTERED = replace(MARKET, tax_registered=True)
PACKING = Packing(cost=gbp("0.45"), postage=gbp("3.35"))
COST = gbp("2.10").times(2) + gbp("0.60") + gbp("0.10")


def test_a_kit_at_14_90_leaves_3_99_where_parts_alone_would_claim_10() -> None:
    sale = profit(MARKET, PACKING, COST)
    assert (sale.profit, sale.price - sale.cost) == (gbp("3.99"), gbp("10.00"))
    assert (sale.fee, sale.tax) == (gbp("2.21"), gbp("0"))


def test_a_tax_registered_shop_keeps_1_51_of_it() -> None:
    sale = profit(REGISTERED, PACKING, COST)
    assert (sale.profit, sale.tax, sale.net) == (gbp("1.51"), gbp("2.48"), gbp("12.42"))


def test_labour_is_taken_only_at_a_rate() -> None:
    timed = replace(PACKING, minutes=Decimal(6))
    assert profit(MARKET, timed, COST).profit == gbp("3.99")
    assert profit(MARKET, replace(timed, hourly_rate=gbp("15")), COST).profit == gbp("2.49")


@pytest.mark.parametrize(("fee_on", "fee"), [("price", "2.21"), ("price and postage", "2.59")])
def test_postage_that_the_buyer_pays_bears_the_fee_where_the_market_says_so(fee_on: str, fee: str) -> None:
    sale = profit(replace(MARKET, fee_on=fee_on, postage_charged=gbp("3.00")), PACKING, COST)
    assert (sale.fee, sale.takings) == (gbp(fee), gbp("17.90"))


@pytest.mark.parametrize("market", [MARKET, REGISTERED, replace(REGISTERED, fee_on="price", postage_charged=gbp("3"))])
@pytest.mark.parametrize("margin", ["0", "10", "25", "40"])
def test_the_price_for_a_margin_leaves_it_and_a_few_pence_less_does_not(market: Market, margin: str) -> None:
    sale = price_for(market, PACKING, COST, margin)
    assert sale.margin_pct is not None and sale.margin_pct >= Decimal(margin)
    less = profit(replace(market, price=sale.price - gbp("0.08")), PACKING, COST)
    assert less.margin_pct is not None and less.margin_pct < Decimal(margin)


@pytest.mark.parametrize(("market", "margin"), [(MARKET, "87.2"), (REGISTERED, "85"), (MARKET, "100")])
def test_a_margin_that_fees_and_tax_cannot_leave_has_no_price(market: Market, margin: str) -> None:
    with pytest.raises(Refused, match="no price exists"):
        price_for(market, PACKING, COST, margin)


@pytest.mark.parametrize("market", [replace(MARKET, price=None), replace(MARKET, fee_on="luck")])
def test_a_market_without_a_price_or_with_an_odd_fee_is_refused(market: Market) -> None:
    with pytest.raises(Refused, match="expected"):
        profit(market, PACKING, COST)
