"""Filing documents by name: a thing filed again unchanged changes nothing, one that reads differently replaces it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar

from sqlalchemy import Table, delete, insert, select, update

from bom.store.documents import decode, encode
from bom.store.rows import Changes

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

T = TypeVar("T")


def file_away(session: Session, table: Table, thing: Any, digest: str, **more: str | None) -> Changes:
    """Keep the thing under its name, with the digest of the file it was read from."""
    row = {"document": encode(thing), "digest": digest, **more}
    columns = [table.c[name] for name in row]
    stored = session.execute(select(*columns).where(table.c.name == thing.name)).one_or_none()
    if stored is None:
        session.execute(insert(table).values(name=thing.name, **row))
        return Changes(added=1)
    if tuple(stored) == tuple(row.values()):
        return Changes(unchanged=1)
    session.execute(update(table).where(table.c.name == thing.name).values(**row))
    return Changes(updated=1)


def forget(session: Session, table: Table, name: str) -> None:
    """Take the thing of this name out again."""
    session.execute(delete(table).where(table.c.name == name))


def filed(session: Session, table: Table, kind: type[T], name: str) -> T | None:
    """The thing of this name, or None."""
    found = session.scalar(select(table.c.document).where(table.c.name == name))
    return None if found is None else decode(kind, found)


def all_filed(session: Session, table: Table, kind: type[T]) -> tuple[T, ...]:
    """Every thing, by name."""
    return tuple(decode(kind, d) for d in session.scalars(select(table.c.document).order_by(table.c.name)))
