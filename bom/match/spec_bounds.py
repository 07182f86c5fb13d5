"""A spec's bounds against one part: any of a relay's columns, as equal, ``min_…`` or ``max_…``, and a few of shape.

What keys a spec may have, and what each holds, is ``spec_keys``: the columns of a relay, bounds made from them, and
``SHAPES``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from enum import StrEnum
from functools import cache
from types import MappingProxyType

from bom.match.part_against_part import sealing_at_least
from bom.match.search_facts import total
from bom.relays.footprint import Footprint
from bom.relays.relay import LOADS, Design, Relay, Sealing, SupplyKind
from bom.relays.wiring import CONTACT_WORDS, Kind, Wiring
from bom.values.column import Column, Holds, described, number, word
from bom.values.finding import Finding, Outcome
from bom.values.problem import Refused

SOURCE = "the spec"
_RELAY = described(Relay)
CONTACTS = word(
    ("make", "break", "changeover"),
    "What contacts each pole has.",
    "changeover",
    also=CONTACT_WORDS | {"changeover": ("CO", "C/O", "form C", "NO/NC")},
)
SHAPES: Mapping[str, Column] = {
    "units": Column("How many independent relays are in the body.", "2", Holds.WHOLE, least=1),
    "pins": Column("How many pins it has.", "10", Holds.WHOLE, least=1),
    "contacts": CONTACTS,
    "min_make_amps": number("A", "What a make contact is rated for, at least.", "15", above=0),
    "min_break_amps": number("A", "What a break contact is rated for, at least.", "10", above=0),
    "load": word(LOADS, "The load that the rated amps are for; resistive where it is left out.", "motor"),
    "load_volts": number("V", "The voltage that the rated amps are for, at least.", "14", above=0),
    "load_supply": word(SupplyKind, "What that load is fed by; dc where it is left out.", "dc"),
    "sealing_at_least": replace(_RELAY["sealing"], meaning="How tight it is, at least.", name=""),
    "max_height_mm": number("mm", "Body and standoff together, at most.", "15", above=0),
    "pin_pitch_mm": number("mm", "The least distance between two pins' centres, by callipers.", "5.08", above=0),
    "pins_long_mm": number("mm", "The longer side over the pins' centres, by callipers.", "12.7", above=0),
    "pins_wide_mm": number("mm", "The shorter side over the pins' centres, by callipers.", "7.5", above=0),
    "pitch_tolerance_mm": number(
        "mm", "How far the callipers may be off; 0.2 mm where it is left out.", "0.3", least=0
    ),
}
"""Bounds that are no column of a relay."""


def _edges(column: Column) -> Iterator[tuple[str, Column]]:
    for edge, words in (("min", "at least"), ("max", "at most")):
        yield f"{edge}_{column.name}", replace(column.unbounded, meaning=f"{column.meaning[:-1]}, {words}.", name="")


@cache
def spec_keys() -> Mapping[str, Column]:
    """Every key that a spec may have, by name: a relay's columns, their bounds, and ``SHAPES``."""
    numbers = (column for column in _RELAY.values() if column.holds is Holds.NUMBER)
    keys = {**_RELAY, **dict(bound for column in numbers for bound in _edges(column)), **SHAPES}
    return MappingProxyType({name: replace(key, name=name, needed=False) for name, key in keys.items()})


def bound_findings(design: Design, bounds: dict[str, object]) -> tuple[Finding, ...]:
    """One finding a bound; what the part does not state is *unknown*. Refuses a bound it does not know."""
    return tuple(_bound(design, name, wanted, bounds) for name, wanted in bounds.items() if name not in _HELPERS)


_HELPERS = {"load_volts", "load", "load_supply", "pitch_tolerance_mm"}

# How far callipers over leads may be off where the spec does not say: common practice, no source.
PITCH_TOLERANCE_MM = 0.2


def _bound(design: Design, name: str, wanted: object, bounds: dict[str, object]) -> Finding:
    if name in _SHAPES:
        return _compare(name, _SHAPES[name](design), wanted)
    if name in _GRID:
        return _measured(_words(name), _GRID[name](design.footprint), float(str(wanted)), bounds)
    if name in ("min_make_amps", "min_break_amps"):
        return _amps(design, name, float(str(wanted)), bounds)
    if name == "sealing_at_least":
        return _sealing(design, Sealing(str(wanted)))
    if name == "max_height_mm":
        return _limit(
            "height", total(design.relay.body_height_mm, design.relay.standoff_mm), float(str(wanted)), -1, "mm"
        )
    for prefix, sign in (("min_", 1), ("max_", -1)):
        if name.startswith(prefix) and (fact := name.removeprefix(prefix)) in _RELAY:
            return _limit(_words(fact), getattr(design.relay, fact), float(str(wanted)), sign, _RELAY[fact].sign)
    if name in _RELAY:
        return _compare(name, getattr(design.relay, name), wanted)
    raise Refused(f"expected a relay's column, min_ or max_ of one, or a shape bound in the spec, found {name!r}")


def _units(design: Design) -> int | None:
    return len(design.wiring.units) if design.wiring else None


def _pins(design: Design) -> int | None:
    return len(design.footprint.pins) if design.footprint else None


def _contacts(design: Design) -> str | None:
    return contact_words(design.wiring) if design.wiring else None


_SHAPES = {"units": _units, "pins": _pins, "contacts": _contacts}


_GRID: dict[str, Callable[[Footprint | None], float | None]] = {
    "pin_pitch_mm": lambda pins: pins.pitch_mm if pins else None,
    "pins_long_mm": lambda pins: pins.spans_mm[0] if pins and pins.spans_mm else None,
    "pins_wide_mm": lambda pins: pins.spans_mm[1] if pins and pins.spans_mm else None,
}


def _measured(check: str, offered: float | None, wanted: float, bounds: dict[str, object]) -> Finding:
    """A length as callipers found it: equal within the tolerance."""
    within = float(str(bounds.get("pitch_tolerance_mm", PITCH_TOLERANCE_MM)))
    required = f"{wanted:g} ± {within:g} mm"
    if offered is None:
        return _unstated(check, required)
    inside = abs(offered - wanted) <= within + 1e-9
    why = "as measured" if inside else f"{check.removesuffix(' mm')} {offered:g} mm, asked {wanted:g} mm"
    outcome = Outcome.PASS if inside else Outcome.FAIL
    return Finding(check, outcome, why, required, f"{offered:g} mm", None, SOURCE)


def contact_words(wiring: Wiring) -> str:
    """*changeover* where a pole has a make and a break, else *make* or *break*; mixed poles are joined with +."""
    return " + ".join(
        dict.fromkeys(_pole_words(wiring, unit, pole) for unit in wiring.units for pole in wiring.poles(unit))
    )


def _pole_words(wiring: Wiring, unit: str, pole: str) -> str:
    make = wiring.has_contact(unit, Kind.MAKE, pole)
    return "changeover" if make and wiring.has_contact(unit, Kind.BREAK, pole) else "make" if make else "break"


def _compare(name: str, offered: object, wanted: object) -> Finding:
    check = _words(name)
    if offered is None or offered == "":
        return _unstated(check, str(wanted))
    alike = _plain(offered) == _plain(wanted)
    outcome = Outcome.PASS if alike else Outcome.FAIL
    why = "as asked" if alike else f"{_told(name, offered)}, asked {_with_unit(name, wanted)}"
    return Finding(check, outcome, why, _plain(wanted), _plain(offered), None, SOURCE)


def _limit(check: str, offered: float | None, wanted: float, sign: int, unit: str) -> Finding:
    required = f"{'at least' if sign > 0 else 'at most'} {wanted:g}"
    if offered is None:
        return _unstated(check, required)
    margin = sign * (offered - wanted) / abs(wanted) if wanted else None
    inside = sign * (offered - wanted) >= 0
    why = (
        "inside the bound"
        if inside
        else f"{_quantity(check)} {offered:g} {unit}".rstrip() + f", asked {required} {unit}".rstrip()
    )
    return Finding(check, Outcome.PASS if inside else Outcome.FAIL, why, required, f"{offered:g}", margin, SOURCE)


def _sealing(design: Design, wanted: Sealing) -> Finding:
    if design.relay.sealing is None:
        return _unstated("sealing", f"at least {wanted}")
    return sealing_at_least(design.relay.sealing, wanted)


def _amps(design: Design, name: str, wanted: float, bounds: dict[str, object]) -> Finding:
    contact = Kind.MAKE if name == "min_make_amps" else Kind.BREAK
    check = f"{contact} contact"
    best = max(_rated(design, contact, bounds), default=None)
    if best is None:
        return _unstated(check + " rating", f"at least {wanted:g} A")
    return _limit(check, best, wanted, 1, "A")


def _rated(design: Design, contact: Kind, bounds: dict[str, object]) -> Iterator[float]:
    load, volts = bounds.get("load", "resistive"), float(str(bounds.get("load_volts", 0.0)))
    for rating in design.ratings:
        of_the_kind = rating.load == load and rating.supply is _load_supply(bounds)
        if rating.covers(contact) and of_the_kind and rating.volts >= volts and rating.amps is not None:
            yield rating.amps


def _load_supply(bounds: dict[str, object]) -> SupplyKind:
    """AC never serves DC, nor DC AC; a spec's load is DC unless it says otherwise, or its category does."""
    if (stated := bounds.get("load_supply")) is not None:
        return SupplyKind(str(stated))
    return SupplyKind.AC if str(bounds.get("load", "")).startswith("AC-") else SupplyKind.DC


def _unstated(check: str, required: str) -> Finding:
    why = f"{check} is not stated: look it up or measure it"
    return Finding(check, Outcome.UNKNOWN, why, required, "not stated", None, SOURCE)


_UNIT_WORDS = frozenset(name.rsplit("_", 1)[-1] for name, column in _RELAY.items() if column.unit)
"""What the names of columns with a unit end in: volts, ohms, mm."""


def _quantity(check: str) -> str:
    """The quantity without its unit, which stands after the number: *coil*, *body height*."""
    words, _, last = check.rpartition(" ")
    return words if last in _UNIT_WORDS else check


def _told(name: str, offered: object) -> str:
    """What the part has, with what that is: *coil 24 V*, *1 unit*, *contacts make*."""
    if name in ("units", "pins"):
        return f"{offered} {name.removesuffix('s') if offered == 1 else name}"
    return f"{_quantity(_words(name))} {_with_unit(name, offered)}"


def _with_unit(name: str, value: object) -> str:
    return f"{_plain(value)} {_RELAY[name].sign if name in _RELAY else ''}".rstrip()


def _words(name: str) -> str:
    return name.replace("_", " ")


def _plain(value: object) -> str:
    if isinstance(value, StrEnum):
        return value.value
    return f"{value:g}" if isinstance(value, int | float) else str(value)
