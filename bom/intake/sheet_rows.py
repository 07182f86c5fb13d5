"""Tables inside a TOML file: columns named once, then rows of bare values; each value kept as text with its place.

A value so becomes what a cell of a CSV file is, and is read by the same description of its column.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from bom.intake.rows import is_it, is_note
from bom.intake.tables import Table, lines_of_rows
from bom.values.column import Column, Holds, closed
from bom.values.problem import Problem


@dataclass(frozen=True, slots=True)
class Place:
    """Where something stands in a file."""

    file: str
    line: int
    key: str

    def tells(self, expected: str, found: object = "") -> Problem:
        """A problem at this place."""
        return Problem(self.file, self.line, self.key, expected, str(found))

    def takes(self, problem: Problem) -> Problem:
        """The problem, which knew no place, at this one."""
        return replace(problem, file=self.file, line=self.line, column=self.key)


@dataclass(frozen=True, slots=True)
class SheetCell:
    """One value as text, blank where it is not stated, and where it stands."""

    text: str
    place: Place


SheetCells = dict[str, SheetCell]
"""Column to what is stated in it."""


def place_in(table: Table, key: str) -> Place:
    """The place of a key of this table."""
    return Place(table.file, *table.place(key))


def cells_in(table: Table, known: Mapping[str, Column], *but: str) -> SheetCells:
    """What the keys of this table state, each being a column; ``but`` are read otherwise."""
    table.knows(known)
    words, answer = closed(known), SheetCells()
    for key in table.values:
        if key in but or (column := words.meant(key)) is None or table.report.leaves(key):
            continue
        if column in answer:
            table.wrong(key, f"{column} once", "twice")
        place = place_in(table, key)
        answer[column] = SheetCell(_text(table, known[column], table.get(key), place), place)
    return answer


def rows_in(table: Table, known: Mapping[str, Column]) -> list[SheetCells]:
    """The rows of this table's *rows*, by its *columns*."""
    columns = _columns(table, known)
    rows = table.get("rows")
    if not isinstance(rows, list) or not rows or not all(isinstance(row, list) for row in rows):
        found = "nothing" if rows is None else "an empty list" if rows == [] else _brief(rows)
        table.wrong("rows", 'a list with one list a row, as in [["12", 12, 240]]', found)
        return []
    line, path = table.place("rows")
    lines = lines_of_rows(table.lines, line)
    places = [Place(table.file, at, path) for at in lines] if len(lines) == len(rows) else []
    return [
        _row(table, known, columns, row, places[nth] if places else Place(table.file, line, path))
        for nth, row in enumerate(rows)
    ]


def _columns(table: Table, known: Mapping[str, Column]) -> list[str]:
    """The columns as they are known here; empty for a note or one that is left out on purpose."""
    words, answer = closed(known), list[str]()
    texts = table.texts("columns")
    if not texts:
        table.wrong("columns", 'the name of each column, as in ["code", "coil_volts"]', "none")
    for text in texts:
        column = words.meant(text) or ""
        if column and column in answer:
            table.wrong("columns", "each column once", text)
        if not column and not is_note(text) and not table.report.leaves(text):
            table.wrong("columns", f"a column that is read here{is_it(text, known)}", text)
        answer.append(column)
    return answer


def _row(table: Table, known: Mapping[str, Column], columns: list[str], row: list[Any], place: Place) -> SheetCells:
    if len(row) != len(columns):
        table.report.problems.append(place.tells(f"{len(columns)} values, one for each column", len(row)))
        return {}
    heading = place.key.rpartition(".")[0]
    at = {column: replace(place, key=f"{heading}.{column}") for column in columns if column}
    pairs = zip(columns, row, strict=True)
    return {c: SheetCell(_text(table, known[c], value, at[c]), at[c]) for c, value in pairs if c}


def _text(table: Table, column: Column, value: object, place: Place) -> str:
    """A value as the text of a cell; what no cell can hold is reported, and so is a number where a text belongs."""
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        table.report.problems.append(place.tells(f"{column.allowed}, as in {column.example}", _brief(value)))
        return ""
    if column.holds in _TEXTS and column.name != "code":
        table.report.problems.append(place.tells("text in quotes", value))
    return str(value)


_TEXTS = (Holds.TEXT, Holds.NAME, Holds.PART_NUMBER)


def _brief(value: object) -> str:
    text = {True: "true", False: "false"}.get(value, str(value)) if isinstance(value, bool) else str(value)
    return text if len(text) <= 40 else f"{text[:37]}..."


def texts_of(cells: SheetCells, needed: Iterable[str] = ()) -> dict[str, str]:
    """Column to text; the needed ones that nobody states are blank, so that their want is told."""
    return dict.fromkeys(needed, "") | {column: cell.text for column, cell in cells.items()}
