"""Knows the reorder workbook as a whole: a summary with a grand total, one sheet a supplier, the parts due, and what to
look at. It recalculates when a quantity is edited, and nothing from outside runs."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from bom.paper.workbooks.order_sheet import (
    NOT_STATED,
    CheckValue,
    PartDue,
    Places,
    ReorderBook,
    SupplierOrder,
    fill_order,
)
from bom.paper.workbooks.sheet import as_text as as_text
from bom.paper.workbooks.sheet import (
    bold,
    caution_above,
    for_printing,
    header,
    number,
    on_top,
    tall_enough,
    title,
    to_the_right,
    wrapped,
)
from bom.paper.workbooks.sheet import money_format as money_format
from bom.paper.workbooks.sheet import sheet_names as names_of
from bom.paper.writing import written_whole
from bom.values.money import EXPONENTS, Money
from bom.values.problem import Refused

_SUMMARY, _PARTS_SHEET, _CHECKS = "Summary", "Parts", "Checks"
# Spreadsheet programs keep the last name for themselves (from memory).
_RESERVED = (_SUMMARY, _PARTS_SHEET, _CHECKS, "History")


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
        fill_parts(workbook.create_sheet(_PARTS_SHEET), book)
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


_FIRST = 6
_AMOUNTS = ("Goods", "Shipping", "Import fee", "Tax", "Total to pay")
_PARTS = (
    *(("Part number", 16, "left"), ("Unit", 8, "left"), ("Available", 10, "right"), ("On order", 10, "right")),
    *(
        ("Planned for kits", 10, "right"),
        ("Stand-ins", 9, "right"),
        ("Order at", 9, "right"),
        ("Order up to", 9, "right"),
    ),
    *(("Wanted now", 9, "right"), ("Level", 10, "left"), ("Why", 46, "left"), ("Lasts", 25, "left")),
)


def fill_summary(sheet: Any, book: ReorderBook, places: Sequence[Places]) -> None:
    """A row for each supplier, a total for each currency, and all of it in the shop's own at the rates of a day."""
    title(sheet, "What to order", book.made, book.number)
    base = book.currency
    caution_above(sheet, book.caution, _summary_columns(base))
    header(sheet, _FIRST - 1, _summary_columns(base))
    for row, (order, place) in enumerate(zip(book.orders, places, strict=True), _FIRST):
        _summary_row(sheet, row, order, place, base)
    last = max(_FIRST, _FIRST - 1 + len(places))
    row = last + 2
    for code in dict.fromkeys(o.currency for o in book.orders):
        _currency_row(sheet, row, code, last)
        row += 1
    if base and book.orders:
        _grand_total(sheet, row, book, last)
    for_printing(sheet, f"A{_FIRST}", f"1:{_FIRST - 1}")


def _summary_columns(base: str) -> list[tuple[str, int, str]]:
    ours = [(f"1 in {base}", 10, "right"), (f"Total in {base}", 18, "right")] if base else []
    amounts = [(name, 16, "right") for name in _AMOUNTS]
    return [("Supplier", 26, "left"), ("Currency", 10, "left"), ("Lines", 8, "right"), *amounts, *ours]


def _summary_row(sheet: Any, row: int, order: SupplierOrder, place: Places, base: str) -> None:
    as_text(sheet.cell(row, 1), order.supplier)
    as_text(sheet.cell(row, 2), order.currency)
    number(sheet.cell(row, 3), f'=COUNTIF({place.quantities},">0")', "0")
    cells = (place.goods, place.shipping, place.import_fee, place.tax, place.grand)
    for column, cell in enumerate(cells, 4):
        number(sheet.cell(row, column), f"={place.at(cell)}", money_format(order.currency))
    if base and order.rate is not None:
        number(sheet.cell(row, 9), float(order.rate), "0.0000##")
        number(sheet.cell(row, 10), f"=ROUND(H{row}*I{row},{EXPONENTS.get(base, 2)})", money_format(base))
    elif base:
        as_text(sheet.cell(row, 9), "no rate")


def _currency_row(sheet: Any, row: int, code: str, last: int) -> None:
    """One total for each currency; different currencies are only ever added up at a rate."""
    as_text(sheet.cell(row, 1), f"Total in {code}")
    as_text(sheet.cell(row, 2), code)
    for column in "CDEFGH":
        form = "0" if column == "C" else money_format(code)
        total = f"=SUMIF($B${_FIRST}:$B${last},$B{row},{column}${_FIRST}:{column}${last})"
        number(sheet[f"{column}{row}"], total, form)


def _grand_total(sheet: Any, row: int, book: ReorderBook, last: int) -> None:
    rates = f" at the rates of {book.rates_of.isoformat()}" if book.rates_of else ""
    missing = sum(order.rate is None for order in book.orders)
    without = f", without {missing} in a currency without a rate" if missing else ""
    as_text(sheet.cell(row, 1), f"All orders in {book.currency}{rates}{without}")
    number(sheet.cell(row, 10), f"=SUM(J{_FIRST}:J{last})", money_format(book.currency))
    bold(sheet.cell(row, 1), sheet.cell(row, 10))


def fill_parts(sheet: Any, book: ReorderBook) -> None:
    """Every part that is due or worth a look, with what its level follows from."""
    title(sheet, "Which parts, and why", book.made, book.number)
    caution_above(sheet, book.caution, _PARTS)
    header(sheet, _FIRST - 1, _PARTS)
    for row, part in enumerate(book.parts, _FIRST):
        _part_row(sheet, row, part)
    for_printing(sheet, f"B{_FIRST}", f"1:{_FIRST - 1}")


def _part_row(sheet: Any, row: int, part: PartDue) -> None:
    texts = ((1, part.part_number), (2, part.unit), (10, part.level_by), (11, part.why), (12, part.lasts))
    for column, text in texts:
        as_text(sheet.cell(row, column), text)
        wrapped(sheet.cell(row, column))
    there = (part.available, part.on_order, part.planned, part.stand_ins)
    amounts = (*there, part.point, part.up_to, part.wanted)
    for column, amount in enumerate(amounts, 3):
        number(sheet.cell(row, column), float(amount), "#,##0.###" if amount % 1 else "#,##0")
        on_top(sheet.cell(row, column))
    tall_enough(sheet, row, [(text, _PARTS[column - 1][1]) for column, text in texts])


def fill_checks(sheet: Any, book: ReorderBook, places: Sequence[Places]) -> None:
    """What the sheets say now beside what they said when the book was made, and what was left out."""
    title(sheet, "Things to look at before ordering", book.made, book.number)
    header(
        sheet,
        _FIRST - 1,
        (("Check", 60, "left"), ("Now", 18, "right"), ("When made", 18, "right"), ("Same?", 12, "left")),
    )
    row = _FIRST
    for order, place in zip(book.orders, places, strict=True):
        row = _compared_checks(sheet, row, order, place)
    for label, value in book.checks:
        as_text(sheet.cell(row, 1), label)
        _check_value(sheet.cell(row, 3), value)
        to_the_right(sheet.cell(row, 3))
        row += 1
    _left_out(sheet, row + 1, book.left_out)
    for_printing(sheet, f"A{_FIRST}", f"1:{_FIRST - 1}")


def _compared_checks(sheet: Any, row: int, order: SupplierOrder, place: Places) -> int:
    """An edit shows; so does a quantity that its supplier does not take."""
    lines = f'=COUNTIF({place.quantities},">0")'
    _compared(sheet, row, f"{order.supplier}: lines", lines, sum(x.quantity > 0 for x in order.lines), "0")
    amount, form = float(order.grand_total.amount), money_format(order.currency)
    _compared(sheet, row + 1, f"{order.supplier}: total", f"={place.at(place.grand)}", amount, form)
    checks = place.at(f"J{place.first}:J{place.last}")
    wrong = f'=ROWS({checks})-COUNTIF({checks},"ok")-COUNTIF({checks},"not ordered")'
    _compared(sheet, row + 2, f"{order.supplier}: lines that cannot be ordered so", wrong, 0, "0")
    return row + 3


def _compared(sheet: Any, row: int, label: str, formula: str, made: float, form: str) -> None:
    as_text(sheet.cell(row, 1), label)
    number(sheet.cell(row, 2), formula, form)
    number(sheet.cell(row, 3), made, form)
    number(sheet.cell(row, 4), f'=IF(ABS(B{row}-C{row})<0.0005,"yes","CHANGED")', "General")
    wrapped(sheet.cell(row, 4))


def _left_out(sheet: Any, row: int, texts: Sequence[str]) -> None:
    as_text(sheet.cell(row, 1), f"Left out: {len(texts)}")
    bold(sheet.cell(row, 1))
    for below, text in enumerate(texts, row + 1):
        as_text(sheet.cell(below, 1), text)
        wrapped(sheet.cell(below, 1))
        tall_enough(sheet, below, [(text, 60)])


def _check_value(cell: Any, value: CheckValue) -> None:
    match value:
        case Money():
            number(cell, float(value.amount), money_format(value.currency, finest=True))
        case int() | Decimal() if not isinstance(value, bool) and Decimal(value).is_finite():
            number(cell, value if isinstance(value, int) else float(value), "General")
        case date():
            number(cell, value, "yyyy-mm-dd")
        case _:
            as_text(cell, NOT_STATED if value is None else value)
