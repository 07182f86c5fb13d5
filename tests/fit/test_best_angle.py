"""The best angle by hand: floors whose lowest points are known, and spans that turn."""

from __future__ import annotations

from math import asin, cos, pi, sin, sqrt

import pytest

from bom.fit.turn_and_shift import CLOSE_MM, AngleRange, PointsAndSpots, Reach, at_any_angle


def floor(angle: float, a: float = 0.0, b: float = 0.0, c: float = 0.0) -> Reach:
    """Found at this angle, with the floor a cos + b sin + c."""
    return Reach(angle, 0.0, (0.0, 0.0), a, b, c)


@pytest.mark.parametrize(
    ("left", "right", "error", "angle"),
    [
        # Both lowest at one of the ends, inside, and only outside.
        (floor(0.1, b=1.0), floor(0.5, b=1.0), sin(0.1), 0.1),
        (floor(0.1, b=-1.0), floor(0.5, b=-1.0), -sin(0.5), 0.5),
        (floor(-0.4, a=-1.0, c=3.0), floor(0.5, a=-1.0, c=3.0), 2.0, 0.0),
        (floor(0.1, a=-1.0, c=3.0), floor(0.5, a=-1.0, c=3.0), 3 - cos(0.1), 0.1),
        # The higher floor is lowest where it stands alone: the left one at 0, the right one at a quarter turn.
        (floor(-0.4, a=-1.0, c=3.0), floor(0.5, a=-1.0, c=1.0), 2.0, 0.0),
        (floor(1.0, c=-9.0), floor(2.0, b=-1.0), -1.0, pi / 2),
        *[(floor(at - 0.2, a=-cos(at), b=-sin(at)), floor(at + 0.1, c=-9.0), -1.0, at) for at in (0.3, 2.0, -2.5)],
        *[(floor(at - 0.2, c=-9.0), floor(at + 0.1, a=-cos(at), b=-sin(at)), -1.0, at) for at in (0.3, 2.0, -2.5)],
        # They cross where the one goes up and the other down: sin = 0, and sin + 0.1 = -sin - 0.1.
        (floor(-0.4, b=1.0), floor(0.5, b=-1.0), 0.0, 0.0),
        (floor(-0.4, b=1.0, c=0.1), floor(0.5, b=-1.0, c=-0.1), 0.0, -asin(0.1)),
        (floor(-0.4, b=-1.0, c=0.1), floor(0.5, b=1.0, c=-0.1), 0.0, asin(0.1)),
        # cos = sin at an eighth of a turn, beyond a half turn from where the angle is counted too.
        (floor(0.2, b=1.0), floor(1.2, a=1.0), sqrt(0.5), pi / 4),
        (floor(0.2 + 2 * pi, b=1.0), floor(1.2 + 2 * pi, a=1.0), sqrt(0.5), pi / 4 + 2 * pi),
        (floor(0.2 - 2 * pi, a=1.0), floor(1.2 - 2 * pi, b=1.0), sqrt(0.5), pi / 4 - 2 * pi),
        # One is higher by more than they ever differ: nothing crosses.
        (floor(0.2, b=1.0, c=5.0), floor(1.2, a=1.0), 5 + sin(0.2), 0.2),
    ],
)
def test_the_lowest_point_of_the_higher_floor(left: Reach, right: Reach, error: float, angle: float) -> None:
    assert AngleRange(left, right).lowest() == (pytest.approx(error), pytest.approx(angle))


# Pins 5 from the middle; holes 6 from it, turned by half a radian: 1 too far once they are turned so too.
TURNED = PointsAndSpots(
    [(5.0, 0.0), (-5.0, 0.0)], [(6 * cos(0.5), 6 * sin(0.5)), (-6 * cos(0.5), -6 * sin(0.5))], [0.25, 0.25]
)


def missing(angle: float) -> float:
    """Between an end and its hole, by the law of cosines, less the room."""
    return sqrt(25 + 36 - 60 * cos(angle - 0.5)) - 0.25


@pytest.mark.parametrize(
    ("worth", "angle"),
    [
        ((0.5, 0.4), 0.5),
        ((0.3, 0.4), 0.5),
        ((0.8, 0.4), 0.5),
        ((0.5, pi), 0.5),
        ((0.5, 0.0), 0.5),
        ((0.2, 0.1), 0.3),  # the nearest of those that are worth trying
        ((0.9, 0.1), 0.8),
        ((0.2, 0.0), 0.2),
        ((-1.0, 0.8), -0.2),
    ],
)
def test_the_best_of_the_angles_worth_trying(worth: tuple[float, float], angle: float) -> None:
    found = at_any_angle(TURNED, worth, float("inf"))
    assert found and found.error == pytest.approx(missing(angle), abs=CLOSE_MM)
    assert found.angle == pytest.approx(angle, abs=2e-3)


@pytest.mark.parametrize(("limit", "is_found"), [(0.7499, False), (0.7501, True), (0.0, False)])
def test_an_error_above_the_limit_is_no_answer(limit: float, is_found: bool) -> None:
    assert (at_any_angle(TURNED, (0.4, 0.3), limit) is not None) is is_found
