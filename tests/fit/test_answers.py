"""The whole answer: holes left empty, mirror images, unknown views, what boards ask of their holes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest

from bom.boards.board import Board, Hole, HolePattern, Place, Position
from bom.fit.answer import Question, too_many_finding
from bom.fit.check import fit, fit_findings
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.relay import CoilSystem, Design, Relay
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.finding import Outcome

PASS, CONDITION, FAIL, UNKNOWN = Outcome
Points = Sequence[tuple[float, float]]
TEN = [(x, y) for x in (0.0, 4.0, 9.0, 13.0, 18.0) for y in (0.0, 12.0)]
HOOK = [(0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (3.0, 9.0)]


def footprint(points: Points, lead: float | None = 0.8, view: View = View.COMPONENT) -> Footprint:
    return Footprint("f", tuple(Pin(str(n), x, y, lead) for n, (x, y) in enumerate(points, 1)), view)


def pattern(points: Points, nets: str = "", drill: float = 1.3) -> HolePattern:
    named = zip(points, nets.split() or [""] * len(points), strict=True)
    return HolePattern("p", tuple(Hole(f"h{n}", x, y, drill, net) for n, ((x, y), net) in enumerate(named, 1)))


def test_holes_left_empty_are_told_and_not_proved_without_wirings() -> None:
    answer = fit(footprint(TEN[:4]), pattern(TEN))
    assert answer.outcome is PASS
    assert "6 holes stay empty (h5, h6, h7, h8, h9, h10): whether their nets need a pin is not proved" in answer.why


COIL = Element("A", "", Kind.COIL, "1", "2")


@pytest.mark.parametrize(("nets", "outcome"), [("P D M B -", PASS), ("P D M B B", PASS), ("P D M B M", FAIL)])
def test_with_wirings_an_empty_hole_fails_only_where_its_net_needs_a_pin(nets: str, outcome: Outcome) -> None:
    """Hole h5 is bridged to h4 inside the original: alone on a net that matters, it needs its pin."""
    spots = [*HOOK, (6.0, 2.0)]
    holes = pattern(spots, nets.replace("-", "X"))
    if nets.endswith("-"):
        holes = HolePattern("p", (*holes.holes[:4], Hole("h5", 6.0, 2.0, 1.3)))
    ours = Wiring("ours", (COIL, Element("A", "", Kind.MAKE, "3", "4")))
    theirs = Wiring(
        "theirs",
        (Element("A", "", Kind.COIL, "h1", "h2"), Element("A", "", Kind.MAKE, "h3", "h4"),
         Element("", "", Kind.BRIDGE, "h4", "h5")),
    )  # fmt: skip
    answer = fit(footprint(HOOK), holes, wiring=ours, expected=theirs)
    assert answer.outcome is outcome, answer.why
    assert outcome is FAIL or "hole h5 stays empty" in answer.why


def test_only_mirrored_has_its_own_answer() -> None:
    answer = fit(footprint(HOOK), pattern([(-x, y) for x, y in HOOK]))
    assert answer.outcome is FAIL and answer.why.startswith("goes in only mirrored")


def test_an_outline_that_is_its_own_mirror_image_says_that_only_wirings_tell() -> None:
    answer = fit(footprint(TEN), pattern(TEN))
    assert answer.outcome is PASS and answer.mirrored_fits
    assert "only wirings tell from which side" in answer.why


def test_an_unknown_view_tells_both_readings() -> None:
    answer = fit(footprint(HOOK, view=View.UNKNOWN), pattern(HOOK))
    assert answer.outcome is UNKNOWN
    assert "from the component side: pass" in answer.why and "from the solder side: fail" in answer.why


def test_every_placement_is_tried_and_the_one_that_connects_is_kept() -> None:
    """A square goes in four ways; only one lands coil and contact."""
    square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
    ours = Wiring("ours", (Element("A", "", Kind.COIL, "3", "4"), Element("A", "", Kind.MAKE, "1", "2")))
    theirs = Wiring("theirs", (Element("A", "", Kind.COIL, "h1", "h2"), Element("A", "", Kind.MAKE, "h3", "h4")))
    answer = fit(footprint(square), pattern(square, "P D M B"), wiring=ours, expected=theirs)
    assert answer.outcome is PASS and answer.assignment == {"1": "h3", "2": "h4", "3": "h1", "4": "h2"}
    assert abs(answer.rotation_deg or 0) == pytest.approx(180)


def test_a_latching_relay_with_one_coil_must_land_the_right_way_round() -> None:
    """Set one way, reset the other: without its + known on the board nobody can say which."""
    ours = Wiring("ours", (COIL, Element("A", "", Kind.MAKE, "3", "4")))
    theirs = Wiring("theirs", (Element("A", "", Kind.COIL, "h1", "h2"), Element("A", "", Kind.MAKE, "h3", "h4")))
    latch = CoilSystem.LATCHING_1_COIL
    holes = pattern(HOOK, "P D M B")
    answer = fit(footprint(HOOK), holes, wiring=ours, expected=theirs, coil_system=latch, expected_system=latch,
                 driver_polarity="both ways")  # fmt: skip
    assert answer.outcome is UNKNOWN and "which pin is its + end" in answer.why


def place_on(**board: Any) -> Place:
    return Place(Board("b", **board), Position("K1", "p"), pattern(HOOK), None)


def found(check: str, lead: float = 1.0, **board: Any) -> Outcome | None:
    findings, _ = fit_findings(Design(Relay("Ostrel", "X"), footprint(HOOK, lead), None), place_on(**board))
    return next((f.outcome for f in findings if f.check == check), None)


@pytest.mark.parametrize(
    ("check", "board", "outcome"),
    [
        ("hole clearance", {}, None),
        ("hole clearance", {"hole_clearance": "A"}, PASS),
        ("board tolerance", {}, None),
        ("board tolerance", {"hole_tolerances": "worst case"}, PASS),
        ("board tolerance", {"hole_tolerances": "worst case", "drill_tolerance_mm": 0.25}, CONDITION),
        ("board tolerance", {"hole_tolerances": "root-sum-square", "drill_tolerance_mm": 0.25}, PASS),
        ("hole clearance", {"hole_clearance": "A", "hole_tolerances": "worst case"}, CONDITION),
    ],
)
def test_a_board_may_ask_for_clearance_and_tolerances(check: str, board: dict[str, Any], outcome: Outcome) -> None:
    """Lead 1.0 in hole 1.3: 0.15 mm of play; 0.125 and 0.05 mm at worst make 0.175, by root-sum-square 0.135."""
    assert found(check, **board) is outcome


@pytest.mark.parametrize(("dressing", "outcome"), [(0.0, FAIL), (0.2, CONDITION)])
def test_a_board_may_allow_legs_to_be_dressed(dressing: float, outcome: Outcome) -> None:
    wide = [(x * 1.04, y) for x, y in HOOK]
    design = Design(Relay("Ostrel", "X"), footprint(wide, 1.1), None)
    findings, _ = fit_findings(design, place_on(leg_dressing_mm=dressing))
    assert next(f.outcome for f in findings if f.check == "goes in") is outcome


@pytest.mark.parametrize(("room", "outcome"), [(0.0, CONDITION), (0.049, CONDITION), (0.05, PASS), (0.051, PASS)])
def test_less_play_than_a_boards_own_tolerance_is_narrow(room: float, outcome: Outcome) -> None:
    answer = fit(footprint(HOOK, 1.0), pattern(HOOK, drill=1.0 + 2 * room))
    assert (answer.outcome, "narrow" in answer.why) == (outcome, outcome is CONDITION)
    assert f"{room:.3f} mm play at pin" in answer.why
    assert answer.findings[0].required == "play of 0 mm, 0.05 mm to be easy"


def test_no_leg_is_bent_where_nobody_allows_it() -> None:
    assert fit(footprint(HOOK, 1.1), pattern(HOOK, drill=1.0)).outcome is FAIL
    assert Question().dressing_mm == 0.0


def test_of_two_ways_that_connect_alike_the_one_with_more_play_is_kept() -> None:
    """Leads of 0.8 and 1.0 mm in holes of 1.2 and 1.0 mm: either way round they go in, one way with no play at all."""
    pins = Footprint("f", (Pin("1", 0, 0, 0.8), Pin("2", 10, 0, 1.0)))
    holes = HolePattern("p", (Hole("a", 0, 0, 1.2), Hole("b", 10, 0, 1.0)))
    answer = fit(pins, holes)
    assert answer.assignment == {"1": "b", "2": "a"} and answer.play_mm == pytest.approx(0.1, abs=1e-5)


@pytest.mark.parametrize(("mirrored", "said"), [(False, False), (True, True)])
def test_what_connects_alike_only_mirrored_was_probably_read_from_the_other_side(mirrored: bool, said: bool) -> None:
    """Ten pins that are their own mirror image: the coil on the left, the contact on the right."""
    ours = Wiring("ours", (Element("A", "", Kind.COIL, "1", "3"), Element("A", "", Kind.MAKE, "8", "9")))
    board = ("h2", "h4", "h7", "h10") if mirrored else ("h1", "h3", "h8", "h10")
    theirs = Wiring("b", (Element("A", "", Kind.COIL, *board[:2]), Element("A", "", Kind.MAKE, *board[2:])))
    answer = fit(footprint(TEN), pattern(TEN), wiring=ours, expected=theirs)
    assert answer.outcome is FAIL
    assert ("mirrored it would connect alike" in answer.why) is said


@pytest.mark.parametrize(
    ("empty", "words"),
    [(1, "; hole h3 stays empty: whether its net needs a pin"),
     (2, "; 2 holes stay empty (h3, h4): whether their nets need a pin")],
)  # fmt: skip
def test_one_hole_left_empty_and_several_are_told_as_people_say_it(empty: int, words: str) -> None:
    answer = fit(footprint(HOOK[:2]), pattern(HOOK[: 2 + empty]))
    assert words in answer.why


@pytest.mark.parametrize(("lead", "named"), [(3.29, False), (3.31, True)])
def test_a_lead_thicker_than_any_near_miss_is_named(lead: float, named: bool) -> None:
    """Hole 1.3 mm: a lead up to 3.3 mm misses by 1 mm all round at most."""
    answer = fit(footprint(HOOK, lead), pattern(HOOK))
    assert answer.outcome is FAIL and ("no hole is wider than 1.3 mm" in answer.why) is named


@pytest.mark.parametrize(("span", "words"), [(12.45, "misses hole h1 by 0.975 mm"), (12.55, "comes within 1 mm")])
def test_a_miss_of_up_to_a_millimetre_is_a_near_one(span: float, words: str) -> None:
    """Two pins 10 mm apart, 0.25 mm of room: each end is off by half of the difference less the room."""
    assert words in fit(footprint([(0, 0), (10, 0)]), pattern([(0, 0), (span, 0)])).why


def test_sizes_that_are_not_stated_are_named() -> None:
    assert "measure the lead of pins 1, 2;" in fit(footprint(HOOK[:2], None), pattern(HOOK[:2])).why
    assert "measure the lead of pin 1;" in fit(footprint(HOOK[:1], None), pattern(HOOK[:1])).why


def test_one_and_several_are_counted_as_people_say_it() -> None:
    assert fit(footprint(HOOK[:2]), pattern(HOOK[:1])).why == "2 pins for 1 hole"
    pins, holes = footprint(HOOK), pattern(HOOK)
    assert "1 way in was found" in too_many_finding(pins, holes, 1, False).why
    assert "2 ways in were found" in too_many_finding(pins, holes, 2, True).why
