"""A quote's spreadsheet as it came back: where its columns are, what its cells say, and what had been asked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from bom.intake.rows import Report, is_note
from bom.intake.shop_list import ShopList, sheets_in
from bom.intake.spreadsheets.cell_text import Days, as_text, said
from bom.intake.spreadsheets.sheet import AsShown, Broken, MergedInto, Sheet, Value, is_blank, letters
from bom.values.column import Column, Holds, folded, nearest
from bom.values.part_number import normal
from bom.values.problem import Problem, ProblemsFound, Refused
from bom.values.typed_day import EXPECTED, day_typed

QUOTE_COLUMNS = {
    "supplier_code": Column("The supplier's own code for the part.", "25K10", name="Your code"),
    "part_number": Column(
        "The part that was asked for.", "K2R-12S", Holds.PART_NUMBER, needed=True, name="Part number"
    ),
    "maker": Column("Who makes it.", "Kithmar", name="Maker"),
    "quantity": Column("How much was asked for.", "20", Holds.AMOUNT, name="Quantity"),
    "price": Column(
        "What it costs, without tax; empty is no offer.", "2.05", Holds.MONEY, needed=True, name="Unit price"
    ),
    "currency": Column("The currency of its prices, an ISO 4217 code.", "EUR", name="Currency"),
    "per": Column("The prices are for so many; empty is 1.", "100", Holds.WHOLE, name="Price is for, units"),
    "moq": Column("The least that is sold.", "5", Holds.WHOLE, name="Minimum quantity"),
    "multiple": Column("It is sold in multiples of this.", "5", Holds.WHOLE, name="Multiple"),
    "lead_days": Column("Days until it is here.", "4", Holds.WHOLE, name="Lead time, days"),
    "lower_from": Column("From so many on the lower price holds.", "50", Holds.WHOLE, name="Lower price from, units"),
    "lower_price": Column("The lower price.", "1.92", Holds.MONEY, name="Lower unit price"),
    "remark": Column("Anything that a person should read.", "last ones", name="Remark"),
}
COLUMNS = {column.name: key for key, column in QUOTE_COLUMNS.items()}
# Columns that our request has for whoever reads it; nothing in them is read back.
_FOR_THEM = ("Description", "Unit", "Wanted by")
HEADINGS = {word: name for name, word in COLUMNS.items()}
FOR, UNTIL, AS_ASKED = "For", "Prices valid until", "As asked"
_HEADER_WITHIN = 30
MOST_ROWS = 10_000  # far above any request; our own choice


@dataclass(slots=True)
class FilledSheet:
    """A sheet being read: its rows, where its columns are, and what was found wrong. Rows are those of the file; a
    part's number is in them as text, whatever a spreadsheet program holds it as."""

    sheet: Sheet
    rows: list[tuple[Any, ...]]
    asked: dict[str, int]
    places: dict[str, int] = field(default_factory=dict)
    first: int = 0
    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    @property
    def file(self) -> str:
        """The file's name, without its sheet."""
        return self.sheet.file

    def wrong(self, row: int, column: str, expected: str, found: str = "") -> None:
        place = self.places.get(COLUMNS.get(column, ""), -1)
        cell = f"{letters(place)}{row}" if self.sheet.name and row and place >= 0 else ""
        self.problems.append(Problem(self.sheet.where, row, column, expected, found, cell))

    def cell(self, row: int, word: str) -> Any:
        """The cell's value; None where it is empty or there is no such column."""
        place = self.places.get(word, -1)
        cells = self.rows[row - 1]
        value = cells[place] if 0 <= place < len(cells) else None
        return None if isinstance(value, str) and not value.strip() else value

    def text(self, row: int, word: str) -> str:
        return as_typed(self.cell(row, word))


def opened_sheet(path: Path, leave_out: Sequence[str] = ()) -> FilledSheet:
    """The sheet with the quote's lines. A heading that is not known is a problem, unless it is one to ``leave_out``."""
    if not path.is_file():
        raise Refused(f"there is no file {path}")
    report = Report()
    sheets = sheets_in(ShopList(path, "quote"), HEADINGS.values(), report)
    report.settle()
    asked = _as_asked(sheets)
    filled = [FilledSheet(one, _rows(one), asked) for one in sheets if one.name != AS_ASKED]
    for sheet in filled:
        if _find_header(sheet):
            _check_headings(sheet, Report().leave_out(leave_out))
            _settle_cells(sheet)
            sheet.notes += _pinned(sheet)
            return sheet
    raise ProblemsFound([_no_header(path.name, [sheet.rows for sheet in filled])])


def _rows(sheet: Sheet) -> list[tuple[Any, ...]]:
    """Every row up to the last that says anything, at its own place in the file."""
    saying = [(line, cells) for line, cells in sheet.rows if not all(map(is_blank, cells))]
    rows: list[tuple[Any, ...]] = [()] * (saying[-1][0] if saying else 0)
    if len(rows) > MOST_ROWS:
        raise Refused(f"{sheet.file}: expected a quote of at most {MOST_ROWS} rows")
    for line, cells in saying:
        rows[line - 1] = tuple(cells)
    return rows


def _settle_cells(sheet: FilledSheet) -> None:
    """Numbers without how they are shown, parts' numbers as text; a cell that cannot be trusted is a problem."""
    named = {place: word for word, place in sheet.places.items()}
    for row, cells in enumerate(sheet.rows, 1):
        below = row >= sheet.first
        sheet.rows[row - 1] = tuple(
            _settled(sheet, row, named.get(place, "") if below else "", cell) for place, cell in enumerate(cells)
        )


def _pinned(sheet: FilledSheet) -> Iterator[str]:
    """What they pinned to cells of the lines, for a person to read."""
    for (row, place), text in sorted(sheet.sheet.remarks.items()):
        if row >= sheet.first:
            yield f"line {row}: pinned to {letters(place)}{row}: {' '.join(text.split())[:200]!r}"


def _settled(sheet: FilledSheet, row: int, word: str, value: Value) -> Any:
    if isinstance(value, Broken):
        if word:
            sheet.wrong(row, HEADINGS[word], "a value (a cell that cannot be trusted is not empty)", value.what)
        return None
    if isinstance(value, MergedInto):
        return None
    if word == "part_number" and value is not None and not isinstance(value, str | date):
        try:
            return as_text(QUOTE_COLUMNS[word], value, Days())
        except Refused as refused:
            sheet.wrong(row, HEADINGS[word], str(refused), said(value))
            return ""
    return value.number if isinstance(value, AsShown) else value


def _as_asked(sheets: Sequence[Sheet]) -> dict[str, int]:
    """Part to quantity as it was asked, from the hidden sheet; empty where that is gone."""
    rows = [cells for sheet in sheets if sheet.name == AS_ASKED for _, cells in sheet.rows if len(cells) > 1]
    return {normal(said(part)): int(n) for part, n, *_ in rows if part and isinstance(n, int | float) and n == int(n)}


def _no_header(name: str, sheets: Sequence[list[tuple[Any, ...]]]) -> Problem:
    """What the row that is likest to a header lacks to be one, and the heading there that may be meant by it."""
    wanted = {HEADINGS["part_number"], HEADINGS["price"]}
    tops = [(number, row) for rows in sheets for number, row in enumerate(rows[:_HEADER_WITHIN], 1)]
    number, row = max(tops, key=lambda top: len(_headings(top[1])), default=(0, ()))
    expected = "a header row with Part number and Unit price"
    if not (found := _headings(row)) & wanted:
        return Problem(name, 0, "", expected)
    (lacking,) = wanted - found
    others = [as_typed(cell) for cell in row if cell is not None and not _heading(cell)]
    return Problem(name, number, lacking, expected, nearest(lacking, others))


def _headings(row: tuple[Any, ...]) -> set[str]:
    return {heading for cell in row if (heading := _heading(cell))}


def _find_header(sheet: FilledSheet) -> bool:
    """Whether the lines of the quote are on this sheet; they need not be on the first one."""
    for number, row in enumerate(sheet.rows[:_HEADER_WITHIN], 1):
        found = {COLUMNS[name]: place for place, cell in enumerate(row) if (name := _heading(cell)) in COLUMNS}
        if {"part_number", "price"} <= set(found):
            sheet.places, sheet.first = found, number + 1
            return True
    return False


def _check_headings(sheet: FilledSheet, report: Report) -> None:
    row, known = sheet.first - 1, (*COLUMNS, *_FOR_THEM)
    for text in (as_typed(cell) for cell in sheet.rows[row - 1]):
        if text and folded(text) not in map(folded, known) and not is_note(text) and not report.leaves(text):
            near = nearest(text, known)
            expected = f"a heading of the request{f' ({near!r}?)' if near else ''}, or --leave-out {text!r}"
            sheet.wrong(row, text, expected, "one that is not known")
    sheet.problems += [problem for word, problem in report.unmet.items() if word not in report.left_out]


def _heading(cell: object) -> str:
    return next((name for name in COLUMNS if folded(name) == folded(str(cell))), "")


def beside(sheet: FilledSheet, label: str) -> Any:
    """The first value to the right of this label above the header."""
    for row in sheet.rows[: sheet.first - 1]:
        for place, cell in enumerate(row):
            if isinstance(cell, str) and cell.strip().rstrip(":").casefold() == label.casefold():
                return next((value for value in row[place + 1 :] if value not in (None, "")), None)
    return None


def day_in(sheet: FilledSheet, value: Any) -> date | None:
    """A date as a cell or as text; 3/4/2027 could be two days, so it is asked for."""
    if value is None:
        return None
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    if (found := day_typed(str(value))) is None:
        sheet.wrong(0, UNTIL, EXPECTED, str(value))
    return found


def as_typed(value: Any) -> str:
    """What a cell says, as text: whole numbers without a point, other numbers with one."""
    if value is None:
        return ""
    if isinstance(value, float) and value == int(value):
        return str(int(value))
    return f"{Decimal(str(value)):f}" if isinstance(value, float) else str(value).strip()
