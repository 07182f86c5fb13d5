"""Direction, rate, halves together and the arc of a bridge: a table of small worlds, the reason worked by hand.

The figures are invented; that the arc of a bridge dies by itself at 14 V and not at 42 V is printed (source 36).
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from duty_cases import OLD, design, place, rating

from bom.boards.board import Function, Load, Place
from bom.duty.check import contact_findings
from bom.relays.relay import ContactPolarity, SupplyKind
from bom.relays.wiring import Kind
from bom.values.finding import Finding, Outcome

P, C, F, U = Outcome.PASS, Outcome.CONDITION, Outcome.FAIL, Outcome.UNKNOWN
LINES = tuple(rating(contact, "resistive", 60, 20) for contact in ("make", "break"))
PLUS, MINUS, EITHER = ContactPolarity.COMMON_PLUS, ContactPolarity.COMMON_MINUS, ContactPolarity.EITHER


def outcomes(check: str, at: Place, **sheet: Any) -> set[Outcome]:
    found: tuple[Finding, ...] = contact_findings(design(replace(OLD, **sheet), LINES), at)
    return {f.outcome for f in found if f.check.startswith(check)}


@pytest.mark.parametrize(
    ("why", "polarity", "volts", "common", "expected"),
    [
        ("an ordinary gap at 14 V", None, 14, "", set()),
        ("and at 30 V", None, 30, "plus", set()),
        ("from 31 V there may be magnets", None, 31, "plus", {U}),
        ("it works either way", EITHER, 48, "", set()),
        ("the common is where it must be", PLUS, 48, "plus", {P}),
        ("the common is at the other pole", PLUS, 48, "minus", {F}),
        ("and so the other way round", MINUS, 48, "minus", {P}),
        ("the current flows both ways", MINUS, 14, "both ways", {F}),
        ("where the common is, nobody says", PLUS, 14, "", {U}),
    ],
)
def test_contacts_for_one_direction(
    why: str, polarity: ContactPolarity | None, volts: float, common: str, expected: set[Outcome]
) -> None:
    at = place((11, volts), load=Load("resistive", volts, 5, common=common))
    assert outcomes("current direction", at, contact_polarity=polarity) == expected, why


def test_alternating_current_has_no_direction() -> None:
    at = place(load=Load("resistive", 230, 5, supply=SupplyKind.AC))
    assert outcomes("current direction", at, contact_polarity=PLUS) == set()


@pytest.mark.parametrize(
    ("published", "asked", "expected"),
    [(6, None, set()), (None, None, set()), (6, 6, {P}), (6, 7, {F}), (None, 7, {U})],
)
def test_a_switching_rate_is_asked_where_the_board_states_one(
    published: float | None, asked: float | None, expected: set[Outcome]
) -> None:
    at = place(load=Load("resistive", 14, 5, operations_per_minute=asked))
    assert outcomes("switching rate", at, most_per_minute=published) == expected


def twin(amps: tuple[float, float], together: int | None = 2, reversing: bool = False) -> Place:
    at = place(units=2)
    loads = (Load("resistive", 14, a, reversing=reversing) for a in amps)
    functions = tuple(Function(unit, unit, Kind.MAKE, of) for unit, of in zip("AB", loads, strict=True))
    return replace(at, position=replace(at.position, functions=functions, units_on_together=together))


@pytest.mark.parametrize(
    ("why", "at", "published", "expected"),
    [
        ("14 and 14 A of 20 A: 98 % of the heat of one", twin((14, 14)), None, {P}),
        ("15 and 15 A: 113 %", twin((15, 15)), None, {U}),
        ("14.5 and 14.5 A: 105 %", twin((14.5, 14.5)), None, {U}),
        ("15 A are published for both", twin((15, 15)), 15, {P}),
        ("14 A are", twin((15, 15)), 14, {F}),
        ("never both on", twin((15, 15), together=1), None, set()),
        ("how many are on, nobody says", twin((15, 15), together=None), None, {U}),
        ("a bridge has its current through both", twin((15, 15), together=1, reversing=True), None, {U}),
        ("one half alone", twin((15, 0)), None, set()),
    ],
)
def test_halves_that_carry_together_warm_each_other(
    why: str, at: Place, published: float | None, expected: set[Outcome]
) -> None:
    assert outcomes("halves together", at, together_amps=published) == expected, why


@pytest.mark.parametrize("of_one", [(5.0, 15.0), (15.0, 5.0)])
def test_of_each_half_the_heaviest_load_counts(of_one: tuple[float, float]) -> None:
    """15 A of 20 A in both halves: 113 % of the heat of one."""
    at = twin((15, 15))
    first = [replace(at.position.functions[0], load=Load("resistive", 14, amps)) for amps in of_one]
    at = replace(at, position=replace(at.position, functions=(*first, at.position.functions[1])))
    assert outcomes("halves together", at) == {U}


@pytest.mark.parametrize(
    ("why", "volts", "highest", "pause", "expected"),
    [
        ("the arc dies by itself", 14, 14.4, None, set()),
        ("24 V vehicles rise above 30 V for a moment only", 28, 32, None, set()),
        ("30 V still", 30, 32, None, set()),
        ("32 V: does the electronics wait?", 32, 32, None, {U}),
        ("36 V: does the electronics wait?", 36, 36, None, {U}),
        ("28 V that may rise to 48 V", 28, 48, None, {U}),
        ("it waits, and must go on waiting", 48, 56, 600, {C}),
        ("half a second is enough", 48, 56, 500, {C}),
        ("a tenth may not be", 48, 56, 100, {U}),
        ("it does not wait", 48, 56, 0, {F}),
        ("it does not wait, at volts of which nothing is printed", 36, 40, 0, {U}),
    ],
)
def test_above_thirty_volts_the_arc_outlasts_the_transfer_of_a_bridge(
    why: str, volts: float, highest: float, pause: float | None, expected: set[Outcome]
) -> None:
    load = Load("motor", volts, 2, stall_amps=9, stall_seconds=0.4, reversing=True, pause_ms=pause)
    assert outcomes("arc at the transfer", place((11, highest), load=load, units=1)) == expected, why


def test_no_pause_is_called_so_and_a_pause_by_its_length() -> None:
    def why(pause: float) -> str:
        load = Load("motor", 48, 2, stall_amps=9, stall_seconds=0.4, reversing=True, pause_ms=pause)
        return next(
            f.why
            for f in contact_findings(design(OLD, LINES), place((11, 56), load=load, units=1))
            if f.check.startswith("arc at")
        )

    assert "no pause is stated" in why(0) and "a pause of 1 ms is stated" in why(1)


@pytest.mark.parametrize(
    ("why", "stall", "brake", "pause", "expected"),
    [
        ("9 A and as much again, of 20 A published to make", 9, None, None, set()),
        ("11 A and as much again: 22 A", 11, None, None, {C}),
        ("11 A and 8 A: 19 A", 11, 8, None, set()),
        ("a tenth of a second may not be enough", 11, None, 100, {U}),
        ("it stands still after half a second", 11, None, 500, set()),
    ],
)
def test_a_motor_reversed_while_it_turns_makes_its_stall_and_its_brake_current(
    why: str, stall: float, brake: float | None, pause: float | None, expected: set[Outcome]
) -> None:
    load = Load("motor", 14, 2, stall_amps=stall, stall_seconds=0.4, reversing=True, pause_ms=pause, brake_amps=brake)
    assert outcomes("reversal", place((11, 14.4), load=load, units=1)) == expected, why
