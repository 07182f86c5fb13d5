"""The ledger: entries, levels, counter-moves."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal

import pytest

from bom.stock.ledger import Level, Move, MoveKind, after, check_move, levels, lot_levels, reversal
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
    ("there", "kind", "quantity"),
    [
        (level(3), MoveKind.OUT, -4),
        (level(12, 10), MoveKind.OUT, -3),
        (level(12, 10), MoveKind.RESERVE, 3),
        (level(12, 10), MoveKind.RELEASE, -11),
        (level(12, 10), MoveKind.HOLD, 3),
        (level(12, 0, 1), MoveKind.FREE, -2),
        (level(12, 10), MoveKind.COUNT, -3),
        (level(12), MoveKind.IN, -1),
        (level(12), MoveKind.OUT, 1),
        (level(12), MoveKind.RESERVE, 0),
    ],
)
def test_nothing_goes_below_nothing_and_signs_are_kept(there: Level, kind: MoveKind, quantity: int) -> None:
    with pytest.raises(Refused, match="TW2-12S"):
        check_move(there, move(kind, quantity))


@pytest.mark.parametrize(
    ("kind", "quantity"), [(MoveKind.OUT, -2), (MoveKind.HOLD, 2), (MoveKind.COUNT, -2), (MoveKind.COUNT, 0)]
)
def test_a_move_within_what_is_available_is_taken(kind: MoveKind, quantity: int) -> None:
    there = level(12, 10)
    assert check_move(there, move(kind, quantity)) == after(there, move(kind, quantity))


@pytest.mark.parametrize(
    ("kind", "quantity"), [(MoveKind.IN, 4), (MoveKind.OUT, -4), (MoveKind.RESERVE, 2), (MoveKind.HOLD, 1)]
)
def test_a_counter_move_undoes_its_entry(kind: MoveKind, quantity: int) -> None:
    entry = move(kind, quantity, 7)
    undone = reversal(entry, sequence=8)
    assert undone.counters == 7
    assert check_move(check_move(level(12), entry), undone) == level(12)


def test_a_counter_move_is_not_undone_and_keeps_its_own_sign() -> None:
    undone = reversal(move(MoveKind.IN, 4, 7), sequence=8)
    with pytest.raises(Refused, match="afresh"):
        reversal(undone)
    with pytest.raises(Refused, match="less than none"):
        check_move(level(12), replace(undone, quantity=Decimal(4)))


def test_undoing_what_has_gone_out_meanwhile_is_refused() -> None:
    with pytest.raises(Refused, match="on hand"):
        check_move(level(1), reversal(move(MoveKind.IN, 4)))
