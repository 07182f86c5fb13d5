"""What a cell of a spreadsheet says in a column: the text that a CSV would have there, or why it cannot be trusted.

A spreadsheet program turns what is typed into what it takes it for: 3-12 into a day, 1E5 into a hundred thousand,
0503 into 503. A column that holds something else refuses such a cell and says how to type it again, so that no part
becomes another. What people put around numbers (currency signs, *pcs*, blanks between thousands) goes.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from decimal import Decimal

from bom.intake.price_lists.amounts import BLANKS, CODES, SIGNS
from bom.intake.spreadsheets.sheet import AsShown, Broken, MergedInto, Value
from bom.values.column import Column, Holds
from bom.values.problem import Refused

NUMBERS = (Holds.NUMBER, Holds.WHOLE, Holds.AMOUNT, Holds.MONEY)
_WORDS_FOR = {Holds.PART_NUMBER: "a part number", Holds.DAY: "a date such as 2026-11-25", Holds.YES_NO: "yes or no"}
_AS_TEXT = "give the cell the format Text and type it again"


def as_text(column: Column, value: Value, days: Days) -> str:
    """The text that this cell states in this column, numbers with a point, days as 2026-11-25; empty where it states
    nothing. Raises ``Refused`` with what was expected."""
    if value is None:
        return ""
    if isinstance(value, str):
        return _typed(column, value.strip(), days)
    if isinstance(value, Broken):
        raise Refused(f"{_wanted(column)} (a cell that cannot be trusted is not taken as an empty one)")
    if isinstance(value, MergedInto):
        return _merged(column, value, days)
    if isinstance(value, bool):
        return _flag(column, value)
    if isinstance(value, int | float | AsShown):
        return _number(column, value)
    return _moment(column, value)


def said(value: Value) -> str:
    """What the cell shows, for a person to find it again."""
    if isinstance(value, Broken):
        return value.what
    if isinstance(value, MergedInto):
        return said(value.above)
    if isinstance(value, AsShown):
        return value.shown
    if isinstance(value, float):
        return _plain(value)
    if isinstance(value, datetime) and value.time() == time(0):
        return value.date().isoformat()
    return "" if value is None else str(value).strip()


def _wanted(column: Column) -> str:
    if column.holds in NUMBERS:
        return "a number"
    return _WORDS_FOR.get(column.holds, "text")


def _merged(column: Column, value: MergedInto, days: Days) -> str:
    """What stands for several rows at once holds for each of them, but a quantity may be meant once or for each."""
    if column.holds in (Holds.AMOUNT, Holds.WHOLE):
        raise Refused(f"a number in each row (this cell is one with {value.place}: for both together, or for each?)")
    return as_text(column, value.above, days)


def _flag(column: Column, value: bool) -> str:
    if column.holds is Holds.YES_NO:
        return "yes" if value else "no"
    raise Refused(_wanted(column))


def _number(column: Column, value: float | AsShown) -> str:
    number = value.number if isinstance(value, AsShown) else value
    if column.holds in NUMBERS:
        percent = isinstance(value, AsShown) and value.shown.rstrip().endswith("%")
        return f"{_plain(round(number * 100, 10))} %" if percent else _plain(number)
    if column.holds is Holds.DAY:
        raise Refused("a date (the cell holds a number; give it the format of a date)")
    return _code(column, number, value.shown if isinstance(value, AsShown) else "")


def _code(column: Column, number: float, shown: str) -> str:
    """A code that a spreadsheet program took for a number: as it is shown, where that is sure to be what was typed."""
    if re.fullmatch(r"\d+", shown) and int(shown) == number:
        return shown
    if number != int(number) and column.holds is not Holds.PART_NUMBER:
        return _plain(number)
    if shown and re.sub(r"[\s.,'\u00a0\u202f]", "", shown) != _plain(number):
        raise Refused(f"{_wanted(column)} (it is the number {_plain(number)}, shown as {shown}: {_AS_TEXT})")
    if number != int(number) or abs(number) >= 1e15:
        lost = "an end of zeros" if number != int(number) else "its last digits"
        raise Refused(f"{_wanted(column)} (as a number it may have lost {lost}: {_AS_TEXT})")
    return _plain(number)


def _moment(column: Column, value: date | datetime | time | timedelta) -> str:
    if column.holds is Holds.DAY and isinstance(value, date):
        return value.date().isoformat() if isinstance(value, datetime) else value.isoformat()
    kind = "a date" if isinstance(value, date) else "a time"
    raise Refused(f"{_wanted(column)} (a spreadsheet program turned it into {kind}: {_AS_TEXT})")


def _plain(number: float) -> str:
    """A number with a point and without an exponent; whole ones without a point."""
    return str(int(number)) if number == int(number) and abs(number) < 1e15 else f"{Decimal(repr(float(number))):f}"


# How people count pieces beside a number. Common practice, no source.
_PIECES = re.compile(
    r"\s*(?:pieces?|pcs?\.?|pce|units?|each|ea\.?|off|stück|stck\.?|stk\.?|st\.?|pièces?|pz\.?|uds?\.?)$", re.IGNORECASE
)
_DIGITS = re.compile(r"[+-]?[\d.,\s'\u2019\u00a0\u2009\u202f]*\d")
_GROUPED = re.compile(r"[+-]?\d{1,3}(?:[ \u00a0\u2009\u202f'\u2019]\d{3})+(?:[.,]\d+)?")


def _typed(column: Column, text: str, days: Days) -> str:
    if column.holds is Holds.DAY:
        return days.iso(text)
    if column.holds is Holds.MONEY:
        text = bare_of_money(text)
    elif column.holds in (Holds.AMOUNT, Holds.WHOLE):
        number = _PIECES.sub("", text).strip() if _PIECES.search(text) else text
        text = number if _DIGITS.fullmatch(number) else text
    elif column.unit == "V" and (match := _CURRENT.fullmatch(text)):
        text = match[1]
    if column.holds in NUMBERS and _GROUPED.fullmatch(text):
        return BLANKS.sub("", text)
    return text


_CURRENT = re.compile(r"([\d.,\s]*\d\s*V)\s*\.?(DC|AC|d\.c\.|a\.c\.)", re.IGNORECASE)


def current_in(text: str) -> str:
    """The kind of current that stands behind volts, dc or ac; empty where none does.

    >>> current_in("24 VDC"), current_in("24 V")
    ('dc', '')
    """
    match = _CURRENT.fullmatch(text.strip())
    return match[2].replace(".", "").casefold() if match else ""


def money_signs(text: str) -> tuple[str, ...]:
    """The currencies that a cell's sign or code may stand for; none where it has neither."""
    if code := re.search(r"(?<![A-Za-z])[A-Z]{3}(?![A-Za-z])", text):
        return (code[0],) if code[0] in CODES else ()
    return next((codes for sign, codes in SIGNS.items() if sign in text), ())


def bare_of_money(text: str) -> str:
    """An amount without its currency's sign or code, before or behind it; any other text as it stands."""
    if text[:1].isdigit() and text[-1:].isdigit():
        return text
    bare = text
    for code in money_signs(text):
        bare = bare.replace(code, "")
    for sign in SIGNS:
        bare = bare.replace(sign, "")
    bare = bare.strip(" \u00a0\u2009\u202f")
    return bare if bare and _DIGITS.fullmatch(bare) else text


_DOTS = re.compile(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4}|\d{2})")
_STROKES = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})")
_NAMED = re.compile(r"(\d{1,2})[.\s-]{1,2}([A-Za-z]{3,9})\.?[\s-](\d{4})")
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


@dataclass(slots=True)
class Days:
    """How a list writes its days as text. With dots the day stands first (it does wherever dots are used); with strokes
    ``order`` says so, d/m/y or m/d/y, or a cell that can only be one of them does."""

    order: str = ""
    shown: set[str] = field(default_factory=set)

    def look(self, value: Value) -> None:
        """Take one cell into account: 25/11/2026 shows the order."""
        if isinstance(value, str) and (match := _STROKES.fullmatch(value.strip())):
            first, second = int(match[1]), int(match[2])
            if (first > 12) != (second > 12):
                self.shown.add("d/m/y" if first > 12 else "m/d/y")

    def iso(self, text: str) -> str:
        """The day as 2026-11-25; a text that is none stands as it is. Raises ``Refused`` where it could be two days."""
        if match := _DOTS.fullmatch(text):
            return _day(text, match[3], match[2], match[1])
        if (match := _NAMED.fullmatch(text)) and match[2][:3].casefold() in _MONTHS:
            return _day(text, match[3], str(_MONTHS.index(match[2][:3].casefold()) + 1), match[1])
        if match := _STROKES.fullmatch(text):
            order = self.order or (next(iter(self.shown)) if len(self.shown) == 1 else "")
            first, second = match[1], match[2]
            if not order and first != second and int(first) <= 12 and int(second) <= 12:
                raise Refused('a date that is only one day (say days = "d/m/y" or "m/d/y" in [reading])')
            month_first = order == "m/d/y" or (not order and int(second) > 12)
            return _day(text, match[3], *((first, second) if month_first else (second, first)))
        return text


def _day(text: str, year: str, month: str, day: str) -> str:
    try:
        return date(int(year) + (2000 if len(year) == 2 else 0), int(month), int(day)).isoformat()
    except ValueError:
        return text
