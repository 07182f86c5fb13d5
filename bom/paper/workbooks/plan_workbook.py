"""Knows the plan's workbook: every line to order, what each supplier comes to, the habits beside it, and the proof.

Sums are formulas, so it recalculates when a quantity or price is changed; text from outside is always text.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from math import ceil
from pathlib import Path
from typing import Any

from bom.answers.buying import MadeOf, PlannedLine, PlannedOrder, ShopPlan
from bom.paper.workbooks.reorder_workbook import as_text, money_format
from bom.paper.workbooks.sheet import across
from bom.paper.writing import written_whole
from bom.values.money import EXPONENTS

_LINE_HEIGHT = 14.0  # points
_FIRST = 4  # the first row below a sheet's heading; columns are named in the row above
_LINES = (
    ("Supplier", 13),
    ("Supplier code", 12),
    ("Part number", 14),
    ("Maker", 14),
    ("Quantity", 9),
    ("Unit price", 13),
    ("Line total", 13),
    ("In {base}", 13),
    ("Landed each", 13),
    ("Left over", 9),
    ("For", 20),
    ("Why", 30),
)
_SUPPLIERS = (
    ("Supplier", 18),
    ("{base} for one unit", 11),
    ("Goods as listed", 17),
    ("Shipping", 15),
    ("Import fee", 15),
    ("Tax (minus: comes back)", 16),
    ("Total", 17),
    ("Total in {base}", 17),
    ("Reached", 50),
)
_COMPARED = (
    ("Order", 44),
    ("Goods needed", 15),
    ("Left over", 15),
    ("Shipping", 15),
    ("Import fees", 15),
    ("Tax not got back", 15),
    ("Total", 16),
    ("Dearer by", 15),
    ("Remark", 44),
)


def write_plan(path: Path, answer: ShopPlan) -> None:
    """The workbook at ``path``, whole or not at all; for a plan that orders something."""
    from openpyxl import Workbook

    workbook = Workbook()
    lines: Any = workbook.active
    lines.title = "Lines"
    places = _fill_lines(lines, answer)
    _fill_suppliers(workbook.create_sheet("Suppliers"), answer, places)
    _fill_compared(workbook.create_sheet("Compared"), answer)
    _fill_remarks(workbook.create_sheet("Remarks"), answer)
    workbook.calculation.fullCalcOnLoad = True
    with written_whole(Path(path)) as draft:
        workbook.save(draft)


def _fill_lines(sheet: Any, answer: ShopPlan) -> list[tuple[int, int]]:
    """Every line; (first row, last row) of each supplier's."""
    base = answer.currency
    _heading(sheet, f"What to buy where, at {answer.cost or 0:.2f} {base}: {answer.proof}", _LINES, base)
    as_text(sheet["A2"], "; ".join(filter(None, (f"made {date.today().isoformat()}", answer.caution))))
    across(sheet, 2, [width for _, width in _LINES])
    row, places = _FIRST, []
    for number, order in enumerate(answer.orders):
        places.append((row, row + len(order.lines) - 1))
        for line in order.lines:
            _fill_line(sheet, row, (order, line), f"Suppliers!$B${_FIRST + number}", base)
            row += 1
    _number(sheet.cell(row + 1, 8), f"=SUM(H{_FIRST}:H{row - 1})", money_format(base))
    as_text(sheet.cell(row + 1, 1), "Goods as listed, in all")
    _bold(sheet, row + 1, (1, 8))
    _printed(sheet, len(_LINES))
    return places


def _fill_line(sheet: Any, row: int, pair: tuple[PlannedOrder, PlannedLine], rate: str, base: str) -> None:
    order, line = pair
    code = order.currency
    served = ", ".join(f"{one.pieces} {one.part_number}" for one in line.for_)
    texts = (order.supplier, line.supplier_code, line.part_number, line.maker)
    why = "; ".join([line.why, *line.conditions, *line.cautions])
    for column, text in (*enumerate(texts, 1), (11, served), (12, why)):
        _wrapped_text(sheet.cell(row, column), text)
    _number(sheet.cell(row, 5), line.quantity, "0")
    _number(sheet.cell(row, 6), float(line.unit_price.amount), money_format(code, finest=True))
    _number(sheet.cell(row, 7), f"=ROUND(E{row}*F{row},{EXPONENTS.get(code, 2)})", money_format(code))
    _number(sheet.cell(row, 8), f"=G{row}*{rate}", money_format(base))
    if line.landed_each is not None:
        _number(sheet.cell(row, 9), round(float(line.landed_each.amount), 4), money_format(base, finest=True))
    _number(sheet.cell(row, 10), line.spare, "0")


def _fill_suppliers(sheet: Any, answer: ShopPlan, places: Sequence[tuple[int, int]]) -> None:
    base = answer.currency
    _heading(sheet, "What each supplier's order comes to", _SUPPLIERS, base)
    for row, (order, (first, last)) in enumerate(zip(answer.orders, places, strict=True), _FIRST):
        form = money_format(order.currency)
        _wrapped_text(sheet.cell(row, 1), order.supplier)
        _number(sheet.cell(row, 2), float(order.rate), "0.######")
        _number(sheet.cell(row, 3), f"=SUM(Lines!G{first}:G{last})", form)
        own = order.own
        listed = sum((line.cost.amount for line in order.lines), Decimal(0))
        tax = own.total.amount - listed - own.shipping.amount - own.import_fee.amount
        for column, amount in ((4, own.shipping.amount), (5, own.import_fee.amount), (6, round(tax, 6))):
            _number(sheet.cell(row, column), float(amount), form)
        _number(sheet.cell(row, 7), f"=SUM(C{row}:F{row})", form)
        _number(sheet.cell(row, 8), f"=G{row}*B{row}", money_format(base))
        _wrapped_text(sheet.cell(row, 9), "; ".join(order.reached))
    end = _FIRST + len(places)
    as_text(sheet.cell(end + 1, 1), "In all")
    _number(sheet.cell(end + 1, 8), f"=SUM(H{_FIRST}:H{end - 1})", money_format(base))
    _bold(sheet, end + 1, (1, 8))
    _printed(sheet, len(_SUPPLIERS))


def _fill_compared(sheet: Any, answer: ShopPlan) -> None:
    base = answer.currency
    _heading(sheet, "The plan beside two habits", _COMPARED, base)
    habits = ((habit.name, habit.made_of, habit.note) for habit in answer.habits)
    for row, (name, made_of, note) in enumerate((("this plan", answer.made_of, answer.proof), *habits), _FIRST):
        _wrapped_text(sheet.cell(row, 1), name)
        _wrapped_text(sheet.cell(row, 9), note)
        if made_of:
            for column, amount in enumerate(_parts(made_of), 2):
                _number(sheet.cell(row, column), amount, money_format(base))
            _number(sheet.cell(row, 7), f"=SUM(B{row}:F{row})", money_format(base))
            _number(sheet.cell(row, 8), f"=G{row}-G{_FIRST}", money_format(base))
    _printed(sheet, len(_COMPARED))


def _parts(made_of: MadeOf) -> tuple[float, ...]:
    """In the order of the columns."""
    return made_of.goods, made_of.leftovers, made_of.shipping, made_of.import_fee, made_of.tax


def _fill_remarks(sheet: Any, answer: ShopPlan) -> None:
    rows = [
        ("Proof", answer.proof),
        ("Rates of", answer.rates_of or ""),
        (
            "Rounding",
            "the plan does not round; each line here is rounded once, so sums may differ by cents",
        ),
        *(("Converted", said) for said in answer.reckoned),
        *(("Left out", reason) for reason in answer.left_out),
        *(("Take care", caution) for caution in answer.cautions),
    ]
    _heading(sheet, "Remarks", (("What", 14), ("Remark", 110)), "")
    for row, (what, remark) in enumerate(rows, _FIRST):
        as_text(sheet.cell(row, 1), what)
        _wrapped_text(sheet.cell(row, 2), remark)
    _printed(sheet, 2)


def _heading(sheet: Any, title: str, columns: Sequence[tuple[str, int]], base: str) -> None:
    from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
    from openpyxl.utils import get_column_letter

    as_text(sheet["A1"], title)
    sheet["A1"].font = Font(bold=True, size=13)
    as_text(sheet["A2"], f"made {date.today().isoformat()}")
    for number, (name, width) in enumerate(columns, 1):
        cell = sheet.cell(_FIRST - 1, number)
        as_text(cell, name.format(base=base))
        cell.font, cell.fill = Font(bold=True), PatternFill("solid", fgColor="DDDDDD")
        cell.border = Border(bottom=Side("thin"))
        cell.alignment = Alignment(wrap_text=True, vertical="top")
        sheet.column_dimensions[get_column_letter(number)].width = width


def _number(cell: Any, value: object, form: str) -> None:
    """A number or a formula of our own."""
    from openpyxl.styles import Alignment

    cell.value = value
    cell.number_format = form
    cell.alignment = Alignment(vertical="top", horizontal="right")


def _wrapped_text(cell: Any, text: object) -> None:
    from openpyxl.styles import Alignment

    as_text(cell, text)
    cell.alignment = Alignment(wrap_text=True, vertical="top", horizontal="left", indent=0 if cell.column == 1 else 1)


def _bold(sheet: Any, row: int, columns: Sequence[int]) -> None:
    from openpyxl.styles import Font

    for column in columns:
        sheet.cell(row, column).font = Font(bold=True)


def _lines_in(sheet: Any, row: int, columns: int) -> int:
    """How many lines the longest wrapped text of a row needs; programs do not all find that out by themselves."""
    from openpyxl.utils import get_column_letter

    lengths = (
        len(str(sheet.cell(row, n).value or "")) / (float(sheet.column_dimensions[get_column_letter(n)].width) - 3)
        for n in range(1, columns + 1)
        if sheet.cell(row, n).alignment.wrap_text
    )
    return ceil(max(1.0, *lengths, 1.0))


def _printed(sheet: Any, columns: int) -> None:
    """Landscape, as wide as one page; the names of the columns on every page."""
    from openpyxl.styles import Alignment
    from openpyxl.utils import get_column_letter

    for column in range(1, columns + 1):
        name = sheet.cell(_FIRST - 1, column)
        if sheet.cell(_FIRST, column).alignment.horizontal == "right":
            name.alignment = Alignment(wrap_text=True, vertical="top", horizontal="right")
        elif column > 1:
            name.alignment = Alignment(wrap_text=True, vertical="top", horizontal="left", indent=1)
    for row in range(_FIRST - 1, sheet.max_row + 1):
        sheet.row_dimensions[row].height = _LINE_HEIGHT * _lines_in(sheet, row, columns)
    sheet.freeze_panes = f"A{_FIRST}"
    sheet.print_title_rows = f"{_FIRST - 1}:{_FIRST - 1}"
    sheet.print_area = f"A1:{get_column_letter(columns)}{sheet.max_row}"
    sheet.page_setup.orientation, sheet.page_setup.paperSize = "landscape", sheet.PAPERSIZE_A4
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
