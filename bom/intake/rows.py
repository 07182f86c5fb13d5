"""Rows of a CSV file with their line numbers, and cells read as the type that a column holds.

Everything wrong is collected in a ``Report`` with its file, line and column, so that one run names all of
it. What a spreadsheet program breaks when it saves a CSV (separators, decimal signs, part numbers) is named as such.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from difflib import get_close_matches
from enum import StrEnum
from math import isfinite
from pathlib import Path
from typing import Generic, NamedTuple, TypeVar

from bom.values.part_number import damage
from bom.values.problem import Problem, ProblemsFound

T = TypeVar("T")
E = TypeVar("E", bound=StrEnum)


class Taken(NamedTuple, Generic[T]):
    """What a reader took, and notes on what it left out (unknown columns and keys)."""

    value: T
    notes: tuple[str, ...]


@dataclass(slots=True)
class Report:
    """Problems and notes as they are met; ``settle`` raises ``ProblemsFound`` with every problem there is."""

    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def wrong(self, file: str, line: int, column: str, expected: str, found: str = "") -> None:
        self.problems.append(Problem(file, line, column, expected, found))

    def note(self, text: str) -> None:
        self.notes.append(text)

    def settle(self) -> None:
        if self.problems:
            raise ProblemsFound(self.problems)

    def taken(self, value: T) -> Taken[T]:
        """The value with the notes, or every problem raised at once."""
        self.settle()
        return Taken(value, tuple(self.notes))


@dataclass(frozen=True, slots=True)
class Row:
    """One record: the line it starts on and its cells by column, stripped of surrounding blanks."""

    line: int
    cells: Mapping[str, str]


def rows_of(path: Path, required: Sequence[str], known: Sequence[str], report: Report) -> tuple[Row, ...]:
    """The rows that could be read; what is wrong goes to ``report``."""
    if (text := text_of(path, report)) is None:
        return ()
    if not text.strip():
        report.wrong(path.name, 0, "", "a header row", "an empty file")
        return ()
    delimiter = delimiter_of(path.name, text, (*required, *known), report)
    return _table(path.name, records(path.name, text, delimiter, report), required, known, report)


def instead(path: Path, error: OSError) -> str:
    """What there is in the file's place, in words."""
    if isinstance(error, FileNotFoundError):
        return f"no file of this name in {path.absolute().parent}"
    if isinstance(error, IsADirectoryError):
        return f"a folder: {path}"
    return error.strerror or type(error).__name__


def text_of(path: Path, report: Report) -> str | None:
    """A file's text, UTF-8 with or without a byte order mark; None where it cannot be read."""
    try:
        data = path.read_bytes()
    except OSError as error:
        report.wrong(path.name, 0, "", "a file that can be read", instead(path, error))
        return None
    return _decoded(path.name, data, report)


def _decoded(name: str, data: bytes, report: Report) -> str | None:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff") or b"\0" in data:
        report.wrong(name, 0, "", "UTF-8 text", "UTF-16 or a file that is no text")
        return None
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        report.wrong(name, line, "", NOT_UTF8, f"byte 0x{data[error.start]:02X}")
        return None


NOT_UTF8 = "UTF-8 text (a spreadsheet program may have saved it in a Windows code page: save as 'CSV UTF-8')"


def records(name: str, text: str, delimiter: str, report: Report) -> Iterator[tuple[int, list[str]]]:
    """(first line, cells) of every record that is not blank; quoting as in RFC 4180."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    line = 1
    try:
        for cells in reader:
            if any(map(str.strip, cells)):
                yield line, [c.strip() for c in cells]
            line = reader.line_num + 1
    except csv.Error as error:
        report.wrong(name, line, "", "cells quoted so that every quote is closed", str(error))


def delimiter_of(name: str, text: str, known: Iterable[str], report: Report) -> str:
    """Comma, or what a spreadsheet program put in its place (which is reported, and read on with)."""
    header = next(line for line in text.splitlines() if line.strip())
    wanted = set(known)
    score = {mark: len(wanted & {c.strip(' "') for c in header.split(mark)}) for mark in ",;\t"}
    best = max(score, key=lambda mark: score[mark])
    if best == "," or score[best] == score[","] or score[best] < 2:
        return ","
    found = "a tab" if best == "\t" else best
    report.wrong(
        name,
        1,
        "",
        "cells separated by ',' (a spreadsheet program saved it for a comma-decimal locale)",
        found,
    )
    return best


def _table(
    name: str,
    lines: Iterator[tuple[int, list[str]]],
    required: Sequence[str],
    known: Sequence[str],
    report: Report,
) -> tuple[Row, ...]:
    first, header = next(lines, (1, []))
    while header and not header[-1]:
        header.pop()
    check_header(name, first, header, required, known, report)
    return tuple(row for line, cells in lines if (row := _row(name, line, header, cells, report)))


def check_header(
    name: str, line: int, header: Sequence[str], required: Sequence[str], known: Sequence[str], report: Report
) -> None:
    for column in required:
        if column not in header:
            report.wrong(name, line, column, f"a column named {column}")
    for column in dict.fromkeys(c for c in header if header.count(c) > 1):
        report.wrong(name, line, column, "each column once", "twice" if column else "columns without a name")
    for column in dict.fromkeys(header):
        if column and column not in known and column not in required:
            report.note(f"{name}:{line}: unknown column {column!r} left out{_nearest(column, known)}")


def _nearest(word: str, known: Iterable[str]) -> str:
    near = get_close_matches(word, list(known), 1, 0.8)
    return f" (is {near[0]!r} meant?)" if near else ""


def _row(name: str, line: int, header: list[str], cells: list[str], report: Report) -> Row | None:
    while len(cells) > len(header) and not cells[-1]:
        cells.pop()
    if len(cells) == len(header):
        return Row(line, dict(zip(header, cells, strict=True)))
    report.wrong(name, line, "", f"{len(header)} cells as in the header{why_ragged(header, cells)}", str(len(cells)))
    return None


def why_ragged(header: Sequence[str], cells: Sequence[str]) -> str:
    return " (a decimal comma makes two cells of one)" if len(cells) > len(header) else ""


_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?", re.ASCII)
_COMMA_NUMBER = re.compile(r"[+-]?\d+,\d+")
_NUMBER_WORDS = "a number with a decimal point"
_COMMA_WORDS = "a number with a decimal point (a spreadsheet program in a comma-decimal locale likely saved it)"
_YES, _NO = ("yes", "true", "1"), ("no", "false", "0", "")


def number_in(text: str) -> Decimal | None:
    """A finite number with a decimal point, or None."""
    if not _NUMBER.fullmatch(text) or not isfinite(float(text)):
        return None
    return Decimal(text)


class Cells:
    """One row's cells read by type. An empty cell is None (not stated); a wrong one is reported and None
    too."""

    __slots__ = ("file", "report", "row")

    def __init__(self, file: str, row: Row, report: Report) -> None:
        self.file, self.row, self.report = file, row, report

    def wrong(self, column: str, expected: str, found: str = "") -> None:
        self.report.wrong(self.file, self.row.line, column, expected, found)

    def text(self, column: str) -> str:
        return self.row.cells.get(column, "")

    def needed(self, column: str) -> str:
        """Text that must be there."""
        if not (text := self.text(column)) and column in self.row.cells:
            self.wrong(column, "a value", "an empty cell")
        return text

    def part_number(self, column: str) -> str:
        """A part number that must be there, and that no spreadsheet program has turned into something
        else."""
        text = self.needed(column)
        if what := damage(text):
            self.wrong(column, f"a part number (a spreadsheet program turned it into {what})", text)
        return text

    def decimal(self, column: str) -> Decimal | None:
        if not (text := self.text(column)):
            return None
        if (number := number_in(text)) is None:
            self.wrong(column, _COMMA_WORDS if _COMMA_NUMBER.fullmatch(text) else _NUMBER_WORDS, text)
        return number

    def number(self, column: str) -> float | None:
        found = self.decimal(column)
        return None if found is None else float(found)

    def positive(self, column: str) -> float | None:
        """A number above zero."""
        if (found := self.number(column)) is not None and found <= 0:
            self.wrong(column, "a number above 0", self.text(column))
            return None
        return found

    def not_negative(self, column: str) -> float | None:
        if (found := self.number(column)) is not None and found < 0:
            self.wrong(column, "a number not below 0", self.text(column))
            return None
        return found

    def needed_number(self, column: str) -> float:
        """A number that must be there; 0 stands in where it is not, with the problem reported."""
        self.needed(column)
        return self.number(column) or 0.0

    def choice(self, column: str, kind: type[E]) -> E | None:
        """One of the texts of an enumeration, spelt exactly."""
        if not (text := self.text(column)):
            return None
        if text not in {k.value for k in kind}:
            self.wrong(column, "one of: " + " | ".join(kind), text)
            return None
        return kind(text)

    def one_of(self, column: str, words: Sequence[str]) -> str:
        """One of these words, and it must be there."""
        text = self.needed(column)
        if text and text not in words:
            self.wrong(column, "one of: " + " | ".join(words), text)
        return text

    def flag(self, column: str) -> bool:
        """yes or no; empty is no."""
        text = self.text(column).lower()
        if text not in _YES + _NO:
            self.wrong(column, "yes or no", text)
        return text in _YES
