"""Wiring: which pins each coil, contact and internal bridge joins.

A *unit* is one independent relay inside a body: a twin has two, a two-pole relay has one unit with two poles.
A changeover is one make and one break sharing a pin. Pins that no element names are mechanical.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from bom.values.column import given, stated, text, word, yes_or_no


class Kind(StrEnum):
    """What an element of a wiring is."""

    COIL = "coil"
    MAKE = "make"
    BREAK = "break"
    BRIDGE = "bridge"


CONTACT_WORDS = {
    "make": ("NO", "N.O.", "normally open", "form A"),
    "break": ("NC", "N.C.", "normally closed", "form B"),
}
"""The trade's other words for a make and a break contact."""


class Transfer(StrEnum):
    """What a changeover does on its way over; not stated anywhere is None at the element."""

    BREAK_FIRST = "break before make"
    MAKE_FIRST = "make before break"


_TWO_ROWS = "a changeover is two rows, one make and one break, that share a pin"


@dataclass(frozen=True, slots=True)
class Element:
    """One row of a wiring: a coil (``from_pin`` is + where polarised), a contact of a unit's pole, or a bridge.

    ``transfer`` belongs to the contacts of a changeover; stating it at one of the two is enough.
    """

    unit: str = field(metadata=given(text("The unit: one independent relay inside the body.", "A")))
    pole: str = field(metadata=given(text("The pole of that unit, where it has several.", "1")))
    kind: Kind = field(
        metadata=given(
            word(
                Kind,
                "What joins the two pins; a changeover is one make row and one break row that share a pin.",
                "make",
                also=CONTACT_WORDS | {"coil": ("winding",), "bridge": ("link", "jumper")},
                unclear={"changeover": _TWO_ROWS, "CO": _TWO_ROWS, "form C": _TWO_ROWS},
                needed=True,
                name="element",
            )
        )
    )
    from_pin: str = field(metadata=given(text("One end; of a polarised coil its + end.", "a1", needed=True)))
    to_pin: str = field(metadata=given(text("The other end.", "a2", needed=True)))
    polarised: bool = stated(yes_or_no("Whether the coil minds which way round it is fed."))
    transfer: Transfer | None = stated(
        word(
            Transfer,
            "What a changeover does on its way over; stating it at one of its two contacts is enough.",
            "break before make",
            also={
                "break before make": ("BBM", "non-shorting", "form C"),
                "make before break": ("MBB", "shorting", "form D"),
            },
        )
    )

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

    def ends(self, contact: Element) -> tuple[str, str]:
        """The contact's common and its other pin; the common is what a make and a break share, else the first
        written."""
        for other in self.contacts:
            if other.unit == contact.unit and other.kind is not contact.kind and contact.to_pin in other.pins:
                return contact.to_pin, contact.from_pin
        return contact.from_pin, contact.to_pin

    def has_contact(self, unit: str, kind: Kind, pole: str = "") -> bool:
        """Whether the unit (and pole, where named) has a contact of this kind."""
        return any(e.kind is kind and e.unit == unit and pole in ("", e.pole) for e in self.elements)
