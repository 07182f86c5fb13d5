"""Sieve: of thousands of footprints, those that may go into a pattern of holes, all tried at once.

The two pins farthest apart take two holes about as far apart, which leaves a small range of angles; every other pin
then needs a hole near the spot that this predicts and at the right distance from both. These are the first steps of the
exact search (``bom.fit.placement``), and so necessary: what falls through certainly does not go in, and of what stays
the exact search decides. Whatever these steps do not know stays: a side nobody told, what was measured, slots.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bom.boards.board import HolePattern
from bom.fit.measured_drawings import most_error
from bom.fit.plane import centres
from bom.fit.slots import slots_in
from bom.fit.spacing import HoleSpacing, Leads, PinSpacing, most_off
from bom.relays.footprint import Footprint, View

_ROUNDING_MM = 1e-4  # forgives rounding in the sums below; it only lets more by
_TOGETHER = 4_000  # pairs of two pins and two holes tried at once: a matter of memory

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class _Alike:
    """Footprints of one number of pins: ``points`` in mm, footprint by pin; ``ends`` the two pins farthest apart;
    ``apart`` the distances between any two pins, the shortest first; ``spans`` from pin to pin."""

    names: tuple[str, ...]
    leads: tuple[Leads, ...]
    points: Floats
    spans: Floats
    apart: Floats
    ends: Whole

    @classmethod
    def of(cls, footprints: Mapping[str, Footprint]) -> _Alike:
        seen = [footprint.from_component_side().pins for footprint in footprints.values()]
        points = np.array([centres(pins) for pins in seen], dtype=float)
        spans = np.hypot(*np.moveaxis(points[:, :, None] - points[:, None, :], -1, 0))
        first, second = np.triu_indices(points.shape[1], 1)
        between = spans[:, first, second]
        longest = between.argmax(axis=1)
        ends = np.stack([first[longest], second[longest]], axis=1)
        leads = tuple(PinSpacing.of(pins).leads for pins in seen)
        return cls(tuple(footprints), leads, points, spans, np.sort(between, axis=1), ends)


class Sieve:
    """The footprints, ready to be tried in one pattern of holes after another."""

    def __init__(self, footprints: Mapping[str, Footprint]) -> None:
        kinds: dict[int, dict[str, Footprint]] = {}
        self.others: dict[str, PinSpacing] = {}
        for name, footprint in footprints.items():
            if len(footprint.pins) < 2 or footprint.view is View.UNKNOWN or most_error(footprint.pins) > 0:
                self.others[name] = PinSpacing.of(footprint.pins)
            else:
                kinds.setdefault(len(footprint.pins), {})[name] = footprint
        self.alike = [_Alike.of(some) for some in kinds.values()]

    def what_may_go_in(self, pattern: HolePattern, dressing_mm: float) -> set[str]:
        """The names of those that may go into these holes, legs dressed so far. Whatever is left out does not."""
        spacing = HoleSpacing.of(pattern.holes, dressing_mm)
        answer = {name for name, pins in self.others.items() if spacing.may_take(pins)}
        known = pattern.view is not View.UNKNOWN and not slots_in(pattern) and not most_error(pattern.holes)
        holes = np.array(centres(pattern.from_component_side().holes), dtype=float).reshape(-1, 2)
        for some in self.alike:
            if some.points.shape[1] <= spacing.count:
                answer.update(some.names[n] for n in _tried(some, spacing, holes, known))
        return answer


def _tried(some: _Alike, holes: HoleSpacing, spots: Floats, known: bool) -> Iterable[int]:
    doubt = holes.dressing_mm + holes.error_mm
    most: Floats = np.array([most_off(leads, holes.drills, doubt) for leads in some.leads]) + _ROUNDING_MM
    kept = _as_far_apart(some, np.array(holes.apart), 2 * most)
    return _with_a_hole_for_each(some, kept, most, spots) if known else kept.tolist()


def _as_far_apart(some: _Alike, gaps: Floats, slack: Floats) -> Whole:
    """Those whose distances are about those of holes, as ``HoleSpacing.may_take`` has it."""
    count, either = some.apart.shape[1], slack[:, None]
    fits: NDArray[np.bool_] = (some.apart >= gaps[:count] - either) & (some.apart <= gaps[-count:] + either)
    kept = np.flatnonzero(fits.all(axis=1) & (slack >= 0))
    apart, either = some.apart[kept], slack[kept, None]
    place = np.searchsorted(gaps, apart - either)
    there = np.append(gaps, np.inf)[place] <= apart + either
    return kept[there.all(axis=1)]


def _with_a_hole_for_each(some: _Alike, kept: Whole, most: Floats, spots: Floats) -> set[int]:
    """Those of whose pins each has a hole, for one way at least to put the two farthest apart in two holes."""
    gaps = np.hypot(*np.moveaxis(spots[:, None] - spots[None, :], -1, 0))
    answer: set[int] = set()
    for these, first, second in _two_in_two(some, kept, most, gaps):
        fits = _each_near_a_hole(some, these, most[these], (first, second), spots, gaps)
        answer.update(these[fits].tolist())
    return answer


def _two_in_two(some: _Alike, kept: Whole, most: Floats, gaps: Floats) -> Iterator[tuple[Whole, Whole, Whole]]:
    """(footprint, the hole of its first end, the hole of its second), all that are about as far apart, in pieces."""
    one, other = np.nonzero(~np.eye(len(gaps), dtype=bool))
    longest = some.apart[kept, -1]
    near = abs(longest[:, None] - gaps[one, other]) <= 2 * most[kept, None]
    footprints, ways = np.nonzero(near)
    for n in range(0, len(ways), _TOGETHER):
        here = ways[n : n + _TOGETHER]
        yield kept[footprints[n : n + _TOGETHER]], one[here], other[here]


def _each_near_a_hole(
    some: _Alike, these: Whole, most: Floats, taken: tuple[Whole, Whole], spots: Floats, gaps: Floats
) -> Any:
    """Whether each pin has a hole near where the two ends' holes put it, and at the right distance from both."""
    (first, second), (i, k) = taken, some.ends[these].T
    rows = np.arange(len(these))
    points, spans = some.points[these], some.spans[these]
    about = points - points[rows, i][:, None]
    pin, hole = about[rows, k], spots[second] - spots[first]
    angle = np.arctan2(hole[:, 1], hole[:, 0]) - np.arctan2(pin[:, 1], pin[:, 0])
    longer = np.maximum(spans[rows, i, k], gaps[first, second])
    half = np.where(2 * most >= longer, np.pi, np.arcsin(np.minimum(1.0, 2 * most / np.maximum(longer, 1e-12))) + 1e-9)
    co, si = np.cos(angle)[:, None], np.sin(angle)[:, None]
    x = about[..., 0] * co - about[..., 1] * si + spots[first, None, 0]
    y = about[..., 0] * si + about[..., 1] * co + spots[first, None, 1]
    loose = 2 * most[:, None] + spans[rows, i] * 2 * np.sin(np.minimum(half, np.pi) / 2)[:, None] + _ROUNDING_MM
    off = np.hypot(x[..., None] - spots[:, 0], y[..., None] - spots[:, 1])
    fits = off <= loose[..., None]
    slack = 2 * most[:, None, None]
    fits &= abs(spans[rows, i][..., None] - gaps[first][:, None, :]) <= slack
    fits &= abs(spans[rows, k][..., None] - gaps[second][:, None, :]) <= slack
    return fits.any(axis=2).all(axis=1)
