"""One relay from what was typed: every line and name is understood, or all that is wrong is told at once."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from bom.intake.catalogue import read_catalogue
from bom.intake.relay_form import Kept, Said, column_called, left_to_say, stated
from bom.relays.footprint import View
from bom.relays.relay import SupplyKind
from bom.values.problem import ProblemsFound, Refused

PINS = "A1 0/0, A2 0/5, 11 5/2.5, 14 12.5/0, 12 15/4.5"
WIRED = "single changeover: A1, A2, 11, 14, 12"
NAMED = {"maker": "Hollowmere", "part_number": "HM1-12"}
TW2_PINS = "1 0/0, 2 0/5, 3 5/2.5, 4 12.5/0, 5 15/4.5, 6 0/13, 7 0/8, 8 6.5/10.5, 9 12.5/13, 10 15/8.5"


@pytest.fixture(scope="module")
def kept(demo_folder: Path) -> Kept:
    there = read_catalogue(demo_folder).value
    return Kept(there.footprints, there.wirings, there.ratings)


def test_a_part_is_made_of_its_lines(kept: Kept) -> None:
    said = Said(
        {**NAMED, "coil_volts": "12 V"}, PINS, "component", "0.8 x 0.5", WIRED, ("make resistive 14 V dc 20 A",)
    )
    design = stated(said, kept).design
    assert design.relay.coil_volts == 12 and design.footprint and design.wiring
    assert (design.footprint.view, len(design.footprint.pins)) == (View.COMPONENT, 5)
    assert {pin.lead_width_mm for pin in design.footprint.pins} == {0.5}
    assert [element.pins for element in design.wiring.contacts] == [("11", "14"), ("11", "12")]
    assert [(r.applies_to, r.amps, r.source) for r in design.ratings] == [("HM1-12", 20, "")]


@pytest.mark.parametrize(
    "wiring", [WIRED, "A: coil A1 A2; common 11 make 14 break 12", "coil A1 A2; common 11 make 14 break 12"]
)
def test_a_wiring_is_said_by_its_trade_name_or_by_its_units(kept: Kept, wiring: str) -> None:
    wired = stated(Said(NAMED, wiring=wiring), Kept()).design.wiring
    assert wired is not None and [e.pins for e in wired.elements] == [("A1", "A2"), ("11", "14"), ("11", "12")]


def test_what_is_not_said_of_a_drawing_is_not_known(kept: Kept) -> None:
    footprint = stated(Said(NAMED, PINS), kept).design.footprint
    assert footprint is not None and footprint.view is View.UNKNOWN
    assert {pin.lead_mm for pin in footprint.pins} == {None}


def test_a_drawing_and_a_wiring_may_be_named(kept: Kept) -> None:
    whole = stated(Said(NAMED, "ost-tw2", wiring="twin-2c"), kept)
    assert (whole.design.relay.footprint, whole.design.relay.wiring) == ("OST-TW2", "twin-2c")


def test_the_same_drawing_under_another_name_is_used(kept: Kept) -> None:
    square = replace(kept.footprints["OST-TW2"], name="SQUARE")
    alike = replace(square, pins=tuple(replace(p, lead_mm=0.6, lead_width_mm=None) for p in square.pins))
    there = Kept({"SQUARE": alike}, kept.wirings)
    whole = stated(Said(NAMED, TW2_PINS, "component", "0.6", "twin changeover: 2 1 3 4 5 7 6 8 9 10"), there)
    assert whole.design.relay.footprint == "SQUARE" and whole.design.relay.wiring == "twin-2c"
    assert whole.notes == (
        "these pins are those of footprint SQUARE, which is used",
        "this wiring is twin-2c, which is used",
    )


@pytest.mark.parametrize(
    ("said", "column", "expected"),
    [
        (Said({"maker": "H"}), "part_number", "a value"),
        (Said({"part_number": "X"}), "maker", "a value"),
        (Said({**NAMED, "coil_volts": "lots"}), "coil_volts", "a number with a decimal point"),
        (Said({**NAMED, "coil_volts": "-12"}), "coil_volts", "a number above 0 V"),
        (Said({**NAMED, "sealing": "sealed"}), "sealing", "wash tight is RT III"),
        (Said({**NAMED, "part_number": "12-Dec"}), "part_number", "turned it into"),
        (Said({**NAMED, "operate_volts": "20", "coil_max_volts": "18"}), "operate_volts", "at most coil_max_volts"),
        (Said({**NAMED, "contact_rise_k": "10"}), "contact_rise_amps", "both"),
        (Said(NAMED, "OST-TW"), "pins", "is 'OST-TW2' meant?"),
        (Said(NAMED, "A1 0/0, A2"), "pins", "a pin and its place"),
        (Said(NAMED, "A1 0/0, A1 0/5"), "pins", "each pin once"),
        (Said(NAMED, "A1 0/0, A2 0/0"), "pins", "one pin at a place"),
        (Said(NAMED, PINS, "above"), "view", "component"),
        (Said(NAMED, PINS, lead="thick"), "lead", "a lead in mm"),
        (Said(NAMED, wiring="single changover: 1 2 3 4 5"), "wiring", "is 'single changeover' meant?"),
        (Said(NAMED, wiring="single changeover: 1 2 3"), "pins", "5 pins"),
        (Said(NAMED, wiring="twin"), "wiring", "a usual wiring and its pins"),
        (Said(NAMED, wiring="coil 1 1; make 3 4"), "wiring", "another pin than from_pin"),
        (Said(NAMED, PINS, wiring="single changeover: 1, 2, 3, 4, 5"), "wiring", "only pins of footprint"),
        (Said(NAMED, ratings=("make 14 V",)), "rating", "load, supply missing"),
    ],
)
def test_what_cannot_be_is_refused(kept: Kept, said: Said, column: str, expected: str) -> None:
    with pytest.raises(ProblemsFound) as refused:
        stated(said, kept)
    told = [p for p in refused.value.problems if expected in p.expected]
    assert told and column in (told[0].column, column if column == "wiring" else "")


def test_all_that_is_wrong_is_told_at_once(kept: Kept) -> None:
    said = Said({**NAMED, "coil_volts": "x", "sealing": "y"}, "A1", wiring="z", ratings=("q",))
    with pytest.raises(ProblemsFound) as refused:
        stated(said, kept)
    assert {p.column for p in refused.value.problems} >= {"coil_volts", "sealing", "pins", "wiring", "rating"}


def test_a_part_like_another_has_its_values_but_no_coil_of_other_volts(demo_folder: Path, kept: Kept) -> None:
    there = read_catalogue(demo_folder).value
    tw2 = there.design(there.only("TW2-12S") or there.relays[0])
    design = stated(Said({"part_number": "TW2-18S", "coil_volts": "18", "coil_ohms": "540"}), kept, tw2).design
    relay = design.relay
    assert (relay.maker, relay.sealing, relay.coil_supply) == ("Ostrel", tw2.relay.sealing, SupplyKind.DC)
    assert (relay.coil_ohms, relay.operate_volts, relay.release_volts, relay.coil_max_volts) == (540, None, None, None)
    assert relay.status is None and design.footprint is tw2.footprint and design.ratings == tw2.ratings


def test_a_value_of_the_other_part_may_be_left_blank(demo_folder: Path, kept: Kept) -> None:
    there = read_catalogue(demo_folder).value
    tw2 = there.design(there.only("TW2-12S") or there.relays[0])
    relay = stated(Said({"part_number": "X", "sealing": ""}), kept, tw2).design.relay
    assert relay.sealing is None and relay.coil_ohms == 240


def test_what_a_coil_of_other_volts_still_has_to_say(demo_folder: Path) -> None:
    tw2 = read_catalogue(demo_folder).value.relays[1]
    assert left_to_say(Said({"coil_volts": "12"}), tw2) == ()
    left = left_to_say(Said({"coil_volts": "18", "coil_ohms": "540"}), tw2)
    assert left == ("operate_volts", "release_volts", "coil_max_volts", "coil_henries")


@pytest.mark.parametrize(("name", "column"), [("coil ohms", "coil_ohms"), ("Sealing", "sealing")])
def test_a_column_is_known_however_it_is_spelled(name: str, column: str) -> None:
    assert column_called(name) == column


@pytest.mark.parametrize(("name", "said"), [("coil_ohm", "is 'coil_ohms' meant?"), ("footprint", "pins or wiring")])
def test_no_column_of_this_name(name: str, said: str) -> None:
    with pytest.raises(Refused, match=said.replace("?", r"\?")):
        column_called(name)


def test_typed_values_are_counted() -> None:
    said = Said(
        {"maker": "H", "sealing": ""},
        "A1 0/0, A2 0/5",
        wiring="single make: A1 A2 13 14",
        ratings=("make lamp 14 V dc, 5 A",),
    )
    assert said.typed == 1 + 6 + 5 + 5
