"""Measured drawings: pins and holes that lie where somebody measured them, to within an error, and not as drawn.

What goes in by more than the errors goes in. What goes in by less may not, and is tried on the board; what misses by
less may go in after all. Where a drawing states no error its places count as they are drawn.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bom.boards.board import Hole, HolePattern
from bom.fit.placement import Placement
from bom.fit.slots import circles_about, play_of
from bom.relays.footprint import Footprint, Pin

LAY_IT_ON = "print it at 1:1 and lay it on"


@dataclass(frozen=True, slots=True)
class Doubt:
    """The pin that comes off worst once its own error and its hole's are taken from its play, all in mm."""

    pin: Pin
    hole: Hole
    play_mm: float
    error_mm: float

    @property
    def sure_mm(self) -> float:
        """The play that is left at the worst; negative where it may not go in."""
        return self.play_mm - self.error_mm

    @property
    def what_to_measure(self) -> str:
        """Whichever of the two is known less well."""
        pin, hole = self.pin.error_mm or 0.0, self.hole.error_mm or 0.0
        return f"pin {self.pin.name}" if pin > hole else f"hole {self.hole.name}"


def most_error(places: Sequence[Pin] | Sequence[Hole]) -> float:
    """The largest error that is stated among them, in mm."""
    return max((p.error_mm or 0.0 for p in places), default=0.0)


def is_measured(footprint: Footprint, pattern: HolePattern) -> bool:
    """Whether any place in either drawing has an error."""
    return most_error(footprint.pins) > 0 or most_error(pattern.holes) > 0


def widened(footprint: Footprint, pattern: HolePattern) -> tuple[Hole, ...]:
    """The holes, each so wide that whatever may go in by the errors goes in: by its own error and the largest of any
    pin all round, a slot as the round hole about it."""
    own = most_error(footprint.pins)
    return tuple(_wider(hole, own) for hole in circles_about(pattern).holes)


def _wider(hole: Hole, pins_error: float) -> Hole:
    if hole.drill_mm is None:
        return hole
    return replace(hole, drill_mm=hole.drill_mm + 2 * (pins_error + (hole.error_mm or 0.0)))


def doubt_at(way: Placement, footprint: Footprint, pattern: HolePattern) -> Doubt | None:
    """The worst pin of a position; None where a size is not stated, which is the question to ask first."""
    holes = {h.name: h for h in pattern.holes}
    found = []
    for pin in footprint.pins:
        hole = holes[way.assignment[pin.name]]
        if (play := play_of(pin, hole, way)) is None:
            return None
        found.append(Doubt(pin, hole, play, (pin.error_mm or 0.0) + (hole.error_mm or 0.0)))
    return min(found, key=lambda doubt: doubt.sure_mm, default=None)


def as_drawn(way: Placement, footprint: Footprint, pattern: HolePattern) -> Placement:
    """A position found in widened holes, with the play that the holes as drawn leave there; negative: it misses."""
    holes = {h.name: h for h in pattern.holes}
    plays = [(play_of(p, holes[way.assignment[p.name]], way), p.name) for p in footprint.pins]
    known = [(play, name) for play, name in plays if play is not None]
    play, tightest = min(known, default=(way.play_mm, way.tightest))
    return replace(way, play_mm=play, tightest=tightest)
