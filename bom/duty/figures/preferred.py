"""Preferred values: the sizes resistors, capacitors and zeners are made in.

Source: IEC 60063, series E3 to E24 (two figures in each decade).
"""

from __future__ import annotations

from math import floor, log10

_E24 = (
    *(1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0),
    *(3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2, 9.1),
)
SERIES = {24: _E24, 12: _E24[::2], 6: _E24[::4], 3: _E24[::8]}
"""Each series holds every second value of the next finer one."""

_ROUNDING = 1e-9  # no test can tell its size; a value already preferred, but a rounding above it, stays where it is


def at_least(value: float, series: int = 12) -> float:
    """The smallest preferred value of E3, E6, E12 or E24 that is not below ``value``, in the same unit.

    ValueError for a value that is not above zero, KeyError for a series that is not one.

    >>> at_least(7.56, 6), at_least(75.6, 6)
    (10.0, 100.0)
    """
    steps = SERIES[series]
    if value <= 0:
        raise ValueError("a preferred value is above zero")
    decade = 10.0 ** floor(log10(value))
    found = next((s for s in steps if s * decade >= value * (1 - _ROUNDING)), 10.0)
    return float(f"{found * decade:.3g}")
