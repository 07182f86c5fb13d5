"""Where pieces went and where they came from, through kits inside kits, and how deep each step lies."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal

import pytest

from bom.stock.ledger import Lot, Move, MoveKind, reversal
from bom.stock.tracing import TracedMove, Trail

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
LOTS = [Lot("L1", "TW2"), Lot("L2", "WIRE"), Lot("K1", "inner kit"), Lot("K2", "outer kit")]


def out(sequence: int, lot: str, part: str, quantity: int, into: str, customer: str = "") -> Move:
    return Move(sequence, NOON, MoveKind.OUT, part, lot, Decimal(-quantity), "sold", into, None, customer=customer)


INTO_INNER, INTO_OUTER = out(1, "L1", "TW2", 4, "K1"), out(2, "K1", "inner kit", 2, "K2")
WIRE, SOLD = out(3, "L2", "WIRE", 9, "K2"), out(4, "K2", "outer kit", 1, "", "A. Buyer")
MOVES = [INTO_INNER, INTO_OUTER, WIRE, SOLD]


def test_a_lot_is_followed_through_kits_to_the_customer() -> None:
    assert Trail(LOTS, MOVES).onward("L1") == (
        TracedMove("L1", "TW2", Decimal(4), "K1", "", 1),
        TracedMove("K1", "inner kit", Decimal(2), "K2", "", 2),
        TracedMove("K2", "outer kit", Decimal(1), "sold", "A. Buyer", 3),
    )


def test_a_kit_is_followed_back_to_what_was_bought() -> None:
    found = [(s.lot, s.quantity, s.into, s.depth) for s in Trail(LOTS, MOVES).back("K2")]
    assert found == [("K1", Decimal(2), "K2", 1), ("L1", Decimal(4), "K1", 2), ("L2", Decimal(9), "K2", 1)]


@pytest.mark.parametrize("name", ["A. Buyer", " a. buyer ", "sold"])
def test_what_went_to_a_job_or_a_customer_went_straight_there(name: str) -> None:
    moves = [replace(INTO_INNER, reason="made"), SOLD]
    assert Trail(LOTS, moves).taken_by(name) == (TracedMove("K2", "outer kit", Decimal(1), "sold", "A. Buyer", 1),)


def test_what_was_undone_went_nowhere() -> None:
    trail = Trail(LOTS, [*MOVES, reversal(INTO_OUTER, sequence=5)])
    assert [s.into for s in trail.onward("L1")] == ["K1"] and [s.lot for s in trail.back("K2")] == ["L2"]


def test_lots_that_hold_each_other_are_walked_once() -> None:
    circle = [out(1, "K1", "inner kit", 1, "K2"), out(2, "K2", "outer kit", 1, "K1")]
    assert [(s.lot, s.depth) for s in Trail(LOTS, circle).onward("K1")] == [("K1", 1), ("K2", 2)]
