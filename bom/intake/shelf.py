"""The shelf from CSV files: what lies in the drawers at the start, what was used when, and the levels to
order at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from bom.intake.rows import Cells, Report, rows_of
from bom.values.money import Money
from bom.values.problem import Refused

STOCK_COLUMNS = (
    *("part_number", "maker", "drawer", "lot", "date_code", "supplier"),
    *("quantity", "unit_cost", "currency", "date", "maker_lot", "expires"),
)
USAGE_COLUMNS = ("date", "part_number", "quantity", "reason")
LEVEL_COLUMNS = ("part_number", "reorder_point", "order_up_to")


@dataclass(frozen=True, slots=True)
class OpeningLot:
    """Pieces (or g, mm, ml) of a part that lie in a drawer, with what one cost and when they came."""

    part_number: str
    quantity: Decimal
    maker: str = ""
    drawer: str = ""
    lot: str = ""
    date_code: str = ""
    supplier: str = ""
    unit_cost: Money | None = None
    received: date | None = None
    maker_lot: str = ""
    expires: date | None = None
    line: int = 0


@dataclass(frozen=True, slots=True)
class Usage:
    """This much of a part was used on this day."""

    day: date
    part_number: str
    quantity: Decimal
    reason: str = ""
    line: int = 0


@dataclass(frozen=True, slots=True)
class OrderLevel:
    """At or below ``reorder_point`` order up to ``order_up_to``; None = not stated."""

    part_number: str
    reorder_point: Decimal | None = None
    order_up_to: Decimal | None = None
    line: int = 0


def read_opening_stock(path: Path, leave_out: Sequence[str] = ()) -> tuple[OpeningLot, ...]:
    """The lots in this file; raises ``ProblemsFound`` with every problem. ``leave_out``: columns of one's own."""
    report = Report().leave_out(leave_out)
    rows = rows_of(path, ("part_number", "quantity"), STOCK_COLUMNS, report)
    cells = [Cells(path.name, row, report) for row in rows]
    _once(cells, "lot")
    if (first := next((c for c in cells if c.text("unit_cost")), None)) and "currency" not in first.row.cells:
        report.wrong(path.name, 1, "currency", "a column named currency, because what one cost is stated")
    return report.taken(tuple(map(_lot, cells))).value


def read_usage(path: Path, leave_out: Sequence[str] = ()) -> tuple[Usage, ...]:
    """What was used, oldest first; raises ``ProblemsFound`` with every problem. ``leave_out``: columns of one's own."""
    report = Report().leave_out(leave_out)
    rows = rows_of(path, ("date", "part_number", "quantity"), USAGE_COLUMNS, report)
    found = [_usage(Cells(path.name, row, report)) for row in rows]
    report.settle()
    return tuple(sorted(found, key=lambda u: u.day))


def read_levels(path: Path, leave_out: Sequence[str] = ()) -> tuple[OrderLevel, ...]:
    """The order levels in this file, each part once; raises ``ProblemsFound`` with every problem.

    ``leave_out``: columns of one's own.
    """
    report = Report().leave_out(leave_out)
    rows = rows_of(path, LEVEL_COLUMNS, LEVEL_COLUMNS, report)
    cells = [Cells(path.name, row, report) for row in rows]
    _once(cells, "part_number")
    return report.taken(tuple(map(_level, cells))).value


def _once(rows: list[Cells], column: str) -> None:
    seen: set[str] = set()
    for cells in rows:
        if (text := cells.text(column)) and text in seen:
            cells.wrong(column, f"each {column} once", text)
        seen.add(text)


def _lot(cells: Cells) -> OpeningLot:
    return OpeningLot(
        part_number=cells.part_number("part_number"),
        quantity=_quantity(cells),
        maker=cells.text("maker"),
        drawer=cells.text("drawer"),
        lot=cells.text("lot"),
        date_code=cells.text("date_code"),
        supplier=cells.text("supplier"),
        unit_cost=_cost(cells),
        received=_day(cells),
        maker_lot=cells.text("maker_lot"),
        expires=_day(cells, "expires"),
        line=cells.row.line,
    )


def _usage(cells: Cells) -> Usage:
    cells.needed("date")
    number, quantity = cells.part_number("part_number"), _quantity(cells)
    return Usage(_day(cells) or date.min, number, quantity, cells.text("reason"), cells.row.line)


def _level(cells: Cells) -> OrderLevel:
    point, target = _not_negative(cells, "reorder_point"), _not_negative(cells, "order_up_to")
    if point is not None and target is not None and target < point:
        cells.wrong("order_up_to", f"not below the reorder point, which is {point}", str(target))
    return OrderLevel(cells.part_number("part_number"), point, target, cells.row.line)


def _quantity(cells: Cells) -> Decimal:
    """An amount above 0 that must be there."""
    cells.needed("quantity")
    found = cells.decimal("quantity")
    if found is not None and found <= 0:
        cells.wrong("quantity", "a number above 0", cells.text("quantity"))
    return found or Decimal(0)


def _not_negative(cells: Cells, column: str) -> Decimal | None:
    if (found := cells.decimal(column)) is not None and found < 0:
        cells.wrong(column, "a number not below 0", cells.text(column))
    return found


def _cost(cells: Cells) -> Money | None:
    """What one cost, which needs its currency beside it; a column that is missing altogether is told once."""
    if (amount := _not_negative(cells, "unit_cost")) is None or "currency" not in cells.row.cells:
        return None
    try:
        return Money.of(amount, cells.text("currency"))
    except Refused:
        cells.wrong("currency", "an ISO 4217 currency code such as EUR", cells.text("currency"))
        return None


def _day(cells: Cells, column: str = "date") -> date | None:
    if not (text := cells.text(column)):
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        cells.wrong(column, "a date such as 2026-11-25", text)
        return None
