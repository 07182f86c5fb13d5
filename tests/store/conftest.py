"""Databases for the tests of the store: SQLite always, PostgreSQL where BOM_TEST_POSTGRES names one."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from uuid import uuid4

import pytest
from sqlalchemy import Engine, make_url, text

from bom.store.engine import open_engine, ready_engine


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """A database of the test's own with nothing in it."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'bom.db'}"
        return
    if not (server := os.environ.get("BOM_TEST_POSTGRES")):
        pytest.skip("no PostgreSQL: BOM_TEST_POSTGRES is not set")
    schema = f"test_{uuid4().hex}"
    keeper = open_engine(server)
    with keeper.begin() as connection:
        connection.execute(text(f"CREATE SCHEMA {schema}"))
    own = make_url(server).update_query_dict({"options": f"-csearch_path={schema}"})
    yield own.render_as_string(hide_password=False)
    with keeper.begin() as connection:
        connection.execute(text(f"DROP SCHEMA {schema} CASCADE"))
    keeper.dispose()


@pytest.fixture
def engine(url: str) -> Iterator[Engine]:
    """The same with its tables made."""
    engine = ready_engine(url)
    yield engine
    engine.dispose()
