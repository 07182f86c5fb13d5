"""The drawing: true size, both sides, readable without colour."""

import re
from xml.etree import ElementTree

import pytest

from bom.boards.board import Hole, HolePattern
from bom.paper.drawing import fit_drawing
from bom.relays.footprint import Footprint, Pin, View

SVG = "{http://www.w3.org/2000/svg}"
HOLES = HolePattern("p", (Hole("a", 0, 0, 1.3, "COIL+"), Hole("b", 10, 0, 1.3), Hole("c", 0, 5)))
PINS = Footprint("f", (Pin("1", 0, 0, 1.0), Pin("2", 0, -10, 1.0, 0.4, 0.0)))


def shapes(svg: str, kind: str) -> list[ElementTree.Element]:
    return [e for e in ElementTree.fromstring(svg).iter() if kind in e.get("class", "").split()]


def drawn(shift: tuple[float, float] = (0.0, 0.0), pins: Footprint = PINS, **more: str) -> str:
    return fit_drawing(pins, HOLES, {"1": "a", "2": "b"}, 90, shift, **more)


def test_one_unit_is_one_millimetre() -> None:
    root = ElementTree.fromstring(drawn())
    width, height = root.get("width", ""), root.get("height", "")
    assert root.get("viewBox") == f"0 0 {width.removesuffix('mm')} {height.removesuffix('mm')}"


def test_the_checking_bar_is_fifty_millimetres() -> None:
    assert any(re.search(r"h50(?=M)", e.get("d", "")) for e in shapes(drawn(), "bar"))


def test_pins_are_turned_over_their_holes() -> None:
    assert not shapes(drawn(), "miss")


def test_a_pin_that_misses_is_marked_on_both_sides() -> None:
    assert len(shapes(drawn((0.2, 0.0)), "miss")) == 4


def test_a_pin_without_a_hole_misses() -> None:
    assert len(shapes(fit_drawing(PINS, HOLES, {}), "miss")) == 4


def test_the_solder_side_is_mirrored() -> None:
    holes = [float(e.get("cx", "0")) for e in shapes(drawn(), "hole")]
    assert holes == [0, 10, 0, 0, -10, 0]


def test_a_solder_side_pattern_is_turned_first() -> None:
    solder = HolePattern("s", (Hole("a", -3, 0, 1.3),), View.SOLDER)
    svg = fit_drawing(Footprint("f", (Pin("1", 3, 0, 1.0),)), solder, {"1": "a"})
    assert not shapes(svg, "miss")


def test_a_flat_lead_keeps_its_size_and_turns_along() -> None:
    lead = next(e for e in shapes(drawn(), "pin") if e.tag == f"{SVG}rect")
    assert (lead.get("width"), lead.get("height"), lead.get("transform")) == ("1", "0.4", "rotate(90 10 0)")


def test_an_unstated_drill_is_dashed_and_an_empty_hole_light() -> None:
    assert len(shapes(drawn(), "unstated")) == 2
    assert len(shapes(drawn(), "empty")) == 2


def test_an_unknown_side_is_said() -> None:
    assert "side unknown" in drawn(pins=Footprint("f", PINS.pins, View.UNKNOWN))


@pytest.mark.parametrize("title", ["<script>&", "a\x00b"])
def test_names_from_outside_are_only_text(title: str) -> None:
    assert ElementTree.fromstring(drawn(title=title)).find(f"{SVG}script") is None


def test_only_greys_are_used() -> None:
    colours = re.findall(r"#([0-9a-f]{3})\b", drawn())
    assert colours
    assert all(len(set(c)) == 1 for c in colours)
