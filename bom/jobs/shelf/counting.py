"""A whole count at once, from a file: what was found of each lot or part; the differences are booked, all or none."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from bom.intake.shelf_files import CountedRow, read_counts
from bom.jobs.shelf.day import counted_as
from bom.jobs.shelf.files import booked_once, in_its_unit, mark_of, must_be_new, wrong_row
from bom.shop.names import lot_named, part_stated
from bom.shop.readings import how_read, remember
from bom.shop.shop import Shop
from bom.stock.ledger import Lot, drawer_of
from bom.store.shelf import moves, shelf
from bom.values.column import folded
from bom.values.problem import Problem, ProblemsFound, Refused
from bom.values.reading import AS_THEY_ARE, HowAsked

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def counts_file(
    session: Session, path: Path, leave_out: Sequence[str] = (), again: bool = False, asked: HowAsked = AS_THEY_ARE
) -> list[str]:
    """Book what a count found of each lot or part of a file; all or nothing.

    A part that lies in several lots is counted by lot, or by drawer where that tells them apart. Raises ProblemsFound
    with every wrong row, and Refused where a file that says the same was booked before, unless ``again``.
    """
    shop = Shop(session)
    how = how_read(session, asked)
    rows, told = read_counts(path, leave_out, how)
    mark = mark_of("count", rows)
    must_be_new(shop, "count", path.name, mark, again)
    counted, problems = list[tuple[CountedRow, Lot]](), list[Problem]()
    for row in rows:
        try:
            counted.append((row, _lot_counted(shop, row)))
        except Refused as refused:
            column = "lot" if row.lot else "part_number"
            problems.append(wrong_row(row, column, str(refused).removeprefix("expected "), row.lot or row.part_number))
            continue
        if split := in_its_unit(row, counted[-1][1].part_number, shop.units):
            problems.append(wrong_row(row, *split))
    twice = {number for number, count in Counter(lot.number for _, lot in counted).items() if count > 1}
    problems += [wrong_row(row, "quantity", f"lot {lot.number} once") for row, lot in counted if lot.number in twice]
    if problems:
        raise ProblemsFound(problems)
    with booked_once(shop, "count", path.name, mark, again) as notes:
        said = [counted_as(shop, lot, row.quantity, row.reason or f"counted, {path.name}") for row, lot in counted]
    remember(session, how)
    return [*said, f"{len(rows)} counts taken from {path.name}", *notes, *told]


def _lot_counted(shop: Shop, row: CountedRow) -> Lot:
    """The lot of a row: as it says, else the part's only one that is there, in its drawer where it names one."""
    if row.lot:
        return lot_named(shop, row.lot)
    name = part_stated(shop, row.part_number, row.maker).name
    lots = [lot for lot in shop.lots if lot.part_number == name]
    if row.drawer:
        moved = moves(shop.session, name)
        lots = [lot for lot in lots if folded(drawer_of(lot, moved)) == folded(row.drawer)]
    if len(lots) > 1:
        there = shelf(shop.session, [name]).lots
        lots = [lot for lot in lots if lot.number in there and there[lot.number].on_hand] or lots
    if len(lots) != 1:
        found = ", ".join(lot.number for lot in lots) or "none"
        place = f" in drawer {row.drawer}" if row.drawer else ""
        raise Refused(f"expected one lot of {name}{place}, or its number under lot (there: {found})")
    return lots[0]
