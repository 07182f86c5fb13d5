"""Money's rounding and its smallest units against the standards that define them."""

from __future__ import annotations

from decimal import Decimal

import pytest

from bom.kits.kit import Market
from bom.kits.price import profit
from bom.values.money import Money


def eur(amount: str) -> Money:
    return Money.of(amount, "EUR")


@pytest.mark.parametrize(
    ("amount", "rounded"),
    [("0.125", "0.13"), ("0.135", "0.14"), ("2.675", "2.68"), ("-0.125", "-0.13"), ("1.005", "1.01")],
)
def test_halves_are_rounded_away_from_zero(amount: str, rounded: str) -> None:
    """round-half-up: M. Cowlishaw, "General Decimal Arithmetic Specification", version 1.70 (2009), section "Rounding";
    from memory."""
    assert eur(amount).rounded() == eur(rounded)


@pytest.mark.parametrize(
    ("currency", "exponent"),
    [
        ("JPY", 0),
        ("KRW", 0),
        ("CLP", 0),
        ("EUR", 2),
        ("USD", 2),
        ("GBP", 2),
        ("CNY", 2),
        ("HUF", 2),
        ("KWD", 3),
        ("BHD", 3),
        ("TND", 3),
    ],
)
def test_minor_unit_exponents(currency: str, exponent: int) -> None:
    """ISO 4217:2015, list one, "minor unit"; JPY, EUR, USD, GBP and BHD read in reprints, the rest from memory."""
    assert Money.zero(currency).exponent == exponent


@pytest.mark.parametrize(
    ("fee", "up", "even", "down"),
    [("0.125", "0.13", "0.12", "0.12"), ("0.135", "0.14", "0.14", "0.13"), ("2.675", "2.68", "2.68", "2.67")],
)
def test_the_rounding_rule_is_a_setting(fee: str, up: str, even: str, down: str) -> None:
    """round-half-up, -half-even, -down: M. Cowlishaw, "General Decimal Arithmetic Specification", version 1.70 (2009),
    section "Rounding"; from memory."""
    for rule, rounded in (("half up", up), ("half even", even), ("down", down)):
        market = Market(False, Decimal(0), Decimal(0), eur(fee), price=eur("10"), rounding=rule)
        assert profit(market, None, eur("0")).fee == eur(rounded)
