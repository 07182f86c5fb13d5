"""How a CSV file was written: its encoding, what stands between its cells, and its decimal sign.

A spreadsheet program writes all three as its machine's language has them. They are decided once for the whole file,
from what it holds; a file that contradicts itself is one problem, which names the cure. Where no cell decides, the
decimal sign is the point, and the comma in a file with semicolons.
"""

from __future__ import annotations

import codecs
import csv
import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from bom.intake.price_lists.amounts import NumberMarks, amount_in, evident
from bom.values.column import Words
from bom.values.problem import Problem

SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "vertical bars"}

_UTF_16 = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_MANY_BYTES = re.compile(rb"[\xc2-\xf4][\x80-\xbf]+")
_CURE = "save it again as 'CSV UTF-8'"
_NAMED = re.compile(r"\s*sep=(.)\s*", re.IGNORECASE)


def encoding_of(name: str, data: bytes) -> str | Problem:
    """UTF-8 or UTF-16 by their marks or by what the bytes are, else the Western Windows code page (cp1252)."""
    if wide := wide_encoding(data):
        return _if_read(name, data, wide)
    try:
        data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        return _windows(name, data, error.start)
    return "utf-8-sig"


def _if_read(name: str, data: bytes, encoding: str) -> str | Problem:
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError:
        text = "\0"
    return Problem(name, 0, "", f"text in UTF-8 ({_CURE})", "a file that is no text") if "\0" in text else encoding


def _windows(name: str, data: bytes, at: int) -> str | Problem:
    """cp1252, unless some of the bytes are no letters there, or others are UTF-8: then nobody knows which are which."""
    line = data.count(b"\n", 0, at) + 1
    byte = f"byte 0x{data[at]:02X}"
    if utf_8 := _MANY_BYTES.search(data):
        also = data.count(b"\n", 0, utf_8.start()) + 1
        return Problem(name, line, "", f"one encoding; line {also} is UTF-8 and this one is not ({_CURE})", byte)
    try:
        data.decode("cp1252")
    except UnicodeDecodeError:
        return Problem(name, line, "", f"text in UTF-8 or in the Windows code page cp1252 ({_CURE})", byte)
    return "cp1252"


def wide_encoding(start: bytes) -> str:
    """UTF-16, marked or not, by how a file begins; empty for any other."""
    if start.startswith(_UTF_16):
        return "utf-16"
    return {-1: "", 0: "utf-16-be"}.get(start.find(b"\0"), "utf-16-le")


@dataclass(slots=True)
class LineDecoder:
    """Decodes a file line by line: UTF-8, or cp1252 from the first line that is not, where all before was ASCII."""

    name: str
    encoding: str = "utf-8"
    only_ascii: bool = True

    def __call__(self, number: int, raw: bytes) -> str | Problem:
        """The line's text; a Problem where its bytes are neither, or not what the lines before were."""
        if raw.isascii():
            return raw.decode()
        if number == 1:
            raw = raw.removeprefix(codecs.BOM_UTF8)
        try:
            text = raw.decode(self.encoding)
        except UnicodeDecodeError as error:
            return self._as_windows(number, raw, error)
        if self.encoding != "utf-8" and _MANY_BYTES.search(raw):
            return Problem(self.name, number, "", f"one encoding; this line is UTF-8, one before is not ({_CURE})")
        self.only_ascii = False
        return text

    def _as_windows(self, number: int, raw: bytes, error: UnicodeDecodeError) -> str | Problem:
        byte = f"byte 0x{raw[error.start]:02X}"
        if not self.only_ascii:
            return Problem(self.name, number, "", f"one encoding; this line is not UTF-8 as before ({_CURE})", byte)
        self.encoding, self.only_ascii = "cp1252", False
        try:
            return raw.decode(self.encoding)
        except UnicodeDecodeError:
            expected = f"text in UTF-8 or in the Windows code page cp1252 ({_CURE})"
            return Problem(self.name, number, "", expected, byte)


_QUOTED_COMMA = re.compile(rb'"[^"\n]{0,12},\d')


def has_quoted_comma(path: Path) -> bool:
    """Whether a comma that stands before a digit is inside quotes anywhere, as in ``"7,5"``: it may be decimal."""
    with path.open("rb") as file:
        return any(b'"' in piece and _QUOTED_COMMA.search(piece) for piece in iter(lambda: file.read(1 << 20), b""))


class Top(NamedTuple):
    """What the first lines of a file say: what stands between cells, and how many lines come before the header."""

    separator: str
    lines: int


def top_of(text: str, known: Words) -> Top:
    """By a first line such as ``sep=;``, else by what parts the header into the most columns that are known."""
    lines = text.splitlines()
    if lines and (named := _NAMED.fullmatch(lines[0])):
        return Top(named[1], 1)
    header = next((line for line in lines if line.strip()), "")
    found = {mark: _known_in(header, mark, known) for mark in SEPARATORS}
    best = max(found, key=lambda mark: found[mark])
    return Top(best if found[best] > max(1, found[","]) else ",", 0)


def _known_in(header: str, mark: str, known: Words) -> int:
    try:
        cells = next(csv.reader([header], delimiter=mark), [])
    except csv.Error:
        return 0
    return len({word for cell in cells if (word := known.meant(cell.strip()))})


class _Seen(NamedTuple):
    line: int
    column: str
    cell: str


@dataclass(slots=True)
class Signs:
    """What a file's number cells show of its decimal sign: how many show each for certain, and where the first does.

    Numbers with their unit, as in ``7,5 mm``, were typed by hand: they are counted apart, and may differ.
    """

    counted: dict[str, int] = field(default_factory=lambda: {".": 0, ",": 0})
    typed: set[str] = field(default_factory=set)
    first: dict[str, _Seen] = field(default_factory=dict)
    doubtful: dict[str, _Seen] = field(default_factory=dict)
    commas: bool = False

    def look(self, line: int, column: str, cell: str) -> None:
        """Take one number cell into account; ``1.234`` shows nothing for certain, nor does what is no number."""
        if not (match := _NUMBER.fullmatch(cell)) or not ("." in match[2] or "," in match[2]):
            return
        self.commas = self.commas or "," in match[2]
        sign = evident(match[2])
        if sign and match[3]:
            self.typed.add(sign)
        elif sign:
            self.counted[sign] += 1
            self.first.setdefault(sign, _Seen(line, column, cell))
        elif match[2][-1:].isdigit():
            self.doubtful.setdefault("," if "," in match[2] else ".", _Seen(line, column, cell))

    def decide(self, name: str, separator: str) -> NumberMarks | Problem | None:
        """The file's decimal sign; None where no number has a comma, and all can be read as they stand."""
        if self.counted["."] and self.counted[","]:
            return self._both(name)
        if not self.commas:
            return None
        shown = {sign for sign, count in self.counted.items() if count} or self.typed
        if len(shown) == 1:
            return NumberMarks(next(iter(shown)), sure=True)
        if separator == ";" and not shown and "." not in self.doubtful:
            return NumberMarks(",")
        return self.in_doubt(name) if self.doubtful else None

    def in_doubt(self, name: str) -> Problem:
        """What to ask of the first cell that may mean two numbers, where one does and no other cell tells."""
        line, column, cell = self.doubtful.get(",") or self.doubtful["."]
        mark = "," if "," in cell else "."
        either = f"{cell.replace(mark, '.', 1)} or {cell.replace(mark, '')}"
        return Problem(name, line, column, f"a decimal point (it may mean {either}, and no other cell tells)", cell)

    def _both(self, name: str) -> Problem:
        few, many = sorted(self.counted, key=lambda sign: self.counted[sign])
        line, column, cell = self.first[few]
        other = self.first[many]
        words = {".": "a point", ",": "a comma"}
        expected = (
            f"one decimal sign in the file; {_cells(self.counted[many])} {words[many]} (line {other.line}: "
            f"{other.cell}), {_cells(self.counted[few])} {words[few]} (write them alike and {_CURE})"
        )
        return Problem(name, line, column, expected, cell)


_NUMBER = re.compile(r"([+-]?)(\d[\d.,]*|[.,]\d+)(.*)", re.ASCII | re.DOTALL)


def _cells(count: int) -> str:
    return "1 cell has" if count == 1 else f"{count} cells have"


def plain(cell: str, marks: NumberMarks) -> str:
    """A number's cell with a decimal point and without marks between thousands; any other cell as it stands."""
    if not (match := _NUMBER.fullmatch(cell)) or not ("." in match[2] or "," in match[2]):
        return cell
    sign, digits, rest = match.groups()
    amount = None if evident(digits) == marks.thousands else amount_in(digits, marks)
    return cell if amount is None else f"{sign}{amount:f}{rest}"
