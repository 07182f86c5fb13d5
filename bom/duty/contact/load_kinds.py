"""Which kinds of published line speak for which kind of load: its own first, then those tested at least as hard."""

from __future__ import annotations

from bom.boards.board import Load
from bom.duty.figures.categories import electromagnet_category
from bom.relays.relay import SupplyKind

RESISTIVE = ("resistive", "DC-1", "AC-1", "DC-12", "AC-12", "general")
"""Lines a rule of thumb may start from. AC-1, DC-1, AC-12 and DC-12 are categories of resistive loads (IEC 60947);
general purpose is tested at power factor 0.75 to 0.8, so it is no easier (UL 508, from memory)."""

_HARDER = {  # a kind of load: other kinds whose published line is tested at least as hard
    "resistive": (*RESISTIVE[1:], "inductive"),
    "DC-12": ("resistive", "DC-1", "DC-13"),
    "AC-12": ("resistive", "AC-1", "AC-13", "AC-14", "AC-15"),
    "AC-13": ("AC-14", "AC-15"),
    "AC-14": ("AC-15",),
    "AC-1": ("resistive", "AC-12", "AC-3", "AC-4"),
    "AC-3": ("AC-4",),
    "DC-1": ("resistive", "DC-12", "DC-3", "DC-5"),
    "DC-3": ("DC-5",),
    "general": ("inductive",),
    "led supply": ("capacitive",),
}
_OF_SUPPLY = {
    ("motor", SupplyKind.AC): ("AC-3", "AC-4"),
    ("motor", SupplyKind.DC): ("DC-5",),
    ("lamp", SupplyKind.DC): ("DC-6",),
    ("inductive", SupplyKind.AC): ("AC-15",),
    ("inductive", SupplyKind.DC): ("DC-13",),
    ("solenoid", SupplyKind.AC): ("AC-15",),
    ("solenoid", SupplyKind.DC): ("DC-13", "inductive"),
    ("DC-13", SupplyKind.DC): ("inductive",),
}


def serving(load: Load) -> tuple[str, ...]:
    """The kinds of published line that speak for this load, its own first; each other one is tested at least as hard:
    the make and break multiples, power factors and time constants of IEC 60947-5-1 and 60947-4-1 rise in that order.
    """
    kind = kind_of(load)
    return tuple(dict.fromkeys((kind, *_HARDER.get(kind, ()), *_OF_SUPPLY.get((kind, load.supply), ()))))


def kind_of(load: Load) -> str:
    """The load's kind; an electromagnet's is the utilisation category its size puts it in."""
    if load.kind == "electromagnet" and load.volts and load.amps:
        return electromagnet_category(load.volts, load.amps, load.supply)
    return load.kind


MAGNETS = ("AC-14", "AC-15", "DC-13")
"""The categories of electromagnets."""

PILOT_DUTY = ("AC-12", "AC-13", "AC-14", "AC-15", "DC-12", "DC-13", "inductive", "solenoid", "resistive")
"""Loads that a pilot-duty contact is rated for."""
