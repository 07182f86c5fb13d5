"""Money in millionths."""

from __future__ import annotations

import pytest

from bom.values.money import Money, apportion, total
from bom.values.problem import Refused


def test_a_fraction_of_a_cent_is_kept_and_the_line_rounded_once() -> None:
    assert str(Money.of("0.0123", "EUR").times(100)) == "1.23 EUR"


def test_a_float_goes_by_its_shortest_text() -> None:
    assert Money.of(2.675, "EUR").rounded() == Money.of("2.68", "EUR")


def test_currencies_never_mix() -> None:
    with pytest.raises(Refused, match="dated rate"):
        Money.of(1, "EUR") + Money.of(1, "GBP")
    with pytest.raises(Refused, match="dated rate"):
        total([Money.of(1, "EUR")], "GBP")


@pytest.mark.parametrize("code", ["eur", "EURO", "", "ÄÖÜ"])
def test_a_currency_that_is_no_code_is_refused(code: str) -> None:
    with pytest.raises(Refused, match="ISO 4217"):
        Money.of(1, code)


@pytest.mark.parametrize("amount", ["", "abc", "NaN", "Infinity"])
def test_what_is_no_amount_is_refused(amount: str) -> None:
    with pytest.raises(Refused, match="amount of money"):
        Money.of(amount, "EUR")


def test_weights_of_nothing_share_alike_and_no_share_is_refused() -> None:
    assert [str(m) for m in apportion(Money.of("0.03", "EUR"), [0, 0])] == ["0.02 EUR", "0.01 EUR"]
    with pytest.raises(Refused):
        apportion(Money.of(1, "EUR"), [])
