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
    from bom.store.settings import taken_over
    from bom.store.unit_of_work import work

    with _opened(url) as engine:
        with work(engine) as session:
            if told := taken_over(session):
                sys.stderr.write(f"taken over from your kits and rates: {told}; bom shop set changes that\n")
            yield session
        _say_readings(session)
        _keep_placements(engine)


@contextmanager
def glance(url: str | None) -> Iterator[Session]:
    """A session for reading only on the same database; it waits for nobody and keeps nobody waiting.

    A database that was named and is not there is not made: who reads from it has most likely mistyped its name.
    """
    from bom.store.engine import must_be_there
    from bom.store.unit_of_work import look

    must_be_there(url)
    with _opened(url) as engine:
        with look(engine) as session:
            yield session
        _say_readings(session)
        _keep_placements(engine)


@contextmanager
def glance_if_there(url: str | None) -> Iterator[Session | None]:
    """The same, or None where there is no database yet: none is made, and none is missed."""
    from bom.store.engine import database_url, is_still_to_be_made

    if is_still_to_be_made(database_url(url)):
        yield None
        return
    with glance(url) as session:
        yield session


@contextmanager
def _opened(url: str | None) -> Iterator[Any]:
    """The database, closed afterwards. Where nobody named one and the user's own holds no part, stderr says which
    database it was that answered, and whether it was just made: most likely its name was forgotten."""
    from bom.store.engine import database_url, is_still_to_be_made, nobody_named, ready_engine

    found = database_url(url)
    new, unnamed = is_still_to_be_made(found), nobody_named(url)
    engine = ready_engine(found)
    try:
        yield engine
    finally:
        if unnamed:
            _say_empty(engine, new)
        engine.dispose()


def _say_empty(engine: Any, new: bool) -> None:
    from bom.store.kept_results import marked
    from bom.store.unit_of_work import look

    with look(engine) as session:
        empty = not marked(session, "relays")
    if empty:
        made = "was just made and " if new else ""
        file = engine.url.database
        sys.stderr.write(f"note: the database {file} {made}holds no part; --db or BOM_DATABASE_URL names another\n")


def _say_readings(session: Session) -> None:
    from bom.shop.names import READ_AS

    for name, typed in session.info.get(READ_AS, {}).items():
        sys.stderr.write(f"{name}, as typed {typed}\n")


def _keep_placements(engine: Any) -> None:
    """Store what the job worked out of pins and holes; a job that asked for no fit has loaded nothing of it."""
    if "bom.fit.placement_cache" in sys.modules:
        from bom.shop.placements import keep_placements

        keep_placements(engine)
