"""A reorder spreadsheet read back as ordered: each supplier's sheet with the quantities that somebody left in it.

Sheets are known by their header row, so the summary and the checks are passed over. Part numbers are read as the text
they are; a quantity of 0 or an empty one is not ordered. A program that saved the book in between changes nothing. A
heading that the book was not written with is a problem, unless a person leaves that column out by name.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path
from typing import Any

from bom.intake.rows import Report, is_note, number_in
from bom.values.column import Column, Holds, folded, nearest
from bom.values.part_number import damage
from bom.values.problem import Problem, ProblemsFound, Refused

PART, MAKER, QUANTITY, PRICE = "Part number", "Maker", "Quantity", "Unit price"
_NEEDED = (PART, QUANTITY, PRICE)
ORDER_COLUMNS = {
    PART: Column("The part to order.", "K2R-12S", Holds.PART_NUMBER, needed=True, name=PART),
    MAKER: Column("Who makes it, where two makers have the number.", "Kithmar", name=MAKER),
    QUANTITY: Column(
        "How much is ordered; 0 or empty is nothing.", "20", Holds.NUMBER, least=0, needed=True, name=QUANTITY
    ),
    PRICE: Column("What one costs at that quantity; it recalculates.", "2.01", Holds.MONEY, needed=True, name=PRICE),
}
# Every heading that an order is written with; those that are not read are for whoever looks at it.
HEADINGS = (*ORDER_COLUMNS, "Supplier code", "Description", "Unit", "Line total", "Price break", "Check", "Why")
_TITLE = "Order to "
_BOOK = "Book "


@dataclass(frozen=True, slots=True)
class TakenLine:
    """One line ordered: the sheet's row, the part number as it stands there, how many, and who makes it."""

    row: int
    part_number: str
    quantity: Decimal
    maker: str = ""


@dataclass(frozen=True, slots=True)
class TakenOrder:
    """One supplier's sheet; sheets without a line that is ordered are left out."""

    sheet: str
    supplier: str
    lines: tuple[TakenLine, ...]


def read_reorder(path: Path, leave_out: Sequence[str] = ()) -> tuple[str, tuple[TakenOrder, ...]]:
    """(the book's number, empty where it has none; the orders). Raises ProblemsFound with every wrong cell and heading.

    ``leave_out`` names columns of one's own.
    """
    report = Report().leave_out(leave_out)
    problems = report.problems
    book, number = _opened(path), ""
    orders = []
    for sheet in book.worksheets:
        rows = list(enumerate(sheet.iter_rows(values_only=True), 1))
        number = number or _number(rows)
        if (places := _header(rows)) is not None:
            _check_headings(f"{path.name}, sheet {sheet.title}", rows[places["row"] - 1], report)
            orders.append(_order(path, sheet.title, rows, places, problems))
        elif any(str(cell).startswith(_TITLE) for _, row in rows[:3] for cell in row):
            problems.append(_no_header(f"{path.name}, sheet {sheet.title}", rows))
    report.settle()
    if not any(order.lines for order in orders):
        raise ProblemsFound([Problem(path.name, 0, QUANTITY, "a supplier's sheet with a quantity above 0")])
    return number, tuple(order for order in orders if order.lines)


def _opened(path: Path) -> Any:
    from zipfile import BadZipFile

    from openpyxl import load_workbook
    from openpyxl.utils.exceptions import InvalidFileException

    if not path.is_file():
        raise Refused(f"there is no file {path}")
    try:
        return load_workbook(path, read_only=True, data_only=True)
    except (InvalidFileException, BadZipFile, KeyError) as error:
        raise Refused(f"{path}: expected a spreadsheet (.xlsx)") from error


def _number(rows: list[tuple[int, tuple[Any, ...]]]) -> str:
    texts = [str(cell) for _, row in rows[:3] for cell in row if cell is not None]
    return next((text.removeprefix(_BOOK).strip() for text in texts if text.startswith(_BOOK)), "")


def _header(rows: list[tuple[int, tuple[Any, ...]]]) -> dict[str, int] | None:
    """Column places by our words, and under ``row`` the header's own; None where the sheet is no order."""
    for number, row in rows[:20]:
        places = {name: place for place, cell in enumerate(row) if (name := _heading(cell))}
        if places.keys() >= set(_NEEDED):
            return {**places, "row": number}
    return None


def _heading(cell: object) -> str:
    return next((name for name in HEADINGS if folded(name) == folded(str(cell))), "")


def _check_headings(where: str, header: tuple[int, tuple[Any, ...]], report: Report) -> None:
    """Every heading is one that an order has, a note, or one to leave out."""
    number, cells = header
    for text in (str(cell).strip() for cell in cells if cell is not None):
        if text and not _heading(text) and not is_note(text) and not report.leaves(text):
            near = nearest(text, HEADINGS)
            expected = f"a heading of an order{f' (is {near!r} meant?)' if near else ''}, or --leave-out {text!r}"
            report.wrong(where, number, text, expected)


def _no_header(where: str, rows: list[tuple[int, tuple[Any, ...]]]) -> Problem:
    """What an order's sheet lacks to be read; whoever renamed a heading is told which."""
    number, head = max(rows[:20], key=lambda row: sum(_heading(cell) in _NEEDED for cell in row[1]))
    lacking = [name for name in _NEEDED if name not in map(_heading, head)]
    near = nearest(lacking[0], [str(cell) for cell in head if cell is not None and not _heading(cell)])
    return Problem(where, number, lacking[0], f"the headings {', '.join(_NEEDED)}", near)


def _order(
    path: Path, title: str, rows: list[tuple[int, tuple[Any, ...]]], places: dict[str, int], problems: list[Problem]
) -> TakenOrder:
    names = (str(cell) for _, row in rows[:3] for cell in row if str(cell).startswith(_TITLE))
    supplier = next(names, _TITLE + title).removeprefix(_TITLE)
    lines = []
    for number, row in rows[places["row"] :]:
        part, quantity = _text(row, places[PART]), _text(row, places[QUANTITY])
        maker = _text(row, places[MAKER]) if MAKER in places else ""
        if part and (line := _line(f"{path.name}, sheet {title}", number, part, quantity, problems)):
            lines.append(replace(line, maker=maker))
    return TakenOrder(title, supplier, tuple(lines))


def _line(where: str, row: int, part: str, quantity: str, problems: list[Problem]) -> TakenLine | None:
    if what := damage(part):
        problems.append(Problem(where, row, PART, f"a part number (a spreadsheet program turned it into {what})", part))
        return None
    found = number_in(quantity or "0")
    if found is None or found < 0:
        problems.append(Problem(where, row, QUANTITY, "a number, 0 or more", quantity))
        return None
    return TakenLine(row, part, found) if found else None


def _text(row: tuple[Any, ...], place: int) -> str:
    return "" if place >= len(row) or row[place] is None else str(row[place]).strip()
