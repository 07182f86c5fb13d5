"""Any spreadsheet opened: XLSX, XLS and ODS become sheets of values, within bounds.

The values are read by calamine, which takes a sheet whole; so the file is first gone through to count what it holds,
and only what was counted is handed over. The same walk finds what calamine leaves out (``marks.py``). Whatever is
broken in a file is one problem that names it.
"""

from __future__ import annotations

import io
import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bom.intake.spreadsheets import ods_marks, xls_marks, xlsx_marks
from bom.intake.spreadsheets.bounds import MOST_BYTES, packed, unpacked
from bom.intake.spreadsheets.marks import Marks, shown_as
from bom.intake.spreadsheets.sheet import AsShown, Book, Broken, MergedInto, Sheet, Value, letters
from bom.values.problem import Refused

if TYPE_CHECKING:
    from python_calamine import CalamineSheet, CalamineWorkbook

ENDINGS = (".xlsx", ".xlsm", ".ods", ".xls")
_ZIP = b"PK\x03\x04"


def is_spreadsheet(start: bytes) -> bool:
    """Whether a file that begins so is a workbook of a kind read here, or at least lies in the same container."""
    return start.startswith((_ZIP, xls_marks.BEGINS))


def begins_as_spreadsheet(path: Path) -> bool:
    """Whether this file is there and begins as a workbook does."""
    try:
        with path.open("rb") as file:
            return is_spreadsheet(file.read(8))
    except OSError:
        return False


def book_in(path: Path) -> Book:
    """The workbook in this file; raises Refused with what was expected where it is too large or broken."""
    if path.stat().st_size > MOST_BYTES:
        raise Refused(f"a spreadsheet of at most {MOST_BYTES >> 20} MB")
    return book_of(path.name, path.read_bytes())


def book_of(name: str, data: bytes) -> Book:
    """The workbook of these bytes; raises Refused with what was expected where it is too large or broken."""
    if len(data) > MOST_BYTES:
        raise Refused(f"a spreadsheet of at most {MOST_BYTES >> 20} MB")
    counted = _counted(data)
    with _opened(counted.data) as book:
        visible = {sheet.name: str(sheet.visible).endswith("Visible") for sheet in book.sheets_metadata}
        sheets = tuple(
            _sheet(name, title, _values(book, nth), counted.of(title, nth), not visible.get(title, True))
            for nth, title in enumerate(book.sheet_names)
            if counted.has(title, nth)
        )
    return Book(name, sheets)


@dataclass(frozen=True, slots=True)
class _Counted:
    """A file gone through once: what may be handed to calamine, and the marks of its sheets, by name or in order."""

    data: bytes
    by_name: dict[str, Marks]
    in_order: tuple[Marks, ...] = ()

    def has(self, title: str, nth: int) -> bool:
        return title in self.by_name or nth < len(self.in_order)

    def of(self, title: str, nth: int) -> Marks:
        return self.by_name[title] if title in self.by_name else self.in_order[nth]


def _counted(data: bytes) -> _Counted:
    if data.startswith(xls_marks.BEGINS):
        return _Counted(data, {}, tuple(xls_marks.marks_in(data)))
    members = unpacked(data, lambda name: xlsx_marks.is_wanted(name) or ods_marks.is_wanted(name))
    if ods_marks.CONTENT in members:
        members = {name: part for name, part in members.items() if ods_marks.is_wanted(name)}
        return _Counted(packed(members), ods_marks.marks_in(members))
    if any(name.casefold() == "xl/workbook.bin" for name in members):
        raise Refused("a spreadsheet saved as .xlsx, .ods or .xls (this is a binary .xlsb)")
    return _Counted(packed(members), xlsx_marks.marks_in(members))


def _opened(data: bytes) -> CalamineWorkbook:
    from python_calamine import CalamineError, CalamineWorkbook, PasswordError

    try:
        return _held(CalamineWorkbook.from_filelike, io.BytesIO(data))  # type: ignore[no-any-return]
    except PasswordError as error:
        raise Refused("a spreadsheet without a password") from error
    except CalamineError as error:
        raise Refused(f"a spreadsheet that can be read ({error})") from error


def _values(book: CalamineWorkbook, nth: int) -> CalamineSheet:
    from python_calamine import CalamineError

    try:
        return _held(book.get_sheet_by_index, nth)  # type: ignore[no-any-return]
    except CalamineError as error:
        raise Refused(f"a sheet that can be read ({error})") from error


def _held(call: Any, *arguments: Any) -> Any:
    """The call's answer; a panic of the library, which comes as no Exception at all, is a broken file too."""
    try:
        with _unheard():
            return call(*arguments)
    except Exception:
        raise
    except BaseException as error:
        if type(error).__name__ != "PanicException":
            raise
        raise Refused("a spreadsheet that is whole") from None


@contextmanager
def _unheard() -> Iterator[None]:
    """Nothing is written to the process's stderr: a panic prints its own stack there, past Python."""
    try:
        kept, nowhere = os.dup(2), os.open(os.devnull, os.O_WRONLY)
    except OSError:  # no stderr to keep
        yield
        return
    try:
        os.dup2(nowhere, 2)
        yield
    finally:
        os.dup2(kept, 2)
        os.close(kept)
        os.close(nowhere)


def _sheet(file: str, title: str, values: CalamineSheet, marks: Marks, hidden: bool) -> Sheet:
    ranges = values.merged_cell_ranges or ()
    merged = [*marks.merged, *(((top + 1, left), (bottom + 1, right)) for (top, left), (bottom, right) in ranges)]
    rows: list[list[Value]] = list(_held(lambda: list(_plain(values))))
    _mark(rows, marks)
    _merge(rows, merged)
    return Sheet(file, title, tuple(enumerate(rows, 1)), hidden, frozenset(marks.hidden_rows), marks.remarks)


def _plain(values: CalamineSheet) -> Iterator[list[Value]]:
    for row in values.iter_rows():
        yield [None if cell == "" else cell for cell in row]


def _mark(rows: list[list[Value]], marks: Marks) -> None:
    """Put in what calamine leaves out."""
    for (row, column), shown in marks.shown.items():
        if isinstance(number := _at(rows, row, column), int | float):
            rows[row - 1][column] = AsShown(number, shown)
    for (row, column), form in marks.forms.items():
        if isinstance(number := _at(rows, row, column), int | float):
            rows[row - 1][column] = AsShown(number, shown_as(number, form))
    for (row, column), what in marks.broken.items():
        _put(rows, row, column, Broken(what))


def _at(rows: list[list[Value]], row: int, column: int) -> Value:
    cells = rows[row - 1] if 0 < row <= len(rows) else []
    return cells[column] if column < len(cells) else None


def _put(rows: list[list[Value]], row: int, column: int, value: Value) -> None:
    while len(rows) < row:
        rows.append([])
    cells = rows[row - 1]
    cells.extend([None] * (column + 1 - len(cells)))
    cells[column] = value


def _merge(rows: list[list[Value]], merged: list[tuple[tuple[int, int], tuple[int, int]]]) -> None:
    """Cells that are one with another above them say so; those beside it in its own row stay empty."""
    for (top, left), (bottom, _) in merged:
        above = _at(rows, top, left)
        if above is None:
            continue
        for row in range(top + 1, min(bottom, len(rows)) + 1):
            _put(rows, row, left, MergedInto(above, f"{letters(left)}{top}"))
