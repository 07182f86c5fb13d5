"""Knows how our values look as JSON: dataclasses as objects, money as an exact text with its currency.

Keys keep the order in which they are declared; what JSON cannot say (NaN, infinity) is null.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from datetime import date, time
from decimal import Decimal
from enum import Enum
from functools import cache
from json.encoder import encode_basestring as _quoted
from math import isfinite
from typing import Any

from bom.answers import INLAID, MARK, STATED_INLAID, WHERE_STATED
from bom.values.column import Column, Topic
from bom.values.money import Money


def as_json(value: object) -> str:
    """Indented JSON text; letters beyond ASCII stay letters, and keys keep their order."""
    return _indented(as_plain(value), "\n")


def _indented(plain: Any, line: str) -> str:
    """As ``json.dumps`` with an indent of two, which would take four times as long; ``line`` begins the next line."""
    if type(plain) is str:
        return _quoted(plain)
    if not plain or not isinstance(plain, dict | list):
        return json.dumps(plain, allow_nan=False)
    under = line + "  "
    if isinstance(plain, dict):
        rows = [f"{_quoted(key)}: {_indented(value, under)}" for key, value in plain.items()]
        return f"{{{under}{f',{under}'.join(rows)}{line}}}"
    return f"[{under}{f',{under}'.join([_indented(value, under) for value in plain])}{line}]"


def as_plain(value: object) -> Any:
    """The value made of dict, list, str, int, float, bool and None alone. What is unheard of is refused (TypeError)."""
    if type(value) in _PLAIN:
        return value
    if isinstance(value, Money):
        return {"amount": money_digits(value), "currency": value.currency}
    if isinstance(value, Enum):
        return as_plain(value.value)
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, float | Decimal):
        return _number(value)
    if isinstance(value, date | time):  # a datetime is a date
        return value.isoformat()
    return _gathered(value)


_PLAIN = frozenset({str, int, bool, type(None)})  # looked at first: nearly everything in an answer is one of them


def money_digits(money: Money) -> str:
    """An exact amount: the currency's own digits, and more only where the price has them: *12.30*, *0.0125*, *5*."""
    whole, _, part = f"{money.amount:.6f}".partition(".")
    part = part.rstrip("0").ljust(money.exponent, "0")
    return f"{whole}.{part}" if part else whole


def _number(value: float | Decimal) -> int | float | None:
    if not isfinite(value):
        return None
    if isinstance(value, Decimal) and value == value.to_integral_value():
        return int(value)
    return float(value)


def _gathered(value: object) -> Any:
    if type(value) in _VIEWS:
        return as_plain(_VIEWS[type(value)](value))
    if is_dataclass(value) and not isinstance(value, type):
        return _object(value)
    if isinstance(value, Mapping):
        return {_key(k): as_plain(v) for k, v in value.items()}
    if isinstance(value, set | frozenset):
        return sorted((as_plain(v) for v in value), key=str)
    if isinstance(value, list | tuple):
        return [as_plain(v) for v in value]
    if hasattr(value, "__fspath__"):
        return str(value)
    raise TypeError(f"no JSON for a {type(value).__name__}")


def _object(value: object) -> dict[str, Any]:
    """Each field under its key, or as the answer marks it: inlaid, or left out where it states nothing."""
    plain: dict[str, Any] = {}
    kind: Any = type(value)
    for name, key, mark in _keys(kind):
        held = getattr(value, name)
        if mark in _INLAID:
            inside = as_plain(held)
            plain |= {k: v for k, v in inside.items() if v not in (None, "")} if mark == _STATED else inside
        elif mark != _WHERE_STATED or not (held is None or held in ("", ())):
            plain[key] = as_plain(held)
    return plain


_INLAID = (INLAID[MARK], STATED_INLAID[MARK])
_STATED, _WHERE_STATED = STATED_INLAID[MARK], WHERE_STATED[MARK]


@cache
def _keys(kind: Any) -> tuple[tuple[str, str, str], ...]:
    """Each field with its key, its own name without the underscore that keeps it apart from a word of Python's, and
    the mark that an answer gives it."""
    return tuple((f.name, f.name.removesuffix("_"), f.metadata.get(MARK, "")) for f in fields(kind))


def _key(key: object) -> str:
    if isinstance(key, tuple):
        return " ".join(map(_key, key))
    return str(as_plain(key))


def _topic(topic: Topic) -> dict[str, object]:
    return {
        "topic": topic.name,
        "about": topic.about,
        "columns": [_column(name, column) for name, column in topic.columns.items()],
        "entries": [{"name": name, "text": text} for name, text in topic.entries],
        "notes": topic.notes,
    }


def _column(name: str, column: Column) -> dict[str, object]:
    return {
        "name": column.name or name,
        "meaning": column.meaning,
        "holds": column.holds,
        "unit": column.sign,
        "allowed": column.allowed,
        "words": {word: list(column.words.also.get(word, ())) for word in column.words.words},
        "example": column.example,
        "needed": column.needed,
    }


_VIEWS: Mapping[type, Callable[[Any], object]] = {Topic: _topic}
"""Values of which programs are told more than their fields say."""
