"""Exactness: against every permutation, against a general optimiser, and corner by corner for flat leads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import permutations
from math import cos, hypot, pi, radians, sin
from random import Random

import pytest
from scipy.optimize import differential_evolution

from bom.boards.board import Hole
from bom.fit.placement import closest, corners, place, room_round
from bom.relays.footprint import Pin

EXACT_MM = 1e-5


def scattered(seed: int, count: int, off: float) -> tuple[list[Pin], list[Hole]]:
    """Pins on a coarse grid, and holes at the same places moved at random, turned and in another order."""
    random = Random(seed)
    grid = [(x * 5.0, y * 7.5) for x in range(4) for y in range(3)]
    points = random.sample(grid, count)
    angle = random.uniform(-pi, pi)
    holes = []
    for x, y in random.sample(points, count):
        x, y = x + random.uniform(-off, off), y + random.uniform(-off, off)
        turned = (x * cos(angle) - y * sin(angle) + 3, x * sin(angle) + y * cos(angle) - 8)
        holes.append(Hole(f"h{len(holes)}", *turned, 1.3 + random.choice((0.0, 0.2, 0.6))))
    leads = [random.choice((0.6, 0.8, 1.0)) for _ in points]
    return [Pin(f"p{n}", x, y, lead) for n, ((x, y), lead) in enumerate(zip(points, leads, strict=True))], holes


@pytest.mark.parametrize("count", [2, 3, 4, 5, 6, 7])
def test_no_permutation_of_the_holes_does_better(count: int) -> None:
    pins, holes = scattered(count, count, 0.25)
    found = closest(pins, holes, 2.0)
    assert found
    rivals = [way for way in permutations(holes) if _bound(pins, way) > found.play_mm + EXACT_MM]
    for way in rivals:
        assert _optimised(pins, way, 0.0, pi, (0.0, 0.0), 40.0) <= found.play_mm + EXACT_MM


def _bound(pins: Sequence[Pin], holes: Sequence[Hole]) -> float:
    """No position has more play than half of what two pins' distance leaves (triangle inequality)."""
    pairs = [(i, k) for i in range(len(pins)) for k in range(i)]
    room = [room_round(p, h) for p, h in zip(pins, holes, strict=True)]
    return min((room[i] + room[k] - abs(_apart(pins[i], pins[k]) - _apart(holes[i], holes[k]))) / 2 for i, k in pairs)


def _optimised(
    pins: Sequence[Pin], holes: Sequence[Hole], turn: float, either_way: float, at: tuple[float, float], reach: float
) -> float:
    """The most play that a general optimiser finds round this position."""
    (x, y), span = at, reach
    around = [(turn - either_way, turn + either_way), (x - span, x + span), (y - span, y + span)]
    found = differential_evolution(lambda v: -play(pins, holes, *v), around, seed=1, tol=1e-10, maxiter=400, popsize=8)
    return -float(found.fun)


def _apart(a: Pin | Hole, b: Pin | Hole) -> float:
    return hypot(a.x_mm - b.x_mm, a.y_mm - b.y_mm)


def play(pins: Sequence[Pin], holes: Sequence[Hole], angle: float, x: float, y: float) -> float:
    """Straight from the definition: the least room round any lead, flat ones by their corners."""
    co, si = cos(angle), sin(angle)
    left = []
    for pin, hole in zip(pins, holes, strict=True):
        lead = 0.0 if corners(pin) else (pin.lead_diameter_mm or 0.0) / 2
        for cx, cy in corners(pin) or ((0.0, 0.0),):
            px, py = pin.x_mm + cx, pin.y_mm + cy
            off = hypot(px * co - py * si + x - hole.x_mm, px * si + py * co + y - hole.y_mm)
            left.append((hole.drill_mm or 0.0) / 2 - lead - off)
    return min(left)


@pytest.mark.parametrize("seed", range(6))
def test_a_general_optimiser_finds_the_same(seed: int) -> None:
    pins, holes = scattered(seed, 4 + seed % 3, 0.2)
    if seed % 2:
        pins = [Pin(p.name, p.x_mm, p.y_mm, 0.3, 1.0, 30.0 * n) for n, p in enumerate(pins)]
    found = closest(pins, holes, 2.0)
    assert found
    named = {h.name: h for h in holes}
    order = [named[found.assignment[p.name]] for p in pins]
    turn = radians(found.rotation_deg)
    other = _optimised(pins, order, turn, 0.3, found.shift_mm, 3.0)
    assert play(pins, order, turn, *found.shift_mm) == pytest.approx(found.play_mm, abs=EXACT_MM)
    assert found.play_mm - 2e-3 <= other <= found.play_mm + EXACT_MM


def test_a_flat_lead_off_the_middle_goes_in_where_its_diagonal_would_not() -> None:
    """0.3 x 1.0 mm: the diagonal 1.044 leaves 0.178 mm; 0.25 mm across its thin side the corners are still inside."""
    across = [Pin("1", 0, 0, 0.3, 1.0, 90.0), Pin("2", 10.5, 0, 0.3, 1.0, 90.0)]
    holes = [Hole("a", 0, 0, 1.4), Hole("b", 10, 0, 1.4)]
    assert place([replace(pin, lead_angle_deg=None) for pin in across], holes) == ()
    (way, *_) = place(across, holes)
    assert way.play_mm == pytest.approx(0.7 - hypot(0.25 + 0.15, 0.5), abs=EXACT_MM)


def test_a_flat_lead_off_the_middle_along_its_long_side_does_not() -> None:
    along = [Pin("1", 0, 0, 0.3, 1.0, 0.0), Pin("2", 10.5, 0, 0.3, 1.0, 0.0)]
    assert place(along, [Hole("a", 0, 0, 1.4), Hole("b", 10, 0, 1.4)]) == ()


@pytest.mark.parametrize("seed", range(8))
def test_the_diagonal_is_the_safe_bound(seed: int) -> None:
    pins, holes = scattered(seed, 5, 0.15)
    flat = [Pin(p.name, p.x_mm, p.y_mm, 0.4, 0.9, 25.0 * n) for n, p in enumerate(pins)]
    exact = closest(flat, holes, 2.0)
    safe = closest([replace(pin, lead_angle_deg=None) for pin in flat], holes, 2.0)
    assert exact and safe and exact.play_mm >= safe.play_mm - EXACT_MM


def test_a_flat_lead_centred_is_its_diagonal() -> None:
    pins = [Pin("1", 0, 0, 0.5, 0.9, 10.0), Pin("2", 10, 0, 0.5, 0.9, 80.0)]
    (way, *_) = place(pins, [Hole("a", 5, 0, 1.3), Hole("b", 5, 10, 1.3)])
    assert way.play_mm == pytest.approx((1.3 - hypot(0.5, 0.9)) / 2, abs=EXACT_MM)


def test_turning_a_part_over_turns_its_flat_leads_over() -> None:
    holes = [Hole("a", 0, 0, 1.2), Hole("b", 9, 0, 1.4), Hole("c", 3, 6, 1.3)]
    pins = [Pin("1", 0, 0, 0.3, 1.0, 20.0), Pin("2", 9.1, 0, 0.3, 1.0, -35.0), Pin("3", 3, 6.1, 0.3, 1.0, 70.0)]
    turned = [Hole(h.name, -h.x_mm, h.y_mm, h.drill_mm) for h in holes]
    over = [Pin(p.name, -p.x_mm, p.y_mm, 0.3, 1.0, -(p.lead_angle_deg or 0)) for p in pins]
    plain, other = (closest(p, h) for p, h in ((pins, holes), (over, turned)))
    assert plain and other and plain.play_mm == pytest.approx(other.play_mm, abs=EXACT_MM)


def test_a_symmetric_part_gives_each_of_its_turns_once() -> None:
    square = [(5.0, 5.0), (-5.0, 5.0), (-5.0, -5.0), (5.0, -5.0)]
    ways = place([Pin(str(n), x, y, 1.0) for n, (x, y) in enumerate(square)],
                 [Hole(str(n), x, y, 1.3) for n, (x, y) in enumerate(square)])  # fmt: skip
    assert len({tuple(sorted(w.assignment.items())) for w in ways}) == len(ways) == 4
