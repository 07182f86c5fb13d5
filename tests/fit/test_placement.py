"""Pins in holes: inch pins in metric holes, flat leads, distinct placements and near misses."""

from __future__ import annotations

from math import hypot

import pytest

from bom.boards.board import Hole
from bom.fit.pairing import room_round
from bom.fit.placement import closest, place
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


def test_one_pin_goes_in_any_hole() -> None:
    assert len(place(pins([(3.0, 4.0)], 0.8), holes(TEN, 1.3))) == 10


@pytest.mark.parametrize(("wider", "is_near"), [(2.49, True), (2.51, False)])
def test_a_miss_of_more_than_the_limit_is_no_near_miss(wider: float, is_near: bool) -> None:
    """Each end of a span that is wider by 2.5 mm is 1.25 mm off; the room of 0.25 mm leaves a miss of 1 mm."""
    found = closest(pins(row(10.0, 1), 0.8), holes(row(10.0 + wider, 1), 1.3), 1.0)
    assert (found is not None) is is_near
