"""The quick tests against the exact search: nothing that goes in is left out, and little else is let by."""

from __future__ import annotations

from math import cos, pi, sin
from random import Random

import pytest

from bom.boards.board import Hole, HolePattern
from bom.fit.placement import mirrored, place
from bom.fit.sieve import Sieve
from bom.fit.spacing import HoleSpacing, PinSpacing
from bom.relays.footprint import Footprint, Pin, View

GRID = [(x * 2.5, y * 2.5) for x in range(6) for y in range(5)]
Points = list[tuple[float, float]]


def moved(random: Random, points: Points, off: float) -> Points:
    angle = random.choice((0.0, pi / 2, random.uniform(-3, 3)))
    co, si = cos(angle), sin(angle)
    turned = [(x * co - y * si, x * si + y * co) for x, y in random.sample(points, len(points))]
    return [(x + random.uniform(-off, off), y + random.uniform(-off, off)) for x, y in turned]


def pins(random: Random, points: Points) -> tuple[Pin, ...]:
    """Round leads and flat ones; one lead in ten is not stated."""
    width = 0.9 if random.random() < 0.3 else None
    return tuple(
        Pin(str(n), x, y, random.choice((0.5, 0.8, 0.9)) if random.random() < 0.9 else None, width, n * 20.0)
        for n, (x, y) in enumerate(moved(random, points, random.choice((0.0, 0.05, 0.15, 0.2))))
    )


def holes(random: Random, points: Points) -> tuple[Hole, ...]:
    """Up to two holes more than the points; one drill in twenty is not stated."""
    more = [*points, *(p for p in random.sample(GRID, random.randint(0, 2)) if p not in points)]
    return tuple(
        Hole(str(n), x, y, random.choice((1.0, 1.2, 1.3)) if random.random() < 0.95 else None)
        for n, (x, y) in enumerate(moved(random, more, 0.1))
    )


@pytest.mark.parametrize(("seed", "dressing_mm"), [(1, 0.0), (2, 0.0), (3, 0.1), (4, 0.3)])
def test_nothing_that_goes_in_is_left_out(seed: int, dressing_mm: float) -> None:
    random = Random(seed)
    shapes = [random.sample(GRID, random.randint(1, 7)) for _ in range(12)]
    footprints = [pins(random, random.choice(shapes)) for _ in range(40)]
    patterns = [holes(random, random.choice(shapes)) for _ in range(20)]
    let_by, goes = 0, 0
    for pattern in patterns:
        spacing = HoleSpacing.of(pattern, dressing_mm)
        for footprint in footprints:
            may = spacing.may_take(PinSpacing.of(footprint))
            does = bool(place(footprint, pattern, dressing_mm) or place(mirrored(footprint), pattern, dressing_mm))
            assert may or not does
            let_by, goes = let_by + may, goes + does
    assert 0 < goes <= let_by < 500  # of 800 pairs


@pytest.mark.parametrize(("seed", "dressing_mm"), [(5, 0.0), (6, 0.0), (7, 0.1), (8, 0.3)])
def test_nothing_that_goes_in_falls_through_the_sieve(seed: int, dressing_mm: float) -> None:
    random = Random(seed)
    shapes = [random.sample(GRID, random.randint(1, 7)) for _ in range(12)]
    drawn = {str(n): pins(random, random.choice(shapes)) for n in range(40)}
    sieve = Sieve({name: Footprint(name, some) for name, some in drawn.items()})
    let_by, goes = 0, 0
    for _ in range(20):
        pattern = holes(random, random.choice(shapes))
        kept = sieve.what_may_go_in(HolePattern("", pattern), dressing_mm)
        does = {name for name, some in drawn.items() if place(some, pattern, dressing_mm)}
        assert does <= kept
        let_by, goes = let_by + len(kept), goes + len(does)
    assert 0 < goes <= let_by < 2 * goes + 40


@pytest.mark.parametrize("unknown", ["pins", "holes"])
def test_drawings_of_an_unknown_side_stay_where_the_other_side_goes_in(unknown: str) -> None:
    corners = [(0.0, 0.0), (10.0, 0.0), (0.0, 5.0), (2.5, 7.5)]
    some = tuple(Pin(str(n), x, y, 0.8) for n, (x, y) in enumerate(corners))
    holes_there = tuple(Hole(str(n), -x, y, 1.0) for n, (x, y) in enumerate(corners))
    side = {"pins": View.COMPONENT, "holes": View.COMPONENT}
    for views, may in ((side, set()), (side | {unknown: View.UNKNOWN}, {"F"})):
        sieve = Sieve({"F": Footprint("F", some, views["pins"])})
        assert sieve.what_may_go_in(HolePattern("", holes_there, views["holes"]), 0.0) == may
