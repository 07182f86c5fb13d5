"""Road-vehicle supply codes: the lowest and highest supply volts a box on a 12 V or 24 V vehicle must work at.

Source: ISO 16750-2, supply voltage codes A to H (A, E, F and D's lower limit read in reprints; B, C, G, H and D's
upper limit from memory).
"""

from __future__ import annotations

from bom.boards.board import Supply

_RANGES = {
    "A": (6.0, 12.0, 16.0),
    "B": (8.0, 12.0, 16.0),
    "C": (9.0, 12.0, 16.0),
    "D": (10.5, 12.0, 16.0),
    "E": (10.0, 24.0, 32.0),
    "F": (16.0, 24.0, 32.0),
    "G": (22.0, 24.0, 32.0),
    "H": (18.0, 24.0, 32.0),
}


def supply_for(code: str) -> Supply | None:
    """The supply that a code letter stands for (volts), or None for a letter that is not one."""
    if (limits := _RANGES.get(code.strip().upper())) is None:
        return None
    low, nominal, high = limits
    return Supply(low, nominal, high, code.strip().upper())


def codes() -> tuple[str, ...]:
    return tuple(_RANGES)
