"""A reorder spreadsheet read back as ordered: each supplier's sheet with the quantities that somebody left in it.

Sheets are known by their header row, so the summary and the checks are passed over. Part numbers are read as the text
they are; a quantity of 0 or an empty one is not ordered. A program that saved the book in between changes nothing. A
heading that the book was not written with is a problem, unless a person leaves that column out by name.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from bom.intake.rows import Report, is_note, number_in
from bom.intake.shop_list import ShopList, sheets_in
from bom.intake.spreadsheets.cell_text import Days, as_text, said
from bom.intake.spreadsheets.sheet import Cells, Sheet, letters
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
    if not path.is_file():
        raise Refused(f"there is no file {path}")
    number, orders = "", list[TakenOrder]()
    for sheet in sheets_in(ShopList(path, "order"), HEADINGS, report):
        rows = list(sheet.rows)
        number = number or _number(rows)
        if (places := _header(rows)) is not None:
            _check_headings(sheet.where, _row(rows, places["row"]), report)
            orders.append(_order(sheet, rows, places, problems))
        elif any(said(cell).startswith(_TITLE) for _, row in rows[:3] for cell in row):
            problems.append(_no_header(sheet.where, rows))
    report.settle()
    if not any(order.lines for order in orders):
        raise ProblemsFound([Problem(path.name, 0, QUANTITY, "a supplier's sheet with a quantity above 0")])
    return number, tuple(order for order in orders if order.lines)


_Row = tuple[int, Cells]


def _row(rows: list[_Row], number: int) -> _Row:
    return next(row for row in rows if row[0] == number)


def _number(rows: list[_Row]) -> str:
    texts = [said(cell) for _, row in rows[:3] for cell in row]
    return next((text.removeprefix(_BOOK).strip() for text in texts if text.startswith(_BOOK)), "")


def _header(rows: list[_Row]) -> dict[str, int] | None:
    """Column places by our words, and under ``row`` the header's own; None where the sheet is no order."""
    for number, row in rows[:20]:
        places = {name: place for place, cell in enumerate(row) if (name := _heading(said(cell)))}
        if places.keys() >= set(_NEEDED):
            return {**places, "row": number}
    return None


def _heading(cell: str) -> str:
    return next((name for name in HEADINGS if folded(name) == folded(cell)), "")


def _check_headings(where: str, header: _Row, report: Report) -> None:
    """Every heading is one that an order has, a note, or one to leave out."""
    number, cells = header
    for text in map(said, cells):
        if text and not _heading(text) and not is_note(text) and not report.leaves(text):
            near = nearest(text, HEADINGS)
            expected = f"a heading of an order{f' (is {near!r} meant?)' if near else ''}, or --leave-out {text!r}"
            report.wrong(where, number, text, expected)


def _no_header(where: str, rows: list[_Row]) -> Problem:
    """What an order's sheet lacks to be read; whoever renamed a heading is told which."""
    number, head = max(rows[:20], key=lambda row: sum(_heading(said(cell)) in _NEEDED for cell in row[1]))
    lacking = [name for name in _NEEDED if name not in map(_heading, map(said, head))]
    near = nearest(lacking[0], [said(cell) for cell in head if said(cell) and not _heading(said(cell))])
    return Problem(where, number, lacking[0], f"the headings {', '.join(_NEEDED)}", near)


def _order(sheet: Sheet, rows: list[_Row], places: dict[str, int], problems: list[Problem]) -> TakenOrder:
    titles = (said(cell) for _, row in rows[:3] for cell in row)
    supplier = next((t for t in titles if t.startswith(_TITLE)), _TITLE + sheet.name).removeprefix(_TITLE)
    if not supplier:
        problems.append(
            Problem(sheet.where, 1, "", f"whom it is to above the headings, as in {_TITLE}Osmere", "nothing")
        )
    lines = []
    for number, row in rows:
        if number > places["row"] and (line := _line(sheet, number, row, places, problems)):
            lines.append(line)
    return TakenOrder(sheet.name, supplier, tuple(lines))


def _line(sheet: Sheet, row: int, cells: Cells, places: dict[str, int], problems: list[Problem]) -> TakenLine | None:
    """The line of a row that orders something; what is wrong in its cells goes to ``problems``."""

    def text(name: str) -> str:
        place = places.get(name, len(cells))
        value = cells[place] if place < len(cells) else None
        try:
            read = as_text(ORDER_COLUMNS[name], value, Days())
            if name == PART and (what := damage(read)):
                raise Refused(f"a part number (a spreadsheet program turned it into {what})")
            return read
        except Refused as refused:
            cell = f"{letters(place)}{row}" if sheet.name else ""
            problems.append(Problem(sheet.where, row, name, str(refused), said(value), cell))
            return ""

    part, before = text(PART), len(problems)
    if not part:
        return None
    quantity, maker = text(QUANTITY), text(MAKER)
    if len(problems) > before:
        return None
    found = number_in(quantity or "0")
    if found is None or found < 0:
        cell = f"{letters(places[QUANTITY])}{row}" if sheet.name else ""
        problems.append(Problem(sheet.where, row, QUANTITY, "a number, 0 or more", quantity, cell))
        return None
    return TakenLine(row, part, found, maker) if found else None
