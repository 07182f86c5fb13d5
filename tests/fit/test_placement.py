"""Pins in holes: inch pins in metric holes, flat leads, distinct placements and near misses."""

from __future__ import annotations

from hashlib import sha256
from math import hypot, sqrt

import pytest

import bom.fit.placement_cache as caching
from bom.boards.board import Hole
from bom.fit.placement import (
    Patience,
    PinsAndHoles,
    Placement,
    closest,
    corners,
    mirrored,
    off_centre,
    pairings,
    place,
    reach_of,
    room_round,
)
from bom.fit.placement_cache import holes_key, pins_key, work_out
from bom.relays.footprint import Pin


def row(pitch: float, steps: int) -> list[tuple[float, float]]:
    return [(pitch * n, 0.0) for n in range(steps + 1)]


def pins(points: list[tuple[float, float]], lead: float, width: float | None = None) -> tuple[Pin, ...]:
    return tuple(Pin(str(n), x, y, lead, width) for n, (x, y) in enumerate(points, 1))


def holes(points: list[tuple[float, float]], drill: float) -> tuple[Hole, ...]:
    return tuple(Hole(f"h{n}", x, y, drill) for n, (x, y) in enumerate(points, 1))


TEN = [(x, y) for x in (0.0, 4.0, 9.0, 13.0, 18.0) for y in (0.0, 12.0)]


@pytest.mark.parametrize(("long", "short", "steps", "play"), [(10.16, 10.00, 4, 0.005), (20.32, 20.00, 8, -0.075)])
def test_a_pitch_that_differs_is_shared_out_from_the_middle(long: float, short: float, steps: int, play: float) -> None:
    found = closest(pins(row(long / steps, steps), 0.8, 0.8), holes(row(short / steps, steps), 1.3))
    assert found and found.play_mm == pytest.approx(play, abs=7e-4)  # worked by hand with the diagonal rounded to 1.13


def test_a_flat_lead_takes_its_diagonal() -> None:
    room = room_round(Pin("1", 0, 0, 0.5, 0.9), Hole("a", 0, 0, 1.3))
    assert room == pytest.approx((1.3 - hypot(0.5, 0.9)) / 2)


def test_what_is_not_stated_gets_the_kindest_guess() -> None:
    assert room_round(Pin("1", 0, 0), Hole("a", 0, 0, 1.3)) == pytest.approx(0.65)
    assert room_round(Pin("1", 0, 0, 0.8), Hole("a", 0, 0)) == 1.0


def test_a_symmetric_pattern_has_every_distinct_placement() -> None:
    square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
    ways = place(pins(square, 0.8), holes(square, 1.3))
    assert len(ways) == 4
    assert {round(w.rotation_deg) for w in ways} == {0, 90, -90, 180}
    assert all(w.play_mm == pytest.approx(0.25, abs=1e-5) for w in ways)


def test_turned_and_shifted_is_told_back() -> None:
    turned = [(30.0 - y, 5.0 + x) for x, y in TEN]
    way = place(pins(TEN, 0.8), holes(turned, 1.3))[0]
    assert way.rotation_deg in (pytest.approx(90.0), pytest.approx(-90.0))
    assert way.play_mm == pytest.approx(0.25, abs=1e-5)


def test_a_mirror_image_never_goes_in() -> None:
    hook = [(0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (3.0, 9.0)]
    assert not place(pins(hook, 0.8), holes([(-x, y) for x, y in hook], 1.3))


def test_the_tightest_pin_is_named() -> None:
    moved = [*TEN[:-1], (18.0, 12.4)]
    found = closest(pins(TEN, 0.8), holes(moved, 1.3))
    assert found and found.deviation_mm < 0.4 and found.tightest in found.assignment


def test_each_pin_may_have_its_own_room() -> None:
    loose = (*holes(row(10.0, 1), 1.3)[:1], Hole("h2", 10.4, 0.0, 2.1))
    assert place(pins(row(10.0, 1), 1.1), loose)[0].play_mm == pytest.approx(0.1, abs=1e-5)


def test_more_pins_than_holes_never_go_in() -> None:
    assert place(pins(TEN, 0.8), holes(TEN[:8], 1.3)) == ()


def test_one_pin_goes_in_any_hole_as_it_is_drawn() -> None:
    ways = place(pins([(3.0, 4.0)], 0.8), holes(TEN, 1.3))
    assert len(ways) == 10 and {way.rotation_deg for way in ways} == {0.0}


@pytest.mark.parametrize(("aside", "ways"), [(0.29, [(0, 1, 2), (1, 0, 2)]), (0.31, [])])
def test_a_third_pin_is_tried_only_near_where_two_put_it(aside: float, ways: list[tuple[int, ...]]) -> None:
    """0.1 mm of room each: 0.2 mm over 10 mm leaves 0.02 rad, 0.1 mm at 5 mm; with the room of two pins 0.3 mm."""
    three = [Hole("a", 0, 0, 1.0), Hole("b", 10, 0, 1.0), Hole("c", 5, aside, 1.0)]
    assert (
        list(pairings(PinsAndHoles.of([Pin("1", 0, 0, 0.8), Pin("2", 10, 0, 0.8), Pin("3", 5, 0, 0.8)], three), 0.0))
        == ways
    )


@pytest.mark.parametrize(("wider", "is_near"), [(2.49, True), (2.51, False)])
def test_a_miss_of_more_than_the_limit_is_no_near_miss(wider: float, is_near: bool) -> None:
    """Each end of a span that is wider by 2.5 mm is 1.25 mm off; the room of 0.25 mm leaves a miss of 1 mm."""
    found = closest(pins(row(10.0, 1), 0.8), holes(row(10.0 + wider, 1), 1.3))
    assert (found is not None) is is_near
    assert (work_out(pins(row(10.0, 1), 0.8), holes(row(10.0 + wider, 1), 1.3), 0.0).near is not None) is is_near


@pytest.mark.parametrize(("wider", "ways"), [(0.49, 2), (0.51, 0)])
def test_what_misses_by_anything_does_not_go_in(wider: float, ways: int) -> None:
    """0.25 mm of room at either end."""
    assert len(place(pins(row(10.0, 1), 0.8), holes(row(10.0 + wider, 1), 1.3))) == ways


def test_a_flat_leads_corners_turn_with_it() -> None:
    """4 by 2 mm, whichever is stated first; a quarter turn brings (2, 1) to (-1, 2)."""
    for lead, width in ((4.0, 2.0), (2.0, 4.0)):
        assert corners(Pin("1", 9, 9, lead, width, 0.0)) == ((2, 1), (-2, 1), (-2, -1), (2, -1))
        turned = corners(Pin("1", 9, 9, lead, width, 90.0))
        assert [pytest.approx(c) for c in turned] == [(-1, 2), (-1, -2), (1, -2), (1, 2)]
        assert reach_of(Pin("1", 9, 9, lead, width, 0.0)) == pytest.approx(sqrt(5))
    assert corners(Pin("1", 0, 0, 4.0, 2.0)) == () and reach_of(Pin("1", 0, 0, 4.0)) == 0


@pytest.mark.parametrize(
    ("room", "reach", "off"), [(2.0, 3.0, 4.0), (0.2, 0.3, 0.4), (0.0, 3.0, 0.0), (-1.0, 3.0, -1.0), (0.2, 0.0, 0.2)]
)
def test_how_far_a_flat_lead_may_be_off_the_middle(room: float, reach: float, off: float) -> None:
    """A half diagonal of 3 in a hole of radius 5: 4, by Pythagoras; one too thick is too thick by what is missing."""
    assert off_centre(room, reach) == pytest.approx(off)


def test_a_flat_lead_of_known_angle_has_its_diagonals_play() -> None:
    (way,) = place([Pin("1", 3, 4, 0.9, 0.5, 30.0)], [Hole("a", 0, 0, 1.3)])
    assert way.play_mm == pytest.approx(0.65 - hypot(0.45, 0.25), abs=1e-5)


def test_seen_from_the_other_side_x_and_a_leads_angle_change_sign() -> None:
    assert mirrored([Pin("1", 3, 4, 0.9, 0.5, 30.0), Pin("2", -1, 2)]) == (
        Pin("1", -3, 4, 0.9, 0.5, -30.0),
        Pin("2", 1, 2),
    )


UNEQUAL = (Pin("thin", 3, 4, 0.6), Pin("thick", 13, 4, 1.2))


@pytest.mark.parametrize("drills", [(1.3, 1.9), (1.9, 1.3)])
def test_the_way_with_the_most_play_comes_first(drills: tuple[float, float]) -> None:
    """0.35 mm with each lead in its own hole, 0.05 mm with the thick one in the small hole."""
    two = [Hole("a", 100, 50, drills[0]), Hole("b", 110, 50, drills[1])]
    assert [way.play_mm for way in place(UNEQUAL, two)] == pytest.approx([0.35, 0.05], abs=1e-5)
    found = closest(UNEQUAL, two)
    assert found and found.play_mm == pytest.approx(0.35, abs=1e-5)


@pytest.mark.parametrize(
    ("second", "turn", "shift"),
    [((110.0, 50.0), 0.0, (97.0, 46.0)), ((100.0, 60.0), 90.0, (104.0, 47.0)), ((90.0, 50.0), 180.0, (103.0, 54.0))],
)
def test_the_shift_is_from_the_drawing_as_it_is_given(
    second: tuple[float, float], turn: float, shift: tuple[float, float]
) -> None:
    """(3, 4) turned to (3, 4), (-4, 3) or (-3, -4) goes to (100, 50)."""
    way = place(UNEQUAL, [Hole("a", 100, 50, 1.3), Hole("b", *second, 1.9)])[0]
    assert way.assignment == {"thin": "a", "thick": "b"}
    assert (way.rotation_deg, way.shift_mm) == (pytest.approx(turn), pytest.approx(shift, abs=1e-4))


def test_a_drawing_is_known_by_its_numbers() -> None:
    """What is stored is found again under the digest of positions and sizes; 0 and -0 are one number."""
    assert pins_key((Pin("1", 0, -0.0, 0.8),)) == sha256(b"[[0.0, 0.0, 0.8, None, None]]").hexdigest()[:32]
    assert holes_key((Hole("a", -0.0, 2, 1.3),)) == sha256(b"[[0.0, 2.0, 1.3]]").hexdigest()[:32]


@pytest.mark.parametrize(("drill", "least_play"), [(1.8, 0.3), (1.1, 0.0)])
def test_where_there_is_too_much_to_try_the_centred_ways_are_looked_for(
    drill: float, least_play: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With 0.5 mm of room no more than 0.2 mm off the middle, so 0.3 mm of play; with 0.15 mm anything that goes in."""
    asked: list[float] = []

    def spied(
        pins: tuple[Pin, ...], holes: tuple[Hole, ...], limit: float, patience: Patience
    ) -> tuple[Placement, ...]:
        asked.append(limit)
        return place(pins, holes, limit, patience)

    monkeypatch.setattr(caching, "place", spied)
    monkeypatch.setattr(caching, "Patience", lambda: Patience(1))
    assert not work_out(pins(row(5.0, 2), 0.8), holes(row(5.0, 2), drill), 0.0).whole
    assert asked == [0.0, pytest.approx(-least_play), 0.0, pytest.approx(-least_play)]


def test_patience_is_gone_with_the_first_step_too_many() -> None:
    patience = Patience(4)
    assert patience.allows(3) and patience.allows(1) and not patience.gone
    assert not patience.allows(1) and patience.gone
