"""Pins that stand in a row or in two, whose numbers alone say where each of them is.

A dual in-line body counts its pins down one row and up the other, anticlockwise seen from the component side
(IEC 60191 and JEDEC outlines, from memory); relays in such a body leave many of the places empty and keep the numbers.

>>> [str(at) for at in dual_in_line(14, Decimal("2.54"), Decimal("7.62"), 14)]
['7.62', '0.00']
"""

from __future__ import annotations

from decimal import Decimal

LAYOUTS = ("in line", "dual in line")

At = tuple[Decimal, Decimal]
"""To the right and downwards, in mm."""


def in_line(number: int, pitch_mm: Decimal) -> At:
    """The place of this pin in a single row downwards, pin 1 at 0/0."""
    return Decimal(0), (number - 1) * pitch_mm


def dual_in_line(number: int, pitch_mm: Decimal, rows_mm: Decimal, places: int) -> At:
    """The place of this pin in two rows of ``places`` together, ``rows_mm`` apart, pin 1 at 0/0."""
    half = places // 2
    return (Decimal(0), (number - 1) * pitch_mm) if number <= half else (rows_mm, (places - number) * pitch_mm)
