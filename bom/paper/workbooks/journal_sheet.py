"""Knows how the journal leaves the house as CSV and as XLSX: a row for each period and name, each figure by itself.

A cost that is known for no entry leaves its cell empty, and a column of its own says of how many entries it is not.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from bom.answers.shelf import Journal, JournalRow
from bom.paper.csv_out import Cell, write_table
from bom.paper.for_the_eye import JOURNAL_FIGURES
from bom.paper.workbooks.sheet import as_text, bold, figure, for_printing, header, money_format, number, said
from bom.paper.writing import written_whole
from bom.values.money import Money

HEAD_ROW = 3


@dataclass(frozen=True, slots=True)
class _Told:
    """A column: its heading, its width, and the number format of what stands in it; no format = text."""

    heading: str
    width: int
    form: str = ""
    summed: bool = False


def _columns(answer: Journal) -> Iterator[_Told]:
    yield _Told("period", 12)
    yield _Told("begins", 12, "yyyy-mm-dd")
    if answer.by != "kind":
        yield _Told(answer.by, 24)
    if answer.by == "part":
        yield _Told("unit", 7)
    for kind in JOURNAL_FIGURES:
        if answer.by == "part":
            yield _Told(f"{kind}, quantity", 10, "#,##0.###")
        yield _Told(f"{kind}, {answer.currency}", 14, money_format(answer.currency), summed=True)
    if answer.unknown:
        yield _Told("entries whose cost is not known", 14, "0", summed=True)


def _values(answer: Journal, row: JournalRow) -> Iterator[object]:
    yield row.period
    yield row.begins
    if answer.by != "kind":
        yield row.name
    if answer.by == "part":
        yield row.unit
    for one in row.figures:
        if answer.by == "part":
            yield one.quantity
        yield one.cost
    if answer.unknown:
        yield sum(one.unknown for one in row.figures)


def write_csv(path: Path, answer: Journal) -> None:
    """The rows, without the sums."""
    rows = ([_bare(value) for value in _values(answer, row)] for row in answer.rows)
    write_table(path, [column.heading for column in _columns(answer)], rows)


def _bare(value: object) -> Cell:
    if isinstance(value, Money):
        return value.amount
    return value if isinstance(value, str | int | Decimal | None) else str(value)


def write_workbook(path: Path, answer: Journal) -> None:
    """One sheet with a filter, and below it the sums of the rows that the filter leaves in sight."""
    from openpyxl import Workbook

    book, columns = Workbook(), list(_columns(answer))
    sheet: Any = book.active
    sheet.title = "Journal"
    as_text(
        sheet.cell(1, 1), f"Journal from {answer.first} to {answer.last}, in {answer.currency} at what the lots cost"
    )
    bold(sheet.cell(1, 1))
    as_text(sheet.cell(2, 1), f"Rates of {answer.rates_of}")
    header(sheet, HEAD_ROW, [(c.heading, c.width, "right" if c.summed else "left") for c in columns])
    for place, row in enumerate(answer.rows, HEAD_ROW + 1):
        for at, (column, value) in enumerate(zip(columns, _values(answer, row), strict=True), 1):
            _cell(sheet.cell(place, at), column, value)
    last = HEAD_ROW + len(answer.rows)
    _sums(sheet, last, columns)
    for_printing(sheet, f"A{HEAD_ROW + 1}", f"{HEAD_ROW}:{HEAD_ROW}")
    sheet.auto_filter.ref = f"A{HEAD_ROW}:{sheet.cell(last, len(columns)).coordinate}"
    with written_whole(path) as draft:
        book.save(draft)


def _cell(cell: Any, column: _Told, value: object) -> None:
    if value is None or value == "":
        return
    if column.form:
        figure(cell, value.amount if isinstance(value, Money) else value, column.form)
    else:
        said(cell, value)


def _sums(sheet: Any, last: int, columns: Sequence[_Told]) -> None:
    as_text(sheet.cell(last + 2, 1), "sum")
    bold(sheet.cell(last + 2, 1))
    for at, column in enumerate(columns, 1):
        if column.summed and last > HEAD_ROW:
            cell = sheet.cell(last + 2, at)
            letter = cell.column_letter
            number(cell, f"=SUBTOTAL(109,{letter}{HEAD_ROW + 1}:{letter}{last})", column.form)
            bold(cell)
