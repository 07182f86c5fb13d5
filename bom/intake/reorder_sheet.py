"""A reorder spreadsheet read back as ordered: each supplier's sheet with the quantities that somebody left in it.

Sheets are known by their header row, so the summary and the checks are passed over. Part numbers are read as the text
they are; a quantity of 0 or an empty one is not ordered. A program that saved the book in between changes nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from bom.intake.rows import number_in
from bom.values.column import nearest
from bom.values.part_number import damage
from bom.values.problem import Problem, ProblemsFound, Refused

PART, QUANTITY, PRICE = "Part number", "Quantity", "Unit price"
_TITLE = "Order to "
_BOOK = "Book "


@dataclass(frozen=True, slots=True)
class TakenLine:
    """One line ordered: the sheet's row, the part number as it stands there, how many."""

    row: int
    part_number: str
    quantity: Decimal


@dataclass(frozen=True, slots=True)
class TakenOrder:
    """One supplier's sheet; sheets without a line that is ordered are left out."""

    sheet: str
    supplier: str
    lines: tuple[TakenLine, ...]


def read_reorder(path: Path) -> tuple[str, tuple[TakenOrder, ...]]:
    """(the book's number, empty where it has none; the orders). Raises ProblemsFound with every wrong cell."""
    problems: list[Problem] = []
    book, number = _opened(path), ""
    orders = []
    for sheet in book.worksheets:
        rows = list(enumerate(sheet.iter_rows(values_only=True), 1))
        number = number or _number(rows)
        if (places := _header(rows)) is not None:
            orders.append(_order(path, sheet.title, rows, places, problems))
        elif any(str(cell).startswith(_TITLE) for _, row in rows[:3] for cell in row):
            problems.append(_no_header(f"{path.name}, sheet {sheet.title}", rows))
    if problems:
        raise ProblemsFound(problems)
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
        places = {str(cell): place for place, cell in enumerate(row) if str(cell) in (PART, QUANTITY, PRICE)}
        if len(places) == 3:
            return {**places, "row": number}
    return None


def _no_header(where: str, rows: list[tuple[int, tuple[Any, ...]]]) -> Problem:
    """What an order's sheet lacks to be read; whoever renamed a heading is told which."""
    wanted = (PART, QUANTITY, PRICE)
    number, head = max(rows[:20], key=lambda row: sum(str(cell) in wanted for cell in row[1]))
    lacking = [name for name in wanted if name not in map(str, head)]
    near = nearest(lacking[0], [str(cell) for cell in head if cell is not None and str(cell) not in wanted])
    return Problem(where, number, lacking[0], f"the headings {', '.join(wanted)}", near)


def _order(
    path: Path, title: str, rows: list[tuple[int, tuple[Any, ...]]], places: dict[str, int], problems: list[Problem]
) -> TakenOrder:
    names = (str(cell) for _, row in rows[:3] for cell in row if str(cell).startswith(_TITLE))
    supplier = next(names, _TITLE + title).removeprefix(_TITLE)
    lines = []
    for number, row in rows[places["row"] :]:
        part, quantity = _text(row, places[PART]), _text(row, places[QUANTITY])
        if part and (line := _line(f"{path.name}, sheet {title}", number, part, quantity, problems)):
            lines.append(line)
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
