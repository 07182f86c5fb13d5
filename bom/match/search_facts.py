"""Facts that a search goes by: a relay's data sheet in single numbers, such as volts and ohms at 20 °C and height."""

from __future__ import annotations

from bom.duty.coil_heat import COPPER_K, ohms_at, operate_volts_at
from bom.relays.relay import Relay

REFERENCE_C = 20.0
"""The temperature that copper is brought to, so that coils stated at different ones can be compared."""


def derived(relay: Relay) -> dict[str, float | None]:
    """Fact to number, None where the sheet leaves out what it is made of.

    ``operate_volts_20`` V and ``least_ohms_20`` ohm (tolerance in), both at 20 °C; ``coil_amps`` A as rated;
    ``height_mm`` body and standoff together.
    """
    return {
        "operate_volts_20": operate_volts_20(relay.operate_volts, relay.coil_ref_temp_c),
        "least_ohms_20": least_ohms_20(relay.coil_ohms, relay.coil_ohms_tol_pct, relay.coil_ref_temp_c),
        "coil_amps": rated_amps(relay.coil_volts, relay.coil_ohms),
        "height_mm": total(relay.body_height_mm, relay.standoff_mm),
    }


DERIVED = ("operate_volts_20", "least_ohms_20", "coil_amps", "height_mm")

KIND = ("footprint", "wiring", "coil_system", "coil_supply", "sealing", "guided", "coil_suppression")
"""Facts with few values, which relays share by the thousand: a search settles each of their combinations once."""

NARROWED = (
    "operate_volts_20",
    "least_ohms_20",
    "coil_max_volts",
    "coil_ohms",
    "coil_volts",
    "coil_amps",
    "operate_volts",
    "height_mm",
    "pin_length_mm",
    "temp_min_c",
    "temp_max_c",
    "min_load_volts",
    "min_load_milliamps",
    "min_load_milliwatts",
)
"""Facts that a search narrows by as numbers."""


def operate_volts_20(volts: float | None, reference_c: float | None) -> float | None:
    if volts is None or reference_c is None or reference_c <= -COPPER_K:
        return None
    return operate_volts_at(volts, reference_c, REFERENCE_C)


def least_ohms_20(ohms: float | None, tolerance_pct: float | None, reference_c: float | None) -> float | None:
    if ohms is None or tolerance_pct is None or reference_c is None or reference_c <= -COPPER_K:
        return None
    return ohms_at(ohms * (1 - tolerance_pct / 100), reference_c, REFERENCE_C)


def rated_amps(volts: float | None, ohms: float | None) -> float | None:
    return volts / ohms if volts and ohms else None


def total(a: float | None, b: float | None) -> float | None:
    return None if a is None or b is None else a + b
