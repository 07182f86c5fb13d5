"""The bench: the shop's database, opened for one job and closed after it; made on first use."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


@contextmanager
def bench(url: str | None) -> Iterator[Session]:
    """A session on the database named, else BOM_DATABASE_URL's, else the user's own; a job is taken whole or not."""
    from bom.store.engine import database_url, ready_engine
    from bom.store.unit_of_work import work

    engine = ready_engine(database_url(url))
    try:
        with work(engine) as session:
            yield session
    finally:
        engine.dispose()
