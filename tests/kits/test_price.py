"""Price and profit of one kit."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from bom.kits.kit import Market, Packing
from bom.kits.price import exact_price, price_for, profit
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


def test_paying_costs_its_own_share_and_its_own_fixed_part() -> None:
    """20.00: a fee of 10 % and 0.30, and 2.5 % and 0.20 for the payment, are 2.30 + 0.70."""
    market = Market(False, Decimal(20), Decimal(10), gbp("0.30"), price=gbp("20"), payment_pct=Decimal("2.5"))
    assert profit(replace(market, payment_fixed=gbp("0.20")), None, gbp("0")).fee == gbp("3.00")


EVERYTHING = Market(False, Decimal(20), Decimal(10), gbp("0.30"), payment_pct=Decimal("2.5"), payment_fixed=gbp("0.20"))


@pytest.mark.parametrize(
    ("fee_on", "charged", "price"),
    [
        ("price and postage", None, "21.40"),  # 4.90 + 0.45 + 3.35 + 1.50 + 0.50 = 10.70; of each 1.00 0.50 is left
        ("price", "3.00", "17.80"),  # 0.30 of the fee is spared: (10.70 - 0.30) / 0.5 - 3.00
    ],
)
def test_the_exact_price_bears_every_cost_once(fee_on: str, charged: str | None, price: str) -> None:
    """A margin of 37.5 % and fees of 12.5 % leave a half; six minutes at 15.00 are 1.50."""
    market = replace(EVERYTHING, fee_on=fee_on, postage_charged=gbp(charged) if charged else None)
    packing = replace(PACKING, minutes=Decimal(6), hourly_rate=gbp("15"))
    assert exact_price(market, packing, COST, "37.5") == gbp(price)


@pytest.mark.parametrize(("step", "price"), [(None, "4.13"), ("0.05", "4.15")])
def test_the_price_goes_up_to_the_next_penny_or_the_next_step(step: str | None, price: str) -> None:
    """3.71 / 0.9 is 4.122: 0.42 of 4.13 is 10.2 %, 0.41 of 4.12 is 9.95 %."""
    market = Market(False, Decimal(0), Decimal(0), gbp("0"), price_step=gbp(step) if step else None)
    assert price_for(market, None, gbp("3.71"), 10).price == gbp(price)


def test_where_every_line_is_rounded_down_a_lower_price_may_do() -> None:
    """Exactly: (1.009 + 0.459 + 3.359) / 0.1 = 48.27. Rounded down: 47.95 - 23.97 - 1.00 - 0.45 - 3.35 = 19.18, 40 %;
    the next lower that come near, 47.94 and 47.93, leave 19.17, 39.99 %."""
    market = Market(False, Decimal(0), Decimal(50), gbp("0"), rounding="down")
    assert price_for(market, Packing(gbp("0.459"), gbp("3.359")), gbp("1.009"), 40).price == gbp("47.95")


def test_where_there_is_no_price_the_shares_are_told() -> None:
    with pytest.raises(Refused, match=r"a margin of 85 %, fees of 12.8 % and tax of 20 % take all of it"):
        price_for(REGISTERED, PACKING, COST, 85)
    with pytest.raises(Refused, match=r"fees of 12.8 % and tax of 0 %"):
        price_for(MARKET, PACKING, COST, 88)


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
