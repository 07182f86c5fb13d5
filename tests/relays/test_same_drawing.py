"""A drawing is found under another name where it is shifted, turned or drawn from the other side, never mirrored."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bom.relays.footprint import Footprint, Pin, View
from bom.relays.same_drawing import same_pins, same_places, same_wiring
from bom.relays.wiring import Element, Kind, Wiring

DRAWN = Footprint("kept", (Pin("1", 0, 0, 0.8), Pin("2", 0, 5, 0.8), Pin("3", 7.5, 2, 0.8)))
KEPT = {"kept": DRAWN}


def moved(dx: float = 0.0, dy: float = 0.0, turned: bool = False, off: float = 0.0) -> Footprint:
    pins = tuple(replace(p, x_mm=-p.y_mm, y_mm=p.x_mm) if turned else p for p in DRAWN.pins)
    shifted = tuple(replace(p, x_mm=p.x_mm + dx, y_mm=p.y_mm + dy) for p in pins)
    return Footprint("typed", (replace(shifted[0], x_mm=shifted[0].x_mm - off), *shifted[1:]))


@pytest.mark.parametrize("drawn", [moved(), moved(3, -2), moved(turned=True), moved(1, 1, turned=True)])
def test_the_same_pins_are_found(drawn: Footprint) -> None:
    assert list(same_pins(drawn, KEPT)) == ["kept"]


def test_the_same_pins_from_the_solder_side_are_found() -> None:
    mirrored = tuple(replace(p, x_mm=-p.x_mm) for p in DRAWN.pins)
    assert list(same_pins(Footprint("typed", mirrored, View.SOLDER), KEPT)) == ["kept"]


@pytest.mark.parametrize(
    "drawn",
    [
        pytest.param(moved(off=0.2), id="a pin elsewhere"),
        pytest.param(Footprint("typed", tuple(replace(p, x_mm=-p.x_mm) for p in DRAWN.pins)), id="mirrored"),
        pytest.param(replace(DRAWN, view=View.UNKNOWN), id="side not known"),
        pytest.param(replace(DRAWN, pins=DRAWN.pins[:2]), id="a pin less"),
        pytest.param(replace(DRAWN, pins=tuple(replace(p, lead_mm=None) for p in DRAWN.pins)), id="leads not stated"),
        pytest.param(replace(DRAWN, pins=tuple(replace(p, name=f"A{p.name}") for p in DRAWN.pins)), id="other names"),
    ],
)
def test_other_pins_are_not(drawn: Footprint) -> None:
    assert not list(same_pins(drawn, KEPT))


def test_leads_may_be_left_out_and_names_too() -> None:
    thin = replace(DRAWN, pins=tuple(replace(p, lead_mm=None) for p in DRAWN.pins))
    named = replace(DRAWN, pins=tuple(replace(p, name=f"A{p.name}") for p in DRAWN.pins))
    assert list(same_pins(thin, KEPT, leads=False)) == ["kept"]
    assert list(same_places(named, KEPT)) == ["kept"] and not list(same_places(moved(off=0.2), KEPT))


def test_a_wiring_is_the_same_in_any_order() -> None:
    coil, make = Element("A", "", Kind.COIL, "1", "2"), Element("A", "1", Kind.MAKE, "3", "4")
    kept = {"one": Wiring("one", (coil, make))}
    assert list(same_wiring(Wiring("typed", (make, coil)), kept)) == ["one"]
    assert not list(same_wiring(Wiring("typed", (make, replace(coil, polarised=True))), kept))
