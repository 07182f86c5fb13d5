"""Knows how a cross-reference leaves the house: one row a pair of designs, one row a design, as CSV and as XLSX."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import ceil
from pathlib import Path
from typing import Any

from bom.paper.csv_out import Cell, write_table
from bom.paper.readable import one_line
from bom.paper.terminal.tables import simple_table
from bom.paper.terminal.take_care import in_a_line, in_few_words
from bom.paper.whole_file import written_whole
from bom.paper.workbooks.cells import across
from bom.values.finding import Verdict

Answer = Mapping[str, Any]
PAIRS = (  # heading, key, width in characters
    ("maker", "maker", 14),
    ("part number", "part_number", 18),
    ("status", "status", 18),
    ("same design", "same_design", 30),
    ("may be replaced by", "by_part_number", 20),
    ("its maker", "by_maker", 14),
    ("its status", "by_status", 18),
    ("its same design", "by_same_design", 30),
    ("verdict", "verdict", 12),
    ("room left", "margin", 8),
    ("worst reason", "why", 66),
    ("take care", "cautions", 40),
)
SOURCES = (
    ("maker", "maker", 14),
    ("part number", "part_number", 18),
    ("status", "status", 18),
    ("same design", "same_design", 30),
    ("standing", "standing", 14),
    ("active sources", "sources", 9),
    ("makers", "makers", 30),
    ("active parts that drop in", "drop_ins", 60),
)
NOTE = (
    "Each row was proved by itself and in this direction only. Nothing follows through a third part: where A may be "
    "replaced by B and B by C, look for A and C."
)
_LISTED = 12
_SELDOM = ("same_design", "by_same_design", "cautions")  # left out where no row has any


def write_csv(path: Path, answer: Answer) -> Path:
    """The pairs at ``path`` and the designs' standings beside it; the second path."""
    beside = path.with_name(f"{path.stem}-sources{path.suffix}")
    write_table(path, [h for h, _, _ in PAIRS], _rows(PAIRS, answer["replacements"]))
    write_table(beside, [h for h, _, _ in SOURCES], _rows(SOURCES, answer["standings"]))
    return beside


def write_workbook(path: Path, answer: Answer) -> None:
    """Two sheets: the pairs, and where each design stands. Part numbers are text and nothing in it can run."""
    from openpyxl import Workbook

    book = Workbook()
    first: Any = book.active
    care = f"Take care: {in_few_words(answer['cautions'])}."
    _fill(first, "May be replaced by", PAIRS, answer["replacements"], care)
    _fill(book.create_sheet(), "Sources", SOURCES, answer["standings"], care)
    with written_whole(path) as draft:
        book.save(draft)


def _fill(sheet: Any, title: str, columns: Sequence[tuple[str, str, int]], rows: Iterable[Answer], care: str) -> None:
    """A note, the cautions, a heading that stays in sight, the rows, and a filter over them."""
    from openpyxl.utils import get_column_letter

    rows = list(rows)
    columns = [c for c in columns if c[1] not in _SELDOM or any(row[c[1]] for row in rows)]
    sheet.title = title
    _text(sheet["A1"], NOTE)
    _text(sheet["A2"], care)
    across(sheet, 2, [width for _, _, width in columns])
    for place, (heading, _, width) in enumerate(columns, 1):
        _heading(sheet.cell(3, place), heading)
        sheet.column_dimensions[get_column_letter(place)].width = width
    last = 3
    for last, row in enumerate(_rows(columns, rows), 4):
        for place, value in enumerate(row, 1):
            _cell(sheet.cell(last, place), value)
        sheet.row_dimensions[last].height = LINE * max(map(_lines, row, (width for _, _, width in columns)))
    sheet.auto_filter.ref = f"A3:{get_column_letter(len(columns))}{last}"
    _as_printed(sheet)


LINE = 13.5  # points


def _lines(value: Cell, width: int) -> int:
    """How many lines a text takes in a column of this many characters."""
    return max(1, ceil(1.1 * len(value) / width)) if isinstance(value, str) else 1


def _heading(cell: Any, text: str) -> None:
    from openpyxl.styles import Alignment, Border, Font, Side

    _text(cell, text)
    cell.font = Font(name=cell.font.name, sz=cell.font.sz, bold=True)
    cell.border, cell.alignment = Border(bottom=Side(style="thin")), Alignment(wrap_text=True, vertical="bottom")


def _as_printed(sheet: Any) -> None:
    """Landscape, as wide as the page, the heading on every one."""
    sheet.freeze_panes = "C4"
    sheet.page_setup.orientation, sheet.page_setup.paperSize = "landscape", sheet.PAPERSIZE_A4
    sheet.sheet_properties.pageSetUpPr.fitToPage, sheet.page_setup.fitToHeight = True, 0
    sheet.page_margins.left = sheet.page_margins.right = 0.4
    sheet.page_margins.top = sheet.page_margins.bottom = 0.5
    sheet.print_title_rows = "3:3"


def _cell(cell: Any, value: Cell) -> None:
    from openpyxl.styles import Alignment

    if isinstance(value, float):
        cell.value, cell.number_format = value + 0.0, "0%"
    elif isinstance(value, int):
        cell.value = value
    elif value not in (None, ""):
        _text(cell, value)
    side = "left" if isinstance(value, str) else "center"
    cell.alignment = Alignment(horizontal=side, vertical="top", wrap_text=isinstance(value, str))


def _text(cell: Any, value: object) -> None:
    from bom.paper.workbooks.sheets import as_text

    as_text(cell, value)


def _rows(columns: Sequence[tuple[str, str, int]], rows: Iterable[Answer]) -> Iterable[list[Cell]]:
    for row in rows:
        yield [in_few_words(row[key]) if key == "cautions" else _shown(row[key]) for _, key, _ in columns]


def _shown(value: Any) -> Cell:
    if isinstance(value, list | tuple):
        return ", ".join(map(one_line, value))
    if isinstance(value, Verdict):
        return value.words
    return value if isinstance(value, int | float) or value is None else one_line(value)


def cross_reference_table(answer: Answer) -> str:
    """On a terminal: the pairs, then who has one source or none left."""
    pairs = answer["replacements"]
    rows = [(r["part_number"], r["by_part_number"], r["by_maker"], _words(r), r["why"]) for r in pairs[:_LISTED]]
    columns = ["part number", "may be replaced by", "its maker", "verdict", "worst reason"]
    table = simple_table("", columns, rows) if rows else "No part may stand in for another.\n"
    more = len(pairs) - len(rows)
    tail = f"... and {more} more pairs; --out FILE writes them all.\n" if more > 0 else ""
    count = f"{answer['designs']} designs of {answer['parts']} parts. {NOTE}\n"
    return table + tail + _thin(answer) + count + _care(answer)


def _care(answer: Answer) -> str:
    """The gravest of all, then the parts with a caution of their own: a stand-in for them is never bought without."""
    parts: dict[str, list[str]] = {}
    for row in answer["replacements"]:
        for caution in row["cautions"]:
            parts.setdefault(caution, []).append(row["part_number"])
    own = "".join(f"⚠ {', '.join(dict.fromkeys(named))}: {in_few_words([text])}\n" for text, named in parts.items())
    return own + in_a_line([text for text in answer["cautions"] if text not in parts])


def _words(row: Answer) -> str:
    return str(row["verdict"]).replace("_", "-")


def _thin(answer: Answer) -> str:
    """Designs with no active source, or one only."""
    thin = [s for s in answer["standings"] if s["sources"] < 2]
    rows = [(s["maker"], s["part_number"], s["status"], s["standing"], s["drop_ins"]) for s in thin[:_LISTED]]
    columns = ["maker", "part number", "status", "standing", "active parts that drop in"]
    more = len(thin) - len(rows)
    tail = f"... and {more} more; --out FILE writes them all.\n" if more > 0 else ""
    return (simple_table("One source or none active", columns, rows) + tail) if rows else ""
