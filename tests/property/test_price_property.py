"""Whatever the market: the lines of a sale add up, and the price for a margin is the lowest that leaves it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from bom.kits.kit import ROUNDINGS, Market, Packing
from bom.kits.price import price_for, profit
from bom.values.money import Money
from bom.values.problem import Refused


def amounts(most: int) -> st.SearchStrategy[Money]:
    return st.integers(0, most * 100).map(lambda cents: Money.of(Decimal(cents) / 100, "EUR"))


def percents(most: int) -> st.SearchStrategy[Decimal]:
    return st.integers(0, most * 10).map(lambda tenths: Decimal(tenths) / 10)


MARKETS = st.builds(
    Market,
    tax_registered=st.booleans(),
    tax_pct=percents(27),
    fee_pct=percents(20),
    fee_fixed=amounts(1),
    fee_on=st.sampled_from(("price", "price and postage")),
    postage_charged=st.none() | amounts(5),
    payment_pct=percents(5),
    payment_fixed=st.none() | amounts(1),
    rounding=st.sampled_from(ROUNDINGS),
    price_step=st.none() | st.sampled_from([Money.of(s, "EUR") for s in ("0.01", "0.05", "0.50", "1")]),
)
PACKINGS = st.builds(Packing, cost=amounts(2), postage=amounts(9), minutes=percents(60), hourly_rate=amounts(40))


@settings(deadline=None, max_examples=50)
@given(MARKETS, PACKINGS, amounts(60), amounts(100))
def test_the_lines_of_a_sale_add_up_to_the_takings(market: Market, packing: Packing, cost: Money, price: Money) -> None:
    sale = profit(replace(market, price=price), packing, cost)
    lines = (sale.tax, sale.fee, sale.postage, sale.packing, sale.labour, sale.cost, sale.profit)
    assert sum(line.millionths for line in lines) == sale.takings.millionths
    assert all(line.millionths % 10_000 == 0 for line in lines)


@settings(deadline=None, max_examples=30)
@given(MARKETS, PACKINGS, amounts(60), percents(80))
def test_the_price_for_a_margin_is_the_lowest_that_leaves_it(
    market: Market, packing: Packing, cost: Money, margin: Decimal
) -> None:
    try:
        sale = price_for(market, packing, cost, margin)
    except Refused:
        return
    step = market.price_step or Money.of("0.01", "EUR")
    assert sale.margin_pct is not None and sale.margin_pct >= margin and sale.price.millionths % step.millionths == 0
    for fewer in range(1, 5):
        below = sale.price.millionths - fewer * step.millionths
        if below >= 0:
            less = profit(replace(market, price=Money(below, "EUR")), packing, cost)
            assert less.margin_pct is None or less.margin_pct < margin
