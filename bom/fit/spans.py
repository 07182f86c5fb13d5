"""Spans: which drawings of as many pins as holes agree in their distances and their spread, many at once.

Where no pin is off its hole by more than a, two pins are off by 2a at most together.  So the k-th smallest distance of
the pins differs from the k-th smallest of the holes by 2a at most, and their spreads about their middles differ by a at
most (Weyl's inequality for singular values).  Everything that goes in meets these conditions, however it is turned or
mirrored.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from bom.fit.crowd import Crowd, Floats, Marks, Whole, every

UNSTATED_ROOM_MM = 1.0  # the room taken where a drill is not stated: enough for any near miss
_BLOCK = 1 << 21  # comparisons made at once
_CLASSES = 4  # of lead and of hole sizes, each pair of them with its own allowance
_ROUNDING = 1e-6  # mm
_FEW = 500  # pairs that are not worth looking at distance by distance
_MOST_CELLS = 200  # along each breadth
_FARTHEST_MM = 1000.0  # all that is larger is found together: one absurd drawing must not spoil the cells of the others

Places = tuple[Whole, Whole]  # of the pins' and of the holes' drawing in their crowds


def allowed_off(room: Floats, reach: Floats) -> Floats:
    """How far a pin's middle may be off in this room, see ``Seats.slack``; less than nought where it never goes in."""
    if not np.any(reach):
        return room
    some_room = np.maximum(room, 0.0)
    off: Floats = np.where(room < 0, -1.0, np.sqrt(some_room * (some_room + 2 * reach)))
    return off


def alike_in_distances(pins: Crowd, holes: Crowd, limit: float, others_only: bool = False) -> Places:
    """Pairs in which every distance between two pins may be one between two holes at a play of -``limit`` mm.

    Both crowds have the same count of two or more, a hole for every pin; more holes are for ``bom.fit.stars``.
    ``others_only`` leaves out drawings of the same number.
    """
    return _alike(pins, holes, _joined(_neighbours(pins, holes, limit)), limit, others_only)


def _joined(parts: Iterable[Places]) -> Places:
    found = [*parts, (np.zeros(0, dtype=np.intp), np.zeros(0, dtype=np.intp))]
    return np.concatenate([mine for mine, _ in found]), np.concatenate([theirs for _, theirs in found])


def _alike(pins: Crowd, holes: Crowd, places: Places, limit: float, others_only: bool) -> Places:
    """Those of the pairs that meet every condition."""
    mine, theirs = places
    pairs = _Pairs(mine, theirs, _off_in(pins, holes, places, limit))
    if others_only:
        pairs = pairs.where(pins.which[mine] != holes.which[theirs])
    return _agreeing(pins, holes, pairs)


class Sized(Protocol):
    """Drawings of about one size, and what bounds their play; see ``Crowd``."""

    @property
    def outermost(self) -> Floats: ...
    @property
    def farthest(self) -> Floats | float: ...
    @property
    def stated(self) -> Marks | bool: ...


def most_off(pins: Sized, holes: Sized, limit: float) -> float:
    """The most that a pin of any of them may be off, in mm; less than nought where none ever goes in."""
    room = float(np.nanmax(holes.outermost, initial=-np.inf) - pins.outermost.min(initial=np.inf))
    if not np.all(holes.stated):
        room = max(room, UNSTATED_ROOM_MM)
    return float(allowed_off(np.array(room + limit), np.array(np.max(pins.farthest, initial=0.0))))


@dataclass(frozen=True, slots=True)
class _Pairs:
    """Pairs of drawings, by their places in the crowds, and how far a pin may be off at most in each."""

    mine: Whole
    theirs: Whole
    off: Floats

    def where(self, keep: Marks) -> _Pairs:
        rows = np.flatnonzero(keep)
        return _Pairs(self.mine[rows], self.theirs[rows], self.off[rows])


def _off_in(pins: Crowd, holes: Crowd, places: Places, limit: float) -> Floats:
    mine, theirs = places
    room = np.nan_to_num(holes.outermost, nan=-np.inf)[theirs] - pins.outermost[mine]
    if not holes.stated.all():
        room = np.where(holes.stated[theirs], room, np.maximum(room, UNSTATED_ROOM_MM))
    return allowed_off(room + limit, pins.farthest[mine])


def _agreeing(pins: Crowd, holes: Crowd, pairs: _Pairs) -> Places:
    """Those of the pairs that meet every condition, the conditions that tell most first."""
    pairs = pairs.where(pairs.off >= 0)
    last = pins.spans.shape[1] - 1
    for eighths in (8, 6, 4, 2, 7, 5, 3, 1) if len(pairs.mine) > _FEW else ():
        pairs = _in_one_distance(pins, holes, pairs, last * eighths // 8)
    pairs = _in_every_distance(pins, holes, pairs)
    return pairs.mine, pairs.theirs


def _in_one_distance(pins: Crowd, holes: Crowd, pairs: _Pairs, column: int) -> _Pairs:
    apart = pins.spans[pairs.mine, column] - holes.spans[pairs.theirs, column]
    return pairs.where(np.abs(apart) <= 2 * pairs.off + _ROUNDING)


def _in_every_distance(pins: Crowd, holes: Crowd, pairs: _Pairs) -> _Pairs:
    apart = pins.spans[pairs.mine] - holes.spans[pairs.theirs]
    within: Marks = np.abs(apart) <= 2 * pairs.off[:, None] + _ROUNDING
    return pairs.where(every(within))


@dataclass(frozen=True, slots=True)
class _Class:
    """Drawings of about one size: their places in the crowd, what bounds their play, and the keys they are found by."""

    places: Whole
    outermost: Floats
    farthest: float
    stated: bool
    breadth: Floats
    widest: Floats

    @classmethod
    def of(cls, crowd: Crowd, places: Whole) -> _Class:
        farthest, stated = float(crowd.farthest[places].max(initial=0.0)), bool(crowd.stated[places].all())
        keys = np.minimum(crowd.breadth[places], _FARTHEST_MM), np.minimum(crowd.spans[places, -1], _FARTHEST_MM)
        return cls(places, crowd.outermost[places], farthest, stated, *keys)


def _neighbours(pins: Crowd, holes: Crowd, limit: float) -> Iterator[Places]:
    """Pairs that may agree in both breadths and the largest distance, class by class."""
    holders = _classes(holes)
    for part in _classes(pins):
        for other in holders:
            off = most_off(part, other, limit)
            if off >= 0:
                yield _beside(part, other, off)


def _classes(crowd: Crowd) -> list[_Class]:
    return [_Class.of(crowd, places) for places in by_size(crowd.outermost)]


def by_size(outermost: Floats) -> list[Whole]:
    """The drawings of each size where there are few sizes, else in as many classes of neighbouring sizes."""
    sizes = np.nan_to_num(outermost, nan=UNSTATED_ROOM_MM)
    distinct = np.unique(sizes)
    if len(distinct) <= _CLASSES:
        return [np.flatnonzero(sizes == size) for size in distinct]
    return np.array_split(np.argsort(sizes, kind="stable"), _CLASSES)


def _beside(pins: _Class, holes: _Class, off: float) -> Places:
    """Breadths fall into cells as wide as a pin may be off; only neighbouring cells can hold a match.

    Within a cell the drawings stand in the order of their largest distance.
    """
    grid = _Grid.over(pins, holes, off)
    shelf, asked = grid.ordered(holes), grid.ordered(pins)
    step, row = grid.filled(shelf, asked.cells)
    keys = (asked.cells[row] + step) * grid.row + asked.widest[row]
    first = np.searchsorted(shelf.keys, keys - 2 * off - _ROUNDING)
    many = np.searchsorted(shelf.keys, keys + 2 * off + _ROUNDING, "right") - first
    mine, theirs = asked.order[np.repeat(row, many)], shelf.order[_runs(first, many)]
    for side in (1, 0):
        near = np.abs(pins.breadth[mine, side] - holes.breadth[theirs, side]) <= off + _ROUNDING
        mine, theirs = mine[near], theirs[near]
    return pins.places[mine], holes.places[theirs]


@dataclass(frozen=True, slots=True)
class _Shelf:
    """Drawings in the order of their cells, within a cell of their largest distance."""

    order: Whole
    cells: Whole
    widest: Floats
    keys: Floats


@dataclass(frozen=True, slots=True)
class _Grid:
    """Cells of both breadths: how wide one is, how many stand in a line, how far apart the keys of two are."""

    width: float
    size: int
    row: float

    @classmethod
    def over(cls, pins: _Class, holes: _Class, off: float) -> _Grid:
        broadest = float(holes.breadth.max())
        width = max(off + _ROUNDING, broadest / _MOST_CELLS)
        row = float(max(pins.widest.max(), holes.widest.max())) + 4 * off + 1.0
        return cls(width, int(broadest / width) + 5, row)

    def ordered(self, part: _Class) -> _Shelf:
        """A free cell at either end of each line keeps neighbours from running over."""
        place = np.minimum(np.floor(part.breadth / self.width), self.size - 3.0).astype(np.intp) + 1
        cells = place[:, 0] * self.size + place[:, 1]
        keys = cells * self.row + part.widest
        order = np.argsort(keys)
        return _Shelf(order, cells[order], part.widest[order], keys[order])

    def filled(self, shelf: _Shelf, asked: Whole) -> Places:
        """The steps from the asked cells to neighbours that hold anything, and whose step each is."""
        held = np.bincount(shelf.cells, minlength=self.size * self.size) > 0
        steps = np.array([a * self.size + b for a in (-1, 0, 1) for b in (-1, 0, 1)])
        which, row = np.nonzero(held[asked + steps[:, None]])
        return steps[which], row


def _runs(first: Whole, many: Whole) -> Whole:
    """first[0], first[0] + 1, ... for as many as are asked, then the next."""
    starts = np.cumsum(many) - many
    runs: Whole = np.arange(int(many.sum())) - np.repeat(starts - first, many)
    return runs
