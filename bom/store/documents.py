"""Documents: any frozen dataclass of ours as JSON text and back, exactly, by its type hints; and filing them by name.

Decimals and dates travel as text, so nothing is lost; a field missing from a document takes its default. A thing
filed again unchanged changes nothing, one that reads differently replaces it.
"""

from __future__ import annotations

import json
from collections.abc import Callable
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
        made = _maker(cast(Any, kind))
        return cast(T, made(json.loads(document)) if made else json.loads(document))
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


@cache
def _maker(hint: Any) -> Callable[[Any], Any] | None:
    """How a value of this type is made of what JSON gives, found once; None where it is that already."""
    origin = get_origin(hint)
    if hint is Any:
        return None
    if origin in (Union, UnionType):
        return _unless_none(_maker(next(t for t in get_args(hint) if t is not NoneType)))
    if origin is tuple:
        return _tuple_maker(get_args(hint))
    if origin is dict:
        return _dict_maker(_maker(get_args(hint)[1]))
    return _unless_none(_one_maker(hint))


def _unless_none(maker: Callable[[Any], Any] | None) -> Callable[[Any], Any] | None:
    return None if maker is None else lambda value: None if value is None else maker(value)


def _tuple_maker(hints: tuple[Any, ...]) -> Callable[[Any], Any]:
    makers = [_maker(hint) or _as_it_is for hint in hints if hint is not Ellipsis]
    if hints[-1] is Ellipsis:
        return lambda values: tuple(map(makers[0], values))
    return lambda values: tuple(make(value) for make, value in zip(makers, values, strict=True))


def _dict_maker(maker: Callable[[Any], Any] | None) -> Callable[[Any], Any]:
    make = maker or _as_it_is
    return lambda values: {key: make(value) for key, value in values.items()}


def _one_maker(kind: Any) -> Callable[[Any], Any]:
    if is_dataclass(kind):
        return _dataclass_maker(cast(Any, kind))
    if issubclass(kind, date | datetime):
        return cast(Callable[[Any], Any], kind.fromisoformat)
    return lambda value: value if isinstance(value, kind) else kind(value)


def _dataclass_maker(kind: Any) -> Callable[[Any], Any]:
    def make(stated: dict[str, Any]) -> Any:
        makers = _fields_made(kind)
        for name, value in stated.items():
            if (maker := makers[name]) is not None:
                stated[name] = maker(value)
        return kind(**stated)

    return make


@cache
def _fields_made(kind: Any) -> dict[str, Callable[[Any], Any] | None]:
    """Found when the first of the kind is made, because a kind may hold others of its own."""
    return {name: _maker(hint) for name, hint in get_type_hints(kind).items()}


def _as_it_is(value: Any) -> Any:
    return value


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
