"""The answer about a measured pattern: where every hole lies and how surely, or what to measure or say before that.

Where a pattern is open there are no positions at all, rough ones neither: somebody would drill by them.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from bom.measure.spans import Span, Turn

WEAK_MM = 0.5
"""A hole that is known no better than this is not known: half the pitch of the closest pins. Our own choice."""


@dataclass(frozen=True, slots=True)
class Spot:
    """One hole in mm, x to the right and y down; ``error_mm`` as ``least_squares.circles`` gives it."""

    name: str
    x_mm: float
    y_mm: float
    error_mm: float


@dataclass(frozen=True, slots=True)
class Checked:
    """A reading beside what the pattern gives for it; ``off_mm`` is reading less pattern, ``mistake`` left out."""

    span: Span
    fitted_mm: float
    mistake: bool = False

    @property
    def off_mm(self) -> float:
        return self.span.mm - self.fitted_mm


@dataclass(frozen=True, slots=True)
class Next:
    """A span to measure. ``either`` are the lengths that it has in shapes that agree so far; ``widest_mm`` the widest
    circle that is left once it is measured; ``again`` where it is measured already."""

    a: str
    b: str
    either: tuple[float, ...] = ()
    widest_mm: float | None = None
    again: bool = False


@dataclass(frozen=True, slots=True)
class Pattern:
    """The pattern found: every hole, every reading checked, how many readings there are to spare.

    ``covariance`` is that of x and y of each hole in turn, in mm squared. ``unchecked`` are spans in which a mistake of
    ``WEAK_MM`` would not show. ``better`` is the span that would sharpen it most, where that is worth it.
    """

    spots: tuple[Spot, ...]
    readings: tuple[Checked, ...]
    spare: int
    covariance: tuple[tuple[float, ...], ...]
    unchecked: tuple[Span, ...] = ()
    better: Next | None = None

    @property
    def widest_mm(self) -> float:
        return max(s.error_mm for s in self.spots)

    @property
    def mistakes(self) -> tuple[Checked, ...]:
        return tuple(r for r in self.readings if r.mistake)


class Lacks(StrEnum):
    """Why there is no pattern yet."""

    SPANS = "it can still bend"
    PERSPECTIVE = "the picture has no scale or perspective yet"
    WEAK = "it is held too loosely"
    SHAPES = "several shapes agree with the spans"
    AGREEMENT = "the spans contradict each other"
    TURN = "nobody said which way round it goes"
    OTHER_TURN = "no shape goes round as stated"


@dataclass(frozen=True, slots=True)
class Open:
    """No pattern yet: what it lacks, what to measure, and what to say instead where that does too.

    ``loose`` are the holes that still move against the rest, or the ends of what contradicts; ``turn`` is a turn whose
    statement would settle it; ``at_least`` so many more spans are needed whatever they are.
    """

    lacks: Lacks
    measure: tuple[Next, ...] = ()
    loose: tuple[str, ...] = ()
    turn: Turn | None = None
    at_least: int = 0
    widest_mm: float | None = None
