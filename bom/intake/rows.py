"""Rows of a CSV file with their line numbers, and cells read as the type that a column holds.

Everything wrong is collected in a ``Report`` with its file, line and column, so that one run names all of
it. A file is read in whatever way a spreadsheet program wrote it (``bom.intake.dialect``); what such a program broke is
named as such.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from pathlib import Path
from typing import Any, Generic, NamedTuple, TypeVar

from bom.intake.dialect import Signs, Top, encoding_of, plain, top_of
from bom.values.column import LARGEST, SMALLEST, Column, Holds, Words, closed, folded, made, nearest
from bom.values.problem import Problem, ProblemsFound, Refused
from bom.values.reading import PLAIN, HowRead, nothing

T = TypeVar("T")


class Taken(NamedTuple, Generic[T]):
    """What a reader took, and notes on what it was not told."""

    value: T
    notes: tuple[str, ...]


@dataclass(slots=True)
class Report:
    """Problems and notes as they are met; ``settle`` raises ``ProblemsFound`` with every problem there is.

    A column or key that nobody knows is a problem, unless a person names it to be left out (``leave_out``): a name
    that is then not met anywhere is a problem too. ``how`` says how spreadsheets of a shop's own are read, of which
    those in ``lists_asked`` were; a reading of any other list was told in vain, which is a problem too.
    """

    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    unmet: dict[str, Problem] = field(default_factory=dict)
    left_out: set[str] = field(default_factory=set)
    how: HowRead = PLAIN
    lists_asked: set[str] = field(default_factory=set)

    def wrong(self, file: str, line: int, column: str, expected: str, found: str = "") -> None:
        self.problems.append(Problem(file, line, column, expected, found))

    def note(self, text: str) -> None:
        self.notes.append(text)

    def leave_out(self, names: Iterable[str], file: str = "--leave-out", line: int = 0) -> Report:
        """Leave the columns and keys of these names out on purpose; ``file`` and ``line`` are where that is said."""
        for name in names:
            self.unmet[folded(name)] = Problem(file, line, "", "a column or key of your own that is there", name)
        return self

    def leaves(self, name: str) -> bool:
        """Whether the column or key of this name is left out on purpose."""
        if (word := folded(name)) in self.unmet:
            self.left_out.add(word)
        return word in self.left_out

    def settle(self) -> None:
        """Names to leave out that nothing had are only told where nothing else is wrong: a file may not be read yet."""
        unmet = [problem for word, problem in self.unmet.items() if word not in self.left_out]
        unmet += [
            Problem("--reading", 0, "", f"a reading of {' or '.join(sorted(self.lists_asked)) or 'none'}", one.of)
            for one in self.how.told
            if one.of not in self.lists_asked
        ]
        if problems := self.problems or unmet:
            raise ProblemsFound(list(dict.fromkeys(problems)))

    def taken(self, value: T) -> Taken[T]:
        """The value with the notes, or every problem raised at once."""
        self.settle()
        return Taken(value, tuple(self.notes))


@dataclass(frozen=True, slots=True)
class Row:
    """One record: the line it starts on, its cells by column, stripped of surrounding blanks, and the file (with its
    sheet) that it stands in. ``letters`` are those of each column in a spreadsheet; ``known_wrong`` columns have been
    told of already."""

    line: int
    cells: Mapping[str, str]
    file: str = ""
    letters: Mapping[str, str] = field(default_factory=nothing)
    known_wrong: frozenset[str] = frozenset()

    def problem(self, column: str, expected: str, found: str = "") -> Problem:
        """One thing wrong in this row, with its place."""
        cell = f"{self.letters[column]}{self.line}" if column in self.letters else ""
        return Problem(self.file, self.line, column, expected, found, cell)


def csv_rows(
    path: Path, required: Sequence[str], known: Collection[str] | Mapping[str, Column], report: Report
) -> tuple[Row, ...]:
    """The rows of a CSV file that could be read; what is wrong goes to ``report``.

    Where the known columns are described, their numbers come with a decimal point, however the file was written.
    """
    if (text := csv_text(path, report)) is None:
        return ()
    if not text.strip():
        report.wrong(path.name, 0, "", "a header row", "an empty file")
        return ()
    top = top_of(text, closed((*required, *known)))
    lines = records(path.name, text, top, report)
    first, header = next(lines, (1, []))
    columns = columns_of(path.name, first, header, required, known, report)
    rows = _whole_rows(path.name, columns, len(header) - len(columns), lines, report)
    return _with_points(path.name, top.separator, rows, numbers_among(known), report)


def numbers_among(known: Collection[str] | Mapping[str, Column]) -> frozenset[str]:
    """The columns that are described as numbers; none where nothing is described."""
    if not isinstance(known, Mapping):
        return frozenset()
    return frozenset(name for name, column in known.items() if column.holds in _NUMBERS)


_NUMBERS = (Holds.NUMBER, Holds.WHOLE, Holds.AMOUNT, Holds.MONEY)


def _with_points(
    name: str, separator: str, rows: tuple[Row, ...], numbers: Collection[str], report: Report
) -> tuple[Row, ...]:
    """The rows with a decimal point in every number; none where the file has both signs, which is one problem."""
    signs = Signs()
    for row in rows:
        for column, cell in row.cells.items():
            if column in numbers:
                signs.look(row.line, column, cell)
    marks = signs.decide(name, separator)
    if isinstance(marks, Problem):
        report.problems.append(marks)
        return ()
    if marks is None:
        return rows

    def with_points(cells: Mapping[str, str]) -> Mapping[str, str]:
        return {column: plain(text, marks) if column in numbers else text for column, text in cells.items()}

    return tuple(replace(row, cells=with_points(row.cells)) for row in rows)


def instead(path: Path, error: OSError) -> str:
    """What there is in the file's place, in words."""
    if isinstance(error, FileNotFoundError):
        return f"no file of this name in {path.absolute().parent}"
    if isinstance(error, IsADirectoryError):
        return f"a folder: {path}"
    return error.strerror or type(error).__name__


def bytes_of(path: Path, report: Report) -> bytes | None:
    """A file's bytes; None where it cannot be read."""
    try:
        return path.read_bytes()
    except OSError as error:
        report.wrong(path.name, 0, "", "a file that can be read", instead(path, error))
        return None


def text_of(path: Path, report: Report) -> str | None:
    """A file's text, UTF-8 with or without a byte order mark; None where it cannot be read."""
    if (data := bytes_of(path, report)) is None:
        return None
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        report.wrong(path.name, line, "", "UTF-8 text", f"byte 0x{data[error.start]:02X}")
        return None


def csv_text(path: Path, report: Report) -> str | None:
    """A CSV file's text in whatever encoding it was written; None where it cannot be read or nobody can tell."""
    if (data := bytes_of(path, report)) is None:
        return None
    encoding = encoding_of(path.name, data)
    if isinstance(encoding, Problem):
        report.problems.append(encoding)
        return None
    return data.decode(encoding)


def records(name: str, text: str, top: Top, report: Report) -> Iterator[tuple[int, list[str]]]:
    """(first line, cells) of every record that is not blank; quoting as in RFC 4180."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=top.separator, strict=True)
    line = 1
    try:
        for cells in reader:
            if line > top.lines and any(map(str.strip, cells)):
                yield line, [c.strip() for c in cells]
            line = reader.line_num + 1
    except csv.Error as error:
        report.wrong(name, line, "", "cells quoted so that every quote is closed", str(error))


def columns_of(
    name: str, line: int, header: Sequence[str], required: Sequence[str], known: Collection[str], report: Report
) -> tuple[str, ...]:
    """The header's columns by the names they have here; empty for one that is left out on purpose or is a note.

    Capitals, blanks and hyphens do not count. A column that is not known is a problem, with the nearest known name.
    """
    words = closed((*required, *known))
    named = _without_tail(header)
    columns = tuple(_column(name, line, cell, words, report) for cell in named)
    for column in dict.fromkeys(c for c in columns if c and columns.count(c) > 1):
        report.wrong(name, line, column, "each column once", "twice")
    meant_by = {nearest(c, words.words) for c in columns if c not in words.words}
    for column in required:
        if column not in columns and column not in meant_by:
            report.wrong(name, line, column, f"a column named {column}")
    return columns


def _without_tail(header: Sequence[str]) -> list[str]:
    """The header's cells without the empty ones that a spreadsheet program leaves at its end."""
    cells = list(header)
    while cells and not cells[-1]:
        cells.pop()
    return cells


def _column(name: str, line: int, cell: str, words: Words, report: Report) -> str:
    if cell and report.leaves(cell):
        return ""
    if word := words.meant(cell):
        return word
    if not cell:
        report.wrong(name, line, "", "a name for every column", "a column without one")
    elif not is_note(cell):
        hint = (
            f"a column that is read here{is_it(cell, words.words)}, or --leave-out {_quoted(cell)} for one of your own"
        )
        report.wrong(name, line, cell, hint, cell)
        return cell
    return ""


def is_it(name: str, known: Iterable[str]) -> str:
    """The known column or key that was likely meant, to end a sentence with; nothing where none is near."""
    near = nearest(name, known)
    return f" (is {near!r} meant?)" if near else ""


def is_note(name: str) -> bool:
    """Whether a column or key is free text for people by its name: one that begins with *note*."""
    return name.casefold().startswith("note")


def _quoted(name: str) -> str:
    return name if re.fullmatch(r"[\w.-]+", name) else f"'{name}'"


def _whole_rows(
    name: str, header: Sequence[str], tail: int, lines: Iterator[tuple[int, list[str]]], report: Report
) -> tuple[Row, ...]:
    """The rows that have as many cells as the header; those that have more are one problem, as they have one cause.

    ``tail`` cells without a name stood at the header's end, and may stand empty at a row's.
    """
    rows: list[Row] = []
    longer: list[tuple[int, int]] = []
    for line, cells in lines:
        if len(cells) == len(header) + tail and not any(cells[len(header) :]):
            cells = cells[: len(header)]
        if len(cells) == len(header):
            rows.append(Row(line, dict(zip(header, cells, strict=True)), name))
        elif len(cells) > len(header):
            longer.append((line, len(cells)))
        else:
            report.wrong(name, line, "", f"{len(header)} cells as in the header", str(len(cells)))
    if longer:
        report.wrong(name, longer[0][0], "", *too_long(len(header), longer[0][1], len(longer)))
    return tuple(rows)


def too_long(width: int, cells: int, rows: int = 1) -> tuple[str, str]:
    """What to say of rows with more cells than the header: what was expected, and what was found."""
    why = "a decimal comma makes two cells of one: write a point, or put ';' between cells"
    return f"{width} cells as in the header ({why})", f"{cells}" + (f", in {rows} rows" if rows > 1 else "")


_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d{1,3})?", re.ASCII)


def number_in(text: str) -> Decimal | None:
    """A number with a decimal point and of a likely size, or None."""
    if not _NUMBER.fullmatch(text):
        return None
    number = Decimal(text)
    return None if number and not SMALLEST <= number.copy_abs() <= LARGEST else number


class Cells:
    """One row's cells read by type. An empty cell is None (not stated); a wrong one is reported and None
    too."""

    __slots__ = ("report", "row")

    def __init__(self, row: Row, report: Report) -> None:
        self.row, self.report = row, report

    def wrong(self, column: str, expected: str, found: str = "") -> None:
        if column not in self.row.known_wrong:
            self.report.problems.append(self.row.problem(column, expected, found))

    def tell(self, problems: Iterable[Problem]) -> None:
        """Report what a check found wrong with this row, which knows the column but neither file nor line."""
        for p in problems:
            self.wrong(p.column, p.expected, p.found)

    def read(self, column: Column) -> Any:
        """What the cell of this column states, read as the column's own description says."""
        if column.needed:
            self.needed(column.name)
        try:
            return column.read(self.text(column.name))
        except Refused as refused:
            self.wrong(column.name, str(refused), self.text(column.name))
            return column.empty

    def values_of(self, known: Mapping[str, Column], *but: str) -> dict[str, Any]:
        """What the row states in each of these columns; ``but`` are read otherwise."""
        return {name: self.read(column) for name, column in known.items() if name not in but}

    def exact(self, column: Column) -> Decimal | None:
        """A number inside the description's bounds as it is written."""
        if (value := self.read(column)) is None:
            return None
        return number if (number := number_in(self.text(column.name))) is not None else Decimal(str(value))

    def made(self, kind: type[T]) -> T:
        """What the row states, each column read as its own description says (``bom.values.column``)."""
        problems: list[Problem] = []
        thing: T = made(kind, self.row.cells, problems)
        self.tell(problems)
        return thing

    def text(self, column: str) -> str:
        return self.row.cells.get(column, "")

    def needed(self, column: str) -> str:
        """Text that must be there."""
        if not (text := self.text(column)) and column in self.row.cells:
            self.wrong(column, "a value", "an empty cell")
        return text
