"""What is on order, and what was used before the ledger began, on every database."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from sqlalchemy import Engine

from bom.stock.ledger import Lot, Move, MoveKind
from bom.store.on_order import Ordered, add_order, lead_times, next_order_number, on_order, settled_by, taken_for
from bom.store.shelf import add_lot, add_moves, lots, move_numbered, undone_by
from bom.store.shop_files import Used, past_usage, take_past_usage
from bom.store.unit_of_work import look, work
from bom.values.problem import Refused

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
LATER = NOON + timedelta(days=5)
DUE = date(2026, 3, 9)


def ordered(quantity: str, part: str = "KM-12", number: str = "O00001") -> Ordered:
    return Ordered(number, "Osmere", part, Decimal(quantity), DUE)


@pytest.fixture
def open_order(engine: Engine) -> Engine:
    """30 of KM-12 and 2.5 of FLUX ordered, 10 of the first come."""
    with work(engine) as session:
        assert next_order_number(session) == "O00001"
        add_order(session, ordered("30"), NOON, "reorder book 1")
        add_order(session, ordered("2.5", "FLUX"), NOON, "reorder book 1")
        add_order(session, ordered("-10"), LATER, "came")
    return engine


def test_on_order_is_what_was_ordered_less_what_came(open_order: Engine) -> None:
    with look(open_order) as session:
        assert on_order(session) == (ordered("2.5", "FLUX"), ordered("20"))
        assert on_order(session, "KM-12") == (ordered("20"),)
        assert [(c.part_number, c.days) for c in lead_times(session)] == [("KM-12", 5.0)]
        assert settled_by(session, "KM-12", LATER) == (ordered("10"),)
        assert taken_for(session, "reorder book 1") == ("O00001",)


def test_more_than_was_ordered_does_not_come(open_order: Engine) -> None:
    with pytest.raises(Refused, match="still has to bring 20"), work(open_order) as session:
        add_order(session, ordered("-21"), LATER, "came")


def test_what_was_called_off_is_gone_and_its_book_may_be_taken_again(open_order: Engine) -> None:
    with work(open_order) as session:
        add_order(session, ordered("-20"), LATER, "called off")
        add_order(session, ordered("-2.5", "FLUX"), LATER, "called off")
        assert on_order(session) == ()
        assert taken_for(session, "reorder book 1") == ("O00001",)  # some of it came
        assert next_order_number(session) == "O00002"
        add_order(session, ordered("5", number="O00002"), LATER, "reorder book 2")
        add_order(session, ordered("-5", number="O00002"), LATER, "called off")
        assert taken_for(session, "reorder book 2") == ()


def test_past_use_takes_the_place_of_what_the_same_file_said(engine: Engine) -> None:
    used = [Used(date(2025, 1, 2), "KM-12", Decimal("3"), "sold"), Used(date(2024, 1, 2), "FLUX", Decimal("0.125"))]
    with work(engine) as session:
        assert take_past_usage(session, "a.csv", used) == 2
        assert take_past_usage(session, "b.csv", used[:1]) == 1
        assert take_past_usage(session, "a.csv", used[1:]) == 1
    with look(engine) as session:
        assert past_usage(session) == (used[1], used[0])
        assert past_usage(session, "KM-12") == (used[0],)


def test_the_makers_lot_and_an_inspection_are_kept(engine: Engine) -> None:
    lot = Lot("L1", "KM-12", maker_lot="4711-A", expires=date(2030, 1, 1))
    with work(engine) as session:
        came = add_lot(session, lot, Decimal(10), NOON)
        found = Move(0, NOON, MoveKind.INSPECT, "KM-12", "L1", Decimal(0), "pass: coil 240 Ω")
        (found,) = add_moves(session, [found])
    with look(engine) as session:
        assert lots(session) == (lot,)
        assert move_numbered(session, found.sequence) == found
        assert move_numbered(session, 10**12) is None
        assert undone_by(session, came.sequence) is None
