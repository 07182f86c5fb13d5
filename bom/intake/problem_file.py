"""A stand-alone buying problem: a JSON file read into a mapping, its numbers exact."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any, NoReturn

from bom.values.column import LARGEST, SMALLEST
from bom.values.problem import Refused


def read_problem(path: Path) -> dict[str, Any]:
    """The mapping in this file, numbers with a point as Decimal. Raises Refused, with line and column on
    bad JSON."""
    try:
        found = json.loads(_text(path), parse_float=_likely, parse_int=_likely_whole, parse_constant=_no_number)
    except json.JSONDecodeError as error:
        raise Refused(f"{path.name}:{error.lineno} [column {error.colno}]: expected JSON, {error.msg}") from error
    except RecursionError as error:
        raise Refused(f"{path.name}: expected lists and braces a few deep, found some without end") from error
    if not isinstance(found, dict):
        raise Refused(f"{path.name}: expected one problem in braces, found {type(found).__name__}")
    return found


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise Refused(f"{path.name}: expected a file that can be read, found {error.strerror}") from error
    except UnicodeDecodeError as error:
        raise Refused(f"{path.name}: expected UTF-8 text, found byte 0x{error.object[error.start]:02X}") from error


def _likely(text: str) -> Decimal:
    try:
        number = Decimal(text)
    except ArithmeticError:  # an exponent beyond what Decimal holds
        number = Decimal("inf")
    if number and not SMALLEST <= number.copy_abs() <= LARGEST:
        shown = text if len(text) <= 40 else f"{text[:37]}..."
        raise Refused(f"expected a number of a likely size, {SMALLEST:g} to {LARGEST:g}, in the problem, found {shown}")
    return number


def _likely_whole(text: str) -> int:
    return int(_likely(text))


def _no_number(word: str) -> NoReturn:
    raise Refused(f"expected a number in the problem, found {word}")
