"""The ledger in the database: lots and moves, only ever added, and the levels wanted on the shelf.

Entries are added one writer at a time, and what they would leave is checked before they are kept, so the same piece
is never promised twice. Tables refuse changes to entries of their own accord.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import ColumnElement, delete, func, insert, select
from sqlalchemy.orm import Session

from bom.stock.ledger import Level, Lot, Move, MoveKind, levels, lot_levels
from bom.store import tables as t
from bom.store.rows import moment_of, moment_text
from bom.store.unit_of_work import take_turn
from bom.values.money import Money
from bom.values.problem import Refused


def add_lot(
    session: Session, lot: Lot, quantity: Decimal, when: datetime, reason: str = "", reference: str = ""
) -> Move:
    """Take a lot onto the shelf: the lot and the entry that brings its pieces in. The entry is returned."""
    if quantity <= 0:
        raise Refused(f"expected a quantity above zero, found {quantity}")
    take_turn(session)
    if session.scalar(select(t.lots.c.number).where(t.lots.c.number == lot.number)) is not None:
        raise Refused(f"there is a lot {lot.number} already")
    session.execute(insert(t.lots), [_lot_row(lot)])
    entry = Move(0, when, MoveKind.IN, lot.part_number, lot.number, quantity, reason, reference)
    return add_moves(session, (entry,))[0]


def next_lot_number(session: Session) -> str:
    """A lot number that nobody has: L and the count of lots so far, and one more. Call it within ``work``."""
    take_turn(session)
    taken = set(session.scalars(select(t.lots.c.number)))
    number = len(taken) + 1
    while f"L{number:05}" in taken:
        number += 1
    return f"L{number:05}"


def add_moves(session: Session, entries: Iterable[Move]) -> tuple[Move, ...]:
    """Add entries together, or refuse them together; they are returned with the sequence the ledger gave them.

    Refused: a lot that isn't there or is of another part, pieces that aren't there or aren't free, a quantity finer
    than a thousandth. A count is a fact: it may leave less than was promised, and then less than nothing is available.
    """
    take_turn(session)
    numbered = _numbered(session, tuple(entries))
    _must_name_lots(session, numbered)
    _must_be_there(session, numbered)
    if numbered:
        session.execute(insert(t.moves), [_move_row(m) for m in numbered])
    return numbered


def _numbered(session: Session, entries: Sequence[Move]) -> tuple[Move, ...]:
    last = session.scalar(select(func.max(t.moves.c.sequence))) or 0
    return tuple(
        Move(number, m.when, m.kind, m.part_number, m.lot, m.quantity, m.reason, m.reference, m.counters)
        for number, m in enumerate(entries, last + 1)
    )


def _must_name_lots(session: Session, entries: Sequence[Move]) -> None:
    part_of = {lot.number: lot.part_number for lot in lots(session, {m.lot for m in entries})}
    for move in entries:
        if not move.lot and move.kind not in (MoveKind.RESERVE, MoveKind.RELEASE):
            raise Refused(f"expected a lot for {move.part_number}; only a promise can go without one")
        if move.lot and part_of.get(move.lot) != move.part_number:
            raise Refused(f"there is no lot {move.lot} of {move.part_number}")


def _must_be_there(session: Session, entries: Sequence[Move]) -> None:
    """Judged by what all entries together leave, so their order does not matter."""
    before = [m for part in sorted({m.part_number for m in entries}) for m in moves(session, part)]
    after = [*before, *entries]
    counted = {n for m in entries if m.kind is MoveKind.COUNT for n in (m.part_number, m.lot)}
    for then, now in ((levels(before), levels(after)), (lot_levels(before), lot_levels(after))):
        for name in sorted(now.keys() - {""}):
            _must_hold(name, then.get(name, Level()), now[name], name in counted)


_NOTHING = Decimal(0)


def _must_hold(name: str, before: Level, after: Level, counted: bool) -> None:
    if after.on_hand < min(before.on_hand, _NOTHING):
        raise Refused(f"only {before.on_hand} of {name} on hand, {before.on_hand - after.on_hand} wanted")
    if after.available < min(before.available, _NOTHING) and not counted:
        taken = before.available - after.available
        raise Refused(f"only {before.available} of {name} available, {taken} wanted")
    if after.reserved < min(before.reserved, _NOTHING):
        raise Refused(f"only {before.reserved} of {name} reserved, {before.reserved - after.reserved} released")
    if after.held < min(before.held, _NOTHING):
        raise Refused(f"only {before.held} of {name} held, {before.held - after.held} freed")


def moves(session: Session, part: str | None = None, *, reference: str | None = None) -> tuple[Move, ...]:
    """The ledger's entries in their order: all, or those of a part, or those with a reference."""
    conditions: list[ColumnElement[bool]] = []
    if part is not None:
        conditions.append(t.moves.c.part_number == part)
    if reference is not None:
        conditions.append(t.moves.c.reference == reference)
    rows = session.execute(select(t.moves).where(*conditions).order_by(t.moves.c.sequence))
    return tuple(map(_move, rows))


def lots(session: Session, numbers: Iterable[str] | None = None) -> tuple[Lot, ...]:
    """Every lot, or those with these numbers, by number."""
    conditions = [] if numbers is None else [t.lots.c.number.in_(set(numbers))]
    return tuple(map(_lot, session.execute(select(t.lots).where(*conditions).order_by(t.lots.c.number))))


def set_level(session: Session, part_number: str, reorder_point: Decimal, order_up_to: Decimal) -> None:
    """Keep the level at which a part is reordered and the one it is ordered up to."""
    session.execute(delete(t.levels).where(t.levels.c.part_number == part_number))
    kept = {"reorder_point": _thousandths(reorder_point), "order_up_to": _thousandths(order_up_to)}
    session.execute(insert(t.levels).values(part_number=part_number, **kept))


def levels_wanted(session: Session) -> dict[str, tuple[Decimal, Decimal]]:
    """Part number to its reorder point and order-up-to level."""
    rows = session.execute(select(t.levels).order_by(t.levels.c.part_number))
    return {r.part_number: (_quantity(r.reorder_point), _quantity(r.order_up_to)) for r in rows}


def _lot_row(lot: Lot) -> dict[str, Any]:
    cost = lot.unit_cost
    return {
        **{name: getattr(lot, name) for name in _LOT_TEXTS},
        "cost_millionths": None if cost is None else cost.millionths,
        "cost_currency": None if cost is None else cost.currency,
        "received": moment_text(lot.received),
    }


_LOT_TEXTS = ("number", "part_number", "maker", "drawer", "date_code", "supplier")


def _lot(row: Any) -> Lot:
    cost = None if row.cost_millionths is None else Money(row.cost_millionths, row.cost_currency)
    texts = {name: getattr(row, name) for name in _LOT_TEXTS}
    return Lot(**texts, unit_cost=cost, received=moment_of(row.received))


def _move_row(move: Move) -> dict[str, Any]:
    return {
        "sequence": move.sequence,
        "moment": moment_text(move.when),
        "kind": move.kind.value,
        "part_number": move.part_number,
        "lot": move.lot or None,
        "thousandths": _thousandths(move.quantity),
        "reason": move.reason,
        "reference": move.reference,
        "counters": move.counters,
    }


def _move(row: Any) -> Move:
    when, kind, quantity = datetime.fromisoformat(row.moment), MoveKind(row.kind), _quantity(row.thousandths)
    lot = row.lot or ""
    return Move(row.sequence, when, kind, row.part_number, lot, quantity, row.reason, row.reference, row.counters)


def _thousandths(quantity: Decimal) -> int:
    """Whole thousandths of the part's unit: a milligram, a micrometre, or never needed."""
    exact = quantity * 1000
    if exact != exact.to_integral_value():
        raise Refused(f"quantities are kept to the thousandth, found {quantity}")
    return int(exact)


def _quantity(thousandths: int) -> Decimal:
    return Decimal(thousandths) / 1000
