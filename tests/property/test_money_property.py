"""Money keeps its sums."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import assume, given
from hypothesis import strategies as st

from bom.kits.kit import Market
from bom.kits.price import price_for
from bom.values.money import Money, apportion, total

CURRENCIES = st.sampled_from(["EUR", "JPY", "KWD"])
WEIGHTS = st.lists(st.decimals(0, 10**6, places=4), min_size=1, max_size=12)


@given(st.integers(0, 10**12), CURRENCIES, WEIGHTS)
def test_shares_sum_to_the_whole_exactly(millionths: int, currency: str, weights: list[Decimal]) -> None:
    whole = Money(millionths, currency)
    assert total(apportion(whole, weights), currency) == whole.rounded()


@given(st.integers(0, 10**12), CURRENCIES, WEIGHTS)
def test_no_share_is_off_by_a_whole_smallest_unit(millionths: int, currency: str, weights: list[Decimal]) -> None:
    assume(any(weights))
    whole = Money(millionths, currency).rounded()
    grain = Decimal(1).scaleb(-whole.exponent)
    for share, weight in zip(apportion(whole, weights), weights, strict=True):
        assert abs(share.amount - whole.amount * weight / sum(weights)) < grain


@given(st.integers(-(10**15), 10**15), CURRENCIES)
def test_rounding_twice_is_rounding_once(millionths: int, currency: str) -> None:
    once = Money(millionths, currency).rounded()
    assert once.rounded() == once
    assert (-Money(millionths, currency)).rounded() == -once


@given(st.integers(0, 10**9), CURRENCIES, st.integers(0, 50), st.integers(0, 20), st.booleans())
def test_a_price_for_a_margin_always_leaves_that_margin(
    millionths: int, currency: str, margin: int, fee: int, registered: bool
) -> None:
    market = Market(registered, Decimal(20), Decimal(fee), Money.of(1, currency))
    sale = price_for(market, None, Money(millionths, currency), margin)
    assert sale.margin_pct is not None and sale.margin_pct >= margin
