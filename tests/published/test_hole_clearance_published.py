"""Holes and leads against printed figures; what follows from them by arithmetic alone says so.

Editions are named where what was read shows them.
"""

from __future__ import annotations

import pytest

from bom.boards.board import Hole, HolePattern
from bom.fit.check import fit
from bom.fit.hole_clearance import LEVELS, Tolerance, grids, hole_finding, tolerance_finding
from bom.fit.placement import place
from bom.relays.footprint import Footprint, Pin
from bom.values.finding import Finding, Outcome

PASS, CONDITION = Outcome.PASS, Outcome.CONDITION


def holes(*drills: float | None, pitch: float = 10.0) -> HolePattern:
    return HolePattern("p", tuple(Hole(f"h{n}", n * pitch, 0.0, d) for n, d in enumerate(drills)))


def pins(*leads: float | None, pitch: float = 10.0) -> Footprint:
    return Footprint("f", tuple(Pin(f"p{n}", n * pitch, 0.0, lead) for n, lead in enumerate(leads)))


def named(found: tuple[Finding, ...], check: str) -> Finding:
    return next(f for f in found if f.check == check)


@pytest.mark.parametrize(("level", "over"), [("A", 0.25), ("B", 0.20), ("C", 0.15)])
def test_ipc_2222_levels(level: str, over: float) -> None:
    """IPC-2222, Sectional Design Standard for Rigid Organic Printed Boards, smallest finished plated hole over largest
    lead at producibility levels A, B, C; from memory."""
    assert LEVELS[level] == over
    enough = fit(pins(1.0, 1.0), holes(1.0 + over, 1.0 + over), level=level)
    short = fit(pins(1.0, 1.0), holes(1.0 + over, 0.99 + over), level=level)
    assert named(enough.findings, "hole clearance").outcome is PASS
    assert named(short.findings, "hole clearance").outcome is CONDITION


@pytest.mark.parametrize(
    ("drill", "thick", "wide", "room"),
    [(1.0, 0.25, 0.5, 0.44), (1.4, 0.3, 1.0, 0.356)],
)
def test_a_makers_own_hole_is_wider_than_level_a_asks(drill: float, thick: float, wide: float, room: float) -> None:
    """Panasonic, TX relays and ST relays, data sheets, recommended board patterns: 1.0 mm holes for leads of 0.25 x
    0.5 mm, 1.4 mm for 0.3 x 1.0 mm; the room is worked out from them."""
    flat = Footprint("f", (Pin("1", 0, 0, thick, wide), Pin("2", 10, 0, thick, wide)))
    pattern = holes(drill, drill)
    found = hole_finding(place(flat.pins, pattern.holes)[0], flat, pattern, "A")
    assert found.outcome is PASS and float(found.offered.split()[0]) == pytest.approx(room, abs=2e-3)


def test_a_board_makers_limits_at_their_worst() -> None:
    """PCB Baltic, board maker, page "Tolerances": finished plated hole +-0.075 mm, hole to hole +-0.05 mm. Worked out:
    hole 1.3, lead diagonal 1.03: 0.135 mm of room less 0.0375 and 0.05 leaves 0.0475 mm."""
    flat = Footprint("f", (Pin("1", 0, 0, 0.5, 0.9), Pin("2", 10, 0, 0.5, 0.9)))
    pattern = holes(1.3, 1.3)
    way = place(flat.pins, pattern.holes)[0]
    assert way.play_mm == pytest.approx(0.135, abs=5e-4)
    assert way.play_mm - Tolerance().allowance_mm == pytest.approx(0.0475, abs=5e-4)
    assert tolerance_finding(way, Tolerance()).outcome is PASS


@pytest.mark.parametrize(("turn", "word"), [(1, "inch grid in metric"), (-1, "metric grid in inch")])
def test_inch_and_metric_grids_are_told_apart(turn: int, word: str) -> None:
    """TE Connectivity (Schrack), power PCB relay RT2, data sheet: with the recommended holes grids from 2.5 to 2.54 mm
    may be used. Worked out: 20 over 20.32 mm leaves 0.16 mm a pin."""
    inch, metric = [2.54 * n for n in (0, 2, 4, 8)], [2.5 * n for n in (0, 2, 4, 8)]
    ours, theirs = (inch, metric)[::turn]
    footprint = Footprint("f", tuple(Pin(str(n), x, 0, 0.8) for n, x in enumerate(ours)))
    pattern = HolePattern("p", tuple(Hole(str(n), x, 0, 1.4) for n, x in enumerate(theirs)))
    (way, *_) = place(footprint.pins, pattern.holes)
    assert word in grids(way, footprint, pattern)
    assert way.play_mm == pytest.approx(0.3 - 0.16, abs=1e-5)
