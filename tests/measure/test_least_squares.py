"""Limits and circles against a general statistics library, and by throwing dice."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from bom.measure.least_squares import CONFIDENCE, chi_square_limit, circles, in_own_datum, rigid_motions, worst_of


@pytest.mark.parametrize("spare", [1, 2, 3, 5, 10, 30, 100])
@pytest.mark.parametrize("alarm", [0.05, 0.01, 0.001])
def test_the_limit_of_a_sum_of_squares(spare: int, alarm: float) -> None:
    near = 0.04 if spare < 3 else 0.02
    assert chi_square_limit(spare, alarm) == pytest.approx(stats.chi2.isf(alarm, spare), rel=near)


@pytest.mark.parametrize("readings", [1, 5, 40])
def test_the_limit_of_the_largest_residual(readings: int) -> None:
    assert worst_of(readings) == pytest.approx(stats.norm.isf(0.01 / readings / 2))


def test_all_points_lie_within_their_circles_as_often_as_is_said() -> None:
    """Points whose errors are as long one way as the other: Bonferroni's share is then about exact."""
    covariance = np.diag([0.04, 0.04, 0.01, 0.01, 0.09, 0.09])
    off = np.random.default_rng(1).multivariate_normal(np.zeros(6), covariance, 20_000).reshape(-1, 3, 2)
    within = (np.linalg.norm(off, axis=2) <= circles(covariance)).all(axis=1)
    assert within.mean() == pytest.approx(CONFIDENCE, abs=0.006)


def test_in_its_own_datum_no_error_is_a_shift_or_a_turn() -> None:
    dice = np.random.default_rng(2)
    points, half = dice.uniform(0, 20, (5, 2)), dice.normal(size=(10, 10))
    inner = in_own_datum(points, half @ half.T)
    assert inner @ rigid_motions(points) == pytest.approx(np.zeros((10, 3)), abs=1e-9)
