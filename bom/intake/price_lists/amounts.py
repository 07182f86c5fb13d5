"""How price lists write amounts: either decimal sign, thousands marks, currency signs, prices per hundred.

A single mark before three digits (1.250) may be a decimal sign or a thousands mark. The column's other cells decide
(``MarksShown`` collects what they show); where they cannot, the cell is reported instead of guessed at. A price cell
comes to an amount, a currency and for how many pieces it is, or to why it is not understood.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from bom.buying.offer import Break
from bom.values.money import Money
from bom.values.problem import Refused

# Blanks that stand between thousands (ISO 80000-1 asks for a thin space), and the Swiss apostrophe.
BLANKS = re.compile("[ \u00a0\u2009\u202f'\u2019]")
_PLAIN = re.compile(r"\d+", re.ASCII)
_MARKED = re.compile(r"\d[\d.,]*\d|[.,]\d+", re.ASCII)
# 12,- and 5.-- are whole amounts (usual in German and Swiss lists; from memory).
_NO_CENTS = re.compile(r"([.,])[-\u2013\u2014]+$")

# Which currencies a sign may stand for. From memory; a sign that is not here makes the cell unreadable.
SIGNS = {
    "€": ("EUR",),
    "£": ("GBP", "EGP", "GIP", "FKP", "SHP"),
    "¥": ("JPY", "CNY"),
    "$": ("USD", "CAD", "AUD", "NZD", "SGD", "HKD", "TWD", "MXN", "CLP", "ARS", "COP"),
    "₹": ("INR",),
    "₩": ("KRW",),
    "zł": ("PLN",),
    "Kč": ("CZK",),
    "kr": ("SEK", "NOK", "DKK", "ISK"),
    "Fr.": ("CHF",),
    "SFr": ("CHF",),
    "Ft": ("HUF",),
}
_CODES = re.compile(r"(?<![A-Za-z])[A-Z]{3}(?![A-Za-z])")
_PIECE = r"(?:each|ea|pcs?|pieces?|units?|st|stk|stck|stück|pce|pièces?|pz)\.?"
# 12,50/100 · 12.50 per 100 pcs · 3.10/St. · 8.20 each. C is a hundred and M a thousand in American lists (from memory).
_PER = re.compile(rf"(.*?)\s*(?:(?:/|\b(?:per|pro|je|par)\b)\s*(\d+|[CM]\b)?\s*({_PIECE})?|\b({_PIECE}))", re.I)
_LETTERS = {"C": 100, "M": 1000, "E": 1}


@dataclass(frozen=True, slots=True)
class NumberMarks:
    """A list's decimal sign, and whether its cells bear it out, so that the other mark parts thousands for certain."""

    decimal: str
    sure: bool = False

    @property
    def thousands(self) -> str:
        return "." if self.decimal == "," else ","


@dataclass(slots=True)
class MarksShown:
    """What cells show about the decimal sign: how many show each for certain, and where; where one is in doubt."""

    counted: dict[str, int] = field(default_factory=lambda: {".": 0, ",": 0})
    first: dict[str, tuple[int, str]] = field(default_factory=dict)
    doubtful: tuple[int, str] | None = None

    def look(self, line: int, text: str) -> None:
        """Take one amount into account, bare of its currency."""
        if not ("." in text or "," in text):
            return
        if sign := evident(text):
            self.counted[sign] += 1
            self.first.setdefault(sign, (line, text))
        elif self.doubtful is None and _MARKED.fullmatch(text):
            self.doubtful = line, text

    def also(self, sign: str, line: int, text: str) -> None:
        """One more cell shows this sign, or leaves it in doubt (*?*)."""
        if sign == "?":
            self.doubtful = self.doubtful or (line, text.strip())
            return
        self.counted[sign] += 1
        if sign not in self.first:
            self.first[sign] = line, text.strip()

    @property
    def mostly(self) -> str:
        """The sign most cells show; empty where none does or both are shown alike often."""
        point, comma = self.counted["."], self.counted[","]
        return "" if point == comma else "." if point > comma else ","

    def marks(self, configured: str) -> NumberMarks | None:
        """The list's marks; None where the cells speak against what is configured, or nothing decides."""
        decimal = configured or self.mostly
        if not decimal:
            return None if self.doubtful or self.counted["."] else NumberMarks(".")
        if self.counted[NumberMarks(decimal).thousands] > self.counted[decimal]:
            return None
        return NumberMarks(decimal, self.counted[decimal] > 0)


def marks_of(configured: str, cells: Iterable[str]) -> NumberMarks | None:
    """What these cells come to; see ``Shown.marks``."""
    shown = MarksShown()
    for number, text in enumerate(cells, 1):
        shown.look(number, bare(text))
    return shown.marks(configured)


def evident(text: str) -> str:
    """The decimal sign that this amount shows for certain, empty where it shows none.

    That is the last of two kinds of mark, one that isn't before three digits, one after a lone 0 or after more than
    three digits, and the other kind than a repeated one.
    """
    if end := _NO_CENTS.search(text):
        return end[1]
    if not _MARKED.fullmatch(text) or not (found := {c for c in text if c in ".,"}):
        return ""
    if len(found) == 2:
        return max(found, key=text.rindex)
    mark = found.pop()
    if text.count(mark) > 1:
        return "," if mark == "." else "."
    head, _, tail = text.partition(mark)
    return mark if len(tail) != 3 or head in ("", "0") or len(head) > 3 or head.startswith("0") else ""


def bare(text: str, currency: str = "") -> str:
    """The amount without its currency (its code, or any sign that may stand for it) and blanks."""
    if text.isascii() and text[-1:].isdigit() and text[:1].isdigit() and " " not in text and "'" not in text:
        return text
    if currency:
        text = text.replace(currency, "")
    for sign, codes in SIGNS.items():
        if not currency or currency in codes:
            text = text.replace(sign, "")
    return BLANKS.sub("", text)


def amount_in(text: str, marks: NumberMarks) -> Decimal | None:
    """The amount, not below 0, or None where it is none or could be two."""
    if _PLAIN.fullmatch(text):
        return Decimal(text)
    if (end := _NO_CENTS.search(text)) and end[1] == marks.decimal:
        text = text[: end.start()]
        return amount_in(text, marks) if text else None
    if not _MARKED.fullmatch(text):
        return None
    if marks.thousands in text:
        return _grouped(text, marks)
    return Decimal(text.replace(marks.decimal, ".")) if text.count(marks.decimal) == 1 else None


def _grouped(text: str, marks: NumberMarks) -> Decimal | None:
    """With thousands marks, which count only in groups of three and where the decimal sign is certain."""
    whole, _, rest = text.partition(marks.decimal)
    first, *groups = whole.split(marks.thousands)
    if not 1 <= len(first) <= 3 or any(len(g) != 3 for g in groups) or marks.thousands in rest:
        return None
    if not marks.sure and evident(text) != marks.decimal:
        return None
    return Decimal(text.replace(marks.thousands, "").replace(marks.decimal, "."))


def without_per(text: str) -> tuple[str, int] | None:
    """(the amount's text, how many pieces it is for) of *12,50/100* or *3.10 each*; None where it is for none of ours.

    A text that says nothing of the kind is for one piece.
    """
    if not any(c.isalpha() or c == "/" for c in text):
        return text, 1
    if not (match := _PER.fullmatch(text)):
        return text, 1
    pieces = pieces_in(match[2] or "1")
    return (match[1], pieces) if pieces else None


def pieces_in(text: str) -> int | None:
    """How many pieces a price is for, as its own column says: 1, 100, *per 100*, C, M, *each*; None where none."""
    plain = re.sub(r"^(?:/|per|pro|je|par)\s*", "", text.strip(), flags=re.I)
    plain = re.sub(rf"\s*{_PIECE}$", "", plain, flags=re.I) or "1"
    found = _LETTERS.get(plain.upper(), int(plain) if _PLAIN.fullmatch(plain) else 0)
    return found or None


# Per 100, /1000, per 1,000, je 1'000, per 1k, per hundred. A number of pieces is whole, so a mark parts thousands.
_HEADING_PER = re.compile(
    r"(?:/|\b(?:per|pro|je|par)\b)\s*"
    r"(?:(\d{1,3}(?:[.,'\u2019 ]000)+|\d+k?)(?![\d.,]*\d)\b|(hundred|thousand|hundert|tausend)\b)",
    re.I,
)
_NAMED_PIECES = {"hundred": 100, "hundert": 100, "thousand": 1000, "tausend": 1000}


def header_per(header: str) -> int:
    """How many pieces a column's heading says its prices are for: *Price per 100* 100; 1 where it says nothing."""
    match = _HEADING_PER.search(header)
    if match is None:
        return 1
    named = _NAMED_PIECES.get((match[2] or "").casefold())
    return named or int(re.sub(r"\D", "", match[1])) * (1000 if match[1][-1:].casefold() == "k" else 1)


def is_on_request(text: str) -> bool:
    """Whether a price cell holds words instead of a price: *on request*, *auf Anfrage*, *n/a*, a dash, *#DIV/0!*."""
    return text.startswith("#") or (bool(text) and not any(c.isdigit() for c in text))


def other_currency(text: str, currency: str) -> str:
    """The currency sign or code in this cell that is not the list's; else empty."""
    for sign, codes in SIGNS.items():
        if sign in text and currency not in codes:
            return codes[0] if len(codes) == 1 else sign
    return next((c for c in _CODES.findall(text) if c != currency and c in CODES), "")


def heading_currency(heading: str, currency: str) -> str:
    """The currency that a price column's heading names and that is not the list's, as in *Price (USD)*; else empty."""
    signs = [s for s, codes in SIGNS.items() if not s[0].isalpha() and s in heading and currency not in codes]
    codes = [c for c in _CODES.findall(heading) if c in CODES]
    return "" if currency in codes else next(iter([*codes, *signs]), "")


_TAX = r"(?:tax|vat|gst|mwst|ust|tva|btw|iva)\b"
_WITH_TAX = re.compile(rf"\b(?:incl|inkl|inc|with|mit|including|inclusive)\b.*{_TAX}|\bttc\b", re.I)
_WITHOUT_TAX = re.compile(rf"\b(?:excl|exkl|ex|without|ohne|excluding|exclusive|zzgl|hors|plus)\b.*{_TAX}", re.I)


def heading_has_tax(heading: str) -> bool | None:
    """Whether a price column's heading says its prices hold tax; None where it does not say. Words from memory."""
    if _WITH_TAX.search(heading):
        return True
    return False if _WITHOUT_TAX.search(heading) else None


# Currency codes that are looked for in cells (ISO 4217; the ones a bench meets, from memory).
_KNOWN = """
AUD BGN BRL CAD CHF CLP CNY CZK DKK EUR GBP HKD HUF IDR ILS INR ISK JPY KRW KWD MXN MYR NOK NZD PHP PLN RON RSD
SEK SGD THB TRY TWD UAH USD VND ZAR
"""
CODES = frozenset(_KNOWN.split())


_REMEMBERED = 50_000  # how many different cells are remembered with what they mean
# Digits, and up to six after a mark: what Money can hold without rounding.
PLAIN_PRICE = re.compile(r"(\d{1,9})(?:([.,])(\d{1,6}))?", re.ASCII)


class Prices:
    """Reads price cells of one list; equal cells are understood once. ``per`` 0 = the list says it itself, or 1."""

    def __init__(self, currency: str, marks: NumberMarks, per: int, shown: MarksShown) -> None:
        self.currency, self.marks, self.per, self.shown = currency, marks, per, shown
        self.known: dict[tuple[str, int] | tuple[str, int, str, str], Break | str | None] = {}

    def at(self, text: str, start: int, per: str = "", currency: str = "") -> Break | str | None:
        """The break that begins at ``start``; None without a price; a text says what was expected instead.

        ``per`` and ``currency`` are the cells that say for how many pieces and in what currency, where there are such.
        """
        key = (text, start, per, currency) if per or currency else (text, start)
        if key not in self.known:
            plain = None if per or currency else self._plain(text)
            found = plain or self._price(text, per, currency)
            if len(self.known) >= _REMEMBERED:
                self.known.clear()
            self.known[key] = Break(start, found) if isinstance(found, Money) else found
        return self.known[key]

    def _plain(self, text: str) -> Money | None:
        """A plain price such as 12,50 for one piece, which most are, without further ado."""
        plain = PLAIN_PRICE.fullmatch(text)
        if not plain or self.per > 1 or plain[2] not in (None, self.marks.decimal):
            return None
        return Money(int(plain[1] + (plain[3] or "").ljust(6, "0")), self.currency) or None

    def _price(self, text: str, per: str, currency: str) -> Money | str | None:
        """A price above 0; None where there is none, or it is on request (0 is how some lists say that)."""
        if not text or is_on_request(text):
            return None
        own = currency or self.currency
        if other := other_currency(text, own):
            return f"a price in {own} (this is {other})"
        amount, pieces = self._amount(text, own), self._pieces(text, per)
        if amount is None:
            return self._expected(text)
        if isinstance(pieces, str):
            return pieces
        try:
            found = Money.of(amount / pieces, own)
        except Refused:
            return f"a price in a currency such as {self.currency}"
        return found or (f"a price of 0.000001 {own} or more" if amount else None)

    def _amount(self, text: str, currency: str) -> Decimal | None:
        parted = without_per(text)
        return None if parted is None else amount_in(bare(parted[0], currency), self.marks)

    def _pieces(self, text: str, per: str) -> int | str:
        """For how many pieces this price is: what its cell, its row or the whole list says; they may not disagree."""
        parted, stated = without_per(text), pieces_in(per) if per else self.per
        if stated is None:
            return f"a number of pieces that the price is for (1, 100), where there is {per!r}"
        own = parted[1] if parted else 1
        if own > 1 and stated > 1 and own != stated:
            return f"a price for {stated} pieces, as the list says elsewhere"
        return max(own, stated or 1)

    def _expected(self, text: str) -> str:
        words = f"a price with decimal sign {self.marks.decimal!r}"
        if self.marks.thousands in text and not self.marks.sure:
            return f"{words} (no cell shows whether {self.marks.thousands!r} marks thousands or decimals)"
        same = self.shown.counted[self.marks.decimal]
        others = "another cell has it" if same == 1 else f"{same} other cells have it"
        return f"{words}, as {others}" if same else words
