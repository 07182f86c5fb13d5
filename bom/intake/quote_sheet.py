"""A quote read back from the spreadsheet a supplier filled in; every wrong cell is reported, empty lines are none."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from bom.buying.offer import Break, Offer, Supplier
from bom.intake.rows import number_in
from bom.values.money import Money
from bom.values.problem import Problem, ProblemsFound, Refused

COLUMNS = {
    "Your code": "supplier_code",
    "Part number": "part_number",
    "Quantity": "quantity",
    "Unit price": "price",
    "Currency": "currency",
    "Minimum quantity": "moq",
    "Multiple": "multiple",
    "Lead time, days": "lead_days",
}


def read_quote(path: Path, supplier: Supplier, until: date) -> tuple[Offer, ...]:
    """One offer for each line with a price. Raises ProblemsFound; nothing is taken where a cell is wrong."""
    rows = _sheet_rows(path)
    places = _header(path, rows)
    problems: list[Problem] = []
    offers = [
        offer
        for number, row in rows[places["line"] :]
        if (offer := _offer(path, number, row, places, supplier, until, problems)) is not None
    ]
    if not problems and not offers:
        problems.append(Problem(path.name, 0, "Unit price", "at least one price"))
    if problems:
        raise ProblemsFound(problems)
    return tuple(offers)


def _sheet_rows(path: Path) -> list[tuple[int, tuple[Any, ...]]]:
    from zipfile import BadZipFile

    from openpyxl import load_workbook
    from openpyxl.utils.exceptions import InvalidFileException

    if not path.is_file():
        raise Refused(f"there is no file {path}")
    try:
        book = load_workbook(path, read_only=True, data_only=True)
    except (InvalidFileException, BadZipFile, KeyError) as error:
        raise Refused(f"{path}: expected a spreadsheet (.xlsx)") from error
    sheet = book.worksheets[0]
    return list(enumerate(sheet.iter_rows(values_only=True), 1))


def _header(path: Path, rows: list[tuple[int, tuple[Any, ...]]]) -> dict[str, int]:
    """Column places by our words, and under ``line`` how many rows lie above the first line."""
    for number, row in rows[:20]:
        found = {COLUMNS[str(cell)]: place for place, cell in enumerate(row) if str(cell) in COLUMNS}
        if {"part_number", "price"} <= set(found):
            return {**found, "line": number}
    raise ProblemsFound([Problem(path.name, 0, "", "a header row with Part number and Unit price")])


def _offer(
    path: Path,
    number: int,
    row: tuple[Any, ...],
    places: dict[str, int],
    supplier: Supplier,
    until: date,
    problems: list[Problem],
) -> Offer | None:
    cells = {word: row[place] for word, place in places.items() if word != "line" and place < len(row)}
    if cells.get("price") in (None, "") or cells.get("part_number") in (None, ""):
        return None
    price = _number(path, number, "Unit price", cells["price"], problems)
    moq = _whole(path, number, "Minimum quantity", cells.get("moq"), 1, problems)
    multiple = _whole(path, number, "Multiple", cells.get("multiple"), 1, problems)
    lead = _whole(path, number, "Lead time, days", cells.get("lead_days"), None, problems)
    currency = str(cells.get("currency") or supplier.currency).strip().upper()
    if price is None:
        return None
    return Offer(
        supplier=supplier.name,
        part_number=str(cells["part_number"]).strip(),
        breaks=(Break(1, Money.of(price, currency)),),
        supplier_code=str(cells.get("supplier_code") or "").strip(),
        moq=moq or 1,
        multiple=multiple or 1,
        lead_days=lead,
        valid_until=until,
        file=path.name,
        line=number,
    )


def _number(path: Path, row: int, column: str, cell: object, problems: list[Problem]) -> Decimal | None:
    """A number, or text that is one with a decimal point or comma."""
    found = number_in(str(cell).strip().replace(",", "."))
    if found is None or found < 0:
        problems.append(Problem(path.name, row, column, "a number, 0 or more", str(cell)))
        return None
    return found


def _whole(path: Path, row: int, column: str, cell: object, default: int | None, problems: list[Problem]) -> int | None:
    if cell in (None, ""):
        return default
    found = _number(path, row, column, cell, problems)
    if found is not None and (found != int(found) or found < 0):
        problems.append(Problem(path.name, row, column, "a whole number", str(cell)))
        return default
    return default if found is None else int(found)
