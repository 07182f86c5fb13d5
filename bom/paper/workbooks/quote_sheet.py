"""Knows the spreadsheet a supplier is asked to fill in: our lines, and marked cells for price, minimum and lead time.

A second, hidden sheet keeps the lines as they were asked, so that what somebody changed is seen when it comes back.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from bom.paper.letterhead import NOBODY, Letterhead
from bom.paper.workbooks.sheet import (
    as_text,
    bold,
    for_printing,
    header,
    number,
    tall_enough,
    title,
    to_fill_in,
    wrapped,
)
from bom.paper.writing import one_line, written_whole

# Name, width in characters, side, and whether the supplier fills it in. The names are read back by bom.intake.
COLUMNS = (
    ("Your code", 14, "left", False),
    ("Part number", 18, "left", False),
    ("Maker", 12, "left", False),
    ("Description", 30, "left", False),
    ("Quantity", 10, "right", False),
    ("Unit", 8, "left", False),
    ("Wanted by", 12, "right", False),
    ("Unit price", 11, "right", True),
    ("Currency", 11, "left", True),
    ("Price is for, units", 11, "right", True),
    ("Minimum quantity", 11, "right", True),
    ("Multiple", 9, "right", True),
    ("Lead time, days", 11, "right", True),
    ("Lower price from, units", 12, "right", True),
    ("Lower unit price", 11, "right", True),
    ("Remark", 24, "left", True),
)
FOR, UNTIL = "For", "Prices valid until"
AS_ASKED = "As asked"
ASKS = (
    "Please fill in the marked cells and send this sheet back; leave a line empty that you cannot supply.",
    "No substitutes without asking: we can only use the parts named here.",
    "Where a minimum, a multiple or a lead time differs from what is asked, please write yours.",
)
_DAY = "yyyy-mm-dd"


@dataclass(frozen=True, slots=True)
class AskedLine:
    """One part asked for: so many of a unit (piece, g, mm, ml); ``wanted_by`` None = as soon as it can be had."""

    supplier_code: str
    part_number: str
    maker: str
    description: str
    quantity: int
    unit: str = "piece"
    wanted_by: date | None = None


@dataclass(frozen=True, slots=True)
class QuoteRequest:
    """What one supplier is asked. ``with_tax``: the prices wanted include tax, as this supplier's lists do.

    ``caution`` says what a substitute could do, where a part is guided or rated for mains; empty where none is.
    """

    supplier: str
    currency: str
    lines: tuple[AskedLine, ...]
    made: date
    with_tax: bool = False
    caution: str = ""
    head: Letterhead = NOBODY


def write_request(path: Path, request: QuoteRequest) -> None:
    """Write the workbook; part numbers are text and nothing in it can run."""
    from openpyxl import Workbook

    book = Workbook()
    sheet: Any = book.active
    sheet.title = "Quote"
    top = _head(sheet, request)
    for row, line in enumerate(request.lines, top + 1):
        _line(sheet, row, line, request.currency)
    for_printing(sheet, f"C{top + 1}", f"{top}:{top}")
    _as_asked(book.create_sheet(AS_ASKED), request)
    with written_whole(path) as draft:
        book.save(draft)


def _head(sheet: Any, request: QuoteRequest) -> int:
    """What is asked, of whom, by whom, and until when prices hold (theirs to say); the row of the columns' names."""
    title(sheet, f"Request for a quote to {request.supplier}", request.made)
    as_text(sheet.cell(3, 1), FOR)
    as_text(sheet.cell(3, 2), request.supplier)
    as_text(sheet.cell(4, 1), UNTIL)
    sheet.merge_cells("A4:B4")
    to_fill_in(sheet.cell(4, 3))
    sheet.cell(4, 3).number_format = _DAY
    tax = "with tax" if request.with_tax else "without tax"
    prices = f"Prices for one unit (piece, g, mm, ml) in {request.currency}, {tax}, please."
    row = 5
    for label, text in request.head.lines():
        as_text(sheet.cell(row, 1), label)
        sheet.merge_cells(start_row=row, start_column=1, end_row=row, end_column=2)
        as_text(sheet.cell(row, 3), one_line(text))
        row += 1
    asks = (*ASKS, prices, *filter(None, [request.caution]))
    for place, text in enumerate(asks, row):
        _sentence(sheet, place, text)
    bold(sheet.cell(3, 2), sheet.cell(row + 1, 1))
    top = row + len(asks) + (0 if request.caution else 1)
    header(sheet, top, [column[:3] for column in COLUMNS])
    return top


def _sentence(sheet: Any, row: int, text: str) -> None:
    """Over the first columns together, so that nothing of it is cut off."""
    sheet.merge_cells(start_row=row, start_column=1, end_row=row, end_column=len(COLUMNS))
    as_text(sheet.cell(row, 1), text)
    sheet.cell(row, 1).alignment = _middle()


def _middle() -> Any:
    from openpyxl.styles import Alignment

    return Alignment(vertical="center", wrap_text=True)


def _line(sheet: Any, row: int, line: AskedLine, currency: str) -> None:
    texts = (line.supplier_code, line.part_number, line.maker, line.description)
    for column, text in enumerate(texts, 1):
        as_text(sheet.cell(row, column), text)
        wrapped(sheet.cell(row, column))
    number(sheet.cell(row, _place("Quantity")), line.quantity, "0")
    as_text(sheet.cell(row, _place("Unit")), line.unit)
    wanted = sheet.cell(row, _place("Wanted by"))
    if line.wanted_by:
        number(wanted, line.wanted_by, _DAY)
    else:
        as_text(wanted, "soonest")
    as_text(sheet.cell(row, _place("Currency")), currency)
    for column, (_, _, side, theirs) in enumerate(COLUMNS, 1):
        cell = sheet.cell(row, column)
        if theirs:
            to_fill_in(cell)
            cell.border = _box()
        if column > len(texts):
            cell.alignment = _on_top(side)
    tall_enough(sheet, row, [(text, COLUMNS[n][1]) for n, text in enumerate(texts)])


def _place(name: str) -> int:
    return next(n for n, column in enumerate(COLUMNS, 1) if column[0] == name)


def _box() -> Any:
    from openpyxl.styles import Border, Side

    thin = Side(style="thin", color="B8A860")
    return Border(left=thin, right=thin, top=thin, bottom=thin)


def _on_top(side: str) -> Any:
    from openpyxl.styles import Alignment

    return Alignment(horizontal=side, vertical="top", indent=1 if side == "left" else 0)


def _as_asked(sheet: Any, request: QuoteRequest) -> None:
    rows: Sequence[tuple[str, int]] = [(line.part_number, line.quantity) for line in request.lines]
    for row, (part, quantity) in enumerate(rows, 1):
        as_text(sheet.cell(row, 1), part)
        number(sheet.cell(row, 2), quantity, "0")
    sheet.sheet_state = "hidden"
