"""The kinds of load that a rating or a board may name, and the words that a board has for suppression and process.

They are closed lists: a kind that is none of these is refused where a file is read.
"""

from __future__ import annotations

import re

from bom.relays.relay import SupplyKind, Suppression
from bom.values.vocabulary import folded, word_for

LOADS = ("resistive", "inductive", "motor", "lamp", "capacitive", "general")
"""Kinds that a published rating names, beside utilisation categories and contact rating designations."""

BOARD_LOADS = (
    *LOADS,
    *("solenoid", "transformer", "mercury lamp", "sodium lamp", "led supply", "electromagnet", "mixed"),
)
"""Kinds that a board names: also what a published inrush table tells apart, an electromagnet whose utilisation
category follows from its size, and a load of several kinds."""

SUPPRESSIONS = (*(word.value for word in Suppression), "zener", "TVS", "varistor", "RC")
"""What may lie across a coil or a load."""

ONE_WAY_SUPPRESSIONS = ("diode", "zener")
"""Conduct freely one way round, so they short a load whose polarity is reversed."""

POLARITIES = ("low side", "high side", "both ways")

CATEGORIES = (
    *("AC-1", "AC-2", "AC-3", "AC-3e", "AC-4", "AC-5a", "AC-5b", "AC-6a", "AC-6b", "AC-7a", "AC-7b", "AC-7c", "AC-7d"),
    *("AC-8a", "AC-8b", "AC-12", "AC-13", "AC-14", "AC-15", "DC-1", "DC-3", "DC-5", "DC-6", "DC-12", "DC-13", "DC-14"),
)
"""Utilisation categories of IEC 60947-4-1 and -5-1, from memory."""

# Contact rating designations such as B300 or R150 (IEC 60947-5-1, annex A; UL 508; NEMA ICS 5).
_DESIGNATION = re.compile(r"[A-C](150|300|600)|D(150|300)|E150|[NPQ](150|300|600)|R(150|300)")


def load_of(text: str, kinds: tuple[str, ...] = LOADS) -> str | None:
    """The kind of load, utilisation category or contact rating designation that ``text`` is, spelt the usual way;
    None for any other word."""
    designation = folded(text).upper()
    return word_for(text, (*kinds, *CATEGORIES)) or (designation if _DESIGNATION.fullmatch(designation) else None)


def is_load(kind: str) -> bool:
    """Whether this is a load kind of the contract, a utilisation category, or a contact rating designation."""
    return load_of(kind) is not None


def supply_of(kind: str) -> SupplyKind | None:
    """The supply that a utilisation category or a contact rating designation is for; None for any other load."""
    named = load_of(kind)
    if named is None or named in LOADS:
        return None
    prefix, dash, _ = named.partition("-")
    return SupplyKind.AC if (prefix == "AC" if dash else prefix[0] in "ABCDE") else SupplyKind.DC
