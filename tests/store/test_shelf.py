"""Lots and moves: added, never changed, and never promised twice."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal

import pytest
from sqlalchemy import Engine, text
from sqlalchemy.exc import DatabaseError

from bom.stock.ledger import Lot, Move, MoveKind, levels, reversal
from bom.store.engine import check, rebuild
from bom.store.shelf import add_lot, add_moves, levels_wanted, lots, moves, next_lot_number, set_level
from bom.store.unit_of_work import look, work
from bom.values.money import Money
from bom.values.problem import Refused

NOON = datetime(2025, 3, 1, 12, tzinfo=UTC)
LOT = Lot("L1", "KM-12", "Kithmar", "A3", "2431", "Osmere", Money(1_234_567, "EUR"), NOON)


def move(kind: MoveKind, quantity: str, lot: str = "L1", part: str = "KM-12", reference: str = "") -> Move:
    return Move(0, NOON, kind, part, lot, Decimal(quantity), "because", reference)


@pytest.fixture
def shelf(engine: Engine) -> Engine:
    """Ten pieces of KM-12 in lot L1."""
    with work(engine) as session:
        add_lot(session, LOT, Decimal(10), NOON, "bought")
    return engine


def add(shelf: Engine, *entries: Move) -> tuple[Move, ...]:
    with work(shelf) as session:
        return add_moves(session, entries)


def test_lots_and_moves_come_back_exactly(shelf: Engine) -> None:
    added = add(shelf, move(MoveKind.OUT, "-2.125", reference="R7"))
    with look(shelf) as session:
        assert lots(session) == (LOT,)
        assert moves(session, "KM-12")[1:] == added == moves(session, reference="R7")
        assert moves(session)[0].quantity == 10 and moves(session, "other") == ()


def test_a_moment_with_a_zone_is_the_same_moment_when_read_back(shelf: Engine) -> None:
    evening = NOON.astimezone(timezone(timedelta(hours=-7)))
    add(shelf, Move(0, evening, MoveKind.COUNT, "KM-12", "L1", Decimal(0)))
    with look(shelf) as session:
        assert moves(session)[-1].when == NOON


@pytest.mark.parametrize(
    ("entries", "why"),
    [
        ([move(MoveKind.OUT, "-11")], "only 10 of KM-12 on hand"),
        ([move(MoveKind.RESERVE, "6"), move(MoveKind.RESERVE, "5")], "only 10 of KM-12 available, 11 wanted"),
        ([move(MoveKind.RESERVE, "6", lot=""), move(MoveKind.OUT, "-5")], "available"),
        ([move(MoveKind.HOLD, "11")], "available"),
        ([move(MoveKind.RELEASE, "-1")], "only 0 of KM-12 reserved"),
        ([move(MoveKind.FREE, "-1")], "held"),
        ([move(MoveKind.COUNT, "-11")], "on hand"),
        ([move(MoveKind.OUT, "-1", lot="L9")], "no lot L9"),
        ([move(MoveKind.OUT, "-1", part="KM-24")], "no lot L1 of KM-24"),
        ([move(MoveKind.OUT, "-1", lot="")], "expected a lot"),
        ([move(MoveKind.OUT, "-0.0001")], "thousandth"),
        ([move(MoveKind.IN, "-1")], "more than none"),
        ([move(MoveKind.OUT, "1")], "less than none"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_kept(shelf: Engine, entries: list[Move], why: str) -> None:
    with pytest.raises(Refused, match=why):
        add(shelf, *entries)
    with look(shelf) as session:
        assert len(moves(session)) == 1


def test_an_entry_is_undone_once(shelf: Engine) -> None:
    (out,) = add(shelf, move(MoveKind.OUT, "-3"))
    with pytest.raises(Refused, match=f"entry {out.sequence} is undone already"):
        add(shelf, reversal(out), reversal(out))
    add(shelf, reversal(out))
    with pytest.raises(Refused, match=f"entry {out.sequence} is undone already"):
        add(shelf, reversal(out))


def test_a_promise_is_kept_by_letting_it_go_and_taking_the_pieces_out_together(shelf: Engine) -> None:
    add(shelf, move(MoveKind.RESERVE, "10"))
    add(shelf, move(MoveKind.OUT, "-10"), move(MoveKind.RELEASE, "-10"))
    with look(shelf) as session:
        assert levels(moves(session))["KM-12"].on_hand == 0


def test_a_count_may_find_less_than_was_promised(shelf: Engine) -> None:
    add(shelf, move(MoveKind.RESERVE, "8"))
    add(shelf, move(MoveKind.COUNT, "-4"))
    with look(shelf) as session:
        assert levels(moves(session))["KM-12"].available == -2
    with pytest.raises(Refused, match="available"):
        add(shelf, move(MoveKind.RESERVE, "1"))


def test_the_same_piece_is_never_promised_twice_by_two_at_once(shelf: Engine) -> None:
    def promise(_: int) -> bool:
        try:
            add(shelf, move(MoveKind.RESERVE, "1"))
        except Refused:
            return False
        return True

    with ThreadPoolExecutor(6) as sellers:
        assert sum(sellers.map(promise, range(18))) == 10
    assert check(shelf) == []


@pytest.mark.parametrize("table", ["lots", "moves"])
@pytest.mark.parametrize("deed", ["UPDATE {} SET part_number = 'X'", "DELETE FROM {}"])
def test_the_database_itself_refuses_to_change_entries(shelf: Engine, table: str, deed: str) -> None:
    with pytest.raises(DatabaseError, match="added, never changed"), shelf.begin() as connection:
        connection.execute(text(deed.format(table)))


def test_a_check_notices_entries_taken_out_behind_the_ledgers_back(shelf: Engine) -> None:
    add(shelf, move(MoveKind.OUT, "-3"))
    on = "" if shelf.dialect.name == "sqlite" else " ON moves"
    with shelf.begin() as connection:
        connection.execute(text(f"DROP TRIGGER moves_never_go{on}"))
        connection.execute(text("DELETE FROM moves WHERE sequence = 1"))
    faults = "; ".join(check(shelf))
    assert "some are missing" in faults and "-3 on hand" in faults and "moves_never_go is gone" in faults


@pytest.mark.parametrize("quantity", ["0", "-1"])
def test_a_lot_comes_in_with_something_in_it(engine: Engine, quantity: str) -> None:
    with pytest.raises(Refused, match="above zero"), work(engine) as session:
        add_lot(session, LOT, Decimal(quantity), NOON)


def test_a_lot_number_is_given_once(shelf: Engine) -> None:
    with pytest.raises(Refused, match="already"), work(shelf) as session:
        add_lot(session, LOT, Decimal(1), NOON)


@pytest.mark.parametrize(
    ("used", "follows"),
    [
        ((), "L0001"),
        (("L0009",), "L0010"),
        (("L0001", "L00012"), "L00013"),
        (("L9999",), "L10000"),
        (("K00003", "LX-7", "L0002", "L202611250001"), "L0003"),
    ],
)
def test_the_next_lot_number_follows_the_highest_at_its_width(
    engine: Engine, used: tuple[str, ...], follows: str
) -> None:
    with work(engine) as session:
        for number in used:
            add_lot(session, replace(LOT, number=number), Decimal(1), NOON)
        assert next_lot_number(session) == follows


def test_levels_wanted_are_kept_and_replaced(engine: Engine) -> None:
    with work(engine) as session:
        set_level(session, "KM-12", Decimal(2), Decimal(9))
        set_level(session, "KM-12", Decimal(3), Decimal("7.5"))
        assert levels_wanted(session) == {"KM-12": (Decimal(3), Decimal("7.5"))}


def test_a_figure_that_is_not_what_the_entries_come_to_is_named_and_worked_out_again(engine: Engine) -> None:
    with work(engine) as session:
        add_lot(session, LOT, Decimal(5), NOON)
    with engine.begin() as connection:
        for spoil in ("UPDATE lots_there SET on_hand = 4000", "UPDATE books SET came_in = 'EUR:1'"):
            connection.execute(text(spoil))
        connection.execute(text("INSERT INTO promises (part_number, maker, reserved) VALUES ('KM-12', '', 1)"))
    assert [fault.split(":")[0] for fault in check(engine)] == ["lot L1", "promised of KM-12", "books of KM-12"]
    rebuild(engine)
    assert check(engine) == []
