"""Which lots to take pieces from: first in, first out, never a piece that is held or promised."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from decimal import Decimal

from bom.stock.ledger import Level, Lot
from bom.values.part_number import same
from bom.values.problem import Refused


def pick(
    part: str,
    quantity: Decimal,
    lots: Iterable[Lot],
    levels: Mapping[str, Level],
    promised: Decimal = Decimal(0),
) -> list[tuple[Lot, Decimal]]:
    """Lots and how many to take of each, earliest received first; a lot without a date comes last.

    ``levels`` is by lot number; ``promised`` is what is reserved of the part without naming a lot. Refused,
    naming the shortage, where fewer are available.
    """
    if quantity <= 0:
        raise Refused(f"expected to pick more than none of {part}, found {quantity}")
    queue = sorted((lot for lot in lots if same(lot.part_number, part)), key=_age)
    _enough(part, quantity, [levels.get(lot.number, Level()) for lot in queue], promised)
    picked = []
    for lot in queue:
        take = min(max(levels.get(lot.number, Level()).available, Decimal(0)), quantity)
        quantity -= take
        if take:
            picked.append((lot, take))
    return picked


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


def _age(lot: Lot) -> tuple[bool, datetime | str, str]:
    """Undated lots after dated ones; the lot number settles a tie."""
    return (True, "", lot.number) if lot.received is None else (False, lot.received, lot.number)
