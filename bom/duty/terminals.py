"""What the numbers at a relay's terminals mean: road-vehicle numbers, and control gear's digits.

Numbers are read to help a person, and never decide whether a part fits: two schemes clash at 87, and there are relays
whose 85 and 86, or 30 and 86, are exchanged.
"""

from __future__ import annotations

from bom.relays.wiring import Kind

VEHICLE = {
    "30": "contact common, battery +",
    "85": "coil -, ground",
    "86": "coil +",
    "87": "make contact's output",
    "87a": "break contact's output",
    "87b": "second make output, joined to 87 or on its own",
}
"""Common practice of ISO 7588 relays: Delcon, what does 30-85-86-87 mean on a relay; ISO relay guide."""

OLDER_87 = "in the older scheme of DIN 72552, 87 is the common input and 87a the break side: read the drawing"
"""From memory; the two schemes clash."""

_DIGITS = {
    ("1", "2"): "break",
    ("3", "4"): "make",
    ("5", "6"): "break, late or delayed",
    ("7", "8"): "make, early or delayed",
    ("1", "2", "4"): "changeover",
}
"""The last digits of a contact's terminals, the first being its place: EN 50005."""


def meaning(terminal: str) -> str:
    """What a road-vehicle terminal number stands for; empty for any other."""
    return VEHICLE.get(terminal.strip().lower(), "")


def meanings(pins: tuple[str, ...]) -> dict[str, str]:
    """What every pin stands for, where all of them are road-vehicle numbers; nothing where any is not."""
    said = {pin: meaning(pin) for pin in pins}
    return said if said and all(said.values()) else {}


def contact_of(*terminals: str) -> str:
    """The contact between these terminals by EN 50005, as in 13, 14: make; empty where their digits name none.

    Terminals of one contact share their place, the digits before the last.
    """
    places, last = {t[:-1] for t in terminals}, tuple(sorted(t[-1:] for t in terminals))
    return _DIGITS.get(last, "") if len(places) == 1 else ""


def control_meanings(pins: tuple[str, ...]) -> dict[str, str]:
    """What every pin of a control relay stands for; nothing where the coil is not A1, A2 or any contact has no name."""
    contacts: dict[str, list[str]] = {}
    for pin in sorted(set(pins) - _COIL.keys()):
        contacts.setdefault(pin[:-1], []).append(pin)
    said = {pin: words for place, group in contacts.items() for pin, words in _contact_words(place, group)}
    named = bool(contacts) and _COIL.keys() <= set(pins) and all(said.values())
    return {pin: (_COIL | said)[pin] for pin in pins} if named else {}


_COIL = {"A1": "coil +", "A2": "coil -"}
"""Coil terminals of control gear: EN 50005, the signs where the coil has any; from memory."""


def _contact_words(place: str, pins: list[str]) -> list[tuple[str, str]]:
    if (contact := contact_of(*pins)) != "changeover":
        return [(pin, f"{contact} contact {place}" if contact else "") for pin in pins]
    ends = {pin: end for end, pin in changeover_terminals(place).items()}
    return [(pin, f"{ends[pin]} of changeover {place}") for pin in pins]


def changeover_terminals(place: int | str) -> dict[str, str]:
    """Common, break and make terminal of the changeover at this place: 11, 12 and 14 at the first (EN 50005)."""
    return {"common": f"{place}1", Kind.BREAK.value: f"{place}2", Kind.MAKE.value: f"{place}4"}
