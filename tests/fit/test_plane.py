"""Points, turns and distances in the plane, x to the right and y down, by hand."""

from __future__ import annotations

from math import asin, pi, sqrt

import pytest

from bom.boards.board import Hole
from bom.fit.plane import (
    about_the_middle,
    centres,
    direction,
    distances,
    half_turn,
    middle,
    minus,
    off,
    plus,
    turned,
)
from bom.fit.turn_and_shift import swing


def test_points_are_added_and_taken_away() -> None:
    assert (plus((1, 2), (10, 20)), minus((1, 2), (10, 20))) == ((11, 22), (-9, -18))


def test_a_positive_turn_is_clockwise_as_seen() -> None:
    """From pointing right to pointing down."""
    assert turned((3.0, 0.0), pi / 2) == pytest.approx((0.0, 3.0))
    assert turned((1.0, 2.0), pi / 6) == pytest.approx((sqrt(3) / 2 - 1, 0.5 + sqrt(3)))


def test_a_direction_has_the_length_one() -> None:
    assert direction((3.0, -4.0)) == pytest.approx((0.6, -0.8))
    assert direction((0.0, 0.0)) == (0.0, 0.0)


def test_how_far_a_point_is_off_its_spot_once_it_is_turned_and_shifted() -> None:
    """(2, 1) turned to (-1, 2), shifted to (9, 22), is 3 and 4 away from (12, 18)."""
    assert off((2.0, 1.0), (12.0, 18.0), pi / 2, (10.0, 20.0)) == pytest.approx(5.0)


def test_the_middle_is_that_of_the_box_round_the_points() -> None:
    points = [(1.0, 2.0), (5.0, 3.0), (2.0, 10.0)]
    assert middle(points) == (3.0, 6.0) and middle([]) == (0.0, 0.0)
    assert about_the_middle(points) == ((-2.0, -4.0), (2.0, -3.0), (-1.0, 4.0))


def test_distances_are_from_each_to_each() -> None:
    assert distances([(0.0, 1.0), (3.0, 5.0), (3.0, 1.0)]) == ((0, 5, 3), (5, 0, 4), (3, 4, 0))


def test_the_centres_of_holes_are_where_they_are() -> None:
    assert centres([Hole("a", 1, 2), Hole("b", 3, 4)]) == ((1, 2), (3, 4))


@pytest.mark.parametrize(
    ("angle", "same"), [(0, 0), (180, 180), (-180, 180), (181, -179), (-179.5, -179.5), (540, 180), (725, 5)]
)
def test_an_angle_is_brought_within_a_half_turn(angle: float, same: float) -> None:
    assert half_turn(angle) == same


def test_two_pins_in_two_holes_leave_angles_about_the_one_between_them() -> None:
    """Ends that miss by 1 mm together, 10 mm apart, leave an arc sine of a tenth to either side of a quarter turn."""
    angle, half = swing(((0, 0), (10, 0)), ((5, 5), (5, 15)), 1.0)
    assert (angle, half) == pytest.approx((pi / 2, asin(0.1)))
    assert swing(((0, 0), (10, 0)), ((0, 0), (9, 0)), 10.0)[1] == pi
    assert swing(((0, 0), (8, 0)), ((0, 0), (10, 0)), -1.0)[1] == pytest.approx(0.0, abs=1e-8)
