"""How price lists write counts: stock with a bound, days and weeks, packing codes, thousands marks in a column.

A count is whole, so a mark before three digits parts thousands unless the column's other cells show it as a decimal
sign (5.00). Words are no number: *none* is 0, and *in stock* says nothing about how many.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import NamedTuple

from bom.intake.price_lists.amounts import BLANKS

# Words seen in stock columns. Common practice, no source.
NONE_LEFT = frozenset(
    {"no", "none", "nil", "nein", "keine", "non", "nee", "sold out", "out of stock", "ausverkauft", "nicht lieferbar"}
    | {"nicht am lager", "nicht auf lager", "rupture", "épuisé", "discontinued"}
)
SOME_LEFT = frozenset(
    {"yes", "y", "ja", "j", "oui", "in stock", "available", "auf lager", "am lager", "ab lager", "lagernd"}
    | {"lieferbar", "verfügbar", "en stock", "ex stock", "sofort", "sofort lieferbar", "immediate", "immediately"}
)
NOT_STATED = frozenset({"", "-", "--", "\u2013", "\u2014", "?", "n/a", "na", "k.a.", "on request", "auf anfrage"})

# How lists head their rows of totals. Common practice, no source.
TOTALS = frozenset(
    {"total", "totals", "grand total", "subtotal", "sub-total", "sum", "summe", "gesamt", "gesamtsumme"}
    | {"zwischensumme", "somme", "sous-total", "totaal", "totale"}
)

_DIGITS = r"[\d.,'\u2019\s]*\d"
# How a part comes packed, before or after the number of pieces. Common practice, no source.
_PACK = (
    r"(?:tubes?|reels?|box(?:es)?|bags?|trays?|packs?|pkg|packets?|rolls?|cartons?|stangen?|rollen?|beutel|kartons?"
    r"|packung(?:en)?|vpe|gurt|strip|er|er[- ]pack|pcs?|pieces?|st|stk|stck|stück|ea|each|units?)\.?"
)
_PACKED = re.compile(
    rf"(?:min\.?\s*)?(?:{_PACK}\s*(?:of|à|a|/|=|:|\()?\s*)?({_DIGITS})\s*\)?\s*(?:(?:/|per|pro|je)?\s*{_PACK})?", re.I
)
# Sold by the piece: a unit of sale where the others name a pack.
_BY_THE_PIECE = frozenset({"piece", "pieces", "pc", "pcs", "each", "ea", "unit", "st", "stk", "stck", "stück", "pce"})
# A stock may carry a bound (>100, 100+), a range (10-50) or a unit (10 pcs); the number is what is sure to be there.
_STOCK = re.compile(
    rf"(?:>=?|≥|over|über|min\.?)?\s*({_DIGITS})\s*(?:\+|(?:-|–|to|bis)\s*{_DIGITS})?\s*(?:{_PACK})?", re.I
)
# Below 0 as people and book-keeping programs write it: -5 and 5-. Common practice, no source.
_NEGATIVE = re.compile(rf"[-−]\s*({_DIGITS})|({_DIGITS})\s*[-−]")
# The quantity a price holds from: 10, 10+, ab 10, >=10, 10-99.
_FROM = re.compile(rf"(?:ab|from|dès|>=|≥)?\s*({_DIGITS})\s*(?:\+|(?:-|–|to|bis|à)\s*{_DIGITS})?\s*(?:{_PACK})?", re.I)
_BELOW = re.compile(r"(?:<=?|≤|under|unter)\s*\d+", re.I)
_NUMBER = r"\d+(?:[.,]\d+)?"
_DAYS = r"days?|d|tage?n?|jours?|j|dagen?|dni|giorni|días"
_WORKDAYS = r"(?:working|business|work) ?days?|wd|werktagen?|arbeitstagen?|at|wt|jours ouvr[ée]s"
_WEEKS = r"weeks?|wks?|w|wochen?|wo\.?|semaines?|sem\.?"
_HOURS = r"hours?|h|hrs?|stunden|std\.?"
_TIME = re.compile(
    rf"(?:ca\.?|about|approx\.?|<|≤|up to|bis)?\s*(?:{_NUMBER}\s*(?:-|–|to|bis|à)\s*)?({_NUMBER})\s*"
    rf"(?:(?P<days>{_DAYS})|(?P<work>{_WORKDAYS})|(?P<weeks>{_WEEKS})|(?P<hours>{_HOURS}))?",
    re.I,
)


class Count(NamedTuple):
    """What a cell says: a number or None (not stated), and what to tell about it: a note, or what was expected."""

    number: int | None
    note: str = ""
    expected: str = ""


UNSTATED = Count(None)


@dataclass(frozen=True, slots=True)
class CountMarks:
    """What each mark does in a column of counts: parts *thousands*, is the *decimal* sign, or cannot be told ("")."""

    point: str = "thousands"
    comma: str = "thousands"


@dataclass(slots=True)
class CountsShown:
    """What a column's cells show about its marks: before 250 a mark parts thousands, before 00 or 5 it is decimal."""

    shown: dict[str, set[str]] = field(default_factory=lambda: {".": set(), ",": set()})
    doubtful: tuple[int, str] | None = None

    def look(self, text: str, line: int = 0) -> None:
        for mark in self.shown:
            if mark in text:
                roles = {_role(tail) for tail in re.findall(rf"\{mark}(\d+)", text)}
                self.shown[mark] |= roles
                if self.doubtful is None and "doubtful" in roles:
                    self.doubtful = line, text

    def unsure(self) -> tuple[int, str] | None:
        """The first cell such as 5.000, where none of the column's cells decides whether that is 5 or 5000."""
        decided = any("decimal" in roles for roles in self.shown.values())  # then the other mark parts thousands
        return self.doubtful if {"doubtful"} in self.shown.values() and not decided else None

    def marks(self, decimal: str) -> CountMarks:
        """``decimal`` is the list's sign, which a doubtful cell (5.000) follows."""
        return CountMarks(*(_decided(self.shown[mark], mark == decimal) for mark in ".,"))


def _role(tail: str) -> str:
    if len(tail) != 3:
        return "decimal"
    return "doubtful" if tail == "000" else "thousands"


def _decided(shown: set[str], is_decimal_sign: bool) -> str:
    certain = shown - {"doubtful"}
    if len(certain) > 1:
        return ""
    return next(iter(certain), "decimal" if is_decimal_sign else "thousands")


def whole_in(text: str, marks: CountMarks) -> int | None:
    """A whole number, or None where it is none or could be two."""
    text = BLANKS.sub("", text)
    if text.isdecimal() and text.isascii():
        return int(text)
    for mark, role in ((".", marks.point), (",", marks.comma)):
        if mark in text and (not role or not _fits(text, mark, role)):
            return None
        text = text.replace(mark, "" if role == "thousands" else "|")
    whole, _, rest = text.partition("|")
    return int(whole) if whole.isdecimal() and not rest.strip("0") else None


def _fits(text: str, mark: str, role: str) -> bool:
    pattern = rf"\d{{1,3}}(\{mark}\d{{3}})+(?!\d).*" if role == "thousands" else rf"[\d.,]*\{mark}\d*"
    return re.fullmatch(pattern, text) is not None


def stock_in(text: str, marks: CountMarks) -> Count:
    """What is sure to be there: *>100* is 100, *none* and a shortage are 0, *in stock* is not stated."""
    word = text.casefold()
    if word in NOT_STATED or word in SOME_LEFT:
        return UNSTATED
    if word in NONE_LEFT:
        return Count(0)
    if not any(c.isdigit() for c in text) or _BELOW.fullmatch(text):
        return Count(None, "says no number; taken as not stated")
    if (negative := _NEGATIVE.fullmatch(text)) and whole_in(negative[1] or negative[2], marks) is not None:
        return Count(0, "is below 0; taken as none in stock")
    return _counted(_STOCK, text, marks, "a whole number of pieces")


def pieces_in_pack(text: str, marks: CountMarks, packing: Mapping[str, int]) -> Count:
    """A minimum or multiple: a number, *reel of 500*, *10 pcs*, or a code that ``packing`` explains."""
    if text.casefold() in NOT_STATED:
        return UNSTATED
    if (known := packing.get(text.casefold())) is not None:
        return Count(known)
    if text.casefold().rstrip(".") in _BY_THE_PIECE:
        return Count(1)
    found = _counted(_PACKED, text, marks, "a whole number of pieces above 0")
    if found.expected and any(c.isalpha() for c in text):
        return Count(None, "", "a number of pieces, or a code that packing in [feed] explains")
    return Count(None, "is 0; taken as not stated") if found.number == 0 else found


def start_in(text: str, marks: CountMarks) -> int | None:
    """The quantity that a price holds from, as in 10, 10+, *ab 10* or 10-99; None where it is none."""
    match = _FROM.fullmatch(text)
    return (whole_in(match[1], marks) if match else None) or None


def days_in(text: str, marks: CountMarks, today: date | None = None) -> Count:
    """A lead time in days, of a range the longest; a week is 7 days, 5 working days are a week, hours round up.

    A day such as 2026-12-15 or 15.12.2026 is so many days from ``today``, where that is known.
    """
    if text.casefold() in NOT_STATED:
        return UNSTATED
    if text.casefold() in SOME_LEFT:
        return Count(None, "says no number of days; taken as not stated")
    if (day := _day_in(text)) is not None:
        return _until(day, today)
    match = _TIME.fullmatch(text)
    number = whole_in(match[1], marks) if match else None
    if match is None or number is None:
        return Count(None, "", "a whole number of days (or weeks: 2 weeks)")
    if match["weeks"]:
        return Count(number * 7)
    if match["work"]:
        return Count(-(-number * 7 // 5))
    return Count(-(-number // 24) if match["hours"] else number)


def _day_in(text: str) -> date | None:
    for form in ("%Y-%m-%d", "%d.%m.%Y", "%d.%m.%y"):
        try:
            return datetime.strptime(text, form).date()
        except ValueError:
            continue
    return None


def _until(day: date, today: date | None) -> Count:
    if today is None or day < today:
        return Count(None, "is a day that is over; taken as not stated")
    return Count((day - today).days, "is a day; taken as so many days from the day it was read")


def _counted(form: re.Pattern[str], text: str, marks: CountMarks, expected: str) -> Count:
    match = form.fullmatch(text)
    number = whole_in(match[1], marks) if match else None
    return Count(None, "", expected) if number is None else Count(number)
