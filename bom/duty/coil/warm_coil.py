"""How warm a coil that stays on gets: as measured at the position, or by a rule's kelvin per watt.

The copper that is heated takes less current as it warms, so the rise is where heat made and heat shed agree. The
highest supply heats it (not a boost start, which is short), less what the driver drops. Kelvin and degrees Celsius.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from bom.boards.board import Driver, Place
from bom.duty.coil.copper import COPPER_K
from bom.duty.figures.rule import Rule
from bom.relays.relay import Relay


@dataclass(frozen=True, slots=True)
class Rise:
    """Kelvin over the ambient, and where the figure comes from."""

    kelvin: float
    source: str


def rise_at(relay: Relay, place: Place, rule: Rule, ambient_c: float) -> Rise | None:
    """The coil's rise in steady heat at this ambient; None where neither the board nor the rule speaks of one."""
    if place.position.coil_rise_k is not None:
        return Rise(place.position.coil_rise_k, f"rise of the coil as stated for {place.position.ref}")
    per_watt, volts = rule.coil_kelvin_per_watt, heating_volts(place)
    if per_watt is None or volts is None or not relay.coil_ohms or relay.coil_ref_temp_c is None:
        return None
    rise = balanced_rise(relay.coil_ohms, relay.coil_ref_temp_c, volts, ambient_c, per_watt)
    return Rise(rise, rule.speaking_of_coils.cited)


def heating_volts(place: Place) -> float | None:
    """The highest lasting volts over the coil."""
    highest, drop = place.board.supply.max_volts, (place.position.driver or Driver()).drop_volts
    return None if highest is None else highest - (drop or 0.0)


def balanced_rise(ohms: float, ref_c: float, volts: float, ambient_c: float, kelvin_per_watt: float) -> float:
    """The rise in kelvin at which V²/R, R following copper's line, times ``kelvin_per_watt`` is that rise.

    With x = 234.5 + T: x² - (234.5 + ambient) x = kelvin_per_watt V² (234.5 + ref) / ohms, a quadratic.
    """
    cold = COPPER_K + ambient_c
    heat = kelvin_per_watt * volts**2 * (COPPER_K + ref_c) / ohms
    return (cold + sqrt(cold**2 + 4 * heat)) / 2 - cold
