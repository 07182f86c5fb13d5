"""Knows how a spreadsheet's cells are written: text that can never run, numbers, money in its currency, headers, pages.

Nothing that came from outside can run: all such text goes through ``as_text``, which makes a text cell by force.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from bom.paper.writing import one_line, readable
from bom.values.money import EXPONENTS

Column = tuple[str, int, str]
"""A column's name, its width in characters, and the side that its values stand on."""
LINE_HEIGHT = 15.0  # points; a line of 11-point text in common spreadsheet programs
FACE = "Calibri"  # what the other cells have, so that bold ones look alike (openpyxl's default)


def as_text(cell: Any, text: object) -> None:
    """Text from outside into a cell, as text: never a formula, an error value, a number or a date.

    The quote prefix keeps it text when somebody edits the cell; ``@`` is the text format (ECMA-376 part 1, 18.8.30).
    """
    cell.value = readable(text)
    cell.data_type = "s"
    cell.number_format = "@"
    cell.quotePrefix = True


def number(cell: Any, value: object, form: str) -> None:
    """A number, a date or a formula that we wrote ourselves."""
    cell.value = value
    cell.number_format = form


def money_format(currency: str, finest: bool = False) -> str:
    """A number format with the currency's own digits and its code; ``finest`` shows fractions down to a millionth."""
    digits = EXPONENTS.get(currency, 2)
    point = "." if digits or finest else ""
    fine = "#" * (6 - digits) if finest else ""
    code = "".join(c for c in currency if c.isalpha())
    return f'#,##0{point}{"0" * digits}{fine}\\ "{code}"'


def sheet_names(wanted: Sequence[str], reserved: Sequence[str]) -> tuple[str, ...]:
    """A name for each sheet: at most 31 characters, none of ``[]:*?/\\``, and no two alike in any case."""
    taken = {name.casefold() for name in reserved}
    names = []
    for text in wanted:
        name = _free_name(_plain_name(text), taken)
        taken.add(name.casefold())
        names.append(name)
    return tuple(names)


def _plain_name(text: str) -> str:
    return re.sub(r"[\[\]:*?/\\]", " ", one_line(text)).strip(" '")[:31].strip(" '") or "Supplier"


def _free_name(name: str, taken: set[str]) -> str:
    answer, count = name, 1
    while answer.casefold() in taken:
        count += 1
        ending = f" {count}"
        answer = name[: 31 - len(ending)] + ending
    return answer


def title(sheet: Any, text: str, made: date, book: str = "") -> None:
    """The sheet's first rows: what it is, when it was made, the book's number."""
    from openpyxl.styles import Font

    as_text(sheet.cell(1, 1), text)
    sheet.cell(1, 1).font = Font(name=FACE, bold=True, size=14)
    as_text(sheet.cell(2, 1), f"Made {made.isoformat()}")
    if book:
        as_text(sheet.cell(3, 1), f"Book {book}")


def caution_above(sheet: Any, caution: str, columns: Iterable[Column]) -> None:
    """What can hurt, in the fourth row, over these columns as ``header`` takes them; nothing where there is nothing."""
    if caution:
        as_text(sheet.cell(4, 1), caution)
        bold(sheet.cell(4, 1))
        across(sheet, 4, [width for _, width, _ in columns])


def across(sheet: Any, row: int, widths: Sequence[int]) -> None:
    """The sentence in a row's first cell, over all columns together and wrapped, so that paper cuts nothing off."""
    sheet.merge_cells(start_row=row, start_column=1, end_row=row, end_column=len(widths))
    wrapped(sheet.cell(row, 1))
    tall_enough(sheet, row, [(str(sheet.cell(row, 1).value or ""), sum(widths))])


def header(sheet: Any, row: int, columns: Iterable[Column]) -> None:
    """Column heads."""
    from openpyxl.styles import Alignment, Font, PatternFill
    from openpyxl.utils import get_column_letter

    named = list(columns)
    for place, (name, width, side) in enumerate(named, 1):
        cell = sheet.cell(row, place)
        as_text(cell, name)
        cell.font = Font(name=FACE, bold=True, size=11)
        cell.fill = PatternFill("solid", fgColor="DDDDDD")
        indent = 1 if side == "left" and place > 1 else 0
        cell.alignment = Alignment(wrap_text=True, vertical="top", horizontal=side, indent=indent)
        sheet.column_dimensions[get_column_letter(place)].width = width
    tall_enough(sheet, row, [(name, width) for name, width, _ in named])


def said(cell: Any, text: object) -> None:
    """Text that wraps in its column."""
    as_text(cell, text)
    wrapped(cell)


def figure(cell: Any, value: object, form: str) -> None:
    """A number, a date or a formula of our own, to the right and level with the first line of the text beside it."""
    number(cell, value, form)
    to_the_right(cell)


def wrapped(cell: Any) -> None:
    """Text wraps in its column; a little room keeps it off the number before it."""
    from openpyxl.styles import Alignment

    indent = 1 if cell.column > 1 else 0
    cell.alignment = Alignment(wrap_text=True, vertical="top", horizontal="left", indent=indent)


def on_top(cell: Any) -> None:
    """A number stands level with the first line of the wrapped text beside it."""
    from openpyxl.styles import Alignment

    cell.alignment = Alignment(vertical="top")


def to_the_right(cell: Any) -> None:
    from openpyxl.styles import Alignment

    cell.alignment = Alignment(horizontal="right", vertical="top")


def bold(*cells: Any) -> None:
    from openpyxl.styles import Font

    for cell in cells:
        cell.font = Font(name=FACE, bold=True, size=11)


def to_fill_in(cell: Any) -> None:
    """A cell that people are meant to change."""
    from openpyxl.styles import PatternFill

    cell.fill = PatternFill("solid", fgColor="FFF7D6")


def tall_enough(sheet: Any, row: int, texts: Iterable[tuple[str, int]]) -> None:
    """The row as high as its longest wrapped text (text, column width) needs, words not split."""
    lines = max((_lines(text, width) for text, width in texts), default=1)
    sheet.row_dimensions[row].height = LINE_HEIGHT * lines


def rows_tall_enough(sheet: Any, first: int, columns: Sequence[Column]) -> None:
    """Every row from this one on as high as its wrapped texts need."""
    for row in range(first, sheet.max_row + 1):
        cells = [(sheet.cell(row, place), width) for place, (_, width, _) in enumerate(columns, 1)]
        tall_enough(sheet, row, [(str(c.value or ""), width) for c, width in cells if c.alignment.wrap_text])


def _lines(text: str, width: int) -> int:
    """Lines that the text takes; letters are taken a little wide, so that nothing is cut off."""
    count, left, width = 1, 0.0, max(1, width - 1)
    for word in text.split():
        need = 1.1 * (len(word) + 1)
        if left and left + need > width:
            count, left = count + 1, 0.0
        count += int(max(0, math.ceil(need / width) - 1))
        left += need
    return count


def for_printing(sheet: Any, freeze: str, header_rows: str) -> None:
    """Header stays in sight and on every page; landscape A4, as wide as one page, as long as it needs."""
    sheet.freeze_panes = freeze
    sheet.print_title_rows = header_rows
    sheet.print_area = sheet.dimensions
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.page_margins.left = sheet.page_margins.right = 0.4  # inches
    sheet.oddFooter.right.text = "&A, page &P of &N"
