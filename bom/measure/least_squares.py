"""Least squares: the unknowns that leave the least unexplained, how well they are known, and which reading is wrong.

An adjustment by damped Gauss-Newton steps (Levenberg; Marquardt), many starts at once. Readings come in their own
standard deviations, so that a residual of 1 is as expected. Where some may be gross mistakes, large residuals count
less (weights of Cauchy), so that a mistake does not pull the rest along.

How well: the covariance from the slopes at the solution, in the datum of the pattern itself, since spans say nothing
about where it lies and how it is turned: the sum of all shifts and turns is none (free network; a datum is changed by
an S-transformation, W. Baarda, *S-transformations and criterion matrices*, 1973, from memory).

Which is wrong: the residual of each reading over its own standard deviation (W. Baarda, *A testing procedure for use in
geodetic networks*, 1968, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log, sqrt
from statistics import NormalDist
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]

CONFIDENCE = 0.95
"""How sure it is that every one of a pattern lies within its own circle, all of them together."""

_FAR = 3.0  # standard deviations from which on a robust search gives a residual less weight
_STEPS = 80
_SMALL = 1e-9  # mm, or another unknown's own unit: a step that no longer matters
_LOST = 1e9  # a damping from which no step leads on
_NO_SLOPE = 1e-7  # of the largest: a direction that no reading holds


class Equations(Protocol):
    """What readings say of unknowns; ``starts`` are rows of unknowns."""

    def off(self, starts: Numbers) -> Numbers:
        """How far each reading is off what the unknowns give, in its standard deviations: (starts, readings)."""

    def slopes(self, starts: Numbers) -> Numbers:
        """How these change with each unknown: (starts, readings, unknowns)."""


@dataclass(frozen=True, slots=True)
class Settled:
    """Where each start came to rest, and the sum of squares left there (in a robust search, of what counts of it)."""

    unknowns: Numbers
    left: Numbers


def settle(equations: Equations, starts: Numbers, counts: Numbers | None = None, *, robust: bool = False) -> Settled:
    """Each start moved to where it leaves least; ``counts`` (starts, readings) is 0 for a reading left out, else 1."""
    at, counts = starts.copy(), np.ones(1) if counts is None else counts
    damping = np.full(len(at), 1e-3)
    off = equations.off(at)
    left = _left(off, counts, robust)
    for _ in range(_STEPS):
        step = _step(equations.slopes(at), off, counts, damping, robust)
        there = at + step
        off_there = equations.off(there)
        left_there = _left(off_there, counts, robust)
        better = left_there <= left
        at[better], off[better], left[better] = there[better], off_there[better], left_there[better]
        damping = np.where(better, damping / 10, damping * 10).clip(1e-12, None)
        if np.all((np.abs(step).max(axis=1) < _SMALL) | (damping > _LOST)):
            break
    return Settled(at, left)


def _left(off: Numbers, counts: Numbers, robust: bool) -> Numbers:
    parts = _FAR**2 * np.log1p((off / _FAR) ** 2) if robust else off**2
    found: Numbers = (counts * parts).sum(axis=1)
    return found


def _step(slopes: Numbers, off: Numbers, counts: Numbers, damping: Numbers, robust: bool) -> Numbers:
    weights = counts / (1 + (off / _FAR) ** 2) if robust else counts * np.ones_like(off)
    weighted = slopes * weights[:, :, None]
    normal = np.matmul(weighted.transpose(0, 2, 1), slopes)
    pull = np.matmul(weighted.transpose(0, 2, 1), off[:, :, None])
    main = np.einsum("bii->bi", normal)
    main += damping[:, None] * (main + 1e-9 * main.max(axis=1, keepdims=True)) + 1e-12
    found: Numbers = -np.linalg.solve(normal, pull)[:, :, 0]
    return found


@dataclass(frozen=True, slots=True)
class Adjusted:
    """The solution with what the readings say of themselves.

    ``cofactor`` is the covariance of the unknowns in some datum. ``share`` is how much of a mistake in each reading
    shows in its own residual: 0 where no other reading checks it, near 1 where many do. ``loose`` is how many ways the
    unknowns could move unnoticed, ``spare`` how many readings there are beyond what is needed.
    """

    unknowns: Numbers
    off: Numbers
    cofactor: Numbers
    share: Numbers
    loose: int
    spare: int
    loose_ways: Numbers

    @property
    def left(self) -> float:
        return float((self.off**2).sum())

    @property
    def normalised(self) -> Numbers:
        """Each residual over its own standard deviation; 0 for a reading that nothing checks."""
        checked = self.share > 1e-6
        return np.where(checked, self.off / np.sqrt(np.where(checked, self.share, 1.0)), 0.0)

    @property
    def agrees(self) -> bool:
        """Whether the readings agree with each other as well as their errors promise."""
        if self.spare <= 0:
            return True
        worst = float(np.abs(self.normalised).max(initial=0.0))
        return self.left <= chi_square_limit(self.spare) and worst <= worst_of(len(self.off))


def adjusted(equations: Equations, unknowns: Numbers, used: Numbers) -> Adjusted:
    """The solution's own statistics; ``used`` tells which readings count."""
    slopes = equations.slopes(unknowns[None])[0][used]
    size = np.sqrt((slopes**2).sum(axis=0))
    size = np.where(size > 0, size, 1.0)
    left, values, right = np.linalg.svd(slopes / size, full_matrices=True)
    held = int((values > _NO_SLOPE * values.max(initial=0.0)).sum())
    ways = right[:held] / size
    return Adjusted(
        unknowns,
        equations.off(unknowns[None])[0][used],
        (ways.T / values[:held] ** 2) @ ways,
        1.0 - (left[:, :held] ** 2).sum(axis=1),
        len(unknowns) - held,
        len(slopes) - held,
        right[held:] / size,
    )


ALARM = 0.01
"""How often readings without any mistake are taken to hold one: in one pattern of a hundred. Our own choice."""


def chi_square_limit(spare: int, alarm: float = ALARM) -> float:
    """What the sum of squares stays below but for once in ``1 / alarm`` times.

    E. B. Wilson and M. M. Hilferty, *The distribution of chi-square*, 1931, from memory; within 2 % of the exact from
    3 readings to spare on, a few per cent above them below that.

    >>> round(chi_square_limit(10), 1)
    23.2
    """
    part = 2 / (9 * spare)
    return float(spare * (1 - part + NormalDist().inv_cdf(1 - alarm) * sqrt(part)) ** 3)


def worst_of(readings: int, alarm: float = ALARM) -> float:
    """What the largest of so many normalised residuals stays below but for once in ``1 / alarm`` times.

    >>> round(worst_of(1), 2), round(worst_of(20), 2)
    (2.58, 3.48)
    """
    return NormalDist().inv_cdf(1 - alarm / (2 * readings))


def rigid_motions(points: Numbers) -> Numbers:
    """What all spans bear without noticing: (2 points, 3), a shift along x, one along y, and a turn."""
    middle = points - points.mean(axis=0)
    ways = np.zeros((len(points), 2, 3))
    ways[:, 0, 0] = ways[:, 1, 1] = 1.0
    ways[:, 0, 2], ways[:, 1, 2] = -middle[:, 1], middle[:, 0]
    return ways.reshape(-1, 3)


def in_own_datum(points: Numbers, cofactor: Numbers) -> Numbers:
    """The covariance of the points' coordinates where none of it is a shift or a turn of all of them."""
    ways, _ = np.linalg.qr(rigid_motions(points))
    keep = np.eye(len(ways)) - ways @ ways.T
    found: Numbers = keep @ cofactor @ keep
    return found


def circles(cofactor: Numbers) -> Numbers:
    """The radius in mm round each point so that with ``CONFIDENCE`` all of them lie within theirs.

    The longer axis of the error ellipse serves for all directions, and a point's own share of the doubt is what all may
    have over their number (Bonferroni): r = s sqrt(-2 ln(share)), since an ellipse of k standard deviations is left
    with a chance of exp(-k^2 / 2).
    """
    count = len(cofactor) // 2
    each = cofactor.reshape(count, 2, count, 2)[range(count), :, range(count), :]
    longest = np.sqrt(np.linalg.eigvalsh(each)[:, 1].clip(0.0, None))
    found: Numbers = longest * sqrt(-2 * log((1 - CONFIDENCE) / count))
    return found
