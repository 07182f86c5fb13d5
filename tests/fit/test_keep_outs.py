"""The body over the board in its placed position: neighbours, keep-outs, ribs of a lid."""

from __future__ import annotations

from math import sqrt
from typing import Any

import pytest

from bom.boards.board import Board, Hole, HolePattern, KeepOut, Place, Position
from bom.fit.check import fit_findings
from bom.fit.keep_outs import Rectangle
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


@pytest.mark.parametrize(("x", "outcome"), [(18.1, PASS), (16.5, UNKNOWN), (14.1, UNKNOWN), (13.9, FAIL)])
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
