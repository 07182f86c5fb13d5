"""A database from before makers were kept apart: what one maker's number says is that maker's, the rest is nobody's."""

from __future__ import annotations

from decimal import Decimal

from alembic import command
from sqlalchemy import text

from bom.store.engine import check, migration_config, open_engine, ready_engine
from bom.store.on_order import on_order
from bom.store.part_names import part_names
from bom.store.running_figures import mark_shared
from bom.store.shelf import levels_wanted, moves, shelf
from bom.store.shop_files import past_usage
from bom.store.unit_of_work import WRITES, work

BEFORE = "0010"
DAY = "'2026-11-01T12:00:00+00:00'"
ROWS = (
    *(
        f"INSERT INTO supplies (part_number, name, maker, kind, unit, source) "
        f"VALUES ('{number}', 'x', '{maker}', 'part', 'piece', '')"
        for maker, number in (("Ostrel", "ONE-1"), ("Ostrel", "TWO-2"), ("Corvane", "TWO-2"))
    ),
    *(
        f"INSERT INTO lots (number, part_number, maker, drawer, date_code, supplier) "
        f"VALUES ('L{maker[0]}{number}', '{number}', '{maker}', '', '', '')"
        for maker, number in (("Ostrel", "ONE-1"), ("Ostrel", "TWO-2"), ("Corvane", "TWO-2"))
    ),
    *(
        f"INSERT INTO moves (sequence, moment, kind, part_number, lot, thousandths, reason, reference) "
        f"VALUES ({n}, {DAY}, '{kind}', '{number}', {lot}, {quantity}, '', '')"
        for n, (kind, number, lot, quantity) in enumerate(
            (
                ("in", "ONE-1", "'LOONE-1'", 5000),
                ("in", "TWO-2", "'LOTWO-2'", 3000),
                ("in", "TWO-2", "'LCTWO-2'", 4000),
                ("reserve", "ONE-1", "NULL", 1000),
            ),
            1,
        )
    ),
    "INSERT INTO levels (part_number, reorder_point, order_up_to) VALUES ('ONE-1', 2000, 9000)",
    f"INSERT INTO orders (sequence, moment, number, supplier, part_number, thousandths, reason) "
    f"VALUES (1, {DAY}, 'O00001', 'Osmere', 'ONE-1', 7000, 'ordered')",
    "INSERT INTO past_usage (sequence, file, day, part_number, thousandths, reason) "
    "VALUES (1, 'f.csv', '2026-01-02', 'TWO-2', 1000, '')",
)


def test_entries_keep_their_makers_and_lose_nothing(url: str) -> None:
    engine = open_engine(url)
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        command.upgrade(migration_config(connection), BEFORE)
        for row in ROWS:
            connection.execute(text(row))
    engine.dispose()
    ready = ready_engine(url)
    with work(ready) as session:
        mark_shared(session)
        assert {m.part_number for m in moves(session)} == {"ONE-1", "Ostrel TWO-2", "Corvane TWO-2"}
        there = shelf(session)
        assert {part: level.on_hand for part, level in there.parts.items()} == {
            "ONE-1": 5,
            "Ostrel TWO-2": 3,
            "Corvane TWO-2": 4,
        }
        assert there.promised == {"ONE-1": Decimal(1)} and levels_wanted(session) == {"ONE-1": (2, 9)}
        assert [o.part_number for o in on_order(session)] == ["ONE-1"]
        assert [u.part_number for u in past_usage(session)] == ["TWO-2"]
        assert part_names(session).makers("two-2") == ["Corvane", "Ostrel"]
        session.execute(text("INSERT INTO supplies (part_number, name, maker, kind, unit, source) "
                             "VALUES ('ONE-1', 'x', 'Corvane', 'part', 'piece', '')"))  # fmt: skip
        mark_shared(session)
        assert shelf(session).promised == {"Ostrel ONE-1": Decimal(1)}
        assert [o.part_number for o in on_order(session)] == ["Ostrel ONE-1"] == [*levels_wanted(session)]
    assert check(ready) == []
    ready.dispose()
