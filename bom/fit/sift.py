"""The sift: which of many drawings may go in at all, by conditions that everything that goes in must meet.

First the distances between pins (``bom.fit.spans``), then the pins laid on the holes (``bom.fit.laying``).  Nothing
that goes in is lost, nothing is said to go in that does not, and what is left open is for the exact search.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bom.fit.crowd import Crowd, Marks, Whole
from bom.fit.laying import laid
from bom.fit.pairing import ROUNDING_MM
from bom.fit.spans import alike_in_distances

_TOGETHER = 1024  # pairs laid on each other at once, so that memory stays small


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
    parts = [_sifted(p, h, limit_mm + ROUNDING_MM, others_only) for p in pins for h in holes if p.count <= h.count]
    return _joined(parts)


def _sifted(pins: Crowd, holes: Crowd, limit: float, others_only: bool) -> Sifted:
    if pins.count < 2:
        return _all_open(pins, holes)
    mine, theirs = alike_in_distances(pins, holes, limit, others_only)
    parts = [slice(n, n + _TOGETHER) for n in range(0, len(mine), _TOGETHER)]
    return _joined([_laid(pins, holes, mine[part], theirs[part], limit) for part in parts])


def _all_open(pins: Crowd, holes: Crowd) -> Sifted:
    """A single pin goes in wherever the hole is wide enough: nothing to sift."""
    mine, theirs = np.repeat(pins.which, len(holes)), np.tile(holes.which, len(pins))
    return Sifted(mine, theirs, np.zeros(len(mine), dtype=np.bool_))


def _laid(pins: Crowd, holes: Crowd, mine: Whole, theirs: Whole, limit: float) -> Sifted:
    found = laid(pins, holes, mine, theirs, limit)
    return Sifted(pins.which[mine[found.may]], holes.which[theirs[found.may]], found.goes[found.may])


def _joined(parts: list[Sifted]) -> Sifted:
    if not parts:
        none = np.zeros(0, dtype=np.intp)
        return Sifted(none, none, np.zeros(0, dtype=np.bool_))
    return Sifted(*(np.concatenate([getattr(p, name) for p in parts]) for name in ("pins", "holes", "sure")))
