"""What the numbers at a relay's terminals mean: road-vehicle numbers, micro relays' 1 to 5, and control gear's digits.

Numbers are read to help a person, and never decide whether a part fits: two schemes clash at 87, and there are relays
whose 85 and 86, or 30 and 86, are exchanged.
"""

from __future__ import annotations

import re

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

MICRO = {"1": "86", "2": "85", "3": "30", "4": "87a", "5": "87"}
"""A micro relay's blades: Bosch Auto Parts catalogue, page 76."""

_DIGITS = {
    ("1", "2"): "break",
    ("3", "4"): "make",
    ("5", "6"): "break, late or delayed",
    ("7", "8"): "make, early or delayed",
    ("1", "2", "4"): "changeover",
}
"""The last digits of a contact's terminals, the first being its place: EN 50005."""

_ARRANGED = re.compile(r"([0-9])([0-9])[A-Z]?")


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


def changeover_terminals(place: int) -> dict[str, str]:
    """Common, break and make terminal of the changeover at this place: 11, 12 and 14 at the first (EN 50005)."""
    return {"common": f"{place}1", Kind.BREAK.value: f"{place}2", Kind.MAKE.value: f"{place}4"}


def contacts_counted(arrangement: str) -> tuple[int, int] | None:
    """How many make and break contacts an EN 50011 number counts: 31E is 3 make, 1 break."""
    found = _ARRANGED.fullmatch(arrangement.strip().upper())
    return None if found is None else (int(found[1]), int(found[2]))


def changeover_amps(headline: str) -> dict[Kind, float] | None:
    """Break and make amps of a road-vehicle changeover's headline such as 30/40 A: the lower is the break contact's.

    Source: ISO relay guide; a line of the data sheet itself always comes first.
    """
    found = re.fullmatch(r"(\d+)\s*/\s*(\d+)\s*A?", headline.strip())
    if found is None:
        return None
    low, high = sorted(map(float, found.groups()))
    return {Kind.BREAK: low, Kind.MAKE: high}
