"""Coil figures that data sheets and application notes print."""

from __future__ import annotations

import pytest

from bom.duty.coil.copper import ohms_at, operate_volts_at
from bom.duty.coil.current import current_ma
from bom.duty.coil.pull_in import operate_volts_hot
from bom.duty.coil.release import decay
from bom.duty.coil.suppression import bates_snubber, resistor_peak_volts
from bom.duty.figures.preferred import SERIES, at_least
from bom.relays.relay import Relay, Suppression


def test_a_twin_relays_coil_row_agrees_with_itself() -> None:
    """Panasonic CT: 12 V, 180 ohm, 66.7 mA, 800 mW, operates at 7.2 V."""
    coil = Relay("M", "x", coil_volts=12, coil_ohms=180, coil_ohms_tol_pct=0, coil_ref_temp_c=20, operate_volts=7.2)
    assert coil.coil_watts == pytest.approx(0.8)
    assert current_ma(coil, 12, 20) == pytest.approx(66.7, abs=0.1)
    assert operate_volts_hot(coil, 20) == pytest.approx(0.6 * 12)


def test_a_coil_of_360_mw_has_400_ohm() -> None:
    """Meishuo, coil resistance: 12 V, 0.36 W, 400 ohm."""
    assert Relay("M", "x", coil_volts=12, coil_ohms=400).coil_watts == pytest.approx(0.36)


def test_hot_coil_of_the_te_note() -> None:
    """TE, temperature considerations for DC relays: 90 ohm, 6.5 V at 20 °C; at 85 °C worked out by its formula."""
    assert ohms_at(90, 20, 85) == pytest.approx(112.99, abs=0.01)
    assert operate_volts_at(6.5, 20, 85) == pytest.approx(8.16, abs=0.01)


@pytest.mark.parametrize(("ohms", "volts"), [(680, 167), (470, 115), (330, 81), (220, 54), (100, 24.6), (82, 20.1)])
def test_the_theoretical_volts_of_a_resistor(ohms: float, volts: float) -> None:
    """TE 13C3311, from memory: 55 ohm coil at 13.5 V."""
    assert resistor_peak_volts(13.5 / 55, ohms) == pytest.approx(volts, abs=0.5)


G2R = Relay("M", "x", coil_volts=12, coil_ohms=275, release_volts=1.2, coil_henries=2.29, suppression_ohms=680)


@pytest.mark.parametrize(
    ("kind", "zener", "ms"), [(Suppression.DIODE, None, 15.82), (Suppression.DIODE_ZENER, 12, 4.79)]
)
def test_the_decay_of_a_printed_coil(kind: Suppression, zener: float | None, ms: float) -> None:
    """Omron G2R 12 V example (elektroda.com): 2.29 H, 275 ohm; to a tenth of its current, by the L/R formulas."""
    found = decay(G2R, kind, 12)
    assert found.milliseconds == pytest.approx(ms, abs=0.005)
    assert found.times_lr == pytest.approx(ms / 8.327, abs=0.001)


def test_suppressions_come_in_the_printed_order() -> None:
    """TE 13C3311: none, diode with zener, resistor, diode."""
    order = (Suppression.NONE, Suppression.DIODE_ZENER, Suppression.RESISTOR, Suppression.DIODE)
    times = [decay(G2R, kind, 12).milliseconds or 0.0 for kind in order]
    assert times == sorted(times)


@pytest.mark.parametrize(("amps", "ohms"), [(1.0, 10), (0.1, 100)])
def test_the_preferred_snubber_resistor_is_the_one_printed(amps: float, ohms: float) -> None:
    """Terranova 907 and 752A manuals: about 8 ohm, use 10; about 76 ohm, use 100 (110 V)."""
    assert at_least(bates_snubber(110, amps).ohms, 6) == pytest.approx(ohms)


@pytest.mark.parametrize(("series", "count"), [(3, 3), (6, 6), (12, 12), (24, 24)])
def test_a_series_has_as_many_values_as_its_name_says(series: int, count: int) -> None:
    """IEC 60063."""
    assert len(SERIES[series]) == count


def test_e6_and_e12_are_the_usual_values() -> None:
    """IEC 60063, from memory."""
    assert SERIES[6] == (1.0, 1.5, 2.2, 3.3, 4.7, 6.8)
    assert SERIES[12] == (1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2)
