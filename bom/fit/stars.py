"""Stars: the distances from one pin to all the others, and the holes that have all of these about them.

For parts with fewer pins than the pattern has holes, where sorted distances tell little.  The pins are the two farthest
apart.  Wherever such a pin goes in, every distance of its star is found about its hole, to within what both ends may be
off: a necessary condition, so nothing is lost.  For each cell of distance a string of bits says which of the holes have
another hole that far away; the strings of a star's distances are joined by *and*, 64 holes at a time.  What is left is
laid on the two pins and tried with a third.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from bom.fit.crowd import Crowd, Floats, Marks, Points, Whole, farthest_two, some
from bom.fit.laying import swing_of
from bom.fit.spans import by_size, most_off

_CELL_MM = 0.1
_FARTHEST_MM = 100.0  # all that is farther shares the last cell
_AT_ONCE = 3  # distances of a star joined for every hole; after that few holes are left
_MOST = 1 << 18  # words of bits joined at once
_LOOKED_AT = 1 << 22  # holes looked at at once
_MANY_HOLES = (16, 128)
_ROUNDING = 1e-6  # mm
_SINGLE_MM, _SINGLE = 1e-4, 2e-6  # what single precision may be off, in mm and as a share of the distance

Bits = npt.NDArray[np.uint64]


@dataclass(frozen=True, slots=True)
class Anchored:
    """Pairs (places in the crowds) with the hole that the first of the pins farthest apart takes."""

    pins: Crowd
    holes: Crowd
    mine: Whole
    theirs: Whole
    hole: Whole


def anchored(pins: Sequence[Crowd], holes: Sequence[Crowd], limit: float) -> Iterator[Anchored]:
    """Every pair of fewer pins (two or more) than holes that may go in at a play of -``limit`` mm, turned at will."""
    fields = _fields(holes)
    for crowd in pins:
        if crowd.count < 2 or not any(crowd.count < h.count for h in holes):
            continue
        found = [_found(part, field, limit) for part in _parts(crowd) for field in fields]
        mine, pattern, hole, field_of = (np.concatenate(column) for column in zip(*_numbered(found), strict=True))
        yield from _by_crowd(crowd, holes, fields, mine, pattern, hole, field_of)


def _numbered(found: Sequence[tuple[Whole, Whole, Whole]]) -> Iterator[tuple[Whole, Whole, Whole, Whole]]:
    for number, (mine, pattern, hole) in enumerate(found):
        yield mine, pattern, hole, np.full(len(mine), number, dtype=np.intp)


def _by_crowd(
    crowd: Crowd,
    holes: Sequence[Crowd],
    fields: Sequence[_Field],
    mine: Whole,
    pattern: Whole,
    hole: Whole,
    number: Whole,
) -> Iterator[Anchored]:
    """The same, for each crowd of holes by itself."""
    starts = np.cumsum([0, *(len(f.crowd) for f in fields)])
    at = starts[number % len(fields)] + pattern
    of, place = np.concatenate([f.crowd for f in fields])[at], np.concatenate([f.place for f in fields])[at]
    for which, theirs in enumerate(holes):
        rows = np.flatnonzero(of == which)
        if len(rows):
            yield Anchored(crowd, theirs, mine[rows], place[rows], hole[rows])


@dataclass(frozen=True, slots=True)
class _Part:
    """Pins of about one size: their places in the crowd, their points, the star's distances and its end, a third pin.

    ``base`` is the span from the star's pin to the one farthest away.
    """

    places: Whole
    outermost: Floats
    farthest: float
    stated: bool
    star: Floats  # (n, p - 1), the longest first
    end_star: Floats  # the same, of the pin farthest away
    base: Points  # (n,)
    third: Points  # (n,)

    @property
    def count(self) -> int:
        return int(self.star.shape[1]) + 1

    def __getitem__(self, few: slice) -> _Part:
        return replace(
            self,
            places=self.places[few],
            star=self.star[few],
            end_star=self.end_star[few],
            base=self.base[few],
            third=self.third[few],
        )


def _parts(crowd: Crowd) -> Iterator[_Part]:
    for places in by_size(crowd.outermost):
        points = crowd.spots[places]
        each, far = np.arange(len(points)), farthest_two(points)
        about = points - points[each, far[:, 0]][:, None]
        base = about[each, far[:, 1]]
        third = np.abs((about * base.conj()[:, None]).imag).argmax(axis=1)
        stars = _star(about), _star(about - base[:, None])
        reach = float(crowd.farthest[places].max(initial=0.0))
        yield _Part(places, crowd.outermost[places], reach, True, *stars, base, about[each, third])


def _star(about: Points) -> Floats:
    """The distances from the pin the others are about, the longest first, without its own."""
    star: Floats = -np.sort(-np.abs(about), axis=1)[:, :-1]
    return star


@dataclass(frozen=True)
class _Field:
    """Patterns of about one size, the fewest holes first, and all their holes in one line.

    ``spots`` has a row for each pattern, not numbers where it has fewer holes than others.
    """

    crowd: Whole  # (n,) of which crowd each pattern is
    place: Whole  # (n,) its place there
    outermost: Floats
    farthest: float
    stated: bool
    spots: Points  # (n, most holes)
    counts: Whole  # (n,) holes of each
    pattern: Whole  # (holes in all,)
    hole: Whole  # (holes in all,)

    def begin(self, count: int) -> int:
        """The first hole, in whole words, of those patterns that have more than ``count``."""
        return int(np.searchsorted(self.counts[self.pattern], count, side="right")) // 64

    @cached_property
    def first(self) -> Whole:
        """Where each pattern's holes begin in the line."""
        begins: Whole = np.cumsum(self.counts) - self.counts
        return begins

    @cached_property
    def single(self) -> npt.NDArray[np.complex64]:
        return self.spots.astype(np.complex64)

    @cached_property
    def apart(self) -> npt.NDArray[np.float32]:
        """Each hole's distance to the others of its pattern; not a number to itself and where there is none."""
        apart = np.abs(self.spots[self.pattern] - self.spots[self.pattern, self.hole][:, None])
        apart[np.arange(len(apart)), self.hole] = np.nan
        return apart.astype(np.float32)

    @cached_property
    def about(self) -> npt.NDArray[np.uint8]:
        """For each cell of distance a bit for each hole: whether another hole is that far away."""
        there = self.spots[self.pattern]
        apart = np.abs(there - self.spots[self.pattern, self.hole][:, None])
        row, other = np.nonzero(~np.isnan(self.apart))
        cells = _cells(apart[row, other])
        marks = np.zeros((int(cells.max(initial=0)) + 1, -(-len(apart) // 64) * 64), dtype=np.bool_)
        marks[cells, row] = True
        return np.packbits(marks, axis=1, bitorder="little")

    def within(self, loose: float) -> Bits:
        """The same give or take ``loose``; the last cell holds nothing."""
        more = int(np.ceil(loose / _CELL_MM))
        near = np.pad(self.about.view(np.uint64), ((more, 3 * more + 1), (0, 0)))
        reached, wanted = 1, 2 * more + 1
        while reached < wanted:
            step = min(reached, wanted - reached)
            near[:-step] |= near[step:].copy()
            reached += step
        return near[: len(self.about) + more + 1]


def _fields(holes: Sequence[Crowd]) -> list[_Field]:
    """The patterns of all crowds, by size and, so that rows are not mostly empty, by about how many holes they have.

    Crowds come with the fewest holes first.
    """
    if not holes:
        return []
    crowd = np.repeat(np.arange(len(holes)), [len(h) for h in holes])
    place = np.concatenate([np.arange(len(h)) for h in holes])
    outermost = np.concatenate([h.outermost for h in holes])
    many = np.searchsorted(_MANY_HOLES, [h.count for h in holes])[crowd]
    parts = [np.flatnonzero(many == n) for n in np.unique(many)]
    alike = [np.sort(part[rows]) for part in parts for rows in by_size(outermost[part])]
    return [_field(holes, crowd[rows], place[rows], outermost[rows]) for rows in alike]


def _field(holes: Sequence[Crowd], crowd: Whole, place: Whole, outermost: Floats) -> _Field:
    counts = np.array([h.count for h in holes], dtype=np.intp)[crowd]
    spots = np.full((len(crowd), int(counts.max(initial=0))), np.nan + 0j)
    stated = True
    for number in np.unique(crowd):
        rows, theirs = crowd == number, holes[number]
        spots[rows, : theirs.count] = theirs.spots[place[rows]]
        stated = stated and bool(theirs.stated[place[rows]].all())
    pattern = np.repeat(np.arange(len(crowd)), counts)
    hole = np.arange(len(pattern)) - np.repeat(np.cumsum(counts) - counts, counts)
    return _Field(crowd, place, outermost, 0.0, stated, spots, counts, pattern, hole)


def _cells(distances: Floats) -> Whole:
    cells: Whole = (np.minimum(distances, _FARTHEST_MM) / _CELL_MM).astype(np.intp)
    return cells


def _found(part: _Part, field: _Field, limit: float) -> tuple[Whole, Whole, Whole]:
    """The place of the pins, the pattern in its field, and the hole that the star's pin takes."""
    off = most_off(part, field, limit)
    if off < 0 or not len(field.pattern):
        none = np.zeros(0, dtype=np.intp)
        return none, none, none
    begin, near = field.begin(part.count), field.within(2 * off + _ROUNDING)
    near, step = np.ascontiguousarray(near[:, begin:]), max(1, _MOST // max(1, near.shape[1] - begin))
    kept = []
    for start in range(0, len(part.places), step):
        few = part[start : start + step]
        stars, ends = (_joined(near, star) for star in (few.star, few.end_star))
        for drawing, row in _in_runs(*_held(stars), begin * 64, _LOOKED_AT // field.spots.shape[1] + 1):
            drawing, row = _laid(few, field, off, drawing, row, _Held(ends, begin * 64))
            kept.append((few.places[drawing], field.pattern[row], field.hole[row]))
    mine, pattern, hole = (np.concatenate(column) for column in zip(*kept, strict=True))
    return mine, pattern, hole


def _joined(near: Bits, star: Floats) -> Bits:
    """For each star a bit for each hole in line: whether it has every distance of the star about it."""
    cells = np.minimum(_cells(star), len(near) - 1)
    left = near[cells[:, 0]]
    for column in range(1, min(_AT_ONCE, cells.shape[1])):
        left &= near[cells[:, column]]
    if cells.shape[1] > _AT_ONCE:
        drawing, word = _marked(left > 0)
        bits = left[drawing, word]
        for column in range(_AT_ONCE, cells.shape[1]):
            bits &= near[cells[drawing, column], word]
        left[drawing, word] = bits
    return left


def _marked(marks: Marks) -> tuple[Whole, Whole]:
    """Rows and columns of what is marked; several times as quick as numpy's own for two axes."""
    row, column = np.divmod(np.flatnonzero(marks), max(1, marks.shape[1]))
    return row, column


def _held(left: Bits) -> tuple[Whole, Whole]:
    """The rows and bits that are set."""
    drawing, word = _marked(left > 0)
    bits = np.unpackbits(left[drawing, word][:, None].view(np.uint8), axis=1, bitorder="little")
    at, bit = _marked(bits.view(np.bool_))
    return drawing[at], word[at] * 64 + bit


def _in_runs(drawing: Whole, bit: Whole, begin: int, step: int) -> Iterator[tuple[Whole, Whole]]:
    for start in range(0, len(bit) or 1, step):
        yield drawing[start : start + step], bit[start : start + step] + begin


@dataclass(frozen=True, slots=True)
class _Held:
    """Bits by drawing and hole in line, the first of which is ``begin``."""

    bits: Bits
    begin: int

    def at(self, drawing: Whole, row: Whole) -> Marks:
        bit = row - self.begin
        held: Marks = (self.bits[drawing, bit >> 6] >> (bit & 63).astype(np.uint64)) & np.uint64(1) > 0
        return held


def _laid(part: _Part, field: _Field, off: float, drawing: Whole, row: Whole, ends: _Held) -> tuple[Whole, Whole]:
    """Those where the star's end finds a hole with a star like its own and, the part turned so, a third pin as well."""
    enough = field.counts[field.pattern[row]] > part.count
    drawing, row = drawing[enough], row[enough]
    base = np.abs(part.base).astype(np.float32)
    loose = (2 * off + _SINGLE_MM + _SINGLE * base)[drawing, None]
    at, other = _marked(np.abs(field.apart[row] - base[drawing, None]) <= loose)
    alike = ends.at(drawing[at], field.first[field.pattern[row[at]]] + other)
    at, other = at[alike], other[alike]
    goes = _third_too(part, field, off, drawing[at], row[at], other)
    kept = np.unique(at[goes])
    return drawing[kept], row[kept]


def _third_too(part: _Part, field: _Field, off: float, drawing: Whole, row: Whole, other: Whole) -> Marks:
    """Whether a hole lies where the two farthest pins, laid on their holes, send the third pin."""
    pattern = field.pattern[row]
    first = field.spots[pattern, field.hole[row]]
    end, base, third = field.spots[pattern, other] - first, part.base[drawing], part.third[drawing]
    turn = end * base.conj()
    length, longer = np.abs(turn), np.maximum(np.abs(end), np.abs(base))
    sent = first + third * np.where(length > 0, turn / np.where(length > 0, length, 1.0), 1.0)
    swing = swing_of(2 * off / np.maximum(longer, _ROUNDING))
    loose = 2 * off + np.abs(third) * 2 * np.sin(swing / 2) + _SINGLE_MM + _SINGLE * longer
    away = field.single[pattern] - sent.astype(np.complex64)[:, None]
    return some(away.real**2 + away.imag**2 <= (loose**2).astype(np.float32)[:, None])
