"""The shelf from a shop's lists: what lies in the drawers at the start, what was used when, what a count found, and
the levels to order at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from pathlib import Path

from bom.intake.rows import Cells, Report, Row, Taken
from bom.intake.shop_list import ShopList, rows_of
from bom.intake.tables import currency_words
from bom.values.column import amount, day, keys, money, part_number, text
from bom.values.money import Money
from bom.values.problem import Refused
from bom.values.reading import PLAIN, HowRead

_PART = part_number("The part, by the number that it is ordered by.", "TW2-12S")
_QUANTITY = amount("How much: pieces, or what the part is kept in (g, mm, ml).", "20", above=0, needed=True)
_DAY = "2025-11-04"
STOCK_COLUMNS = keys(
    part_number=_PART,
    maker=text("Who makes it, where two makers have the number.", "Ostrel"),
    drawer=text("Where it lies.", "A1"),
    lot=text("The lot's number; else one is given.", "L0001"),
    date_code=text("The maker's date code, year and week.", "1922"),
    supplier=text("Who sold it.", "Thaxley"),
    quantity=_QUANTITY,
    unit_cost=money("What one cost.", "3.90"),
    currency=text("The currency of unit_cost, an ISO 4217 code.", "USD"),
    date=day("When it came; else today.", _DAY),
    maker_lot=text("The maker's own lot number.", "7731"),
    expires=day("The last day that it may be used.", "2027-06-30"),
)
USAGE_COLUMNS = keys(
    date=day("When it was used.", _DAY, needed=True),
    part_number=_PART,
    quantity=_QUANTITY,
    reason=text("What for.", "used for repair"),
)
LEVEL_COLUMNS = keys(
    part_number=_PART,
    reorder_point=amount("At or below this it is ordered.", "16", least=0),
    order_up_to=amount("Up to this it is ordered.", "40", least=0),
)
COUNT_COLUMNS = keys(
    lot=text("The lot that was counted; without it the part's one lot, or its one lot in the drawer.", "L0007"),
    part_number=replace(_PART, needed=False),
    maker=text("Who makes it, where two makers have the number.", "Ostrel"),
    drawer=text("Where it lies.", "A1"),
    quantity=amount("What is really there; 0 for none.", "18", least=0, needed=True),
    reason=text("Why it differs.", "one lost"),
)


_AMOUNT = STOCK_COLUMNS["quantity"]
_NOTHING = (Decimal(0), "piece")  # stands in where the cell is a problem already


@dataclass(frozen=True, slots=True)
class OpeningLot:
    """An amount of a part that lies in a drawer, with what one cost and when it came.

    ``unit`` is what the quantity was stated in: g, mm or ml, or *piece* where it was a bare number.
    """

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
    unit: str = "piece"
    line: int = 0
    row: Row | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class UsageRow:
    """This much of a part was used on this day; ``unit`` as in ``OpeningLot``."""

    day: date
    part_number: str
    quantity: Decimal
    reason: str = ""
    unit: str = "piece"
    line: int = 0
    row: Row | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class OrderLevel:
    """At or below ``reorder_point`` order up to ``order_up_to``; None = not stated; ``units`` as in ``OpeningLot``."""

    part_number: str
    reorder_point: Decimal | None = None
    order_up_to: Decimal | None = None
    units: frozenset[str] = frozenset()
    line: int = 0
    row: Row | None = field(default=None, compare=False, repr=False)


def read_opening_stock(
    path: Path, leave_out: Sequence[str] = (), how: HowRead = PLAIN
) -> Taken[tuple[OpeningLot, ...]]:
    """The lots in this file; raises ``ProblemsFound`` with every problem.

    ``leave_out``: columns of one's own; ``how`` a spreadsheet of one's own is read.
    """
    report = Report(how=how).leave_out(leave_out)
    rows = rows_of(ShopList(path, "stock"), ("part_number", "quantity"), STOCK_COLUMNS, report)
    cells = [Cells(row, report) for row in rows]
    _once(cells, "lot")
    if (first := next((c for c in cells if c.text("unit_cost")), None)) and "currency" not in first.row.cells:
        report.wrong(path.name, 1, "currency", "a column named currency, because what one cost is stated")
    return report.taken(tuple(map(_lot, cells)))


def read_usage(path: Path, leave_out: Sequence[str] = (), how: HowRead = PLAIN) -> Taken[tuple[UsageRow, ...]]:
    """What was used, oldest first; raises ``ProblemsFound`` with every problem. The options are those of the lots."""
    report = Report(how=how).leave_out(leave_out)
    rows = rows_of(ShopList(path, "usage"), ("date", "part_number", "quantity"), USAGE_COLUMNS, report)
    found = [_usage(Cells(row, report)) for row in rows]
    return report.taken(tuple(sorted(found, key=lambda u: u.day)))


def read_levels(path: Path, leave_out: Sequence[str] = (), how: HowRead = PLAIN) -> Taken[tuple[OrderLevel, ...]]:
    """The order levels in this file, each part once; raises ``ProblemsFound`` with every problem. The options are those
    of the lots."""
    report = Report(how=how).leave_out(leave_out)
    rows = rows_of(ShopList(path, "levels"), tuple(LEVEL_COLUMNS), LEVEL_COLUMNS, report)
    cells = [Cells(row, report) for row in rows]
    _once(cells, "part_number")
    return report.taken(tuple(map(_level, cells)))


@dataclass(frozen=True, slots=True)
class CountedRow:
    """So much was found of a lot, or of a part, on the shelf or in a drawer; ``unit`` as in ``OpeningLot``."""

    quantity: Decimal
    lot: str = ""
    part_number: str = ""
    maker: str = ""
    drawer: str = ""
    reason: str = ""
    unit: str = "piece"
    line: int = 0
    row: Row | None = field(default=None, compare=False, repr=False)


def read_counts(path: Path, leave_out: Sequence[str] = (), how: HowRead = PLAIN) -> Taken[tuple[CountedRow, ...]]:
    """What was counted, a lot or a part a row; raises ``ProblemsFound`` with every problem."""
    report = Report(how=how).leave_out(leave_out)
    cells = [Cells(row, report) for row in rows_of(ShopList(path, "counts"), ("quantity",), COUNT_COLUMNS, report)]
    _once(cells, "lot")
    return report.taken(tuple(map(_counted, cells)))


def _counted(cells: Cells) -> CountedRow:
    values = cells.values_of(COUNT_COLUMNS, "quantity")
    quantity, unit = cells.read(COUNT_COLUMNS["quantity"]) or _NOTHING
    if not (values["lot"] or values["part_number"]):
        cells.wrong("lot" if "lot" in cells.row.cells else "part_number", "a lot or a part number", "an empty cell")
    return CountedRow(quantity=quantity, unit=unit, **values, line=cells.row.line, row=cells.row)


def _once(rows: list[Cells], column: str) -> None:
    seen: set[str] = set()
    for cells in rows:
        if (text := cells.text(column)) and text in seen:
            cells.wrong(column, f"each {column} once", text)
        seen.add(text)


def _lot(cells: Cells) -> OpeningLot:
    values = cells.values_of(STOCK_COLUMNS, "quantity", "unit_cost", "currency", "date")
    quantity, unit = cells.read(_AMOUNT) or _NOTHING
    return OpeningLot(
        **values,
        quantity=quantity,
        unit=unit,
        unit_cost=_cost(cells),
        received=cells.read(STOCK_COLUMNS["date"]),
        line=cells.row.line,
        row=cells.row,
    )


def _usage(cells: Cells) -> UsageRow:
    values = cells.values_of(USAGE_COLUMNS, "quantity", "date")
    used, unit = cells.read(_AMOUNT) or _NOTHING
    return UsageRow(
        cells.read(USAGE_COLUMNS["date"]) or date.min,
        quantity=used,
        unit=unit,
        **values,
        line=cells.row.line,
        row=cells.row,
    )


def _level(cells: Cells) -> OrderLevel:
    stated = [cells.read(LEVEL_COLUMNS[name]) for name in ("reorder_point", "order_up_to")]
    point, target = (one and one[0] for one in stated)
    if point is not None and target is not None and target < point:
        cells.wrong("order_up_to", f"not below the reorder point, which is {point}", str(target))
    return OrderLevel(
        cells.read(LEVEL_COLUMNS["part_number"]),
        point,
        target,
        frozenset(one[1] for one in stated if one),
        cells.row.line,
        cells.row,
    )


def _cost(cells: Cells) -> Money | None:
    """What one cost, which needs its currency beside it; a column that is missing altogether is told once."""
    amount, code = cells.exact(STOCK_COLUMNS["unit_cost"]), cells.text("currency")
    if "currency" not in cells.row.cells or (amount is None and not code):
        return None
    try:
        cost = Money.of(amount or Decimal(0), code)
    except Refused:
        cells.wrong("currency", currency_words(code), code)
        return None
    return None if amount is None else cost
