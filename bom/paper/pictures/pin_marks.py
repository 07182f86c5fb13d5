"""Knows how the pins of a relay are told apart in a drawing: by letters, by pattern and, besides, by colour.

A mark is a unit's letter and what the pin is there: c coil, p common (pole), m make, b break.  Coils are ruled
lengthwise or across, makes hatched, breaks dotted, commons solid; a second unit's patterns run the other way, and its
commons are solid with a white line.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from bom.relays.wiring import Kind, Wiring


class Part(StrEnum):
    """What a pin is in its unit."""

    COIL = "coil"
    COMMON = "common"
    MAKE = "make"
    BREAK = "break"

    @property
    def letter(self) -> str:
        return {"coil": "c", "common": "p", "make": "m", "break": "b"}[self.value]


@dataclass(frozen=True, slots=True)
class Mark:
    """One thing a pin is: of which unit, what, and whether it is a coil's + end."""

    unit: str
    part: Part
    plus: bool = False

    @property
    def letters(self) -> str:
        return f"{self.unit}{self.part.letter}{'+' if self.plus else ''}"

    @property
    def words(self) -> str:
        return " ".join(filter(None, (self.unit, self.part.value, "+" if self.plus else "")))


Marks = dict[str, tuple[Mark, ...]]  # by pin


def marks_of(wiring: Wiring | None) -> Marks:
    """What each pin is; pins that are bridged inside are the same; a pin that is missing here is mechanical."""
    if wiring is None:
        return {}
    found: dict[str, dict[Mark, None]] = {}
    for pin, mark in _told(wiring):
        found.setdefault(pin, {})[mark] = None
    for bridge in wiring.bridges:
        both = {**found.get(bridge.from_pin, {}), **found.get(bridge.to_pin, {})}
        found[bridge.from_pin] = found[bridge.to_pin] = both
    return {pin: tuple(marks) for pin, marks in found.items()}


def _told(wiring: Wiring) -> Iterator[tuple[str, Mark]]:
    for coil in wiring.coils:
        yield coil.from_pin, Mark(coil.unit, Part.COIL, coil.polarised)
        yield coil.to_pin, Mark(coil.unit, Part.COIL)
    for contact in wiring.contacts:
        common, other = wiring.ends(contact)
        yield common, Mark(contact.unit, Part.COMMON)
        yield other, Mark(contact.unit, Part.MAKE if contact.kind is Kind.MAKE else Part.BREAK)


_TURNED = {Part.COIL: (0, 90), Part.MAKE: (45, 135), Part.BREAK: (0, 45), Part.COMMON: (0, 0)}
# Colours that people who see colours otherwise can tell apart; source: Okabe and Ito, Color Universal Design.
_COLOUR = {Part.COIL: "#0072b2", Part.COMMON: "#222", Part.MAKE: "#009e73", Part.BREAK: "#d55e00"}
_PITCH = 0.42  # mm from line to line


def pattern_id(mark: Mark, units: tuple[str, ...]) -> str:
    return f"fit-{mark.part.value}-{units.index(mark.unit) % 2 if mark.unit in units else 0}"


def pattern_definitions() -> str:
    """Every pattern, to stand once in each drawing."""
    return "".join(_pattern(part, n, turn) for part, turns in _TURNED.items() for n, turn in enumerate(turns))


def _pattern(part: Part, number: int, turn: int) -> str:
    colour, p = _COLOUR[part], _PITCH
    inside = {
        Part.COIL: f'<rect width="{p}" height="{p}" fill="#fff"/><rect width="{p}" height=".2" fill="{colour}"/>',
        Part.MAKE: f'<rect width="{p}" height="{p}" fill="#fff"/><rect width="{p}" height=".2" fill="{colour}"/>',
        Part.BREAK: f'<rect width="{p}" height="{p}" fill="#fff"/><circle cx=".21" cy=".21" r=".13" fill="{colour}"/>',
        Part.COMMON: f'<rect width="{p}" height="{p}" fill="{colour}"/>'
        + f'<rect width="{p}" height=".08" fill="#fff"/>' * number,
    }[part]
    return (
        f'<pattern id="fit-{part.value}-{number}" width="{p}" height="{p}" patternUnits="userSpaceOnUse" '
        f'patternTransform="rotate({turn})">{inside}</pattern>'
    )
