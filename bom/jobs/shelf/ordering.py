"""What was ordered and has not come: entered by hand or from a reorder spreadsheet, settled when goods come in."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.shelf import StillToCome
from bom.intake.reorder_sheet import read_reorder
from bom.jobs.shelf.files import booked_once, mark_of
from bom.shop.amounts import amount_of, plain
from bom.shop.names import Part, part_named, part_stated
from bom.shop.shop import Shop
from bom.store.offers import offers
from bom.store.offers import supplier as filed
from bom.store.on_order import (
    NOT_AFTER_ALL,
    Ordered,
    add_order,
    is_order,
    next_order_number,
    on_order,
    settled_by,
    taken_for,
)
from bom.values.problem import Problem, ProblemsFound, Refused
from bom.values.typed_day import day_typed

if TYPE_CHECKING:
    from bom.intake.reorder_sheet import TakenLine, TakenOrder
    from bom.stock.ledger import Move
    from bom.store.unit_of_work import Session


def known_supplier(shop: Shop, name: str) -> tuple[str, list[str]]:
    """(the name as the supplier's file spells it, a note where nobody of that name is set up)."""
    for supplier in shop.suppliers:
        if supplier.name.casefold() == name.strip().casefold():
            return supplier.name, []
    return name, [f"note: no supplier {name} is set up; taken as written (bom supplier add FILE sets one up)"]


def order_part(session: Session, part: str, quantity: str, supplier: str, due: str) -> list[str]:
    """Enter one part as ordered; what to tell the user."""
    shop = Shop(session)
    number, _ = part_named(shop, part)
    amount = amount_of(shop, number, quantity)
    if not supplier:
        raise Refused("expected whom it was ordered from: --supplier NAME")
    name, notes = known_supplier(shop, supplier)
    order = next_order_number(shop.session)
    day = _day(due) if due else _usual_day(shop, name, number)
    add_order(shop.session, Ordered(order, name, number, amount, day), datetime.now(UTC))
    unit = shop.unit(number)
    return [f"order {order}: {plain(amount, unit)} of {number} from {name}{_due_words(day)}", *notes]


def _day(text: str) -> date:
    if (day := day_typed(text)) is None:
        raise Refused(f"expected a day such as 2026-12-31 (3/4/2027 could be two), found {text!r}")
    return day


def _due_words(day: date | None) -> str:
    return f", due {day}" if day else ", no day promised"


def _usual_day(shop: Shop, supplier: str, part: str) -> date | None:
    """Today and the lead time that the supplier states, for this part or in general."""
    own = [o.lead_days for o in offers(shop.session, [part]) if o.supplier == supplier and o.lead_days is not None]
    known = filed(shop.session, supplier)
    days = min(own, default=known.lead_days if known else None)
    return None if days is None else date.today() + timedelta(days=days)


def take_reorder(session: Session, file: Path, again: bool = False, leave_out: Sequence[str] = ()) -> list[str]:
    """Take a reorder spreadsheet as ordered, with the quantities it has now: an order for each supplier's sheet.

    Raises ProblemsFound with every wrong cell. Refused where the same book was taken before, unless ``again``.
    ``leave_out`` names columns of one's own.
    """
    shop = Shop(session)
    book, orders = read_reorder(file, leave_out)
    why = f"reorder book {book}" if book else f"reorder book {file.name}"
    if (before := taken_for(shop.session, why)) and not again:
        raise Refused(
            f"{file.name} was taken before, as {', '.join(before)}; bom stock undo --file or call-off takes that back, "
            "--again orders it once more"
        )
    said, when = [], datetime.now(UTC)
    problems: list[Problem] = []
    mark = mark_of(f"order {book}", [line for taken in orders for line in taken.lines])
    with booked_once(shop, "order", file.name, mark, again=True):
        for taken in orders:
            lines = _lines(shop, file, taken, problems)
            name, notes = known_supplier(shop, taken.supplier)
            number = next_order_number(shop.session)
            for part, amount in lines:
                add_order(shop.session, _ordered(shop, number, name, part, amount), when, why)
            said += [f"order {number} to {name}: {len(lines)} parts{_due_words(_latest(shop, number))}", *notes]
    if problems:
        raise ProblemsFound(problems)
    return said


def _lines(shop: Shop, file: Path, taken: TakenOrder, problems: list[Problem]) -> list[tuple[str, Decimal]]:
    """Part and quantity of each line, lines of one part as one."""
    sums: dict[str, Decimal] = {}
    for line in taken.lines:
        try:
            part, _ = _part(shop, line)
            sums[part] = sums.get(part, Decimal(0)) + amount_of(shop, part, plain(line.quantity))
        except Refused as refused:
            where = f"{file.name}, sheet {taken.sheet}"
            problems.append(Problem(where, line.row, "", f"a line that can be ordered ({refused})"))
    return list(sums.items())


def _part(shop: Shop, line: TakenLine) -> Part:
    """The part of a line, by its maker where the sheet says one."""
    if line.maker:
        return part_stated(shop, line.part_number, line.maker)
    return part_named(shop, line.part_number)


def _ordered(shop: Shop, number: str, supplier: str, part: str, amount: Decimal) -> Ordered:
    return Ordered(number, supplier, part, amount, _usual_day(shop, supplier, part))


def _latest(shop: Shop, number: str) -> date | None:
    return max((o.due for o in shop.on_order if o.number == number and o.due), default=None)


def list_ordered(session: Session, part: str = "") -> list[StillToCome]:
    """A row for everything that has not come yet; late where its day is past."""
    shop = Shop(session)
    units = shop.units
    wanted = part_named(shop, part)[0] if part else None
    return [
        StillToCome(
            order=one.number,
            supplier=one.supplier,
            part_number=one.part_number,
            quantity=one.quantity,
            unit=units.get(one.part_number, "piece"),
            due=one.due,
            late_days=max((date.today() - one.due).days, 0) if one.due else None,
        )
        for one in on_order(shop.session, wanted)
    ]


def call_off(session: Session, number: str, part: str = "") -> list[str]:
    """What an order still has to bring will not come: all of it, or one part."""
    shop = Shop(session)
    wanted = part_named(shop, part)[0] if part else ""
    open_lines = [o for o in shop.on_order if o.number == number.upper() and wanted in ("", o.part_number)]
    if not open_lines:
        raise Refused(_nothing_to_come(shop, number, wanted))
    for one in open_lines:
        add_order(shop.session, _less(one, one.quantity), datetime.now(UTC), "called off")
    return [f"order {o.number}: {plain(o.quantity)} of {o.part_number} called off" for o in open_lines]


def _nothing_to_come(shop: Shop, number: str, part: str) -> str:
    if not is_order(shop.session, number.upper()):
        return f"there is no order {number}; bom stock ordered lists those still to come"
    return f"order {number} has nothing{' of ' + part if part else ''} still to come"


def settle(shop: Shop, order: str, supplier: str, part: str, amount: Decimal, when: datetime) -> list[str]:
    """Goods that came settle the order named, else the oldest open one to this supplier for this part."""
    left, said = amount, []
    for one in _open(shop, order, supplier, part):
        came = min(one.quantity, left)
        if came:
            add_order(shop.session, _less(one, came), when, "came")
            rest = one.quantity - came
            said.append(f"order {one.number}: {plain(came)} came, {plain(rest) if rest else 'none'} still to come")
        left -= came
    if order and left:
        said.append(f"note: {plain(left)} more than order {order} had still to bring")
    return said


def unsettle(shop: Shop, came: Move) -> str:
    """Goods that turn out not to have come are on order again; words about it, empty where they settled nothing."""
    back = settled_by(shop.session, came.part_number, came.when)
    for one in back:
        add_order(shop.session, one, datetime.now(UTC), NOT_AFTER_ALL)
    return "".join(f"; order {o.number} has {plain(o.quantity)} more to come again" for o in back)


def _open(shop: Shop, order: str, supplier: str, part: str) -> Sequence[Ordered]:
    lines = on_order(shop.session, part)
    if order:
        found = [o for o in lines if o.number == order.upper()]
        if not found:
            raise Refused(_nothing_to_come(shop, order, part))
        return found
    return [o for o in lines if supplier and o.supplier.casefold() == supplier.casefold()]


def _less(one: Ordered, amount: Decimal) -> Ordered:
    return Ordered(one.number, one.supplier, one.part_number, -amount, one.due)
