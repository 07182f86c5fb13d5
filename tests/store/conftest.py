"""Databases for the tests of the store: SQLite always, PostgreSQL where BOM_TEST_POSTGRES names one."""

from __future__ import annotations

import os
import shutil
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


@pytest.fixture(scope="session")
def with_tables(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An SQLite file with its tables made, to be copied."""
    file = tmp_path_factory.mktemp("tables") / "bom.db"
    ready_engine(f"sqlite:///{file}").dispose()
    return file


@pytest.fixture
def engine(url: str, with_tables: Path, tmp_path: Path) -> Iterator[Engine]:
    """The same with its tables made."""
    if url.startswith("sqlite"):
        shutil.copy(with_tables, tmp_path / "bom.db")
    engine = ready_engine(url)
    yield engine
    engine.dispose()
