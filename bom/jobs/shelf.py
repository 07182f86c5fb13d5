"""The shelf's day: goods in, goods out, counts, what is there, and where a lot came from and went."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from bom.buying.offer import Rates
from bom.stock.ledger import Level, Lot, Move, MoveKind, levels, lot_levels
from bom.stock.picking import pick
from bom.stock.valuation import Entry, moving_average
from bom.values.money import Money
from bom.values.part_number import same
from bom.values.problem import Refused
from bom.values.quantity import read_amount

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def part_named(session: Session, text: str) -> tuple[str, str]:
    """(part number, maker) of the relay or supply this text names, as the catalogue spells it; refuses another."""
    from bom.store.catalogue import whole_catalogue
    from bom.values.part_number import suggest

    catalogue = whole_catalogue(session)
    parts = [(r.part_number, r.maker) for r in catalogue.relays]
    parts += [(s.part_number, s.maker) for s in catalogue.supplies]
    for number, maker in parts:
        if same(number, text):
            return number, maker
    near = suggest(text, [number for number, _ in parts])
    raise Refused(f"no part {text} in the catalogue" + (f"; did you mean {' or '.join(near)}?" if near else ""))


def amount_of(session: Session, part: str, text: str) -> Decimal:
    """How much of this part, in its own unit; a bare number is in that unit. Refuses another unit and split pieces."""
    from bom.store.catalogue import whole_catalogue

    amount, unit = read_amount(text)
    own = next((s.unit for s in whole_catalogue(session).supplies if s.part_number == part), "piece")
    if unit not in ("piece", own):
        raise Refused(f"{part} is kept in {own}, found {text!r}")
    if own == "piece" and amount != amount.to_integral_value():
        raise Refused(f"expected whole pieces of {part}, found {text!r}")
    return amount


def money(text: str) -> Money:
    """Money as typed: an amount and its currency, as in 2.10 GBP."""
    match text.split():
        case [amount, currency] | [currency, amount] if currency.isalpha():
            return Money.of(amount, currency.upper())
    raise Refused(f"expected an amount and its currency, as in 2.10 GBP, found {text!r}")


def goods_in(
    session: Session,
    part: str,
    quantity: str,
    cost: str,
    lot: str,
    drawer: str,
    supplier: str,
    date_code: str,
    hold: bool,
) -> str:
    """Book a new lot in; says its number."""
    from bom.store.shelf import add_lot, add_moves, next_lot_number

    number, maker = part_named(session, part)
    amount = amount_of(session, number, quantity)
    when = datetime.now(UTC)
    new = Lot(lot or next_lot_number(session), number, maker, drawer, date_code, supplier, money(cost), when)
    add_lot(session, new, amount, when, "goods in")
    if hold:
        add_moves(session, [_move(when, MoveKind.HOLD, new, amount, "held for inspection")])
    return f"lot {new.number}: {amount} of {number}" + (" (held)" if hold else "")


def goods_out(session: Session, part: str, quantity: str, reason: str, lot: str) -> list[str]:
    """Book pieces out, oldest lot first or from the lot named; a line for each lot."""
    from bom.store.shelf import add_moves, lots
    from bom.store.shelf import moves as ledger

    number, _ = part_named(session, part)
    amount = amount_of(session, number, quantity)
    offered = [one for one in lots(session) if lot in ("", one.number)]
    if lot and not offered:
        raise Refused(f"no lot {lot}")
    picked = pick(number, amount, offered, lot_levels(ledger(session)))
    when = datetime.now(UTC)
    add_moves(session, [_move(when, MoveKind.OUT, one, -take, reason) for one, take in picked])
    return [f"{take} of {number} from lot {one.number}, drawer {one.drawer or '-'}" for one, take in picked]


def enter_count(session: Session, lot: str, quantity: str, reason: str) -> str:
    """Book the difference between the ledger and what a count found."""
    from bom.store.shelf import add_moves
    from bom.store.shelf import moves as ledger

    counted = lot_named(session, lot)
    none_left = quantity.split()[:1] == ["0"]
    amount = Decimal(0) if none_left else amount_of(session, counted.part_number, quantity)
    there = lot_levels(ledger(session)).get(counted.number, Level()).on_hand
    if amount == there:
        return f"lot {lot}: {there} counted, as booked"
    add_moves(session, [_move(datetime.now(UTC), MoveKind.COUNT, counted, amount - there, reason)])
    return f"lot {lot}: {there} booked, {amount} counted, difference {amount - there:+} booked"


def lot_named(session: Session, number: str) -> Lot:
    from bom.store.shelf import lots as all_lots

    for lot in all_lots(session):
        if lot.number == number:
            return lot
    raise Refused(f"no lot {number}")


def _move(when: datetime, kind: MoveKind, lot: Lot, quantity: Decimal, reason: str, reference: str = "") -> Move:
    """A move yet to be entered: the ledger gives it its place."""
    return Move(0, when, kind, lot.part_number, lot.number, quantity, reason, reference)


def show_stock(session: Session, part: str) -> list[dict[str, Any]]:
    """A row for each part that was ever in stock."""
    from bom.jobs.prices import usual_currency
    from bom.store.shelf import levels_wanted
    from bom.store.shelf import lots as all_lots
    from bom.store.shelf import moves as ledger

    moves, lots = ledger(session), all_lots(session)
    wanted = levels_wanted(session)
    there = levels(moves)
    parts = [p for p in sorted({*there, *wanted}) if not part or same(p, part)]
    if part and not parts:
        raise Refused(f"{part} was never in stock")
    base = usual_currency(session)
    return [
        _stock_row(p, there.get(p, Level()), average_in(session, p, moves, lots, base), lots, wanted.get(p))
        for p in parts
    ]


def _stock_row(
    part: str, level: Level, average: Money | None, lots: Sequence[Lot], wanted: tuple[Decimal, Decimal] | None
) -> dict[str, Any]:
    return {
        "part_number": part,
        "on_hand": level.on_hand,
        "reserved": level.reserved,
        "held": level.held,
        "available": level.available,
        "reorder_point": wanted[0] if wanted else None,
        "order_up_to": wanted[1] if wanted else None,
        "average_cost": average,
        "drawers": sorted({lot.drawer for lot in lots if lot.part_number == part and lot.drawer}),
    }


def average_in(session: Session, part: str, moves: Sequence[Move], lots: Sequence[Lot], currency: str) -> Money | None:
    """The moving average of what is on hand, every lot's cost turned into one currency; None where one is not known."""
    from bom.jobs.prices import rates_to

    rates = rates_to(session, currency)
    costs = {lot.number: _in_base(lot.unit_cost, rates) for lot in lots if lot.part_number == part}
    if not costs or None in costs.values():
        return None
    ours = [m for m in moves if m.part_number == part and m.kind in (MoveKind.IN, MoveKind.OUT, MoveKind.COUNT)]
    entries = [Entry(m.quantity, costs.get(m.lot) if m.quantity > 0 else None) for m in ours]
    return moving_average(entries, currency).average


def _in_base(cost: Money | None, rates: Rates) -> Money | None:
    worth = rates.to_base(cost.currency) if cost else None
    return Money.of(cost.amount * worth, rates.base) if cost and worth is not None else None


def trace_lot(session: Session, number: str) -> dict[str, Any]:
    """The lot, and every entry that named it, in order; for a kit's lot, the lots that went into it."""
    from bom.store.shelf import moves as ledger

    lot = lot_named(session, number)
    moves = ledger(session)
    return {
        "lot": lot,
        "moves": [m for m in moves if m.lot == number],
        "went_into": sorted({m.reference for m in moves if m.lot == number and m.reference}),
        "made_from": sorted({m.lot for m in moves if m.reference == number and m.lot != number}),
    }
