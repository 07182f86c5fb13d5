"""How part numbers are spelled: which spellings are one part, and which are only alike and worth a
suggestion.

A wrong merge buys the wrong part and a missed one costs a question, so every doubt is left to ``suggest``.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from heapq import nsmallest

# How a part comes packed, which is no part of what it is: tape and reel. Common practice, no source; kept
# tiny because a longer list would cut letters that mean something. A maker's own endings go in by the
# ``suffixes`` argument.
PACKING_SUFFIXES = ("/T&R", "/TR", "-TR")  # the longest first

_DASHES = re.compile("[\u2010-\u2015\u2212\u00ad\ufe58\ufe63\uff0d]")
_BETWEEN_DIGITS = re.compile(r"(?<=[0-9])[\s\-_]+(?=[0-9])")
_ELSEWHERE = re.compile(r"(?<![0-9])[\s\-_.]+|[\s\-_.]+(?![0-9])")
# Characters that are taken for each other in print and in handwriting. From memory.
_LOOK_ALIKE = str.maketrans("ILOQSBZ", "1100582")


def normal(text: str, suffixes: Sequence[str] = PACKING_SUFFIXES) -> str:
    """The one spelling that all spellings of a part share; it is a key, not for showing.

    In this order: compatibility forms (NFKC) and capitals; every dash becomes a hyphen; one packing suffix
    goes; spaces, hyphens and underscores go, but between two digits they become one hyphen, because 21-2 is
    not 2-12; dots go too, but stay between two digits, where 1.0 is not 10. Slashes and all else stay.

    >>> normal("tw2 12s")
    'TW2-12S'
    """
    plain = text if text.isascii() else _DASHES.sub("-", unicodedata.normalize("NFKC", text))
    plain = _without_packing(plain.upper().strip(), suffixes)
    return _ELSEWHERE.sub("", _BETWEEN_DIGITS.sub("-", plain)).strip("-._ ")


def same(a: str, b: str, suffixes: Sequence[str] = PACKING_SUFFIXES) -> bool:
    """Whether two spellings are one part. Nothing is the same as an empty text.

    >>> same("TW2-12S", "tw2 12s/TR"), same("TW2-12S", "TW2-24S")
    (True, False)
    """
    return normal(a, suffixes) == normal(b, suffixes) != ""


def makers_and_numbers(text: str) -> Iterator[tuple[str, str]]:
    """Every way to read a text as a maker, or nobody, and a number: the whole as a number first, then fewer words."""
    words = text.split()
    yield "", text
    for first in range(1, len(words)):
        yield " ".join(words[:first]), " ".join(words[first:])


def suggest(text: str, known: Iterable[str], most: int = 5) -> list[str]:
    """Known part numbers that ``text`` may have meant, likeliest first, at most ``most``.

    Look-alike characters (I and 1, O and 0) and left-out separators come first, then one character that is
    wrong, missing, extra, or changed places with its neighbour. What ``text`` already is, is no suggestion.

    >>> suggest("TW2-12D", ["TW2-12S", "K2R-12S"])
    ['TW2-12S']
    """
    wanted = normal(text)
    ranked = ((_likeness(wanted, normal(k)), k) for k in dict.fromkeys(known))
    return [k for _, k in nsmallest(most, ((rank, k) for rank, k in ranked if rank in (1, 2)))]


def run_together(text: str, known: Iterable[str]) -> list[str]:
    """Known part numbers that ``text`` is without their separators, as TW212S is TW2-12S; each once, in order.

    A text that has a separator of its own between two digits means it: TW21-2S is none of TW2-12S. More than one
    answer is a question to ask, never a choice to make.
    """
    wanted = normal(text)
    if not wanted or wanted != _bare(wanted):
        return []
    return [k for k in dict.fromkeys(known) if _bare(normal(k)) == wanted]


def _bare(key: str) -> str:
    return key.replace("-", "").replace(".", "")


def _without_packing(plain: str, suffixes: Sequence[str]) -> str:
    longest_first = PACKING_SUFFIXES if suffixes is PACKING_SUFFIXES else sorted(suffixes, key=len, reverse=True)
    for suffix in longest_first:
        bare = plain.removesuffix(suffix.upper())
        if bare and bare != plain:
            return bare
    return plain


def _likeness(a: str, b: str) -> int:
    """0 the same, 1 alike to the eye, 2 one slip apart, 3 different."""
    if a == b:
        return 0
    if _seen(a) == _seen(b):
        return 1
    return 2 if _one_slip(a, b) else 3


def _seen(key: str) -> str:
    return _bare(key).translate(_LOOK_ALIKE)


def _one_slip(a: str, b: str) -> bool:
    """Whether one character changed, added, left out or swapped with its neighbour makes ``a`` into ``b``."""
    if abs(len(a) - len(b)) > 1:
        return False
    start = next((i for i, (x, y) in enumerate(zip(a, b, strict=False)) if x != y), min(len(a), len(b)))
    rest_a, rest_b = a[start:], b[start:]
    swapped = rest_a[:2] == rest_b[:2][::-1] and rest_a[2:] == rest_b[2:]
    return swapped or rest_a[1:] == rest_b[1:] or rest_a[1:] == rest_b or rest_a == rest_b[1:]


# What spreadsheet programs make of codes: 5.03E+02 out of 0503E000 or 5E2, a date out of 5-3 or MAY3.
# Seen in common spreadsheet programs; 22E1 or 6-10 as they stand are whole, so they are not in this list.
_MONTHS = "Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec|Mär|Mrz|Mai|Okt|Dez|ene|abr|ago|dic|janv|févr|avr|août|déc"
_EXPONENT = re.compile(r"[+-]?\d([.,]\d+)?E[+-]\d{2,3}")
_DATE = re.compile(
    rf"(\d{{1,2}}/\d{{1,2}}/\d{{2,4}}|\d{{1,2}}\.\d{{1,2}}\.\d{{4}}|\d{{4}}-\d\d-\d\d)([ T]0?0:00(:00)?)?"
    rf"|\d{{1,2}}(-|\. )({_MONTHS})\.?(-\d{{2,4}})?|({_MONTHS})\.?[- ]\d{{1,4}}"
)


def damage(part_number: str) -> str:
    """What a spreadsheet program seems to have turned this part number into: *an exponent*, *a date* or
    nothing.

    >>> damage("2.2E+02")
    'an exponent'
    """
    if _EXPONENT.fullmatch(part_number):
        return "an exponent"
    return "a date" if _DATE.fullmatch(part_number) else ""
