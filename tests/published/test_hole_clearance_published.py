"""Holes and leads against published figures: IPC-2222 levels, rectangular diagonals, board makers' tolerances."""

from __future__ import annotations

from math import hypot

import pytest

from bom.boards.board import Hole, HolePattern
from bom.fit.check import fit
from bom.fit.clearance import LEVELS, Stacking, Tolerance, grids, hole_finding, tolerance_finding
from bom.fit.registration import place
from bom.relays.footprint import Footprint, Pin
from bom.values.finding import Finding, Outcome

PASS, CONDITION, FAIL, UNKNOWN = Outcome


def holes(*drills: float | None, pitch: float = 10.0) -> HolePattern:
    return HolePattern("p", tuple(Hole(f"h{n}", n * pitch, 0.0, d) for n, d in enumerate(drills)))


def pins(*leads: float | None, pitch: float = 10.0) -> Footprint:
    return Footprint("f", tuple(Pin(f"p{n}", n * pitch, 0.0, lead) for n, lead in enumerate(leads)))


def named(found: tuple[Finding, ...], check: str) -> Finding:
    return next(f for f in found if f.check == check)


@pytest.mark.parametrize(("level", "over"), [("A", 0.25), ("B", 0.20), ("C", 0.15)])
def test_ipc_2222_levels(level: str, over: float) -> None:
    """Source: IPC-2222, smallest finished hole = largest lead + 0.25 / 0.20 / 0.15 mm (two write-ups that agree)."""
    assert LEVELS[level] == over
    enough = fit(pins(1.0, 1.0), holes(1.0 + over, 1.0 + over), level=level)
    short = fit(pins(1.0, 1.0), holes(1.0 + over, 0.99 + over), level=level)
    assert named(enough.findings, "hole clearance").outcome is PASS
    assert named(short.findings, "hole clearance").outcome is CONDITION


@pytest.mark.parametrize(
    ("thick", "wide", "diagonal"),
    [(0.5, 0.9, 1.030), (0.4, 0.4, 0.566), (0.3, 1.0, 1.044), (0.25, 0.5, 0.559), (0.8, 0.8, 1.131), (1.0, 1.0, 1.414)],
)
def test_rectangular_leads_count_by_their_diagonal(thick: float, wide: float, diagonal: float) -> None:
    """Source of the rule: assemblers' notes (lead diameter = corner to corner); figures: sqrt(w^2 + t^2)."""
    assert Pin("1", 0, 0, thick, wide).lead_diameter_mm == pytest.approx(diagonal, abs=5e-4)


@pytest.mark.parametrize(
    ("drill", "thick", "wide", "room"),
    [(1.0, 0.25, 0.5, 0.44), (1.4, 0.3, 1.0, 0.356)],  # maker's sheet: 0.25 x 0.5 in 1.0; 0.3 x 1.0 in 1.4
)
def test_a_makers_own_hole_is_wider_than_level_a_asks(drill: float, thick: float, wide: float, room: float) -> None:
    """Source: a relay maker's recommended holes for its 0.25 x 0.5 and 0.3 x 1.0 mm leads (published sheets)."""
    flat = Footprint("f", (Pin("1", 0, 0, thick, wide), Pin("2", 10, 0, thick, wide)))
    pattern = holes(drill, drill)
    found = hole_finding(place(flat.pins, pattern.holes)[0], flat, pattern, "A")
    assert found.outcome is PASS and float(found.offered.split()[0]) == pytest.approx(room, abs=2e-3)


def test_worst_case_of_the_worked_example() -> None:
    """Hole 1.3, lead diagonal 1.03: 0.135 mm of room less 0.0375 and 0.05 leaves 0.0475 mm (board makers' limits)."""
    flat = Footprint("f", (Pin("1", 0, 0, 0.5, 0.9), Pin("2", 10, 0, 0.5, 0.9)))
    pattern = holes(1.3, 1.3)
    way = place(flat.pins, pattern.holes)[0]
    assert way.play_mm == pytest.approx(0.135, abs=5e-4)
    assert way.play_mm - Tolerance().allowance_mm == pytest.approx(0.0475, abs=5e-4)
    assert tolerance_finding(way, Tolerance()).outcome is PASS


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


@pytest.mark.parametrize(("turn", "word"), [(1, "inch grid in metric"), (-1, "metric grid in inch")])
def test_inch_and_metric_grids_are_told_apart(turn: int, word: str) -> None:
    """20 over 20.32 mm leaves 0.16 mm a pin; a maker's sheet lets 2.5 and 2.54 mm grids mix with wide holes."""
    inch, metric = [2.54 * n for n in (0, 2, 4, 8)], [2.5 * n for n in (0, 2, 4, 8)]
    ours, theirs = (inch, metric)[::turn]
    footprint = Footprint("f", tuple(Pin(str(n), x, 0, 0.8) for n, x in enumerate(ours)))
    pattern = HolePattern("p", tuple(Hole(str(n), x, 0, 1.4) for n, x in enumerate(theirs)))
    (way, *_) = place(footprint.pins, pattern.holes)
    assert word in grids(way, footprint, pattern)
    assert way.play_mm == pytest.approx(0.3 - 0.16, abs=1e-5)


def test_a_grid_that_agrees_is_not_mentioned() -> None:
    pattern = holes(1.3, 1.3, 1.3)
    assert grids(place(pins(1, 1, 1).pins, pattern.holes)[0], pins(1, 1, 1), pattern) == ""


@pytest.mark.parametrize(("span", "outcome"), [(10.16, CONDITION), (20.32, FAIL)])
def test_t13_names_grids_and_the_tightest_pin(span: float, outcome: Outcome) -> None:
    """Trap T13: hole 1.3, lead 0.8 square; 10.16 against 10.00 goes in narrowly, 20.32 against 20.00 does not."""
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
