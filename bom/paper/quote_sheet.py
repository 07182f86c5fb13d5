"""The spreadsheet a supplier is asked to fill in: our lines, and empty cells for price, MOQ, multiple and lead time."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bom.paper.sheets import as_text
from bom.paper.whole_file import written_whole

HEADER = (
    "Your code",
    "Part number",
    "Description",
    "Quantity",
    "Unit price",
    "Currency",
    "Minimum quantity",
    "Multiple",
    "Lead time, days",
)
REQUEST = "Please fill in the empty cells. No substitutes without asking. Prices without tax."
WIDTHS = (16, 20, 36, 10, 12, 10, 18, 10, 16)
FIRST_LINE = 4


@dataclass(frozen=True, slots=True)
class AskedLine:
    """One part asked for."""

    supplier_code: str
    part_number: str
    description: str
    quantity: int


def write_request(path: Path, supplier: str, currency: str, lines: tuple[AskedLine, ...]) -> None:
    """Write the workbook; part numbers are text and nothing in it can run."""
    from openpyxl import Workbook
    from openpyxl.utils import get_column_letter

    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Quote"
    as_text(sheet["A1"], f"Request for a quote to {supplier}")
    as_text(sheet["A2"], REQUEST)
    for column, (heading, width) in enumerate(zip(HEADER, WIDTHS, strict=True), 1):
        as_text(sheet.cell(FIRST_LINE - 1, column), heading)
        sheet.column_dimensions[get_column_letter(column)].width = width
    for row, line in enumerate(lines, FIRST_LINE):
        _line(sheet, row, line, currency)
    sheet.freeze_panes = f"A{FIRST_LINE}"
    with written_whole(path) as unfinished:
        book.save(unfinished)


def _line(sheet: Any, row: int, line: AskedLine, currency: str) -> None:
    for column, text in enumerate((line.supplier_code, line.part_number, line.description), 1):
        as_text(sheet.cell(row, column), text)
    sheet.cell(row, 4, line.quantity)
    as_text(sheet.cell(row, 6), currency)
