"""Functions of a board file against the contacts that the wiring there has."""

from __future__ import annotations

import pytest

from bom.boards.board import Board, Function, Hole, HolePattern, Load, Net, NetIs, NetLoad, Place, Position
from bom.duty.placed_functions import contacts_there, misplaced
from bom.relays.wiring import Element, Kind, Wiring

TWIN = Wiring("twin", tuple(Element(u, "1", Kind.MAKE, f"{u}c", f"{u}m") for u in ("A", "B")))
SINGLE = Wiring("single", (Element("A", "1", Kind.MAKE, "c", "m"), Element("A", "2", Kind.MAKE, "d", "n")))


def why(wiring: Wiring, *functions: tuple[str, Kind, str]) -> list[str]:
    stated = [Function(f"f{n}", unit, kind, Load("lamp"), pole) for n, (unit, kind, pole) in enumerate(functions)]
    return [said for _, said in misplaced(stated, wiring)]


@pytest.mark.parametrize(
    ("wiring", "unit", "kind", "said"),
    [
        (TWIN, "A", Kind.MAKE, []),
        (TWIN, "", Kind.MAKE, ["no unit is named, and wiring twin has units A, B"]),
        (SINGLE, "", Kind.MAKE, []),
        (TWIN, "C", Kind.MAKE, ["unit C is not in wiring twin, which has units A, B"]),
        (SINGLE, "B", Kind.MAKE, ["unit B is not in wiring single, which has unit A only"]),
        (SINGLE, "A", Kind.BREAK, ["wiring single has no such contact: unit A, break"]),
    ],
)
def test_a_function_needs_a_contact_that_is_there(wiring: Wiring, unit: str, kind: Kind, said: list[str]) -> None:
    assert why(wiring, (unit, kind, "")) == said


def test_a_contact_serves_one_function() -> None:
    assert why(TWIN, ("A", Kind.MAKE, ""), ("A", Kind.MAKE, "1")) == ["unit A, pole 1, make already serves 'f0'"]
    assert why(TWIN, ("A", Kind.MAKE, ""), ("B", Kind.MAKE, "")) == []
    assert why(SINGLE, ("A", Kind.MAKE, "1"), ("A", Kind.MAKE, "2")) == []


CHANGEOVER = Wiring("one", (Element("A", "", Kind.MAKE, "c", "m"), Element("A", "", Kind.BREAK, "c", "b")))


@pytest.mark.parametrize(
    ("on_no_net", "contact", "reversing", "said"),
    [
        ("", Kind.MAKE, False, ""),
        ("m", Kind.MAKE, False, "hole m"),
        ("cm", Kind.MAKE, False, "holes c, m"),
        ("b", Kind.MAKE, False, ""),
        ("b", Kind.BREAK, False, "hole b"),
        ("b", Kind.MAKE, True, "hole b"),
        ("cmbx", Kind.MAKE, False, ""),
    ],
)
def test_a_function_needs_its_contact_on_nets(on_no_net: str, contact: Kind, reversing: bool, said: str) -> None:
    """No net stated anywhere is for the fit to say."""
    holes = tuple(Hole(name, n, 0, 1.0, "" if name in on_no_net else name.upper()) for n, name in enumerate("cmbx"))
    position = Position("K1", "p", functions=(Function("f", "A", contact, Load("motor", reversing=reversing)),))
    found = contacts_there(Place(Board("B"), position, HolePattern("p", holes), CHANGEOVER))
    assert [f.why for f in found] == ([f"it needs {said}, on no net: correct the board file"] if said else [])


SHARED = (Hole("c", 0, 0, 1.0, "MOT"), Hole("m", 1, 0, 1.0, "VBAT"), Hole("b", 2, 0, 1.0, "GND"))


@pytest.mark.parametrize(
    ("others", "nets", "loads", "reversing", "asked"),
    [
        ("GND", (), (), False, True),
        ("", (), (), False, False),
        ("", (Net("GND", NetIs.GROUND),), (), False, True),
        ("", (Net("VBAT", NetIs.SUPPLY),), (), False, False),
        ("GND", (), (NetLoad("motor", "MOT", "GND", Load("motor")),), False, False),
        ("GND", (), (), True, False),
    ],
)
def test_a_contact_on_nets_in_use_is_asked_for_its_load(
    others: str, nets: tuple[Net, ...], loads: tuple[NetLoad, ...], reversing: bool, asked: bool
) -> None:
    """The break joins the motor to a net that other holes are on, or that the file names; a reversing drive brakes
    through it, and where the loads are stated the circuit tells."""
    pattern = HolePattern("p", (*SHARED, Hole("x", 9, 0, 1.0, others)))
    position = Position("K1", "p", functions=(Function("f", "A", Kind.MAKE, Load("motor", reversing=reversing)),))
    found = contacts_there(
        Place(Board("B", patterns={"p": pattern}, nets=nets, loads=loads), position, pattern, CHANGEOVER)
    )
    assert [f.check for f in found] == (["contact, A break"] if asked else [])
