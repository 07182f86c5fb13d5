"""Copper's rule against worked examples that makers print.

Sources: Babcock, Relay News; Leach International, application note 102, Relays and temperature variations; Kilovac
(Schrack), application notes, pull-in voltage at temperature; TE Connectivity, Temperature considerations for DC relays.
"""

from __future__ import annotations

import pytest

from bom.duty.coil_heat import ohms_at, operate_volts_at, ratio


@pytest.mark.parametrize(
    ("source", "value", "from_c", "to_c", "printed", "within"),
    [
        ("Babcock relay news: 320 ohm coil", 320, 25, 125, 443.3, 0.1),
        ("Leach AN 102: 290 ohm coil, printed 403.31 where its own chart gives 403.10", 290, 25, 125, 403.0, 2.4),
    ],
)
def test_ohms_follow_temperature_as_printed(
    source: str, value: float, from_c: float, to_c: float, printed: float, within: float
) -> None:
    assert ohms_at(value, from_c, to_c) == pytest.approx(printed, abs=within), source


@pytest.mark.parametrize(
    ("source", "volts", "to_c", "printed"),
    [
        ("Babcock relay news", 13.0, 125, 18.0),
        ("Kilovac, pull-in at temperature", 16.0, 85, 19.7),
        ("Kilovac, pull-in at temperature", 16.0, 100, 20.6),
        ("Kilovac, pull-in at temperature", 16.0, -25, 12.9),
    ],
)
def test_operate_volts_follow_temperature_as_printed(source: str, volts: float, to_c: float, printed: float) -> None:
    assert operate_volts_at(volts, 25, to_c) == pytest.approx(printed, abs=0.05), source


def test_a_20_v_supply_works_it_at_85_but_not_at_100_degrees() -> None:
    """Kilovac, application notes, pull-in voltage at temperature."""
    assert operate_volts_at(16, 25, 85) <= 20 < operate_volts_at(16, 25, 100)


@pytest.mark.parametrize(
    ("source", "temp_c", "printed"),
    [("TE, temperature considerations for DC relays", 20, 0.003929), ("Kilovac, pull-in", 25, 0.003853)],
)
def test_the_coefficient_is_the_printed_one(source: str, temp_c: float, printed: float) -> None:
    assert ratio(temp_c, temp_c + 1) - 1 == pytest.approx(printed, abs=1e-6), source
