"""What came of measuring a pattern: where its holes or pins lie and how surely, or what to do before that is known.

Lengths in mm, x to the right and y down as seen from ``view``, the first of the pattern at 0/0.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PlaceMeasured:
    """One hole or pin: all of a pattern lie within ``error_mm`` of their places with the answer's confidence."""

    name: str
    x_mm: float
    y_mm: float
    error_mm: float
    across_mm: float | None


@dataclass(frozen=True, slots=True)
class SpanChecked:
    """A reading beside what the pattern gives for it; ``left_out`` where it does not agree with the rest, ``checked``
    where a gross mistake in it would have shown."""

    a: str
    b: str
    jaws: str
    read_mm: float
    pattern_mm: float
    off_mm: float
    left_out: bool
    checked: bool

    @property
    def name(self) -> str:
        return f"{self.a}\N{EN DASH}{self.b}"


@dataclass(frozen=True, slots=True)
class SpanToMeasure:
    """A span to measure next. ``either_mm`` are the lengths it may have; ``leaves_mm`` how well the least known place
    is known afterwards; ``again`` where it was read already."""

    a: str
    b: str
    either_mm: tuple[float, ...]
    leaves_mm: float | None
    again: bool

    @property
    def name(self) -> str:
        return f"{self.a}\N{EN DASH}{self.b}"


@dataclass(frozen=True, slots=True)
class PatternMeasured:
    """The pattern, or where ``found`` is not so, in ``why`` and ``measure_next`` what it lacks.

    ``turn`` is what to state so that one of several patterns is left; ``spare`` counts readings beyond what is needed;
    ``confidence`` is how sure it is that all places lie within their errors, all of them together.
    """

    name: str
    of: str
    view: str
    found: bool
    why: str
    widest_error_mm: float | None
    confidence: float
    spare: int | None
    places: tuple[PlaceMeasured, ...]
    spans: tuple[SpanChecked, ...]
    measure_next: tuple[SpanToMeasure, ...]
    turn: str | None
    written: str | None
    drawing: str | None

    @property
    def left_out(self) -> tuple[SpanChecked, ...]:
        return tuple(s for s in self.spans if s.left_out)

    @property
    def unchecked(self) -> tuple[SpanChecked, ...]:
        return tuple(s for s in self.spans if not s.checked and not s.left_out)
