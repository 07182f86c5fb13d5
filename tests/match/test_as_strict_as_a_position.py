"""Part against part is asked as strictly as at a position: a table of pairs, the reason worked by hand.

The figures are invented; 20 °C against 23 °C is 1.18 % of copper: (234.5 + 23) / (234.5 + 20).
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from bom.match.match import judge
from bom.match.requirement import like
from bom.relays.footprint import Footprint, Pin
from bom.relays.relay import CoilSystem, Design, Guided, Rating, Relay, Sealing, SupplyKind, Suppression
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.finding import Finding, Outcome, Verdict

P, F, U, C = Outcome.PASS, Outcome.FAIL, Outcome.UNKNOWN, Outcome.CONDITION
NAMES = {"1": (0, 0), "2": (0, 8), "3": (9, 4), "4": (14, 0), "5": (14, 8)}
PINS = Footprint("five", tuple(Pin(n, x, y, 0.8) for n, (x, y) in NAMES.items()))
ENDS = ((Kind.COIL, "1", "2"), (Kind.MAKE, "3", "4"), (Kind.BREAK, "3", "5"))
WIRING = Wiring("one", tuple(Element("A", "", *ends) for ends in ENDS))
STATED: dict[str, Any] = {
    "coil_system": CoilSystem.MONOSTABLE, "coil_supply": SupplyKind.DC, "coil_volts": 12.0, "coil_ohms": 240.0,
    "coil_ohms_tol_pct": 10.0, "operate_volts": 8.4, "release_volts": 1.2, "coil_ref_temp_c": 20.0,
    "coil_max_volts": 18.0, "coil_suppression": Suppression.NONE, "contact_material": "AgSnO2",
    "min_load_volts": 5.0, "min_load_milliamps": 100.0, "min_load_milliwatts": 500.0, "dielectric_volts": 500.0,
    "temp_min_c": -40.0, "temp_max_c": 85.0, "sealing": Sealing.RT_III, "guided": Guided.NO,
    "body_length_mm": 18.0, "body_width_mm": 17.0, "body_height_mm": 14.0, "standoff_mm": 0.3, "pin_length_mm": 3.5,
    "operate_ms": 6.0, "release_ms": 3.0, "mechanical_ops": 1e7,
}  # fmt: skip


AT_23 = {"coil_ref_temp_c": 23.0, "coil_ohms": 244.0, "release_volts": 1.3}


def line(contact: str, amps: float, **more: Any) -> Rating:
    return Rating("x", contact, "resistive", SupplyKind.DC, 14.0, amps, **more)


EACH = line("make", 20.0), line("break", 10.0)


def part(name: str, lines: tuple[Rating, ...] = EACH, **changed: Any) -> Design:
    return Design(Relay("Ostrel", name, **STATED | changed), PINS, WIRING, lines)


def worst(new: dict[str, Any], old: dict[str, Any] | None = None) -> Finding:
    return judge(like(part("OLD", **(old or {}))), part("NEW", **new)).findings[0]


def test_an_equal_part_is_a_drop_in() -> None:
    assert judge(like(part("OLD")), part("NEW")).verdict is Verdict.DROP_IN


@pytest.mark.parametrize(
    ("why", "new", "old", "expected", "check"),
    [
        ("8.4 V at 20 °C are 8.5 V at 23 °C", {}, {"coil_ref_temp_c": 23.0, "coil_ohms": 242.84}, F, "pull-in"),
        ("8.4 V at 23 °C are 8.3 V at 20 °C", AT_23, {}, P, ""),
        ("8.3 V at an unknown temperature", {"operate_volts": 8.3, "coil_ref_temp_c": None}, {}, U, ""),
        ("240 Ω, 15 % less are 204 Ω, not 216", {"coil_ohms_tol_pct": 15.0}, {}, F, "coil current"),
        ("260 Ω, 15 % less are 221 Ω", {"coil_ohms": 260.0, "coil_ohms_tol_pct": 15.0}, {}, P, ""),
        ("236 Ω, 5 % less are 224 Ω", {"coil_ohms": 236.0, "coil_ohms_tol_pct": 5.0}, {}, P, ""),
        ("a tolerance that nobody states", {"coil_ohms_tol_pct": None}, {}, U, "coil current"),
        ("it lets go at 0.8 V, where the original does at 1.2 V", {"release_volts": 0.8}, {}, F, "release"),
        ("where it lets go is not stated", {"release_volts": None}, {}, U, "release"),
        ("where the original does is not stated", {}, {"release_volts": None}, U, "release"),
        ("slower by 1 ms", {"operate_ms": 7.0}, {}, C, "time to pull in"),
        ("slower to let go", {"release_ms": 9.0}, {}, C, "time to let go"),
        ("quicker", {"operate_ms": 5.0, "release_ms": 2.0}, {}, P, ""),
        ("how fast it is, nobody says", {"operate_ms": None}, {}, U, "time to pull in"),
        ("half the mechanical life", {"mechanical_ops": 5e6}, {}, F, "mechanical life"),
        ("a mechanical life that nobody states", {"mechanical_ops": None}, {}, U, "mechanical life"),
        ("another alloy", {"contact_material": "AgNi"}, {}, C, "contact material"),
        ("the alloy, written otherwise", {"contact_material": "agsno₂"}, {}, P, ""),
        ("an alloy that nobody states", {"contact_material": ""}, {}, U, "contact material"),
        ("it needs 200 mA to stay clean", {"min_load_milliamps": 200.0}, {}, F, "least load current"),
        ("what it needs to stay clean is not stated", {"min_load_milliamps": None}, {}, U, "least load current"),
    ],
)  # fmt: skip
def test_what_a_sheet_states_of_a_coil_and_its_contacts_is_compared(
    why: str, new: dict[str, Any], old: dict[str, Any], expected: Outcome, check: str
) -> None:
    found = worst(new, old)
    assert found.outcome is expected and (not check or found.check == check), (why, found)


BOTH_20, BOTH_10 = (line("both", 20.0),), (line("both", 10.0),)


@pytest.mark.parametrize(
    ("why", "new", "old", "expected"),
    [
        ("a line for both says it of each", BOTH_20, EACH, P),
        ("10 A of both, and 20 A are asked of the make contact", BOTH_10, EACH, F),
        ("both were 10 A: 20 A make, 10 A break", EACH, BOTH_10, P),
        ("both were 20 A: 10 A break", EACH, BOTH_20, F),
        ("both were 10 A: of its break contact nothing is said", (line("make", 20.0),), BOTH_10, U),
        ("its own line comes before one for both", (*BOTH_20, line("break", 5.0)), EACH, F),
        ("the original's own line comes before its line for both", EACH, (*BOTH_20, line("break", 10.0)), P),
        ("an overload test is no rating", (line("both", 20.0, operations=50.0),), EACH, U),
    ],
)
def test_lines_for_both_contacts_answer_lines_for_each(
    why: str, new: tuple[Rating, ...], old: tuple[Rating, ...], expected: Outcome
) -> None:
    assert worst({"lines": new}, {"lines": old}).outcome is expected, why


def test_a_make_contact_alone_has_no_break_contact_to_answer_for() -> None:
    wiring = replace(WIRING, elements=WIRING.elements[:2])
    pins = replace(PINS, pins=PINS.pins[:4])
    old, new = part("OLD", BOTH_10), part("NEW", (line("make", 10.0),))
    old, new = (replace(d, wiring=wiring, footprint=pins) for d in (old, new))
    assert judge(like(old), new).verdict is Verdict.DROP_IN
