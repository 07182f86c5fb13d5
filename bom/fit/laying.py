"""Laying: pins laid on holes in every way their two farthest allow, many drawings at once.

Every other pin must then find a hole near by.  Last, the part is fitted by weighted least squares: if even the weighted
mean of the squared errors is beyond that of the squares of what is allowed, no position will do (own derivation: a mean
is never more than the largest); if every error is within what is allowed there, it goes in.  The weights follow the
errors a few times; what is still open then is for the exact search.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bom.fit.crowd import Crowd, Floats, Marks, Points, Whole, every, farthest_two, some
from bom.fit.pairing import ROUNDING_MM
from bom.fit.spans import UNSTATED_ROOM_MM, allowed_off

_FEW = 100  # ways that are not worth looking at by a third pin first
_LEAST_MM = 1e-9  # shorter than this a span has no direction
_TURNS = 6  # how often the weights follow the errors


@dataclass(frozen=True, slots=True)
class Laid:
    """Of each pair: whether it certainly goes in, and whether it may."""

    goes: Marks
    may: Marks


@dataclass(frozen=True, slots=True)
class _Lay:
    """Pins laid on holes, a row for each way: of which pair it is, the hole of each pin, points, spots and rooms.

    ``room`` is what each pin's middle may be off at most, ``safe`` what it may be off however its lead lies.
    """

    pair: Whole
    points: Points
    spots: Points
    room: Floats
    safe: Floats

    def __getitem__(self, rows: Marks) -> _Lay:
        return _Lay(self.pair[rows], self.points[rows], self.spots[rows], self.room[rows], self.safe[rows])


def laid(pins: Crowd, holes: Crowd, mine: Whole, theirs: Whole, limit: float, at: Whole | None = None) -> Laid:
    """What becomes of these pairs (places in the crowds) at a play of -``limit`` mm.

    ``at``: the hole that the first of each part's two farthest pins takes, where only that is asked.
    """
    lay, doubtful = _ways(pins, holes, mine, theirs, limit, at)
    goes, still = _fitted(lay, len(mine))
    return Laid(goes & pins.stated[mine] & holes.stated[theirs], goes | still | doubtful)


def _ways(pins: Crowd, holes: Crowd, mine: Whole, theirs: Whole, limit: float, at: Whole | None) -> tuple[_Lay, Marks]:
    """Every way of laying the pins on holes, and the pairs in which a pin had two holes to choose from."""
    radius = holes.radius[theirs][:, None, :]
    safe = np.where(np.isnan(radius), UNSTATED_ROOM_MM, radius - pins.radius[mine][:, :, None]) + limit
    off = allowed_off(safe, pins.reach[mine][:, :, None])
    points, spots = pins.spots[mine], holes.spots[theirs]
    far = farthest_two(points)
    ways = _on_the_farthest(points, spots, off, far) if at is None else _from_the_first(points, spots, off, far, at)
    if len(ways.pair) > _FEW:
        ways = _with_a_third(points, spots, off, ways)
    pair = ways.pair
    near, taken = _found_holes(points[pair], spots[pair], off[pair], ways)
    doubt = near.sum(axis=2).max(axis=1, initial=0) > 1
    found = every(some(near))
    once = np.sort(taken, axis=1)
    own = every(np.diff(once, axis=1) != 0)
    doubtful = np.zeros(len(mine), dtype=np.bool_)
    doubtful[pair[found & doubt]] = True
    row, hole = found & own & ~doubt, taken[:, :, None]
    of = pair[row]
    spot = np.take_along_axis(spots[of], taken[row], axis=1)
    rooms = (np.take_along_axis(r[of], hole[row], axis=2)[:, :, 0] for r in (off, safe))
    return _Lay(of, points[of], spot, *rooms), doubtful


@dataclass(frozen=True, slots=True)
class _Ways:
    """Ways of laying the two far pins on two holes: of which pair each is, those pins, and their holes."""

    pair: Whole
    far: Whole
    one: Whole
    other: Whole

    def where(self, keep: Marks) -> _Ways:
        return _Ways(self.pair[keep], self.far[keep], self.one[keep], self.other[keep])


def _on_the_farthest(points: Points, spots: Points, off: Floats, far: Whole) -> _Ways:
    """Wherever two holes are the right distance apart."""
    each = np.arange(len(points))
    span = np.abs(points[each, far[:, 0]] - points[each, far[:, 1]])[:, None, None]
    gap = np.abs(spots[:, :, None] - spots[:, None, :])
    first, second = off[each, far[:, 0]][:, :, None], off[each, far[:, 1]][:, None, :]
    right = (np.abs(gap - span) <= first + second) & (first >= 0) & (second >= 0)
    right &= ~np.eye(spots.shape[1], dtype=np.bool_)
    pair, one, other = np.nonzero(right)
    return _Ways(pair, far[pair], one, other)


def _from_the_first(points: Points, spots: Points, off: Floats, far: Whole, at: Whole) -> _Ways:
    """Wherever a hole is the right distance from the one that the first takes."""
    each = np.arange(len(points))
    span = np.abs(points[each, far[:, 0]] - points[each, far[:, 1]])[:, None]
    gap = np.abs(spots - spots[each, at][:, None])
    first, second = off[each, far[:, 0], at][:, None], off[each, far[:, 1]]
    right = (np.abs(gap - span) <= first + second) & (first >= 0) & (second >= 0)
    right[each, at] = False
    pair, other = np.nonzero(right)
    return _Ways(pair, far[pair], at[pair], other)


def swing_of(ratio: Floats) -> Floats:
    """The largest angle (radians) between two directions whose ends are apart by this share of the longer."""
    swing: Floats = np.where(ratio < 1.0, np.arcsin(np.minimum(1.0, ratio)), np.pi)
    return swing


def _sent(points: Points, spots: Points, off: Floats, ways: _Ways, asked: Points) -> tuple[Points, Floats]:
    """Where the two far pins, laid on their holes, send the points asked for, and how far off that they may be."""
    each, far = np.arange(len(points)), ways.far
    a, b, j, k = points[each, far[:, 0]], points[each, far[:, 1]], spots[each, ways.one], spots[each, ways.other]
    turn = (k - j) * (b - a).conj()
    length = np.abs(turn)
    turn = turn / np.where(length > 0, length, 1.0)
    first = off[each, far[:, 0], ways.one]
    slack = first + off[each, far[:, 1], ways.other]
    longer = np.maximum(np.abs(b - a), np.abs(k - j))
    swing = swing_of(slack / np.maximum(longer, _LEAST_MM))
    sent = j[:, None] + turn[:, None] * (asked - a[:, None])
    return sent, first[:, None] + np.abs(asked - a[:, None]) * 2 * np.sin(swing / 2)[:, None] + ROUNDING_MM


def _with_a_third(points: Points, spots: Points, off: Floats, ways: _Ways) -> _Ways:
    """Those ways in which the pin farthest from the line of the two finds a hole as well; most fail here."""
    here, theirs, each = points[ways.pair], spots[ways.pair], np.arange(len(ways.pair))
    a, b = here[each, ways.far[:, 0]], here[each, ways.far[:, 1]]
    third = np.abs(((here - a[:, None]) * (b - a)[:, None].conj()).imag).argmax(axis=1)
    room = off[ways.pair]
    sent, loose = _sent(here, theirs, room, ways, here[each, third][:, None])
    slack = room[each, third]
    return ways.where(some((np.abs(sent - theirs) <= slack + loose) & (slack >= 0)))


def _found_holes(points: Points, spots: Points, off: Floats, ways: _Ways) -> tuple[Marks, Whole]:
    """Which holes are near enough to where the two far pins send each pin, and the nearest."""
    sent, loose = _sent(points, spots, off, ways, points)
    away = np.abs(sent[:, :, None] - spots[:, None, :])
    near = (away <= off + loose[:, :, None]) & (off >= 0)
    each, holes = np.arange(len(points)), np.arange(spots.shape[1])
    near[each, ways.far[:, 0]] = holes == ways.one[:, None]
    near[each, ways.far[:, 1]] = holes == ways.other[:, None]
    return near, np.where(near, away, np.inf).argmin(axis=2)


def _fitted(lay: _Lay, pairs: int) -> tuple[Marks, Marks]:
    """Of each pair: whether a way certainly goes in, and whether one is still open."""
    goes, still = np.zeros(pairs, dtype=np.bool_), np.zeros(pairs, dtype=np.bool_)
    weights = np.full(lay.room.shape, 1.0 / max(1, lay.room.shape[1]))
    for _ in range(_TURNS):
        if not len(lay.pair):
            break
        error, floor = _least_squares(lay, weights)
        inside = every(error <= lay.safe)
        goes[lay.pair[inside]] = True
        left = ~inside & (floor <= (weights * lay.room**2).sum(axis=1) + 1e-12) & ~goes[lay.pair]
        lay, weights = lay[left], _following(weights, error, lay.room)[left]
    still[lay.pair] = True
    return goes, still & ~goes


def _least_squares(lay: _Lay, weights: Floats) -> tuple[Floats, Floats]:
    """Each pin's error where the weighted squares are least, and their sum there: least over all positions."""
    at = (weights * lay.points).sum(axis=1, keepdims=True)
    there = (weights * lay.spots).sum(axis=1, keepdims=True)
    points, spots = lay.points - at, lay.spots - there
    turn = (weights * spots * points.conj()).sum(axis=1, keepdims=True)
    length = np.abs(turn)
    turn = np.where(length > 0, turn / np.where(length > 0, length, 1.0), 1.0)
    error = np.abs(turn * points - spots)
    return error, (weights * error**2).sum(axis=1)


def _following(weights: Floats, error: Floats, room: Floats) -> Floats:
    """More weight where there is more error for the room (after Lawson), still summing to one."""
    raised = weights * (error + 1e-9) / np.maximum(room, 1e-3)
    total: Floats = raised / raised.sum(axis=1, keepdims=True)
    return total
