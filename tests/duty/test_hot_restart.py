"""Hot restart: the coil has been on at the highest supply, is switched off and on again at the lowest.

By hand, for OLD (8.4 V and 240 ohm ±10 % at 20 °C) at 50 °C: 11.0 V less 0.9 V leave 10.1 V, at which it operates up to
254.5 · 10.1/8.4 - 234.5 = 71.5 °C, so up to 21.5 K over the ambient. It is heated by 13.5 V on 216 ohm.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from duty_cases import OLD, TWIN_RATINGS, design, place

from bom.boards.board import ContactAmps, Function, Load, Place
from bom.duty.check import duty_findings
from bom.duty.coil_heat import contact_rise, rise_at
from bom.duty.coil_window import coil_window
from bom.duty.rules import DEFAULT, rule_named
from bom.relays.relay import CoilSystem, Design, Relay
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.finding import Finding, Outcome

P, C, F, U = Outcome.PASS, Outcome.CONDITION, Outcome.FAIL, Outcome.UNKNOWN
TWIN = Wiring("twin", tuple(Element(unit, "", Kind.COIL, f"{unit}1", f"{unit}2") for unit in "AB"))


def hot(rise_k: float | None = None, amps: float | None = 10.0, **position: Any) -> Place:
    there = place((11.0, 14.4), (-20, 50), Load("resistive", 14, amps))
    return replace(there, position=replace(there.position, coil_rise_k=rise_k, **position))


def restart(there: Place, part: Design, fitted: Relay | None = None, rule: str = DEFAULT.name) -> Finding | None:
    found = duty_findings(part, there, design(fitted) if fitted else None, rule_named(rule))
    return next((f for f in found if f.check == "pull-in again when warm"), None)


def per_watt(kelvin: float, **stated: Any) -> Design:
    return design(replace(OLD, coil_kelvin_per_watt=kelvin, **stated))


@pytest.mark.parametrize(
    ("there", "part", "expected"),
    [
        # as measured at the position
        (hot(21.0), design(), P),
        (hot(22.0), design(), F),
        # by the maker's kelvin per watt: 25 give 17.8 K, 32 give 22.4 K; on 240 ohm, without tolerance, 20.3 K
        (hot(), per_watt(25), P),
        (hot(), per_watt(32), F),
        (hot(), per_watt(32, coil_ohms_tol_pct=0.0), P),
        # the contacts' heat goes as the square: 10 K at 20 A are 2.5 K at 10 A, 6.4 K at 16 A
        (hot(), per_watt(25, contact_rise_k=10.0, contact_rise_amps=20.0), P),
        (hot(amps=16.0), per_watt(25, contact_rise_k=10.0, contact_rise_amps=20.0), F),
        # two coils of one body on together heat each other
        (hot(units_on_together=1), replace(per_watt(25), wiring=TWIN), P),
        (hot(units_on_together=2), replace(per_watt(25), wiring=TWIN), F),
        (hot(units_on_together=None), replace(per_watt(25), wiring=TWIN), F),
        # nobody states it: it is a condition, unless no winding gets so hot (6.2 V is 9.49 V at 155 °C)
        (hot(), design(), C),
        (hot(), design(replace(OLD, operate_volts=6.2)), P),
        (hot(), design(replace(OLD, operate_volts=6.59)), P),  # 10.09 V there
        (hot(), design(replace(OLD, operate_volts=6.61)), C),  # 10.12 V
        # half stated is unknown
        (hot(), per_watt(25, coil_ohms_tol_pct=None), U),
        (hot(amps=None), per_watt(25, contact_rise_k=10.0, contact_rise_amps=20.0), U),
    ],
)
def test_a_coil_that_has_been_on_must_pull_in_again(there: Place, part: Design, expected: Outcome) -> None:
    found = restart(there, part)
    assert found and found.outcome is expected, found


def test_a_named_rule_stands_in_for_the_maker() -> None:
    found = restart(hot(), design(), rule="warm coil")
    assert found and (found.outcome, "about 50 K for each watt" in found.source) == (F, True)
    stated = restart(hot(), per_watt(25), rule="warm coil")
    assert stated and stated.outcome is P


def test_a_rise_taken_on_the_fitted_part_grows_with_a_thirstier_coil() -> None:
    """15 K on 240 ohm are 22.5 K on 160 ohm."""
    thirsty = design(replace(OLD, coil_ohms=160))
    alone, beside = restart(hot(15.0), thirsty), restart(hot(15.0), thirsty, OLD)
    assert alone and beside and (alone.outcome, beside.outcome) == (P, F)


def test_no_worse_than_the_fitted_part_is_a_condition() -> None:
    found = restart(hot(30.0), design(), OLD)
    assert found and found.outcome is C and found.why.startswith("no worse than the fitted part")


def test_a_condition_says_how_warm_it_may_get_and_what_is_usual() -> None:
    found = restart(hot(), design())
    assert found and "up to 21 K over 50 °C, and 34 K are usual" in found.why


@pytest.mark.parametrize("system", [CoilSystem.LATCHING_1_COIL, CoilSystem.LATCHING_2_COIL])
def test_a_coil_that_latches_gets_pulses_and_stays_cold(system: CoilSystem) -> None:
    assert restart(hot(), design(replace(OLD, coil_system=system))) is None


def test_a_contact_that_the_solved_board_loads_heats_by_what_it_carries() -> None:
    """10 A of its own load, 16 A by the circuit: 10 K · (16/20)² = 6.4 K."""
    there = hot()
    loaded = replace(there.position.functions[0], solved=ContactAmps(carries=16.0))
    there = replace(there, position=replace(there.position, functions=(loaded,)))
    part = per_watt(25, contact_rise_k=10.0, contact_rise_amps=20.0)
    assert contact_rise(part.relay, there) == pytest.approx(6.4)


def test_the_picture_shows_the_rise_that_the_finding_rests_on() -> None:
    thirsty = design(replace(OLD, coil_ohms=160))
    found = restart(hot(15.0), thirsty, OLD)
    window = coil_window(thirsty, hot(15.0), fitted=OLD)
    at_hottest = next(p for p in window.points if p.temp_c == 50)
    assert found and found.required == f"{at_hottest.operate_volts_warm:.2f} V"


def test_what_break_contacts_carry_heats_a_coil_that_is_off() -> None:
    there = hot()
    at_rest = replace(there.position, functions=(Function("f", "A", Kind.BREAK, Load("resistive", 14, 16)),))
    part = design(replace(OLD, coil_kelvin_per_watt=25, contact_rise_k=10.0, contact_rise_amps=20.0), TWIN_RATINGS)
    rise = rise_at(part, replace(there, position=at_rest), DEFAULT, 50)
    assert rise and rise.kelvin == pytest.approx(17.76, abs=0.01)


def test_a_coil_that_hardly_pulls_in_cold_has_no_kelvin_to_spare() -> None:
    """9.1 V is 10.17 V at 50 °C already, no worse than the fitted part's."""
    weak = replace(OLD, operate_volts=9.1)
    found = restart(hot(), design(weak), weak)
    assert found and "up to 0 K over 50 °C" in found.why
