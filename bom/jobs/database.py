"""The database as a thing to look after: made, checked, copied, put back."""

from __future__ import annotations

from pathlib import Path

from bom.answers.catalogue import DatabaseChecked


def upgrade_database(url: str | None) -> str:
    from bom.store.engine import HEAD, database_url, ready_engine

    ready_engine(database_url(url)).dispose()
    return f"the database is at version {HEAD}"


def check_database(url: str | None) -> DatabaseChecked:
    from bom.store.engine import check, checked_engine, database_url

    engine = checked_engine(database_url(url))
    try:
        return DatabaseChecked(_head(), tuple(check(engine)))
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
