"""The coil window: hot, cold, volts and heat."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from duty_cases import HEAVY, OLD, V24, design, named, outcome, place

from bom.boards.board import Place
from bom.duty.check import coil_findings, duty_findings
from bom.duty.coil_drive import current_ma
from bom.relays.relay import Relay, SupplyKind
from bom.values.finding import Outcome

P, C, F, U = Outcome.PASS, Outcome.CONDITION, Outcome.FAIL, Outcome.UNKNOWN


@pytest.mark.parametrize(("relay", "at_20", "at_cold"), [(HEAVY, 100.0, 118.6), (OLD, 66.7, 79.1)])
def test_the_coldest_lowest_coil_takes_the_most(relay: Relay, at_20: float, at_cold: float) -> None:
    assert current_ma(relay, 14.4, 20) == pytest.approx(at_20, abs=0.05)
    assert current_ma(relay, 14.4, -20) == pytest.approx(at_cold, abs=0.06)


@pytest.mark.parametrize(
    ("relay", "channel", "package", "figure"), [(HEAVY, F, F, "400.0 mA at 20"), (OLD, P, P, "266.7 mA at 20")]
)
def test_a_thirstier_coil_overloads_the_driver(relay: Relay, channel: Outcome, package: Outcome, figure: str) -> None:
    found = coil_findings(design(relay), place(), design(OLD))
    assert outcome(found, "coil current") is channel
    assert outcome(found, "package") is package
    assert figure in named(found, "package").why


def test_the_old_coil_passes_narrowly() -> None:
    margin = named(coil_findings(design(), place()), "coil current").margin
    assert margin is not None and 0 < margin < 0.02


def test_a_24_v_coil_never_pulls_in_on_12_v() -> None:
    found = named(coil_findings(design(V24), place(), design(OLD)), "pull-in")
    assert (found.outcome, found.why.startswith("not sure to pull in")) == (F, True)


@pytest.mark.parametrize("original", [None, design(V24)])
def test_a_12_v_coil_burns_on_28_8_v(original: object) -> None:
    found = named(coil_findings(design(OLD), place((20, 28.8)), original), "highest coil volts")  # type: ignore[arg-type]
    assert found.outcome is F
    assert "3.46 W instead of 0.60 W" in found.why


def test_a_hot_coil_on_a_weak_battery_fails() -> None:
    found = named(coil_findings(design(), place((10.0, 14.4), (-20, 85))), "pull-in")
    assert (found.outcome, found.required, found.offered) == (F, "10.55 V", "9.10 V")


@pytest.mark.parametrize(("operate", "expected"), [(8.4, C), (8.0, C), (8.5, F)])
def test_outside_the_window_but_no_worse_than_the_fitted_part_is_a_condition(operate: float, expected: Outcome) -> None:
    relay = replace(OLD, part_number="K2R-12S", operate_volts=operate)
    found = named(coil_findings(design(relay), place((9, 16)), design(OLD)), "pull-in")
    assert found.outcome is expected
    assert ("no worse than the fitted part" in found.why) is (expected is C)


def test_with_no_fitted_part_known_outside_the_window_fails() -> None:
    found = coil_findings(design(), place((9, 16)))
    assert {outcome(found, "pull-in"), outcome(found, "coil current")} == {F}


@pytest.mark.parametrize(("most", "expected"), [(16.5, C), (14.0, F)])
def test_a_stated_coil_maximum_decides(most: float, expected: Outcome) -> None:
    relay = replace(OLD, coil_max_volts=most)
    assert outcome(coil_findings(design(relay), place((9, 16))), "highest coil volts") is expected


@pytest.mark.parametrize(
    ("field", "check"),
    [
        ("coil_supply", "coil supply"),
        ("operate_volts", "pull-in"),
        ("coil_ref_temp_c", "pull-in"),
        ("coil_ref_temp_c", "coil current"),
        ("coil_ohms_tol_pct", "coil current"),
        ("coil_ohms", "highest coil volts"),
        ("coil_ohms", "coil power"),
    ],
)
def test_a_value_not_stated_is_unknown(field: str, check: str) -> None:
    nothing: dict[str, Any] = {field: None}
    relay = replace(OLD, **nothing)
    assert outcome(coil_findings(design(relay), place(), design(OLD)), check) is U


def test_no_driver_stated_is_unknown_and_says_what_to_measure() -> None:
    here = place()
    bare = Place(here.board, replace(here.position, driver=None), here.pattern, None)
    found = coil_findings(design(), bare)
    assert [f.outcome for f in found[1:4]] == [U, U, U]
    assert "driver drop volts" in named(found, "pull-in").why


def test_an_ac_coil_on_dc_is_refused_for_that_alone() -> None:
    ac = replace(OLD, coil_supply=SupplyKind.AC)
    assert outcome(duty_findings(design(ac), place()), "coil supply") is F


def test_what_one_coil_takes_when_cold_is_said() -> None:
    """14.4 V on 216 ohm at 20 °C, and on 216 · 214.5/254.5 = 182 ohm at -20 °C."""
    found = named(coil_findings(design(), place()), "coil current when cold")
    assert found.why.startswith("one coil takes 79.1 mA at -20 °C (66.7 mA at 20 °C) from 14.4 V")
