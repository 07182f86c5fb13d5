"""The sift: which of many drawings may go in at all, by conditions that everything that goes in must meet.

First the distances between pins (``bom.fit.spans`` for as many holes as pins, ``bom.fit.stars`` for more), then the
pins laid on the holes (``bom.fit.laying``).  Nothing that goes in is lost, nothing is said to go in that does not, and
what is left open is for the exact search.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bom.fit.crowd import Crowd, Marks, Whole
from bom.fit.laying import laid
from bom.fit.pairing import ROUNDING_MM
from bom.fit.spans import alike_in_distances
from bom.fit.stars import Anchored, anchored

_TOGETHER = 1 << 17  # holes against holes looked at at once, so that memory stays small


@dataclass(frozen=True, slots=True)
class Sifted:
    """Pairs (number of the pins' drawing, of the holes') that may go in; ``sure`` where they certainly do.

    Every pair not named certainly does not.
    """

    pins: Whole
    holes: Whole
    sure: Marks

    def __len__(self) -> int:
        return len(self.pins)


def sift(
    pins: tuple[Crowd, ...], holes: tuple[Crowd, ...], limit_mm: float = 0.0, *, others_only: bool = False
) -> Sifted:
    """Every pair of drawings that may go in with a play of at least -``limit_mm`` mm, turned at will, not mirrored.

    ``others_only`` leaves out each drawing with the one of its own number, as where holes are made for the same pins.
    """
    limit = limit_mm + ROUNDING_MM
    alike = [_sifted(p, h, limit, others_only) for p in pins for h in holes if p.count == h.count or p.count < 2]
    fewer = [_anchored(found, limit, others_only) for found in anchored(pins, holes, limit)]
    return _joined([*alike, *fewer])


def _sifted(pins: Crowd, holes: Crowd, limit: float, others_only: bool) -> Sifted:
    if pins.count < 2:
        return _all_open(pins, holes) if pins.count <= holes.count else _joined([])
    mine, theirs = alike_in_distances(pins, holes, limit, others_only)
    step = _together(holes)
    parts = [slice(n, n + step) for n in range(0, len(mine), step)]
    return _joined([_laid(pins, holes, mine[part], theirs[part], limit) for part in parts])


def _together(holes: Crowd) -> int:
    return max(1, _TOGETHER // max(1, holes.count) ** 2)


def _all_open(pins: Crowd, holes: Crowd) -> Sifted:
    """A single pin goes in wherever the hole is wide enough: nothing to sift."""
    mine, theirs = np.repeat(pins.which, len(holes)), np.tile(holes.which, len(pins))
    return Sifted(mine, theirs, np.zeros(len(mine), dtype=np.bool_))


def _anchored(found: Anchored, limit: float, others_only: bool) -> Sifted:
    """The pairs with each hole that a pin may take, laid from there; every pair is named once."""
    keep = slice(None)
    if others_only:
        keep = found.pins.which[found.mine] != found.holes.which[found.theirs]
    mine, theirs, hole = found.mine[keep], found.theirs[keep], found.hole[keep]
    step = _together(found.holes)
    parts = [slice(n, n + step) for n in range(0, len(mine), step)]
    laid = [_laid(found.pins, found.holes, mine[p], theirs[p], limit, hole[p]) for p in parts]
    return _once(_joined(laid))


def _laid(pins: Crowd, holes: Crowd, mine: Whole, theirs: Whole, limit: float, at: Whole | None = None) -> Sifted:
    found = laid(pins, holes, mine, theirs, limit, at)
    return Sifted(pins.which[mine[found.may]], holes.which[theirs[found.may]], found.goes[found.may])


def _once(found: Sifted) -> Sifted:
    """Each pair once, sure where any of its ways is."""
    if not len(found):
        return found
    _, first, of = np.unique(found.pins * (found.holes.max() + 1) + found.holes, return_index=True, return_inverse=True)
    sure = np.bincount(of.ravel(), found.sure, minlength=len(first)) > 0
    return Sifted(found.pins[first], found.holes[first], sure)


def _joined(parts: list[Sifted]) -> Sifted:
    if not parts:
        none = np.zeros(0, dtype=np.intp)
        return Sifted(none, none, np.zeros(0, dtype=np.bool_))
    return Sifted(*(np.concatenate([getattr(p, name) for p in parts]) for name in ("pins", "holes", "sure")))
