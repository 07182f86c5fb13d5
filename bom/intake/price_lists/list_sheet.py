"""A price list in a spreadsheet: its sheet under its headings, cell by cell the text that a CSV would have.

A number there has no decimal sign to doubt, so it is written with the sign that the list's own texts show (else the
configured one, else a point) and with a digit more where three of them might part thousands. Part numbers and codes
that a spreadsheet program changed are told as what it made of them.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from bom.intake.price_lists.amounts import MarksShown, bare
from bom.intake.price_lists.list_file import HEADER_WITHIN, ListReport, ListSource, has_headings, heading
from bom.intake.spreadsheets.book import book_of
from bom.intake.spreadsheets.cell_text import Days, as_text, said
from bom.intake.spreadsheets.sheet import AsShown, Broken, Cells, MergedInto, Sheet, Value, is_blank, letters
from bom.values.column import Column, Holds
from bom.values.problem import Refused

_CODE = Column("A part's number or a supplier's code.", holds=Holds.PART_NUMBER)


@dataclass(slots=True)
class SheetList:
    """A list whose headings are found in a sheet. ``codes`` are the places of part numbers and codes; ``decimal`` is
    the sign that numbers are written with."""

    sheet: Sheet
    header: tuple[str, ...]
    line: int
    codes: Collection[int]
    decimal: str = "."
    known: dict[float, str] = field(default_factory=dict)

    def place(self, name: str) -> int:
        """Which cell of a row stands under this heading; -1 where the list has none."""
        folded = heading(name)
        return self.header.index(folded) if name and folded in self.header else -1

    def rows(self, report: ListReport) -> Iterator[tuple[int, list[str]]]:
        """(row, texts) of every row under the headings that is not blank: one for each heading and an empty one, which
        is what stands at place -1."""
        width = len(self.header)
        for line, cells in self.sheet.rows:
            if line <= self.line or all(map(is_blank, cells)):
                continue
            if tuple(heading(said(cell)) for cell in cells[:width]) == self.header:
                report.note(line, "the header", "stands here again; left out")
                continue
            texts = [self._text(line, place, cell, report) for place, cell in enumerate(cells[:width])]
            texts.extend([""] * (width + 1 - len(texts)))
            yield line, texts

    def _text(self, line: int, place: int, value: Value, report: ListReport) -> str:
        if value is None or isinstance(value, str):
            return value or ""
        if isinstance(value, Broken):
            if not value.what.startswith("#"):
                report.wrong(line, self.header[place], "a value", f"{value.what} in {letters(place)}{line}")
            return value.what
        if place in self.codes:
            return self._code(line, place, value, report)
        return self._plain(value)

    def _code(self, line: int, place: int, value: Value, report: ListReport) -> str:
        try:
            return as_text(_CODE, value, Days())
        except Refused as refused:
            report.wrong(line, self.header[place], str(refused), f"{said(value)} in {letters(place)}{line}")
            return ""

    def _plain(self, value: Value) -> str:
        if isinstance(value, MergedInto):
            return self._plain(value.above)
        if isinstance(value, AsShown):
            value = value.number
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, int | float):
            if value not in self.known:
                self.known[value] = self._number(value)
            return self.known[value]
        return value.date().isoformat() if isinstance(value, datetime) else said(value)

    def _number(self, value: float) -> str:
        text = said(float(value))
        return (f"{text}0" if re.fullmatch(r"-?\d+\.\d{3}", text) else text).replace(".", self.decimal)


def open_sheet(
    source: ListSource, sheet: str, decimal: str, headings: Sequence[str], codes: Sequence[str], report: ListReport
) -> SheetList | None:
    """The list under its headings, in the sheet named or else in the one that has them; None with the reasons in
    ``report``. ``codes`` are the headings of part numbers and supplier's codes."""
    try:
        with source.opened() as file:
            book = book_of(source.name, file.read())
    except Refused as refused:
        report.wrong(0, "", str(refused))
        return None
    wanted = {heading(h): h for h in headings}
    sheets = [s for s in book.sheets if not sheet or s.name.casefold() == sheet.casefold()]
    if not sheets:
        report.wrong(
            0, "", f"one of the sheets {', '.join(s.name for s in book.sheets)}, as sheet in [feed] says", sheet
        )
        return None
    found = [(len(wanted.keys() & set(header)), -line, one, header) for one in sheets for line, header in _tops(one)]
    best = max((known for known, *_ in found), default=0)
    if len({one.name for known, _, one, _ in found if known == best and not one.hidden}) > 1 and best:
        report.wrong(0, "", "one sheet with these headings (sheet in [feed] says which)", _names(found, best))
        return None
    if not found:
        report.wrong(0, "", "a header row", "an empty file")
        return None
    _, line, one, header = max(found, key=lambda f: (f[0], not f[2].hidden, f[1]))
    answer = SheetList(one, header, -line, frozenset())
    if not has_headings(answer, wanted, report):
        return None
    answer.codes = frozenset(place for name in codes if (place := answer.place(name)) >= 0)
    answer.decimal = decimal or _shown(answer, headings) or "."
    return answer


def _names(found: Sequence[tuple[int, int, Sheet, tuple[str, ...]]], best: int) -> str:
    return " and ".join(dict.fromkeys(one.name for known, _, one, _ in found if known == best))


def _tops(sheet: Sheet) -> Iterator[tuple[int, tuple[str, ...]]]:
    for line, cells in sheet.rows[:HEADER_WITHIN]:
        if not all(map(is_blank, cells)):
            yield line, _without_tail(cells)


def _without_tail(cells: Cells) -> tuple[str, ...]:
    texts = [heading(said(cell)) for cell in cells]
    while texts and not texts[-1]:
        texts.pop()
    return tuple(texts)


def _shown(found: SheetList, headings: Sequence[str]) -> str:
    """The decimal sign that cells of text show; empty where none does."""
    shown, places = MarksShown(), [found.place(name) for name in headings]
    for line, cells in found.sheet.rows:
        for place in places:
            value = cells[place] if line > found.line and place < len(cells) else None
            if isinstance(value, str) and place not in found.codes:
                shown.look(line, bare(value.strip()))
    return shown.mostly
