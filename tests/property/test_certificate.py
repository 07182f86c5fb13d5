"""The certificate of the exact search: the floor found at one angle holds at every other."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from bom.fit.plane import off as apart
from bom.fit.turn_and_shift import CLOSE_MM, AngleRange, PointsAndSpots, at_any_angle, reach_at

coordinate = st.floats(-20, 20)
points = st.tuples(coordinate, coordinate)
angles = st.floats(-3.2, 3.2)
off = st.floats(-0.3, 0.3)


@st.composite
def pairs(draw: st.DrawFn) -> PointsAndSpots:
    placed = draw(st.lists(points, min_size=2, max_size=8))
    spots = [(x + draw(off), y + draw(off)) for x, y in placed]
    return PointsAndSpots(placed, spots, [draw(st.floats(0, 0.5)) for _ in placed])


@settings(max_examples=150, deadline=None)
@given(pairs(), angles, angles)
def test_no_angle_has_less_error_than_the_floor_says(given_pairs: PointsAndSpots, one: float, other: float) -> None:
    assert reach_at(given_pairs, other).error >= reach_at(given_pairs, one).floor(other) - 1e-9


@settings(max_examples=150, deadline=None)
@given(pairs(), angles)
def test_the_floor_touches_the_error_where_it_was_found(given_pairs: PointsAndSpots, angle: float) -> None:
    reach = reach_at(given_pairs, angle)
    assert abs(reach.floor(angle) - reach.error) < 1e-8


@settings(max_examples=150, deadline=None)
@given(pairs(), angles, off, off)
def test_no_shift_is_better_than_the_best_one(given_pairs: PointsAndSpots, angle: float, dx: float, dy: float) -> None:
    reach = reach_at(given_pairs, angle)
    assert _error(given_pairs, angle, (reach.shift[0] + dx, reach.shift[1] + dy)) >= reach.error - 1e-9


@settings(max_examples=60, deadline=None)
@given(pairs(), st.lists(st.floats(-0.4, 0.4), min_size=20, max_size=20))
def test_no_angle_tried_is_better_than_the_best_one(given_pairs: PointsAndSpots, others: list[float]) -> None:
    best = at_any_angle(given_pairs, (0.0, 0.4), float("inf"))
    assert best is not None
    assert min(reach_at(given_pairs, angle).error for angle in others) >= best.error - CLOSE_MM - 1e-9


@settings(max_examples=150, deadline=None)
@given(pairs(), angles, st.floats(1e-6, 0.8), st.lists(st.floats(0, 1), min_size=30, max_size=30))
def test_nothing_between_two_angles_is_below_their_lowest_point(
    given_pairs: PointsAndSpots, start: float, wide: float, shares: list[float]
) -> None:
    both = AngleRange(reach_at(given_pairs, start), reach_at(given_pairs, start + wide))
    lowest, angle = both.lowest()
    assert start <= angle <= start + wide
    assert lowest == max(both.left.floor(angle), both.right.floor(angle))
    for share in shares:
        between = start + share * wide
        assert max(both.left.floor(between), both.right.floor(between)) >= lowest - 1e-9


def _error(given_pairs: PointsAndSpots, angle: float, shift: tuple[float, float]) -> float:
    together = zip(given_pairs.points, given_pairs.spots, given_pairs.rooms, strict=True)
    return max(apart(point, spot, angle, shift) - room for point, spot, room in together)
