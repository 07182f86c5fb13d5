"""A long CSV file read line by line: its records one after the other, never the whole of it at once.

What is wrong goes to the ``Report`` in the same words as for a short file (``bom.intake.rows``).
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import BinaryIO

from bom.intake.rows import NOT_UTF8, Report, columns_of, delimiter_of, instead, why_ragged

Told = Callable[[int, int], None]
"""Hears how many bytes have been read, and how many there are."""

_TOLD_EVERY = 1 << 20  # bytes


@dataclass(slots=True)
class LongTable:
    """One open file. ``whole`` turns False where records were lost; ``line`` is that of the record given last."""

    path: Path
    report: Report
    told: Told | None = None
    header: tuple[str, ...] = ()
    whole: bool = True
    line: int = 0

    def records(self, required: Sequence[str], known: Sequence[str]) -> Iterator[list[str]]:
        """Every record with as many cells as the header, which is checked first; cells may have blanks around them."""
        try:
            with self.path.open("rb") as file:
                yield from self._records(file, required, known)
        except OSError as error:
            self._lost(0, "a file that can be read", instead(self.path, error))

    def _records(self, file: BinaryIO, required: Sequence[str], known: Sequence[str]) -> Iterator[list[str]]:
        head = next((line for line in self._start(file) if line.strip()), "")
        if not head:
            if self.whole:
                self._lost(0, "a header row", "an empty file")
            return
        mark = delimiter_of(self.path.name, head, (*required, *known), self.report)
        file.seek(0)
        reader = csv.reader(self._lines(file), delimiter=mark, strict=True)
        try:
            self._read_header(reader, required, known)
            yield from self._rows(reader)
        except csv.Error as error:
            self._lost(reader.line_num, "cells quoted so that every quote is closed", str(error))

    def _start(self, file: BinaryIO) -> list[str]:
        return list(islice(self._lines(file), 20))

    def _lines(self, file: BinaryIO) -> Iterator[str]:
        """Decoded lines; stops, with a problem, at what is no UTF-8 text."""
        size, done, due = self.path.stat().st_size, 0, _TOLD_EVERY
        for number, raw in enumerate(file, 1):
            try:
                yield (raw.removeprefix(b"\xef\xbb\xbf") if number == 1 else raw).decode()
            except UnicodeDecodeError as error:
                return self._not_text(number, raw, error)
            done += len(raw)
            if done >= due and self.told:
                due = done + _TOLD_EVERY
                self.told(done, size)
        return None

    def _not_text(self, number: int, raw: bytes, error: UnicodeDecodeError) -> None:
        if number == 1 and raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
            self._lost(0, "UTF-8 text", "UTF-16 or a file that is no text")
        else:
            self._lost(number, NOT_UTF8, f"byte 0x{raw[error.start]:02X}")

    def _read_header(self, reader: Iterator[list[str]], required: Sequence[str], known: Sequence[str]) -> None:
        header = next((cells for cells in reader if any(map(str.strip, cells))), [])
        before = len(self.report.problems)
        columns = columns_of(self.path.name, 1, [c.strip() for c in header], required, known, self.report)
        self.whole = self.whole and len(self.report.problems) == before
        self.header = columns

    def _rows(self, reader: csv.reader) -> Iterator[list[str]]:  # type: ignore[valid-type]  # a type when checked
        width = len(self.header)
        next_line = reader.line_num + 1  # type: ignore[attr-defined]
        for cells in reader:  # type: ignore[attr-defined]
            self.line, next_line = next_line, reader.line_num + 1  # type: ignore[attr-defined]
            if len(cells) == width:
                if any(cells):
                    yield cells
            elif any(map(str.strip, cells)) and (mended := self._mended(cells, width)):
                yield mended

    def _mended(self, cells: list[str], width: int) -> list[str] | None:
        while len(cells) > width and not cells[-1].strip():
            cells.pop()
        if len(cells) == width:
            return cells
        self._lost(self.line, f"{width} cells as in the header{why_ragged(self.header, cells)}", str(len(cells)))
        return None

    def _lost(self, line: int, expected: str, found: str) -> None:
        self.whole = False
        self.report.wrong(self.path.name, line, "", expected, found)
