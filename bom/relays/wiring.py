"""Wiring: which pins each coil, contact and internal bridge joins.

A *unit* is one independent relay inside a body: a twin has two, a two-pole relay has one unit with two poles.
A changeover is one make and one break sharing a pin. Pins that no element names are mechanical.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Kind(StrEnum):
    """What an element of a wiring is."""

    COIL = "coil"
    MAKE = "make"
    BREAK = "break"
    BRIDGE = "bridge"


class Transfer(StrEnum):
    """What a changeover does on its way over; not stated anywhere is None at the element."""

    BREAK_FIRST = "break before make"
    MAKE_FIRST = "make before break"


@dataclass(frozen=True, slots=True)
class Element:
    """One row of a wiring: a coil (``from_pin`` is + where polarised), a contact of a unit's pole, or a bridge.

    ``transfer`` belongs to the contacts of a changeover; stating it at one of the two is enough.
    """

    unit: str
    pole: str
    kind: Kind
    from_pin: str
    to_pin: str
    polarised: bool = False
    transfer: Transfer | None = None

    @property
    def pins(self) -> tuple[str, str]:
        return (self.from_pin, self.to_pin)


@dataclass(frozen=True, slots=True)
class Wiring:
    """A named set of elements."""

    name: str
    elements: tuple[Element, ...]

    @property
    def coils(self) -> tuple[Element, ...]:
        return tuple(e for e in self.elements if e.kind is Kind.COIL)

    @property
    def contacts(self) -> tuple[Element, ...]:
        return tuple(e for e in self.elements if e.kind in (Kind.MAKE, Kind.BREAK))

    @property
    def bridges(self) -> tuple[Element, ...]:
        return tuple(e for e in self.elements if e.kind is Kind.BRIDGE)

    @property
    def units(self) -> tuple[str, ...]:
        """The units that have a coil or a contact, in the order they are first named."""
        return tuple(dict.fromkeys(e.unit for e in self.elements if e.kind is not Kind.BRIDGE))

    @property
    def pins(self) -> frozenset[str]:
        """The pins that are wired to anything; all others are mechanical."""
        return frozenset(p for e in self.elements for p in e.pins)

    def poles(self, unit: str) -> tuple[str, ...]:
        return tuple(dict.fromkeys(e.pole for e in self.contacts if e.unit == unit))

    def has_contact(self, unit: str, kind: Kind, pole: str = "") -> bool:
        """Whether the unit (and pole, where named) has a contact of this kind."""
        return any(e.kind is kind and e.unit == unit and pole in ("", e.pole) for e in self.elements)
