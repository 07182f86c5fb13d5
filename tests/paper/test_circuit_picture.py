"""The drawing of a board's circuit: every state a panel, every contact and load in it, the current's way thick."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from bom.circuit.states import solve
from bom.paper.pictures.circuit_layout import ends, laid_out
from bom.paper.pictures.circuit_picture import circuit_drawing
from tests.circuit.test_circuit_cases import CASES, net_list_of
from tests.circuit.worlds import made_up

SVG = "{http://www.w3.org/2000/svg}"


def panels(svg: str) -> list[ElementTree.Element]:
    groups = ElementTree.fromstring(svg).findall(f"{SVG}g")
    return [g for g in groups if g.find(f"{SVG}rect") is not None]


def words(panel: ElementTree.Element) -> list[str]:
    return ["".join(text.itertext()) for text in panel.iter(f"{SVG}text")]


def thick(panel: ElementTree.Element) -> int:
    return sum(path.get("class") == "flow" for path in panel.iter(f"{SVG}path"))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_every_state_has_a_panel_and_current_is_thick_where_a_load_runs(case: dict[str, object]) -> None:
    solution = solve(net_list_of(case))
    drawn = panels(circuit_drawing("a board", solution))
    (part,) = solution.parts
    assert len(drawn) == len(part.states)
    for panel, state in zip(drawn, part.states.values(), strict=True):
        assert (thick(panel) > 0) == any(way.runs for way in state.ways.values())
        assert {load.name for load in part.loads} <= set(words(panel))


def test_a_reversing_pair_stands_as_it_is_drawn_by_hand() -> None:
    (part,) = solve(net_list_of(CASES[0])).parts
    layout = laid_out(part)
    (motor,) = layout.spans
    assert (motor.left, motor.right) == ("MP", "MN")
    assert layout.y["MP"] == layout.y["MN"]
    columns = {leg.element.name: leg.x for leg in layout.legs}
    assert columns["K1.A make"] == columns["K1.A break"] < columns["K1.B make"] == columns["K1.B break"]
    tops = {leg.element.name: layout.top(leg) for leg in layout.legs}
    assert tops["K1.A make"] < tops["K1.A break"]


@pytest.mark.parametrize("seed", range(60))
def test_everything_is_drawn_once_and_stays_on_the_paper(seed: int) -> None:
    solution = solve(made_up(seed))
    for part in solution.parts:
        layout = laid_out(part)
        drawn = [x.element for x in (*layout.legs, *layout.spans)]
        assert sorted(e.name for e in drawn) == sorted(
            e.name for e in (*part.contacts, *part.loads) if ends(e)[0] != ends(e)[1]
        )
        assert all(0 < leg.x < layout.width and layout.top(leg) < layout.bottom(leg) for leg in layout.legs)
    ElementTree.fromstring(circuit_drawing(f"world {seed}", solution))


def test_names_are_text_and_never_markup() -> None:
    svg = circuit_drawing("<b>&", solve(net_list_of(CASES[0])), ["<i>"], ["a & b"])
    assert {"<b>&", "<i>", "a & b"} <= {"".join(t.itertext()) for t in ElementTree.fromstring(svg).iter(f"{SVG}text")}


def test_a_short_is_said_and_its_way_is_broken() -> None:
    shorting = next(
        s for s in map(made_up, range(60)) if any(x.short for p in solve(s).parts for x in p.states.values())
    )
    svg = circuit_drawing("short", solve(shorting))
    assert "SHORT: the fuse goes" in svg and re.search(r'<path class="short"', svg)
