"""Wirings that the trade has names for, so that only their pins need be said, in the order of a unit's line.

Each is written as a unit's line (``bom.relays.in_a_line``) in which a number stands for the pin at that place.
The names are common practice, no source; what a name stands for is shown wherever one is used.

>>> problems = []
>>> [(e.kind.value, e.pins) for e in usual_wiring("w", "single make", ["A1", "A2", "13", "14"], problems).elements]
[('coil', ('A1', 'A2')), ('make', ('13', '14'))]
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType

from bom.relays.in_a_line import unit_in, wiring_of
from bom.relays.wiring import Wiring
from bom.values.problem import Problem

_PLACE = re.compile(r"(\d+)(\(\+\))?")
_SIGNED = re.compile(r".+\([+-]\)")


def _unit(*parts: str, first: int = 1) -> str:
    """A unit's line of these parts, their pins numbered on as they come."""
    at = iter(range(first, 100))
    return "; ".join(re.sub(r"_", lambda _: str(next(at)), part) for part in parts)


_COIL, _MAKE, _BREAK, _CHANGEOVER = "coil _ _", "make _ _", "break _ _", "common _ make _ break _"
_SET_COILS = ("set coil _(+) _", "reset coil _(+) _")
_ONE_COIL = "coil _(+) _"

USUAL: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {
        "single make": {"A": _unit(_COIL, _MAKE)},
        "single break": {"A": _unit(_COIL, _BREAK)},
        "single changeover": {"A": _unit(_COIL, _CHANGEOVER)},
        "double make": {"A": _unit(_COIL, "common _ make _ make _")},
        "make and break": {"A": _unit(_COIL, _MAKE, _BREAK)},
        "two-pole make": {"A": _unit(_COIL, _MAKE, _MAKE)},
        "two-pole changeover": {"A": _unit(_COIL, *[_CHANGEOVER] * 2)},
        "three-pole changeover": {"A": _unit(_COIL, *[_CHANGEOVER] * 3)},
        "four-pole changeover": {"A": _unit(_COIL, *[_CHANGEOVER] * 4)},
        "twin make": {"A": _unit(_COIL, _MAKE), "B": _unit(_COIL, _MAKE, first=5)},
        "twin changeover": {"A": _unit(_COIL, _CHANGEOVER), "B": _unit(_COIL, _CHANGEOVER, first=6)},
        "latching make, one coil": {"A": _unit(_ONE_COIL, _MAKE)},
        "latching make, two coils": {"A": _unit(*_SET_COILS, _MAKE)},
        "latching changeover, one coil": {"A": _unit(_ONE_COIL, _CHANGEOVER)},
        "latching changeover, two coils": {"A": _unit(*_SET_COILS, _CHANGEOVER)},
        "latching two-pole changeover, one coil": {"A": _unit(_ONE_COIL, *[_CHANGEOVER] * 2)},
        "latching two-pole changeover, two coils": {"A": _unit(*_SET_COILS, *[_CHANGEOVER] * 2)},
    }
)
"""Name to the lines of its units. Of one latching coil the first pin is that which is plus to set it; of a coil that
sets and one that resets, the first of each is its plus end."""


def places_in(name: str) -> int:
    """How many pins the wiring of this name asks for; one pin may serve at several places."""
    return sum(len(_PLACE.findall(line)) for line in USUAL[name].values())


def shown(name: str) -> str:
    """What the name stands for, a unit after the other."""
    return ", ".join(f"{unit}: {line}" for unit, line in USUAL[name].items())


def usual_wiring(name: str, usual: str, pins: Sequence[str], problems: list[Problem]) -> Wiring:
    """The wiring of this trade name with these pins in its places; a coil's pin marked (+) is its plus end."""
    if len(pins) != places_in(usual):
        expected = f"{places_in(usual)} pins, in the places of {shown(usual)}"
        problems.append(Problem("", 0, "pins", expected, f"{len(pins)}"))
        return Wiring(name, ())
    lines = {unit: _PLACE.sub(_pin_at(pins), line) for unit, line in USUAL[usual].items()}
    return wiring_of(name, [unit_in(unit, line, problems) for unit, line in lines.items()])


def _pin_at(pins: Sequence[str]) -> Callable[[re.Match[str]], str]:
    """The pin at a place, with the sign that is written at it, else that of the place."""

    def pin(found: re.Match[str]) -> str:
        text = pins[int(found[1]) - 1]
        return text if _SIGNED.fullmatch(text) else text + (found[2] or "")

    return pin
