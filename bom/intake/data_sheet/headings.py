"""What a heading of a printed table means: the column of our own, and the unit, tolerance or temperature in it.

A heading is known by the trade's words for it; one that may mean two things, such as *operating voltage*, is not known.
The unit stands in the heading (``Coil resistance (Ω ±10 %)``, ``Must operate voltage, VDC``, ``75 % of nominal``) or
behind each figure, and is never supposed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from bom.intake.data_sheet.figures import OF_RATED, without_notes

COIL_WORDS: Mapping[str, Sequence[str]] = MappingProxyType(
    {
        "code": (
            *("coil code", "code", "coil designation", "designation", "type", "model", "coil"),
            *("part number", "part no", "order code", "order number", "order no", "ordering code", "article number"),
        ),
        "coil_volts": (
            *("nominal voltage", "rated voltage", "coil voltage", "nominal coil voltage", "rated coil voltage"),
            *("coil nominal voltage", "coil rated voltage"),
        ),
        "coil_ohms": ("coil resistance", "resistance", "winding resistance", "dc resistance", "coil dc resistance"),
        "operate_volts": (
            *("must operate voltage", "operate voltage", "pull in voltage", "pick up voltage", "pickup voltage"),
            *("must operate", "pull in", "pick up", "pickup", "must pull in voltage", "response voltage", "operate"),
        ),
        "release_volts": (
            *("must release voltage", "release voltage", "drop out voltage", "dropout voltage", "must release"),
            *("drop out", "dropout", "must drop out voltage", "release"),
        ),
        "hold_volts": ("must hold voltage", "hold voltage", "holding voltage", "must hold"),
        "coil_max_volts": (
            *("max voltage", "maximum voltage", "max coil voltage", "maximum coil voltage", "max continuous voltage"),
            *(
                "maximum continuous voltage",
                "max allowable voltage",
                "maximum allowable voltage",
                "max applied voltage",
            ),
            *("maximum applied voltage",),
        ),
        "coil_milliwatts": (
            *("power consumption", "rated power", "nominal power", "coil power", "rated coil power", "power"),
            *("nominal coil power", "operating power", "nominal power consumption"),
        ),
        "coil_milliamps": ("rated current", "nominal current", "coil current", "current", "rated coil current"),
        "coil_henries": ("inductance", "coil inductance"),
        "coil_ohms_tol_pct": ("resistance tolerance", "tolerance"),
    }
)
"""Column of a coil table to the trade's words for it. From memory; common practice, no source."""
CONTACT_WORDS: Mapping[str, Sequence[str]] = MappingProxyType(
    {
        "contact": ("contact", "contact form", "contact type", "contacts", "terminal"),
        "load": ("load", "load type", "type of load", "kind of load", "load kind", "utilisation category", "category"),
        "supply": ("supply", "current type", "ac dc"),
        "volts": ("voltage", "load voltage", "switching voltage", "rated voltage", "contact voltage"),
        "amps": (
            *("current", "load current", "switching current", "rated current", "rated load", "make and break current"),
            *("switched current", "contact current"),
        ),
        "inrush_amps": ("inrush current", "inrush", "make current", "making current", "peak current", "peak inrush"),
        "carry_amps": ("carry current", "carrying current", "continuous current", "limiting continuous current"),
        "lr_ms": ("l r", "time constant", "time constant l r"),
        "power_factor": ("power factor", "cos φ", "cos phi", "cosφ"),
        "temp_c": ("ambient temperature", "ambient", "temperature", "test temperature"),
        "operations": (
            *("operations", "number of operations", "electrical life", "electrical endurance", "cycles", "endurance"),
            *("life", "number of cycles", "switching cycles"),
        ),
    }
)
"""Column of a contact table to the trade's words for it. From memory; common practice, no source."""

_UNITS = {
    "v": "V", "vdc": "V", "vac": "V", "vd.c.": "V", "va.c.": "V", "volt": "V", "volts": "V", "mv": "mV", "kv": "kV",
    "ω": "Ω", "ohm": "Ω", "ohms": "Ω", "kω": "kΩ", "kohm": "kΩ", "a": "A", "ma": "mA", "mw": "mW", "w": "W",
    "mh": "mH", "h": "H", "ms": "ms", "s": "s", "°c": "°C", "℃": "°C", "%": "%", "ops": "ops", "operations": "ops",
    "cycles": "ops",
}  # fmt: skip
_TOLERANCE = re.compile(r"(?:±|\+/-|\+-)\s*(\d+(?:[.,]\d+)?)\s*%")
_PERCENT = re.compile(
    r"(\d+(?:[.,]\d+)?)?\s*(%)\s*(?:of|×|x)?\s*(?:the\s+)?(?:nominal|rated|coil)\b[^)\]]*", re.IGNORECASE
)
_AT = re.compile(r"(?:at|@)?\s*([+-]?\d+(?:[.,]\d+)?)\s*(?:°\s?C|℃)", re.IGNORECASE)
_SUPPLY = re.compile(r"(?<![a-z])(?:v\s*)?(ac|dc|a\.c\.|d\.c\.)(?![a-z])", re.IGNORECASE)
_IN_BRACKETS = re.compile(r"[(\[]([^)\]]*)[)\]]")
_LIMITS = re.compile(r"\b(?:max|min|maximum|minimum)\b\.?|[≤≥<>]", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Heading:
    """``column`` is empty where the words mean nothing here. ``share`` is a percentage of the rated volts that holds
    for every row, ``tolerance`` a ± in %, ``at_c`` a temperature, all as printed and with a decimal point."""

    printed: str
    column: str = ""
    unit: str = ""
    tolerance: str = ""
    at_c: str = ""
    share: str = ""
    supply: str = ""
    notes: tuple[str, ...] = ()


def heading_of(printed: str, words: Mapping[str, Sequence[str]]) -> Heading:
    """What the heading means, by one of the two vocabularies."""
    text, notes = without_notes(" ".join(printed.split()))
    tolerance, text = _taken(_TOLERANCE, text)
    share, percent, text = _share(text)
    at_c, text = _taken(_AT, text)
    supply = {found[1].lower().replace(".", "") for found in _SUPPLY.finditer(text)}
    plain, unit = _unit(re.sub(r"[(\[]\s*(?:max|min)\.?\s*[)\]]", " ", text, flags=re.IGNORECASE))
    column = _column(plain, words)
    if percent and column not in OF_RATED:
        column = ""
    return Heading(
        printed=" ".join(printed.split()),
        column=column,
        unit="%" if percent and not share else unit,
        tolerance=tolerance,
        at_c=at_c,
        share=share,
        supply=supply.pop() if len(supply) == 1 else "",
        notes=notes,
    )


def _taken(pattern: re.Pattern[str], text: str) -> tuple[str, str]:
    found = pattern.search(text)
    if found is None:
        return "", text
    return found[1].replace(",", "."), f"{text[: found.start()]} {text[found.end() :]}"


def _share(text: str) -> tuple[str, bool, str]:
    """A percentage of the rated volts, whether the heading is one at all, and the text without it."""
    found = _PERCENT.search(text)
    if found is None:
        return "", False, text
    return (found[1] or "").replace(",", "."), True, f"{text[: found.start()]} {text[found.end() :]}"


def _unit(text: str) -> tuple[str, str]:
    """The text without its unit, and the unit: in brackets, or the last word after a comma or a slash."""
    for found in _IN_BRACKETS.finditer(text):
        inside = _SUPPLY.sub("v" if "v" in found[1].lower() else "", _LIMITS.sub("", found[1])).strip(" ,.").lower()
        if (unit := _UNITS.get(inside.replace(" ", ""))) is not None:
            return f"{text[: found.start()]} {text[found.end() :]}", unit
    tail = re.search(r"(?:[,/]\s*|\s+in\s+|\s+)(\S+(?:\s+(?:AC|DC))?)\s*$", text, re.IGNORECASE)
    if tail is not None:
        word = _SUPPLY.sub("v" if "v" in tail[1].lower() else "", tail[1]).strip().lower()
        if (unit := _UNITS.get(word.replace(" ", ""))) is not None and word not in _WORDS_TOO:
            return text[: tail.start()], unit
    return text, ""


_WORDS_TOO = ("operations", "cycles")
"""Units that are headings by themselves."""


def _column(text: str, words: Mapping[str, Sequence[str]]) -> str:
    """The column whose words these are, without limits, signs and what stands in brackets; none where two may be."""
    bare = _IN_BRACKETS.sub(" ", text)
    for said in (_folded(bare), _folded(_LIMITS.sub(" ", bare))):
        found = {column for column, known in words.items() if _in_any_order(said) in map(_in_any_order, known)}
        if len(found) == 1:
            return found.pop()
    return ""


def _in_any_order(text: str) -> list[str]:
    """A heading in two rows has its words the other way round: *Coil voltage* over *Nominal*."""
    return sorted(text.split())


def _folded(text: str) -> str:
    """Lower case, with one blank in the place of hyphens, points and slashes; without AC and DC."""
    plain = re.sub(r"[-‐‑–/.,:_]+", " ", _SUPPLY.sub(" ", text.casefold()))
    return " ".join(plain.split())


def known_in(headings: Sequence[str], words: Mapping[str, Sequence[str]]) -> int:
    """How many of the headings this vocabulary knows."""
    return sum(1 for printed in headings if heading_of(printed, words).column)


def meant_by(headings: Sequence[str]) -> tuple[int, int]:
    """How many of the headings mean a column of the vocabulary that knows more of them, and how many have a unit."""
    heads = [[heading_of(printed, words) for printed in headings] for words in (COIL_WORDS, CONTACT_WORDS)]
    known = [[head for head in of_one if head.column] for of_one in heads]
    return max((len(of_one), sum(bool(head.unit or head.share) for head in of_one)) for of_one in known)
