"""Knows how a TOML file looks that a person goes on filling in: beside each key what it means, in which unit.

A key that nobody has stated yet stands behind a ``#`` with an example, so that the file reads as it is; so does a whole
table of which nothing is known yet.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from textwrap import wrap
from typing import Any

from bom.paper.csv_out import number_text
from bom.paper.writing import one_line
from bom.values.column import Column, Holds

_WIDE = 110
_BESIDE = 40  # a comment stands beside its key, or above one that is longer than this


@dataclass(frozen=True, slots=True)
class Key:
    """One key as its column describes it; ``value`` None = not stated yet."""

    column: Column
    value: object = None

    @property
    def stated(self) -> bool:
        return self.value is not None


@dataclass(frozen=True, slots=True)
class Section:
    """One table of the file; ``heading`` as it is written, ``[board]`` or ``[[position]]``, ``about`` goes above it.

    ``example``: the whole table is one, behind a ``#``.
    """

    heading: str
    keys: tuple[Key, ...]
    about: str = ""
    example: bool = False


def keys_of(known: Mapping[str, Column], shown: Iterable[str], stated: Mapping[str, object]) -> tuple[Key, ...]:
    """These keys of a table, with what is stated of them; a stated one is never left out."""
    names = dict.fromkeys([*shown, *(name for name, value in stated.items() if value is not None)])
    return tuple(Key(known[name], stated.get(name)) for name in known if name in names)


def drafted(opening: Sequence[str], sections: Sequence[Section]) -> str:
    """The whole file; ``opening`` are sentences for whoever opens it."""
    lines = (line for said in opening for line in wrap(said, _WIDE, initial_indent="# ", subsequent_indent="# "))
    parts = ["\n".join(lines)]
    parts += ["\n".join(_section(section)) for section in sections]
    return "\n\n".join(filter(None, parts)) + "\n"


def _section(section: Section) -> Iterator[str]:
    yield from wrap(one_line(section.about), _WIDE, initial_indent="# ", subsequent_indent="# ")
    yield f"# {section.heading}" if section.example else section.heading
    for key in section.keys:
        yield from _lines(key, section.example)


def _lines(key: Key, example: bool) -> Iterator[str]:
    """``key = value   # what it means``; what it means goes above where the line would be long."""
    column = key.column
    value = literal(key.value) if key.stated else _example(column)
    left = f"{'# ' if example or not key.stated else ''}{column.name} = {value}"
    unit = f"{column.sign}: " if column.sign else ""
    words = " | ".join(column.words.words)
    said = f"# {unit}{column.meaning}{f' One of: {words}' if words and len(words) <= 60 else ''}"
    if len(left) < _BESIDE and _BESIDE + len(said) <= _WIDE:
        yield f"{left:<{_BESIDE}}{said}"
    else:
        yield said
        yield left


def _example(column: Column) -> str:
    bare = column.holds in _BARE or column.example.startswith(('"', "[", "{"))
    return column.example if bare else literal(column.example)


_BARE = {Holds.NUMBER, Holds.WHOLE, Holds.YES_NO, Holds.MONEY, Holds.TEXTS, Holds.TABLE, Holds.TABLES}


def literal(value: Any) -> str:
    """A value as TOML 1.0 writes it; a mapping becomes an inline table.

    >>> literal({"kind": "motor", "amps": 2.0, "reversing": True, "shares": (1, 2)})
    '{ kind = "motor", amps = 2, reversing = true, shares = [1, 2] }'
    """
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return number_text(value)
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Mapping):
        inside = ", ".join(f"{key_text(name)} = {literal(inner)}" for name, inner in value.items())
        return f"{{ {inside} }}" if inside else "{}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(literal, value))}]"
    return "".join(map(_seen, json.dumps(str(value), ensure_ascii=False)))


def _seen(letter: str) -> str:
    """Whatever no eye would see, such as a space that does not break, by its number."""
    number = ord(letter)
    return letter if letter.isprintable() else f"\\u{number:04x}" if number <= 0xFFFF else f"\\U{number:08x}"


def key_text(name: object) -> str:
    """A key as TOML 1.0 writes it: bare where that is allowed, else in quotes."""
    text = str(name)
    bare = text.isascii() and text.replace("_", "").replace("-", "").isalnum()
    return text if bare else literal(text)
