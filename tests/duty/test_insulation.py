"""What keeps mains from a coil: volts, class and impulse of the insulation, each case worked by hand.

IEC 60664-1, temporary overvoltages, from memory: basic insulation bears U + 1200 V, reinforced twice that, an open
contact U + 250 V. At 230 V: 1430, 2860 and 480 V.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from duty_cases import OLD, design, place

from bom.boards.board import Function, Load, Place
from bom.duty.check import duty_findings
from bom.relays.relay import Insulation, Relay, SupplyKind
from bom.relays.wiring import Kind
from bom.values.finding import Finding, Outcome

P, C, F, U = Outcome.PASS, Outcome.CONDITION, Outcome.FAIL, Outcome.UNKNOWN
FUNCTIONAL, BASIC, REINFORCED = Insulation
HEATER = Load("resistive", 230, 4, supply=SupplyKind.AC)
LAMP = Load("lamp", 14, 2)
SOUND: dict[str, Any] = {
    "dielectric_volts": 1000.0,
    "coil_contact_volts": 4000.0,
    "between_poles_volts": 3000.0,
    "insulation": REINFORCED,
    "impulse_volts": 6000.0,
}


def part(**stated: Any) -> Relay:
    return replace(OLD, **SOUND | stated)


def switching(*loads: Load, **position: Any) -> Place:
    there = place()
    uses = tuple(Function(f"f{n}", "A", Kind.MAKE, load, str(n)) for n, load in enumerate(loads))
    return replace(there, position=replace(there.position, functions=uses, **position))


def kept_apart(there: Place, relay: Relay, fitted: Relay | None = None) -> dict[str, Finding]:
    found = duty_findings(design(relay), there, design(fitted) if fitted else None)
    return {f.check.removeprefix("insulation").lstrip(", "): f for f in found if f.check.startswith("insulation")}


COIL, OPEN, POLES, CLASS, IMPULSE = "coil to contacts", "open contact", "between poles", "class", "impulse"


def test_a_load_that_is_not_dangerous_asks_nothing() -> None:
    assert kept_apart(switching(LAMP), OLD) == {}


def test_mains_asks_class_coil_and_open_contact() -> None:
    assert {check: f.outcome for check, f in kept_apart(switching(HEATER), part()).items()} == {
        CLASS: P, COIL: P, OPEN: P,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("position", "relay", "check", "expected"),
    [
        # whatever nobody states is unknown on mains
        ({}, part(coil_contact_volts=None), COIL, U),
        ({}, part(insulation=None), CLASS, U),
        ({}, part(dielectric_volts=None), OPEN, U),
        # the class that the position needs
        ({"insulation": REINFORCED}, part(), CLASS, P),
        ({"insulation": REINFORCED}, part(insulation=BASIC), CLASS, F),
        ({"insulation": BASIC}, part(insulation=BASIC), CLASS, P),
        ({"insulation": BASIC}, part(insulation=FUNCTIONAL), CLASS, F),
        ({}, part(insulation=BASIC), CLASS, U),
        # the volts that belong to it: 1430 V basic, 2860 V reinforced
        ({"insulation": BASIC}, part(coil_contact_volts=1430.0), COIL, P),
        ({"insulation": BASIC}, part(coil_contact_volts=1400.0), COIL, F),
        ({"insulation": REINFORCED}, part(coil_contact_volts=2860.0), COIL, P),
        ({"insulation": REINFORCED}, part(coil_contact_volts=2800.0), COIL, F),
        ({"insulation": FUNCTIONAL}, part(coil_contact_volts=480.0), COIL, P),
        ({"insulation": FUNCTIONAL}, part(coil_contact_volts=470.0), COIL, F),
        # the position does not say: enough for basic is not known to be enough, less than that never is
        ({}, part(coil_contact_volts=1500.0), COIL, U),
        ({}, part(coil_contact_volts=1430.0), COIL, U),
        ({}, part(coil_contact_volts=1000.0), COIL, F),
        # the open contact: 480 V
        ({}, part(dielectric_volts=480.0), OPEN, P),
        ({}, part(dielectric_volts=470.0), OPEN, F),
        # an impulse is asked where the board states one
        ({"impulse_volts": 4000.0}, part(), IMPULSE, P),
        ({"impulse_volts": 8000.0}, part(), IMPULSE, F),
        ({"impulse_volts": 4000.0}, part(impulse_volts=None), IMPULSE, U),
    ],
)
def test_what_keeps_mains_from_the_coil(position: dict[str, Any], relay: Relay, check: str, expected: Outcome) -> None:
    found = kept_apart(switching(HEATER, **position), relay)[check]
    assert found.outcome is expected, found


@pytest.mark.parametrize(
    ("loads", "position", "bears", "expected"),
    [
        ((HEATER, HEATER), {}, 1430.0, P),  # both poles on mains: basic between them
        ((HEATER, HEATER), {}, 1400.0, F),
        ((HEATER, HEATER), {}, None, U),
        ((HEATER, LAMP), {"insulation": REINFORCED}, 2860.0, P),  # mains beside a lamp that may be touched
        ((HEATER, LAMP), {"insulation": REINFORCED}, 1430.0, F),
        ((HEATER, LAMP), {}, 1430.0, U),
    ],
)
def test_poles_of_different_circuits_are_kept_apart_as_coil_and_contacts_are(
    loads: tuple[Load, ...], position: dict[str, Any], bears: float | None, expected: Outcome
) -> None:
    found = kept_apart(switching(*loads, **position), part(between_poles_volts=bears))[POLES]
    assert found.outcome is expected, found


def test_the_fitted_parts_class_is_needed_where_the_board_states_none() -> None:
    basic = part(insulation=BASIC, coil_contact_volts=1500.0)
    found = kept_apart(switching(HEATER), basic, fitted=basic)
    assert (found[CLASS].outcome, found[COIL].outcome) == (P, P)
    assert kept_apart(switching(HEATER), basic, fitted=part())[CLASS].outcome is F


def test_a_load_on_mains_of_unstated_volts_is_unknown() -> None:
    found = kept_apart(switching(replace(HEATER, volts=None)), part())
    assert found[COIL].outcome is U and "load volts" in found[COIL].why


def test_a_low_voltage_position_may_ask_for_insulation_too() -> None:
    """14.0 V: basic 1214 V; without a load the board's highest supply stands across."""
    there = switching(LAMP, insulation=BASIC)
    assert kept_apart(there, part(coil_contact_volts=1214.0))[COIL].outcome is P
    assert kept_apart(there, part(coil_contact_volts=1200.0))[COIL].outcome is F
    bare = switching(insulation=BASIC)  # 14.4 V
    assert kept_apart(bare, part(coil_contact_volts=1214.4))[COIL].outcome is P
    assert kept_apart(bare, part(coil_contact_volts=1214.0))[COIL].outcome is F
    assert OPEN not in kept_apart(there, part())
    assert {IMPULSE} == kept_apart(switching(LAMP, impulse_volts=800.0), part()).keys()
