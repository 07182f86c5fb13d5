"""How a flat dataclass becomes a row and a row becomes the dataclass again: one column for each field.

Frozen slotted dataclasses can't be mapped by SQLAlchemy, so tables are written from their fields and rows translated.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields
from datetime import UTC, datetime
from enum import Enum
from functools import cache
from types import NoneType
from typing import Any, TypeVar, cast, get_args, get_type_hints

from sqlalchemy import BigInteger, Boolean, Column, Double, Text
from sqlalchemy.types import TypeEngine

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Changes:
    """How many things (relays, footprints, wirings, parts with ratings, supplies) were new, different or the same."""

    added: int = 0
    updated: int = 0
    unchanged: int = 0

    def __add__(self, other: Changes) -> Changes:
        return Changes(self.added + other.added, self.updated + other.updated, self.unchanged + other.unchanged)


_TYPES: dict[Any, type[TypeEngine[Any]]] = {float: Double, int: BigInteger, bool: Boolean}


def columns_of(kind: type, but: Sequence[str] = ()) -> list[Column[Any]]:
    """A column for each field: double, big integer, boolean or else text; nullable where the field may be None."""
    return [_column(name, hint) for name, hint in get_type_hints(kind).items() if name not in but]


def _column(name: str, hint: Any) -> Column[Any]:
    return Column(name, _TYPES.get(_meant(hint), Text)(), nullable=NoneType in get_args(hint))


def _meant(hint: Any) -> Any:
    """The type itself of ``X`` or ``X | None``."""
    return next((t for t in get_args(hint) if t is not NoneType), hint)


def row_of(thing: Any, **more: Any) -> dict[str, Any]:
    """Column to value for a flat dataclass, words instead of enum members, and whatever else the row holds."""
    return {f.name: _plain(getattr(thing, f.name)) for f in fields(thing)} | more


def _plain(value: Any) -> Any:
    return value.value if isinstance(value, Enum) else value


def reader(kind: type[T]) -> Callable[[Iterable[Any]], T]:
    """A function from a row's values, in the order of the fields, to the dataclass."""
    made: Callable[[Iterable[Any]], T] = _reader(cast(Any, kind))
    return made


@cache
def _reader(kind: Any) -> Callable[[Iterable[Any]], Any]:
    hints = get_type_hints(kind)
    makers = [(i, _member_of(m)) for i, m in enumerate(map(_meant, hints.values())) if issubclass(m, Enum)]

    def read(values: Iterable[Any]) -> Any:
        made = list(values)[: len(hints)]
        for place, maker in makers:
            if made[place] is not None:
                made[place] = maker(made[place])
        return kind(*made)

    return read


def _member_of(words: type[Enum]) -> Callable[[Any], Enum]:
    """From a value to its member, as the class itself would, in a quarter of the time."""
    members = {member.value: member for member in words}

    def member(value: Any) -> Enum:
        return members[value] if value in members else words(value)

    return member


def moment_text(moment: datetime | None) -> str | None:
    """A moment as ISO 8601 text, in UTC where it names its zone; SQLite's own type would drop the zone."""
    if moment is None:
        return None
    return (moment if moment.tzinfo is None else moment.astimezone(UTC)).isoformat()


def moment_of(text: str | None) -> datetime | None:
    return None if text is None else datetime.fromisoformat(text)
