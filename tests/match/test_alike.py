"""Part against part: at least what the original offers; what a sheet leaves out never passes."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from bom.match.alike import alike_findings
from bom.match.match import judge, match
from bom.match.requirement import like
from bom.relays.footprint import Footprint, Pin
from bom.relays.relay import CoilSystem, Design, Guided, Rating, Relay, Sealing, SupplyKind
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.finding import Outcome, Verdict

P, F, U = Outcome.PASS, Outcome.FAIL, Outcome.UNKNOWN
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
    operate_volts=8.4,
    temp_min_c=-40.0,
    temp_max_c=85.0,
    sealing=Sealing.RT_III,
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
    ],
)
def test_a_replacement_offers_at_least_as_much(check: str, changed: dict[str, Any], expected: Outcome) -> None:
    assert outcome(design(), design(), check) is P
    assert outcome(design(**changed), design(), check) is expected


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
        (replace(MAKE, carry_seconds=1.0), F),
        (replace(MAKE, volts=12.0), U),
        (replace(MAKE, contact="break"), U),
        (replace(MAKE, load="motor"), U),
        (replace(MAKE, supply=AC, volts=250.0), U),
    ],
)
def test_each_rating_is_matched_or_it_is_not_known(offered: Rating, expected: Outcome) -> None:
    assert outcome(design((offered,)), design(), "make contact") is expected


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
