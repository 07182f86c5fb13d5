"""The shelf from files: opening stock, usage to book out, usage of the past, levels to order at; all or nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, datetime, time
from decimal import Decimal
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, Protocol, TypeVar

from bom.jobs.shelf.twice import PAST, booked_once, mark_of, must_be_new, put_in_place_of
from bom.shop.amounts import Drawers, no_rate, plain, units_in
from bom.shop.parts import Part, part_stated
from bom.stock.ledger import Lot, Move, MoveKind, pick
from bom.values.problem import Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from bom.intake.shelf_files import OpeningLot, Usage
    from bom.store.unit_of_work import Session


class _Row(Protocol):
    @property
    def part_number(self) -> str: ...
    @property
    def line(self) -> int: ...


R = TypeVar("R", bound=_Row)
Wrong = tuple[str, str, str]  # column, what was expected, what was found


def goods_in_file(session: Session, path: Path, leave_out: Sequence[str] = (), again: bool = False) -> list[str]:
    """Book every lot of a stock file in, with its day; all or nothing. Raises ProblemsFound with every wrong row, and
    Refused where a file that says the same was booked before, unless ``again``."""
    from bom.intake.shelf_files import read_opening_stock
    from bom.store.shelf import add_lot, lots, next_lot_number

    rows = read_opening_stock(path, leave_out)
    taken = {lot.number for lot in lots(session)}
    mark = mark_of("stock", rows)
    must_be_new(session, "stock", path.name, mark, again)
    numbers = _parts_of(session, path, rows, lambda row: _wrong_lot(session, row, taken))
    drawers = Drawers(session)
    with booked_once(session, "stock", path.name, mark, again) as notes:
        for row, (part, maker) in zip(rows, numbers, strict=True):
            when = datetime.combine(row.received, time(9), tzinfo=UTC) if row.received else datetime.now(UTC)
            number = row.lot or next_lot_number(session)
            lot = Lot(
                number, part, maker, drawers.named(row.drawer), row.date_code, row.supplier, row.unit_cost, when,
                row.expires, row.maker_lot,
            )  # fmt: skip
            add_lot(session, lot, row.quantity, when, f"goods in, {path.name}")
    uncosted = sum(row.unit_cost is None for row in rows)
    note = [f"note: {uncosted} lots state no cost, so their parts' average is not known"] if uncosted else []
    return [f"{len(rows)} lots of {len(set(numbers))} parts taken from {path.name}", *note, *notes]


def _wrong_lot(session: Session, row: OpeningLot, taken: set[str]) -> Wrong | None:
    if row.lot in taken:
        return "lot", "a lot that is not there yet", row.lot
    if row.unit_cost is not None and (why := no_rate(session, row.unit_cost.currency)):
        return "currency", f"a currency that can be converted ({why})", row.unit_cost.currency
    return None


def goods_out_file(session: Session, path: Path, leave_out: Sequence[str] = (), again: bool = False) -> list[str]:
    """Book out what a usage file says was used, each row on its day from the lots that go first.

    Raises ProblemsFound with every row that cannot be taken, as where less was there than was used; Refused where a
    file that says the same was booked before, unless ``again``.
    """
    from bom.intake.shelf_files import read_usage

    rows = read_usage(path, leave_out)
    mark = mark_of("usage", rows)
    must_be_new(session, "usage", path.name, mark, again)
    parts = [part for part, _ in _parts_of(session, path, rows)]
    with booked_once(session, "usage", path.name, mark, again) as notes:
        _book_out(session, path, rows, parts)
    return [f"{len(rows)} entries of {len(set(parts))} parts booked out from {path.name}", *notes]


def _book_out(session: Session, path: Path, rows: Sequence[Usage], parts: Sequence[str]) -> None:
    from bom.store.shelf import add_moves, lots, shelf

    known, problems = lots(session), []
    for row, part in zip(rows, parts, strict=True):
        now = shelf(session, [part])
        try:
            picked = pick(part, row.quantity, known, now.lots, now.promised.get(part, Decimal(0)), row.day)
        except Refused as refused:
            problems.append(Problem(path.name, row.line, "quantity", f"what is there to be used ({refused})"))
            continue
        add_moves(session, _out(row, picked))
    if problems:
        raise ProblemsFound(problems)


def _out(row: Usage, picked: Iterable[tuple[Lot, Decimal]]) -> list[Move]:
    when, why = datetime.combine(row.day, time(15), tzinfo=UTC), row.reason or "used"
    return [Move(0, when, MoveKind.OUT, lot.part_number, lot.number, -take, why) for lot, take in picked]


def past_usage_file(session: Session, path: Path, leave_out: Sequence[str] = (), again: bool = False) -> list[str]:
    """Keep what was used before the ledger began: levels learn from it, nothing is booked. The file's name is its key.
    Refused where a file of another name says the same, unless ``again``."""
    from bom.intake.shelf_files import read_usage
    from bom.store.shop_files import Used, take_past_usage

    rows = read_usage(path, leave_out)
    parts = [part for part, _ in _parts_of(session, path, rows)]
    used = [Used(row.day, part, row.quantity, row.reason) for row, part in zip(rows, parts, strict=True)]
    mark = mark_of(PAST, rows)
    replaced = put_in_place_of(session, PAST, path.name, mark)
    with booked_once(session, PAST, path.name, mark, again or replaced):
        count = take_past_usage(session, path.name, used)
    return [f"{count} entries of {len(set(parts))} parts kept from {path.name}: for levels alone, nothing is booked"]


def levels_file(session: Session, path: Path, leave_out: Sequence[str] = ()) -> list[str]:
    """Set the level of every part in the file; a part that states only one of the two is named and left alone."""
    from bom.intake.shelf_files import read_levels
    from bom.store.shelf import set_level

    rows = read_levels(path, leave_out)
    parts = [part for part, _ in _parts_of(session, path, rows)]
    half = []
    for row, part in zip(rows, parts, strict=True):
        if row.reorder_point is None or row.order_up_to is None:
            half.append(f"note: {part}, line {row.line}: expected both a point and a level to order up to; left alone")
        else:
            set_level(session, part, row.reorder_point, row.order_up_to)
    return [f"{len(rows) - len(half)} levels taken from {path.name}", *half]


def _parts_of(
    session: Session, path: Path, rows: Sequence[R], wrong: Callable[[R], Wrong | None] = lambda row: None
) -> list[Part]:
    """The catalogue's part for every row; every row that cannot be taken is a problem."""
    units, stated = units_in(session), cache(partial(part_stated, session))
    problems: list[Problem] = []
    answer = []
    for row in rows:
        try:
            answer.append(stated(row.part_number, getattr(row, "maker", "")))
            found = _split(row, answer[-1].name, units) or wrong(row)
        except Refused as refused:
            found = ("part_number", f"a part in the catalogue ({refused})", row.part_number)
        if found:
            problems.append(Problem(path.name, row.line, *found))
    if problems:
        raise ProblemsFound(problems)
    return answer


def _split(row: _Row, part: str, units: dict[str, str]) -> Wrong | None:
    """An amount is in the unit that its part is kept in, and pieces come whole."""
    quantity, own = getattr(row, "quantity", None), units.get(part, "piece")
    for unit in sorted({getattr(row, "unit", "piece"), *getattr(row, "units", ())} - {"piece", own}):
        return (
            "quantity" if quantity is not None else "reorder_point",
            f"an amount in {own}, which {part} is kept in",
            unit,
        )
    if part in units or quantity is None or quantity == quantity.to_integral_value():
        return None
    return "quantity", "whole pieces", plain(quantity)
