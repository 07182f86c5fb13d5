"""Loose drawings without a catalogue or a board: one footprint, one hole pattern, some wirings, each from
its CSV file."""

from __future__ import annotations

from pathlib import Path
from typing import TypeVar

from bom.boards.board import HolePattern
from bom.intake.drawings import footprints_in, patterns_in, wirings_in
from bom.intake.rows import Report
from bom.relays.footprint import Footprint
from bom.relays.wiring import Wiring

T = TypeVar("T", Footprint, HolePattern)


def read_pins(path: Path) -> Footprint:
    """The one footprint in this file; its *footprint* column may be absent. Raises ``ProblemsFound``."""
    report = Report()
    return _only(path, "footprint", footprints_in(path, report, named=False), report)


def read_holes(path: Path, pattern: str | None = None) -> HolePattern:
    """The one hole pattern in this file, or the one of this name among several; its *pattern* column may be absent.
    Raises ``ProblemsFound``."""
    report = Report()
    found = patterns_in(path, report, named=False)
    if pattern is None:
        return _only(path, "pattern", found, report, "; --pattern NAME chooses one")
    if pattern not in found:
        report.wrong(path.name, 0, "pattern", "one of: " + " | ".join(filter(None, found)), pattern)
    report.settle()
    return found[pattern]


def read_wirings(path: Path) -> dict[str, Wiring]:
    """Name to wiring. Raises ``ProblemsFound``."""
    report = Report()
    return report.taken(wirings_in(path, report)).value


def _only(path: Path, column: str, found: dict[str, T], report: Report, hint: str = "") -> T:
    if len(found) != 1 and not report.problems:
        names = ", ".join(found) or "none"
        report.wrong(path.name, 0, column, f"one {column} in the file{hint if found else ''}", names)
    report.settle()
    return next(iter(found.values()))
