"""The ledger: entries, levels, counter-moves."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal

import pytest

from bom.stock.ledger import Level, Move, MoveKind, after, check_sign, levels, lot_levels, reversal
from bom.values.problem import Refused

NOON = datetime(2024, 3, 1, 12, tzinfo=UTC)


def move(kind: MoveKind, quantity: int, sequence: int = 1, lot: str = "L1") -> Move:
    return Move(sequence, NOON, kind, "TW2-12S", lot, Decimal(quantity))


def level(on_hand: int, reserved: int = 0, held: int = 0) -> Level:
    return Level(Decimal(on_hand), Decimal(reserved), Decimal(held))


def test_levels_are_reckoned_from_the_entries_by_part_and_by_lot() -> None:
    moves = [
        move(MoveKind.IN, 12),
        move(MoveKind.IN, 5, 2, "L2"),
        move(MoveKind.RESERVE, 10, 3),
        move(MoveKind.HOLD, 1, 4, "L2"),
    ]
    assert levels(moves) == {"TW2-12S": level(17, 10, 1)}
    assert lot_levels(moves)["L1"].available == 2


@pytest.mark.parametrize(
    ("kind", "quantity"),
    [(MoveKind.IN, -1), (MoveKind.OUT, 1), (MoveKind.OUT, 0), (MoveKind.RESERVE, 0), (MoveKind.SHIFT, 1)],
)
def test_a_move_has_the_sign_of_its_kind(kind: MoveKind, quantity: int) -> None:
    with pytest.raises(Refused, match="TW2-12S"):
        check_sign(move(kind, quantity))


@pytest.mark.parametrize(("kind", "quantity"), [(MoveKind.IN, 1), (MoveKind.OUT, -1), (MoveKind.SHIFT, 0)])
def test_a_single_piece_moves(kind: MoveKind, quantity: int) -> None:
    check_sign(move(kind, quantity))


@pytest.mark.parametrize("quantity", [-2, 0, 2])
def test_a_count_may_find_more_or_less(quantity: int) -> None:
    check_sign(move(MoveKind.COUNT, quantity))


@pytest.mark.parametrize(
    ("kind", "quantity"), [(MoveKind.IN, 4), (MoveKind.OUT, -4), (MoveKind.RESERVE, 2), (MoveKind.HOLD, 1)]
)
def test_a_counter_move_undoes_its_entry(kind: MoveKind, quantity: int) -> None:
    entry = move(kind, quantity, 7)
    undone = reversal(entry, sequence=8)
    assert undone.counters == 7
    check_sign(undone)
    assert after(after(level(12), entry), undone) == level(12)


def test_a_counter_move_is_not_undone_and_keeps_its_own_sign() -> None:
    undone = reversal(move(MoveKind.IN, 4, 7), sequence=8)
    with pytest.raises(Refused, match="afresh"):
        reversal(undone)
    with pytest.raises(Refused, match="less than none"):
        check_sign(replace(undone, quantity=Decimal(4)))
