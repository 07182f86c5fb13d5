"""What temperature does to a copper winding: its resistance, and with it the volts a DC coil needs to operate.

Source of the rule: the resistance ratio of copper, R2/R1 = (234.5 + T2)/(234.5 + T1), as printed by
sources 1, 2 and 3. Constant ampere-turns make the operate volts follow the same ratio (sources 1, 3 and 4).
"""

from __future__ import annotations

from bom.duty.figures.sources import COPPER_NOTE

COPPER_K = 234.5
"""Degrees below 0 °C where copper's resistance, drawn as a straight line, is zero (sources 2 and 3)."""

COPPER_SOURCE = f"copper: R2/R1 = (234.5 + T2)/(234.5 + T1), {COPPER_NOTE.cited}"


def ratio(from_c: float, to_c: float) -> float:
    """Resistance at ``to_c`` over resistance at ``from_c`` (degrees Celsius); ValueError where copper's line ends."""
    if min(from_c, to_c) <= -COPPER_K:
        raise ValueError(f"copper's straight line ends at -{COPPER_K} °C")
    return (COPPER_K + to_c) / (COPPER_K + from_c)


def ohms_at(ohms: float, from_c: float, to_c: float) -> float:
    """A winding's ohms at ``to_c``, from its ohms at ``from_c``.

    >>> round(ohms_at(320, 25, 125), 1)
    443.3
    """
    return ohms * ratio(from_c, to_c)


def operate_volts_at(volts: float, from_c: float, to_c: float) -> float:
    """The volts a DC coil needs to operate at ``to_c``, from those at ``from_c``.

    >>> round(operate_volts_at(16, 25, 85), 1)
    19.7
    """
    return volts * ratio(from_c, to_c)
