"""A day as people type it: 2026-12-15, 15.12.2026, 15/12/2026, 15 Dec 2026, December 15th, 2026, 15. Dezember 2026.

With dots the day stands first, as it does wherever dots are used. With strokes or dashes some write the month first, so
3/4/2027 could be two days and is none here: whoever wrote it is asked.
"""

from __future__ import annotations

import re
from datetime import date

EXPECTED = "a date such as 2026-12-31 or 31 Dec 2026 (3/4/2027 could be two days)"
"""What to ask for where there is none."""

_ISO = re.compile(r"(\d{4})([-/.])(\d{1,2})\2(\d{1,2})", re.ASCII)
_DOTS = re.compile(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4}|\d{2})", re.ASCII)
_STROKES = re.compile(r"(\d{1,2})\s?([/-])\s?(\d{1,2})\s?\2\s?(\d{4})", re.ASCII)
_WEEKDAY = r"(?:[^\W\d_]{2,10}[.,]{0,2}\s+)?"
_DAY_FIRST = re.compile(
    rf"{_WEEKDAY}(\d{{1,2}})(?:st|nd|rd|th|er)?[.\s-]{{0,2}}(?:(?:of|de)\s)?([^\W\d_]{{3,10}})\.?,?[\s-]?(?:de\s)?(\d{{4}}|\d{{2}})",
    re.IGNORECASE,
)
_MONTH_FIRST = re.compile(
    rf"{_WEEKDAY}([^\W\d_]{{3,10}})\.?\s?(\d{{1,2}})(?:st|nd|rd|th)?(?:,\s?|\s)(\d{{4}})", re.IGNORECASE
)

# The months' names and their usual short forms in six languages; from memory.
_NAMES = (
    "jan january januar jänner janvier januari enero gennaio",
    "feb february februar février fév févr februari febrero febbraio",
    "mar march märz mär mrz mars maart mrt marzo",
    "apr april avril avr abril abr aprile",
    "may mai mei mayo maggio mag",
    "jun june juni juin junio giugno giu",
    "jul july juli juillet juil julio luglio lug",
    "aug august août aout augustus agosto ago",
    "sep sept september septembre septiembre settembre set",
    "oct october oktober okt octobre octubre ottobre ott",
    "nov november novembre noviembre",
    "dec december dezember dez décembre déc diciembre dic dicembre",
)
_MONTHS = {name: number for number, names in enumerate(_NAMES, 1) for name in names.split()}


def day_typed(text: str) -> date | None:
    """The day that this text names; None where it names none, or could name two.

    >>> day_typed("15. Dezember 2026"), day_typed("3/4/2027")
    (datetime.date(2026, 12, 15), None)
    """
    text = " ".join(text.split())
    if match := _ISO.fullmatch(text):
        return _day(match[1], match[3], match[4])
    if match := _DOTS.fullmatch(text):
        return _day(match[3], match[2], match[1])
    if match := _STROKES.fullmatch(text):
        return _only_one(match[1], match[3], match[4])
    if match := _DAY_FIRST.fullmatch(text):
        return _named(match[3], match[2], match[1])
    if match := _MONTH_FIRST.fullmatch(text):
        return _named(match[3], match[1], match[2])
    return None


def _only_one(first: str, second: str, year: str) -> date | None:
    """Which of the two is the month shows where the other is above 12, or both are the same."""
    found = {_day(year, second, first), _day(year, first, second)} - {None}
    return found.pop() if len(found) == 1 else None


def _named(year: str, month: str, day: str) -> date | None:
    number = _MONTHS.get(month.casefold())
    return None if number is None else _day(year, str(number), day)


def _day(year: str, month: str, day: str) -> date | None:
    try:
        return date(int(year) + (2000 if len(year) == 2 else 0), int(month), int(day))
    except ValueError:
        return None
