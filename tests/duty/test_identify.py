"""An unmarked relay on the bench."""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import OLD

from bom.duty.identify import Seen, identify

THREE = tuple(
    replace(OLD, part_number=f"R{ohms}", coil_ohms=ohms, operate_volts=volts, body_height_mm=height)
    for ohms, volts, height in ((240, 8.4, 14.0), (255, 9.0, 14.0), (280, 9.6, 15.5), (400, 9.0, 14.0))
)


def test_every_coil_within_tolerance_is_named_and_another_measurement_asked_for() -> None:
    found = identify(262, 28, THREE)
    assert found.ohms_at_20 == pytest.approx(254.0, abs=0.05)
    assert [c.relay.coil_ohms for c in found.candidates] == [255, 240, 280]
    assert found.measure_next == "the volts at which it clicks"


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


def test_one_candidate_needs_no_more_measuring() -> None:
    assert identify(400, 20, THREE).measure_next == ""


def test_what_was_assumed_is_said() -> None:
    bare = replace(OLD, coil_ref_temp_c=None, coil_ohms_tol_pct=None)
    assert len(identify(240, 20, [bare]).candidates[0].assumed) == 2
