"""Knows the plan's workbook: every line to order, what each supplier comes to, the habits beside it, and the proof.

Sums are formulas, so it recalculates when a quantity or price is changed; text from outside is always text.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from bom.answers.buying import MadeOf, PlannedLine, PlannedOrder, ShopPlan
from bom.paper.workbooks.sheet import (
    Column,
    as_text,
    bold,
    caution_above,
    figure,
    for_printing,
    header,
    money_format,
    rows_tall_enough,
    said,
    title,
)
from bom.paper.writing import written_whole
from bom.values.money import EXPONENTS

_FIRST = 6  # the first row below a sheet's heads


def _line_columns(base: str) -> tuple[Column, ...]:
    return (
        *(("Supplier", 13, "left"), ("Supplier code", 12, "left"), ("Part number", 14, "left"), ("Maker", 14, "left")),
        *(("Quantity", 9, "right"), ("Unit price", 13, "right"), ("Line total", 13, "right")),
        *((f"In {base}", 13, "right"), ("Landed each", 13, "right"), ("Left over", 9, "right")),
        *(("For", 20, "left"), ("Why", 30, "left")),
    )


def _supplier_columns(base: str) -> tuple[Column, ...]:
    return (
        *(("Supplier", 18, "left"), (f"{base} for one unit", 11, "right"), ("Goods as listed", 17, "right")),
        *(("Shipping", 15, "right"), ("Import fee", 15, "right"), ("Tax (minus: comes back)", 16, "right")),
        *(("Total", 17, "right"), (f"Total in {base}", 17, "right"), ("Reached", 50, "left")),
    )


_COMPARED: tuple[Column, ...] = (
    *(("Order", 44, "left"), ("Goods needed", 15, "right"), ("Left over", 15, "right"), ("Shipping", 15, "right")),
    *(("Import fees", 15, "right"), ("Tax not got back", 15, "right"), ("Total", 16, "right")),
    *(("Dearer by", 15, "right"), ("Remark", 44, "left")),
)
_REMARKS: tuple[Column, ...] = (("What", 14, "left"), ("Remark", 110, "left"))


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
    columns = _line_columns(base)
    _headed(sheet, f"What to buy where, at {answer.cost or 0:.2f} {base}: {answer.proof}", columns, answer.caution)
    row, places = _FIRST, []
    for number, order in enumerate(answer.orders):
        places.append((row, row + len(order.lines) - 1))
        for line in order.lines:
            _fill_line(sheet, row, (order, line), f"Suppliers!$B${_FIRST + number}", base)
            row += 1
    figure(sheet.cell(row + 1, 8), f"=SUM(H{_FIRST}:H{row - 1})", money_format(base))
    as_text(sheet.cell(row + 1, 1), "Goods as listed, in all")
    bold(sheet.cell(row + 1, 1), sheet.cell(row + 1, 8))
    _printed(sheet, columns)
    return places


def _fill_line(sheet: Any, row: int, pair: tuple[PlannedOrder, PlannedLine], rate: str, base: str) -> None:
    order, line = pair
    code = order.currency
    served = ", ".join(f"{one.pieces} {one.part_number}" for one in line.for_)
    texts = (order.supplier, line.supplier_code, line.part_number, line.maker)
    why = "; ".join([line.why, *line.conditions, *line.cautions])
    for column, text in (*enumerate(texts, 1), (11, served), (12, why)):
        said(sheet.cell(row, column), text)
    figure(sheet.cell(row, 5), line.quantity, "0")
    figure(sheet.cell(row, 6), float(line.unit_price.amount), money_format(code, finest=True))
    figure(sheet.cell(row, 7), f"=ROUND(E{row}*F{row},{EXPONENTS.get(code, 2)})", money_format(code))
    figure(sheet.cell(row, 8), f"=G{row}*{rate}", money_format(base))
    if line.landed_each is not None:
        figure(sheet.cell(row, 9), round(float(line.landed_each.amount), 4), money_format(base, finest=True))
    figure(sheet.cell(row, 10), line.spare, "0")


def _fill_suppliers(sheet: Any, answer: ShopPlan, places: Sequence[tuple[int, int]]) -> None:
    base = answer.currency
    columns = _supplier_columns(base)
    _headed(sheet, "What each supplier's order comes to", columns)
    for row, (order, (first, last)) in enumerate(zip(answer.orders, places, strict=True), _FIRST):
        form = money_format(order.currency)
        said(sheet.cell(row, 1), order.supplier)
        figure(sheet.cell(row, 2), float(order.rate), "0.######")
        figure(sheet.cell(row, 3), f"=SUM(Lines!G{first}:G{last})", form)
        own = order.own
        listed = sum((line.cost.amount for line in order.lines), Decimal(0))
        tax = own.total.amount - listed - own.shipping.amount - own.import_fee.amount
        for column, amount in ((4, own.shipping.amount), (5, own.import_fee.amount), (6, round(tax, 6))):
            figure(sheet.cell(row, column), float(amount), form)
        figure(sheet.cell(row, 7), f"=SUM(C{row}:F{row})", form)
        figure(sheet.cell(row, 8), f"=G{row}*B{row}", money_format(base))
        said(sheet.cell(row, 9), "; ".join(order.reached))
    end = _FIRST + len(places)
    as_text(sheet.cell(end + 1, 1), "In all")
    figure(sheet.cell(end + 1, 8), f"=SUM(H{_FIRST}:H{end - 1})", money_format(base))
    bold(sheet.cell(end + 1, 1), sheet.cell(end + 1, 8))
    _printed(sheet, columns)


def _fill_compared(sheet: Any, answer: ShopPlan) -> None:
    base = answer.currency
    _headed(sheet, "The plan beside two habits", _COMPARED)
    habits = ((habit.name, habit.made_of, habit.note) for habit in answer.habits)
    for row, (name, made_of, note) in enumerate((("this plan", answer.made_of, answer.proof), *habits), _FIRST):
        said(sheet.cell(row, 1), name)
        said(sheet.cell(row, 9), note)
        if made_of:
            for column, amount in enumerate(_parts(made_of), 2):
                figure(sheet.cell(row, column), amount, money_format(base))
            figure(sheet.cell(row, 7), f"=SUM(B{row}:F{row})", money_format(base))
            figure(sheet.cell(row, 8), f"=G{row}-G{_FIRST}", money_format(base))
    _printed(sheet, _COMPARED)


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
        *(("Converted", words) for words in answer.reckoned),
        *(("Not ordered", kits.sentence) for kits in answer.kits_short),
        *(("Not ordered", part.sentence) for part in answer.short),
        *(("Left out", reason) for reason in answer.left_out),
        *(("Take care", caution) for caution in answer.cautions),
    ]
    _headed(sheet, "Remarks", _REMARKS)
    for row, (what, remark) in enumerate(rows, _FIRST):
        as_text(sheet.cell(row, 1), what)
        said(sheet.cell(row, 2), remark)
    _printed(sheet, _REMARKS)


def _headed(sheet: Any, text: str, columns: Sequence[Column], caution: str = "") -> None:
    """What the sheet is, what can hurt, and the columns' heads."""
    title(sheet, text, date.today())
    caution_above(sheet, caution, columns)
    header(sheet, _FIRST - 1, columns)


def _printed(sheet: Any, columns: Sequence[Column]) -> None:
    rows_tall_enough(sheet, _FIRST, columns)
    for_printing(sheet, f"A{_FIRST}", f"{_FIRST - 1}:{_FIRST - 1}")
