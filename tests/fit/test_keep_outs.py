"""The body over the board in its placed position: neighbours, keep-outs, ribs of a lid."""

from __future__ import annotations

from math import cos, radians, sin, sqrt
from typing import Any

import pytest

from bom.boards.board import Board, Hole, HolePattern, KeepOut, Place, Position
from bom.fit.body_room import Outline, Rectangle, outline
from bom.fit.check import fit_findings
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.relay import Design, Relay
from bom.values.finding import Finding, Outcome

PASS, CONDITION, FAIL, UNKNOWN = Outcome
SPOTS = ((0.0, 0.0), (12.0, 0.0), (12.0, 8.0), (2.0, 8.0))
HOLES = tuple(Hole(str(n), x, y, 1.3) for n, (x, y) in enumerate(SPOTS))


def turned(x: float, y: float) -> tuple[float, float]:
    """A quarter turn clockwise as seen."""
    return -y, x


def body(
    keep_out: KeepOut, middle: tuple[float, float] | None = (6.0, 4.0), view: View = View.COMPONENT, **more: Any
) -> Finding:
    """The finding for a relay drawn a quarter turn off, 16 x 10 mm, its pins 12 x 8 mm."""
    drawn = tuple(Pin(str(n), *turned(x, y), 0.8) for n, (x, y) in enumerate(SPOTS))
    footprint = Footprint("f", drawn, body_mm=middle and turned(*middle))
    stated = {"body_length_mm": 16.0, "body_width_mm": 10.0, "body_height_mm": 12.0, "standoff_mm": 0.5} | more
    pattern = HolePattern("p", HOLES, view)
    place = Place(Board("b"), Position("K1", "p", keep_outs=(keep_out,)), pattern, None)
    findings, _ = fit_findings(Design(Relay("Ostrel", "X", **stated), footprint, None), place)
    return next(f for f in findings if f.check == "body")


@pytest.mark.parametrize(
    ("x", "outcome", "words"),
    [(16.5, PASS, "0.50 mm or more from K2"), (16.0, PASS, "0.00 mm"), (15.4, FAIL, "overlaps K2 by 0.60 mm")],
)
def test_a_neighbour_is_held_against_the_body_as_it_is_placed(x: float, outcome: Outcome, words: str) -> None:
    """The body reaches from -2 to 14 mm along x once it is turned; the neighbour is 4 mm wide."""
    found = body(KeepOut("K2", x, 4.0, 4.0, 10.0))
    assert (found.outcome, words in found.why) == (outcome, True), found.why


@pytest.mark.parametrize(("y", "outcome"), [(14.0, PASS), (13.9, FAIL), (-6.0, PASS), (-5.9, FAIL)])
def test_a_neighbour_reaches_half_its_width_to_either_side(y: float, outcome: Outcome) -> None:
    """The body reaches from -1 to 9 mm along y; the neighbour is 10 mm wide."""
    assert body(KeepOut("K2", 6.0, y, 4.0, 10.0)).outcome is outcome


@pytest.mark.parametrize(("x", "outcome"), [(18.1, PASS), (16.5, UNKNOWN), (14.0, UNKNOWN), (13.9, FAIL)])
def test_where_nobody_states_the_middle_the_body_lies_anywhere_over_its_pins(x: float, outcome: Outcome) -> None:
    """It may reach to 16 mm, and covers at least its pins, to 12 mm."""
    assert body(KeepOut("K2", x, 4.0, 4.0, 10.0), middle=None).outcome is outcome


def test_a_body_that_is_not_stated_is_to_be_measured() -> None:
    assert body(KeepOut("K2", 40, 4, 4, 10), body_width_mm=None).outcome is UNKNOWN


@pytest.mark.parametrize(
    ("begins", "height", "outcome"), [(12.5, 12.0, PASS), (12.0, 12.0, FAIL), (12.5, None, UNKNOWN)]
)
def test_a_rib_of_the_lid_begins_above_the_board(begins: float, height: float | None, outcome: Outcome) -> None:
    rib = KeepOut("rib", 6.0, 4.0, 2.0, 30.0, from_mm=begins)
    assert body(rib, body_height_mm=height).outcome is outcome


def test_the_worst_of_several_is_told() -> None:
    drawn = tuple(Pin(str(n), x, y, 0.8) for n, (x, y) in enumerate(SPOTS))
    relay = Relay("Ostrel", "X", body_length_mm=16.0, body_width_mm=10.0)
    around = (KeepOut("K2", 40, 4, 4, 10), KeepOut("C3", 13, 4, 4, 10), KeepOut("R4", 17, 4, 4, 10))
    place = Place(Board("b"), Position("K1", "p", keep_outs=around), HolePattern("p", HOLES), None)
    findings, _ = fit_findings(Design(relay, Footprint("f", drawn, body_mm=(6.0, 4.0)), None), place)
    assert "C3" in next(f.why for f in findings if f.check == "body")


def test_a_pattern_drawn_from_the_solder_side_has_its_keep_outs_there_too() -> None:
    """Mirrored, the pins go in turned otherwise; without the keep-out turned along it would be clear."""
    hook = tuple(Hole(str(n), -x, y, 1.3) for n, (x, y) in enumerate(SPOTS))
    drawn = tuple(Pin(str(n), x, y, 0.8) for n, (x, y) in enumerate(SPOTS))
    relay = Relay("Ostrel", "X", body_length_mm=16.0, body_width_mm=10.0)
    position = Position("K1", "p", keep_outs=(KeepOut("K2", -15.0, 4.0, 4.0, 10.0),))
    place = Place(Board("b"), position, HolePattern("p", hook, View.SOLDER), None)
    findings, _ = fit_findings(Design(relay, Footprint("f", drawn, body_mm=(6.0, 4.0)), None), place)
    assert next(f.outcome for f in findings if f.check == "body") is FAIL


@pytest.mark.parametrize(
    ("one", "other", "gap"),
    [
        (Rectangle((0, 0), (5, 5)), Rectangle((12, 0), (5, 5)), 2.0),
        (Rectangle((0, 0), (5, 5)), Rectangle((9, 0), (5, 5)), -1.0),
        (Rectangle((0, 0), (5, 5)), Rectangle((13, 0), (5, 5), 45.0), 13 - 5 - 5 * sqrt(2)),
    ],
)
def test_boxes_are_parted_along_their_sides(one: Rectangle, other: Rectangle, gap: float) -> None:
    assert one.gap_to(other) == pytest.approx(gap) == other.gap_to(one)


def corners(box: Rectangle) -> list[tuple[float, float]]:
    (x, y), (half, other), angle = box.middle, box.half, radians(box.angle_deg)
    around = [(half, other), (-half, other), (-half, -other), (half, -other)]
    return [(x + a * cos(angle) - b * sin(angle), y + a * sin(angle) + b * cos(angle)) for a, b in around]


def gap_along(one: Rectangle, other: Rectangle, angle_deg: float) -> float:
    """How far apart the shadows of the corners are on a line at this angle."""
    co, si = cos(radians(angle_deg)), sin(radians(angle_deg))
    ours, theirs = ([x * co + y * si for x, y in corners(box)] for box in (one, other))
    return max(min(theirs) - max(ours), min(ours) - max(theirs))


@pytest.mark.parametrize("angle", [0.0, 17.0, -40.0, 90.0, 130.0])
@pytest.mark.parametrize("middle", [(12.0, 3.0), (-4.0, 11.0), (2.0, -3.0), (-9.0, -8.0)])
def test_the_gap_is_that_of_the_corners_along_the_four_sides(middle: tuple[float, float], angle: float) -> None:
    one, other = Rectangle((1.0, 2.0), (5.0, 3.0), 10.0), Rectangle(middle, (4.0, 1.5), angle)
    sides = (10.0, 100.0, angle, angle + 90.0)
    assert one.gap_to(other) == pytest.approx(max(gap_along(one, other, side) for side in sides))


def test_a_body_is_turned_and_shifted_corner_by_corner() -> None:
    box = Rectangle((3.0, 1.0), (5.0, 2.0), 10.0)
    co, si = cos(radians(25.0)), sin(radians(25.0))
    moved = [(x * co - y * si + 7.0, x * si + y * co - 4.0) for x, y in corners(box)]
    found = corners(box.placed(25.0, (7.0, -4.0)))
    assert [n for spot in found for n in spot] == pytest.approx([n for spot in moved for n in spot])


def lying(middle: tuple[float, float] | None, length: float = 16.0, width: float = 10.0) -> Outline | None:
    """Pins from (2, 1) to (14, 9)."""
    drawn = (Pin("1", 2, 1, 0.8), Pin("2", 14, 9, 0.8))
    return outline(
        Relay("Ostrel", "X", body_length_mm=length, body_width_mm=width), Footprint("f", drawn, body_mm=middle)
    )


def test_a_body_lies_where_its_drawing_says() -> None:
    body = Rectangle((8.0, 5.0), (8.0, 5.0))
    assert lying((8.0, 5.0)) == Outline((body,), (body,))


def test_a_body_of_no_stated_place_lies_anywhere_that_covers_its_pins() -> None:
    """16 mm over 12 mm of pins: 4 mm either way; 10 over 8: 2 mm; across, 10 mm would not cover 12."""
    assert lying(None) == Outline((Rectangle((8.0, 5.0), (10.0, 6.0)),), (Rectangle((8.0, 5.0), (6.0, 4.0)),))


def test_a_body_that_covers_its_pins_either_way_may_lie_either_way() -> None:
    found = lying((8.0, 5.0), 18.0, 14.0)
    either = (Rectangle((8.0, 5.0), (9.0, 7.0)), Rectangle((8.0, 5.0), (7.0, 9.0)))
    assert found == Outline(either, either)


@pytest.mark.parametrize(
    ("middle", "length", "width", "known"),
    [((8.0, 5.0), 12.0, 8.0, True), (None, 12.0, 8.0, True), ((8.0, 5.0), 11.9, 8.0, False), (None, 12.0, 7.9, False),
     ((8.1, 5.0), 12.0, 8.0, False), ((8.0, 5.1), 12.0, 8.0, False)],
)  # fmt: skip
def test_a_body_that_does_not_cover_its_pins_is_not_believed(
    middle: tuple[float, float] | None, length: float, width: float, known: bool
) -> None:
    assert (lying(middle, length, width) is not None) is known


@pytest.mark.parametrize(("angle", "outcome"), [(-30.0, FAIL), (30.0, PASS)])
@pytest.mark.parametrize("view", [View.COMPONENT, View.SOLDER])
def test_a_keep_out_that_lies_askew_is_turned_with_the_drawing(view: View, angle: float, outcome: Outcome) -> None:
    """A long bar past the body's right upper corner leans over it one way and away from it the other way."""
    side = -1.0 if view is View.SOLDER else 1.0
    holes = tuple(Hole(str(n), side * x, y, 1.3) for n, (x, y) in enumerate(SPOTS))
    drawn = Footprint("f", tuple(Pin(str(n), x, y, 0.8) for n, (x, y) in enumerate(SPOTS)), body_mm=(6.0, 4.0))
    relay = Relay("Ostrel", "X", body_length_mm=16.0, body_width_mm=10.0)
    bar = KeepOut("bar", side * 15.0, 9.0, 10.0, 0.5, angle_deg=side * (90.0 + angle))
    place = Place(Board("b"), Position("K1", "p", keep_outs=(bar,)), HolePattern("p", holes, view), None)
    findings, _ = fit_findings(Design(relay, drawn, None), place)
    assert next(f.outcome for f in findings if f.check == "body") is outcome


def test_how_far_a_body_of_no_stated_place_may_overlap_is_said() -> None:
    assert "may overlap K2 by up to 1.50 mm" in body(KeepOut("K2", 16.5, 4.0, 4.0, 10.0), middle=None).why
