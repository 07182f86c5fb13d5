"""Release: how long a coil's current takes to die through its suppression, and whether the contact opens soon enough.

A slow opening wears a contact that breaks an inductive load, and may weld it: sources 5 and 6. The decay formulas are
those of any L and R with L held constant, from memory; a real armature changes L as it moves, so they put the
suppressions in order and do not replace a measurement. Without the coil's inductance the decay is told in multiples
of L/R alone. Ohms, henries, amps, volts and seconds.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log

from bom.boards.board import Driver, Function, Load, Place
from bom.duty.margins import known, unknown
from bom.duty.published_ratings import kind_of
from bom.duty.sources import SUPPRESSION_NOTE
from bom.relays.relay import Relay, SupplyKind, Suppression
from bom.values.finding import Finding, Outcome

DIODE_VOLTS = 0.7
"""Drop of a silicon diode; from memory."""


def clamped_decay_seconds(
    henries: float, ohms: float, start_amps: float, release_amps: float, clamp_volts: float
) -> float:
    """Seconds from ``start_amps`` to ``release_amps`` through a clamp: (L/R) ln((I0 + Vc/R) / (Ir + Vc/R)).

    >>> round(clamped_decay_seconds(henries=0.3, ohms=270, start_amps=0.05, release_amps=0.005, clamp_volts=0.7), 4)
    0.0022
    """
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


RELEASE_SOURCE = f"{SUPPRESSION_NOTE.cited}, coil suppression; decay by L/R, from memory"

USUAL_RELEASE_SHARE = 0.1
"""Release volts over rated volts where none are stated: must release at 10 % at least, source 8."""

WORN_BY_SLOW_OPENING = ("motor", "inductive", "solenoid", "transformer", "DC-3", "DC-5", "DC-13", "DC-14")

QUICK_TIMES = 0.5
"""A resistor that lets the current die in half the diode's time, or less, counts as quick: common practice, no
source."""


@dataclass(frozen=True, slots=True)
class Decay:
    """How the coil's current dies: as times of L/R, in ms (None = the inductance is not stated), at most these volts.

    ``with_mechanism_ms`` adds the release time that the data sheet states without suppression.
    """

    suppression: Suppression
    times_lr: float | None
    milliseconds: float | None
    with_mechanism_ms: float | None
    peak_volts: float | None
    missing: tuple[str, ...] = ()


def decays(relay: Relay, supply_volts: float) -> tuple[Decay, ...]:
    """The decay for each suppression the part might have, from ``supply_volts`` on the coil."""
    return tuple(decay(relay, kind, supply_volts) for kind in Suppression)


def decay(relay: Relay, kind: Suppression, supply_volts: float) -> Decay:
    """The decay with this suppression, at the coil's stated ohms; what it needs and nobody stated is ``missing``."""
    if kind is Suppression.NONE:
        return Decay(kind, 0.0, 0.0, relay.release_ms, None, () if relay.release_ms else ("release time, ms",))
    missing = _missing(relay, kind)
    times = None if missing else _times(relay, kind, supply_volts)
    ms = None if times is None or relay.coil_henries is None else times * _lr_ms(relay, relay.coil_henries)
    total = None if ms is None or relay.release_ms is None else ms + relay.release_ms
    silent = () if relay.coil_henries is not None else ("coil inductance, H",)
    return Decay(kind, times, ms, total, _peak(relay, kind, supply_volts), (*missing, *silent))


def _lr_ms(relay: Relay, henries: float) -> float:
    return 1000.0 * henries / known(relay.coil_ohms)


def _missing(relay: Relay, kind: Suppression) -> tuple[str, ...]:
    wanted = {"coil ohms": relay.coil_ohms}
    if kind is Suppression.RESISTOR:
        wanted["the suppression resistor, ohm"] = relay.suppression_ohms
    return tuple(name for name, value in wanted.items() if not value)


def _times(relay: Relay, kind: Suppression, supply_volts: float) -> float:
    """Multiples of L/R: the formulas with L = R, so that L/R is one second."""
    ohms = known(relay.coil_ohms)
    start, end = supply_volts / ohms, release_amps(relay, supply_volts)
    if kind is Suppression.RESISTOR:
        return resistor_decay_seconds(ohms, ohms, start, end, known(relay.suppression_ohms))
    return clamped_decay_seconds(ohms, ohms, start, end, clamp_volts(relay, kind, supply_volts))


def release_amps(relay: Relay, supply_volts: float) -> float:
    """The coil's current at its release volts; a tenth of that at the supply where none are stated."""
    volts = relay.release_volts or USUAL_RELEASE_SHARE * (relay.coil_volts or supply_volts)
    return volts / known(relay.coil_ohms)


def clamp_volts(relay: Relay, kind: Suppression, supply_volts: float) -> float:
    """A diode's drop, with the zener's volts where there is one: the stated, else the supply's.

    Zener about equal to the supply: source 26, appendix A; source 5.
    """
    zener = relay.suppression_volts or supply_volts
    return DIODE_VOLTS + (zener if kind is Suppression.DIODE_ZENER else 0.0)


def _peak(relay: Relay, kind: Suppression, supply_volts: float) -> float | None:
    """What the driver sees over its open switch: the supply and the clamp, or the coil's current through a resistor."""
    if kind is Suppression.RESISTOR:
        if not relay.suppression_ohms or not relay.coil_ohms:
            return None
        return supply_volts + resistor_peak_volts(supply_volts / relay.coil_ohms, relay.suppression_ohms)
    return supply_volts + clamp_volts(relay, kind, supply_volts)


def release(relay: Relay, place: Place, function: Function) -> tuple[Finding, ...]:
    """Asked where a DC coil's contact breaks an inductive DC load that nothing at the load suppresses."""
    load = function.load
    if not slow_opening_matters(load):
        return ()
    return (_release(relay, place, f"release, {function.name}"),)


def slow_opening_matters(load: Load) -> bool:
    quenched = load.suppression not in ("", "none")
    return load.supply is SupplyKind.DC and kind_of(load) in WORN_BY_SLOW_OPENING and not quenched


def _release(relay: Relay, place: Place, check: str) -> Finding:
    own, board = relay.coil_suppression, (place.position.driver or Driver()).suppression
    if board == Suppression.DIODE.value:
        why = "the board has a diode already; the part changes nothing"
        return Finding(check, Outcome.PASS, why, "as released today", "the board's own diode", source=RELEASE_SOURCE)
    if own is None:
        return unknown(check, {"the coil's own suppression": None})
    if own is Suppression.DIODE:
        why = f"a plain diode in the part slows its opening{_how_much(relay, place)}; {CURE}"
        return Finding(check, Outcome.CONDITION, why, "quick release", own.value, source=RELEASE_SOURCE)
    if own is Suppression.RESISTOR:
        return _through_resistor(check, relay, place)
    why = f"the coil's own suppression is {own.value}"
    return Finding(check, Outcome.PASS, why, "quick release", own.value, source=RELEASE_SOURCE)


CURE = "suppress the load, or use a part with a diode and a zener"


def _through_resistor(check: str, relay: Relay, place: Place) -> Finding:
    """A low resistor holds the current nearly as long as a diode does: quick is half a diode's time or less."""
    volts, stated = _volts_on(relay, place), relay.suppression_ohms
    if volts is None or not relay.coil_ohms or not stated:
        return unknown(check, {"the suppression resistor, ohm": stated or None, "coil ohms": relay.coil_ohms or None})
    slow, ours = (_times(relay, kind, volts) for kind in (Suppression.DIODE, Suppression.RESISTOR))
    why = f"through its own {stated:g} Ω the coil's current takes {ours:.1f} L/R to die, by a plain diode {slow:.1f}"
    quick = ours <= QUICK_TIMES * slow
    outcome, said = (Outcome.PASS, why) if quick else (Outcome.CONDITION, f"{why}: it opens slowly; {CURE}")
    required = f"{QUICK_TIMES * slow:.1f} L/R or less"
    return Finding(check, outcome, said, required, f"{ours:.1f} L/R", QUICK_TIMES * slow / ours - 1, RELEASE_SOURCE)


def _volts_on(relay: Relay, place: Place) -> float | None:
    return place.board.supply.nominal_volts or relay.coil_volts


def _how_much(relay: Relay, place: Place) -> str:
    """The diode's decay against that of a diode with a zener, in words."""
    volts = _volts_on(relay, place)
    if volts is None or not relay.coil_ohms:
        return ""
    slow, quick = (decay(relay, kind, volts) for kind in (Suppression.DIODE, Suppression.DIODE_ZENER))
    if slow.milliseconds is not None and quick.milliseconds is not None:
        return f" by {slow.milliseconds:.1f} ms, where a zener would take {quick.milliseconds:.1f} ms"
    said = f": the coil's current takes {slow.times_lr:.1f} L/R to die, with a zener {quick.times_lr:.1f}"
    return f"{said} (in ms unknown: the coil's inductance is not stated)"
