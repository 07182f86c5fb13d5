"""An unmarked relay on the bench."""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import OLD

from bom.duty.bench_reading import Seen
from bom.duty.identify import identify
from bom.relays.footprint import Footprint, Pin
from bom.relays.relay import Design, Suppression

THREE = tuple(
    replace(OLD, part_number=f"R{ohms}", coil_ohms=ohms, operate_volts=volts, body_height_mm=height)
    for ohms, volts, height in ((240, 8.4, 14.0), (255, 9.0, 14.0), (280, 9.6, 15.5), (400, 9.0, 14.0))
)


def test_every_coil_within_tolerance_is_named_and_another_measurement_asked_for() -> None:
    found = identify(262, 28, THREE)
    assert found.ohms_at_20 == pytest.approx(254.0, abs=0.05)
    assert [c.relay.coil_ohms for c in found.candidates] == [255, 240, 280]
    assert found.measure_next == "the body's height, mm"
    assert [round(t.left, 2) for t in found.telling] == [1.67]


@pytest.mark.parametrize(
    ("seen", "left"),
    [
        (Seen(click_volts=9.2), {280.0, 255.0}),
        (Seen(height_mm=15.4), {280.0}),
        (Seen(print_text="r 24"), {240.0}),
        (Seen(pins=10), {240.0, 255.0, 280.0}),
    ],
)
def test_what_else_was_seen_narrows_it(seen: Seen, left: set[float]) -> None:
    assert {c.relay.coil_ohms for c in identify(262, 28, THREE, seen).candidates} == left


def test_two_readings_that_differ_tell_of_a_diode_and_the_higher_is_the_coil() -> None:
    parts = [replace(OLD, part_number=own.value, coil_suppression=own) for own in Suppression]
    found = identify(20, 20, parts, Seen(ohms_other_way=241))
    assert [c.relay.part_number for c in found.candidates] == ["diode"]
    assert {c.misses[0].what for c in found.near_misses} == {"coil both ways"}
    assert "diode" in {c.relay.part_number for c in identify(240, 20, parts, Seen(ohms_other_way=240)).candidates}


def test_a_resistor_beside_the_winding_is_read_with_it() -> None:
    part = replace(OLD, coil_suppression=Suppression.RESISTOR, suppression_ohms=680)
    assert [round(c.off, 3) for c in identify(177.4, 20, [part]).candidates] == [0.0]


def test_what_misses_in_one_thing_is_named_with_what_it_states() -> None:
    found = identify(262, 28, THREE, Seen(height_mm=15.4))
    assert [(c.relay.part_number, c.misses[0].what) for c in found.near_misses] == [
        ("R255", "height"),
        ("R240", "height"),
    ]
    assert found.near_misses[0].misses[0].stated == "14 mm"


@pytest.mark.parametrize(
    ("text", "fits"), [("tw2-?2s", True), ("TW2-I2S", True), ("ostrel", True), ("TW3", False), ("2SX", False)]
)
def test_worn_print_is_read_kindly(text: str, fits: bool) -> None:
    assert bool(identify(240, 20, [OLD], Seen(print_text=text)).candidates) is fits


@pytest.mark.parametrize(
    ("grid", "fits"),
    [
        (((0, 0), (0, 10), (12, 5)), True),
        (((12, 0), (12, 10), (0, 5.2)), True),
        (((0, 0), (0, 10), (13, 5)), False),
        (((0, 0), (0, 10)), False),
    ],
)
def test_a_pin_grid_is_known_turned_or_from_the_other_side(grid: tuple[tuple[float, float], ...], fits: bool) -> None:
    drawn = Footprint("f", (Pin("1", 0, 0), Pin("2", 0, 10), Pin("3", 12, 5)))
    found = identify(240, 20, [Design(OLD, drawn, None)], Seen(grid=grid))
    assert bool(found.candidates) is fits


def test_where_it_lets_go_is_at_least_the_release_volts() -> None:
    part = replace(OLD, release_volts=1.2)
    assert identify(240, 20, [part], Seen(let_go_volts=1.5)).candidates
    assert not identify(240, 20, [part], Seen(let_go_volts=0.9)).candidates


def test_one_candidate_needs_no_more_measuring() -> None:
    alone = identify(400, 20, THREE)
    assert (len(alone.candidates), alone.measure_next, alone.telling) == (1, "", ())


def test_what_was_assumed_is_said() -> None:
    bare = replace(OLD, coil_ref_temp_c=None, coil_ohms_tol_pct=None)
    assert len(identify(240, 20, [bare]).candidates[0].assumed) == 2


@pytest.mark.parametrize(
    ("seen", "left"),
    [
        (Seen(height_mm=15.4), {"R280"}),
        (Seen(print_text="r4"), {"R400"}),
        (Seen(height_mm=14, pins=3), {"R240", "R255", "R400"}),
    ],
)
def test_a_coil_that_tells_nothing_leaves_the_rest_to_tell(seen: Seen, left: set[str]) -> None:
    found = identify(None, 20, THREE, seen)
    assert {c.relay.part_number for c in found.candidates} == left
    assert found.ohms_at_20 is None and not any("coil" in t.ask or "clicks" in t.ask for t in found.telling)


def test_open_one_way_and_not_the_other_is_a_diode_beside_a_broken_winding() -> None:
    parts = [replace(OLD, part_number=own.value, coil_suppression=own) for own in Suppression]
    assert [c.relay.part_number for c in identify(None, 20, parts, Seen(pins=5, ohms_other_way=620)).candidates] == [
        "diode"
    ]


def test_what_fits_most_comes_first_then_the_nearest_coil() -> None:
    silent, tall = replace(OLD, part_number="A"), replace(OLD, part_number="B", coil_ohms=250, body_height_mm=14.0)
    found = identify(240, 20, [silent, tall], Seen(height_mm=14))
    assert [c.relay.part_number for c in found.candidates] == ["B", "A"]
    exact, near = replace(OLD, part_number="Z"), replace(OLD, part_number="A", coil_ohms=250)
    assert [c.relay.part_number for c in identify(240, 20, [near, exact]).candidates] == ["Z", "A"]
