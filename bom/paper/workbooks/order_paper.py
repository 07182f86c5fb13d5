"""Knows the spreadsheet by which a supplier is sent an order: our number, what, by when, at which price and terms.

Nothing of other suppliers, of our stock or of why we order stands in it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from bom.paper.letterhead import Letterhead
from bom.paper.workbooks.sheet import (
    across,
    as_text,
    bold,
    figure,
    for_printing,
    header,
    money_format,
    said,
    tall_enough,
    title,
)
from bom.paper.writing import one_line, written_whole
from bom.values.money import EXPONENTS, Money, total

_COLUMNS = (
    ("Your code", 14, "left"),
    ("Part number", 20, "left"),
    ("Maker", 14, "left"),
    ("Description", 30, "left"),
    ("Quantity", 10, "right"),
    ("Unit", 8, "left"),
    ("Unit price", 15, "right"),
    ("Line total", 15, "right"),
    ("Deliver by", 12, "right"),
)


@dataclass(frozen=True, slots=True)
class OrderPaperLine:
    """One part ordered; ``unit_price`` None = no price of theirs is known, ``wanted_by`` None = no day was promised."""

    supplier_code: str
    part_number: str
    maker: str
    description: str
    quantity: Decimal
    unit: str = "piece"
    unit_price: Money | None = None
    wanted_by: date | None = None

    @property
    def line_total(self) -> Money | None:
        return None if self.unit_price is None else self.unit_price.times(self.quantity).rounded()


@dataclass(frozen=True, slots=True)
class OrderPaper:
    """One order to one supplier, money in ``currency``; ``terms`` are sentences, ours and those agreed with them."""

    number: str
    supplier: str
    currency: str
    made: date
    head: Letterhead
    lines: tuple[OrderPaperLine, ...]
    with_tax: bool = False
    deliver_to: str = ""
    terms: tuple[str, ...] = ()
    caution: str = ""

    @property
    def goods(self) -> Money | None:
        """What the lines come to; None where the price of one is not known."""
        sums = [line.line_total for line in self.lines]
        known = [one for one in sums if one is not None]
        return total(known, self.currency) if len(known) == len(sums) else None


def write_order_paper(path: Path, paper: OrderPaper) -> None:
    """Write the workbook; all texts are text and nothing in it can run but our own sums."""
    from openpyxl import Workbook

    book = Workbook()
    sheet: Any = book.active
    sheet.title = f"Order {paper.number}"
    top = _head(sheet, paper)
    header(sheet, top, _COLUMNS)
    for row, line in enumerate(paper.lines, top + 1):
        _line(sheet, row, line)
    _foot(sheet, top, paper)
    for_printing(sheet, f"A{top + 1}", f"{top}:{top}")
    with written_whole(path) as draft:
        book.save(draft)


def _head(sheet: Any, paper: OrderPaper) -> int:
    """Who orders from whom; the row that the columns' names stand in."""
    title(sheet, f"Order {paper.number} to {one_line(paper.supplier)}", paper.made)
    deliver = [("Deliver to", paper.deliver_to)] if paper.deliver_to else []
    row = 3
    for label, text in (*paper.head.lines(), *deliver):
        as_text(sheet.cell(row, 1), label)
        as_text(sheet.cell(row, 3), one_line(text))
        row += 1
    return row + 1


def _line(sheet: Any, row: int, line: OrderPaperLine) -> None:
    texts = {1: line.supplier_code, 2: line.part_number, 3: line.maker, 4: line.description, 6: line.unit}
    for column, text in texts.items():
        said(sheet.cell(row, column), text)
    figure(sheet.cell(row, 5), float(line.quantity), "#,##0.###" if line.quantity % 1 else "#,##0")
    if line.unit_price is None:
        said(sheet.cell(row, 7), "please state")
    else:
        code = line.unit_price.currency
        figure(sheet.cell(row, 7), float(line.unit_price.amount), money_format(code, finest=True))
        figure(sheet.cell(row, 8), f"=ROUND(E{row}*G{row},{EXPONENTS.get(code, 2)})", money_format(code))
    if line.wanted_by is None:
        said(sheet.cell(row, 9), "soonest")
    else:
        figure(sheet.cell(row, 9), line.wanted_by, "yyyy-mm-dd")
    tall_enough(sheet, row, [(text, _COLUMNS[column - 1][1]) for column, text in texts.items()])


def _foot(sheet: Any, top: int, paper: OrderPaper) -> None:
    last = top + len(paper.lines)
    tax = "tax included" if paper.with_tax else "without tax and shipping"
    label = f"Goods, {tax}" if paper.goods is not None else "Goods, as far as prices are known"
    as_text(sheet.cell(last + 1, 4), label)
    figure(sheet.cell(last + 1, 8), f"=SUM(H{top + 1}:H{last})", money_format(paper.currency))
    bold(sheet.cell(last + 1, 4), sheet.cell(last + 1, 8))
    naming = f"Please name our order number, {paper.number}, on the delivery note and the invoice."
    for row, text in enumerate((*paper.terms, naming, *filter(None, [paper.caution])), last + 3):
        as_text(sheet.cell(row, 1), one_line(text))
        across(sheet, row, [width for _, width, _ in _COLUMNS])
