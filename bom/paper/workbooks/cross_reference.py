"""Knows how a cross-reference leaves the house: one row a pair of designs, one row a design, as CSV and as XLSX."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Generic, TypeVar

from bom.answers.replacing import CrossReferenced, PairFound, StandingFound
from bom.paper.csv_out import Cell, write_table
from bom.paper.terminal.cautions import in_few_words
from bom.paper.terminal.matches import ONE_WAY
from bom.paper.workbooks.sheet import (
    Column,
    across,
    as_text,
    figure,
    for_printing,
    header,
    rows_tall_enough,
    said,
)
from bom.paper.writing import one_line, written_whole

Row = TypeVar("Row")


@dataclass(frozen=True, slots=True)
class Told(Generic[Row]):
    """A column: its heading, what stands in it, its width in characters; ``seldom`` left out where no row has any."""

    heading: str
    of: Callable[[Row], object]
    width: int
    side: str = "left"
    seldom: bool = False


PAIRS: tuple[Told[PairFound], ...] = (
    Told("maker", lambda p: p.maker, 14),
    Told("part number", lambda p: p.part_number, 18),
    Told("status", lambda p: p.status, 18),
    Told("same design", lambda p: p.same_design, 30, seldom=True),
    Told("may be replaced by", lambda p: p.by_part_number, 20),
    Told("its maker", lambda p: p.by_maker, 14),
    Told("its status", lambda p: p.by_status, 18),
    Told("its same design", lambda p: p.by_same_design, 30, seldom=True),
    Told("verdict", lambda p: p.verdict.words, 12),
    Told("room left", lambda p: p.margin, 8, "right"),
    Told("worst reason", lambda p: p.why, 66),
    Told("take care", lambda p: in_few_words(p.cautions), 40, seldom=True),
)
SOURCES: tuple[Told[StandingFound], ...] = (
    Told("maker", lambda s: s.maker, 14),
    Told("part number", lambda s: s.part_number, 18),
    Told("status", lambda s: s.status, 18),
    Told("same design", lambda s: s.same_design, 30, seldom=True),
    Told("standing", lambda s: s.standing, 14),
    Told("active sources", lambda s: s.sources, 9, "right"),
    Told("makers", lambda s: s.makers, 30),
    Told("active parts that drop in", lambda s: s.drop_ins, 60),
)


def write_csv(path: Path, answer: CrossReferenced) -> Path:
    """The pairs at ``path`` and the designs' standings beside it; the second path."""
    beside = path.with_name(f"{path.stem}-sources{path.suffix}")
    write_table(path, [c.heading for c in PAIRS], _rows(PAIRS, answer.replacements))
    write_table(beside, [c.heading for c in SOURCES], _rows(SOURCES, answer.standings))
    return beside


def write_workbook(path: Path, answer: CrossReferenced) -> None:
    """Two sheets: the pairs, and where each design stands. Part numbers are text and nothing in it can run."""
    from openpyxl import Workbook

    book = Workbook()
    first: Any = book.active
    care = f"Take care: {in_few_words(answer.cautions)}."
    _fill(first, "May be replaced by", PAIRS, answer.replacements, care)
    _fill(book.create_sheet(), "Sources", SOURCES, answer.standings, care)
    with written_whole(path) as draft:
        book.save(draft)


def _fill(sheet: Any, title: str, columns: Sequence[Told[Row]], rows: Sequence[Row], care: str) -> None:
    """A note, the cautions, heads that stay in sight, the rows, and a filter over them."""
    columns = [c for c in columns if not c.seldom or any(c.of(row) for row in rows)]
    heads: list[Column] = [(c.heading, c.width, c.side) for c in columns]
    sheet.title = title
    as_text(sheet.cell(1, 1), ONE_WAY)
    as_text(sheet.cell(2, 1), care)
    across(sheet, 2, [c.width for c in columns])
    header(sheet, 3, heads)
    for place, row in enumerate(_rows(columns, rows), 4):
        for column, value in enumerate(row, 1):
            _cell(sheet.cell(place, column), value)
    rows_tall_enough(sheet, 4, heads)
    for_printing(sheet, "C4", "3:3")
    sheet.auto_filter.ref = f"A3:{sheet.cell(max(sheet.max_row, 3), len(columns)).coordinate}"


def _cell(cell: Any, value: Cell) -> None:
    """A share, a count or text; nothing where there is nothing to say."""
    if isinstance(value, float):
        figure(cell, value + 0.0, "0%")
    elif isinstance(value, int):
        figure(cell, value, "0")
    elif value not in (None, ""):
        said(cell, value)


def _rows(columns: Sequence[Told[Row]], rows: Iterable[Row]) -> Iterator[list[Cell]]:
    for row in rows:
        yield [_shown(column.of(row)) for column in columns]


def _shown(value: object) -> Cell:
    if isinstance(value, tuple):
        return ", ".join(map(one_line, value))
    return value if isinstance(value, int | float) or value is None else one_line(value)
