"""Part against part: at least what the original offers; what a sheet leaves out never passes."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from bom.match.match import judge, match
from bom.match.part_against_part import alike_findings
from bom.match.requirement import like
from bom.relays.footprint import Footprint, Pin
from bom.relays.relay import CoilSystem, Design, Guided, Insulation, Rating, Relay, Sealing, SupplyKind, Suppression
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.finding import Outcome, Verdict

P, F, U, C = Outcome.PASS, Outcome.FAIL, Outcome.UNKNOWN, Outcome.CONDITION
DC, AC = SupplyKind.DC, SupplyKind.AC
MAKE = Rating("TW2", "make", "resistive", DC, 14.0, 20.0, None, 35.0, 3.0)
WIRING = Wiring("one", (Element("A", "", Kind.COIL, "1", "2"), Element("A", "", Kind.MAKE, "3", "4")))
PINS = Footprint("four", tuple(Pin(n, x, y, 0.8) for n, x, y in (("1", 0, 0), ("2", 0, 8), ("3", 9, 0), ("4", 11, 8))))
OLD = Relay(
    "Ostrel",
    "TW2-12S",
    coil_system=CoilSystem.MONOSTABLE,
    coil_supply=DC,
    coil_volts=12.0,
    coil_ohms=240.0,
    coil_ohms_tol_pct=10.0,
    coil_ref_temp_c=20.0,
    operate_volts=8.4,
    release_volts=1.2,
    operate_ms=6.0,
    release_ms=3.0,
    mechanical_ops=1e7,
    contact_material="AgSnO2",
    temp_min_c=-40.0,
    temp_max_c=85.0,
    sealing=Sealing.RT_III,
    coil_suppression=Suppression.NONE,
    guided=Guided.NO,
    body_length_mm=18.0,
    body_width_mm=17.0,
    body_height_mm=14.0,
    standoff_mm=0.3,
    pin_length_mm=3.5,
)


def design(ratings: tuple[Rating, ...] = (MAKE,), **changed: Any) -> Design:
    return Design(replace(OLD, **changed), PINS, WIRING, ratings)


def outcome(candidate: Design, original: Design, check: str) -> Outcome:
    return next(f.outcome for f in alike_findings(candidate, original) if f.check.startswith(check))


@pytest.mark.parametrize(
    ("check", "changed", "expected"),
    [
        ("coil supply", {"coil_supply": AC}, F),
        ("coil volts", {"coil_volts": 24.0}, F),
        ("coil current", {"coil_ohms": 238.0}, P),
        ("coil current", {"coil_ohms": 230.0}, F),
        ("coil current", {"coil_ohms": 400.0}, P),
        ("pull-in", {"operate_volts": 8.5}, F),
        ("pull-in", {"operate_volts": 7.0}, P),
        ("hottest ambient", {"temp_max_c": 70.0}, F),
        ("coldest ambient", {"temp_min_c": -25.0}, F),
        ("coldest ambient", {"temp_min_c": -55.0}, P),
        ("height", {"body_height_mm": 14.1}, F),
        ("height", {"body_height_mm": 13.6}, P),
        ("sealing", {"sealing": Sealing.RT_II}, F),
        ("sealing", {"sealing": Sealing.RT_V}, P),
        ("coil suppression", {"coil_suppression": Suppression.DIODE}, C),
    ],
)
def test_a_replacement_offers_at_least_as_much(check: str, changed: dict[str, Any], expected: Outcome) -> None:
    assert outcome(design(), design(), check) is P
    assert outcome(design(**changed), design(), check) is expected


def test_a_diode_that_goes_missing_is_a_condition_that_names_the_driver() -> None:
    found = alike_findings(design(), design(coil_suppression=Suppression.DIODE))
    assert any(f.outcome is C and "driver is protected" in f.why for f in found)


@pytest.mark.parametrize(
    ("check", "stated", "offered", "expected"),
    [
        ("least load current", {"min_load_milliamps": 10.0}, {"min_load_milliamps": 100.0}, F),
        ("least load current", {"min_load_milliamps": 10.0}, {"min_load_milliamps": 10.0}, P),
        ("least load current", {"min_load_milliamps": 10.0}, {}, U),
        ("highest coil volts", {"coil_max_volts": 18.0}, {"coil_max_volts": 16.0}, F),
        ("dielectric strength", {"dielectric_volts": 500.0}, {"dielectric_volts": 750.0}, P),
    ],
)
def test_what_few_sheets_state_is_asked_where_the_originals_does(
    check: str, stated: dict[str, Any], offered: dict[str, Any], expected: Outcome
) -> None:
    assert outcome(design(**offered), design(**stated), check) is expected
    assert not any(f.check == check for f in alike_findings(design(), design()))


MAINS = Rating("TW2", "make", "resistive", AC, 250.0, 10.0)
HOLDS_OFF: dict[str, Any] = {"dielectric_volts": 1000.0, "coil_contact_volts": 4000.0, "insulation": Insulation.BASIC}


@pytest.mark.parametrize("unstated", HOLDS_OFF)
def test_what_holds_dangerous_volts_off_is_asked_of_both_sheets(unstated: str) -> None:
    whole, lacking = design((MAINS,), **HOLDS_OFF), design((MAINS,), **HOLDS_OFF | {unstated: None})
    assert {f.outcome for f in alike_findings(whole, whole)} == {P}
    assert [f.outcome for f in alike_findings(lacking, whole) if f.outcome is not P] == [U]
    assert [f.outcome for f in alike_findings(whole, lacking) if f.outcome is not P] == [U]


def test_a_contact_of_the_original_without_any_line_is_unknown() -> None:
    changeover = replace(WIRING, elements=(*WIRING.elements, Element("A", "", Kind.BREAK, "3", "1")))
    original = replace(design(), wiring=changeover)
    assert outcome(design(), original, "break contact") is U


@pytest.mark.parametrize(("amps", "expected"), [(19.0, F), (20.0, U)])
def test_too_little_at_fewer_volts_is_too_little_at_more(amps: float, expected: Outcome) -> None:
    at_12 = replace(MAKE, volts=12.0, amps=amps)
    assert outcome(design((at_12,)), design(), "make contact") is expected


def test_a_least_load_that_only_the_candidate_states_is_unknown_and_never_passed_over() -> None:
    assert outcome(design(min_load_milliamps=100.0), design(), "least load current") is U


@pytest.mark.parametrize(
    ("check", "unstated"),
    [
        ("coil supply", "coil_supply"),
        ("coil volts", "coil_volts"),
        ("coil current", "coil_ohms"),
        ("pull-in", "operate_volts"),
        ("hottest ambient", "temp_max_c"),
        ("coldest ambient", "temp_min_c"),
        ("height", "body_height_mm"),
        ("height", "standoff_mm"),
        ("sealing", "sealing"),
        ("coil suppression", "coil_suppression"),
    ],
)
def test_what_either_sheet_leaves_out_is_unknown(check: str, unstated: str) -> None:
    nothing: dict[str, Any] = {unstated: None}
    assert outcome(design(**nothing), design(), check) is U
    assert outcome(design(), design(**nothing), check) is U


@pytest.mark.parametrize(
    ("offered", "expected"),
    [
        (MAKE, P),
        (replace(MAKE, contact="both", volts=28.0), P),
        (replace(MAKE, amps=19.0), F),
        (replace(MAKE, carry_amps=30.0), F),
        (replace(MAKE, carry_seconds=1.0), U),
        (replace(MAKE, carry_seconds=1.0, carry_amps=30.0), F),
        (replace(MAKE, carry_amps=None, carry_seconds=None), U),
        (replace(MAKE, amps=35.0, carry_amps=None, carry_seconds=None), P),
        (replace(MAKE, amps=None), U),
        (replace(MAKE, volts=12.0), U),
        (replace(MAKE, contact="break"), U),
        (replace(MAKE, load="motor"), U),
        (replace(MAKE, supply=AC, volts=250.0), U),
    ],
)
def test_each_rating_is_matched_or_it_is_not_known(offered: Rating, expected: Outcome) -> None:
    assert outcome(design((offered,)), design(), "make contact") is expected


HARD = replace(MAKE, inrush_amps=60.0, temp_c=85.0, operations=1e5, lr_ms=20.0, power_factor=0.4)


@pytest.mark.parametrize(
    ("changed", "expected", "said"),
    [
        ({}, P, ""),
        ({"temp_c": 105.0, "operations": 2e5, "lr_ms": 40.0, "power_factor": 0.3, "inrush_amps": 70.0}, P, ""),
        ({"inrush_amps": None}, U, "inrush is not stated"),
        ({"inrush_amps": 50.0}, F, "inrush 50 A, the original 60 A"),
        ({"temp_c": None}, U, "at 85 °C, this line does not say"),
        ({"temp_c": 23.0}, U, "rated at 23 °C"),
        ({"operations": None}, U, "operations is not stated"),
        ({"operations": 5e4}, F, "operations 50,000"),
        ({"lr_ms": None}, U, "L/R 20 ms"),
        ({"lr_ms": 7.0}, U, "rated with L/R 7 ms"),
        ({"power_factor": 0.7}, U, "power factor 0.7"),
    ],
)
def test_a_line_answers_only_where_it_was_tested_as_hard(changed: dict[str, Any], expected: Outcome, said: str) -> None:
    found = next(f for f in alike_findings(design((replace(HARD, **changed),)), design((HARD,))) if "make" in f.check)
    assert found.outcome is expected and said in found.why


def test_of_several_lines_the_one_that_answers_best_speaks() -> None:
    cool, short = replace(HARD, temp_c=23.0), replace(HARD, amps=10.0)
    assert outcome(design((short, cool)), design((HARD,)), "make contact") is U
    assert outcome(design((short, cool, HARD)), design((HARD,)), "make contact") is P


def test_a_line_that_states_no_current_promises_nothing() -> None:
    silent = replace(MAKE, amps=None, carry_amps=None, operations=1e5)
    assert outcome(design((HARD,)), design((silent,)), "make contact") is U


@pytest.mark.parametrize(("old", "new"), [((), (MAKE,)), ((MAKE,), ())])
def test_no_rating_on_either_sheet_is_unknown(old: tuple[Rating, ...], new: tuple[Rating, ...]) -> None:
    assert U in {f.outcome for f in alike_findings(design(new), design(old))}


@pytest.mark.parametrize(
    ("changed", "verdict"),
    [
        ({}, Verdict.DROP_IN),
        ({"coil_system": CoilSystem.LATCHING_1_COIL}, Verdict.NO),
        ({"coil_system": None}, Verdict.UNKNOWN),
        ({"sealing": Sealing.RT_0}, Verdict.NO),
    ],
)
def test_without_a_board_the_holes_are_made_for_the_original(changed: dict[str, Any], verdict: Verdict) -> None:
    candidate = design(part_number="K2R-12S", **changed)
    answer = judge(like(design()), candidate)
    assert answer.verdict is verdict, answer.findings[0]


def test_an_original_without_a_drawing_leaves_it_unknown() -> None:
    assert judge(like(replace(design(), footprint=None)), design(part_number="K2R")).verdict is Verdict.UNKNOWN


def test_the_part_to_be_replaced_is_not_offered() -> None:
    found = match(like(design()), [design(), design(part_number="K2R-12S")])
    assert [c.relay.part_number for c in found] == ["K2R-12S"]


def test_without_a_board_the_reasons_speak_of_the_originals_pins() -> None:
    bridged = Wiring("bridged", (*WIRING.elements, Element("A", "", Kind.BRIDGE, "3", "4")))
    answer = judge(like(design()), replace(design(part_number="DUO"), wiring=bridged))
    assert answer.findings[0].why == "at rest, pins 3 and 4 of TW2-12S are joined, which it keeps apart"
    latching = judge(like(design()), design(part_number="K2L", coil_system=CoilSystem.LATCHING_1_COIL))
    assert latching.findings[0].why == "differs in kind: TW2-12S is monostable, the relay is latching-1-coil"
    failing = [f for f in (*answer.findings, *latching.findings) if f.outcome is F]
    assert not any("the board" in f.why for f in failing)
