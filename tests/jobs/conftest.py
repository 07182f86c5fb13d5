"""The demo shop for the tests of jobs: loaded once, every test works on a copy of its own."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from bom.jobs.bench import bench
from bom.jobs.demo import load_shop
from bom.store.unit_of_work import Session


@pytest.fixture(scope="session")
def stocked_shop(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("shop") / "bom.db"
    with bench(f"sqlite:///{file}") as session:
        list(load_shop(session, demo_folder))
    return file


@pytest.fixture
def url(stocked_shop: Path, tmp_path: Path) -> str:
    shutil.copy(stocked_shop, tmp_path / "bom.db")
    return f"sqlite:///{tmp_path / 'bom.db'}"


@pytest.fixture
def shop(url: str) -> Iterator[Session]:
    with bench(url) as session:
        yield session
