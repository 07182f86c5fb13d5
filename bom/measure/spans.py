"""Spans: what callipers read between two holes or two pins, how far off a reading may be, and what was seen by eye.

A span is read from centre to centre, or with the jaws on the outer or the inner edges of the two; the edges then lie
half of what each measures across from its centre. An error is a limit: a reading is off by no more, either way, and
any value within is as likely as another. Its standard deviation is then the limit over the root of three (JCGM
100:2008, *Guide to the expression of uncertainty in measurement*, 4.3.7).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import sqrt

LIKELY_ERROR_MM = (0.02, 0.05)
"""What a reading of digital callipers is off at most, usually: common practice, no source."""


class Jaws(StrEnum):
    """Where the jaws lay."""

    CENTRES = "centres"
    OUTSIDE = "outside"
    INSIDE = "inside"

    @property
    def halves(self) -> int:
        """How many times half of what each end measures across is added to the distance between the centres."""
        return {Jaws.CENTRES: 0, Jaws.OUTSIDE: 1, Jaws.INSIDE: -1}[self]


@dataclass(frozen=True, slots=True)
class Span:
    """One reading in mm between the things named ``a`` and ``b``, off by ``error_mm`` at most."""

    a: str
    b: str
    mm: float
    error_mm: float
    jaws: Jaws = Jaws.CENTRES

    @property
    def name(self) -> str:
        return f"{self.a}\N{EN DASH}{self.b}"

    @property
    def ends(self) -> frozenset[str]:
        return frozenset((self.a, self.b))


@dataclass(frozen=True, slots=True)
class Across:
    """What a round thing measures across where jaws touch it: a drill, a lead, a shank that stands in the hole; mm."""

    name: str
    mm: float
    error_mm: float


@dataclass(frozen=True, slots=True)
class Row:
    """Three or more that lie on a straight line, each off it by ``error_mm`` at most; the line goes through the first
    and the last."""

    names: tuple[str, ...]
    error_mm: float


@dataclass(frozen=True, slots=True)
class Turn:
    """Three of the pattern, and whether one goes clockwise from the first over the second to the third."""

    a: str
    b: str
    c: str
    clockwise: bool = True

    @property
    def words(self) -> str:
        return f"{self.a} {self.b} {self.c} {'clockwise' if self.clockwise else 'anticlockwise'}"


@dataclass(frozen=True, slots=True)
class Measured:
    """All that was measured of one pattern: the names in the order in which they were met, and every reading."""

    names: tuple[str, ...]
    spans: tuple[Span, ...]
    across: tuple[Across, ...] = ()
    turns: tuple[Turn, ...] = ()
    rows: tuple[Row, ...] = ()


def standard(limit: float) -> float:
    """The standard deviation of an error that is off by no more than ``limit``, any value being as likely.

    >>> round(standard(0.03), 4)
    0.0173
    """
    return limit / sqrt(3.0)
