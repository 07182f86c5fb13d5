"""A price list as it comes: its encoding, line ends and delimiter, where its header stands, and what is wrong in it.

A list is read in pieces and may be read again, so that a long one never lies in memory as a whole. Quoting is as in
RFC 4180; a byte order mark outranks the configured encoding. A list of 200 000 lines with one wrong habit has 200 000
wrong cells: the first few of each kind are told by line, the rest are counted.
"""

from __future__ import annotations

import codecs
import csv
import io
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from typing import IO, NamedTuple, Protocol

from bom.values.problem import Problem, Refused

MOST_BYTES = 50 * 1024 * 1024
"""The longest list that is read, as it lies there without compression. Our own choice, far above any bench's list."""

_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_ZEROS = "zero bytes, as in UTF-16 without its mark: try encoding = utf-16-le"
DELIMITERS = {",": "a comma", ";": "a semicolon", "\t": "a tab", "|": "a vertical bar"}
# How files begin that are no text, or another text (their formats' own definitions, from memory).
_BEGINNINGS = (
    (b"PK\x03\x04", "a spreadsheet or zip file"),
    (b"\xd0\xcf\x11\xe0", "an old spreadsheet file"),
    (b"%PDF", "a PDF"),
    (b"\x1f\x8b", "a compressed file"),
    (b"<", "a web page"),
    (b"{", "JSON"),
)
# Some lists begin with a letterhead; beyond this many rows no header is looked for. Our own choice.
HEADER_WITHIN = 50


@dataclass(frozen=True, slots=True)
class ListSource:
    """A price list as it lies there: what people call it, and how it is opened (it may be opened again)."""

    name: str
    opened: Callable[[], IO[bytes]]


def source_of_bytes(name: str, data: bytes) -> ListSource:
    return ListSource(name, lambda: io.BytesIO(data))


def source_of_file(path: Path) -> ListSource:
    """A list on this machine; raises Refused where there is none or it is longer than ``MOST_BYTES``."""
    if not path.is_file():
        raise Refused(f"there is no file {path}")
    if path.stat().st_size > MOST_BYTES:
        raise Refused(f"{path} is larger than {MOST_BYTES // 1024**2} MB")
    return ListSource(path.name, lambda: path.open("rb"))


def other_kind(start: bytes) -> str:
    """What a file that begins so is instead of a CSV, such as *a web page*; empty where it may well be one."""
    text = start.removeprefix(codecs.BOM_UTF8).lstrip()
    return next((what for beginning, what in _BEGINNINGS if text.startswith(beginning)), "")


class ListRows(Protocol):
    """A list whose headings are found, in whatever kind of file: where each stands, and the rows below as texts."""

    @property
    def header(self) -> tuple[str, ...]:
        """The headings as they are compared."""

    @property
    def line(self) -> int:
        """Where they stand."""

    def place(self, name: str) -> int:
        """Which cell of a row stands under this heading; -1 where the list has none."""

    def rows(self, report: ListReport) -> Iterator[tuple[int, list[str]]]:
        """(line, cells) of every row that is not blank; the cell at place -1 is empty."""


class Dialect(NamedTuple):
    """How a list is written: its encoding and delimiter ("" = not stated, the header decides)."""

    encoding: str
    delimiter: str


@dataclass(frozen=True, slots=True)
class ListTable:
    """A list whose header is found: its cells, the line it stands on, and its first cell as it is written."""

    source: ListSource
    dialect: Dialect
    header: tuple[str, ...]
    line: int
    written: str

    def place(self, name: str) -> int:
        """Which cell of a row stands under this heading; -1 where the list has none."""
        folded = heading(name)
        return self.header.index(folded) if name and folded in self.header else -1

    def rows(self, report: ListReport) -> Iterator[tuple[int, list[str]]]:
        """(first line, cells) of every row under the header that is not blank: a cell for each heading and one empty.

        Cells beyond the header are a slipped row and a problem; missing ones at the end are empty. The empty cell at
        the end is what stands at place -1, so that a column the list has not reads as empty.
        """
        width, shorter = len(self.header), 0
        last = (0, width)
        for line, cells in _records(self.source, self.dialect, report, self.line):
            if len(cells) != width:
                shorter += len(cells) < width
                last = line, len(cells)
                if any(map(str.strip, cells[width:])):
                    _slipped(report, line, width, cells)
                    continue
                cells = [*cells[:width], *[""] * (width - len(cells))]
            elif cells[0] == self.written and tuple(map(heading, cells)) == self.header:
                report.note(line, "the header", "stands here again; left out")
                continue
            cells.append("")
            yield line, cells
        # One cell alone is a footer; a row with several, the only short one, at an end without a line end, is a cut.
        if shorter == 1 and 1 < last[1] < width and _is_cut_off(self.source, self.dialect, last[0]):
            report.wrong(last[0], "", f"{width} cells as in every other row; the list breaks off here", f"{last[1]}")


def heading(text: str) -> str:
    """A heading as it is compared: without capitals, and with one blank for blanks and line ends."""
    return " ".join(text.split()).casefold()


def open_table(
    source: ListSource, configured: Dialect, headings: Sequence[str], report: ListReport
) -> ListTable | None:
    """The list under its header; None with the reasons in ``report`` where it cannot be read."""
    if (encoding := _encoding(source, configured.encoding, report)) is None:
        return None
    wanted = {heading(h): h for h in headings}
    tried = [configured.delimiter] if configured.delimiter else list(DELIMITERS)
    found = max((_header(source, Dialect(encoding, d), set(wanted)) for d in tried), key=lambda f: f.known)
    if found.known < len(wanted) and configured.delimiter and _is_another(source, found, wanted, report):
        return None
    if not any(found.header):
        report.wrong(0, "", "a header row", "an empty file")
        return None
    table = ListTable(source, found.dialect, found.header, found.line, found.written)
    return table if has_headings(table, wanted, report) else None


class _Found(NamedTuple):
    dialect: Dialect
    header: tuple[str, ...]
    line: int
    written: str
    known: int


def _header(source: ListSource, dialect: Dialect, wanted: set[str]) -> _Found:
    """The row near the top that holds most of the wanted headings; the first such row."""
    best = _Found(dialect, (), 0, "", -1)
    for line, cells in islice(_records(source, dialect, ListReport(source.name)), HEADER_WITHIN):
        header = tuple(map(heading, cells))
        if (known := len(wanted & set(header))) > best.known:
            best = _Found(dialect, header, line, cells[0], known)
    return best


def _is_another(source: ListSource, found: _Found, wanted: dict[str, str], report: ListReport) -> bool:
    """Whether the list is separated by something else than configured, which is one problem and not one a column."""
    for mark in DELIMITERS:
        if mark != found.dialect.delimiter:
            other = _header(source, Dialect(found.dialect.encoding, mark), set(wanted))
            if other.known == len(wanted):
                asked = DELIMITERS.get(found.dialect.delimiter, repr(found.dialect.delimiter))
                report.wrong(other.line, "", f"cells separated by {asked}, as configured", DELIMITERS[mark])
                return True
    return False


def has_headings(table: ListRows, wanted: dict[str, str], report: ListReport) -> bool:
    """Whether every heading that is wanted (as it is compared, to as it is configured) stands there, and once."""
    shown = ", ".join(table.header)[:120]
    missing = [name for folded, name in wanted.items() if folded not in table.header]
    if len(missing) == len(wanted) > 1:
        report.wrong(table.line, "", f"a header row with the columns configured ({', '.join(missing)})", shown)
        return False
    for name in missing:
        report.wrong(table.line, name, f"a column named {name}, as configured; there are: {shown}")
    twice = [name for folded, name in wanted.items() if table.header.count(folded) > 1]
    for name in twice:
        report.wrong(table.line, name, "each column once", "twice")
    return not missing and not twice


def _encoding(source: ListSource, configured: str, report: ListReport) -> str | None:
    """By the list's byte order mark where it has one, else as configured; None where its bytes are not that."""
    with source.opened() as file:
        start = file.read(200)
        if what := other_kind(start):
            report.wrong(0, "", "a price list in a spreadsheet or CSV", what)
            return None
        encoding = next((e for mark, e in _MARKS if start.startswith(mark)), configured)
        file.seek(0)
        return encoding if _can_be_read(file, encoding, report) else None


def _can_be_read(file: IO[bytes], encoding: str, report: ListReport) -> bool:
    """Whether every byte is text in this encoding; the first line where one is not is told."""
    decoder, line = codecs.getincrementaldecoder(encoding)(), 1
    try:
        while piece := file.read(1 << 16):
            if "\0" in decoder.decode(piece):
                report.wrong(0, "", f"text in {encoding}", _ZEROS)
                return False
            line += piece.count(b"\n")
        decoder.decode(b"", final=True)
    except UnicodeError as error:
        start = getattr(error, "start", 0)
        bad = getattr(error, "object", b"")
        if b"\0" in bad:
            report.wrong(0, "", f"text in {encoding}", _ZEROS)
            return False
        report.wrong(
            line + bad[:start].count(b"\n"),
            "",
            f"text in {encoding} (the list's own encoding, such as cp1252, is set by encoding in [feed])",
            f"byte 0x{bad[start]:02X}" if start < len(bad) else "a list that breaks off",
        )
        return False
    return True


def _records(
    source: ListSource, dialect: Dialect, report: ListReport, below: int = 0
) -> Iterator[tuple[int, list[str]]]:
    """(first line, cells) of every record below a line that is not blank."""
    line = 1
    with io.TextIOWrapper(source.opened(), encoding=dialect.encoding, newline="") as text:
        reader = csv.reader(text, delimiter=dialect.delimiter, strict=True)
        try:
            for cells in reader:
                if line > below and cells and (cells[0] or any(map(str.strip, cells))) and cells != ["\x1a"]:
                    yield line, cells
                line = reader.line_num + 1
        except csv.Error as error:
            report.wrong(line, "", "cells quoted so that every quote is closed", str(error))


def _slipped(report: ListReport, line: int, width: int, cells: list[str]) -> None:
    hint = " (a decimal comma makes two cells of one)" if len(cells) > width else ""
    report.wrong(line, "", f"{width} cells as in the header{hint}", str(len(cells)))


def _is_cut_off(source: ListSource, dialect: Dialect, line: int) -> bool:
    """Whether this short row is the last, and the file ends without a line end: it was not sent whole."""
    with io.TextIOWrapper(source.opened(), encoding=dialect.encoding, newline="") as text:
        number, last = deque(enumerate(text, 1), maxlen=1).pop()
    return number == line and not last.endswith(("\n", "\r"))


SHOWN = 5
"""How many cells wrong in the same way are told one by one. Our own choice."""
NAMED_ON_REQUEST = 100
"""How many of the parts without a price are named. Our own choice."""
_KINDS = 100  # how many kinds of note are kept apart; the words in cells could be endless


@dataclass(slots=True)
class _Wrong:
    """Cells of one column that are wrong in one way."""

    first: list[Problem]
    more: int = 0
    last: int = 0


@dataclass(slots=True)
class _Note:
    """Rows of which the same is to be told."""

    line: int
    what: str
    more: int = 0
    last: int = 0


@dataclass(slots=True)
class ListReport:
    """Problems and notes of one list, named by ``name``, each with its line."""

    name: str
    wrongs: dict[tuple[str, str], _Wrong] = field(default_factory=dict)
    told: dict[str, _Note] = field(default_factory=dict)
    on_request: int = 0
    named_on_request: list[str] = field(default_factory=list)

    def wrong(self, line: int, column: str, expected: str, found: str = "") -> None:
        """One thing wrong; line 0 means the whole list."""
        kind = self.wrongs.setdefault((column, expected), _Wrong([]))
        kind.last = max(kind.last, line)  # scattered rows are met last, wherever they stand
        if len(kind.first) < SHOWN:
            kind.first.append(Problem(self.name, line, column, expected, found[:80]))
        else:
            kind.more += 1

    def note(self, line: int, what: str, said: str) -> None:
        """``what`` is the part or cell, ``said`` is what many rows may share."""
        said = said if said in self.told or len(self.told) < _KINDS else "and other cells that say no number"
        if (known := self.told.get(said)) is None:
            self.told[said] = _Note(line, what)
        else:
            known.more, known.last = known.more + 1, max(known.last, line)

    def has_no_price(self, line: int, part: str) -> None:
        """One part that must be asked for; all are counted, as many as a person reads are named."""
        self.note(line, part, "has no price (on request); left out")
        self.on_request += 1
        if len(self.named_on_request) < NAMED_ON_REQUEST:
            self.named_on_request.append(part)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """By line; the ones counted only follow as one problem a kind."""
        first = sorted((p for w in self.wrongs.values() for p in w.first), key=lambda p: p.line)
        rest = [
            Problem(self.name, 0, column, f"{expected} (also in {w.more} more, the last on line {w.last})")
            for (column, expected), w in self.wrongs.items()
            if w.more
        ]
        return (*first, *rest)

    @property
    def notes(self) -> tuple[str, ...]:
        return tuple(f"{self.name}:{n.line}: {n.what} {said}{_others(n)}" for said, n in self.told.items())


def _others(note: _Note) -> str:
    if not note.more:
        return ""
    rows = "1 more row" if note.more == 1 else f"{note.more} more rows, the last"
    return f" (and so {rows} on line {note.last})"
