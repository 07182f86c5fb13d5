"""Knows the reorder workbook as a whole: a summary, one sheet a supplier, the parts due, and what to look at.

It recalculates when a quantity is edited. Its cells are written by ``cells``, so nothing from outside runs.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from bom.paper.whole_file import written_whole
from bom.paper.workbooks.cells import as_text as as_text
from bom.paper.workbooks.cells import money_format as money_format
from bom.paper.workbooks.cells import sheet_names as names_of
from bom.paper.workbooks.order_sheet import Places, fill_order
from bom.paper.workbooks.reorder_book import ReorderBook, SupplierOrder
from bom.paper.workbooks.reorder_summary import fill_checks, fill_parts, fill_summary
from bom.values.problem import Refused

_SUMMARY, _PARTS, _CHECKS = "Summary", "Parts", "Checks"
# Spreadsheet programs keep the last name for themselves (from memory).
_RESERVED = (_SUMMARY, _PARTS, _CHECKS, "History")


def write_reorder(path: Path, book: ReorderBook) -> None:
    """The workbook at ``path``, whole or not at all. Mixed currencies within one order, and a name that does not end in
    .xlsx, are refused."""
    from openpyxl import Workbook

    if Path(path).suffix.casefold() != ".xlsx":
        raise Refused(f"{path}: expected a name that ends in .xlsx")
    for order in book.orders:
        _check_currencies(order)
    workbook = Workbook()
    summary: Any = workbook.active
    summary.title = _SUMMARY
    places = _supplier_sheets(workbook, book)
    fill_summary(summary, book, places)
    if book.parts:
        fill_parts(workbook.create_sheet(_PARTS), book)
    fill_checks(workbook.create_sheet(_CHECKS), book, places)
    workbook.calculation.fullCalcOnLoad = True
    with written_whole(Path(path)) as draft:
        workbook.save(draft)


def sheet_names(suppliers: Sequence[str]) -> tuple[str, ...]:
    """A name for each supplier's sheet that no other sheet of the book has."""
    return names_of(suppliers, _RESERVED)


def _check_currencies(order: SupplierOrder) -> None:
    amounts = [line.unit_price for line in order.lines]
    amounts += [price for line in order.lines if line.terms for _, price in line.terms.breaks]
    amounts += [m for m in (order.shipping, order.import_fee, order.free_from, order.minimum) if m is not None]
    for amount in amounts:
        if amount.currency != order.currency:
            raise Refused(f"{order.supplier}: an order in {order.currency} holds an amount in {amount.currency}")


def _supplier_sheets(workbook: Any, book: ReorderBook) -> list[Places]:
    names = sheet_names([order.supplier for order in book.orders])
    pairs = zip(names, book.orders, strict=True)
    return [fill_order(workbook.create_sheet(name), order, book) for name, order in pairs]
