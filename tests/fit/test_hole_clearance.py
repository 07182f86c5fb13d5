"""Holes against leads: diagonals of flat leads, board tolerances added up, and the two grids told apart."""

from __future__ import annotations

from math import hypot

import pytest

from bom.boards.board import Hole, HolePattern
from bom.fit.check import fit
from bom.fit.hole_clearance import Stacking, Tolerance, grids
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
