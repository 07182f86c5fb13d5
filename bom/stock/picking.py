"""Which lots to take pieces from: first to expire, then first in; never a piece that is held, promised or past its
last day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from decimal import Decimal

from bom.stock.ledger import Level, Lot, Move, MoveKind
from bom.values.part_number import same
from bom.values.problem import Refused


def pick(
    part: str,
    quantity: Decimal,
    lots: Iterable[Lot],
    levels: Mapping[str, Level],
    promised: Decimal = Decimal(0),
    today: date | None = None,
) -> list[tuple[Lot, Decimal]]:
    """Lots and how many to take of each: the first to expire first, those that keep in the order received, and a lot
    without a date last. With ``today`` given, a lot past its last day stays where it is.

    ``levels`` is by lot number; ``promised`` is what is reserved of the part without naming a lot. Refused,
    naming the shortage, where fewer are available.
    """
    if quantity <= 0:
        raise Refused(f"expected to pick more than none of {part}, found {quantity}")
    queue = sorted((x for x in lots if same(x.part_number, part) and not is_over(x, today)), key=goes_first)
    _enough(part, quantity, [levels.get(lot.number, Level()) for lot in queue], promised)
    picked = []
    for lot in queue:
        take = min(max(levels.get(lot.number, Level()).available, Decimal(0)), quantity)
        quantity -= take
        if take:
            picked.append((lot, take))
    return picked


def is_over(lot: Lot, today: date | None) -> bool:
    """Whether the lot's last day is past; a lot that keeps is never over."""
    return today is not None and lot.expires is not None and lot.expires < today


def promised(moves: Iterable[Move]) -> dict[str, Decimal]:
    """Part number to what is reserved of it without naming a lot."""
    answer: dict[str, Decimal] = {}
    for move in moves:
        if not move.lot and move.kind in (MoveKind.RESERVE, MoveKind.RELEASE):
            answer[move.part_number] = answer.get(move.part_number, Decimal(0)) + move.quantity
    return answer


def free(
    lots: Iterable[Lot], levels: Mapping[str, Level], promised: Mapping[str, Decimal], today: date | None = None
) -> dict[str, Decimal]:
    """Part number to how much of it ``pick`` could take: what is available in lots that are not over."""
    answer: dict[str, Decimal] = {}
    for lot in lots:
        there = Decimal(0) if is_over(lot, today) else max(levels.get(lot.number, Level()).available, Decimal(0))
        answer[lot.part_number] = answer.get(lot.part_number, Decimal(0)) + there
    return {part: max(there - promised.get(part, Decimal(0)), Decimal(0)) for part, there in answer.items()}


def expired(lots: Iterable[Lot], levels: Mapping[str, Level], today: date) -> dict[str, Decimal]:
    """Part number to how much of it nobody set apart and ``pick`` still leaves, because its last day is past."""
    answer: dict[str, Decimal] = {}
    for lot in lots:
        there = levels.get(lot.number, Level()).available
        if is_over(lot, today) and there > 0:
            answer[lot.part_number] = answer.get(lot.part_number, Decimal(0)) + there
    return answer


def _enough(part: str, quantity: Decimal, levels: list[Level], promised: Decimal) -> None:
    available = sum((max(level.available, Decimal(0)) for level in levels), Decimal(0)) - promised
    if available < quantity:
        on_hand = sum((level.on_hand for level in levels), Decimal(0))
        reserved = sum((level.reserved for level in levels), Decimal(0)) + promised
        held = sum((level.held for level in levels), Decimal(0))
        raise Refused(
            f"{part}: {quantity - available} short: {quantity} wanted and {available} available "
            f"({on_hand} on hand, {reserved} reserved, {held} held)"
        )


def goes_first(lot: Lot) -> tuple[date, bool, datetime | str, str]:
    """What expires goes before what keeps; undated lots after dated ones; the lot number settles a tie."""
    last_day = lot.expires or date.max
    return (last_day, True, "", lot.number) if lot.received is None else (last_day, False, lot.received, lot.number)
