"""A sheet as it lies in its file: rows of cells, and where each stands.

A cell holds text, a number, a yes or no, a day or a time, or nothing. Where a spreadsheet program shows a number
otherwise than it is (1.00E+05, 00503, 12 %), the cell keeps both; where it holds no value that can be trusted, it is
``Broken`` and says why. What a column may take of these is decided where the columns are known (``columns.py``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta


@dataclass(frozen=True, slots=True)
class Broken:
    """A cell without a value to trust: an error such as #N/A, or a formula whose result was not saved."""

    what: str


@dataclass(frozen=True, slots=True)
class AsShown:
    """A number that its cell shows otherwise: 100000 as 1.00E+05, 503 as 00503, 0.12 as 12%."""

    number: float
    shown: str


@dataclass(frozen=True, slots=True)
class MergedInto:
    """A cell that is one with another above it, which holds the value of both."""

    above: Value
    place: str


Value = str | int | float | bool | date | datetime | time | timedelta | Broken | AsShown | MergedInto | None
Cells = Sequence[Value]


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of a workbook, or the whole of a file of text, which has no sheets and whose ``name`` is empty.

    ``rows`` are (row or line, 1 = the first; its cells, the first column first), those that say nothing among them;
    the cells of a row may be fewer than those of others. ``hidden_rows`` are in the file, but not to be seen in it;
    ``remarks`` are pinned to cells, by row and place.
    """

    file: str
    name: str
    rows: tuple[tuple[int, Cells], ...]
    hidden: bool = False
    hidden_rows: frozenset[int] = frozenset()
    remarks: Mapping[tuple[int, int], str] = field(default_factory=dict)

    @property
    def where(self) -> str:
        """The file, and the sheet where it has several: *shelf.xlsx, sheet Relays*."""
        return f"{self.file}, sheet {self.name}" if self.name else self.file


@dataclass(frozen=True, slots=True)
class Book:
    """A file with its sheets, in order."""

    file: str
    sheets: tuple[Sheet, ...]


def is_blank(value: Value) -> bool:
    return value is None or (isinstance(value, str) and not value.strip())


def letters(place: int) -> str:
    """A column's letters, place 0 being A, 26 being AA.

    >>> letters(0), letters(25), letters(26), letters(701)
    ('A', 'Z', 'AA', 'ZZ')
    """
    name = ""
    place += 1
    while place:
        place, left = divmod(place - 1, 26)
        name = chr(65 + left) + name
    return name


def column_place(ref: str) -> int:
    """Which column a reference such as AB12 is in, A being 0.

    >>> column_place("A1"), column_place("AB12")
    (0, 27)
    """
    place = 0
    for letter in ref:
        if not letter.isalpha():
            break
        place = place * 26 + ord(letter.upper()) - 64
    return place - 1
