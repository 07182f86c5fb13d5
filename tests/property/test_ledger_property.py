"""The ledger loses nothing: counter-moves undo, and worth is kept. That no level falls below nothing is the store's."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from bom.stock.ledger import Level, Move, MoveKind, after, check_sign, levels, reversal
from bom.stock.valuation import value
from bom.values.money import Money
from bom.values.problem import Refused

NOON = datetime(2024, 3, 1, 12, tzinfo=UTC)
COUNTED = [k for k in MoveKind if k not in (MoveKind.SHIFT, MoveKind.INSPECT)]  # the others move no pieces
ATTEMPTS = st.lists(st.tuples(st.sampled_from(COUNTED), st.integers(-9, 9)), max_size=40)


def taken(attempts: list[tuple[MoveKind, int]]) -> tuple[list[Move], Level]:
    """The attempts that the ledger takes, and the level they come to."""
    level = Level()
    moves: list[Move] = []
    for kind, quantity in attempts:
        move = Move(len(moves) + 1, NOON, kind, "P", "L", Decimal(quantity))
        try:
            check_sign(move)
        except Refused:
            continue
        level = after(level, move)
        moves.append(move)
    return moves, level


@given(ATTEMPTS)
def test_undoing_all_entries_from_the_last_comes_back_to_nothing(
    attempts: list[tuple[MoveKind, int]],
) -> None:
    moves, level = taken(attempts)
    undone = [reversal(move, sequence=1000 - move.sequence) for move in reversed(moves)]
    for move in undone:
        check_sign(move)
        level = after(level, move)
    assert level == Level()
    assert levels([*undone, *moves]).get("P", Level()) == Level()


@given(st.lists(st.tuples(st.integers(-20, 20), st.integers(0, 10**7)), max_size=30))
def test_what_went_out_and_what_is_left_sum_to_what_came_in(attempts: list[tuple[int, int]]) -> None:
    moves: list[Move] = []
    costs: dict[str, Money | None] = {}
    on_hand, came_in = 0, 0
    for n, (quantity, millionths) in enumerate(attempts, 1):
        if on_hand + quantity >= 0 and quantity:
            on_hand += quantity
            came_in += max(quantity, 0) * millionths
            costs[f"L{n}"] = Money(millionths, "EUR")
            kind = MoveKind.IN if quantity > 0 else MoveKind.OUT
            moves.append(Move(n, NOON, kind, "P", f"L{n}", Decimal(quantity)))
    for method in ("average", "fifo"):
        worth = value(moves, costs, "EUR", method).worth
        assert worth.stock is not None and worth.gone is not None
        assert worth.on_hand == on_hand
        assert (worth.stock + worth.gone).millionths == came_in
        assert worth.stock.millionths >= 0
