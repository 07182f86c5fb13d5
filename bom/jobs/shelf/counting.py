"""A whole count at once, from a file: what was found of each lot or part; the differences are booked, all or none."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from bom.intake.shelf_files import CountedRow, read_counts
from bom.jobs.shelf.day import counted_together
from bom.jobs.shelf.files import booked_once, in_its_unit, mark_of, must_be_new, wrong_row
from bom.shop.names import lot_named, part_stated
from bom.shop.readings import how_read, remember
from bom.shop.shop import Shop
from bom.stock.ledger import Lot
from bom.store.shelf import drawers_of, lots, lots_of_part, lying
from bom.values.column import folded
from bom.values.problem import Problem, ProblemsFound, Refused
from bom.values.reading import AS_THEY_ARE, HowAsked

if TYPE_CHECKING:
    from bom.store.shelf import Lying
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
    known = _Known(shop, rows)
    for row in rows:
        try:
            counted.append((row, known.lot_of(row)))
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
        found = [(lot, row.quantity, row.reason or f"counted, {path.name}") for row, lot in counted]
        said = counted_together(shop, found)
    remember(session, how)
    return [*said, f"{len(rows)} counts taken from {path.name}", *notes, *told]


class _Known:
    """The lots that the rows of a count name, and what lies there of the parts that they name, read at once."""

    def __init__(self, shop: Shop, rows: Sequence[CountedRow]) -> None:
        self.shop = shop
        numbers = {number for row in rows if row.lot for number in (row.lot, row.lot.upper())}
        self.lots = {lot.number: lot for lot in lots(shop.session, numbers)}
        typed = dict.fromkeys(row.part_number for row in rows if not row.lot)
        shop.calls.expect(typed)
        names = {shop.names.name(*called) for text in typed for called in shop.called(text)}
        self.there: dict[str, list[Lying]] = {}
        for one in lying(shop.session, names):
            if one.level.on_hand:
                self.there.setdefault(one.lot.part_number, []).append(one)

    def lot_of(self, row: CountedRow) -> Lot:
        """The lot of a row: as it says, else the part's only one that is there, in its drawer where it names one."""
        if row.lot:
            return self.lots.get(row.lot) or self.lots.get(row.lot.upper()) or lot_named(self.shop, row.lot)
        name = part_stated(self.shop, row.part_number, row.maker).name
        found = [x.lot for x in self.there.get(name, ()) if not row.drawer or folded(x.drawer) == folded(row.drawer)]
        found = found or self._used_up(name, row.drawer)
        if len(found) != 1:
            listed = ", ".join(lot.number for lot in found) or "none"
            place = f" in drawer {row.drawer}" if row.drawer else ""
            raise Refused(f"expected one lot of {name}{place}, or its number under lot (there: {listed})")
        return found[0]

    def _used_up(self, part: str, drawer: str) -> list[Lot]:
        """All lots of the part, where none of it is there any more: one of them may have turned up."""
        ever = lots_of_part(self.shop.session, part)
        lay = drawers_of(self.shop.session, ever) if drawer else {}
        return [lot for lot in ever if not drawer or folded(lay[lot.number]) == folded(drawer)]
