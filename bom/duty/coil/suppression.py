"""What suppression does: how long a coil's current takes to die, the volts and energy it makes, an RC across a contact.

Ohms, henries, amps, volts and seconds throughout. The decay formulas are those of any L and R with L held constant,
from memory; a real armature changes L as it moves, so they order the suppressions and do not replace a measurement.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log

DIODE_VOLTS = 0.7
"""Drop of a silicon diode; from memory."""


def clamped_decay_seconds(
    henries: float, ohms: float, start_amps: float, release_amps: float, clamp_volts: float
) -> float:
    """Seconds from ``start_amps`` to ``release_amps`` through a clamp: (L/R) ln((I0 + Vc/R) / (Ir + Vc/R))."""
    lift = clamp_volts / ohms
    return henries / ohms * log((start_amps + lift) / (release_amps + lift))


def resistor_decay_seconds(
    henries: float, ohms: float, start_amps: float, release_amps: float, parallel_ohms: float
) -> float:
    """Seconds through a parallel resistor: L / (R + Rp) ln(I0 / Ir)."""
    return henries / (ohms + parallel_ohms) * log(start_amps / release_amps)


def resistor_peak_volts(start_amps: float, parallel_ohms: float) -> float:
    """The volts a parallel resistor lets arise: the coil's current goes on through it."""
    return start_amps * parallel_ohms


def stored_joules(henries: float, amps: float) -> float:
    """The energy a winding gives back when cut: half L I squared."""
    return 0.5 * henries * amps**2


@dataclass(frozen=True, slots=True)
class Snubber:
    """A resistor and a capacitor in series across a contact."""

    microfarads: float
    ohms: float


def bates_snubber(volts: float, amps: float) -> Snubber:
    """C = I²/10 microfarads and R = E / (10 I (1 + 50/E)) ohms; ValueError unless both are above zero.

    Source: C. C. Bates' formula, as reprinted in source 28. Other guides (sources 26 and
    27) print 0.5 to 1 microfarad per amp and 0.5 to 1 ohm per volt: see ``guide_snubber``.
    """
    if volts <= 0 or amps <= 0:
        raise ValueError("a snubber is for volts and amps above zero")
    return Snubber(amps**2 / 10, volts / (10 * amps * (1 + 50 / volts)))


def guide_snubber(volts: float, amps: float) -> tuple[Snubber, Snubber]:
    """The least and most of the other printed rule: 0.5 to 1 microfarad per amp, 0.5 to 1 ohm per volt.

    Source: source 26, appendix A; source 27. It disagrees with Bates by 5 to 10 times in C.
    """
    return Snubber(0.5 * amps, 0.5 * volts), Snubber(1.0 * amps, 1.0 * volts)
