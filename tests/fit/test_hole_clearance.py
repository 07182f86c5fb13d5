"""Holes against leads: diagonals of flat leads, board tolerances added up, and the two grids told apart."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

import pytest

from bom.boards.board import Hole, HolePattern
from bom.fit.check import fit
from bom.fit.hole_clearance import Stacking, Tolerance, grids, hole_finding, loose_finding, tolerance_finding
from bom.fit.placement import place
from bom.relays.footprint import Footprint, Pin
from bom.values.finding import Finding, Outcome

PASS, CONDITION, FAIL, UNKNOWN = Outcome


def holes(*drills: float | None, pitch: float = 10.0) -> HolePattern:
    return HolePattern("p", tuple(Hole(f"h{n}", n * pitch, 0.0, d) for n, d in enumerate(drills)))


def pins(*leads: float | None, pitch: float = 10.0) -> Footprint:
    return Footprint("f", tuple(Pin(f"p{n}", n * pitch, 0.0, lead) for n, lead in enumerate(leads)))


def named(found: tuple[Finding, ...], check: str) -> Finding:
    return next(f for f in found if f.check == check)


@pytest.mark.parametrize(
    ("thick", "wide", "diagonal"),
    [(0.5, 0.9, 1.030), (0.4, 0.4, 0.566), (0.3, 1.0, 1.044), (0.25, 0.5, 0.559), (0.8, 0.8, 1.131), (1.0, 1.0, 1.414)],
)
def test_rectangular_leads_count_by_their_diagonal(thick: float, wide: float, diagonal: float) -> None:
    """Corner to corner, by Pythagoras."""
    assert Pin("1", 0, 0, thick, wide).lead_diameter_mm == pytest.approx(diagonal, abs=5e-4)


def test_root_sum_square_takes_less_than_the_worst_case() -> None:
    assert Tolerance(Stacking.ROOT_SUM_SQUARE).allowance_mm == pytest.approx(hypot(0.0375, 0.05))
    assert Tolerance(Stacking.WORST_CASE).allowance_mm == pytest.approx(0.0875)


@pytest.mark.parametrize(
    ("play", "stacking", "outcome"),
    [(0.09, Stacking.WORST_CASE, PASS), (0.07, Stacking.WORST_CASE, CONDITION),
     (0.07, Stacking.ROOT_SUM_SQUARE, PASS), (0.06, Stacking.ROOT_SUM_SQUARE, CONDITION)],
)  # fmt: skip
def test_what_a_board_at_the_end_of_its_tolerance_leaves(play: float, stacking: Stacking, outcome: Outcome) -> None:
    answer = fit(pins(1.0, 1.0), holes(1.0 + 2 * play, 1.4), tolerance=Tolerance(stacking))
    found = named(answer.findings, "board tolerance")
    assert found.outcome is outcome and "pin p0" in found.why


def test_a_grid_that_agrees_is_not_mentioned() -> None:
    pattern = holes(1.3, 1.3, 1.3)
    assert grids(place(pins(1, 1, 1).pins, pattern.holes)[0], pins(1, 1, 1), pattern) == ""


@pytest.mark.parametrize(("span", "outcome"), [(10.16, CONDITION), (20.32, FAIL)])
def test_two_grids_and_the_tightest_pin_are_named(span: float, outcome: Outcome) -> None:
    """Hole 1.3, lead 0.8 square; 10.16 against 10.00 goes in narrowly, 20.32 against 20.00 does not."""
    steps = round(span / 2.54)
    footprint = Footprint("f", tuple(Pin(str(n), 2.54 * n, 0, 0.8, 0.8) for n in range(steps + 1)))
    pattern = HolePattern("p", tuple(Hole(f"h{n}", 2.5 * n, 0, 1.3) for n in range(steps + 1)))
    answer = fit(footprint, pattern)
    assert answer.outcome is outcome
    assert "inch grid in metric holes" in answer.why and "pin " in answer.why


def test_a_size_not_stated_never_passes_the_clearance() -> None:
    answer = fit(pins(None, 1.0), holes(1.3, 1.3), level="C", tolerance=Tolerance())
    assert named(answer.findings, "hole clearance").outcome is UNKNOWN
    assert answer.outcome is UNKNOWN


def clearance(drill: float, level: str, tolerance: Tolerance | None = None) -> Finding:
    """Of two leads of 1.0 mm, the second in a hole of 2.0 mm."""
    footprint, pattern = pins(1.0, 1.0), holes(drill, 2.0)
    return hole_finding(place(footprint.pins, pattern.holes)[0], footprint, pattern, level, tolerance)


def test_the_tightest_hole_and_what_it_has_to_spare_are_said() -> None:
    found = clearance(1.3, "A")
    assert (found.outcome, found.why) == (PASS, "hole h0 is 0.300 mm wider than the lead of pin p0")
    assert (found.offered, found.margin) == ("0.300 mm", pytest.approx(0.2))


@pytest.mark.parametrize(("wide", "long", "spare"), [(1.2, 2.5, "0.400 mm"), (1.5, 2.3, "0.300 mm")])
def test_a_slot_is_held_against_a_blade_that_lies_along_it(wide: float, long: float, spare: str) -> None:
    """A blade of 2.0 x 0.8: 0.4 across and 0.5 along, 0.7 and 0.3."""
    pattern = HolePattern("p", tuple(Hole(f"h{n}", n * 10.0, 0.0, wide, slot_mm=long) for n in range(2)))
    footprint = Footprint("f", tuple(Pin(f"p{n}", n * 10.0, 0.0, 2.0, 0.8) for n in range(2)))
    way = place(pins(1.0, 1.0).pins, holes(1.3, 1.3).holes)[0]
    assert hole_finding(way, footprint, pattern, "C").offered == spare


@pytest.mark.parametrize(
    ("wide", "long", "spare"),
    [(1.5, 2.7, None), (1.51, 2.0, "0.71 mm"), (1.0, 2.75, "0.75 mm")],
)
def test_a_slot_is_loose_where_it_is_widest(wide: float, long: float, spare: str | None) -> None:
    """A blade of 2.0 x 0.8, and 0.7 mm at most beside it or before it."""
    pattern = HolePattern("p", (Hole("h0", 0.0, 0.0, wide, slot_mm=long), Hole("h1", 10.0, 0.0, 1.3)))
    footprint = Footprint("f", (Pin("p0", 0.0, 0.0, 2.0, 0.8), Pin("p1", 10.0, 0.0, 1.0)))
    found = loose_finding(place(pins(1.0, 1.0).pins, holes(1.3, 1.3).holes)[0], footprint, pattern)
    assert (None if found is None else found.offered) == spare


def test_how_much_a_hole_lacks_is_said() -> None:
    found = clearance(1.2, "A")
    assert found.outcome is CONDITION and "0.200 mm wider" in found.why and "0.050 mm less than level A" in found.why
    assert found.margin == pytest.approx(-0.2)


@pytest.mark.parametrize(("drill", "outcome"), [(1.2, PASS), (1.1999, CONDITION)])
def test_a_hole_just_as_wide_as_asked_is_wide_enough(drill: float, outcome: Outcome) -> None:
    assert clearance(drill, "B").outcome is outcome


def test_the_smallest_hole_and_the_largest_lead_count_where_tolerances_are_asked_for() -> None:
    assert clearance(1.3, "C", Tolerance(drill_mm=0.08, lead_mm=0.02)).offered == "0.200 mm"


def test_a_leads_tolerance_counts_by_half() -> None:
    assert Tolerance(drill_mm=0.08, position_mm=0.05, lead_mm=0.02).allowance_mm == pytest.approx(0.10)


@pytest.mark.parametrize(("lead", "pin"), [((None, 1.0), "pin p0"), ((None, None), "pins p0, p1")])
def test_what_is_to_be_measured_is_named(lead: tuple[float | None, ...], pin: str) -> None:
    found = named(fit(pins(*lead), holes(1.3, 1.3), level="C").findings, "hole clearance")
    assert found.why == f"measure lead and hole of {pin}"


def test_what_tolerances_leave_or_lack_is_said() -> None:
    loose, tight = (fit(pins(1.0, 1.0), holes(d, d), tolerance=Tolerance()) for d in (1.3, 1.14))
    assert "keeps 0.0625 mm after the board's tolerances" in named(loose.findings, "board tolerance").why
    assert "is 0.0175 mm too tight at pin" in named(tight.findings, "board tolerance").why


@pytest.mark.parametrize(("play", "outcome"), [(0.0875, PASS), (0.0874, CONDITION)])
def test_play_just_as_large_as_the_tolerances_is_enough(play: float, outcome: Outcome) -> None:
    way = replace(place(pins(1.0, 1.0).pins, holes(1.4, 1.4).holes)[0], play_mm=play)
    assert tolerance_finding(way, Tolerance()).outcome is outcome


def scaled(times: float, off: float = 0.0) -> str:
    """Four pins in a row, so many times as far apart as their holes, the inner ones off against the outer."""
    spots = [-15.0, -5.0, 5.0, 15.0]
    wide = [x * times + sign * off for x, sign in zip(spots, (1, -1, -1, 1), strict=True)]
    footprint = Footprint("f", tuple(Pin(str(n), x + 3, -7, 0.8) for n, x in enumerate(wide)))
    pattern = HolePattern("p", tuple(Hole(str(n), 40, x, 2.4) for n, x in enumerate(spots)))
    (way, *_) = place(footprint.pins, pattern.holes)
    return grids(way, footprint, pattern)


@pytest.mark.parametrize(("times", "known"), [(1.007, False), (1.009, True), (1.023, True), (1.025, False)])
def test_a_pattern_about_a_sixtieth_larger_or_smaller_is_of_the_other_grid(times: float, known: bool) -> None:
    assert scaled(times) == ("an inch grid in metric holes (2.54 against 2.50)" if known else "")
    assert scaled(1 / times) == ("a metric grid in inch holes (2.50 against 2.54)" if known else "")


@pytest.mark.parametrize(("off", "known"), [(0.098, True), (0.108, False)])
def test_the_grid_is_blamed_only_where_it_explains_three_quarters_of_what_the_pins_are_off(
    off: float, known: bool
) -> None:
    """By squares: the row's scaling takes away 0.128 mm2 and leaves four times the square of the rest."""
    assert bool(scaled(1.016, off)) is known
