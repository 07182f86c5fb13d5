"""Road-vehicle supplies: the lowest and highest volts of each code, and the boost start.

Source: ISO 16750-2, supply voltage codes A to H (A, E, F and D's lower limit read in reprints; B, C, G, H, D's
upper limit and the boost start from memory). Z is as agreed, so the file states the volts itself. The functional
status classes A to E of ISO 16750-1 are something else.
"""

from __future__ import annotations

from dataclasses import replace

from bom.boards.board import Supply

_RANGES: dict[str, tuple[float | None, float | None, float | None]] = {
    "A": (6.0, 12.0, 16.0),
    "B": (8.0, 12.0, 16.0),
    "C": (9.0, 12.0, 16.0),
    "D": (10.5, 12.0, 16.0),
    "E": (10.0, 24.0, 32.0),
    "F": (16.0, 24.0, 32.0),
    "G": (22.0, 24.0, 32.0),
    "H": (18.0, 24.0, 32.0),
    "Z": (None, None, None),
}

JUMP_VOLTS, JUMP_SECONDS = 24.0, 60.0
"""A boost start of a 12 V vehicle from a 24 V one: ISO 16750-2, from memory. For 24 V none is printed."""


def supply_for(code: str) -> Supply | None:
    """The supply that a code letter stands for (volts), or None for a letter that is not one."""
    if (limits := _RANGES.get(code.strip().upper())) is None:
        return None
    low, nominal, high = limits
    return Supply(low, nominal, high, code.strip().upper())


def usual_jump(supply: Supply) -> Supply:
    """The same supply with the boost start that ISO 16750-2 tests; unchanged where it tests none."""
    if supply.nominal_volts != 12:
        return supply
    return replace(supply, jump_volts=JUMP_VOLTS, jump_seconds=JUMP_SECONDS)


def codes() -> tuple[str, ...]:
    return tuple(_RANGES)
