"""Loose drawings without a catalogue or a board: one footprint, one hole pattern, some wirings, each from
its CSV file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from bom.boards.board import HolePattern
from bom.intake.drawings import footprints_in, patterns_in, wirings_in
from bom.intake.rows import Report
from bom.relays.footprint import Footprint
from bom.relays.wiring import Wiring

T = TypeVar("T", Footprint, HolePattern)


@dataclass(frozen=True, slots=True)
class Loose:
    """What the files of one trial hold: the pins, the holes they are tried in, and wirings by name."""

    pins: Footprint
    holes: HolePattern
    wirings: dict[str, Wiring]


def read_loose(
    pins: Path, holes: Path, wirings: Path | None = None, pattern: str | None = None, leave_out: Sequence[str] = ()
) -> Loose:
    """The files of one trial; ``pattern`` chooses among several hole patterns, ``leave_out`` names one's own columns.

    Raises ``ProblemsFound`` with every problem of every file.
    """
    report = Report().leave_out(leave_out)
    found = pins_in(pins, report), holes_in(holes, report, pattern), wirings_in(wirings, report) if wirings else {}
    return Loose(*report.taken(found).value)


def pins_in(path: Path, report: Report) -> Footprint:
    """The one footprint in this file; its *footprint* column may be absent."""
    return _only(path, "footprint", footprints_in(path, report, named=False), report) or Footprint("", ())


def holes_in(path: Path, report: Report, pattern: str | None = None) -> HolePattern:
    """The one hole pattern in this file, or the one of this name among several; its *pattern* column may be absent."""
    before = len(report.problems)
    found = patterns_in(path, report, named=False)
    if pattern is None:
        return _only(path, "pattern", found, report, "; --pattern NAME chooses one") or HolePattern("", ())
    if pattern not in found and len(report.problems) == before:
        report.wrong(path.name, 0, "pattern", "one of: " + " | ".join(filter(None, found)), pattern)
    return found.get(pattern) or HolePattern(pattern, ())


def _only(path: Path, column: str, found: dict[str, T], report: Report, hint: str = "") -> T | None:
    if len(found) != 1 and not any(p.file == path.name for p in report.problems):
        names = ", ".join(found) or "none"
        report.wrong(path.name, 0, column, f"one {column} in the file{hint if found else ''}", names)
    return next(iter(found.values()), None)
