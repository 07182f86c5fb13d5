"""A ledger from before running figures were kept: they are filled from its entries, taken back, and filled again."""

from __future__ import annotations

from decimal import Decimal

from alembic import command
from sqlalchemy import Engine, text

from bom.stock.ledger import Level
from bom.store.engine import check, migration_config, open_engine, ready_engine
from bom.store.on_order import on_order
from bom.store.running_figures import lots_there, part_books
from bom.store.shelf import gone_to, shelf
from bom.store.unit_of_work import WRITES, look
from bom.values.money import Money

BEFORE = "0016"
DAY = "2026-11-01T12:00:00+00:00"
LOTS = [("L0001", "A-1", "A1", 2_000_000), ("L0002", "A-1", "A2", 2_600_000), ("L0003", "B-2", "A3", None)]
MOVES = [
    ("in", "A-1", "L0001", 10_000, "", None, "", ""),
    ("in", "A-1", "L0002", 10_000, "", None, "", ""),
    ("in", "B-2", "L0003", 5_500, "", None, "", ""),
    ("out", "A-1", "L0001", -10_000, "Job 7", None, "", "Grove Farm"),
    ("out", "A-1", "L0002", -1_000, "job 8", None, "", ""),
    ("out", "A-1", "L0002", 1_000, "undoes entry 5", 5, "", ""),
    ("shift", "B-2", "L0003", 0, "moved", None, "C9", ""),
    ("hold", "B-2", "L0003", 500, "held", None, "", ""),
    ("reserve", "A-1", None, 3_000, "reserved", None, "", ""),
]
ORDERS = [("O00001", "A-1", 20_000, "ordered"), ("O00001", "A-1", -10_000, "came"), ("O00002", "B-2", 4_000, "ordered")]
ORDERS += [("O00002", "B-2", -4_000, "called off")]


def to(engine: Engine, revision: str, *, down: bool = False) -> None:
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        (command.downgrade if down else command.upgrade)(migration_config(connection), revision)


def fill(engine: Engine) -> None:
    with engine.begin() as connection:
        for number, part, drawer, cost in LOTS:
            row = {"n": number, "p": part, "d": drawer, "c": cost, "u": None if cost is None else "GBP"}
            connection.execute(
                text(
                    "INSERT INTO lots (number, part_number, maker, drawer, date_code, supplier, cost_millionths, "
                    "cost_currency) VALUES (:n, :p, '', :d, '', '', :c, :u)"
                ),
                row,
            )
        for n, (kind, part, lot, some, reason, counters, drawer, customer) in enumerate(MOVES, 1):
            row = {"n": n, "m": DAY, "k": kind, "p": part, "l": lot, "q": some, "r": reason, "c": counters}
            connection.execute(
                text(
                    "INSERT INTO moves (sequence, moment, kind, part_number, lot, thousandths, reason, reference, "
                    "counters, drawer, customer) VALUES (:n, :m, :k, :p, :l, :q, :r, '', :c, :d, :f)"
                ),
                row | {"d": drawer, "f": customer},
            )
        for n, (number, part, some, reason) in enumerate(ORDERS, 1):
            connection.execute(
                text(
                    "INSERT INTO orders (sequence, moment, number, supplier, part_number, thousandths, reason) "
                    "VALUES (:n, :m, :o, 'Osmere', :p, :q, :r)"
                ),
                {"n": n, "m": DAY, "o": number, "p": part, "q": some, "r": reason},
            )


def must_be_filled(engine: Engine) -> None:
    assert check(engine) == []
    with look(engine) as session:
        there = shelf(session)
        assert there.parts == {"A-1": Level(Decimal(10), Decimal(3)), "B-2": Level(Decimal("5.5"), held=Decimal("0.5"))}
        assert {one.lot: one.drawer for one in lots_there(session)} == {"L0002": "A2", "L0003": "C9"}
        assert [(o.number, o.quantity) for o in on_order(session)] == [("O00001", 10)]
        assert (
            [m.sequence for m in gone_to(session, "JOB 7")]
            == [4]
            == [m.sequence for m in gone_to(session, "grove farm")]
        )
        books = part_books(session)
        known = books["A-1"].valued("fifo", "GBP", {"GBP": Decimal(1)}.get)
        assert known is not None and known.worth.stock == Money.of(26, "GBP") and known.came_in == Money.of(46, "GBP")
        assert books["B-2"].valued("average", "GBP", {"GBP": Decimal(1)}.get) is None


def test_running_figures_are_filled_from_the_entries_and_can_be_taken_back(url: str) -> None:
    engine = open_engine(url)
    to(engine, BEFORE)
    fill(engine)
    must_be_filled(ready_engine(url))
    to(engine, BEFORE, down=True)
    must_be_filled(ready_engine(url))
    engine.dispose()
