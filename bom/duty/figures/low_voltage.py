"""From which volts a circuit is dangerous to touch, so that only those licensed to work on it may do so.

Source: Directive 2014/35/EU (the Low Voltage Directive), article 1, which speaks of equipment for 50 to 1000 V AC and
75 to 1500 V DC. From memory. A local code may draw the line lower, and then it decides.
"""

from __future__ import annotations

from bom.boards.board import Load
from bom.relays.relay import SupplyKind

LOW_VOLTS = {SupplyKind.AC: 50.0, SupplyKind.DC: 75.0}
"""The least volts of which the directive speaks, by the kind of supply."""


def is_dangerous(volts: float, supply: SupplyKind | None) -> bool:
    """Whether these volts reach the low-voltage limit; a supply of unknown kind is held against the lower one, AC.

    >>> is_dangerous(48, SupplyKind.DC), is_dangerous(60, None)
    (False, True)
    """
    return volts >= LOW_VOLTS[supply or SupplyKind.AC]


def is_mains(load: Load) -> bool:
    """Whether a load is of dangerous volts, or on AC of volts that nobody states."""
    if load.volts is None:
        return load.supply is SupplyKind.AC
    return is_dangerous(load.volts, load.supply)
