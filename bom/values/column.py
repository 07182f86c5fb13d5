"""A column knows itself: what it means, its unit, what it may hold and one example, in one place for every use.

A column of a CSV file and a key of a TOML file are described alike. Reading a cell, refusing it, searching by it and
explaining it are all made from this description, so that they can never differ. It rides on a dataclass's field (see
``stated`` and ``given``), or stands in a list of keys.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import Field, dataclass, field, fields, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum
from functools import cache, cached_property
from types import MappingProxyType
from typing import Any

from bom.values.part_number import damage
from bom.values.problem import Problem, Refused
from bom.values.quantity import read, read_amount, sign


def folded(word: str) -> str:
    """A word without what makes no difference: capitals, spaces, hyphens and underscores."""
    return re.sub(r"[\s_\-‐‑–]+", "", word).casefold()


class Holds(StrEnum):
    """What a column or key holds, in the word that explains it."""

    TEXT = "text"
    NAME = "name"
    PART_NUMBER = "part number"
    NUMBER = "number"
    WHOLE = "whole number"
    WORD = "word"
    YES_NO = "yes or no"
    DAY = "date"
    AMOUNT = "amount"
    MONEY = "money"
    TEXTS = "list of texts"
    TABLE = "table"
    TABLES = "tables"


@dataclass(frozen=True)
class Words:
    """A closed list of words: any other is refused. Capitals, spaces, hyphens and underscores make no difference.

    ``also`` gives the trade's other words for each word here; ``unclear`` the words that may mean several, each with
    what to ask. ``besides`` are words that are read too, such as AC-15, but are too many to list; ``besides_words``
    sums them up.
    """

    words: tuple[str, ...]
    also: Mapping[str, Collection[str]] = field(default_factory=dict)
    unclear: Mapping[str, str] = field(default_factory=dict)
    besides: tuple[str, ...] = ()
    besides_words: str = ""

    @cached_property
    def _folded(self) -> dict[str, str]:
        """Every spelling that is read, folded, and its word; worked out when first asked, since few lists ever are."""
        others = {folded(other): word for word, others in self.also.items() for other in others}
        return others | {folded(word): word for word in (*self.words, *self.besides)}

    def meant(self, text: str) -> str | None:
        """The word that ``text`` is, however it is written; None where it is none of them."""
        return text if text in self.words else self._folded.get(folded(text))

    def listed(self) -> str:
        """The words in one line, as an error and an explanation give them."""
        return " | ".join(self.words) + (f", or {self.besides_words}" if self.besides_words else "")

    def expected(self, found: str) -> str:
        """What to say of a word that is none of these: the list, and the nearest word or the question to ask."""
        asked = next((ask for word, ask in self.unclear.items() if folded(word) == folded(found)), "")
        near = _close(folded(found), self._folded, 0.6)
        hint = asked or (f"is {self._folded[near[0]]!r} meant?" if near else "")
        return f"one of: {self.listed()}" + (f" ({hint})" if hint else "")


NO_WORDS = Words(())
YES_NO = Words(("yes", "no"), {"yes": ("y", "true", "1"), "no": ("n", "false", "0")})


def closed(words: Words | Iterable[str]) -> Words:
    """A plain list of words as a closed one, without other names."""
    return words if isinstance(words, Words) else Words(tuple(map(str, words)))


def nearest(word: str, known: Iterable[str], likeness: float = 0.6) -> str:
    """The known name that ``word`` was likely meant to be, else nothing."""
    by_fold = {folded(k): k for k in known}
    return next((by_fold[f] for f in _close(folded(word), by_fold, likeness)), "")


def _close(wanted: str, known: Iterable[str], likeness: float) -> list[str]:
    """The nearest of the known texts, if any is near; what compares them takes long to load, and is rarely asked."""
    from difflib import get_close_matches

    return get_close_matches(wanted, list(known), 1, likeness)


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a CSV file or one key of a TOML file.

    ``meaning`` is one sentence, ``example`` a value as one would write it. A number is in ``unit`` (as in
    ``bom.values.quantity``; empty = a bare number), more than ``above`` or not less than ``least``, and not more than
    ``most``. ``words`` is the closed list of a word column, and ``member`` the enumeration that they are read into.
    ``needed``: the file must have it and no row may leave it empty. ``name`` is filled in from the field where it is
    empty; a key inside a table is named with its path, as in ``supply.nominal_volts`` or ``load[].amps``.
    """

    meaning: str
    example: str = ""
    holds: Holds = Holds.TEXT
    unit: str = ""
    above: float | None = None
    least: float | None = None
    most: float | None = None
    words: Words = NO_WORDS
    member: type[StrEnum] | None = None
    needed: bool = False
    name: str = ""

    def read(self, text: str) -> Any:
        """The value that a cell's text states, None where it states nothing; a number comes in the column's unit.

        Raises ``Refused`` with nothing but what was expected, for a problem to carry with its place.
        """
        if not text:
            return self.empty
        return _READ[self.holds](self, text)

    @property
    def empty(self) -> Any:
        """What an empty cell means: *not stated*, which for a text is the empty text and for a yes or no is no."""
        return _EMPTY.get(self.holds)

    def number(self, value: float) -> float:
        """The value where the bounds allow it; raises ``Refused`` with what was expected."""
        if value and not SMALLEST <= abs(value) <= LARGEST:
            raise Refused(f"a number of a likely size, {SMALLEST:g} to {LARGEST:g}")
        if self.above is not None and value <= self.above:
            raise Refused(f"a number above {self.above:g}{self._in_unit}")
        if self.least is not None and value < self.least:
            raise Refused(f"a number not below {self.least:g}{self._in_unit}")
        if self.most is not None and value > self.most:
            raise Refused(f"a number up to {self.most:g}{self._in_unit}")
        return value

    @property
    def unbounded(self) -> Column:
        """This column for a limit that somebody asks for: from 0 may be asked of what is always above 0."""
        return replace(self, above=None, least=None, most=None)

    @property
    def _in_unit(self) -> str:
        return f" {self.sign}" if self.sign else ""

    @property
    def sign(self) -> str:
        """The unit as it is written after a number: V, Ω, °C, %."""
        return sign(self.unit)

    @property
    def allowed(self) -> str:
        """What may stand here, in words: *number above 0*, *dc | ac*, *yes or no*; for a person to read."""
        if self.holds is Holds.WORD:
            return self.words.listed()
        return f"{self.holds} {self.bounds}".strip()

    @property
    def bounds(self) -> str:
        """What a number may be, in words: *above 0*, *not below 0 and up to 99*; empty where it may be any."""
        bounds = (("above", self.above), ("not below", self.least), ("up to", self.most))
        return " and ".join(f"{words} {bound:g}" for words, bound in bounds if bound is not None)


def _number(column: Column, text: str) -> float:
    if _PLAIN.fullmatch(text):
        value = float(text)
    elif _COMMA.fullmatch(text):
        raise Refused(_COMMA_WORDS)
    else:
        value = _quantity(column, text)
    return column.number(value)


_PLAIN = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d{1,3})?", re.ASCII)
_COMMA = re.compile(r"[+-]?\d+,\d+")
_COMMA_WORDS = "a number with a decimal point (a spreadsheet program in a comma-decimal locale likely saved it)"
# No figure of a relay, a board or a shop is as small or as large as these; our own choice.
SMALLEST, LARGEST = 1e-12, 1e12


def _quantity(column: Column, text: str) -> float:
    """A number with its unit; a column without a unit takes none."""
    if not any(c.isdigit() for c in text) or not column.unit:
        raise Refused("a number with a decimal point")
    try:
        return read(text, column.unit)
    except Refused as error:
        raise Refused(str(error).removeprefix("expected ").split(", found")[0]) from error


def _amount(column: Column, text: str) -> tuple[Decimal, str]:
    """An amount and its unit; a bare number is in the unit that the part is kept in, as pieces are."""
    if _PLAIN.fullmatch(text):
        column.number(float(text))
        return Decimal(text), "piece"
    if _COMMA.fullmatch(text):
        raise Refused(_COMMA_WORDS)
    try:
        return read_amount(text)
    except Refused:
        raise Refused("a number with a decimal point, or an amount with its unit, as in 250 g") from None


def _whole(column: Column, text: str) -> int:
    if (value := _number(column, text)) != int(value):
        raise Refused("a whole number")
    return int(value)


def _word(column: Column, text: str) -> str:
    if (word := column.words.meant(text)) is None:
        raise Refused(column.words.expected(text))
    return word if column.member is None else column.member(word)


def _part_number(column: Column, text: str) -> str:
    if what := damage(text):
        raise Refused(f"a part number (a spreadsheet program turned it into {what})")
    return text


def _name(column: Column, text: str) -> str:
    """A name that commands can be given: they use ``:`` and ``=`` themselves, and take what begins with ``-`` for an
    option."""
    if any(c in text for c in ":=") or text.startswith("-") or not text.isprintable():
        raise Refused("a name without ':' or '=' and without '-' before it, which commands use themselves")
    return text


def _yes(column: Column, text: str) -> bool:
    if (word := YES_NO.meant(text)) is None:
        raise Refused("yes or no")
    return word == "yes"


def _day(column: Column, text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        how = " (give the column the format YYYY-MM-DD, and save it again)" if _OTHER_DAY.fullmatch(text) else ""
        raise Refused(f"a date such as 2026-11-25{how}") from None


_OTHER_DAY = re.compile(r"\d{1,4}[/. -]\d{1,2}[/. -]\d{1,4}\.?")  # a day, but who knows which


def _as_it_stands(column: Column, text: str) -> str:
    return text


_READ = dict.fromkeys(Holds, _as_it_stands) | {
    Holds.NAME: _name,
    Holds.PART_NUMBER: _part_number,
    Holds.NUMBER: _number,
    Holds.AMOUNT: _amount,
    Holds.MONEY: _number,
    Holds.WHOLE: _whole,
    Holds.WORD: _word,
    Holds.YES_NO: _yes,
    Holds.DAY: _day,
}  # fmt: skip
_EMPTY: dict[Holds, Any] = {Holds.TEXT: "", Holds.NAME: "", Holds.PART_NUMBER: "", Holds.YES_NO: False, Holds.TEXTS: ()}


def text(meaning: str, example: str = "", *, needed: bool = False, name: str = "") -> Column:
    """A column of free text."""
    return Column(meaning, example, needed=needed, name=name)


def part_number(meaning: str, example: str, *, name: str = "") -> Column:
    """A column of part numbers, which must be there, and which no spreadsheet program may have turned into a date."""
    return Column(meaning, example, Holds.PART_NUMBER, needed=True, name=name)


def number(
    unit: str,
    meaning: str,
    example: str,
    *,
    above: float | None = None,
    least: float | None = None,
    most: float | None = None,
    needed: bool = False,
) -> Column:
    """A column of numbers in this unit."""
    return Column(meaning, example, Holds.NUMBER, unit, above, least, most, needed=needed)


def amount(
    meaning: str, example: str, *, above: float | None = None, least: float | None = None, needed: bool = False
) -> Column:
    """A column of amounts of a part: pieces, or g, mm or ml, whichever it is kept in."""
    return Column(meaning, example, Holds.AMOUNT, above=above, least=least, needed=needed)


def word(
    words: type[StrEnum] | Words | Sequence[str],
    meaning: str,
    example: str,
    *,
    also: Mapping[str, Collection[str]] = MappingProxyType({}),
    unclear: Mapping[str, str] = MappingProxyType({}),
    needed: bool = False,
    name: str = "",
) -> Column:
    """A column of words of one closed list; those of an enumeration are read into its members."""
    member = words if isinstance(words, type) else None
    closed = words if isinstance(words, Words) else Words(tuple(str(w) for w in words), also, unclear)
    return Column(meaning, example, Holds.WORD, words=closed, member=member, needed=needed, name=name)


def yes_or_no(meaning: str, example: str = "no", *, name: str = "") -> Column:
    """A column of yes and no; empty is no."""
    return Column(meaning, example, Holds.YES_NO, name=name)


def called(meaning: str, example: str, *, needed: bool = False) -> Column:
    """A key of names that commands are given."""
    return Column(meaning, example, Holds.NAME, needed=needed)


def whole(meaning: str, example: str, *, least: int = 0, most: int | None = None, unit: str = "") -> Column:
    """A key of whole numbers."""
    return Column(meaning, example, Holds.WHOLE, unit, least=least, most=most)


def day(meaning: str, example: str = "2026-11-25", *, needed: bool = False) -> Column:
    """A column of dates."""
    return Column(meaning, example, Holds.DAY, needed=needed)


def money(meaning: str, example: str) -> Column:
    """A key of amounts, not below 0, in the file's currency."""
    return Column(meaning, example, Holds.MONEY, least=0)


def texts(meaning: str, example: str, words: Words = NO_WORDS) -> Column:
    """A key of lists of texts, or of words of one closed list."""
    return Column(meaning, example, Holds.TEXTS, words=words)


def table(meaning: str, example: str) -> Column:
    """A key whose own keys are not ours to list, such as currencies and the headings of a price list."""
    return Column(meaning, example, Holds.TABLE)


def keys(**columns: Column) -> Mapping[str, Column]:
    """The keys of one table of a TOML file, each described."""
    return MappingProxyType({key: replace(column, name=key) for key, column in columns.items()})


def under(path: str, known: Mapping[str, Column]) -> dict[str, Column]:
    """Keys by their path in the file, as an explanation lists them: ``position[].driver.drop_volts``."""
    return {f"{path}.{key}": replace(column, name=f"{path}.{key}") for key, column in known.items()}


def given(*columns: Column) -> Mapping[str, Any]:
    """Metadata for a dataclass's field that stands in this column (or, where it is made of several, in these)."""
    return {_KEY: columns}


def stated(column: Column) -> Any:
    """A dataclass's field that stands in this column, and that means *not stated* where nothing is given."""
    return field(default=column.empty, metadata=given(column))


_KEY = "bom.column"


@cache
def described(kind: type) -> Mapping[str, Column]:
    """Column name to column, of every field of the dataclass that has any, in the order of the fields."""
    named = (_named(f, column) for f in fields(kind) for column in f.metadata.get(_KEY, ()))
    return MappingProxyType({column.name: column for column in named})


def _named(of: Field[Any], column: Column) -> Column:
    return column if column.name else replace(column, name=of.name)


def made(kind: type[Any], cells: Mapping[str, str], problems: list[Problem]) -> Any:
    """The dataclass that these texts state, by column name, each in its own column; whatever the texts came from.

    What is wrong goes to ``problems``, by column, and an empty value of the column's own stands in for it.
    """
    of_kind: Any = kind
    return kind(**{name: _stated_in(column, cells, problems) for name, column in _single(of_kind)})


@cache
def _single(kind: Any) -> tuple[tuple[str, Column], ...]:
    """Field to column, of every field that stands in one column."""
    own = ((f, f.metadata.get(_KEY, ())) for f in fields(kind))
    return tuple((f.name, _named(f, columns[0])) for f, columns in own if len(columns) == 1)


def _stated_in(column: Column, cells: Mapping[str, str], problems: list[Problem]) -> Any:
    typed = cells.get(column.name, "")
    try:
        value = column.read(typed)
    except Refused as refused:
        problems.append(Problem("", 0, column.name, str(refused), typed))
        value = column.empty
    if column.needed and not typed and column.name in cells:
        problems.append(Problem("", 0, column.name, "a value", "an empty cell"))
    return _stand_in(column) if value is None and column.needed else value


def _stand_in(column: Column) -> Any:
    """A value of the right type where there must be one and the cell was wrong; its problem is told."""
    if column.holds is Holds.WORD:
        first = column.words.words[0]
        return first if column.member is None else column.member(first)
    return 0.0


@dataclass(frozen=True, slots=True)
class Topic:
    """What ``bom explain`` tells of one kind of file: what it is for, and its columns or keys by name.

    ``entries`` are for a topic that has none of these: a name and a sentence each. ``notes`` are said beneath.
    """

    name: str
    about: str
    columns: Mapping[str, Column] = field(default_factory=dict)
    entries: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()
