"""Knows the reorder workbook: a summary, one sheet a supplier, and what to look at; it reckons again when edited.

Nothing that came from outside can run: all such text goes through ``as_text``, which makes a text cell by force.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from bom.paper.readable import one_line, readable
from bom.paper.whole_file import written_whole
from bom.values.money import EXPONENTS, Money, total
from bom.values.problem import Refused

CheckValue = str | int | Decimal | Money | date | None


@dataclass(frozen=True, slots=True)
class ReorderLine:
    """One thing to order: whole pieces at a unit price before tax; ``price_break`` and ``why`` are for people."""

    supplier_code: str
    part_number: str
    maker: str
    description: str
    quantity: int
    unit_price: Money
    price_break: str = ""
    why: str = ""

    @property
    def line_total(self) -> Money:
        """Quantity times price, rounded once."""
        return self.unit_price.times(self.quantity).rounded()


@dataclass(frozen=True, slots=True)
class SupplierOrder:
    """One order, all money in ``currency``. ``shipping`` or ``import_fee`` None = not stated, and the total says so.

    ``tax_pct`` of 100 is added to goods and shipping; the import fee is taken as it is.
    Where prices include tax, or tax comes back, it is 0.
    """

    supplier: str
    currency: str
    lines: tuple[ReorderLine, ...]
    shipping: Money | None = None
    import_fee: Money | None = None
    tax_pct: Decimal = Decimal(0)
    notes: tuple[str, ...] = ()

    @property
    def goods(self) -> Money:
        return total([line.line_total for line in self.lines], self.currency)

    @property
    def tax(self) -> Money:
        base = self.goods + _or_zero(self.shipping, self.currency)
        return base.times(self.tax_pct / 100).rounded()

    @property
    def grand_total(self) -> Money:
        """Everything stated, to be paid; the sheet's formulas must come to the same."""
        extras = (self.shipping, self.import_fee)
        return total([self.goods, self.tax, *(_or_zero(m, self.currency) for m in extras)], self.currency)


@dataclass(frozen=True, slots=True)
class ReorderBook:
    """What the workbook holds: the orders, what was left out and why, and values worth a look."""

    made: date
    orders: tuple[SupplierOrder, ...] = ()
    left_out: tuple[str, ...] = ()
    checks: tuple[tuple[str, CheckValue], ...] = ()


@dataclass(frozen=True, slots=True)
class _Totals:
    """Where a supplier's sheet keeps what the summary points at: cell addresses, and the line rows."""

    sheet: str
    first: int
    last: int
    goods: str
    shipping: str
    import_fee: str
    tax: str
    grand: str

    def at(self, cell: str) -> str:
        return "'" + self.sheet.replace("'", "''") + "'!" + cell


_COLUMNS = (  # header, width in characters
    ("Supplier code", 18),
    ("Part number", 20),
    ("Maker", 16),
    ("Description", 32),
    ("Quantity", 10),
    ("Unit price", 16),
    ("Line total", 18),
    ("Price break", 18),
    ("Why", 48),
)
_FIRST = 5  # the first line's row; the header stands above it
_SUMMARY, _CHECKS = "Summary", "Checks"
# Spreadsheet programs keep the last name for themselves (from memory).
_RESERVED = (_SUMMARY, _CHECKS, "History")
_NOT_STATED = "not stated"


def write_reorder(path: Path, book: ReorderBook) -> None:
    """The workbook at ``path``, whole or not at all. Mixed currencies within one order are refused."""
    from openpyxl import Workbook

    for order in book.orders:
        _check_currencies(order)
    workbook = Workbook()
    summary: Any = workbook.active
    summary.title = _SUMMARY
    places = _supplier_sheets(workbook, book)
    _fill_summary(summary, book, places)
    _fill_checks(workbook.create_sheet(_CHECKS), book, places)
    workbook.calculation.fullCalcOnLoad = True
    with written_whole(Path(path)) as draft:
        workbook.save(draft)


def as_text(cell: Any, text: object) -> None:
    """Text from outside into a cell, as text: never a formula, an error value, a number or a date.

    The quote prefix keeps it text when somebody edits the cell; ``@`` is the text format (ECMA-376 part 1, 18.8.30).
    """
    cell.value = readable(text)
    cell.data_type = "s"
    cell.number_format = "@"
    cell.quotePrefix = True


def sheet_names(suppliers: Sequence[str]) -> tuple[str, ...]:
    """A name for each supplier's sheet: at most 31 characters, none of ``[]:*?/\\``, and no two alike in any case."""
    taken = {name.casefold() for name in _RESERVED}
    names = []
    for supplier in suppliers:
        name = _free_name(_plain_name(supplier), taken)
        taken.add(name.casefold())
        names.append(name)
    return tuple(names)


def money_format(currency: str, finest: bool = False) -> str:
    """A number format with the currency's own digits and its code; ``finest`` shows fractions down to a millionth."""
    digits = EXPONENTS.get(currency, 2)
    point = "." if digits or finest else ""
    fine = "#" * (6 - digits) if finest else ""
    code = "".join(c for c in currency if c.isalpha())
    return f'#,##0{point}{"0" * digits}{fine}\\ "{code}"'


def _plain_name(supplier: str) -> str:
    return re.sub(r"[\[\]:*?/\\]", " ", one_line(supplier)).strip(" '")[:31].strip(" '") or "Supplier"


def _free_name(name: str, taken: set[str]) -> str:
    answer, count = name, 1
    while answer.casefold() in taken:
        count += 1
        ending = f" {count}"
        answer = name[: 31 - len(ending)] + ending
    return answer


def _check_currencies(order: SupplierOrder) -> None:
    amounts = [line.unit_price for line in order.lines]
    amounts += [m for m in (order.shipping, order.import_fee) if m is not None]
    for amount in amounts:
        if amount.currency != order.currency:
            raise Refused(f"{order.supplier}: an order in {order.currency} holds an amount in {amount.currency}")


def _supplier_sheets(workbook: Any, book: ReorderBook) -> list[_Totals]:
    names = sheet_names([order.supplier for order in book.orders])
    pairs = zip(names, book.orders, strict=True)
    return [_fill_supplier(workbook.create_sheet(name), order, book.made) for name, order in pairs]


def _fill_supplier(sheet: Any, order: SupplierOrder, made: date) -> _Totals:
    _title(sheet, f"Order to {one_line(order.supplier)}", made)
    _header(sheet, _FIRST - 1, _COLUMNS)
    for row, line in enumerate(order.lines, _FIRST):
        _fill_line(sheet, row, line)
    places = _fill_totals(sheet, order)
    for row, note in enumerate(order.notes, int(places.grand[1:]) + 2):
        as_text(sheet.cell(row, 1), note)
    _for_printing(sheet, f"A{_FIRST}", f"1:{_FIRST - 1}")
    return places


def _fill_line(sheet: Any, row: int, line: ReorderLine) -> None:
    code = line.unit_price.currency
    outside = (line.supplier_code, line.part_number, line.maker, line.description)
    for column, text in (*enumerate(outside, 1), (8, line.price_break), (9, line.why)):
        as_text(sheet.cell(row, column), text)
        _wrapped(sheet.cell(row, column))
    _number(sheet.cell(row, 5), line.quantity, "0")
    _number(sheet.cell(row, 6), float(line.unit_price.amount), money_format(code, finest=True))
    digits = EXPONENTS.get(code, 2)
    _number(sheet.cell(row, 7), f"=ROUND(E{row}*F{row},{digits})", money_format(code))


def _fill_totals(sheet: Any, order: SupplierOrder) -> _Totals:
    """The foot of the sheet. SUM passes over text, so *not stated* counts as nothing and stays visible."""
    last = max(_FIRST, _FIRST + len(order.lines) - 1)
    goods = last + 2
    digits = EXPONENTS.get(order.currency, 2)
    _foot(sheet, goods, "Goods", order.currency, f"=SUM(G{_FIRST}:G{last})")
    _foot(sheet, goods + 1, "Shipping", order.currency, order.shipping)
    _foot(sheet, goods + 2, "Import fee", order.currency, order.import_fee)
    _number(sheet.cell(goods + 3, 6), float(order.tax_pct), '0.##"\xa0%"')
    tax = f"=ROUND(SUM(G{goods}:G{goods + 1})*F{goods + 3}/100,{digits})"
    _foot(sheet, goods + 3, "Tax on goods and shipping", order.currency, tax)
    _foot(sheet, goods + 4, _total_label(order), order.currency, f"=SUM(G{goods}:G{goods + 3})", bold=True)
    return _Totals(sheet.title, _FIRST, last, *(f"G{goods + n}" for n in range(5)))


def _total_label(order: SupplierOrder) -> str:
    named = (("shipping", order.shipping), ("import fee", order.import_fee))
    missing = [name for name, amount in named if amount is None]
    return "Total to pay" + (f", without {' and '.join(missing)} (not stated)" if missing else "")


def _foot(sheet: Any, row: int, label: str, currency: str, amount: str | Money | None, bold: bool = False) -> None:
    from openpyxl.styles import Font

    as_text(sheet.cell(row, 4), label)
    cell = sheet.cell(row, 7)
    if amount is None:
        as_text(cell, _NOT_STATED)
    else:
        value = float(amount.rounded().amount) if isinstance(amount, Money) else amount
        _number(cell, value, money_format(currency))
    sheet.cell(row, 4).font = cell.font = Font(bold=bold)


def _fill_summary(sheet: Any, book: ReorderBook, places: Sequence[_Totals]) -> None:
    _title(sheet, "What to order", book.made)
    names = ("Lines", "Pieces", "Goods", "Shipping", "Import fee", "Tax", "Total to pay")
    _header(sheet, 4, (("Supplier", 28), ("Currency", 10), *((n, 18) for n in names)))
    for row, (order, place) in enumerate(zip(book.orders, places, strict=True), 5):
        _summary_row(sheet, row, order, place)
    last = max(5, 4 + len(places))
    for row, code in enumerate(dict.fromkeys(o.currency for o in book.orders), last + 2):
        _currency_row(sheet, row, code, last)
    _for_printing(sheet, "A5", "1:4")


def _summary_row(sheet: Any, row: int, order: SupplierOrder, place: _Totals) -> None:
    as_text(sheet.cell(row, 1), order.supplier)
    as_text(sheet.cell(row, 2), order.currency)
    _number(sheet.cell(row, 3), f"=COUNT({place.at(f'G{place.first}:G{place.last}')})", "0")
    _number(sheet.cell(row, 4), f"=SUM({place.at(f'E{place.first}:E{place.last}')})", "0")
    cells = (place.goods, place.shipping, place.import_fee, place.tax, place.grand)
    for column, cell in enumerate(cells, 5):
        _number(sheet.cell(row, column), f"={place.at(cell)}", money_format(order.currency))


def _currency_row(sheet: Any, row: int, code: str, last: int) -> None:
    """One total for each currency; different currencies are never added up."""
    as_text(sheet.cell(row, 1), f"Total in {code}")
    as_text(sheet.cell(row, 2), code)
    for column in "CDEFGHI":
        form = "0" if column in "CD" else money_format(code)
        _number(sheet[f"{column}{row}"], f"=SUMIF($B$5:$B${last},$B{row},{column}$5:{column}${last})", form)


def _fill_checks(sheet: Any, book: ReorderBook, places: Sequence[_Totals]) -> None:
    _title(sheet, "Things to look at before ordering", book.made)
    _header(sheet, 4, (("Check", 44), ("Sheet", 18), ("When made", 18), ("Same?", 12)))
    row = 5
    for order, place in zip(book.orders, places, strict=True):
        row = _reckoned_checks(sheet, row, order, place)
    for label, value in book.checks:
        as_text(sheet.cell(row, 1), label)
        _check_value(sheet.cell(row, 2), value)
        row += 1
    _left_out(sheet, row + 1, book.left_out)
    _for_printing(sheet, "A5", "1:4")


def _reckoned_checks(sheet: Any, row: int, order: SupplierOrder, place: _Totals) -> int:
    """What the sheet says now beside what was reckoned when it was made: an edit shows."""
    lines = f"=COUNT({place.at(f'G{place.first}:G{place.last}')})"
    _compared(sheet, row, f"{order.supplier}: lines", lines, len(order.lines), "0")
    amount = float(order.grand_total.amount)
    _compared(
        sheet,
        row + 1,
        f"{order.supplier}: total",
        f"={place.at(place.grand)}",
        amount,
        money_format(order.currency),
    )
    return row + 2


def _compared(sheet: Any, row: int, label: str, formula: str, made: float, form: str) -> None:
    as_text(sheet.cell(row, 1), label)
    _number(sheet.cell(row, 2), formula, form)
    _number(sheet.cell(row, 3), made, form)
    _number(sheet.cell(row, 4), f'=IF(ABS(B{row}-C{row})<0.0005,"yes","CHANGED")', "General")


def _left_out(sheet: Any, row: int, texts: Sequence[str]) -> None:
    from openpyxl.styles import Font

    as_text(sheet.cell(row, 1), f"Left out: {len(texts)}")
    sheet.cell(row, 1).font = Font(bold=True)
    for below, text in enumerate(texts, row + 1):
        as_text(sheet.cell(below, 1), text)
        _wrapped(sheet.cell(below, 1))


def _check_value(cell: Any, value: CheckValue) -> None:
    match value:
        case Money():
            _number(cell, float(value.amount), money_format(value.currency, finest=True))
        case int() | Decimal() if not isinstance(value, bool) and Decimal(value).is_finite():
            _number(cell, value if isinstance(value, int) else float(value), "General")
        case date():
            _number(cell, value, "yyyy-mm-dd")
        case _:
            as_text(cell, _NOT_STATED if value is None else value)


def _title(sheet: Any, title: str, made: date) -> None:
    from openpyxl.styles import Font

    as_text(sheet["A1"], title)
    sheet["A1"].font = Font(bold=True, size=14)
    as_text(sheet["A2"], "made")
    _number(sheet["B2"], made, "yyyy-mm-dd")


def _header(sheet: Any, row: int, columns: Iterable[tuple[str, int]]) -> None:
    from openpyxl.styles import Alignment, Font, PatternFill
    from openpyxl.utils import get_column_letter

    for number, (name, width) in enumerate(columns, 1):
        cell = sheet.cell(row, number)
        as_text(cell, name)
        cell.font = Font(bold=True)
        cell.fill = PatternFill("solid", fgColor="DDDDDD")
        cell.alignment = Alignment(wrap_text=True, vertical="top")
        sheet.column_dimensions[get_column_letter(number)].width = width


def _number(cell: Any, value: object, form: str) -> None:
    """A number, a date or a formula that we wrote ourselves."""
    cell.value = value
    cell.number_format = form


def _wrapped(cell: Any) -> None:
    from openpyxl.styles import Alignment

    cell.alignment = Alignment(wrap_text=True, vertical="top")


def _for_printing(sheet: Any, freeze: str, header_rows: str) -> None:
    """Header stays in sight and on every page; landscape, as wide as one page, as long as it needs."""
    sheet.freeze_panes = freeze
    sheet.print_title_rows = header_rows
    sheet.print_area = sheet.dimensions
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True


def _or_zero(amount: Money | None, currency: str) -> Money:
    return Money.zero(currency) if amount is None else amount
