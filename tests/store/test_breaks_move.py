"""A database from before price breaks moved into their offers loses none of them."""

from __future__ import annotations

from datetime import UTC, datetime

from alembic import command
from sqlalchemy import text

from bom.store.engine import migration_config, open_engine, ready_engine
from bom.store.offers import list_state, offers
from bom.store.unit_of_work import WRITES, work

BEFORE = "0008"
ROWS = (
    "INSERT INTO suppliers (name, document, digest) VALUES ('Osmere', '{}', '')",
    "INSERT INTO offers (id, supplier, part_number, normal_number, maker, supplier_code, moq, multiple, incremental, "
    "seen, file, line) VALUES (1, 'Osmere', 'KM 12', 'KM12', '', 'c', 1, 1, false, "
    "'2026-11-01T12:00:00+00:00', 'list.csv', 2)",
    "INSERT INTO breaks (offer, place, from_quantity, millionths, currency) VALUES (1, 0, 1, 1600000, 'EUR')",
    "INSERT INTO breaks (offer, place, from_quantity, millionths, currency) VALUES (1, 1, 10, 1407500, 'EUR')",
)


def test_breaks_move_into_their_offers(url: str) -> None:
    engine = open_engine(url)
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        command.upgrade(migration_config(connection), BEFORE)
        for row in ROWS:
            connection.execute(text(row))
    engine.dispose()
    ready = ready_engine(url)
    with work(ready) as session:
        (offer,) = offers(session)
        state = list_state(session, "Osmere")
    ready.dispose()
    assert [(b.from_quantity, str(b.price.amount.normalize())) for b in offer.breaks] == [(1, "1.6"), (10, "1.4075")]
    assert state is not None and (state.offers, state.seen) == (1, datetime(2026, 11, 1, 12, tzinfo=UTC))
