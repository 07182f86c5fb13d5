"""An AC coil: its volts against the supply, and its likeness to the fitted part's.

Most of an AC coil's impedance is not copper and changes as the armature closes, so neither its current nor its
operate volts are worked out from its ohms; what a sheet leaves out stays unknown. Heat raises the operate volts by
no more than it raises copper's ohms, which bounds them: between the two is a condition, to be measured hot.
"""

from __future__ import annotations

from bom.boards.board import Driver, Place
from bom.duty.coil_heat import COPPER_SOURCE, ratio
from bom.duty.margins import amount, held, known, room, unknown
from bom.relays.relay import Mains, Relay
from bom.values.finding import Finding, Outcome

LEAST_SHARE, MOST_SHARE = 0.8, 1.1
"""Shares of its rated volts a coil works at: operative range class 1 of IEC 61810-1, from memory; source 25
prints 0.8 to 1.1 as one of its ranges."""

RANGE_SOURCE = "IEC 61810-1, operative range class 1 (80 to 110 %), from memory"


def ac_findings(relay: Relay, place: Place, fitted: Relay | None) -> tuple[Finding, ...]:
    return (
        _frequency(relay, place, fitted),
        _pull_in(relay, place, fitted),
        _highest(relay, place, fitted),
        *_winding(relay, place, fitted),
    )


FREQUENCY_SOURCE = "a coil's impedance grows with the frequency: common practice, no source"


def _frequency(relay: Relay, place: Place, fitted: Relay | None) -> Finding:
    """A coil for 50 Hz pulls less on 60 Hz, one for 60 Hz burns on 50 Hz; where the board states none, the fitted
    part's is the measure."""
    check, own, board = "coil frequency", relay.coil_hertz, place.board.supply.hertz
    there = board or (fitted.coil_hertz if fitted else None)
    if own is Mains.BOTH or (own is not None and own is there):
        why = f"the coil is for {own} Hz"
        return Finding(check, Outcome.PASS, why, f"{there or 'any'} Hz", f"{own} Hz", source=FREQUENCY_SOURCE)
    if own is None or there is None or (board is None and there is Mains.BOTH):
        return unknown(check, {"the frequency of the coil": own, "hertz of the board's supply": board})
    why = f"the coil is for {own} Hz and the supply has {there} Hz: " + (
        "it burns" if own is Mains.HZ_60 else "it may not pull in"
    )
    return Finding(check, Outcome.FAIL, why, f"{there} Hz", f"{own} Hz", source=FREQUENCY_SOURCE)


def _pull_in(relay: Relay, place: Place, fitted: Relay | None) -> Finding:
    """The least it gets against its operate volts; not stated, against the usual range, which does not decide."""
    low, drop = place.board.supply.min_volts, (place.position.driver or Driver()).drop_volts
    need = relay.operate_volts
    if low is None or drop is None or (need is None and relay.coil_volts is None):
        wanted = {"operate or rated coil volts": need, "lowest supply volts": low, "driver drop volts": drop}
        return unknown("pull-in, AC coil", wanted)
    if need is None:
        return _by_usual_range(known(relay.coil_volts), low - drop)
    why = f"operates at {need:.3g} V AC and gets {low - drop:.3g} V"
    theirs = fitted.operate_volts if fitted else None
    pair = None if theirs is None else (theirs, low - drop)
    found = held("pull-in, AC coil", need, low - drop, "V", why, relay.source, pair)
    return _when_hot(found, relay, place, low - drop) if found.outcome is Outcome.PASS else found


def _when_hot(found: Finding, relay: Relay, place: Place, there: float) -> Finding:
    """Passed where even copper's full growth leaves enough; between that and the stated volts it is to be tried hot."""
    reference, hottest = relay.coil_ref_temp_c, place.board.ambient_max_c
    if reference is None or hottest is None or relay.operate_volts is None:
        return unknown(found.check, {"temperature the coil data hold at": reference, "highest ambient": hottest})
    most = relay.operate_volts * max(1.0, ratio(reference, hottest))
    why = f"{found.why}; at {hottest:g} °C it needs {most:.3g} V at most"
    outcome = Outcome.PASS if most <= there else Outcome.CONDITION
    why += "" if outcome is Outcome.PASS else ": try it at that heat"
    source = f"{found.source}; {COPPER_SOURCE}, as the most"
    return Finding(found.check, outcome, why, amount(most, "V"), found.offered, room(most, there), source)


def _by_usual_range(rated: float, there: float) -> Finding:
    """Operate volts that nobody states: its rated volts surely operate it, less is for the sheet to say."""
    least = LEAST_SHARE * rated
    why = f"operate volts not stated; rated {rated:g} V AC, usually operates from {least:.3g} V, and gets {there:.3g} V"
    outcome = Outcome.PASS if there >= rated else Outcome.UNKNOWN if there >= least else Outcome.FAIL
    why += "; look up its operate volts" if outcome is Outcome.UNKNOWN else ""
    needed = rated if outcome is not Outcome.FAIL else least
    return Finding(
        "pull-in, AC coil", outcome, why, amount(needed, "V"), amount(there, "V"), room(needed, there), RANGE_SOURCE
    )


def _highest(relay: Relay, place: Place, fitted: Relay | None) -> Finding:
    check, supply = "highest coil volts", place.board.supply.max_volts
    most, source = _bears(relay)
    if most is None or supply is None:
        return unknown(check, {"highest or rated coil volts": most, "highest supply volts": supply})
    theirs = _bears(fitted)[0] if fitted else None
    why = f"bears {most:.3g} V AC and the highest supply is {supply:g} V"
    return held(check, supply, most, "V", why, source, None if theirs is None else (supply, theirs))


def _bears(relay: Relay) -> tuple[float | None, str]:
    if relay.coil_max_volts is not None:
        return relay.coil_max_volts, relay.source
    return (None if relay.coil_volts is None else MOST_SHARE * relay.coil_volts), RANGE_SOURCE


def _winding(relay: Relay, place: Place, fitted: Relay | None) -> tuple[Finding, ...]:
    """A coil of the fitted part's rated volts and ohms loads the driver as that one did, near enough to be tried."""
    limit = (place.position.driver or Driver()).channel_milliamps
    if fitted is not None and relay == fitted:
        why = "it is the part that was fitted, so it loads the driver as that one did"
        return (Finding("coil current, AC coil", Outcome.PASS, why, source="common practice, no source"),)
    same = fitted is not None and relay.coil_volts == fitted.coil_volts and _ohms_alike(relay, fitted)
    if same:
        why = "rated volts and ohms are the fitted part's, so it loads the driver alike; measure its current once"
        source = "common practice, no source"
        return (Finding("coil current, AC coil", Outcome.CONDITION, why, source=source),)
    if limit is None and fitted is None:
        return ()
    return (unknown("coil current, AC coil", {"coil current or VA": None}, "an AC coil is not its copper alone"),)


def _ohms_alike(relay: Relay, fitted: Relay) -> bool:
    """Within the fitted part's tolerance, a tenth where none is stated (common practice, no source)."""
    if not relay.coil_ohms or not fitted.coil_ohms:
        return False
    return abs(relay.coil_ohms / fitted.coil_ohms - 1) <= (fitted.coil_ohms_tol_pct or 10.0) / 100
