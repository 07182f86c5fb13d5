"""Which database, how it is opened, and how its tables are made, checked, backed up and brought back.

The migrations and the demo come with the program: inside an installed copy, else at the top of a checkout.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import datetime
from pathlib import Path
from time import monotonic
from typing import Any, cast

from sqlalchemy import Connection, Engine, create_engine, event, func, inspect, make_url, select, text
from sqlalchemy.engine import URL
from sqlalchemy.exc import ArgumentError, DatabaseError

from bom.store.unit_of_work import READS, TURN, WRITES, look, session_of, trouble, work
from bom.values.problem import Refused

HEAD = "0021"
"""The newest revision of the tables; a test holds that the migrations end here."""

PATIENCE_SECONDS = 10.0
"""How long a writer waits for another before giving up. Common practice, no source."""

_POSTGRES = ("postgres", "postgresql", "postgresql+psycopg")


def database_url(given: str | None = None) -> str:
    """The database asked for, else that of ``BOM_DATABASE_URL``, else SQLite in the user's data folder."""
    return given or os.environ.get("BOM_DATABASE_URL") or f"sqlite:///{_data_folder() / 'bom.db'}"


def _data_folder() -> Path:
    """Source: XDG Base Directory Specification, ``XDG_DATA_HOME``; a relative path there is to be ignored."""
    home = os.environ.get("XDG_DATA_HOME", "")
    return (Path(home) if Path(home).is_absolute() else Path.home() / ".local" / "share") / "bom"


def cache_folder() -> Path:
    """Where kept copies of fetched price lists lie. Source: XDG Base Directory Specification, ``XDG_CACHE_HOME``."""
    home = os.environ.get("XDG_CACHE_HOME", "")
    return (Path(home) if Path(home).is_absolute() else Path.home() / ".cache") / "bom"


def open_engine(url: str) -> Engine:
    """An engine for a ``sqlite:`` or ``postgresql:`` URL, or a path to an SQLite file. Nothing is opened yet."""
    parsed = _parsed(url)
    try:
        engine = create_engine(parsed)
    except ModuleNotFoundError as error:
        raise Refused(f"{parsed.get_backend_name()} needs the Python package {error.name}") from error
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _on_sqlite_connect)
        event.listen(engine, "begin", _on_sqlite_begin)
    return engine


def _parsed(url: str) -> URL:
    try:
        parsed = make_url(url if ":" in url else f"sqlite:///{url}")
    except ArgumentError as error:
        raise Refused("expected a database URL such as sqlite:///bom.db or postgresql://host/name") from error
    if parsed.drivername in _POSTGRES:
        return parsed.set(drivername="postgresql+psycopg")
    if parsed.get_backend_name() != "sqlite":
        raise Refused(f"expected a sqlite: or postgresql: database, found {parsed.drivername}:")
    return parsed


def _on_sqlite_connect(connection: Any, record: object) -> None:
    """Foreign keys hold only when asked for, and only per connection (SQLite, PRAGMA foreign_keys)."""
    connection.isolation_level = None  # transactions begin where we say, not where the driver guesses
    connection.execute(f"PRAGMA busy_timeout = {int(PATIENCE_SECONDS * 1000)}")
    connection.execute("PRAGMA foreign_keys = ON")
    _write_ahead(connection)


def _write_ahead(connection: Any) -> None:
    """Readers don't wait for a writer. Switching may collide with another's first use: then they have switched it."""
    if connection.execute("PRAGMA journal_mode").fetchone()[0] in ("wal", "memory"):
        return
    try:
        connection.execute("PRAGMA journal_mode = WAL")
    except sqlite3.OperationalError:
        return


def _on_sqlite_begin(connection: Connection) -> None:
    asked = connection.get_execution_options()
    cast(Any, connection.connection).execute(f"PRAGMA query_only = {'ON' if asked.get(READS) else 'OFF'}")
    connection.exec_driver_sql("BEGIN IMMEDIATE" if asked.get(WRITES) else "BEGIN")


def ready_engine(url: str) -> Engine:
    """An engine whose tables are there and current, made on first use; two first users don't collide."""
    engine = open_engine(url)
    _make_folder(engine.url)
    _must_be_ours(engine.url)
    try:
        if not is_current(engine):
            upgrade(engine)
    except DatabaseError as error:
        raise Refused(trouble(engine, error)) from error
    return engine


def checked_engine(url: str) -> Engine:
    """An engine on a database that is to be looked at as it is; refuses another program's."""
    engine = open_engine(url)
    _must_be_ours(engine.url)
    return engine


def must_be_there(given: str | None) -> None:
    """Refuses an SQLite file that was named, here or in ``BOM_DATABASE_URL``, and does not exist."""
    named = given or os.environ.get("BOM_DATABASE_URL")
    if named and (file := _file_of(_parsed(named))) is not None and not file.exists():
        raise Refused(f"there is no database {file}; bom db upgrade --db {file} makes one")


def nobody_named(given: str | None) -> bool:
    """Whether the database is the user's own because none was named, here or in ``BOM_DATABASE_URL``."""
    return not (given or os.environ.get("BOM_DATABASE_URL"))


def is_still_to_be_made(url: str) -> bool:
    """Whether this is an SQLite file that does not exist yet."""
    file = _file_of(_parsed(url))
    return file is not None and not file.exists()


def _must_be_ours(url: URL) -> None:
    """Refuses an SQLite file that another program made, before anything is written to it."""
    file = _file_of(url)
    if file is None or not file.is_file():
        return
    try:
        opened = sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro", uri=True)
        try:
            tables = {name for (name,) in opened.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        finally:
            opened.close()
    except sqlite3.Error:  # told by whoever opens it for good
        return
    if tables and not {"alembic_version", "relays", "moves"} <= tables:
        named = ", ".join(sorted(tables)[:3])
        raise Refused(f"{file} is a database of another program (its tables: {named} …); nothing was changed in it")


def _make_folder(url: URL) -> None:
    if (file := _file_of(url)) is None:
        return
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Refused(f"cannot make the folder {file.parent}: {error.strerror}") from error


def _file_of(url: URL) -> Path | None:
    """The file of an SQLite database; None for one in memory or on a server."""
    name = url.database or ""
    return Path(name) if url.get_backend_name() == "sqlite" and name not in ("", ":memory:") else None


def revision(engine: Engine) -> str | None:
    """The revision the tables are at; None where there are none yet."""
    with engine.connect() as connection:
        if not inspect(connection).has_table("alembic_version"):
            return None
        found: str | None = connection.scalar(text("SELECT version_num FROM alembic_version"))
        return found


def is_current(engine: Engine) -> bool:
    return revision(engine) == HEAD


def upgrade(engine: Engine, to: str = "head") -> None:
    """Bring the tables to the newest revision (or to this one), all or nothing; a second user finds it done."""
    from alembic import command
    from alembic.util import CommandError

    with engine.execution_options(**{WRITES: True}).begin() as connection:
        if connection.dialect.name == "postgresql":
            connection.execute(select(func.pg_advisory_xact_lock(TURN)))
        try:
            command.upgrade(migration_config(connection), to)
        except CommandError as error:
            raise Refused(f"the database was made by a newer version of this program ({error})") from error
        if to in ("head", HEAD):
            from bom.store.running_figures import fill_once  # brings the ledger, which no other opening needs

            fill_once(session_of(connection))


def migration_config(connection: Connection | None = None) -> Any:
    """Alembic's configuration, made here so that an installed copy needs no file for it."""
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(shipped("migrations")).replace("%", "%%"))
    config.attributes["connection"] = connection
    return config


def check(engine: Engine, told: Callable[[int, int], None] | None = None) -> list[str]:
    """What is wrong with the database, one line each; an empty list says all is well. ``told`` hears how many of the
    ledger's entries have been read, and how many there are."""
    from bom.store.ledger_check import ledger_faults  # brings the shelf, which opening a database does not need

    try:
        if not is_current(engine):
            return [f"the tables are at revision {revision(engine) or 'none'}, expected {HEAD}: run an upgrade"]
        with look(engine) as session:
            return [*_sqlite_faults(session.connection()), *ledger_faults(session, told)]
    except DatabaseError as error:
        return [trouble(engine, error)]


def rebuild(engine: Engine, told: Callable[[int, int], None] | None = None) -> None:
    """Work out afresh from the ledger's entries all that is kept beside them."""
    from bom.store.running_figures import rebuild as worked_out

    with work(engine) as session:
        worked_out(session, told)


def _sqlite_faults(connection: Connection) -> Iterator[str]:
    if connection.dialect.name != "sqlite":
        return
    for (said,) in connection.exec_driver_sql("PRAGMA integrity_check"):
        if said != "ok":
            yield f"damaged: {said}"
    for table, row, parent, _ in connection.exec_driver_sql("PRAGMA foreign_key_check"):
        yield f"row {row} of {table} refers to a row of {parent} that is not there"


def backup(url: str, path: Path) -> None:
    """A copy of an SQLite database in one new file, whole even while others work in it."""
    source = _sqlite_file(url, "pg_dump")
    if not source.exists():
        raise Refused(f"there is no database {source}")
    if path.exists():
        raise Refused(f"{path} exists already; nothing was overwritten")
    unfinished = path.with_name(path.name + ".part")
    with _removed_on_error(unfinished):
        _copy(source, unfinished)
        _settle(unfinished)
        unfinished.rename(path)


def restore(path: Path, url: str) -> Path | None:
    """Put a backup in the place of an SQLite database. What was there is kept beside it: that copy is returned."""
    target = _sqlite_file(url, "pg_restore or psql")
    _must_be_a_backup(path)
    kept = None
    if target.exists():
        kept = target.with_name(f"{target.name}.before-{datetime.now():%Y%m%d-%H%M%S-%f}")
        backup(url, kept)
    target.parent.mkdir(parents=True, exist_ok=True)
    _copy(path, target)
    return kept


def _sqlite_file(url: str, tool: str) -> Path:
    parsed = _parsed(url)
    if parsed.get_backend_name() != "sqlite":
        raise Refused(f"a PostgreSQL database is copied with its own tools: use {tool}")
    if (file := _file_of(parsed)) is None:
        raise Refused("a database in memory has no file to copy")
    return file


def _must_be_a_backup(path: Path) -> None:
    if not path.is_file():
        raise Refused(f"there is no file {path}")
    try:
        with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as file:
            whole = file.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
            file.execute("SELECT version_num FROM alembic_version").fetchone()
    except sqlite3.Error as error:
        raise Refused(f"{path} is not a backup of this program: {error}") from error
    if not whole:
        raise Refused(f"{path} is damaged; nothing was restored")


def _copy(source: Path, target: Path) -> None:
    """Page by page through SQLite's own backup interface, which respects every lock."""
    try:
        with closing(sqlite3.connect(source)) as old, closing(sqlite3.connect(target)) as new:
            old.backup(new, pages=4096, progress=_patience())
    except (sqlite3.Error, OSError) as error:
        raise Refused(f"cannot copy {source} to {target}: {error}") from error


def _patience() -> Callable[[int, int, int], None]:
    """Gives up when no page could be copied for a while: the interface itself would wait for ever."""
    last = [monotonic(), -1.0]

    def progress(status: int, remaining: int, total: int) -> None:
        if remaining != last[1]:
            last[:] = [monotonic(), remaining]
        elif monotonic() - last[0] > PATIENCE_SECONDS:
            raise sqlite3.OperationalError("another program keeps the database busy")

    return progress


def _settle(path: Path) -> None:
    """Leave one file without a write-ahead log beside it, so that it can be carried away."""
    with closing(sqlite3.connect(path)) as file:
        file.execute("PRAGMA journal_mode = DELETE")


@contextmanager
def _removed_on_error(path: Path) -> Iterator[None]:
    try:
        yield
    except BaseException:
        path.unlink(missing_ok=True)
        raise


_PACKAGE = Path(__file__).resolve().parent.parent


def shipped(name: str) -> Path:
    """The folder ``name`` (*migrations*, *catalogs*) as installed, else as checked out."""
    for place in (_PACKAGE / "_shipped" / name, _PACKAGE.parent / name):
        if place.exists():
            return place
    raise Refused(f"expected {name} to come with the program, found neither {_PACKAGE / '_shipped'} nor a checkout")
