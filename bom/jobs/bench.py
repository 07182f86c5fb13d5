"""The bench: the shop's database, opened for one job and closed after it, made on first use; and looked after as a
thing: made, checked, copied, put back."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bom.answers.catalogue import DatabaseChecked

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session as Session


Told = Callable[[str], None]
"""Who hears, a line at a time, what a person should know beside the answer."""


def unheard(line: str) -> None:
    """For callers without a person."""


@contextmanager
def bench(url: str | None, told: Told = unheard) -> Iterator[Session]:
    """A session on the database named, else BOM_DATABASE_URL's, else the user's own; a job is taken whole or not."""
    from bom.store.settings import taken_over
    from bom.store.unit_of_work import work

    with _opened(url, told) as engine, work(engine) as session:
        if settings := taken_over(session):
            told(f"taken over from your kits and rates: {settings}; bom shop set changes that")
        yield session
    _close(session, told)


@contextmanager
def glance(url: str | None, told: Told = unheard) -> Iterator[Session]:
    """A session for reading only on the same database; it waits for nobody and keeps nobody waiting.

    A database that was named and is not there is not made: who reads from it has most likely mistyped its name.
    """
    from bom.store.engine import must_be_there
    from bom.store.unit_of_work import look

    must_be_there(url)
    with _opened(url, told) as engine, look(engine) as session:
        yield session
    _close(session, told)


@contextmanager
def glance_if_there(url: str | None, told: Told = unheard) -> Iterator[Session | None]:
    """A session for reading only, or None where there is no database yet: none is made, and none is missed."""
    from bom.store.engine import database_url, is_still_to_be_made

    if is_still_to_be_made(database_url(url)):
        yield None
        return
    with glance(url, told) as session:
        yield session


@contextmanager
def _opened(url: str | None, told: Told) -> Iterator[Any]:
    """The database, closed afterwards. Where nobody named one and the user's own holds no part, it is told which
    database it was that answered, and whether it was just made: most likely its name was forgotten."""
    from bom.store.engine import database_url, is_still_to_be_made, nobody_named, ready_engine

    found = database_url(url)
    new, unnamed = is_still_to_be_made(found), nobody_named(url)
    engine = ready_engine(found)
    try:
        yield engine
    finally:
        if unnamed and _is_empty(engine):
            made = "was just made and " if new else ""
            told(
                f"note: the database {engine.url.database} {made}holds no part; --db or BOM_DATABASE_URL names another"
            )
        engine.dispose()


def _is_empty(engine: Any) -> bool:
    from bom.store.marks import marked
    from bom.store.unit_of_work import look

    with look(engine) as session:
        return not marked(session, "relays")


def _close(session: Session, told: Told) -> None:
    """Tell what was read otherwise than typed, and do what the job left for afterwards."""
    from bom.shop.names import AFTERWARDS, READ_AS

    for name, typed in session.info.get(READ_AS, {}).items():
        told(f"{name}, as typed {typed}")
    for work_left in session.info.get(AFTERWARDS, ()):
        work_left()


def upgrade_database(url: str | None) -> str:
    from bom.store.engine import HEAD, database_url, ready_engine

    ready_engine(database_url(url)).dispose()
    return f"the database is at version {HEAD}"


def check_database(
    url: str | None, told: Callable[[int, int], None] | None = None, *, rebuild: bool = False
) -> DatabaseChecked:
    """What is wrong with the database; ``rebuild`` first works out again what is kept beside the ledger's entries.
    ``told`` hears how many entries have been read, and how many there are."""
    from bom.store.engine import check, checked_engine, database_url, ready_engine
    from bom.store.engine import rebuild as worked_out

    engine = (ready_engine if rebuild else checked_engine)(database_url(url))
    try:
        if rebuild:
            worked_out(engine, told)
        return DatabaseChecked(_head(), tuple(check(engine, told)))
    finally:
        engine.dispose()


def _head() -> str:
    from bom.store.engine import HEAD

    return HEAD


def backup_database(url: str | None, file: Path) -> str:
    from bom.store.engine import backup, database_url

    backup(database_url(url), file)
    return f"written: {file}"


def restore_database(url: str | None, file: Path) -> str:
    from bom.store.engine import database_url, restore

    kept = restore(file, database_url(url))
    return f"restored from {file}" + (f"; what was there is kept as {kept}" if kept else "")
