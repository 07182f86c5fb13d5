"""A spec's bounds against one part."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from bom.match.match import judge
from bom.match.requirement import within
from bom.match.spec_bounds import bound_findings, contact_words
from bom.relays.footprint import Footprint, Pin
from bom.relays.relay import Design, Rating, Relay, Sealing, SupplyKind
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.finding import Finding, Outcome, Verdict
from bom.values.problem import Refused

P, F, U = Outcome.PASS, Outcome.FAIL, Outcome.UNKNOWN
COIL = Element("A", "", Kind.COIL, "1", "2")
MAKE, BREAK = Element("A", "", Kind.MAKE, "3", "4"), Element("A", "", Kind.BREAK, "3", "5")
PINS = Footprint("five", tuple(Pin(str(n), n * 3, 0) for n in range(1, 6)))
RATINGS = (
    Rating("X", "make", "resistive", SupplyKind.DC, 14.0, 20.0),
    Rating("X", "make", "motor", SupplyKind.DC, 28.0, 5.0),
    Rating("X", "both", "resistive", SupplyKind.AC, 250.0, 16.0),
)
RELAY = Relay("Ostrel", "X", coil_volts=12.0, coil_supply=SupplyKind.DC, sealing=Sealing.RT_III,
              body_height_mm=14.0, standoff_mm=0.5)  # fmt: skip
DESIGN = Design(RELAY, PINS, Wiring("w", (COIL, MAKE, BREAK)), RATINGS)
EMPTY = Design(Relay("Ostrel", "X"), None, None)


def asked(design: Design, bounds: dict[str, object]) -> list[Finding]:
    """The findings about the bounds themselves, without the one that says no holes were named."""
    return [f for f in bound_findings(design, bounds) if f.outcome is not Outcome.CONDITION]


@pytest.mark.parametrize(
    ("bounds", "expected"),
    [
        ({"coil_volts": 12}, P),
        ({"coil_volts": 12.0}, P),
        ({"coil_volts": 24}, F),
        ({"coil_supply": "dc"}, P),
        ({"coil_supply": "ac"}, F),
        ({"min_coil_volts": 12}, P),
        ({"max_coil_volts": 11.9}, F),
        ({"units": 1}, P),
        ({"units": 2}, F),
        ({"pins": 5}, P),
        ({"contacts": "changeover"}, P),
        ({"contacts": "make"}, F),
        ({"max_height_mm": 14.5}, P),
        ({"max_height_mm": 14.2}, F),
        ({"sealing_at_least": "RT II"}, P),
        ({"sealing_at_least": "RT IV"}, F),
        ({"min_make_amps": 20}, P),
        ({"min_make_amps": 21}, F),
        ({"min_make_amps": 5, "load": "motor", "load_volts": 28}, P),
        ({"min_make_amps": 6, "load": "motor", "load_volts": 24}, F),
        ({"min_make_amps": 1, "load": "lamp"}, U),
    ],
)
def test_a_bound_is_kept_or_not(bounds: dict[str, object], expected: Outcome) -> None:
    assert [f.outcome for f in asked(DESIGN, bounds)] == [expected]


@pytest.mark.parametrize(
    ("bounds", "why"),
    [
        ({"units": 2}, "1 unit, asked 2"),
        ({"pins": 4}, "5 pins, asked 4"),
        ({"coil_volts": 24}, "coil 12 V, asked 24 V"),
        ({"coil_supply": "ac"}, "coil supply dc, asked ac"),
        ({"contacts": "make"}, "contacts changeover, asked make"),
        ({"max_coil_volts": 11.9}, "coil 12 V, asked at most 11.9 V"),
        ({"max_height_mm": 14.2}, "height 14.5 mm, asked at most 14.2 mm"),
        ({"min_make_amps": 21}, "make contact 20 A, asked at least 21 A"),
        ({"pin_pitch_mm": 2.54}, "pin pitch 3 mm, asked 2.54 mm"),
    ],
)
def test_a_refusal_names_the_quantity_and_both_values(bounds: dict[str, object], why: str) -> None:
    assert [f.why for f in asked(DESIGN, bounds)] == [why]


@pytest.mark.parametrize("bounds", [{"min_make_amps": 10, "load_volts": 24}, {"min_break_amps": 10}])
def test_an_ac_rating_alone_never_answers_for_dc(bounds: dict[str, object]) -> None:
    assert [f.outcome for f in asked(DESIGN, bounds)] == [U]


@pytest.mark.parametrize(
    "bounds",
    [
        {"coil_volts": 12},
        {"min_operate_volts": 1},
        {"max_height_mm": 99},
        {"sealing_at_least": "RT 0"},
        {"units": 1},
        {"pins": 5},
        {"contacts": "make"},
        {"min_make_amps": 0.1},
        {"contact_material": "AgSnO2"},
    ],
)
def test_what_the_part_does_not_state_is_unknown_and_says_so(bounds: dict[str, object]) -> None:
    (finding,) = asked(EMPTY, bounds)
    assert (finding.outcome, finding.offered) == (U, "not stated")
    assert "measure" in finding.why
    assert judge(within(bounds), EMPTY).verdict is Verdict.UNKNOWN


def test_a_spec_names_no_holes_so_nothing_drops_in_by_it() -> None:
    assert judge(within({"coil_volts": 12}), DESIGN).verdict is Verdict.CONDITIONAL


def test_a_height_without_its_standoff_is_unknown() -> None:
    bare = replace(DESIGN, relay=replace(RELAY, standoff_mm=None))
    assert bound_findings(bare, {"max_height_mm": 15})[0].outcome is U


def test_an_unknown_bound_is_refused() -> None:
    with pytest.raises(Refused, match="min_weight"):
        bound_findings(DESIGN, {"min_weight": 3})


@pytest.mark.parametrize(
    ("elements", "words"),
    [
        ((COIL, MAKE), "make"),
        ((COIL, BREAK), "break"),
        ((COIL, MAKE, BREAK), "changeover"),
        ((COIL, replace(MAKE, pole="1"), replace(BREAK, pole="2")), "make + break"),
    ],
)
def test_contacts_are_told_in_words(elements: tuple[Any, ...], words: str) -> None:
    assert contact_words(Wiring("w", elements)) == words


@pytest.mark.parametrize(
    ("bounds", "expected"),
    [
        ({"min_make_amps": 16, "load_supply": "ac", "load_volts": 250}, P),
        ({"min_make_amps": 17, "load_supply": "ac", "load_volts": 250}, F),
        ({"min_make_amps": 5, "load": "motor", "load_supply": "ac"}, U),
        ({"pin_pitch_mm": 3.1}, P),
        ({"pin_pitch_mm": 2.54}, F),
        ({"pin_pitch_mm": 2.54, "pitch_tolerance_mm": 0.5}, P),
        ({"pins_long_mm": 12.1}, P),
        ({"pins_long_mm": 10.16}, F),
        ({"pins_wide_mm": 0}, P),
    ],
)
def test_kind_of_supply_and_pin_grid_may_be_asked(bounds: dict[str, object], expected: Outcome) -> None:
    assert [f.outcome for f in asked(DESIGN, bounds)] == [expected]


def test_a_pin_grid_nobody_drew_is_unknown() -> None:
    assert [f.outcome for f in asked(EMPTY, {"pin_pitch_mm": 2.54})] == [U]
