"""A database from before *goes through nothing* and *not stated* were told apart: an empty list says nothing proved."""

from __future__ import annotations

import json

import pytest
from alembic import command
from sqlalchemy import text

from bom.store import boards_and_kits
from bom.store.engine import migration_config, open_engine, ready_engine
from bom.store.unit_of_work import WRITES, work


@pytest.mark.parametrize(("kept", "stated"), [([], None), (["wash"], ("wash",))])
def test_an_empty_list_of_before_states_nothing(url: str, kept: list[str], stated: tuple[str, ...] | None) -> None:
    engine = open_engine(url)
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        command.upgrade(migration_config(connection), "0014")
        board = {"name": "B", "document": json.dumps({"name": "B", "process": kept})}
        connection.execute(text("INSERT INTO boards (name, document, digest) VALUES (:name, :document, '')"), board)
    engine.dispose()
    with work(ready_engine(url)) as session:
        board_kept = boards_and_kits.board(session, "B")
        assert board_kept is not None and board_kept.process == stated
