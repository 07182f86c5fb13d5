"""How price lists write counts: stock with a bound, days and weeks, packing codes, thousands marks in a column.

A count is whole, so a mark before three digits parts thousands unless the column's other cells show it as a decimal
sign (5.00). Words are no number: *none* is 0, and *in stock* says nothing about how many.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from bom.intake.price_lists.amounts import BLANKS
from bom.values.typed_day import day_typed

# Words seen in stock columns. Common practice, no source.
NONE_LEFT = frozenset(
    {"no", "none", "nil", "nein", "keine", "non", "nee", "sold out", "out of stock", "ausverkauft", "nicht lieferbar"}
    | {"nicht am lager", "nicht auf lager", "rupture", "épuisé", "discontinued"}
)
# None is left and none will come.
GONE = frozenset({"sold out", "ausverkauft", "nicht lieferbar", "discontinued", "épuisé"})
# It lies there and is sent at once.
AT_ONCE = frozenset(
    {"in stock", "ex stock", "from stock", "auf lager", "am lager", "ab lager", "lagernd", "en stock"}
    | {"sofort", "sofort lieferbar", "immediate", "immediately"}
)
SOME_LEFT = AT_ONCE | {"yes", "y", "ja", "j", "oui", "available", "lieferbar", "verfügbar"}
_BLANK = frozenset({"", "-", "--", "\u2013", "\u2014"})
NOT_STATED = _BLANK | {"?", "n/a", "na", "k.a.", "on request", "auf anfrage"}
# A lead time that has yet to be asked for.
_ASK = (NOT_STATED - _BLANK) | {"tba", "tbc", "tbd", "poa", "call", "ask", "unknown", "unbekannt", "offen"}

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
_WEEKS = r"weeks?|wks?\.?|w|wochen?|wo\.?|semaines?|sem\.?|weken"
_MONTHS = r"months?|mths?\.?|monate?n?|mois|maanden"
_HOURS = r"hours?|h|hrs?|stunden|std\.?"
_UNITS = rf"{_DAYS}|{_WORKDAYS}|{_WEEKS}|{_MONTHS}|{_HOURS}"
_TIME = re.compile(
    rf"(?:ca\.?|about|approx\.?|<=?|≤|up to|bis)?\s*"
    rf"(?:({_NUMBER})\s*({_UNITS})?\s*(?:-|–|to|bis|à)\s*)?({_NUMBER})\s*({_UNITS})?(?:\s*aro)?",
    re.I,
)
# It may take longer than the number says: >12 weeks, 12+ weeks, from 12 weeks.
_OPEN = re.compile(
    rf"(?:>=?|≥|over|über|min\.?|from|ab)\s*{_NUMBER}\s*(?:{_UNITS})?|{_NUMBER}\s*\+\s*(?:{_UNITS})?", re.I
)
# How many days one of each is; a month counts as its longest. Hours and working days round up.
_DAYS_IN = (
    (_WORKDAYS, Fraction(7, 5)),
    (_WEEKS, Fraction(7)),
    (_MONTHS, Fraction(31)),
    (_HOURS, Fraction(1, 24)),
    (_DAYS, Fraction(1)),
)
LEAD_UNITS = ("days", "working days", "weeks", "months")
"""What a column of lead times may be in, where its cells are bare numbers."""


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


@dataclass(frozen=True, slots=True)
class LeadTimes:
    """How a column of lead times is meant: its ``unit`` where a cell names none (of ``LEAD_UNITS``), the days
    that the supplier ``usual``ly takes, and the day that days are counted from."""

    unit: str = "days"
    usual: int | None = None
    today: date | None = None


DAYS = LeadTimes()


def unit_of_heading(heading: str) -> str:
    """What bare numbers under this heading are in: *Lead time (weeks)* weeks; days where it names nothing else."""
    for unit, words in (("working days", _WORKDAYS), ("weeks", _WEEKS), ("months", _MONTHS)):
        longer = "|".join(word for word in words.split("|") if len(word.rstrip("?.\\")) > 1)
        if re.search(rf"(?<![^\W\d_])(?:{longer})(?![^\W\d_])", heading, re.I):
            return unit
    return "days"


def days_in(text: str, marks: CountMarks, meant: LeadTimes = DAYS) -> Count:
    """A lead time in days, of a range the longest: *6-8 weeks* is 56.

    Blank, it is the supplier's usual; so is *ex stock*, or 0 where nothing is usual. One that has yet to be asked for,
    that has no end (>12 weeks) or that is over is not known, whatever is usual. A day such as 2026-12-15 or 15.12.2026
    is so many days from ``meant.today``.
    """
    word = text.casefold()
    if word in _BLANK:
        return Count(meant.usual)
    if word in AT_ONCE:
        return Count(meant.usual or 0)
    if word in SOME_LEFT:
        return Count(meant.usual, "says no number of days; taken as not stated")
    if word in _ASK:
        return UNSTATED
    if _OPEN.fullmatch(text):
        return Count(None, "may be longer than it says; taken as not known")
    if (day := day_typed(text)) is not None:
        return _until(day, meant.today)
    match = _TIME.fullmatch(text)
    spans = _spans(match, marks, meant.unit) if match else []
    if not spans or None in spans:
        return Count(None, "", "a whole number of days (or 2 weeks, 3 months, a day such as 2026-12-15)")
    return Count(max(ceil(span) for span in spans if span is not None))


def _spans(match: re.Match[str], marks: CountMarks, unit: str) -> list[Fraction | None]:
    """Both ends of a range in days; a first end without a unit is in that of the last."""
    first, first_unit, last, last_unit = match.groups()
    last_unit = last_unit or first_unit or unit
    ends = [(last, last_unit), *([(first, first_unit or last_unit)] if first else [])]
    return [_span(number, of, marks) for number, of in ends]


def _span(text: str, unit: str, marks: CountMarks) -> Fraction | None:
    one = next(days for words, days in _DAYS_IN if re.fullmatch(words, unit, re.I))
    if (whole := whole_in(text, marks)) is not None:
        return whole * one
    part = re.fullmatch(r"\d+[.,]\d{1,2}", text)  # 1.5 weeks; before three digits the mark could part thousands
    return Fraction(text.replace(",", ".")) * one if part else None


def _until(day: date, today: date | None) -> Count:
    if today is None or day < today:
        return Count(None, "is a day that is over; taken as not known")
    return Count((day - today).days, "is a day; taken as so many days from the day it was read")


def _counted(form: re.Pattern[str], text: str, marks: CountMarks, expected: str) -> Count:
    match = form.fullmatch(text)
    number = whole_in(match[1], marks) if match else None
    return Count(None, "", expected) if number is None else Count(number)
