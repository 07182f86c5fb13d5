"""Amounts as price lists write them: either decimal sign, thousands marks, currency signs, *on request*.

A single mark before three digits (1.250) may be a decimal sign or a thousands mark; the list's other cells
decide, and where they cannot, the cell is reported instead of guessed at.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

# Blanks that stand between thousands (ISO 80000-1 asks for a thin space), and the Swiss apostrophe.
_BLANKS = re.compile("[ \u00a0\u2009\u202f'\u2019]")
_PLAIN = re.compile(r"[+-]?\d+", re.ASCII)
_MARKED = re.compile(r"[+-]?\d[\d.,]*\d", re.ASCII)
SIGNS = {"€": "EUR", "£": "GBP", "¥": "JPY"}


@dataclass(frozen=True, slots=True)
class Marks:
    """The decimal sign a list is said to use, and whether its cells bear that out (*seen*) or speak
    against it (*denied*)."""

    decimal: str
    seen: bool = False
    denied: bool = False

    @property
    def thousands(self) -> str:
        return "." if self.decimal == "," else ","


def marks_of(decimal: str, cells: Iterable[str]) -> Marks:
    """What the cells of a list say about its decimal sign."""
    shown = {sign for text in cells if (sign := evident(bare(text)))}
    return Marks(decimal, decimal in shown, bool(shown - {decimal}))


def evident(text: str) -> str:
    """The decimal sign that this amount shows for certain, empty where it shows none.

    That is the last of two kinds of mark, one that isn't before three digits, one after a lone 0 or after more than
    three digits, and the other kind than a repeated one.
    """
    if not _MARKED.fullmatch(text) or not (found := {c for c in text if c in ".,"}):
        return ""
    if len(found) == 2:
        return max(found, key=text.rindex)
    mark = found.pop()
    if text.count(mark) > 1:
        return "," if mark == "." else "."
    head, _, tail = text.lstrip("+-").partition(mark)
    return mark if len(tail) != 3 or head.startswith("0") or len(head) > 3 else ""


def bare(text: str, currency: str = "") -> str:
    """The amount without its currency (its code, or any currency sign) and blanks."""
    if currency:
        text = text.replace(currency, "")
    return _BLANKS.sub("", re.sub("[€£¥$]", "", text))


def amount_in(text: str, marks: Marks) -> Decimal | None:
    """The amount, or None where it is none or could be two."""
    if _PLAIN.fullmatch(text):
        return Decimal(text)
    if not _MARKED.fullmatch(text) or marks.denied:
        return None
    if marks.thousands in text:
        return _grouped(text, marks)
    return Decimal(text.replace(marks.decimal, ".")) if text.count(marks.decimal) == 1 else None


def _grouped(text: str, marks: Marks) -> Decimal | None:
    """An amount with thousands marks, which count only in groups of three and where the decimal sign is
    certain."""
    whole, _, rest = text.partition(marks.decimal)
    first, *groups = whole.lstrip("+-").split(marks.thousands)
    if not 1 <= len(first) <= 3 or any(len(g) != 3 for g in groups) or marks.thousands in rest:
        return None
    if not marks.seen and evident(text) != marks.decimal:
        return None
    return Decimal(text.replace(marks.thousands, "").replace(marks.decimal, "."))


def is_on_request(text: str) -> bool:
    """Whether a price cell holds words instead of a price: *on request*, *auf Anfrage*, *n/a*, a dash."""
    return bool(text) and not any(c.isdigit() for c in text)


def other_currency(text: str, currency: str) -> str:
    """The currency that a sign in this cell stands for, where it is not the list's; else empty."""
    return next((code for sign, code in SIGNS.items() if sign in text and code != currency), "")
