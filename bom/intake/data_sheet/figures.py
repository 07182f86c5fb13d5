"""One cell of a printed table as a figure, exactly as the page has it, or as a doubt; never as a guess.

A figure may have its unit behind it, a limit before or behind it (``≤ 8.4``, ``8.4 max.``), a tolerance
(``240 ±10 %``), a footnote (``8.4 *1``; a raised mark arrives as ``8.4^1``) and a decimal comma where the table shows
that commas are decimal. Whatever else stands in the cell makes it doubtful: then no value is taken from it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from bom.relays.in_a_line import figure
from bom.values.column import Column
from bom.values.problem import Refused
from bom.values.quantity import read


@dataclass(frozen=True, slots=True)
class Figure:
    """``value`` as a series sheet has it, empty where the page states none or leaves a ``doubt``; ``printed`` is what
    the page says. ``tolerance`` is a ± in %, ``supply`` is *ac* or *dc* where the cell says so."""

    printed: str = ""
    value: str = ""
    doubt: str = ""
    tolerance: str = ""
    supply: str = ""
    notes: tuple[str, ...] = ()

    def doubted(self, why: str) -> Figure:
        """The same words without a value."""
        return replace(self, value="", doubt=why)


class Marks(StrEnum):
    """What a comma or a point means in the figures of one table."""

    POINT = "the point is decimal"
    COMMA = "the comma is decimal"
    UNTOLD = "nothing tells"
    MIXED = "both are"
    WHOLE = "figures are whole"


def marks_in(cells: Iterable[str]) -> Marks:
    """What the table's own figures show: 8.4 and 0.125 need a decimal point, 8,4 and 0,125 a decimal comma."""
    text = " ; ".join(cells)
    point, comma = (bool(re.search(_DECIMAL.format(re.escape(sign)), text)) for sign in ".,")
    if point and comma:
        return Marks.MIXED
    return Marks.POINT if point else Marks.COMMA if comma else Marks.UNTOLD


_DECIMAL = r"(?<![\d.,])(?:\d+{0}\d{{1,2}}|0{0}\d+|\d+{0}\d{{4,}})(?![\d.,])"
_NUMBER = re.compile(r"10\^\d+|[+-]?\d[\d.,]*(?:\s*[x×·]\s*10\^\d+|[eE][+-]?\d{1,2})?|[.,]\d+")
_NOTE = re.compile(r"\s*(?:\^?(\*+\d?)\)?|\^(\d|[a-z])\)?|\((\d)\)|(?<=\s)(\d)\))\s*$")
_BLANK = re.compile(r"[-–—‒−]+|n\.?\s*/?\s*a\.?|", re.IGNORECASE)
_MOST = re.compile(r"(?:≤|<=|<|max(?:imum)?\.?)", re.IGNORECASE)
_LEAST = re.compile(r"(?:≥|>=|>|min(?:imum)?\.?)", re.IGNORECASE)
_TOLERANCE = re.compile(r"(?:±|\+/-|\+-)\s*(\d+(?:[.,]\d+)?)\s*%")
_SUPPLY = re.compile(r"(?<![A-Za-z])(V)\s*\.?(AC|DC)\b|(?<=[\s\d])(AC|DC)\b", re.IGNORECASE)

AT_MOST = frozenset({"operate_volts", "hold_volts", "coil_max_volts", "operate_ms", "release_ms"})
AT_LEAST = frozenset({"release_volts"})
"""The columns whose limit a cell may say again; any other limit than the column's own is a doubt."""


def without_notes(text: str) -> tuple[str, tuple[str, ...]]:
    """The text without the footnote marks at its end, and the marks."""
    found: list[str] = []
    while (mark := _NOTE.search(text)) and mark.start() > 0:
        found.append(next(filter(None, mark.groups())))
        text = text[: mark.start()].rstrip()
    return text, tuple(reversed(found))


def figure_in(printed: str, column: Column, unit: str, marks: Marks) -> Figure:
    """The figure of a cell for this column; ``unit`` is what the heading says it is in, empty where it says nothing."""
    said = " ".join(printed.replace("−", "-").split())
    if _BLANK.fullmatch(said):
        return Figure(said)
    exponent = column.unit == "ops" and bool(re.search(r"10\^\d+\s*$", said))
    text, notes = (said, ()) if exponent else without_notes(said)
    found = Figure(said, notes=notes)
    text, supply = _taken(_SUPPLY, text, lambda m: (m[2] or m[3]).lower())
    if supply and text and text[-1].isdigit():
        text += " V"
    text, tolerance = _taken(_TOLERANCE, text, lambda m: m[1].replace(",", "."))
    found = replace(found, supply=supply, tolerance=tolerance)
    text, limits = _limits(text)
    if limits and limits != _own_limit(column.name):
        return found.doubted(f"a limit the other way than {column.name.replace('_', ' ')} has")
    return _read(found, text.strip(), column, unit, marks)


def _taken(pattern: re.Pattern[str], text: str, said: object) -> tuple[str, str]:
    found = pattern.search(text)
    if found is None or not callable(said):
        return text, ""
    return f"{text[: found.start()]} {text[found.end() :]}".strip(), str(said(found))


def _limits(text: str) -> tuple[str, str]:
    """The text without the words that make its figure a limit, and which limit they make it."""
    for limit, pattern in (("most", _MOST), ("least", _LEAST)):
        if pattern.search(text):
            return pattern.sub(" ", text), limit
    return text, ""


def _own_limit(column: str) -> str:
    return "most" if column in AT_MOST else "least" if column in AT_LEAST else ""


def _read(found: Figure, text: str, column: Column, unit: str, marks: Marks) -> Figure:
    number = _NUMBER.match(text)
    if number is None:
        return found.doubted("no figure")
    rest = text[number.end() :].strip()
    value, doubt = plain(number[0], marks if column.unit != "ops" else Marks.WHOLE)
    if doubt:
        return found.doubted(doubt)
    of_rated = rest == "%" or (not rest and unit == "%")
    if of_rated and column.name in OF_RATED:
        return replace(found, value=f"{value} %")
    if not rest and not unit and column.unit not in ("", "ops"):
        return found.doubted(f"the page does not say that it is in {column.sign}")
    try:
        amount = read(f"{value} {rest or unit}".strip(), column.unit) if column.unit else _bare(value, rest)
    except Refused:
        return found.doubted(f"not one plain figure in {column.sign}" if column.sign else "not one plain figure")
    try:
        column.number(amount)
    except Refused as refused:
        return found.doubted(f"expected {refused}")
    return replace(found, value=_figure(value, amount))


OF_RATED = frozenset({"operate_volts", "release_volts", "hold_volts", "coil_max_volts"})
"""What sheets print as a percentage of the rated volts."""


def _bare(value: str, rest: str) -> float:
    if rest:
        raise Refused("a bare number")
    return float(value)


def _figure(value: str, amount: float) -> str:
    """The digits as they are printed where no unit changed them."""
    return value if Decimal(value) == Decimal(figure(amount)) else figure(amount)


def plain(number: str, marks: Marks) -> tuple[str, str]:
    """A printed number with a decimal point, or why it may mean two things."""
    number = number.rstrip(".,")
    if (power := re.fullmatch(r"(?:(\d+(?:[.,]\d+)?)\s*[x×·]\s*)?10\^?(\d+)", number)) and not number.isdigit():
        first, doubt = plain(power[1] or "1", marks)
        return (f"{float(first) * 10 ** int(power[2]):g}" if not doubt else "", doubt)
    if marks is Marks.WHOLE and re.fullmatch(r"[1-9]\d{0,2}([.,])\d{3}(\1\d{3})*", number):
        return re.sub("[.,]", "", number), ""
    if number.isdigit() or re.fullmatch(r"[+-]?\d+([eE][+-]?\d+)?", number):
        return number, ""
    if re.fullmatch(r"[+-]?\d+\.\d+", number):
        thousands = re.fullmatch(r"[+-]?[1-9]\d{0,2}\.\d{3}", number)
        if marks in (Marks.COMMA, Marks.MIXED) or (thousands and marks is not Marks.POINT):
            return "", "its point may part thousands or be decimal"
        return number, ""
    if re.fullmatch(r"[+-]?\d+,\d+", number):
        thousands = re.fullmatch(r"[+-]?[1-9]\d{0,2},\d{3}", number)
        if marks is Marks.COMMA:
            return number.replace(",", "."), ""
        if thousands and marks is Marks.POINT:
            return number.replace(",", ""), ""
        return "", "its comma may part thousands or be decimal"
    if re.fullmatch(r"[1-9]\d{0,2}(,\d{3})+\.\d+", number) and marks is not Marks.COMMA:
        return number.replace(",", ""), ""
    if re.fullmatch(r"[1-9]\d{0,2}(,\d{3}){2,}", number):
        return number.replace(",", ""), ""
    return "", "no plain number"
