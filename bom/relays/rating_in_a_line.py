"""A published rating in one line, as a contact table prints it and a person types it: read, and written back.

``make motor 14 V dc, 8 A, inrush 25 A, carry 35 A for 3 s, at 85 °C, 1e5 ops``: the contact, the load, and every figure
with its unit, which says what it is; ``L/R 7 ms`` and ``power factor 0.4`` have their names before them.

>>> problems = []
>>> line = rating_in("NO resistive 14 V dc 20 A, 85 °C", "TW2", problems)
>>> line.contact, line.supply.value, line.amps, line.temp_c, problems
('make', 'dc', 20.0, 85.0, [])
>>> rating_line(line)
'make resistive 14 V dc, 20 A, at 85 °C'
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from bom.relays.checks import rating_problems
from bom.relays.in_a_line import figure
from bom.relays.relay import Rating
from bom.values.column import described, made
from bom.values.problem import Problem

LINE = "a rating such as make motor 14 V dc, 8 A, inrush 25 A, carry 35 A for 3 s, at 85 °C, 1e5 ops"
COLUMNS = described(Rating)

_FIGURE = r"([+-]?[\d.]+(?:[eE][+-]?\d+)?\s*{unit})(?![^\s,;])"
_AMPS, _SECONDS = _FIGURE.format(unit="[mk]?A"), _FIGURE.format(unit="m?s")
_FIGURES: tuple[tuple[str, tuple[str, ...]], ...] = (
    (rf"carr(?:y|ies) {_AMPS}(?:\s+for)?\s+{_SECONDS}", ("carry_amps", "carry_seconds")),
    (rf"carr(?:y|ies) {_AMPS}", ("carry_amps",)),
    (rf"(?:inrush|makes) {_AMPS}", ("inrush_amps",)),
    (rf"L/R {_FIGURE.format(unit='[mu]?s')}", ("lr_ms",)),
    (r"(?:power factor|cos ?φ|cos ?phi|pf)[ =]*([\d.]+)(?![^\s,;])", ("power_factor",)),
    (_FIGURE.format(unit="[mk]?V"), ("volts",)),
    (_AMPS, ("amps",)),
    (rf"(?:at )?{_FIGURE.format(unit='°[CF]')}", ("temp_c",)),
    (_FIGURE.format(unit="(?:ops|operations|cycles)"), ("operations",)),
)
"""What is looked for in turn, each taken out of the line where it is found: what has a name before what has only a
unit."""
_WORDS = ("contact", "supply", "load")
"""The columns that hold a word, which says by itself whose it is."""


def rating_in(line: str, applies_to: str, problems: list[Problem]) -> Rating | None:
    """The rating of a line; None where it could not be read, with the reason in ``problems``."""
    cells, rest = _figures(_VOLTS_OF.sub(r"\1 \2", line))
    found = list(_words(rest, cells))
    missing = [name for name, column in COLUMNS.items() if column.needed and name not in cells and name != "applies_to"]
    if missing and not found:
        found = [Problem("", 0, "rating", f"{LINE} ({', '.join(missing)} missing)", line.strip() or "nothing")]
    rating: Rating = made(Rating, {"applies_to": applies_to, **cells}, found)
    found = found or list(rating_problems(rating))
    problems += found
    return None if found else rating


_VOLTS_OF = re.compile(r"([mk]?V) ?(dc|ac)\b", re.IGNORECASE)


def _figures(line: str) -> tuple[dict[str, str], str]:
    """Every figure by its column, and the words that are left."""
    cells: dict[str, str] = {}
    for pattern, columns in _FIGURES:
        matched = re.search(rf"(?<![^\s,;]){pattern}", line)
        if matched and not any(column in cells for column in columns):
            cells |= dict(zip(columns, matched.groups(), strict=True))
            line = f"{line[: matched.start()]} ; {line[matched.end() :]}"
    return cells, line


def _words(rest: str, cells: dict[str, str]) -> Iterator[Problem]:
    """The words of the line into their cells, the longest that mean something first; what means nothing is a
    problem."""
    for part in filter(None, (part.strip() for part in re.split(r"[,;]", rest))):
        words = part.split()
        while words:
            length, column = _meaning(words, cells)
            if not column:
                yield Problem("", 0, "rating", LINE, " ".join(words))
                break
            cells[column] = " ".join(words[:length])
            words = words[length:]


def _meaning(words: list[str], taken: dict[str, str]) -> tuple[int, str]:
    """How many of the first words are one word of a column, and of which."""
    for length in range(min(3, len(words)), 0, -1):
        text = " ".join(words[:length])
        for column in _WORDS:
            if column not in taken and COLUMNS[column].words.meant(text) is not None:
                return length, column
    return 0, ""


def rating_line(rating: Rating) -> str:
    """The rating as a line that ``rating_in`` reads; its source and what it applies to stand elsewhere."""
    return ", ".join(_said(rating))


def _said(rating: Rating) -> Iterator[str]:
    yield f"{rating.contact} {rating.load} {figure(rating.volts)} V {rating.supply}"
    if rating.amps is not None:
        yield f"{figure(rating.amps)} A"
    if rating.inrush_amps is not None:
        yield f"inrush {figure(rating.inrush_amps)} A"
    if rating.carry_amps is not None:
        seconds = "" if rating.carry_seconds is None else f" for {figure(rating.carry_seconds)} s"
        yield f"carry {figure(rating.carry_amps)} A{seconds}"
    if rating.lr_ms is not None:
        yield f"L/R {figure(rating.lr_ms)} ms"
    if rating.power_factor is not None:
        yield f"power factor {figure(rating.power_factor)}"
    if rating.temp_c is not None:
        yield f"at {figure(rating.temp_c)} °C"
    if rating.operations is not None:
        yield f"{figure(rating.operations)} ops"
