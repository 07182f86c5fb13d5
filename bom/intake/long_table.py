"""A long CSV file read line by line: its records one after the other, never the whole of it at once.

What is wrong goes to the ``Report`` in the same words as for a short file (``bom.intake.rows``), and the file may be
written in any of the ways that a short one may (``bom.intake.dialect``).
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from typing import BinaryIO

from bom.intake.dialect import LineDecoder, Signs, Top, has_quoted_comma, plain, top_of, wide_encoding
from bom.intake.price_lists.amounts import NumberMarks
from bom.intake.rows import Report, columns_of, instead, numbers_among, too_long
from bom.values.column import Column, closed
from bom.values.problem import Problem
from bom.values.reading import nothing

BytesTold = Callable[[int, int], None]
"""Hears how many bytes have been read, and how many there are."""

_TOLD_EVERY = 1 << 20  # bytes
Known = Collection[str] | Mapping[str, Column]


@dataclass(slots=True)
class LongTable:
    """One file. ``whole`` turns False where records were lost; ``line`` is that of the record given last."""

    path: Path
    report: Report
    told: BytesTold | None = None
    header: tuple[str, ...] = ()
    whole: bool = True
    line: int = 0
    letters: Mapping[str, str] = field(default_factory=nothing)
    known_wrong: frozenset[str] = frozenset()

    @property
    def file(self) -> str:
        """What problems name."""
        return self.path.name

    def anew(self) -> LongTable:
        """The same file to be gone through once more; what is wrong in it has been told."""
        return LongTable(self.path, Report())

    def records(self, required: Sequence[str], known: Known) -> Iterator[list[str]]:
        """Every record with as many cells as the header, which is checked first; cells may have blanks around them.

        Where the known columns are described, their numbers come with a decimal point, however the file was written.
        """
        try:
            yield from self._records(required, known)
        except OSError as error:
            self._lost(0, "a file that can be read", instead(self.path, error))

    def _records(self, required: Sequence[str], known: Known) -> Iterator[list[str]]:
        start = list(islice(self._lines(), 20))
        if not any(map(str.strip, start)):
            if self.whole:
                self._lost(0, "a header row", "an empty file")
            return
        top = top_of("".join(start), closed((*required, *known)))
        marks = self._marks(top, known)
        reader = csv.reader(self._lines(self.told), delimiter=top.separator, strict=True)
        try:
            tail = self._read_header(islice(reader, top.lines, None), required, known)
            if not isinstance(marks, Problem):
                rows = self._rows(reader, tail)
                yield from self._with_points(rows, marks, numbers_among(known)) if marks else rows
        except csv.Error as error:
            self._lost(reader.line_num, "cells quoted so that every quote is closed", str(error))

    def _lines(self, told: BytesTold | None = None) -> Iterator[str]:
        """Decoded lines; stops, with a problem, at what is no text."""
        with self.path.open("rb") as file:
            wide = wide_encoding(file.read(4096))
            file.seek(0)
            if not wide:
                yield from self._decoded(file, told)
                return
        try:
            with self.path.open(encoding=wide, newline="") as text:
                yield from text
        except UnicodeError:
            self._lost(0, "text in UTF-8", "a file that is no text")

    def _decoded(self, file: BinaryIO, told: BytesTold | None) -> Iterator[str]:
        size, done, due = self.path.stat().st_size, 0, _TOLD_EVERY
        decoded = LineDecoder(self.path.name)
        for number, raw in enumerate(file, 1):
            line = decoded(number, raw)
            if isinstance(line, Problem):
                self._tell(line)
                return
            yield line
            done += len(raw)
            if done >= due and told:
                due = done + _TOLD_EVERY
                told(done, size)

    def _marks(self, top: Top, known: Known) -> NumberMarks | Problem | None:
        """The file's decimal sign, for which it is read once before, unless its commas all stand between cells."""
        numbers = numbers_among(known)
        if not numbers or (top.separator == "," and not has_quoted_comma(self.path)):
            return None
        signs, words = Signs(), closed(known)
        reader = csv.reader(self._lines(), delimiter=top.separator)
        rows = (cells for cells in islice(reader, top.lines, None) if any(cells))
        header = [words.meant(cell.strip()) or "" for cell in next(rows, [])]
        places = [(place, column) for place, column in enumerate(header) if column in numbers]
        for cells in rows:
            for place, column in places:
                if place < len(cells):
                    signs.look(reader.line_num, column, cells[place].strip())
        marks = signs.decide(self.path.name, top.separator)
        if isinstance(marks, Problem):
            self._tell(marks)
        return marks

    def _with_points(
        self, rows: Iterator[list[str]], marks: NumberMarks, numbers: Collection[str]
    ) -> Iterator[list[str]]:
        places = [place for place, column in enumerate(self.header) if column in numbers]
        for cells in rows:
            for place in places:
                cells[place] = plain(cells[place].strip(), marks)
            yield cells

    def _read_header(self, reader: Iterator[list[str]], required: Sequence[str], known: Known) -> int:
        """Read the header; how many cells without a name stand at its end."""
        header = next((cells for cells in reader if any(map(str.strip, cells))), [])
        before = len(self.report.problems)
        columns = columns_of(self.path.name, 1, [c.strip() for c in header], required, known, self.report)
        self.whole = self.whole and len(self.report.problems) == before
        self.header = columns
        return len(header) - len(columns)

    def _rows(self, reader: csv.reader, tail: int) -> Iterator[list[str]]:  # type: ignore[valid-type]  # a type when checked
        width = len(self.header)
        next_line = reader.line_num + 1  # type: ignore[attr-defined]
        longer: list[tuple[int, int]] = []
        for cells in reader:  # type: ignore[attr-defined]
            self.line, next_line = next_line, reader.line_num + 1  # type: ignore[attr-defined]
            if len(cells) == width:
                if any(cells):
                    yield cells
            elif not any(map(str.strip, cells)):
                continue
            elif len(cells) == width + tail and not any(map(str.strip, cells[width:])):
                yield cells[:width]
            elif len(cells) > width:
                longer.append((self.line, len(cells)))
            else:
                self._lost(self.line, f"{width} cells as in the header", str(len(cells)))
        if longer:
            self._lost(longer[0][0], *too_long(width, longer[0][1], len(longer)))

    def _lost(self, line: int, expected: str, found: str) -> None:
        self._tell(Problem(self.path.name, line, "", expected, found))

    def _tell(self, problem: Problem) -> None:
        self.whole = False
        self.report.problems.append(problem)
