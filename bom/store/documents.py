"""Documents: any frozen dataclass of ours as JSON text and back, exactly, by its type hints; and filing them by name.

Decimals and dates travel as text, so nothing is lost; a field missing from a document takes its default. A thing
filed again unchanged changes nothing, one that reads differently replaces it.
"""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from functools import cache
from types import NoneType, UnionType
from typing import TYPE_CHECKING, Any, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from sqlalchemy import Table, delete, insert, select, update

from bom.store.rows import Changes
from bom.values.problem import Refused

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


T = TypeVar("T")


def encode(thing: Any) -> str:
    """The dataclass as JSON text, its fields in their order."""
    return json.dumps(_plain(thing), ensure_ascii=False)


def decode(kind: type[T], document: str) -> T:
    """The dataclass that ``encode`` was given."""
    try:
        return cast(T, _made(kind, json.loads(document)))
    except (ArithmeticError, AttributeError, KeyError, TypeError, ValueError) as error:
        raise Refused(f"the stored {kind.__name__.lower()} cannot be read: {error}") from error


def _plain(value: Any) -> Any:
    if isinstance(value, Enum):
        return value.value
    if is_dataclass(value):
        return {f.name: _plain(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, dict):
        return {key: _plain(v) for key, v in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(v) for v in value]
    return _word(value)


def _word(value: Any) -> Any:
    if isinstance(value, date):  # a datetime is one too
        return value.isoformat()
    return str(value) if isinstance(value, Decimal) else value


def _made(hint: Any, value: Any) -> Any:
    if value is None or hint is Any:
        return value
    origin = get_origin(hint)
    if origin in (Union, UnionType):
        return _made(next(t for t in get_args(hint) if t is not NoneType), value)
    if origin is tuple:
        return _made_tuple(get_args(hint), value)
    if origin is dict:
        return {key: _made(get_args(hint)[1], v) for key, v in value.items()}
    return _made_one(hint, value)


def _made_tuple(hints: tuple[Any, ...], values: list[Any]) -> tuple[Any, ...]:
    if len(hints) == 2 and hints[1] is Ellipsis:
        return tuple(_made(hints[0], v) for v in values)
    return tuple(_made(h, v) for h, v in zip(hints, values, strict=True))


def _made_one(kind: Any, value: Any) -> Any:
    if is_dataclass(kind):
        hints = _hints(cast(type, kind))
        return cast(Any, kind)(**{name: _made(hints[name], v) for name, v in value.items()})
    if issubclass(kind, date | datetime):
        return kind.fromisoformat(value)
    return value if isinstance(value, kind) else kind(value)


@cache
def _hints(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


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
