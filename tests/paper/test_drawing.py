"""The drawing: true size, both sides and enlarged, what each pin is, readable without colour."""

import re
from typing import Any
from xml.etree import ElementTree

import pytest

from bom.boards.board import Hole, HolePattern
from bom.paper.pictures.fit_drawing import PAPER_MM, fit_drawing
from bom.paper.pictures.pins_over_holes import marks_of
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.wiring import Element, Kind, Wiring

SVG = "{http://www.w3.org/2000/svg}"
PICTURES = 3  # component side, solder side, component side enlarged
HOLES = HolePattern("p", (Hole("a", 0, 0, 1.3, "COIL+"), Hole("b", 10, 0, 1.3), Hole("c", 0, 5)))
PINS = Footprint("f", (Pin("1", 0, 0, 1.0), Pin("2", 0, -10, 1.0, 0.4, 0.0)))
WIRING = Wiring(
    "w",
    (
        Element("A", "", Kind.COIL, "1", "2", True),
        Element("A", "", Kind.MAKE, "4", "3"),
        Element("A", "", Kind.BREAK, "5", "3"),
        Element("B", "", Kind.MAKE, "6", "7"),
        Element("", "", Kind.BRIDGE, "7", "8"),
    ),
)


def shapes(svg: str, kind: str) -> list[ElementTree.Element]:
    return [e for e in ElementTree.fromstring(svg).iter() if kind in e.get("class", "").split()]


def words(svg: str) -> list[str]:
    return [e.text or "" for e in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def drawn(shift: tuple[float, float] = (0.0, 0.0), pins: Footprint = PINS, **more: Any) -> str:
    return fit_drawing(pins, HOLES, {"1": "a", "2": "b"}, 90, shift, **more)


def test_one_unit_is_one_millimetre() -> None:
    root = ElementTree.fromstring(drawn())
    width, height = root.get("width", ""), root.get("height", "")
    assert root.get("viewBox") == f"0 0 {width.removesuffix('mm')} {height.removesuffix('mm')}"


def test_the_checking_bar_is_fifty_millimetres() -> None:
    assert any(re.search(r"h50(?=M)", e.get("d", "")) for e in shapes(drawn(), "bar"))


def test_pins_are_turned_over_their_holes() -> None:
    assert not shapes(drawn(), "miss") and not shapes(drawn(), "ring")


def test_a_pin_that_misses_is_ringed_with_its_distance_in_every_picture() -> None:
    """Pin 1 is round: 0.2 + 0.5 - 0.65. Pin 2 is flat and lies along y: hypot(0.5, 0.2 + 0.2) is inside."""
    svg = drawn((0.2, 0.0))
    assert len(shapes(svg, "miss")) == len(shapes(svg, "ring")) == PICTURES
    assert words(svg).count("0.05") == PICTURES
    assert "misses by 0.050 mm" in words(svg)


def test_a_pin_without_a_hole_misses() -> None:
    assert words(fit_drawing(PINS, HOLES, {})).count("no hole") == 2 * PICTURES + 2


def test_a_flat_lead_misses_by_its_corners() -> None:
    """0.7 x 0.4 mm at 90 degrees, 0.3 mm off along its thin side, in 1.3: hypot(0.5, 0.35) = 0.610 is inside."""
    pin = Footprint("f", (Pin("1", 0, 0, 0.4, 0.7, 90.0),))
    hole = HolePattern("p", (Hole("a", 0.3, 0, 1.3),))
    assert "0.040 mm" in words(fit_drawing(pin, hole, {"1": "a"}))


def test_the_solder_side_is_mirrored_and_the_third_picture_enlarged() -> None:
    holes = [float(e.get("cx", "0")) for e in shapes(drawn(), "hole")]
    component, solder, large = holes[:3], holes[3:6], holes[6:]
    assert component[1] - component[0] == pytest.approx(10) == solder[0] - solder[1]
    assert large[1] - large[0] == pytest.approx(30)


def test_both_sides_are_labelled() -> None:
    assert {"component side, true size", "solder side (mirrored), true size"} <= set(words(drawn()))


def test_a_solder_side_pattern_is_turned_first() -> None:
    solder = HolePattern("s", (Hole("a", -3, 0, 1.3),), View.SOLDER)
    svg = fit_drawing(Footprint("f", (Pin("1", 3, 0, 1.0),)), solder, {"1": "a"})
    assert not shapes(svg, "miss")


def test_a_flat_lead_keeps_its_size_and_turns_along() -> None:
    lead = next(e for e in shapes(drawn(), "pin") if e.tag == f"{SVG}rect")
    assert (lead.get("width"), lead.get("height")) == ("1", "0.4")
    assert (lead.get("transform") or "").startswith("rotate(90 ")


def test_an_unstated_drill_is_dashed_and_an_empty_hole_grey() -> None:
    assert len(shapes(drawn(), "unstated")) == len(shapes(drawn(), "empty")) == PICTURES
    assert "Holes left empty (grey): c" in words(drawn())


def test_an_unknown_side_is_said() -> None:
    assert "Side unknown" in drawn(pins=Footprint("f", PINS.pins, View.UNKNOWN))


@pytest.mark.parametrize("title", ["<script>&", "a\x00b"])
def test_names_from_outside_are_only_text(title: str) -> None:
    assert ElementTree.fromstring(drawn(title=title)).find(f"{SVG}script") is None


def test_every_rule_is_for_this_drawing_alone() -> None:
    """Several stand in one page, beside other pictures."""
    style = next(ElementTree.fromstring(drawn()).iter(f"{SVG}style")).text or ""
    assert all(rule.startswith("svg.fit ") for rule in style.split("}") if rule)


@pytest.mark.parametrize(
    ("pin", "letters"),
    [("1", "Ac+"), ("2", "Ac"), ("3", "Ap"), ("4", "Am"), ("5", "Ab"), ("6", "Bp"), ("7", "Bm"), ("8", "Bm")],
)
def test_each_pin_is_told_by_letters(pin: str, letters: str) -> None:
    """The common of a changeover is the pin both its contacts share; bridged pins are the same."""
    assert " ".join(m.letters for m in marks_of(WIRING)[pin]) == letters


def wired() -> str:
    spots = tuple(Pin(str(n), 4.0 * n, 0, 1.0) for n in range(1, 10))
    holes = HolePattern("p", tuple(Hole(f"h{p.name}", p.x_mm, 0, 1.3, f"N{p.name}") for p in spots))
    return fit_drawing(
        Footprint("f", spots), holes, {p.name: f"h{p.name}" for p in spots}, wiring=WIRING,
        expected=Wiring("e", (Element("A", "", Kind.MAKE, "h1", "h2"),)),
    )  # fmt: skip


def test_parts_and_units_differ_in_pattern_not_only_in_colour() -> None:
    """Without colour the patterns' shapes and turns must still be different."""
    root = ElementTree.fromstring(wired())
    used = {e.get("fill", "")[5:-1] for e in shapes(wired(), "pin") if e.get("fill", "").startswith("url")}
    seen = {}
    for pattern in root.iter(f"{SVG}pattern"):
        if pattern.get("id") in used:
            plain = re.sub(r'fill="#[0-9a-f]+"', "", "".join(ElementTree.tostring(e, "unicode") for e in pattern))
            seen[pattern.get("id")] = plain + pattern.get("patternTransform", "")
    assert len(used) == len(set(seen.values())) == 6


def test_the_table_tells_what_each_pin_is_and_what_the_board_expects() -> None:
    said = words(wired())
    assert {"A coil +", "A common", "A break", "B make", "mechanical", "the board expects"} <= set(said)


def test_the_body_is_drawn_where_its_middle_is_stated() -> None:
    known = Footprint("f", PINS.pins, body_mm=(0.0, -5.0))
    assert len(shapes(fit_drawing(known, HOLES, {}, body_mm=(14, 6)), "body")) == PICTURES
    assert not shapes(fit_drawing(PINS, HOLES, {}, body_mm=(14, 6)), "body")


def across(width: float) -> str:
    spots = [(width * n / 7, 20.0 * (n % 2)) for n in range(8)]
    pins = Footprint("f", tuple(Pin(str(n), x, y, 1.0) for n, (x, y) in enumerate(spots)))
    holes = HolePattern("p", tuple(Hole(f"h{n}", x, y, 1.3, "NET") for n, (x, y) in enumerate(spots)))
    return fit_drawing(pins, holes, {str(n): f"h{n}" for n in range(8)})


@pytest.mark.parametrize("width", [5, 16, 30, 60, 100, 160])
def test_a_pattern_that_is_not_wider_than_a4_is_never_shrunk_to_fit_it(width: float) -> None:
    svg = across(width)
    assert float(ElementTree.fromstring(svg).get("width", "")[:-2]) <= PAPER_MM + 1e-3
    holes = [float(e.get("cx", "0")) for e in shapes(svg, "hole")]
    assert holes[7] - holes[0] == pytest.approx(width, abs=2e-3) == holes[8] - holes[15]


@pytest.mark.parametrize(("width", "most_mm"), [(16, 120), (30, 120)])
def test_a_relay_takes_less_than_half_a_page(width: float, most_mm: float) -> None:
    assert float(ElementTree.fromstring(across(width)).get("height", "")[:-2]) < most_mm


def test_a_pattern_wider_than_a4_says_so() -> None:
    assert "Wider than A4: print on larger paper, or it is not true to size." in words(across(200))


def test_a_blade_along_its_slot_is_drawn_in_it_and_does_not_miss() -> None:
    slotted = HolePattern("p", (Hole("a", 0, 0, 1.2, slot_mm=2.5, slot_angle_deg=0.0), Hole("b", 10, 0, 1.2)))
    blades = Footprint("f", (Pin("1", 0, 0, 2.0, 0.8, 0.0), Pin("2", 10, 0, 2.0, 0.8, 0.0)))
    svg = fit_drawing(blades, slotted, {"1": "a", "2": "b"})
    assert len(shapes(svg, "miss")) == PICTURES  # the blade in the round hole alone
    slots = [e for e in shapes(svg, "hole") if e.tag == f"{SVG}rect"]
    assert len(slots) == PICTURES and all("rotate(" in e.get("transform", "") for e in slots)
    unknown = HolePattern("p", (Hole("a", 0, 0, 1.2, slot_mm=2.5), Hole("b", 10, 0, 2.5)))
    holes = shapes(fit_drawing(blades, unknown, {"1": "a", "2": "b"}), "hole")
    assert sum("unstated" in e.get("class", "") for e in holes) == PICTURES
