"""Drawings that are awkward by nature: few pins, pins in a line, rings, leads thicker than any hole."""

from __future__ import annotations

from math import cos, pi, sin

import pytest

from bom.boards.board import Hole, HolePattern
from bom.fit.check import fit
from bom.relays.footprint import Footprint, Pin
from bom.values.finding import Outcome

Points = list[tuple[float, float]]


def pins(points: Points, lead: float = 0.8) -> Footprint:
    return Footprint("pins", tuple(Pin(str(n), x, y, lead) for n, (x, y) in enumerate(points, 1)))


def holes(points: Points, drill: float | None = 1.1) -> HolePattern:
    return HolePattern("holes", tuple(Hole(f"h{n}", x, y, drill) for n, (x, y) in enumerate(points, 1)))


def grid(columns: int, rows: int, pitch: float) -> Points:
    return [(column * pitch, row * pitch) for column in range(columns) for row in range(rows)]


def ring(count: int, radius: float = 8.0) -> Points:
    return [(radius * cos(2 * pi * n / count), radius * sin(2 * pi * n / count)) for n in range(count)]


@pytest.mark.parametrize(
    ("footprint", "pattern", "outcome", "play"),
    [
        (pins([(3, 4)]), holes([(0, 0)]), Outcome.PASS, 0.15),
        (pins([(3, 4)]), holes(grid(8, 5, 2.54)), Outcome.PASS, 0.15),
        (pins([(3, 4)], 1.2), holes([(0, 0)]), Outcome.FAIL, -0.05),
        (pins([(0, 0), (5, 0)]), holes([(0, 0), (0, 5.1)]), Outcome.PASS, 0.10),
        (pins([(0, 0), (5, 0)]), holes([(0, 0), (0, 5.5)]), Outcome.FAIL, -0.10),
        (pins(grid(5, 1, 2.54)), holes(grid(1, 5, 2.54)), Outcome.PASS, 0.15),
        (pins(grid(5, 1, 2.54)), holes(grid(1, 5, 2.50)), Outcome.PASS, 0.07),  # 4 x 0.04 shared by both ends
        (pins(grid(20, 1, 2.54)), holes(grid(1, 40, 2.54)), Outcome.PASS, 0.15),
        (pins(ring(8)), holes(ring(8)), Outcome.PASS, 0.15),
        (pins(grid(8, 5, 2.54)), holes(grid(8, 5, 2.54)), Outcome.PASS, 0.15),
        (pins([(1e9, 0), (1e9 + 5, 0), (1e9, 3)]), holes([(0, 0), (5, 0), (0, 3)]), Outcome.PASS, 0.15),
    ],
)
def test_the_play_is_what_a_ruler_says(
    footprint: Footprint, pattern: HolePattern, outcome: Outcome, play: float
) -> None:
    answer = fit(footprint, pattern)
    assert answer.outcome is outcome
    assert answer.play_mm == pytest.approx(play, abs=2e-5)


def test_a_ring_with_one_pin_aside_goes_in_one_way_only() -> None:
    aside = [*ring(8)[:7], (8 * cos(-0.7), 8 * sin(-0.7))]
    answer = fit(pins(aside), holes(aside))
    assert answer.assignment == {str(n): f"h{n}" for n in range(1, 9)} and not answer.mirrored_fits


def test_a_lead_thicker_than_every_hole_is_named() -> None:
    footprint = Footprint("p", (Pin("1", 0, 0, 0.8), Pin("2", 5, 0, 80.0)))
    answer = fit(footprint, holes([(0, 0), (5, 0)]))
    assert answer.outcome is Outcome.FAIL
    assert answer.why == "the lead of pin 2 is 80 mm across: no hole is wider than 1.1 mm"


def test_scattered_misses_are_not_blamed_on_the_grid() -> None:
    off = [(0.5, 0), (-0.4, 0.3), (0.1, -0.5), (-0.3, 0.4), (0.4, -0.4), (-0.5, 0.1)]
    spots = [(x * 1.016 + dx, y * 1.016 + dy) for (x, y), (dx, dy) in zip(grid(3, 2, 5), off, strict=True)]
    assert "grid" not in fit(pins(spots), holes(grid(3, 2, 5))).why
