"""A list of things, one a row, in any file a shop keeps one in: CSV or TSV, XLSX, XLS or ODS.

A file of text whose first row names the columns as they are named here is read line by line, strictly (``rows``,
``long_table``). Any other is looked at as a sheet: which one, in which row its headings stand, and what each means, by
the column's own names or by a ``Reading``. What the rows below say is for ``sheet_lines``.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

from bom.intake.dialect import SEPARATORS, encoding_of, top_of
from bom.intake.long_table import BytesTold, LongTable
from bom.intake.rows import Report, Row, columns_of, csv_rows, csv_text, is_it, is_note
from bom.intake.sheet_lines import Found, Known, row_of
from bom.intake.spreadsheets.book import ENDINGS, begins_as_spreadsheet, book_in
from bom.intake.spreadsheets.cell_text import said
from bom.intake.spreadsheets.sheet import Book, Cells, Sheet, is_blank
from bom.values.column import closed
from bom.values.problem import Problem, Refused
from bom.values.reading import LISTS, Reading, nothing, same_heading

HEADINGS_WITHIN = 50
"""Headings are looked for in so many rows from the top. Our own choice."""


@dataclass(frozen=True, slots=True)
class ShopList:
    """A list in a file: the file, what the list is of (as in ``LISTS``), and its sheet, "" where headings tell it.

    ``book`` is the file where it was opened already.
    """

    path: Path
    of: str
    sheet: str = ""
    book: Book | None = field(default=None, compare=False, repr=False)

    @property
    def is_there(self) -> bool:
        """Whether there is such a file, and in a workbook that holds several lists such a sheet."""
        if self.book is None or not self.sheet:
            return self.path.exists()
        return any(_is_called(s, self.sheet) for s in self.book.sheets)


_OF_TEXT = (".csv", ".tsv", ".txt")
_ENDINGS = (*_OF_TEXT, *ENDINGS)
IN_CATALOGUE = ("footprints", "wirings", "ratings", "supplies", "relays")


def is_list_file(path: Path) -> bool:
    """Whether this is one file that holds a list, or a workbook of several, rather than a folder of them."""
    return begins_as_spreadsheet(path) or (path.suffix.casefold() in _OF_TEXT and path.is_file())


def of_what(path: Path, report: Report) -> str:
    """What the one list in this file is of: what its reading says, or its name, else relays; "" of a workbook that has
    a sheet for each."""
    if told := [of for of in IN_CATALOGUE if report.how.reading(of)]:
        return told[0]
    if begins_as_spreadsheet(path) and not report.how.sheet:
        book = _opened(path, report)
        if not book.sheets or any(_is_called(sheet, of) for sheet in book.sheets for of in IN_CATALOGUE):
            return ""
    return path.stem.casefold() if path.stem.casefold() in IN_CATALOGUE else "relays"


def list_in_folder(folder: Path, of: str, report: Report) -> ShopList:
    """The list of this kind in a catalogue folder: a file of its name, or the sheet of its name in the one workbook
    there. ``folder`` may also be a workbook that holds them all, or a file of one list. Where there is none, the CSV
    that is not there."""
    if is_list_file(folder):
        if not (only := of_what(folder, report)):
            return _sheet_called(folder, of, report)
        return ShopList(folder, of) if of == only else ShopList(folder / f"{of}.csv", of)
    there = [folder / f"{of}{ending}" for ending in _ENDINGS if (folder / f"{of}{ending}").is_file()]
    if len(there) > 1:
        report.wrong(folder.name, 0, "", f"one file of {of}", " and ".join(path.name for path in there))
    if there:
        return ShopList(there[0], of)
    books = [path for path in sorted(folder.glob("*")) if path.suffix.casefold() in ENDINGS and path.stem not in LISTS]
    return _sheet_called(books[0], of, report) if len(books) == 1 else ShopList(folder / f"{of}.csv", of)


def _sheet_called(path: Path, of: str, report: Report) -> ShopList:
    """The sheet of this kind's name, however large its letters; a workbook that cannot be read is told once."""
    book = _opened(path, report)
    return ShopList(path, of, next((s.name for s in book.sheets if _is_called(s, of)), of), book)


def _opened(path: Path, report: Report) -> Book:
    try:
        return _opened_once(path, path.stat().st_mtime_ns)
    except Refused as refused:
        report.wrong(path.name, 0, "", str(refused))
        return Book(path.name, ())


@lru_cache(maxsize=1)
def _opened_once(path: Path, written: int) -> Book:
    return book_in(path)


def _is_called(sheet: Sheet, name: str) -> bool:
    return sheet.name.strip().casefold() == name.casefold()


def rows_of(shop_list: ShopList, required: Sequence[str], known: Known, report: Report) -> tuple[Row, ...]:
    """The rows that could be read; what is wrong goes to ``report``, and so does what was left out."""
    if _is_plain(shop_list, required, known, report):
        return csv_rows(shop_list.path, required, known, report)
    found = found_in(shop_list, required, known, report)
    return () if found is None else tuple(found.rows(report))


def table_of(
    shop_list: ShopList, required: Sequence[str], known: Known, report: Report, told: BytesTold | None = None
) -> LongTable | SheetTable:
    """The list as records to go through once: a plain CSV line by line, however long, anything else from its sheet."""
    if _is_plain(shop_list, required, known, report):
        return LongTable(shop_list.path, report, told)
    return SheetTable(shop_list, report)


@dataclass(slots=True)
class SheetTable:
    """A list from a sheet in the shape of a ``LongTable``."""

    shop_list: ShopList
    report: Report
    header: tuple[str, ...] = ()
    whole: bool = True
    line: int = 0
    letters: Mapping[str, str] = field(default_factory=nothing)
    known_wrong: frozenset[str] = frozenset()
    file: str = ""

    def __post_init__(self) -> None:
        self.file = self.shop_list.path.name

    def anew(self) -> SheetTable:
        """The same list to be gone through once more; what is wrong in it has been told."""
        return SheetTable(self.shop_list, Report(how=self.report.how))

    def records(self, required: Sequence[str], known: Known) -> Iterator[list[str]]:
        """Every row as texts in the order of ``header``."""
        before = len(self.report.problems)
        found = found_in(self.shop_list, required, known, self.report)
        self.whole = found is not None and len(self.report.problems) == before
        if found is None:
            return
        self.header, self.letters, self.file = found.stated, found.letters, found.sheet.where
        for row in found.rows(self.report):
            self.line, self.known_wrong = row.line, row.known_wrong
            yield [row.cells.get(column, "") for column in self.header]


def _is_plain(shop_list: ShopList, required: Sequence[str], known: Known, report: Report) -> bool:
    """Whether this is a file of text that nobody wants read in a way of its own."""
    how = report.how
    report.lists_asked.add(shop_list.of)
    if begins_as_spreadsheet(shop_list.path) or how.reading(shop_list.of) or how.sheet or how.heading_row:
        return False
    try:
        with shop_list.path.open("rb") as file:
            start = file.read(1 << 16)
    except OSError:
        return True  # which says so
    encoding = encoding_of(shop_list.path.name, start[: start.rfind(b"\n") + 1] or start)
    if isinstance(encoding, Problem):
        return True
    text = start.decode(encoding, "ignore")
    named = closed((*required, *known))
    separator = top_of(text, named).separator
    head = next((cells for _, cells in _parted(text, separator) if any(cells)), [])
    met = {named.meant(cell.strip()) for cell in head}
    if met >= set(required):
        return True
    if any(head) and not any(met):  # a title, or headings of one's own: a reading is what it wants
        return False
    return how.among(shop_list.of, _texts(_parted(text, separator))) is None


# --- sheets ---


def sheets_in(shop_list: ShopList, known: Iterable[str], report: Report) -> tuple[Sheet, ...]:
    """The sheets of the file: several of a workbook, one of text; none, with the problem told, where it is neither."""
    path = shop_list.path
    if begins_as_spreadsheet(path):
        try:
            return (shop_list.book or book_in(path)).sheets
        except Refused as refused:
            report.wrong(path.name, 0, "", str(refused))
        except OSError as error:
            report.wrong(path.name, 0, "", "a file that can be read", error.strerror or "")
        return ()
    if (text := csv_text(path, report)) is None:
        return ()
    top = top_of(text, closed(known))
    separator = top.separator if top.lines else _separator(text)
    return (Sheet(path.name, "", tuple(_lines(path.name, text, separator, top.lines, report))),)


def _separator(text: str) -> str:
    """What parts most of the first rows into equally many cells."""

    def parted(mark: str) -> int:
        widths = [len(cells) for _, cells in _parted(text, mark)]
        usual = max(set(widths), key=lambda width: (width > 1, widths.count(width))) if widths else 0
        return widths.count(usual) * usual if usual > 1 else 0

    return max(SEPARATORS, key=parted)


def _parted(text: str, mark: str) -> list[tuple[int, list[str]]]:
    lines = text.splitlines()[:HEADINGS_WITHIN]
    try:
        return list(enumerate(csv.reader(lines, delimiter=mark), 1))
    except csv.Error:
        return []


def _lines(name: str, text: str, separator: str, above: int, report: Report) -> Iterator[tuple[int, Cells]]:
    """(first line, cells) of every record, blank ones among them; quoting as in RFC 4180."""
    reader, line = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True), 1
    try:
        for cells in reader:
            if line > above:
                yield line, [cell.strip() or None for cell in cells]
            line = reader.line_num + 1
    except csv.Error as error:
        report.wrong(name, line, "", "cells quoted so that every quote is closed", str(error))


def _texts(rows: Iterable[tuple[int, Cells]]) -> Iterator[list[str]]:
    for _, cells in rows:
        yield [said(cell) for cell in cells]


# --- which sheet, which row, which column ---


def found_in(shop_list: ShopList, required: Sequence[str], known: Known, report: Report) -> Found | None:
    """The list's sheet and headings; None with the reason in ``report``."""
    sheets = [s for s in sheets_in(shop_list, (*required, *known), report) if _says_anything(s)]
    if not sheets:
        if not report.problems:
            report.wrong(shop_list.path.name, 0, "", "a heading row", "an empty file")
        return None
    reading = report.how.reading(shop_list.of) or _remembered(shop_list, sheets, report)
    if (chosen := _chosen(shop_list, sheets, reading, required, known, report)) is None:
        return None
    sheet, row = chosen
    if hidden := [one.name for one in sheets if one.hidden and one is not sheet]:
        report.note(f"{shop_list.path.name}: not read, since hidden: {', '.join(hidden)}")
    heads = [said(cell) for cell in row_of(sheet, row)]
    before = len(report.problems)
    columns = (
        columns_of(sheet.where, row, heads, required, known, report)
        if reading is None
        else _named(sheet.where, row, heads, required, known, reading, report)
    )
    if len(report.problems) > before and not set(columns) >= set(required) - set(reading.every_row if reading else ()):
        return None
    return Found(shop_list.of, sheet, row, columns, known, required, reading)


def _says_anything(sheet: Sheet) -> bool:
    return any(not is_blank(cell) for _, cells in sheet.rows for cell in cells)


def _remembered(shop_list: ShopList, sheets: Iterable[Sheet], report: Report) -> Reading | None:
    tops = (cells for sheet in sheets for cells in _texts(sheet.rows[:HEADINGS_WITHIN]))
    if found := report.how.among(shop_list.of, tops):
        report.note(f"{shop_list.path.name}: read as remembered for these headings (bom catalog readings shows how)")
    return found


def _chosen(
    shop_list: ShopList,
    sheets: Sequence[Sheet],
    reading: Reading | None,
    required: Sequence[str],
    known: Known,
    report: Report,
) -> tuple[Sheet, int] | None:
    """The sheet and the row of its headings."""
    asked = report.how.sheet or shop_list.sheet or (reading.sheet if reading else "")
    if report.how.sheet and not any(s.name for s in sheets):
        report.wrong(shop_list.path.name, 0, "", "a file with sheets, or no --sheet", "text, which has none")
        return None
    if asked and any(s.name for s in sheets):
        named = [s for s in sheets if s.name.casefold() == asked.casefold()]
        if not named:
            names = [s.name for s in sheets]
            report.wrong(
                shop_list.path.name, 0, "", f"one of the sheets {', '.join(names)}{is_it(asked, names)}", asked
            )
            return None
        sheets = named
    if wanted_row := report.how.heading_row or (reading.heading_row if reading else 0):
        return _at_row(shop_list, sheets, wanted_row, report)
    return _by_headings(shop_list, sheets, reading, required, known, report)


def _at_row(shop_list: ShopList, sheets: Sequence[Sheet], row: int, report: Report) -> tuple[Sheet, int] | None:
    having = [s for s in sheets if not s.hidden and any(not is_blank(c) for c in row_of(s, row))]
    if len(having) == 1 or (having and len(sheets) == 1):
        return having[0], row
    where = shop_list.path.name
    if not having:
        report.wrong(where, row, "", "a row of headings (heading_row counts from 1)", "a blank row")
    else:
        report.wrong(where, 0, "", _which(having))
    return None


def _which(sheets: Iterable[Sheet]) -> str:
    return "one sheet with these headings (--sheet chooses among " + ", ".join(s.name for s in sheets) + ")"


def _by_headings(
    shop_list: ShopList,
    sheets: Sequence[Sheet],
    reading: Reading | None,
    required: Sequence[str],
    known: Known,
    report: Report,
) -> tuple[Sheet, int] | None:
    """The sheet and row with the most of the headings that are looked for; it must have them all to be sure."""
    words = closed((*required, *known))

    def met(cells: Cells) -> set[str]:
        if reading is not None:
            return {same_heading(said(cell)) for cell in cells} & reading.headings
        return {word for cell in cells if isinstance(cell, str) and (word := words.meant(cell.strip()))}

    wanted = reading.headings if reading else set(required)
    visible = [s for s in sheets if not s.hidden] or sheets
    best = []
    for sheet in visible:
        rows = [(met(cells), line) for line, cells in sheet.rows[:HEADINGS_WITHIN]]
        best.append((sheet, *max(rows, key=lambda row: (len(row[0]), -row[1]))))
    whole = [(sheet, line) for sheet, found, line in best if found >= wanted]
    if len(whole) == 1:
        return whole[0]
    if len(whole) > 1:
        report.wrong(shop_list.path.name, 0, "", _which(s for s, _ in whole))
        return None
    sheet, found, line = max(best, key=lambda b: len(b[1]))
    if len(found) >= 2:
        return sheet, line
    expected = f"a row of headings that are known ({', '.join(required)})"
    if reading:
        expected = f"the headings of [reading.columns] ({', '.join(reading.columns)})"
    else:
        hint = f"bom catalog reading {shop_list.path.name} --of {shop_list.of} proposes what each of yours means"
        expected = f"{expected}; {hint}"
    report.wrong(sheet.where if len(visible) == 1 else shop_list.path.name, 0, "", expected)
    return None


def _named(
    where: str, row: int, heads: Sequence[str], required: Sequence[str], known: Known, reading: Reading, report: Report
) -> tuple[str, ...]:
    """The columns of these headings as the reading names them."""
    meant = {same_heading(heading): column for heading, column in reading.columns.items()}
    there = [same_heading(text) for text in heads]
    for heading, column in reading.columns.items():
        if column and same_heading(heading) not in there:
            report.wrong(where, row, column, f"the heading {heading!r} that [reading.columns] names")
    columns = []
    for text, folded in zip(heads, there, strict=True):
        if text and folded not in meant and not is_note(text) and not report.leaves(text):
            report.wrong(where, row, text, 'a heading that [reading.columns] names; "" there leaves it out', text)
        columns.append(meant.get(folded, ""))
    for column in dict.fromkeys(c for c in columns if c and columns.count(c) > 1):
        report.wrong(where, row, column, "each column once", "twice")
    for column in required:
        if column not in columns and column not in reading.every_row and column != reading.sections:
            expected = f"a heading for {column} in [reading.columns], or its value in [reading.every_row]"
            report.wrong(where, row, column, expected)
    return tuple(columns)
