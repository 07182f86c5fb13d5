"""What an engineer looks at once the pins go in: loose holes, slots, a body turned over its pins, the lid.

Each case is worked by hand. A flat lead of 2.0 x 0.8 mm has a diagonal of 2.154 mm.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from bom.boards.board import Board, Driver, Hole, HolePattern, KeepOut, Place, Position
from bom.fit.answer import FitAnswer
from bom.fit.check import fit, fit_findings
from bom.fit.placement import Placement
from bom.fit.slots import along_slots, room_round_lead
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.relay import CoilSystem, Design, Relay, Sealing, Suppression
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.finding import Outcome

P, C, F, U = Outcome.PASS, Outcome.CONDITION, Outcome.FAIL, Outcome.UNKNOWN
Spots = tuple[tuple[float, float], ...]
HOOK: Spots = ((0, 0), (12, 0), (12, 5), (2, 9))


def pins(spots: Spots = HOOK, lead: float = 1.0, width: float | None = None, angle: float | None = None) -> Footprint:
    return Footprint("f", tuple(Pin(str(n), x, y, lead, width, angle) for n, (x, y) in enumerate(spots)))


def holes(spots: Spots = HOOK, drill: float = 1.3, **slot: float | None) -> HolePattern:
    return HolePattern("p", tuple(Hole(str(n), x, y, drill, f"N{n}", **slot) for n, (x, y) in enumerate(spots)))


@pytest.mark.parametrize(("drill", "expected"), [(1.3, P), (1.7, P), (1.75, C), (2.2, C)])
def test_a_hole_far_wider_than_its_lead_is_a_condition(drill: float, expected: Outcome) -> None:
    """IPC-2222, from memory: about 0.7 mm over the smallest lead at most."""
    answer = fit(pins(), holes(drill=drill))
    assert answer.outcome is expected
    assert expected is P or answer.findings[0].check == "loose in its hole"


BLADES = pins(lead=2.0, width=0.8, angle=0.0)


@pytest.mark.parametrize(
    ("footprint", "slot", "expected"),
    [
        # a blade along its slot, which a round hole as wide as the slot would never take
        (BLADES, {"slot_mm": 2.5, "slot_angle_deg": 0.0}, P),
        (BLADES, {"slot_mm": 2.5, "slot_angle_deg": 180.0}, P),
        # across it, into one too short for it, and along one of unknown angle: nothing is proved
        (BLADES, {"slot_mm": 2.5, "slot_angle_deg": 90.0}, U),
        (BLADES, {"slot_mm": 2.16, "slot_angle_deg": 0.0}, U),
        (BLADES, {"slot_mm": 2.5}, U),
        (pins(lead=2.0, width=0.8), {"slot_mm": 2.5, "slot_angle_deg": 0.0}, U),
        # no slot, or one that even the circle about it is too small for
        (BLADES, {}, F),
        (BLADES, {"slot_mm": 2.0, "slot_angle_deg": 0.0}, F),
        # round leads that go in anyway
        (pins(), {"slot_mm": 1.6, "slot_angle_deg": 0.0}, P),
    ],
)
def test_a_blade_goes_in_along_its_slot(footprint: Footprint, slot: dict[str, float], expected: Outcome) -> None:
    answer = fit(footprint, holes(drill=1.2, **slot))
    assert answer.outcome is expected, answer.why


@pytest.mark.parametrize(("dressing", "expected"), [(0.0, U), (0.06, U), (0.065, C)])
def test_a_blade_too_thick_for_its_slot_is_dressed_by_no_more_than_the_board_allows(
    dressing: float, expected: Outcome
) -> None:
    """The corner lies 1.0 along and 0.4 across; the end's half round of 0.35 has its centre at 0.9: √0.17 - 0.35."""
    answer = fit(BLADES, holes(drill=0.7, slot_mm=2.5, slot_angle_deg=0.0), dressing_mm=dressing)
    assert answer.outcome is expected, answer.why


def test_the_play_in_a_slot_is_that_of_its_tightest_corner() -> None:
    """The corner lies 1.0 along and 0.4 across; the end's half round of 0.6 has its centre at 0.65: 0.6 - √0.2825."""
    answer = fit(BLADES, holes(drill=1.2, slot_mm=2.5, slot_angle_deg=0.0))
    assert answer.play_mm == pytest.approx(0.6 - 0.2825**0.5, abs=1e-6)


ROUND, FLAT = (1.0, None, None), (2.0, 0.8, 0.0)


@pytest.mark.parametrize(
    ("slot", "spot", "lead", "room"),
    [
        # a round hole of 1.2: what it is wider, less how far the lead is off
        ((1.2, None, None), (0.0, 0.0), ROUND, 0.1),
        ((1.2, None, None), (0.3, 0.0), ROUND, 0.1 - 0.3),
        ((1.2, None, None), (0.3, -0.4), ROUND, 0.1 - 0.5),
        # 1.2 by 3.2 along x: 1.0 either way is along its axis
        ((1.2, 3.2, 0.0), (0.8, 0.0), ROUND, 0.1),
        ((1.2, 3.2, 0.0), (-0.8, 0.04), ROUND, 0.06),
        ((1.2, 3.2, 0.0), (1.3, 0.0), ROUND, 0.1 - 0.3),
        ((1.2, 3.2, 0.0), (-1.3, 0.4), ROUND, 0.1 - 0.5),
        # along y, and on a slant of 3 to 4
        ((1.2, 3.2, 90.0), (0.04, -0.8), ROUND, 0.06),
        ((1.2, 3.2, 36.8698976), (0.4 - 0.03, 0.3 + 0.04), ROUND, 0.05),
        ((1.2, 3.2, 36.8698976), (-1.04, -0.78), ROUND, 0.1 - 0.3),
        # no longer than it is wide: a round hole
        ((1.2, 1.0, 0.0), (0.3, 0.0), ROUND, 0.1 - 0.3),
        # a blade's corners 1.0 along and 0.4 across; its half diagonal where its angle is not known
        ((1.2, 3.2, 0.0), (0.0, 0.1), FLAT, 0.6 - 0.5),
        ((1.2, 3.2, 90.0), (0.1, 0.0), FLAT, 0.6 - 1.1),
        ((1.2, 3.2, 0.0), (0.0, 0.0), (2.0, 0.8, None), 0.6 - 1.16**0.5),
        # a lead that is not measured takes nothing of it; without drill or angle of the slot nobody knows
        ((1.2, 3.2, 0.0), (0.0, 0.1), (None, None, None), 0.5),
        ((None, 3.2, 0.0), (0.0, 0.0), ROUND, None),
        ((1.2, 3.2, None), (0.0, 0.0), ROUND, None),
    ],
)
def test_the_room_round_a_lead_over_its_slot(
    slot: tuple[float | None, float | None, float | None],
    spot: tuple[float, float],
    lead: tuple[float | None, float | None, float | None],
    room: float | None,
) -> None:
    """Wherever both lie."""
    drill, long, angle = slot
    for x, y in ((0.0, 0.0), (7.0, -3.0)):
        hole = Hole("h", x, y, drill, slot_mm=long, slot_angle_deg=angle)
        found = room_round_lead(Pin("p", x + spot[0], y + spot[1], *lead), hole)
        assert found == (None if room is None else pytest.approx(room, abs=1e-8))


def test_a_blade_turns_with_its_part() -> None:
    """At 30° of its drawing and turned by 20° it lies along a slot at 50°: 0.6 - 0.4 beside it."""
    way = Placement({"0": "0"}, 20.0, (3.0, 1.0), 0.0, "0", 0.0)
    slot = HolePattern("p", (Hole("0", 3.0, 1.0, 1.2, slot_mm=3.2, slot_angle_deg=50.0),))
    found = along_slots(way, pins(((0.0, 0.0),), 2.0, 0.8, 30.0), slot)
    assert found is not None and found.play_mm == pytest.approx(0.2)


def test_round_leads_may_be_off_along_their_slots() -> None:
    """Pins 0.4 mm too far apart in all: in round holes of 1.2 they miss, in slots of 1.8 along x they do not."""
    wide: Spots = ((0, 0), (12.6, 0), (12.6, 5), (2, 9))
    assert fit(pins(wide), holes(drill=1.2)).outcome is F
    assert fit(pins(wide), holes(drill=1.2, slot_mm=1.9, slot_angle_deg=0.0)).outcome in (P, C)


def test_a_turned_part_turns_its_blades_and_a_slot_seen_from_below_is_mirrored() -> None:
    turned: Spots = tuple((-y, x) for x, y in HOOK)
    across = pins(turned, 2.0, 0.8, 90.0)
    assert fit(across, holes(drill=1.2, slot_mm=2.5, slot_angle_deg=0.0)).outcome is P
    slanted = pins(lead=2.0, width=0.8, angle=30.0)
    below = HolePattern(
        "p",
        tuple(replace(h, x_mm=-h.x_mm, slot_angle_deg=-30.0) for h in holes(drill=1.2, slot_mm=2.5).holes),
        View.SOLDER,
    )
    assert fit(slanted, below).outcome is P


# ---- the body and the lid -----------------------------------------------------------------------------------

WIRING = Wiring("w", (Element("A", "", Kind.COIL, "0", "1"), Element("A", "", Kind.MAKE, "2", "3")))
SQUARE: Spots = ((0, 0), (8, 0), (0, 8), (8, 7.5))
LONG: Spots = ((0, 0), (16, 0), (0, 5), (16, 4.5))


def part(spots: Spots = LONG, middle: tuple[float, float] | None = None, **stated: Any) -> Design:
    sheet: dict[str, Any] = {
        "coil_system": CoilSystem.MONOSTABLE,
        "coil_suppression": Suppression.NONE,
        "sealing": Sealing.RT_II,
        "body_length_mm": 20.0,
        "body_width_mm": 10.0,
        "body_height_mm": 14.0,
        "standoff_mm": 0.3,
        "pin_length_mm": 3.5,
    }
    drawn = replace(pins(spots), body_mm=middle)
    return Design(Relay("Ostrel", "X", **sheet | stated), drawn, WIRING)


def place(spots: Spots = LONG, keep_outs: tuple[KeepOut, ...] = (), **board: Any) -> Place:
    own = {"board_thickness_mm": 1.6, "lid_clearance_mm": 20.0} | board
    position = Position("K1", "p", driver=Driver(polarity="low side"), keep_outs=keep_outs)
    return Place(Board("B", **own), position, holes(spots), WIRING)


def outcome_of(check: str, part_: Design, there: Place, fitted: Design | None) -> Outcome | None:
    findings, _ = fit_findings(part_, there, fitted)
    found = [f.outcome for f in findings if f.check == check]
    return max(found, key=lambda o: o.gravity, default=None)


@pytest.mark.parametrize(
    ("spots", "ours", "theirs", "expected"),
    [
        (LONG, None, None, None),  # both bodies can only lie along their pins
        # over nearly square pins the body's middle tells: 4 mm left of the pins' on one, 4 mm above on the other
        (SQUARE, (8.0, 4.0), (8.0, 4.0), None),
        (SQUARE, (4.0, 8.0), (8.0, 4.0), C),
        (SQUARE, None, (8.0, 4.0), U),
        (SQUARE, (8.0, 4.0), None, U),
    ],
)
def test_a_body_turned_over_the_same_pins_reaches_where_the_fitted_one_did_not(
    spots: Spots, ours: tuple[float, float] | None, theirs: tuple[float, float] | None, expected: Outcome | None
) -> None:
    found = outcome_of("body", part(spots, ours), place(spots), part(spots, theirs))
    assert found is expected


def test_a_square_body_or_one_that_fits_crosswise_is_not_asked_how_it_lies() -> None:
    nearly = {"body_length_mm": 18.0, "body_width_mm": 17.0}
    assert outcome_of("body", part(SQUARE, **nearly), place(SQUARE), part(SQUARE, **nearly)) is None
    small = {"body_length_mm": 9.5, "body_width_mm": 8.0}
    assert outcome_of("body", part(SQUARE, **small), place(SQUARE), part(SQUARE)) is None

    assert outcome_of("body", part(SQUARE, **small | {"body_length_mm": 10.0}), place(SQUARE), part(SQUARE)) is None


def test_how_much_further_a_body_reaches_that_lies_across_is_said() -> None:
    """20 mm where 10 mm were: 5 mm on either side."""
    findings, _ = fit_findings(part(SQUARE, (4.0, 8.0)), place(SQUARE), part(SQUARE, (8.0, 4.0)))
    assert any("reaches 5 mm further on either side" in f.why for f in findings)


def test_without_a_fitted_part_the_room_round_the_position_is_asked_for() -> None:
    rib = KeepOut("rib", 60.0, 40.0, 10.0, 2.0)
    assert outcome_of("body", part(), place(), None) is U
    assert outcome_of("body", part(), place(keep_outs=(rib,)), None) is P


@pytest.mark.parametrize(
    ("lid", "fitted", "expected"),
    [(14.6, None, P), (14.5, None, C), (14.3, None, C), (14.2, None, F), (14.5, 14.0, P), (14.5, 13.9, C)],
)
def test_a_body_may_be_higher_than_its_sheet_prints(lid: float, fitted: float | None, expected: Outcome) -> None:
    """14.3 mm with its standoff, ±0.3 mm; a fitted part as high has shown that there is room."""
    original = None if fitted is None else part(body_height_mm=fitted)
    assert outcome_of("height", part(), place(lid_clearance_mm=lid), original) is expected


def test_a_slot_that_is_not_proved_says_what_to_state() -> None:
    answer: FitAnswer = fit(BLADES, holes(drill=1.2, slot_mm=2.5))
    assert answer.why.startswith("may go in along the slot of holes 0, 1, 2, 3: try it in the board, or state each")
    stated = fit(BLADES, holes(drill=1.2, slot_mm=2.5, slot_angle_deg=90.0))
    assert stated.why == "may go in along the slot of holes 0, 1, 2, 3: try it in the board"
