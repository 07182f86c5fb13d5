"""What stock is worth: unknown costs, undone entries, and what cannot be."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal

import pytest

from bom.stock.ledger import Move, MoveKind, reversal
from bom.stock.valuation import value
from bom.values.money import Money
from bom.values.problem import Refused

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
COSTS: dict[str, Money | None] = {"A": Money.of("2.00", "EUR"), "B": Money.of("2.60", "EUR"), "?": None}
METHODS = pytest.mark.parametrize("method", ["average", "fifo"])


def moves(*changes: tuple[str, int]) -> list[Move]:
    """Lot and quantity, one entry after the other."""
    kinds = {True: MoveKind.IN, False: MoveKind.OUT}
    return [Move(n, NOON, kinds[q > 0], "P", lot, Decimal(q)) for n, (lot, q) in enumerate(changes, 1)]


@METHODS
def test_an_unstated_cost_makes_the_worth_unknown_but_not_the_number(method: str) -> None:
    worth = value(moves(("A", 1), ("?", 2)), COSTS, "EUR", method).worth
    assert (worth.on_hand, worth.stock, worth.gone, worth.average) == (3, None, None, None)


@METHODS
def test_more_out_than_in_is_refused(method: str) -> None:
    with pytest.raises(Refused, match="fewer to go out"):
        value(moves(("A", 1), ("A", -2)), COSTS, "EUR", method)


def test_another_method_is_refused() -> None:
    with pytest.raises(Refused, match="average or fifo"):
        value([], COSTS, "EUR", "lifo")


@METHODS
def test_what_was_brought_back_costs_what_it_went_out_at(method: str) -> None:
    entries = moves(("A", 10), ("B", 10), ("A", -4), ("B", -2))
    undone = [*entries, reversal(entries[2], sequence=9), reversal(entries[3], sequence=10)]
    found = value(undone, COSTS, "EUR", method)
    assert (found.worth.stock, found.worth.gone, found.by_move) == (Money.of("46", "EUR"), Money.of(0, "EUR"), {})


@METHODS
def test_goods_in_that_were_undone_never_came(method: str) -> None:
    entries = moves(("A", 10), ("B", 10), ("A", -4))
    found = value([*entries, reversal(entries[1], sequence=9)], COSTS, "EUR", method)
    assert (found.came_in, found.worth.stock, found.worth.gone) == tuple(Money.of(x, "EUR") for x in ("20", "12", "8"))


@METHODS
def test_goods_in_that_were_undone_are_not_needed_where_the_rest_went_out_to_the_last_piece(method: str) -> None:
    entries = moves(("A", 10), ("B", 10), ("A", -10))
    found = value([*entries, reversal(entries[1], sequence=9)], COSTS, "EUR", method)
    assert (found.worth.on_hand, found.came_in, found.worth.gone) == (0, Money.of(20, "EUR"), Money.of(20, "EUR"))


@METHODS
def test_goods_in_that_went_out_came_back_and_were_undone_never_came(method: str) -> None:
    came, went = moves(("A", 9), ("A", -9))
    found = value([came, went, reversal(went, sequence=3), reversal(came, sequence=4)], COSTS, "EUR", method)
    assert (found.worth.on_hand, found.came_in, found.worth.gone) == (0, Money.of(0, "EUR"), Money.of(0, "EUR"))


@METHODS
def test_goods_in_that_were_undone_stay_where_a_count_between_needs_them(method: str) -> None:
    """One came in at 2.00, was missed, was found again at 2.00, and was then undone."""
    entry = moves(("A", 1))[0]
    counts = [replace(entry, sequence=n, kind=MoveKind.COUNT, quantity=Decimal(q)) for n, q in ((2, -1), (3, 1))]
    found = value([entry, *counts, reversal(entry, sequence=4)], COSTS, "EUR", method)
    assert (found.worth.on_hand, found.came_in, found.worth.gone) == (0, Money.of(4, "EUR"), Money.of(4, "EUR"))


def test_the_average_is_the_worth_of_what_is_left_by_the_piece() -> None:
    """10 at 2.00 and 10 at 2.60 are 46.00 for 20; 5 out leave 34.50 for 15: 2.30 each."""
    assert value(moves(("A", 10), ("B", 10), ("A", -5)), COSTS, "EUR").worth.average == Money.of("2.30", "EUR")


@METHODS
def test_each_entry_out_says_what_it_took_with_it(method: str) -> None:
    found = value(moves(("A", 10), ("B", 10), ("A", -10), ("B", -10)), COSTS, "EUR", method)
    expected = {"average": ("23", "23"), "fifo": ("20", "26")}[method]
    assert [found.by_move[n] for n in (3, 4)] == [Money.of(x, "EUR") for x in expected]


def test_promises_and_quarantine_are_worth_nothing() -> None:
    entries = [*moves(("A", 10)), Move(2, NOON, MoveKind.HOLD, "P", "A", Decimal(3))]
    assert value(entries, COSTS, "EUR").worth.stock == Money.of(20, "EUR")
