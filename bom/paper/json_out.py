"""Knows how our values look as JSON: dataclasses as objects, money as an exact text with its currency.

Keys keep the order in which they are declared; what JSON cannot say (NaN, infinity) is null.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date, time
from decimal import Decimal
from enum import Enum
from functools import cache
from json.encoder import encode_basestring as _quoted
from math import isfinite
from typing import Any

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
    if is_dataclass(value) and not isinstance(value, type):
        return {key: as_plain(getattr(value, name)) for name, key in _keys(type(value))}
    if isinstance(value, Mapping):
        return {_key(k): as_plain(v) for k, v in value.items()}
    if isinstance(value, set | frozenset):
        return sorted((as_plain(v) for v in value), key=str)
    if isinstance(value, list | tuple):
        return [as_plain(v) for v in value]
    if hasattr(value, "__fspath__"):
        return str(value)
    raise TypeError(f"no JSON for a {type(value).__name__}")


@cache
def _keys(kind: Any) -> tuple[tuple[str, str], ...]:
    """Each field with its key: its own name, without the underscore that keeps it apart from a word of Python's."""
    return tuple((f.name, f.name.removesuffix("_")) for f in fields(kind))


def _key(key: object) -> str:
    if isinstance(key, tuple):
        return " ".join(map(_key, key))
    return str(as_plain(key))
