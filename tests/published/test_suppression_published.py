"""Suppression formulas against printed examples."""

from __future__ import annotations

import pytest

from bom.duty.coil.suppression import (
    bates_snubber,
    clamped_decay_seconds,
    resistor_decay_seconds,
    resistor_peak_volts,
    stored_joules,
)


@pytest.mark.parametrize(
    ("source", "volts", "amps", "microfarads", "ohms", "within"),
    [
        ("Terranova 907 manual, page 30: about 8 ohm", 110, 1.0, 0.1, 7.56, 0.01),
        ("Terranova 752A manual, page A-2: about 76 ohm", 110, 0.1, 0.001, 75.6, 0.1),
        ("Bates' formula at 24 V 2 A", 24, 2.0, 0.4, 0.389, 0.001),
    ],
)
def test_the_snubber_is_bates(
    source: str, volts: float, amps: float, microfarads: float, ohms: float, within: float
) -> None:
    snubber = bates_snubber(volts, amps)
    assert snubber.microfarads == pytest.approx(microfarads), source
    assert snubber.ohms == pytest.approx(ohms, abs=within), source


@pytest.mark.parametrize(("volts", "amps"), [(0, 1), (12, 0)])
def test_a_snubber_for_nothing_is_refused(volts: float, amps: float) -> None:
    with pytest.raises(ValueError, match="above nought"):
        bates_snubber(volts, amps)


def test_a_small_coil_stores_two_millijoules() -> None:
    """Worked out from the Omron G2R 12 V example (elektroda.com): 2.29 H, 43.6 mA."""
    assert stored_joules(2.29, 0.0436) * 1000 == pytest.approx(2.18, abs=0.01)


def test_a_resistor_lets_the_theoretical_volts_arise() -> None:
    """electro-tech-online.com: 120 ohm coil at 12 V with 680 ohm across it, theory 68 V, measured about 65 V."""
    assert resistor_peak_volts(12 / 120, 680) == pytest.approx(68.0)


def test_release_slows_from_zener_through_resistors_to_the_diode() -> None:
    """The order of the TE 13C3311 drop-out table, worked out for the G2R coil above, decaying to a tenth."""
    henries, ohms, start, end = 2.29, 275.0, 12 / 275, 1.2 / 275
    times = [
        clamped_decay_seconds(henries, ohms, start, end, 24.7),
        clamped_decay_seconds(henries, ohms, start, end, 12.7),
        resistor_decay_seconds(henries, ohms, start, end, 680),
        resistor_decay_seconds(henries, ohms, start, end, 100),
        clamped_decay_seconds(henries, ohms, start, end, 0.7),
    ]
    assert times == sorted(times)
    assert [round(1000 * t, 2) for t in (times[0], times[1], times[4])] == [2.90, 4.79, 15.82]
