"""What protects the driver when the coil is cut: each case a whole board and part, worked by hand.

OLD's coil is 240 ohm ±10 %: at -20 °C the least is 216 · 214.5/254.5 = 182.05 ohm, which from 14.4 V takes 79.1 mA;
through 680 ohm that is 53.8 V. A diode clamps at 0.7 V.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from duty_cases import OLD, design, place

from bom.boards.board import Place
from bom.duty.check import duty_findings
from bom.relays.relay import CoilSystem, Relay, SupplyKind, Suppression
from bom.values.finding import Finding, Outcome

P, C, F, U = Outcome.PASS, Outcome.CONDITION, Outcome.FAIL, Outcome.UNKNOWN
NONE, RESISTOR, DIODE, ZENER = Suppression


def part(inside: Suppression | None, **stated: Any) -> Relay:
    usual = {RESISTOR: {"suppression_ohms": 680.0}, ZENER: {"suppression_volts": 24.0}}
    return replace(OLD, coil_suppression=inside, **(usual.get(inside, {}) if inside else {}) | stated)


def on(suppression: str, **driver: Any) -> Place:
    there = place()
    assert there.position.driver
    changed = replace(there.position.driver, suppression=suppression, **driver)
    return replace(there, position=replace(there.position, driver=changed))


def protection(there: Place, ours: Relay, fitted: Relay | None) -> Finding:
    found = duty_findings(design(ours), there, design(fitted) if fitted else None)
    return next(f for f in found if f.check == "driver protection")


@pytest.mark.parametrize(
    ("board", "ours", "fitted", "expected"),
    [
        # the board's own clamp is there whatever part is fitted
        ("diode", part(NONE), part(DIODE), P),
        ("TVS", part(NONE), None, P),
        # the fitted part's diode was the protection
        ("none", part(NONE), part(DIODE), F),
        ("", part(NONE), part(DIODE), U),
        ("none", part(ZENER), part(DIODE), U),
        ("none", part(NONE), part(RESISTOR), F),
        # no higher than the part with which the driver has worked
        ("none", part(NONE), part(NONE), P),
        ("", part(NONE), part(NONE), P),
        ("none", part(RESISTOR), part(RESISTOR), P),
        ("none", part(ZENER), part(RESISTOR), P),  # 24.7 V where the resistor made 53.8 V
        ("none", part(RESISTOR), part(ZENER), U),
        ("none", part(ZENER, suppression_volts=30.0), part(ZENER), U),  # 30.7 V where it was 24.7 V
        # its own diode clamps at less than a volt, which whatever drives it bears
        ("none", part(DIODE), None, P),
        ("", part(DIODE), part(NONE), P),
        # nobody states what is inside, or how it clamps
        ("none", part(None), part(DIODE), U),
        ("none", part(NONE), part(None), U),
        ("none", part(NONE), None, U),
        ("none", part(ZENER, suppression_volts=None), part(RESISTOR), U),
        ("none", part(RESISTOR, suppression_ohms=None), part(RESISTOR), U),
    ],
)
def test_without_the_drivers_limit_the_fitted_part_is_the_measure(
    board: str, ours: Relay, fitted: Relay | None, expected: Outcome
) -> None:
    found = protection(on(board), ours, fitted)
    assert found.outcome is expected, found


@pytest.mark.parametrize(
    ("board", "driver", "ours", "expected"),
    [
        ("none", {"breakdown_volts": 60.0}, part(ZENER), P),  # 14.4 + 24.7 = 39.1 V
        ("none", {"breakdown_volts": 39.0}, part(ZENER), F),
        ("none", {"breakdown_volts": 60.0}, part(RESISTOR), F),  # 14.4 + 53.8 = 68.2 V
        ("none", {"breakdown_volts": 70.0}, part(RESISTOR), P),
        ("none", {"breakdown_volts": 60.0}, part(NONE), F),
        ("", {"breakdown_volts": 60.0}, part(NONE), U),
        ("zener", {"breakdown_volts": 60.0, "clamp_volts": 33.0}, part(NONE), P),  # 47.4 V
        ("zener", {"breakdown_volts": 45.0, "clamp_volts": 33.0}, part(NONE), F),
        ("zener", {"breakdown_volts": 45.0, "clamp_volts": 33.0}, part(ZENER), P),  # the lower of two clamps
        ("zener", {"breakdown_volts": 60.0}, part(NONE), U),
        ("none", {"breakdown_volts": 60.0}, part(ZENER, suppression_volts=None), U),
    ],
)
def test_the_open_driver_stands_the_supply_and_the_clamp(
    board: str, driver: dict[str, float], ours: Relay, expected: Outcome
) -> None:
    found = protection(on(board, **driver), ours, None)
    assert found.outcome is expected, found
    assert expected is not U or ("not stated: " in found.why and found.why != "not stated: ; measure it or look it up")


def test_what_the_driver_has_borne_with_the_fitted_part_is_a_condition() -> None:
    found = protection(on("none", breakdown_volts=30.0), part(ZENER), part(ZENER))
    assert found.outcome is C and found.why.startswith("no worse than the fitted part")
    assert "(39.1 V against 30.0 V)" in found.why and "so the driver stands 39.1 V" in found.why
    bare = protection(on("none", breakdown_volts=30.0), part(NONE), part(NONE))
    assert bare.outcome is C and bare.why.startswith("no worse than the fitted part")
    clamped = protection(on("none", breakdown_volts=30.0), part(NONE), part(ZENER))
    assert clamped.outcome is F and clamped.why.startswith("nothing clamps the coil")


def test_a_coil_that_nothing_clamps_says_so() -> None:
    found = protection(on("none"), part(NONE), part(DIODE))
    assert (found.required, found.offered) == ("0.70 V", "nothing")


def test_an_unstated_highest_supply_is_asked_for() -> None:
    there = on("none", breakdown_volts=60.0)
    blank = replace(there, board=replace(there.board, supply=replace(there.board.supply, max_volts=None)))
    assert "highest supply volts" in protection(blank, part(ZENER), None).why


def test_an_ac_coil_is_not_asked() -> None:
    found = duty_findings(design(replace(part(NONE), coil_supply=SupplyKind.AC)), on(""), None)
    assert not [f for f in found if f.check == "driver protection"]


@pytest.mark.parametrize(("inside", "expected"), [(DIODE, F), (ZENER, F), (None, U), (NONE, P), (RESISTOR, P)])
def test_a_coil_fed_both_ways_stands_no_diode_inside(inside: Suppression | None, expected: Outcome) -> None:
    latching = part(inside, coil_system=CoilSystem.LATCHING_1_COIL)
    assert protection(on("TVS"), latching, part(NONE)).outcome is expected
