"""Tables of a TOML file read key by key: every wrong value is reported with its line and its key's path.

A key that nobody asked for is a problem too, unless it is a note by its name or is named to be left out.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from bom.intake.rows import Report, is_it, is_note, text_of
from bom.values.column import LARGEST, SMALLEST, Column, Holds, Words, closed
from bom.values.money import KNOWN, Money, meant
from bom.values.problem import Problem, Refused

_BARE = re.compile(r"[+-]?[\d.,\s]*")
_AT = re.compile(r"(.*) \(at (?:line (\d+), column (\d+)|end of document)\)", re.S)


def read_toml(path: Path, report: Report) -> Table | None:
    """The file's outermost table, numbers with a point as Decimal; None where it is no TOML."""
    if (text := text_of(path, report)) is None:
        return None
    try:
        outer = Table(tomllib.loads(text, parse_float=Decimal), path.name, "", 0, text.splitlines(), report)
    except tomllib.TOMLDecodeError as error:
        _not_toml(path.name, text, str(error), report)
    except (ArithmeticError, ValueError):
        report.wrong(path.name, 0, "", "TOML numbers", "a number that is out of range")
    except RecursionError:
        report.wrong(path.name, 0, "", "TOML tables and lists a few deep", "some inside each other without end")
    else:
        outer.hear_what_to_leave_out()
        return outer
    return None


def _not_toml(name: str, text: str, message: str, report: Report) -> None:
    """Shows the line as it stands, which says more than a grammar's name for what is wrong with it."""
    what, line, column = match.groups() if (match := _AT.fullmatch(message)) else (message, None, None)
    lines = text.splitlines()
    number = int(line or len(lines))
    there = lines[number - 1].strip() if 0 < number <= len(lines) else ""
    where = f"column {column}" if column else ""
    report.wrong(name, number, where, _TOML_WORDS, f"{there} ({what.lower()})" if there else what.lower())


_TOML_WORDS = 'TOML, as in name = "text", price = 14.90 or [heading]'


def line_of(lines: Sequence[str], start: int, key: str) -> int:
    """The line (1 = first) where ``key`` is set in the table whose heading is line ``start``; else that
    heading's line."""
    setting = re.compile(rf"""(^|[{{,\s])["']?{re.escape(key)}["']?\s*[=.]""")
    for number in range(max(start, 1), len(lines) + 1):
        line = lines[number - 1]
        if number > start and _HEADING.fullmatch(line):
            break
        if setting.search(line):
            return number
    return start


_HEADING = re.compile(r"\s*\[\[?([^\[\]]+)\]\]?\s*(#.*)?")


def heading_of(lines: Sequence[str], start: int, heading: str, nth: int = 1) -> int:
    """The line of the ``nth`` [heading] or [[heading]] after line ``start``, or 0; quotes in it make no difference."""
    headed = ((n, _HEADING.fullmatch(line)) for n, line in enumerate(lines, 1) if n > start)
    found = [n for n, head in headed if head and _unquoted(head[1]) == _unquoted(heading)]
    return found[nth - 1] if len(found) >= nth else 0


def _unquoted(heading: str) -> str:
    return re.sub(r"[\s\"']", "", heading)


def lines_of_rows(lines: Sequence[str], start: int) -> list[int]:
    """The line on which each inner list of the list set on line ``start`` begins."""
    found, depth = list[int](), 0
    for number in range(max(start, 1), len(lines) + 1):
        line = lines[number - 1].partition("=")[2] if number == start else lines[number - 1]
        for mark in _MARKS.findall(line):
            depth += {"[": 1, "]": -1}.get(mark, 0)
            if mark == "[" and depth == 2:
                found.append(number)
            if mark == "]" and depth == 0:
                return found
    return found


_MARKS = re.compile(r"""#.*|"(?:[^"\\]|\\.)*"|'[^']*'|[\[\]]""")  # a comment, a text, a bracket


def heading_under(lines: Sequence[str], start: int, heading: str) -> int:
    """The first line after ``start`` that is headed by this name or by one under it, or 0."""
    wanted = re.compile(rf"\s*\[\[?\s*{re.escape(heading)}\s*[\].].*")
    return next((n for n, line in enumerate(lines, 1) if n > start and wanted.fullmatch(line)), 0)


class Table:
    """One table: getters by type, which report what is wrong; ``leave`` reports the keys that nobody read."""

    def __init__(
        self, values: dict[str, Any], file: str, path: str, line: int, lines: Sequence[str], report: Report
    ) -> None:
        self.values, self.file, self.path, self.line = values, file, path, line
        self.lines, self.report = lines, report
        self.asked, self.known = set[str](), set[str]()
        self.parts: list[Table] = []
        self.inner: dict[str, tuple[Table, ...]] = {}

    def __contains__(self, key: str) -> bool:
        return key in self.values

    def wrong(self, key: str, expected: str, found: object = "") -> None:
        """Reported once, however often the value is asked for."""
        problem = Problem(self.file, self._line(key), self._where(key), expected, str(found))
        if problem not in self.report.problems:
            self.report.problems.append(problem)

    def get(self, key: str) -> Any:
        """The value as it stands, marked as read; None where the key is absent."""
        self.asked.add(key)
        return self.values.get(key)

    def place(self, key: str) -> tuple[int, str]:
        """The line on which the key is set, and its path."""
        return self._line(key), self._where(key)

    @property
    def heading(self) -> str:
        """What this table is called in its file, without the count of those of one name."""
        return re.sub(r"\[\d+\]", "", self.path)

    def take_from(self, other: Table, keys: Iterable[str]) -> None:
        """Have the values that another table states under these keys, where this one states none."""
        self.values = {key: other.values[key] for key in keys if key in other.values} | self.values

    def knows(self, keys: Iterable[str]) -> None:
        """Keys that may stand here though nobody asks for each, to name the nearest of them where one is misspelt."""
        self.known.update(keys)

    def read(self, column: Column) -> Any:
        """What this key states, read as its description says; empty as the description has it where it is wrong."""
        value = self._stated(column)
        if value is None:
            return "" if column.holds is Holds.WORD and column.member is None else column.empty
        return value

    def values_of(self, known: Mapping[str, Column], *but: str) -> dict[str, Any]:
        """What each of these keys states; ``but`` are read otherwise and only known here."""
        self.knows(known)
        return {key: self.read(column) for key, column in known.items() if key not in but}

    def amounts_of(self, known: Mapping[str, Column], currency: str, *but: str) -> dict[str, Any]:
        """What each of these keys states, numbers exact and money in this currency; ``but`` are read otherwise."""
        self.knows(known)
        return {key: self._amount(column, currency) for key, column in known.items() if key not in but}

    def _amount(self, column: Column, currency: str) -> Any:
        match column.holds:
            case Holds.MONEY:
                return self.money(column.name, currency)
            case Holds.NUMBER:
                return self.exact(column)
        return self.read(column)

    def _stated(self, column: Column) -> Any:
        if column.needed and self.values.get(column.name) in (None, ""):
            self.get(column.name)
            found = "empty text" if column.name in self.values else "nothing"
            self.wrong(column.name, f"{column.allowed}, as in {column.example}", found)
            return None
        match column.holds:
            case Holds.NUMBER:
                return None if (exact := self.exact(column)) is None else float(exact)
            case Holds.WHOLE:
                return None if (exact := self.exact(column)) is None else int(exact)
            case Holds.YES_NO:
                return self.flag(column.name)
            case Holds.DAY:
                return self.day(column.name)
            case Holds.TEXTS:
                return self.words(column.name, column.words) if column.words.words else self.texts(column.name)
        return self._by_text(column)

    def _by_text(self, column: Column) -> Any:
        text = self.text(column.name)
        try:
            return column.read(text) if text else None
        except Refused as refused:
            self.wrong(column.name, str(refused), text)
            return None

    def exact(self, column: Column) -> Decimal | None:
        """A number inside the description's bounds as it is written; with its unit it stands in quotes."""
        value = self.get(column.name)
        if isinstance(value, str) and not _BARE.fullmatch(value.strip()):
            return None if (read := self._by_text(column)) is None else Decimal(str(read))
        if (number := self.decimal(column.name)) is None:
            return None
        try:
            column.number(float(number))
        except Refused as refused:
            self.wrong(column.name, str(refused), value)
            return None
        if column.holds is Holds.WHOLE and number != int(number):
            self.wrong(column.name, "a whole number", value)
            return None
        return number

    def text(self, key: str) -> str:
        value = self.get(key)
        if value is None or isinstance(value, str):
            return (value or "").strip()
        self.wrong(key, "text in quotes", value)
        return ""

    def needed(self, key: str) -> str:
        """Text that must be there."""
        found = self.text(key)
        if not found and self.values.get(key) in (None, ""):
            self.wrong(key, "text", "nothing" if key not in self.values else "empty text")
        return found

    def decimal(self, key: str) -> Decimal | None:
        value = self.get(key)
        if value is None:
            return None
        number = isinstance(value, int | Decimal) and not isinstance(value, bool)
        if not number or not Decimal(value).is_finite():
            self.wrong(key, "a number" + _comma_hint(value), _short(value))
            return None
        if value and not SMALLEST <= Decimal(value).copy_abs() <= LARGEST:
            self.wrong(key, f"a number of a likely size, {SMALLEST:g} to {LARGEST:g}", _short(value))
            return None
        return Decimal(value)

    def at_least(self, key: str, least: int = 0, *, above: bool = False) -> Decimal | None:
        """A number not below ``least`` (or above it)."""
        if (found := self.decimal(key)) is None:
            return None
        if found < least or (above and found == least):
            self.wrong(key, f"a number {'above' if above else 'not below'} {least}", found)
            return None
        return found

    def positive(self, key: str) -> float | None:
        found = self.at_least(key, 0, above=True)
        return None if found is None else float(found)

    def whole(self, key: str, least: int = 0) -> int | None:
        """A whole number not below ``least``."""
        found = self.at_least(key, least)
        if found is not None and found != int(found):
            self.wrong(key, "a whole number", found)
            return None
        return None if found is None else int(found)

    def money(self, key: str, currency: str) -> Money | None:
        """An amount, not below 0, of this currency."""
        found = self.at_least(key)
        return None if found is None else Money.of(found, currency)

    def currency(self, key: str = "currency") -> str:
        """An ISO 4217 code; XXX (no currency, by the same standard) stands in where it is wrong, which is
        reported."""
        code = self.needed(key)
        if code in KNOWN:
            return code
        if code:
            self.wrong(key, currency_words(code), code)
        return "XXX"

    def flag(self, key: str) -> bool | None:
        value = self.get(key)
        if value is None or isinstance(value, bool):
            return value
        self.wrong(key, "true or false", value)
        return None

    def day(self, key: str) -> date | None:
        """A date: TOML's own, or text such as 2026-11-25."""
        value = self.get(key)
        try:
            found = date.fromisoformat(value) if isinstance(value, str) else value
        except ValueError:
            found = ""
        if isinstance(found, datetime):
            return found.date()
        if found is None or isinstance(found, date):
            return found
        self.wrong(key, "a date such as 2026-11-25", value)
        return None

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts, empty where the key is absent."""
        value = self.get(key)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
            self.wrong(key, 'a list of texts such as ["wash"]', value)
            return ()
        return tuple(value)

    def words(self, key: str, words: Words | Sequence[str]) -> tuple[str, ...]:
        """A list of words out of these, empty where the key is absent."""
        return tuple(word for text in self.texts(key) if (word := self._word(key, text, words)))

    def _word(self, key: str, text: str, words: Words | Sequence[str]) -> str:
        if (word := closed(words).meant(text)) is None:
            self.wrong(key, closed(words).expected(text), text)
        return word or ""

    def table(self, key: str) -> Table | None:
        """A table inside this one, headed or inline."""
        value = self.get(key)
        if value is None:
            return None
        if not isinstance(value, dict):
            self.wrong(key, "a table", value)
            return None
        if key not in self.inner:
            line = heading_of(self.lines, self.line, self._where(key, plain=True)) or self._line(key)
            self.inner[key] = (self._part(value, self._where(key), line),)
        return self.inner[key][0]

    def tables(self, key: str) -> tuple[Table, ...]:
        """An array of tables, empty where the key is absent."""
        value = self.get(key)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(v, dict) for v in value):
            self.wrong(key, f"tables, each headed [[{self._where(key, plain=True)}]]", value)
            return ()
        if key not in self.inner:
            self.inner[key] = tuple(self._nth(key, n, v) for n, v in enumerate(value, 1))
        return self.inner[key]

    def needed_table(self, key: str) -> Table:
        """A table that must be there; an empty one stands in where it is not."""
        if key not in self.values:
            self.wrong(key, f"a table [{key}]", "none")
        if (found := self.table(key)) is not None:
            return found
        return Table({}, self.file, self._where(key), self.line, self.lines, Report())

    def hear_what_to_leave_out(self) -> None:
        """Tell the report the names in every ``leave_out`` list of this table and of those inside it."""
        names = self.values.get("leave_out")
        if isinstance(names, list) and all(isinstance(n, str) for n in names):
            where = (n for n, line in enumerate(self.lines, 1) if line.lstrip().startswith("leave_out"))
            self.report.leave_out(names, self.file, next(where, 0))
        for value in self.values.values():
            for inner in value if isinstance(value, list) else [value]:
                if isinstance(inner, dict):
                    Table(inner, self.file, "", self.line, self.lines, self.report).hear_what_to_leave_out()

    def leave(self) -> None:
        """Report every key, here and in the tables read from here, that nobody asked for.

        Keys that begin with *note* are free text; ``leave_out`` names keys that are left out on purpose.
        """
        self.texts("leave_out")
        known = (self.asked | self.known) - {"leave_out"}
        for key in self.values:
            if key not in self.asked and not self._is_free_text(key) and not self.report.leaves(key):
                self.wrong(key, f"a key that is read here{is_it(key, known)}", key)
        for part in self.parts:
            part.leave()

    def _is_free_text(self, key: str) -> bool:
        if is_note(key) and not isinstance(self.values[key], str | list):
            self.wrong(key, "free text in quotes, as for every key that begins with note", self.values[key])
        return is_note(key)

    def _nth(self, key: str, nth: int, value: dict[str, Any]) -> Table:
        line = heading_of(self.lines, self.line, self._where(key, plain=True), nth) or self._line(key)
        return self._part(value, f"{self._where(key)}[{nth}]", line)

    def _part(self, value: dict[str, Any], path: str, line: int) -> Table:
        part = Table(value, self.file, path, line, self.lines, self.report)
        self.parts.append(part)
        return part

    def _where(self, key: str, *, plain: bool = False) -> str:
        where = ".".join(filter(None, (self.path, key)))
        return re.sub(r"\[\d+\]", "", where) if plain else where

    def _line(self, key: str) -> int:
        """Where the key is set, else where its own heading or the first one under it stands, else this table's."""
        if (line := line_of(self.lines, self.line, key)) != self.line:
            return line
        return heading_under(self.lines, self.line, self._where(key, plain=True)) or line


def currency_words(code: str) -> str:
    """What was expected in the place of a code that is none."""
    near = meant(code)
    return "an ISO 4217 currency code such as EUR" + (f" (is {near} meant?)" if near else "")


def _short(value: object) -> str:
    return text if len(text := str(value)) <= 40 else f"{text[:37]}..."


def _comma_hint(value: object) -> str:
    return " without quotes, with a decimal point" if isinstance(value, str) else ""
