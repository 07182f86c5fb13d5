"""A relay's pins are listed with what each is, and drawn from both sides with what lies between them."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest

from bom.intake.catalogue import read_catalogue
from bom.paper.pictures.pinout import pinout_drawing
from bom.relays.catalogue import Catalogue
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.pinout import MECHANICAL, UNWIRED, pinout
from bom.relays.relay import Design, Relay
from bom.relays.wiring import Element, Kind, Wiring

SVG = "{http://www.w3.org/2000/svg}"
PLACES = (("1", 0, 0), ("2", 0, 8), ("3", 12, 0), ("4", 12, 4), ("5", 20, 2), ("6", 20, 8))
PINS = Footprint("six", tuple(Pin(name, x, y, 0.8) for name, x, y in PLACES))
WIRING = Wiring(
    "w",
    (
        Element("A", "", Kind.COIL, "1", "2", polarised=True),
        Element("A", "", Kind.MAKE, "3", "5"),
        Element("A", "", Kind.BRIDGE, "3", "4"),
    ),
)


@pytest.fixture(scope="module")
def catalogue(demo_folder: Path) -> Catalogue:
    return read_catalogue(demo_folder).value


def uses(design: Design) -> dict[str, str]:
    return {use.pin: use.uses for use in pinout(design)}


def test_each_pin_says_what_it_is() -> None:
    assert uses(Design(Relay("", "X"), PINS, WIRING)) == {
        "1": "coil, its + end",
        "2": "coil, its - end",
        "3": "common, joined inside to 4",
        "4": "common, joined inside to 3",
        "5": "make",
        "6": MECHANICAL,
    }


@pytest.mark.parametrize(
    ("part", "pin", "words"),
    [
        ("K2R-12S", "B1", "coil of unit B"),
        ("K2R-12S", "21", "common of unit B"),
        ("K2R-12S", "22", "break of unit B"),
        ("TW2-12FD", "2", "coil of unit A, its + end"),
        ("OC1-12", "5", "break"),
    ],
)
def test_a_coil_pin_is_no_contact(catalogue: Catalogue, part: str, pin: str, words: str) -> None:
    assert uses(catalogue.design(catalogue.named(part)[0]))[pin] == words


def test_every_relay_of_the_demo_lists_every_pin(catalogue: Catalogue) -> None:
    for design in catalogue.designs():
        assert design.footprint is not None
        assert set(uses(design)) == {pin.name for pin in design.footprint.pins}


def test_what_no_wiring_states_is_not_stated_and_never_mechanical() -> None:
    assert set(uses(Design(Relay("", "X"), PINS, None)).values()) == {UNWIRED}
    assert uses(Design(Relay("", "X"), None, WIRING))["5"] == "make"
    assert pinout(Design(Relay("", "X"), None, None)) == ()


def drawn(footprint: Footprint, wiring: Wiring | None) -> ElementTree.Element:
    design = Design(Relay("", "X"), footprint, wiring)
    return ElementTree.fromstring(pinout_drawing("X <1>", footprint, wiring, pinout(design), (22.0, 10.0), ("Care.",)))


def test_both_sides_are_drawn_true_to_proportion_and_one_mirrors_the_other() -> None:
    sides = list(drawn(PINS, WIRING).iter(f"{SVG}g"))
    at = [
        [(float(c.get("cx", 0)), float(c.get("cy", 0))) for c in s if c.get("class", "").startswith("pin")]
        for s in sides
    ]
    (left, right), width = at, max(x for x, _ in at[0])
    assert [(round(width - x, 2), y) for x, y in right] == [(round(x, 2), y) for x, y in left]
    times = left[4][0] / 20
    assert left == [
        (pytest.approx(p.x_mm * times, abs=0.01), pytest.approx(p.y_mm * times, abs=0.01)) for p in PINS.pins
    ]


def test_coils_contacts_and_bridges_are_drawn_and_mechanical_pins_are_hollow() -> None:
    kinds = [e.get("class") for side in list(drawn(PINS, WIRING).iter(f"{SVG}g"))[:1] for e in side]
    assert (kinds.count("coil"), kinds.count("blade"), kinds.count("bridge"), kinds.count("pin mechanical")) == (
        1,
        1,
        1,
        1,
    )


def test_a_side_that_nobody_stated_is_said() -> None:
    words = " ".join(t.text or "" for t in drawn(Footprint("f", PINS.pins, View.UNKNOWN), None).iter(f"{SVG}text"))
    assert "may be exchanged" in words and "is not stated" in words and "Care." in words


def test_every_relay_of_the_demo_can_be_drawn(catalogue: Catalogue) -> None:
    for design in catalogue.designs():
        assert design.footprint is not None
        ElementTree.fromstring(pinout_drawing("X", design.footprint, design.wiring, pinout(design)))


@pytest.mark.parametrize("part", ["GS-24", "TW2-12S", "PM30-12", "CG6-24"])
def test_a_drawing_with_its_cautions_is_no_wider_than_a4(part: str, catalogue: Catalogue) -> None:
    design = catalogue.design(catalogue.named(part)[0])
    assert design.footprint is not None
    care = ("one caution after another, each of them longer than the one before it; " * 4,)
    drawn = ElementTree.fromstring(pinout_drawing(part, design.footprint, design.wiring, pinout(design), care=care))
    assert float(drawn.get("width", "").removesuffix("mm")) < 210
    lines = [t.text or "" for t in drawn.iter(f"{SVG}text")]
    assert " ".join(lines).count("longer than the one before it;") == 4
