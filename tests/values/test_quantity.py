"""Quantities as people type them."""

from __future__ import annotations

from decimal import Decimal

import pytest

from bom.values.problem import Refused
from bom.values.quantity import read, read_amount, show


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("12 V", "V", 12),
        ("12V", "V", 12),
        ("12", "V", 12),
        ("−5 V", "V", -5),
        ("4V7", "V", 4.7),
        ("80 mA", "A", 0.08),
        ("250 µA", "A", 0.00025),
        ("250 \u03bcA", "A", 0.00025),
        ("80 mA", "mA", 80),
        ("360R", "ohm", 360),
        ("4k7", "ohm", 4700),
        ("2R2", "ohm", 2.2),
        ("240 Ω", "ohm", 240),
        ("1M", "ohm", 1e6),
        ("0.1 in", "mm", 2.54),
        ('0.3"', "mm", 7.62),
        ("2,54 mm", "mm", 2.54),
        ("15 cm", "mm", 150),
        ("30 µm", "mm", 0.03),
        ("1.5 s", "ms", 1500),
        ("8 ms", "s", 0.008),
        ("0.6 g", "g", 0.6),
        ("1 kg", "g", 1000),
        ("20 °C", "degC", 20),
        ("-40 C", "degC", -40),
        ("68 °F", "degC", 20),
        ("293.15 K", "degC", 20),
        ("50 Hz", "Hz", 50),
        ("3 pcs", "piece", 3),
        ("5 ml", "ml", 5),
        ("400 mW", "W", 0.4),
    ],
)
def test_a_quantity_is_read_in_the_wanted_unit(text: str, unit: str, value: float) -> None:
    assert read(text, unit) == pytest.approx(value, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1,5", 1.5),
        ("0,125", 0.125),
        ("1,2345", 1.2345),
        ("1,234.5", 1234.5),
        ("1.234,5", 1234.5),
        ("1,234,567", 1234567),
    ],
)
def test_a_comma_is_read_where_it_can_mean_only_one_thing(text: str, value: float) -> None:
    assert read(text, "V") == value


@pytest.mark.parametrize("text", ["1,234", "12,500 V", "-1,234"])
def test_a_comma_that_may_mean_thousands_is_refused(text: str) -> None:
    with pytest.raises(Refused, match="may mean"):
        read(text, "V")


@pytest.mark.parametrize("text", ["", "  ", "abc", "nan", "inf", "1.2.3", "1,2,3", "1e999", "12 V 3", "1 2 V", "V"])
def test_what_is_no_quantity_is_refused(text: str) -> None:
    with pytest.raises(Refused, match="expected"):
        read(text, "V")


@pytest.mark.parametrize(
    ("text", "unit"), [("12 mm", "V"), ("3 A", "ohm"), ("5 m", "ohm"), ("5 g", "mm"), ("12 MM", "A")]
)
def test_another_unit_is_refused_and_the_expected_one_named(text: str, unit: str) -> None:
    with pytest.raises(Refused, match=r"expected a (voltage|resistance|length|current) \("):
        read(text, unit)


def test_an_unknown_wanted_unit_is_refused() -> None:
    with pytest.raises(Refused, match="one of the units"):
        read("3", "parsec")


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("0.6 g", ("0.6", "g")),
        ("150 mm", ("150", "mm")),
        ("15 cm", ("150", "mm")),
        (3, ("3", "piece")),
        (0.1, ("0.1", "piece")),
    ],
)
def test_an_amount_carries_its_base_unit(text: str | float, amount: tuple[str, str]) -> None:
    assert read_amount(text) == (Decimal(amount[0]), amount[1])


@pytest.mark.parametrize("text", [0, -1, "0 g", "3 V", True, ""])
def test_no_amount_is_refused(text: str | int) -> None:
    with pytest.raises(Refused, match="expected"):
        read_amount(text)


@pytest.mark.parametrize(
    ("value", "unit", "shown"),
    [
        (0.0667, "A", "66.7 mA"),
        (240, "ohm", "240 Ω"),
        (9.1, "V", "9.1 V"),
        (0.9999, "A", "1 A"),
        (4700, "ohm", "4.7 kΩ"),
        (0, "V", "0 V"),
        (-12.04, "V", "-12 V"),
        (8, "ms", "8 ms"),
        (90, "s", "90 s"),
        (17.78, "mm", "17.78 mm"),
        (20, "degC", "20 °C"),
        (1, "piece", "1 piece"),
        (0.6, "g", "0.6 g"),
        (float("nan"), "V", "not stated"),
    ],
)
def test_a_value_is_shown_short(value: float, unit: str, shown: str) -> None:
    assert show(value, unit) == shown
