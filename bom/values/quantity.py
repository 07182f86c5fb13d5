"""Quantities as people type them, read into one base unit, and shown again in few characters.

Base units: V, A, ohm, H, W, Hz, mm, s, ms, g, ml, piece, degC, deg, %, ops. A number without a unit is already
in the wanted one. The decimal sign is the point; a comma is taken for one only where it cannot mean thousands.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from bom.values.problem import Refused

_Scale = dict[str, tuple[Decimal, Decimal]]


@dataclass(frozen=True, slots=True)
class _Kind:
    """One kind of quantity: its name in a sentence and its spellings, as (factor, offset) to the kind's
    base."""

    name: str
    scale: _Scale

    def examples(self) -> str:
        return ", ".join(list(self.scale)[:3])


_NONE = Decimal(0)
# SI prefixes (SI brochure, from memory); only those that a bench meets.
_PREFIXES = {"": "1", "m": "1e-3", "k": "1e3", "u": "1e-6", "M": "1e6", "n": "1e-9"}


def _scale(**spellings: str) -> _Scale:
    return {word: (Decimal(factor), _NONE) for word, factor in spellings.items()}


def _prefixed(*symbols: str) -> _Scale:
    return {p + s: (Decimal(f), _NONE) for p, f in _PREFIXES.items() for s in symbols}


_KINDS = {
    "V": _Kind("a voltage", _prefixed("V") | _scale(v="1", mv="1e-3", volt="1", volts="1")),
    "A": _Kind("a current", _prefixed("A") | _scale(a="1", ma="1e-3", amp="1", amps="1")),
    "W": _Kind("a power", _prefixed("W") | _scale(w="1", mw="1e-3", watt="1", watts="1")),
    "Hz": _Kind("a frequency", _prefixed("Hz") | _scale(hz="1", khz="1e3", kHZ="1e3")),
    "ohm": _Kind(
        "a resistance",
        _scale(ohm="1", k="1e3", M="1e6", R="1", r="1", K="1e3")
        | _prefixed("Ω", "Ohm", "ohms", "Ohms", "R")
        | _scale(kohm="1e3", Mohm="1e6", mohm="1e-3", OHM="1"),
    ),
    # The inch is 25.4 mm exactly (international yard and pound agreement, 1959).
    "mm": _Kind(
        "a length",
        _scale(mm="1", cm="10", m="1000", MM="1", um="1e-3", inch="25.4", inches="25.4")
        | _scale(mil="0.0254", mils="0.0254", thou="0.0254", ft="304.8", **{"in": "25.4", '"': "25.4", "″": "25.4"}),
    ),
    "s": _Kind("a time", _scale(s="1", ms="1e-3", us="1e-6", sec="1", seconds="1", min="60", h="3600")),
    # The avoirdupois ounce is 28.349523125 g exactly (same agreement).
    "g": _Kind("a mass", _scale(g="1", mg="1e-3", kg="1000", gram="1", grams="1", oz="28.349523125")),
    "ml": _Kind("a volume", _scale(ml="1", mL="1", cl="10", l="1000", L="1000", cm3="1", cc="1", ul="1e-3")),
    "piece": _Kind("a count", _scale(piece="1", pieces="1", pc="1", pcs="1", off="1")),
    # °F to °C and K to °C by definition (ITS-90): x °F = (x - 32)·5/9, 0 K = -273.15 °C.
    "degC": _Kind(
        "a temperature",
        _scale(**{"°C": "1", "degC": "1", "C": "1", "℃": "1", "c": "1", "°c": "1", "degc": "1"})
        | {f: (Decimal(5) / Decimal(9), Decimal(-160) / Decimal(9)) for f in ("°F", "degF", "F", "℉")}
        | {"K": (Decimal(1), Decimal("-273.15"))},
    ),
    "H": _Kind("an inductance", _prefixed("H") | _scale(henry="1", henries="1")),
    "%": _Kind("a share", _scale(**{"%": "1", "percent": "1", "pct": "1"})),
    "deg": _Kind("an angle", _scale(deg="1", degrees="1", **{"°": "1"})),
    "ops": _Kind("a number of operations", _scale(ops="1", operations="1", cycles="1")),
}
# Wanted units that are not their kind's base.
_WANTED = {"ms": ("s", Decimal("1e-3")), "mA": ("A", Decimal("1e-3")), "mW": ("W", Decimal("1e-3"))}

_NUMBER = re.compile(r"([+-]?(?:[0-9][0-9.,]*|[.,][0-9]+)(?:[eE][+-]?[0-9]{1,2}(?![0-9]))?)\s*(.*)", re.DOTALL)
# A letter in the decimal point's place, as on drawings and in IEC 60062: 4k7, 2R2, 4V7.
_LETTER_POINT = re.compile(r"([+-]?[0-9]+)([RrkKMV])([0-9]+)\s*(Ω|ohms?)?")
_AMOUNTS = ("g", "mm", "ml", "piece")


def read(text: str, unit: str) -> float:
    """The quantity that ``text`` states, in ``unit``; e.g. ``read("0.1 in", "mm")`` is 2.54.

    Refused, saying what was expected, where the text is empty, is no number, has another kind of unit, or
    has a comma that may mean thousands or a decimal point.

    >>> read("4k7", "ohm"), read("0.1 in", "mm")
    (4700.0, 2.54)
    """
    return float(_exact(text, unit))


def read_amount(text: str | int | float | Decimal) -> tuple[Decimal, str]:
    """An amount that a kit takes and its base unit (g, mm, ml, piece): ``0.6 g``, ``15 cm`` -> 150 mm, ``3``
    -> pieces.

    Refused unless it is more than nothing.
    """
    if isinstance(text, bool):
        raise Refused(f"expected an amount such as '0.6 g' or 3, found {text!r}")
    _, word = _split(str(text))
    unit = _amount_unit(word, str(text))
    amount = _exact(str(text), unit)
    if amount <= 0:
        raise Refused(f"expected an amount above nothing, found {str(text)!r}")
    return amount, unit


def show(value: float | Decimal, unit: str) -> str:
    """A base-unit value in few characters: 0.0667 A as ``66.7 mA``, 240 ohm as ``240 Ω``, 9.1 V as ``9.1 V``.

    Electrical values and times have three significant figures and an SI prefix; lengths go to 0.01 mm,
    masses and volumes to three figures, temperatures to 0.1 °C. A value that isn't finite is *not stated*.

    >>> show(4700, "ohm"), show(0.0025, "A"), show(7.62, "mm")
    ('4.7 kΩ', '2.5 mA', '7.62 mm')
    """
    if not math.isfinite(value):
        return "not stated"
    if unit in _WANTED:
        base, factor = _WANTED[unit]
        return show(Decimal(str(value)) * factor, base)
    return _shown(Decimal(str(value)), unit)


def sign(unit: str) -> str:
    """The unit as it is written after a number: ``ohm`` as Ω, ``degC`` as °C, any other as it stands."""
    return {"ohm": "Ω", "degC": "°C", "deg": "°", "ops": "operations"}.get(unit, unit)


def _exact(text: str, unit: str) -> Decimal:
    kind_name, divisor = _WANTED.get(unit, (unit, Decimal(1)))
    if kind_name not in _KINDS:
        raise Refused(f"expected one of the units {', '.join([*_KINDS, *_WANTED])}, found {unit!r}")
    number, word = _split(text)
    if not word:
        return number
    factor, offset = _factor(word, _KINDS[kind_name], text)
    return _tidy((number * factor + offset) / divisor)


def _split(text: str) -> tuple[Decimal, str]:
    """The number, and the unit's word as typed (empty where there is none)."""
    tidy = _plain(text)
    if not tidy:
        raise Refused("expected a quantity such as '12 V', found nothing")
    if letter := _LETTER_POINT.fullmatch(tidy):
        whole, point, part, _ = letter.groups()
        return Decimal(f"{whole}.{part}"), point
    match = _NUMBER.fullmatch(tidy)
    if match is None:
        raise Refused(f"expected a quantity such as '12 V', found {text!r}")
    return _number(match[1], text), match[2].strip()


def _plain(text: str) -> str:
    """One spelling for what keyboards spell in several ways: minus, micro, ohm, hard spaces."""
    for old, new in (("\u2212", "-"), ("\u03bc", "u"), ("\u00b5", "u"), ("\u2126", "Ω")):
        text = text.replace(old, new)
    text = text.replace("\u00a0", " ").replace("\u202f", " ").replace("º", "°")
    return text.strip().replace("° ", "°")


def _number(digits: str, text: str) -> Decimal:
    mantissa, mark, exponent = digits.lower().partition("e")
    plain = _decimal_point(mantissa, text)
    if plain.count(".") > 1 or "," in plain:
        raise Refused(f"expected one number, found {text!r}")
    return Decimal(plain + mark + exponent)


def _decimal_point(mantissa: str, text: str) -> str:
    """The digits with a point for the decimal sign and nothing for thousands."""
    points, commas = mantissa.count("."), mantissa.count(",")
    if points and commas:
        decimal = max(".,", key=mantissa.rfind)
        thousands = "," if decimal == "." else "."
        return _grouped(mantissa, thousands, decimal, text)
    if points > 1 or commas > 1:
        return _grouped(mantissa, "." if points else ",", "", text)
    if commas and re.fullmatch(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}", mantissa):
        whole, _, part = mantissa.partition(",")
        raise Refused(f"{text!r} may mean {whole}.{part} or {whole}{part}: write the decimal sign as a point")
    return mantissa.replace(",", ".")


def _grouped(mantissa: str, thousands: str, decimal: str, text: str) -> str:
    whole, _, part = mantissa.partition(decimal) if decimal else (mantissa, "", "")
    grouped = re.fullmatch(rf"[+-]?[0-9]{{1,3}}(?:{re.escape(thousands)}[0-9]{{3}})+", whole)
    if grouped is None or bool(decimal) != part.isdigit():
        raise Refused(f"expected one number, found {text!r}")
    return whole.replace(thousands, "") + ("." + part if decimal else "")


def _factor(word: str, kind: _Kind, text: str) -> tuple[Decimal, Decimal]:
    if word in kind.scale:
        return kind.scale[word]
    other = next((k.name for k in _KINDS.values() if word in k.scale), "")
    but = f", which is {other}" if other else ""
    raise Refused(f"expected {kind.name} ({kind.examples()}), found {text!r}{but}")


def _amount_unit(word: str, text: str) -> str:
    if not word:
        return "piece"
    for unit in _AMOUNTS:
        if word in _KINDS[unit].scale:
            return unit
    raise Refused(f"expected an amount in g, mm, ml or pieces, found {text!r}")


def _tidy(value: Decimal) -> Decimal:
    """The value to 15 significant figures: what a float can hold, without the tail that thirds leave."""
    return Decimal(f"{value:.15g}").normalize() + 0


_PREFIXED = {"V": "V", "A": "A", "ohm": "Ω", "W": "W", "Hz": "Hz", "s": "s", "H": "H"}
_STEPS = {6: "M", 3: "k", 0: "", -3: "m", -6: "µ"}


def _shown(value: Decimal, unit: str) -> str:
    if unit in _PREFIXED:
        return _with_prefix(_figures(value, 3), _PREFIXED[unit])
    if unit == "mm":
        return f"{_places(value, '0.01')} mm"
    if unit == "degC":
        return f"{_places(value, '0.1')} °C"
    if unit == "piece":
        return f"{_text(value)} {'piece' if value == 1 else 'pieces'}"
    if unit not in _KINDS:
        raise Refused(f"expected one of the units {', '.join([*_KINDS, *_WANTED])}, found {unit!r}")
    return f"{_text(_figures(value, 3))} {unit}"


def _with_prefix(value: Decimal, symbol: str) -> str:
    steps = {p: word for p, word in _STEPS.items() if not (symbol == "s" and p > 0)}
    step = value.adjusted() // 3 * 3 if value else 0
    step = min(max(step, min(steps)), max(steps))
    return f"{_text(value.scaleb(-step))} {steps[step]}{symbol}"


def _figures(value: Decimal, figures: int) -> Decimal:
    if not value:
        return Decimal(0)
    return value.quantize(Decimal(1).scaleb(value.adjusted() - figures + 1), ROUND_HALF_UP)


def _places(value: Decimal, grain: str) -> str:
    return _text(value.quantize(Decimal(grain), ROUND_HALF_UP))


def _text(value: Decimal) -> str:
    plain = f"{value:f}"
    plain = plain.rstrip("0").rstrip(".") if "." in plain else plain
    return "0" if plain in {"-0", ""} else plain
