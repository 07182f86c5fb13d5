"""What was found of a shop's own spreadsheet: what its headings likely mean, and what is remembered of others."""

from __future__ import annotations

from dataclasses import dataclass

from bom.values.problem import Problem


@dataclass(frozen=True, slots=True)
class HeadingRead:
    """A heading, the column it is taken for ("" = left out), why that is in doubt ("" = it is not), what its first
    cells hold, and what the first rows are understood as."""

    heading: str
    column: str
    doubt: str
    holds: tuple[str, ...]
    understood: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReadingProposed:
    """How a sheet would be read. ``asked`` are columns that nobody states yet, ``doubts`` how many values wait for a
    person; ``written`` is the file to look through ("" = none), ``next`` the command that takes the sheet then."""

    of: str
    where: str
    heading_row: int
    headings: tuple[HeadingRead, ...]
    asked: tuple[str, ...]
    doubts: int
    notes: tuple[str, ...]
    problems: tuple[Problem, ...]
    written: str
    next: str


@dataclass(frozen=True, slots=True)
class ReadingRemembered:
    """A reading that the next sheet with these headings is read by; headings that are left out have no column."""

    of: str
    headings: dict[str, str]
