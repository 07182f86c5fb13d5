"""Decay, peak and energy of a coil: self-consistency, and the decay against a general integrator.

Nothing here is published. What a formula gives is worked out a second time by hand, or by scipy's integration of the
differential equation L di/dt = -(R i + v) that the formula solves.
"""

from __future__ import annotations

import pytest
from scipy.integrate import solve_ivp

from bom.duty.coil_heat import ohms_at, operate_volts_at
from bom.duty.load_protection import bates_snubber, guide_snubber
from bom.duty.release import clamped_decay_seconds, decay, resistor_decay_seconds, resistor_peak_volts, stored_joules
from bom.relays.relay import Relay, Suppression

HENRIES, OHMS = 2.29, 275.0
START, END = 12 / OHMS, 1.2 / OHMS


def integrated(ohms: float, clamp_volts: float) -> float:
    """Seconds from START to END, by integration."""

    def slope(_: float, amps: list[float]) -> list[float]:
        return [-(ohms * amps[0] + clamp_volts) / HENRIES]

    def released(_: float, amps: list[float]) -> float:
        return amps[0] - END

    released.terminal = True  # type: ignore[attr-defined]
    solved = solve_ivp(slope, (0, 1), [START], events=released, rtol=1e-9, atol=1e-12)
    return float(solved.t_events[0][0])


@pytest.mark.parametrize("clamp", [0.7, 12.7, 24.7])
def test_a_clamped_decay_is_what_integration_gives(clamp: float) -> None:
    assert clamped_decay_seconds(HENRIES, OHMS, START, END, clamp) == pytest.approx(integrated(OHMS, clamp), rel=1e-6)


@pytest.mark.parametrize("beside", [100.0, 680.0])
def test_a_decay_through_a_resistor_is_what_integration_gives(beside: float) -> None:
    formula = resistor_decay_seconds(HENRIES, OHMS, START, END, beside)
    assert formula == pytest.approx(integrated(OHMS + beside, 0.0), rel=1e-6)


COIL = Relay("M", "x", coil_volts=12, coil_ohms=OHMS, release_volts=1.2, coil_henries=HENRIES, suppression_ohms=680)


@pytest.mark.parametrize(
    ("kind", "ohms", "clamp"),
    [
        (Suppression.DIODE, OHMS, 0.7),
        (Suppression.DIODE_ZENER, OHMS, 12.7),
        (Suppression.RESISTOR, OHMS + 680, 0.0),
    ],
)
def test_a_parts_decay_is_told_in_ms_and_in_times_of_l_over_r(kind: Suppression, ohms: float, clamp: float) -> None:
    found, seconds = decay(COIL, kind, 12), integrated(ohms, clamp)
    assert found.milliseconds == pytest.approx(1000 * seconds, rel=1e-6)
    assert found.times_lr == pytest.approx(seconds / (HENRIES / OHMS), rel=1e-6)


def test_a_small_coil_stores_two_millijoules() -> None:
    """Half of 2.29 H times 43.6 mA squared."""
    assert stored_joules(2.29, 0.0436) * 1000 == pytest.approx(2.18, abs=0.01)


def test_a_resistor_lets_the_coils_current_arise_over_it() -> None:
    assert resistor_peak_volts(12 / 120, 680) == pytest.approx(68.0)


def test_a_coil_of_90_ohm_and_6_5_v_at_20_degrees_when_it_is_85() -> None:
    """319.5 / 254.5 times."""
    assert ohms_at(90, 20, 85) == pytest.approx(112.99, abs=0.01)
    assert operate_volts_at(6.5, 20, 85) == pytest.approx(8.16, abs=0.01)


def test_a_snubber_for_24_v_and_2_a() -> None:
    snubber = bates_snubber(24, 2)
    assert snubber.microfarads == pytest.approx(0.4)
    assert snubber.ohms == pytest.approx(0.389, abs=0.001)


def test_the_guides_snubber_spans_a_factor_of_two() -> None:
    """0.5 to 1 microfarad per amp, 0.5 to 1 ohm per volt."""
    least, most = guide_snubber(24, 2)
    assert (least.microfarads, least.ohms, most.microfarads, most.ohms) == (1, 12, 2, 24)


def test_a_snubber_of_one_volt_or_less_than_an_amp_is_none_the_less_one() -> None:
    assert bates_snubber(1, 1).microfarads == bates_snubber(0.5, 1).microfarads == pytest.approx(0.1)
    assert bates_snubber(1, 0.5).microfarads == pytest.approx(0.025)


@pytest.mark.parametrize(("volts", "amps"), [(0, 1), (12, 0)])
def test_a_snubber_for_nothing_is_refused(volts: float, amps: float) -> None:
    with pytest.raises(ValueError, match="above"):
        bates_snubber(volts, amps)
