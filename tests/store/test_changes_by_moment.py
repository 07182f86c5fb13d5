"""A ledger from before its entries were found by their moment: a span of days is read of it, by the indexes alone."""

from __future__ import annotations

from datetime import date, timedelta

from alembic import command
from sqlalchemy import Engine, text

from bom.stock.journal import Deed
from bom.store.engine import migration_config, open_engine, ready_engine
from bom.store.shelf import changes_between
from bom.store.unit_of_work import WRITES, look

FIRST = date(2026, 1, 1)


def fill(engine: Engine) -> None:
    """A day a piece, in and out by turns."""
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        command.upgrade(migration_config(connection), "0020")
    lot = "('L1', 'A-1', '', '', '', 'Osmere', 2000000, 'GBP', '')"
    columns = "number, part_number, maker, drawer, date_code, supplier, cost_millionths, cost_currency, maker_lot"
    with engine.begin() as connection:
        connection.execute(text(f"INSERT INTO lots ({columns}) VALUES {lot}"))
        for n in range(1, 61):
            kind, some = ("in", 1000) if n % 2 else ("out", -1000)
            row = {"n": n, "m": f"{FIRST + timedelta(days=n - 1)}T12:00:00+00:00", "k": kind, "q": some}
            connection.execute(
                text(
                    "INSERT INTO moves (sequence, moment, kind, part_number, lot, thousandths, reason, reference, "
                    "drawer, customer, maker) VALUES (:n, :m, :k, 'A-1', 'L1', :q, '', '', '', '', '')"
                ),
                row,
            )


def test_an_older_ledger_tells_its_days(url: str) -> None:
    engine = open_engine(url)
    fill(engine)
    with look(ready_engine(url)) as session:
        found = list(changes_between(session, date(2026, 2, 1), date(2026, 2, 28)))
        assert [sum(one.deed is deed for one in found) for deed in (Deed.BOUGHT, Deed.USED)] == [14, 14]
        assert {one.day for one in found} == {date(2026, 2, 1) + timedelta(days=n) for n in range(28)}
        if session.get_bind().dialect.name == "sqlite":
            plans = [
                session.execute(
                    text(f"EXPLAIN QUERY PLAN SELECT * FROM moves WHERE {kinds} AND moves.moment >= :day"),
                    {"day": "2026-02-01"},
                ).all()
                for kinds in ("moves.kind = 'out'", "moves.kind IN ('in', 'count')")
            ]
            assert ["INDEX ix_moves_moment" in str(plan) and "SEARCH" in str(plan) for plan in plans] == [True, True]
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        command.downgrade(migration_config(connection), "0020")
    engine.dispose()
