"""The best shift by hand: circles whose middles and radii are known, and the floor that follows from them."""

from __future__ import annotations

from itertools import permutations
from math import cos, pi, sin

import pytest

from bom.fit.plane import Point
from bom.fit.turn_and_shift import PointsAndSpots, Reach, reach_at, smallest_reach


def at_spots(spots: list[Point], rooms: list[float], likely: tuple[int, ...] = ()) -> Reach:
    """The best shift of points that all lie on the origin: the point nearest to all the spots."""
    return reach_at(PointsAndSpots([(0.0, 0.0)] * len(spots), spots, rooms), 0.0, likely)


ONE = ([(3.0, 4.0)], [0.2], (3.0, 4.0), -0.2, {0: 1.0})
# 10 apart with 1 and 3 of room: 3 too far from both, 1 + 3 from the first.
TWO = ([(0.0, 0.0), (6.0, 8.0)], [1.0, 3.0], (2.4, 3.2), 3.0, {0: 0.5, 1: 0.5})
# The second has 3 of room, and the first lies 1 (or just 2) from it with 1: the first alone decides.
LOOSE = ([(0.0, 0.0), (1.0, 0.0)], [1.0, 3.0], (0.0, 0.0), -1.0, {0: 1.0})
JUST = ([(0.0, 0.0), (2.0, 0.0)], [1.0, 3.0], (0.0, 0.0), -1.0, {0: 1.0})
# On a circle of 5 about the middle, 4 at either side of the axis: 2 x 0.6 x 0.3125 = 0.375.
ROUND = ([(3.0, 4.0), (-5.0, 0.0), (3.0, -4.0)], [0.0] * 3, (0.0, 0.0), 5.0, {0: 0.3125, 1: 0.375, 2: 0.3125})
# The same directions, each 4 and its own room away.
ROOMS = ([(3.0, 4.0), (-6.0, 0.0), (2.4, -3.2)], [1.0, 2.0, 0.0], (0.0, 0.0), 4.0, {0: 0.3125, 1: 0.375, 2: 0.3125})
# One has far more room than another is away: 0.1 and 0.2, 1.2, 0.7 of room.
UNEVEN = (
    [(0.18, 0.24), (-1.3, 0.0), (0.48, -0.64)],
    [0.2, 1.2, 0.7],
    (0.0, 0.0),
    0.1,
    {0: 0.3125, 1: 0.375, 2: 0.3125},
)
# 2 apart, with 1.5 and 1 of room: each lies in the other's, and the point between them has 0.25 to spare at both.
NEAR = ([(0.0, 0.0), (2.0, 0.0)], [1.5, 1.0], (1.25, 0.0), -0.25, {0: 0.5, 1: 0.5})
# The second has 3 of room and decides nothing; the third, 2 away with 2.5, draws the point 0.25 towards it.
DRAWN = ([(0.0, 0.0), (1.0, 0.0), (-2.0, 0.0)], [1.0, 3.0, 2.5], (-0.25, 0.0), -0.75, {0: 0.5, 2: 0.5})
# Each on its direction from the middle, 5 and its room away: 1/4 - 0.6 x 5/12 and 1/3 - 0.8 x 5/12 cancel.
CORNER = ([(10.0, 0.0), (-6.0, -8.0), (0.0, 5.0)], [5.0, 5.0, 0.0], (0.0, 0.0), 5.0, {0: 1 / 4, 1: 5 / 12, 2: 1 / 3})
# A blunt corner: the two ends decide, 8 apart, and the third lies within.
BLUNT = ([(-4.0, 0.0), (0.0, 1.0), (4.0, 0.0)], [0.0] * 3, (0.0, 0.0), 4.0, {0: 0.5, 2: 0.5})
LINE = ([(-4.0, -4.0), (1.0, 1.0), (4.0, 4.0)], [0.0] * 3, (0.0, 0.0), 32**0.5, {0: 0.5, 2: 0.5})
# A square of 6 by 8 and its middle: two corners across decide.
SQUARE = ([(0.0, 0.0), (6.0, 0.0), (6.0, 8.0), (3.0, 4.0)], [0.0] * 4, (3.0, 4.0), 5.0, {0: 0.5, 2: 0.5})
# Where the squares of the unknown distance cancel: 0.1348 / 0.672 from the first (0.32 - 0.6 z, 0.18 - 0.8 z).
Z = 0.1348 / 0.672
STRAIGHT = ([(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)], [0.0, 0.6, 0.8], (0.32 - 0.6 * Z, 0.18 - 0.8 * Z), Z, None)
# Every hole has room to spare, the third most of all: the point has 0.25 to spare at each, on directions of 3 to 4.
SPARE = (
    [(0.04, 0.03), (0.04, -0.03), (-0.25, 0.0)],
    [0.3, 0.3, 0.5],
    (0.0, 0.0),
    -0.25,
    {0: 5 / 18, 1: 5 / 18, 2: 4 / 9},
)
# The second has just the room that it is away from the first, and decides nothing between the others.
TOUCHING = ([(0.0, 0.0), (2.0, 0.0), (0.0, 4.0)], [1.0, 3.0, 1.0], (0.0, 2.0), 1.0, {0: 0.5, 2: 0.5})
# Three have 30 of room, the fourth none: it decides alone.
ALONE = ([(3.0, 4.0), (-5.0, 0.0), (3.0, -4.0), (1.0, 0.0)], [30.0, 30.0, 30.0, 0.0], (1.0, 0.0), 0.0, {3: 1.0})


ALL = [
    *(ONE, TWO, LOOSE, JUST, ROUND, ROOMS, UNEVEN, NEAR, DRAWN),
    *(CORNER, BLUNT, LINE, SQUARE, STRAIGHT, SPARE, TOUCHING, ALONE),
]


@pytest.mark.parametrize("scale", [1.0, 0.01])
@pytest.mark.parametrize("by", [(0.0, 0.0), (10.0, -20.0)])
@pytest.mark.parametrize(("spots", "rooms", "shift", "error", "weights"), ALL)
def test_the_point_nearest_to_all_and_who_decides_it(
    spots: list[Point],
    rooms: list[float],
    shift: Point,
    error: float,
    weights: dict[int, float] | None,
    by: Point,
    scale: float,
) -> None:
    """Whatever the order, the place or the size."""
    for order in permutations(range(len(spots))):
        moved = [((spots[i][0] + by[0]) * scale, (spots[i][1] + by[1]) * scale) for i in order]
        kept = [rooms[i] * scale for i in order]
        found, basis = smallest_reach(moved, kept)
        assert found == pytest.approx(((shift[0] + by[0]) * scale, (shift[1] + by[1]) * scale), abs=1e-9)
        assert at_spots(moved, kept).error == pytest.approx(error * scale, abs=1e-9)
        if weights is not None:
            assert {order[place]: weight for place, weight in basis} == pytest.approx(weights)
        assert sum(weight for _, weight in basis) == pytest.approx(1.0)


@pytest.mark.parametrize(("spots", "rooms", "shift", "error", "weights"), ALL)
def test_who_is_likely_to_decide_changes_no_answer(
    spots: list[Point], rooms: list[float], shift: Point, error: float, weights: dict[int, float] | None
) -> None:
    for many in range(4):
        for likely in permutations(range(len(spots)), many):
            found, basis = smallest_reach(spots, rooms, likely)
            assert found == pytest.approx(shift, abs=1e-9)
            assert at_spots(spots, rooms, likely).error == pytest.approx(error, abs=1e-9)
            decides = {place: weight for place, weight in basis if weight}
            assert weights is None or decides == pytest.approx(weights)


@pytest.mark.parametrize(
    ("points", "spots", "angle", "turned"),
    [
        ([(5.0, 0.0), (-5.0, 0.0)], [(6.0, 0.0), (-6.0, 0.0)], 0.0, 0.0),
        ([(0.0, 5.0), (0.0, -5.0)], [(0.0, 6.0), (0.0, -6.0)], 0.0, 0.0),
        ([(5.0, 0.0), (-5.0, 0.0)], [(0.0, 6.0), (0.0, -6.0)], pi / 2, pi / 2),
        ([(3.0, 4.0), (-3.0, -4.0)], [(-4.8, 3.6), (4.8, -3.6)], pi / 2, pi / 2),
    ],
)
def test_the_floor_of_a_span_that_is_too_short(
    points: list[Point], spots: list[Point], angle: float, turned: float
) -> None:
    """Ends 5 from the middle in holes 6 from it, with 0.25 of room: along the holes the ends reach 5 cos, so at least
    6 - 5 cos - 0.25 is missing."""
    reach = reach_at(PointsAndSpots(points, spots, [0.25, 0.25]), angle)
    assert (reach.error, reach.shift) == (pytest.approx(0.75), pytest.approx((0.0, 0.0), abs=1e-9))
    for away in (-1.0, -0.3, 0.0, 0.2, 2.0):
        assert reach.floor(turned + away) == pytest.approx(5.75 - 5 * cos(away))


def test_the_floor_of_one_pin_is_its_room_at_any_angle() -> None:
    reach = reach_at(PointsAndSpots([(3.0, 4.0)], [(7.0, 1.0)], [0.25]), 0.5)
    x, y = 3 * cos(0.5) - 4 * sin(0.5), 3 * sin(0.5) + 4 * cos(0.5)
    assert reach.shift == pytest.approx((7 - x, 1 - y))
    assert [reach.floor(angle) for angle in (-2.0, 0.5, 3.0)] == [-0.25] * 3
