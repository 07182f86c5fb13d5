"""Spacing: a quick test that leaves out nearly every part that cannot go in.

Two pins go in only where two holes are about as far apart. Each pin's middle may be off its hole's by what the hole
leaves it and by how far a leg may be bent, so two pins by twice the most of that. A part with two pins as far apart as
no two holes certainly does not go in, whichever way it is turned or mirrored; of the rest the exact search decides.
What was measured may lie elsewhere by its error, and lets as much more by.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from math import dist, inf

from bom.boards.board import Hole
from bom.fit.measured_drawings import most_error
from bom.fit.placement import off_centre, reach_of, room_round
from bom.fit.plane import centres
from bom.relays.footprint import Pin

_ROUNDING_MM = 1e-4  # forgives rounding in the sums below; it only lets more by, so no test can tell a tenth of it

Leads = frozenset[tuple[float | None, float]]  # their diameters, and the reach of flat ones of known angle


@dataclass(frozen=True, slots=True)
class PinSpacing:
    """The distances between any two pins, the longest first, and the leads there are."""

    count: int
    apart: tuple[float, ...]
    leads: Leads
    error_mm: float = 0.0

    @classmethod
    def of(cls, pins: Sequence[Pin]) -> PinSpacing:
        leads = frozenset((p.lead_diameter_mm, reach_of(p)) for p in pins)
        return cls(len(pins), tuple(sorted(_distances(pins), reverse=True)), leads, most_error(pins))


@dataclass(frozen=True, slots=True)
class HoleSpacing:
    """The distances between any two holes, the shortest first, the drills there are, and how far a leg may be bent."""

    count: int
    apart: tuple[float, ...]
    drills: frozenset[float | None]
    dressing_mm: float
    error_mm: float = 0.0

    @classmethod
    def of(cls, holes: Sequence[Hole], dressing_mm: float = 0.0) -> HoleSpacing:
        drills = frozenset(h.slot_mm or h.drill_mm for h in holes)
        return cls(len(holes), tuple(sorted(_distances(holes))), drills, dressing_mm, most_error(holes))

    def may_take(self, pins: PinSpacing) -> bool:
        """Whether there are holes enough, and two of them about as far apart as any two pins. False is certain.

        >>> holes = HoleSpacing.of([Hole("a", 0, 0, 1.0), Hole("b", 7.5, 0, 1.0)])
        >>> holes.may_take(PinSpacing.of([Pin("1", 0, 0, 0.8), Pin("2", 0, 7.62, 0.8)]))
        True
        >>> holes.may_take(PinSpacing.of([Pin("1", 0, 0, 0.8), Pin("2", 0, 10.16, 0.8)]))
        False
        """
        if pins.count > self.count:
            return False
        doubt = self.error_mm + pins.error_mm
        slack = 2 * most_off(pins.leads, self.drills, self.dressing_mm + doubt) + _ROUNDING_MM
        return self._no_nearer_or_further(pins, slack) and all(self._has(distance, slack) for distance in pins.apart)

    def _no_nearer_or_further(self, pins: PinSpacing, slack: float) -> bool:
        """Each two pins take two holes of their own. So the longest distance of pins is no longer than the longest of
        holes, the next no longer than the next, and so on, and from the shortest on none is shorter."""
        longest = zip(pins.apart, reversed(self.apart), strict=False)
        shortest = zip(reversed(pins.apart), self.apart, strict=False)
        return all(p <= h + slack for p, h in longest) and all(p >= h - slack for p, h in shortest)

    def _has(self, distance: float, slack: float) -> bool:
        place = bisect_left(self.apart, distance - slack)
        return place < len(self.apart) and self.apart[place] <= distance + slack


@lru_cache(maxsize=4096)
def most_off(leads: Leads, drills: Iterable[float | None], dressing_mm: float) -> float:
    """The most that any of these leads may be off the middle of any of these holes, in mm; negative: all too thick."""
    # where a pin and a hole lie plays no part, so no test can tell
    here = 0.0, 0.0
    sized = [(Pin("", *here, lead), reach) for lead, reach in leads]
    drilled = [Hole("", *here, drill) for drill in drills]
    return max((off_centre(room_round(p, h) + dressing_mm, reach) for p, reach in sized for h in drilled), default=inf)


def _distances(spots: Sequence[Pin] | Sequence[Hole]) -> Iterable[float]:
    return (dist(a, b) for a, b in combinations(centres(spots), 2))
