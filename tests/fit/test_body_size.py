"""Room under the lid, sealing against washing, and the whole answer where two grids meet."""

from __future__ import annotations

from math import hypot
from typing import Any

import pytest

from bom.boards.board import Board, Driver, Hole, HolePattern, Place, Position
from bom.fit.body_room import height_finding, outline_finding, pin_length_finding
from bom.fit.check import fit, fit_findings, sealing_findings
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.relay import CoilSystem, Design, Relay, Sealing, Suppression
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.finding import Outcome, Verdict, verdict_of

PASS, CONDITION, FAIL, UNKNOWN = Outcome


def relay(**stated: Any) -> Relay:
    return Relay("Ostrel", "TW2-12S", **stated)


@pytest.mark.parametrize(
    ("height", "standoff", "lid", "outcome"),
    [
        (14.0, 0.5, 14.2, FAIL),
        (14.0, 0.2, 14.2, CONDITION),
        (None, 0.5, 14.2, UNKNOWN),
        (14.0, None, 14.2, UNKNOWN),
        (14.3, None, 14.2, FAIL),
        (14.0, 0.5, None, UNKNOWN),
    ],
)
def test_height_and_standoff_under_the_lid(
    height: float | None, standoff: float | None, lid: float | None, outcome: Outcome
) -> None:
    part = relay(body_height_mm=height, standoff_mm=standoff)
    assert height_finding(part, Board("b", lid_clearance_mm=lid)).outcome is outcome


def test_without_a_lid_no_higher_than_the_original_will_do() -> None:
    low, high = relay(body_height_mm=13.6, standoff_mm=0.3), relay(body_height_mm=14.0, standoff_mm=0.3)
    assert height_finding(low, Board("b"), high).outcome is PASS
    assert height_finding(low, Board("b"), low).outcome is PASS
    assert height_finding(high, Board("b"), low).outcome is UNKNOWN


@pytest.mark.parametrize(
    ("length", "thickness", "outcome"),
    [(3.5, 1.6, PASS), (1.5, 1.6, FAIL), (1.6, 1.6, FAIL), (1.61, 1.6, CONDITION), (None, 1.6, UNKNOWN),
     (3.5, None, UNKNOWN), (2.09, 1.6, CONDITION), (2.1, 1.6, PASS), (4.1, 1.6, PASS), (4.11, 1.6, CONDITION)],
)  # fmt: skip
def test_pins_come_through_the_board(length: float | None, thickness: float | None, outcome: Outcome) -> None:
    part, board = relay(pin_length_mm=length), Board("b", board_thickness_mm=thickness)
    assert pin_length_finding(part, board).outcome is outcome


def test_what_stands_out_below_the_board_is_said() -> None:
    found = pin_length_finding(relay(pin_length_mm=5.0), Board("b", board_thickness_mm=1.6))
    assert found.why.startswith("3.4 mm beyond the board: trim")
    assert (found.required, found.offered) == ("2.1 mm to 4.1 mm", "5 mm")


@pytest.mark.parametrize(("length", "outcome"), [(3.49, UNKNOWN), (3.5, PASS), (4.0, PASS), (4.01, UNKNOWN)])
def test_without_a_thickness_pins_as_long_as_the_originals_or_half_a_millimetre_longer_will_do(
    length: float, outcome: Outcome
) -> None:
    assert pin_length_finding(relay(pin_length_mm=length), Board("b"), relay(pin_length_mm=3.5)).outcome is outcome


def test_what_is_left_under_the_lid_is_said_and_is_the_margin() -> None:
    under = Board("b", lid_clearance_mm=16.0)
    low = height_finding(relay(body_height_mm=11.5, standoff_mm=0.5), under)
    high = height_finding(relay(body_height_mm=17.0, standoff_mm=1.0), under)
    assert (low.why, low.margin) == ("4 mm to spare under the lid", pytest.approx(0.25))
    assert (high.why, high.margin) == ("2 mm too high for the lid", pytest.approx(-0.125))


def test_a_lid_on_the_board_leaves_no_room_and_no_share_of_it() -> None:
    found = height_finding(relay(body_height_mm=1.0, standoff_mm=0.0), Board("b", lid_clearance_mm=0.0))
    assert (found.outcome, found.margin) == (FAIL, None)


def test_how_much_larger_than_the_original_is_said_by_the_side_that_grew_most() -> None:
    original = relay(body_length_mm=18.0, body_width_mm=17.0)
    longer = outline_finding(relay(body_length_mm=19.5, body_width_mm=16.0), original)
    wider = outline_finding(relay(body_length_mm=18.0, body_width_mm=17.25), original)
    assert longer.why.startswith("up to 1.5 mm larger") and wider.why.startswith("up to 0.25 mm larger")
    assert (longer.required, longer.offered) == ("18 mm x 17 mm", "19.5 mm x 16 mm")


@pytest.mark.parametrize(
    ("length", "width", "outcome"), [(17.0, 18.0, PASS), (18.5, 17.0, CONDITION), (None, 17.0, UNKNOWN)]
)
def test_the_body_is_held_against_the_original_from_above(length: float | None, width: float, outcome: Outcome) -> None:
    original = relay(body_length_mm=18.0, body_width_mm=17.0)
    assert outline_finding(relay(body_length_mm=length, body_width_mm=width), original).outcome is outcome


@pytest.mark.parametrize(
    ("sealing", "outcome"),
    [(Sealing.RT_II, FAIL), (Sealing.RT_III, PASS), (Sealing.RT_V, PASS), (None, UNKNOWN)],
)
@pytest.mark.parametrize("process", ["wash", "coating"])
def test_a_washed_or_coated_board_needs_a_wash_tight_relay(
    process: str, sealing: Sealing | None, outcome: Outcome
) -> None:
    (found,) = sealing_findings(relay(sealing=sealing), (process,))
    assert found.outcome is outcome and process in found.required


def test_a_board_that_goes_through_nothing_asks_nothing() -> None:
    assert sealing_findings(relay(), ()) == ()


TIGHT, LOOSE = Sealing.RT_III, Sealing.RT_II


@pytest.mark.parametrize(
    ("process", "ours", "fitted", "outcome"),
    [
        (None, TIGHT, None, UNKNOWN),
        (None, TIGHT, TIGHT, PASS),
        (None, LOOSE, TIGHT, UNKNOWN),
        (None, None, TIGHT, UNKNOWN),
        ((), LOOSE, TIGHT, CONDITION),
        ((), None, TIGHT, UNKNOWN),
        (("wash",), TIGHT, Sealing.RT_V, CONDITION),
        (("wash",), LOOSE, TIGHT, FAIL),
    ],
)
def test_a_part_less_tight_than_the_fitted_one_never_passes_unasked(
    process: tuple[str, ...] | None, ours: Sealing | None, fitted: Sealing | None, outcome: Outcome
) -> None:
    found = sealing_findings(relay(sealing=ours), process, relay(sealing=fitted))
    assert max(found, key=lambda f: f.outcome.gravity).outcome is outcome


def test_a_stated_process_and_a_part_as_tight_say_no_more_than_the_process() -> None:
    assert [f.required for f in sealing_findings(relay(sealing=TIGHT), ("wash",), relay(sealing=TIGHT))] == [
        "RT III or tighter for wash"
    ]
    assert sealing_findings(relay(sealing=TIGHT), (), relay(sealing=TIGHT)) == ()


def in_a_row(pitch: float, steps: int, lead: float | None = 0.8, view: View = View.COMPONENT) -> Footprint:
    return Footprint("row", tuple(Pin(str(n), pitch * n, 0, lead, lead) for n in range(steps + 1)), view)


def holes_in_a_row(pitch: float, steps: int, drill: float | None = 1.3) -> HolePattern:
    return HolePattern("row", tuple(Hole(str(n), pitch * n, 0, drill) for n in range(steps + 1)))


@pytest.mark.parametrize(
    ("pins", "holes", "dressing", "outcome", "word"),
    [
        (in_a_row(2.54, 4), holes_in_a_row(2.5, 4), 0.0, CONDITION, "narrow"),
        (in_a_row(2.54, 8), holes_in_a_row(2.5, 8), 0.0, FAIL, "misses hole"),
        (in_a_row(2.54, 8), holes_in_a_row(2.5, 8), 0.1, CONDITION, "dressed by 0.076 mm"),
        (in_a_row(2.54, 4), holes_in_a_row(2.54, 4), 0.0, PASS, "play"),
        (in_a_row(2.54, 4), holes_in_a_row(2.54, 4, hypot(0.8, 0.8)), 0.0, CONDITION, "narrow, 0.000 mm"),
        (in_a_row(2.54, 4, None), holes_in_a_row(2.54, 4), 0.0, UNKNOWN, "the lead of pins 0, 1, 2, 3, 4"),
        (in_a_row(2.54, 4), holes_in_a_row(2.54, 4, None), 0.0, UNKNOWN, "the drill of holes 0"),
        (in_a_row(2.54, 4), holes_in_a_row(2.54, 3), 0.0, FAIL, "5 pins for 4 holes"),
        (in_a_row(2.54, 4), holes_in_a_row(5.08, 4), 0.0, FAIL, "within 1 mm"),
        (in_a_row(2.54, 4, view=View.UNKNOWN), holes_in_a_row(2.54, 4), 0.0, UNKNOWN, "look up from which side"),
        (in_a_row(2.54, 4, view=View.UNKNOWN), holes_in_a_row(5.08, 4), 0.0, FAIL, "look up from which side"),
    ],
)  # fmt: skip
def test_what_the_play_comes_to(
    pins: Footprint, holes: HolePattern, dressing: float, outcome: Outcome, word: str
) -> None:
    answer = fit(pins, holes, dressing_mm=dressing)
    assert (answer.outcome, word in answer.why) == (outcome, True), answer.why


def test_a_pattern_that_only_goes_in_mirrored_says_so() -> None:
    hook = ((0, 0), (10, 0), (10, 4), (3, 9))
    pins = Footprint("hook", tuple(Pin(str(n), x, y, 0.8) for n, (x, y) in enumerate(hook)))
    holes = HolePattern("hook", tuple(Hole(str(n), -x, y, 1.3) for n, (x, y) in enumerate(hook)))
    answer = fit(pins, holes)
    assert answer.outcome is FAIL and answer.mirrored_fits
    assert "read from the other side" in answer.why


def test_one_wiring_alone_is_unknown() -> None:
    wiring = Wiring("w", (Element("A", "", Kind.COIL, "0", "1"),))
    assert fit(in_a_row(2.54, 1), holes_in_a_row(2.54, 1), wiring=wiring).outcome is UNKNOWN


SPOTS = {"1": (0, 0), "2": (0, 10), "3": (5, 5), "4": (12, 0), "5": (12, 10)}
WIRING = Wiring(
    "changeover",
    (
        Element("A", "", Kind.COIL, "1", "2"),
        Element("A", "", Kind.MAKE, "3", "4"),
        Element("A", "", Kind.BREAK, "3", "5"),
    ),
)
PATTERN = HolePattern("five", tuple(Hole(n, x, y, 1.3, f"N{n}") for n, (x, y) in SPOTS.items()))
BOARD = Board("OS-3", lid_clearance_mm=14.8, board_thickness_mm=1.6, process=("wash",))
PLACE = Place(BOARD, Position("K1", "five", driver=Driver(polarity="low side")), PATTERN, WIRING)


def design(**changed: Any) -> Design:
    stated: dict[str, Any] = {
        "coil_system": CoilSystem.MONOSTABLE,
        "coil_suppression": Suppression.NONE,
        "sealing": Sealing.RT_III,
        "body_height_mm": 14.0,
        "standoff_mm": 0.3,
        "pin_length_mm": 3.5,
        "body_length_mm": 18.0,
        "body_width_mm": 17.0,
    }
    pins = Footprint("five", tuple(Pin(n, x, y, 0.8) for n, (x, y) in SPOTS.items()))
    return Design(relay(**stated | changed), pins, WIRING)


@pytest.mark.parametrize(
    ("changed", "verdict", "check"),
    [
        ({}, Verdict.DROP_IN, ""),
        ({"sealing": Sealing.RT_II}, Verdict.NO, "sealing"),
        ({"coil_system": CoilSystem.LATCHING_1_COIL}, Verdict.NO, "coil system"),
        ({"body_height_mm": 15.0}, Verdict.NO, "height"),
        ({"pin_length_mm": None}, Verdict.UNKNOWN, "pin length"),
        ({"body_length_mm": 19.0}, Verdict.CONDITIONAL, "outline"),
    ],
)
def test_each_candidate_is_refused_for_its_own_reason(changed: dict[str, Any], verdict: Verdict, check: str) -> None:
    findings, answer = fit_findings(design(**changed), PLACE, design())
    assert verdict_of(findings) is verdict
    assert not check or findings[0].check == check
    assert answer.assignment == {n: n for n in SPOTS}


def test_a_relay_without_a_drawing_is_unknown() -> None:
    findings, answer = fit_findings(Design(design().relay, None, None), PLACE)
    assert answer.outcome is UNKNOWN and findings[0].check == "goes in"
