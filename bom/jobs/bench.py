"""The bench: the shop's database, opened for one job and closed after it; made on first use."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


@contextmanager
def bench(url: str | None) -> Iterator[Session]:
    """A session on the database named, else BOM_DATABASE_URL's, else the user's own; a job is taken whole or not."""
    from bom.store.engine import database_url, ready_engine
    from bom.store.settings import taken_over
    from bom.store.unit_of_work import work

    engine = ready_engine(database_url(url))
    try:
        with work(engine) as session:
            if told := taken_over(session):
                sys.stderr.write(f"taken over from your kits and rates: {told}; bom shop set changes that\n")
            yield session
        _say_readings(session)
        _keep_placements(engine)
    finally:
        engine.dispose()


@contextmanager
def glance(url: str | None) -> Iterator[Session]:
    """A session for reading only on the same database; it waits for nobody and keeps nobody waiting.

    A database that was named and is not there is not made: who reads from it has most likely mistyped its name.
    """
    from bom.store.engine import database_url, must_be_there, ready_engine
    from bom.store.unit_of_work import look

    must_be_there(url)
    engine = ready_engine(database_url(url))
    try:
        with look(engine) as session:
            yield session
        _say_readings(session)
        _keep_placements(engine)
    finally:
        engine.dispose()


def _say_readings(session: Session) -> None:
    from bom.shop.parts import READ_AS

    for name, typed in session.info.get(READ_AS, {}).items():
        sys.stderr.write(f"{name}, as typed {typed}\n")


def _keep_placements(engine: Any) -> None:
    """Store what the job worked out of pins and holes; a job that asked for no fit has loaded nothing of it."""
    if "bom.fit.placement_cache" in sys.modules:
        from bom.shop.placements import keep_placements

        keep_placements(engine)
