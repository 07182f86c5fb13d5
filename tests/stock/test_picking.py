"""Picking lots (12 on hand, 10 reserved, 2 available)."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal

import pytest

from bom.stock.ledger import Level, Lot, pick
from bom.values.problem import Refused


def lot(number: str, day: int | None, part: str = "TW2-12S") -> Lot:
    return Lot(number, part, received=None if day is None else datetime(2024, 3, day, tzinfo=UTC))


def level(on_hand: int, reserved: int = 0, held: int = 0) -> Level:
    return Level(Decimal(on_hand), Decimal(reserved), Decimal(held))


LOTS = [lot("undated", None), lot("new", 9), lot("old", 2), lot("other", 1, "TW2-12F")]


def picked(quantity: int, levels: dict[str, Level], promised: int = 0) -> list[tuple[str, int]]:
    answer = pick("tw2 12s", Decimal(quantity), LOTS, levels, Decimal(promised))
    return [(lot.number, int(number)) for lot, number in answer]


def test_the_earliest_received_goes_first_and_an_undated_lot_last() -> None:
    levels = {"undated": level(9), "new": level(3), "old": level(4), "other": level(9)}
    assert picked(8, levels) == [("old", 4), ("new", 3), ("undated", 1)]


def test_held_and_reserved_pieces_stay() -> None:
    assert picked(3, {"old": level(6, 4, 1), "new": level(5)}) == [("old", 1), ("new", 2)]


def test_of_twelve_with_ten_reserved_two_can_be_picked_and_three_cannot() -> None:
    assert picked(2, {"old": level(12, 10)}) == [("old", 2)]
    with pytest.raises(Refused, match=r"1 short: 3 wanted and 2 available \(12 on hand, 10 reserved, 0 held\)"):
        picked(3, {"old": level(12, 10)})


def test_pieces_promised_without_a_lot_stay_too() -> None:
    assert picked(2, {"old": level(12)}, promised=10) == [("old", 2)]
    with pytest.raises(Refused, match="1 short"):
        picked(3, {"old": level(12)}, promised=10)


def test_a_lot_with_more_promised_than_there_is_gives_none() -> None:
    with pytest.raises(Refused, match="1 short"):
        picked(6, {"old": level(2, 3), "new": level(5)})
    assert picked(5, {"old": level(2, 3), "new": level(5)}) == [("new", 5)]


def test_a_single_piece_can_be_picked() -> None:
    assert picked(1, {"old": level(12)}) == [("old", 1)]


def test_picking_none_is_refused() -> None:
    with pytest.raises(Refused, match="more than none"):
        picked(0, {})
