"""A unit of work: everything done within it is kept together or not at all, and one writer works at a time.

Writers take turns on both databases: SQLite through BEGIN IMMEDIATE, PostgreSQL through an advisory lock that the
transaction holds, so what a writer reads (what is available, the last entry) can't change before it writes.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, cast

from sqlalchemy import Connection, Engine, event, func, select
from sqlalchemy.exc import OperationalError

from bom.values.problem import Refused

if TYPE_CHECKING:
    from sqlalchemy.orm import Session as Session

WRITES, READS = "bom_writes", "bom_reads"
TURN = 0x626F6D  # any number will do as long as every writer uses the same: "bom" in ASCII


@contextmanager
def work(engine: Engine) -> Iterator[Session]:
    """A session for reading and writing: committed at the end, undone on any error. Keep it short; others wait."""
    with _session(engine.execution_options(**{WRITES: True})) as session:
        take_turn(session)
        yield session


@contextmanager
def look(engine: Engine) -> Iterator[Session]:
    """A session for reading only: waits for nobody, sees one state of everything from its first reading on, and the
    database itself refuses to write in it."""
    steady = {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}
    steady = steady if engine.dialect.name == "postgresql" else {READS: True}
    try:
        with engine.execution_options(**steady).begin() as connection:
            yield session_of(connection)
    except OperationalError as error:
        raise Refused(trouble(engine, error)) from error


class ReadingSession:
    """As much of a session as reading takes, so that a command that only looks loads no object mapper."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self.info: dict[object, object] = {}
        self.execute, self.scalar, self.scalars = connection.execute, connection.scalar, connection.scalars

    def connection(self) -> Connection:
        return self._connection

    def get_bind(self) -> Connection:
        return self._connection


def session_of(connection: Connection) -> Session:
    """A session on a connection whose transaction somebody else began and ends."""
    return cast("Session", ReadingSession(connection))


def take_turn(session: Session) -> None:
    """Wait until no other writer is at work; lasts until the transaction ends. On SQLite its start did this."""
    if session.get_bind().dialect.name == "postgresql":
        session.execute(select(func.pg_advisory_xact_lock(TURN)))


@contextmanager
def _session(engine: Engine) -> Iterator[Session]:
    from sqlalchemy.orm import Session

    try:
        with Session(engine) as session, session.begin():
            _count_writes(session)
            yield session
    except OperationalError as error:
        raise Refused(trouble(engine, error)) from error


_WRITES = "writes so far"
_NO_WRITES = ("SELECT", "SAVEPOINT", "RELEASE", "PRAGMA")


def _count_writes(session: Session) -> None:
    """Counts every statement that may change what is read, going back to a savepoint among them."""

    def counted(connection: Connection, cursor: Any, statement: str, *more: Any) -> None:
        if not statement.lstrip().upper().startswith(_NO_WRITES):
            session.info[_WRITES] = writes_so_far(session) + 1

    event.listen(session.connection(), "before_cursor_execute", counted)


def writes_so_far(session: Session) -> int:
    """How often this session has written: whoever keeps what was read reads it anew where this number grew."""
    return int(session.info.get(_WRITES, 0))


def trouble(engine: Engine, error: Exception) -> str:
    """One line about a database that could not do its work; never shows a password."""
    said = str(getattr(error, "orig", error)).strip().splitlines() or [""]
    if "database is locked" in said[0]:
        return "another program is writing to the database; nothing was changed, try again"
    return f"cannot use the database {engine.url.render_as_string(hide_password=True)}: {said[0]}"


def __getattr__(name: str) -> Any:
    """``Session`` for those who name its type; it is loaded only when asked for."""
    if name == "Session":
        from sqlalchemy.orm import Session

        return Session
    raise AttributeError(name)
