"""How a shop's own spreadsheet is read: which of its headings is which column here, named once and remembered.

A reading belongs to a kind of list (*relays*, *stock*) and to a set of headings: whatever sheet has these headings is
read so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType

_NOTHING: Mapping[str, str] = MappingProxyType({})
LISTS = (
    *("relays", "footprints", "wirings", "ratings", "supplies"),
    *("stock", "usage", "levels", "counts", "pins", "holes"),
)
"""The kinds of lists that a reading can be of; each has its columns in ``bom explain``."""


def nothing() -> Mapping[str, str]:
    """An empty mapping, always the same one."""
    return _NOTHING


def same_heading(text: str) -> str:
    """A heading as it is compared: without capitals, and with one blank for blanks and line ends."""
    return " ".join(text.split()).casefold()


@dataclass(frozen=True)
class Reading:
    """``of`` is the kind of list. ``columns`` maps the sheet's headings to columns here, "" for one that is left out.

    ``sheet`` "" and ``heading_row`` 0 = wherever the headings stand. ``decimal`` is the sign in cells of text, ``days``
    the order of a day written with strokes, *d/m/y* or *m/d/y*; "" = the cells decide. ``units`` maps a heading to the
    unit that its bare numbers are in, where that is not the column's. ``every_row`` is what each row states in columns
    that the sheet has not. ``sections`` is the column that the titles of sections fill; "" = none.
    """

    of: str
    columns: Mapping[str, str]
    sheet: str = ""
    heading_row: int = 0
    decimal: str = ""
    days: str = ""
    sections: str = ""
    units: Mapping[str, str] = field(default_factory=nothing)
    every_row: Mapping[str, str] = field(default_factory=nothing)

    @property
    def headings(self) -> frozenset[str]:
        return frozenset(map(same_heading, self.columns))


Remembered = Callable[[str, frozenset[str]], Reading | None]
"""The reading that is remembered for a kind of list and just these headings (as ``same_heading`` makes them)."""


def nothing_remembered(of: str, headings: frozenset[str]) -> Reading | None:
    return None


@dataclass(frozen=True)
class HowRead:
    """What a person, or the database, says of how files are to be read: readings told, a sheet and a heading's row
    chosen by hand ("" and 0 = found), and what is remembered."""

    told: tuple[Reading, ...] = ()
    sheet: str = ""
    heading_row: int = 0
    remembered: Remembered = nothing_remembered

    def reading(self, of: str) -> Reading | None:
        """The reading told for this kind of list."""
        return next((one for one in self.told if one.of == of), None)

    def among(self, of: str, rows: Iterable[Iterable[str]]) -> Reading | None:
        """What is remembered of the first of these rows that are headings known from before."""
        for row in rows:
            headings = frozenset(same_heading(text) for text in row if text.strip())
            if headings and (found := self.remembered(of, headings)) is not None:
                return found
        return None


PLAIN = HowRead()


@dataclass(frozen=True)
class HowAsked:
    """What a command was told of how its files are read: files of readings, a sheet, the row of the headings."""

    readings: tuple[Path, ...] = ()
    sheet: str = ""
    heading_row: int = 0


AS_THEY_ARE = HowAsked()
