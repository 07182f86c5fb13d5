"""What a coil's kick-back does to the switch that drives it, when the coil is turned off.

A coil that is cut drives its own voltage up until something conducts: what lies across it on the board or inside the
relay, and failing both the driver itself. The switch, open, then stands the supply and that clamp together. A diode
inside the old relay may have been all that protected the driver, so a part that clamps at more volts, or not at all, is
never taken unasked. Sources: source 5 (a 12 V coil without suppression makes 1000 V or more); volts of a resistor by
its current, of a diode from memory.
"""

from __future__ import annotations

from math import inf

from bom.boards.board import Driver, Place
from bom.duty.coil_drive import lowest_ohms
from bom.duty.margins import ROUNDING, amount, held, no_worse, unknown
from bom.duty.release import DIODE_VOLTS, resistor_peak_volts
from bom.duty.sources import SUPPRESSION_NOTE
from bom.relays.relay import CoilSystem, Relay, SupplyKind, Suppression
from bom.values.finding import Finding, Outcome

CHECK = "driver protection"
SOURCE = f"{SUPPRESSION_NOTE.cited}: a coil cut without suppression makes 1000 V or more"


def driver_protection(relay: Relay, place: Place, fitted: Relay | None = None) -> tuple[Finding, ...]:
    """The volts over the open driver against what it bears; where that is not stated, against the fitted part's."""
    if relay.coil_supply is SupplyKind.AC:
        return ()
    driver = place.position.driver or Driver()
    if relay.coil_system is CoilSystem.LATCHING_1_COIL and relay.coil_suppression not in _BOTH_WAYS:
        return (_fed_both_ways(relay),)
    ours = least_clamp(relay, place)
    if driver.breakdown_volts is not None:
        theirs = least_clamp(fitted, place) if fitted else None
        return (_against_breakdown(relay, place, driver.breakdown_volts, ours, theirs),)
    if driver.suppression not in ("", Suppression.NONE):
        why = f"the board has its own {driver.suppression} across the coil, whatever part sits there"
        return (Finding(CHECK, Outcome.PASS, why, "a clamp", f"{driver.suppression} on the board", source=SOURCE),)
    return (_against_fitted(relay, place, ours, fitted),)


_BOTH_WAYS = (Suppression.NONE, Suppression.RESISTOR)


def _fed_both_ways(relay: Relay) -> Finding:
    """A coil that is set one way and reset the other: a diode across it shorts the driver one of the two ways."""
    if relay.coil_suppression is None:
        return unknown(CHECK, {"what lies across the coil inside": None})
    why = f"the {relay.coil_suppression} inside shorts the driver when the coil is fed the other way to reset it"
    return Finding(CHECK, Outcome.FAIL, why, "nothing that conducts one way", relay.coil_suppression, source=SOURCE)


def least_clamp(relay: Relay, place: Place) -> float | None:
    """The most volts that arise over the coil when it is cut, by what is inside and on the board.

    ``inf`` where nothing conducts, None where something may and nobody states at how many volts.
    """
    clamps = (clamp_inside(relay, place), _clamp_on_board(place.position.driver or Driver()))
    stated = [volts for volts in clamps if volts is not None]
    least = min(stated, default=inf)
    return least if len(stated) == len(clamps) or least < inf else None


def clamp_inside(relay: Relay, place: Place) -> float | None:
    """Volts over the coil that what lies inside the relay lets arise; see ``least_clamp`` for inf and None."""
    match relay.coil_suppression:
        case None:
            return None
        case Suppression.NONE:
            return inf
        case Suppression.DIODE:
            return DIODE_VOLTS
        case Suppression.DIODE_ZENER:
            return None if relay.suppression_volts is None else relay.suppression_volts + DIODE_VOLTS
        case Suppression.RESISTOR:
            return _over_resistor(relay, place)


def _over_resistor(relay: Relay, place: Place) -> float | None:
    """The coil's greatest current, cold and at the highest supply, goes on through the resistor."""
    volts, ohms = place.board.supply.max_volts, lowest_ohms(relay, place.board.ambient_min_c)
    if volts is None or ohms is None or relay.suppression_ohms is None:
        return None
    return resistor_peak_volts(volts / ohms, relay.suppression_ohms)


def _clamp_on_board(driver: Driver) -> float | None:
    if driver.clamp_volts is not None:
        return driver.clamp_volts
    if driver.suppression == Suppression.DIODE:
        return DIODE_VOLTS
    return inf if driver.suppression == Suppression.NONE else None


def _against_breakdown(
    relay: Relay, place: Place, breakdown: float, ours: float | None, theirs: float | None
) -> Finding:
    supply = place.board.supply.max_volts
    if supply is None or ours is None:
        return unknown(CHECK, {"highest supply volts": supply} | _silent(relay, place, ours))
    if ours == inf:
        why = f"nothing clamps the coil, inside or on the board, and the driver bears {breakdown:g} V"
        if theirs == inf:
            why = no_worse("nothing clamps either", "the driver may clamp by itself", why)
        outcome = Outcome.CONDITION if theirs == inf else Outcome.FAIL
        return Finding(CHECK, outcome, why, "a clamp", "none", source=SOURCE)
    why = f"cut at {supply:g} V the coil clamps at {ours:.3g} V, so the driver stands {supply + ours:.3g} V"
    pair = None if theirs is None or theirs == inf else (supply + theirs, breakdown)
    return held(CHECK, supply + ours, breakdown, "V", f"{why} and bears {breakdown:g} V", SOURCE, pair)


def _silent(relay: Relay, place: Place, ours: float | None) -> dict[str, object]:
    """What nobody states of the clamps."""
    driver = place.position.driver or Driver()
    if ours is not None:
        return {}
    wanted: dict[str, object] = {"what lies across the coil on the board": driver.suppression or None}
    if driver.suppression:
        wanted["at how many volts it clamps"] = driver.clamp_volts
    if relay.coil_suppression is None:
        wanted["what lies across the coil inside"] = None
    if relay.coil_suppression is Suppression.DIODE_ZENER:
        wanted["the zener's volts"] = relay.suppression_volts
    if relay.coil_suppression is Suppression.RESISTOR:
        wanted |= {"the suppression resistor, ohm": relay.suppression_ohms, "coil ohms": relay.coil_ohms}
    return wanted


def _against_fitted(relay: Relay, place: Place, ours: float | None, fitted: Relay | None) -> Finding:
    """Where nobody states what the driver bears: no higher than with the fitted part, with which it has worked."""
    inside = clamp_inside(relay, place)
    if inside == DIODE_VOLTS:
        return Finding(CHECK, Outcome.PASS, "its own diode clamps the coil", "a clamp", "diode inside", source=SOURCE)
    theirs = clamp_inside(fitted, place) if fitted else None
    if inside is None or theirs is None:
        wanted = {"what the driver bears, V": None, "what lies across the coil inside": relay.coil_suppression}
        return unknown(CHECK, wanted, "nothing tells what protects the driver when this coil is cut")
    if inside <= theirs * (1 + ROUNDING):
        why = "clamps the coil no higher than the fitted part, with which the driver has worked"
        return Finding(CHECK, Outcome.PASS, why, _volts(theirs), _volts(inside), source=SOURCE)
    return _higher(place, inside, theirs)


def _higher(place: Place, inside: float, theirs: float) -> Finding:
    """The old part clamped lower: without anything on the board its clamp was the driver's protection."""
    nothing = (place.position.driver or Driver()).suppression == Suppression.NONE
    surely = nothing and inside == inf
    why = f"the fitted part clamped the coil at {_volts(theirs)}, this one at {_volts(inside)}"
    if surely:
        why = f"nothing clamps this coil, where the fitted part did at {_volts(theirs)} and the board has nothing"
    else:
        why += "; look up what the driver bears" if nothing else "; see what lies across the coil on the board"
    outcome = Outcome.FAIL if surely else Outcome.UNKNOWN
    return Finding(CHECK, outcome, why, _volts(theirs), _volts(inside), source=SOURCE)


def _volts(clamp: float) -> str:
    return "nothing" if clamp == inf else amount(clamp, "V")
