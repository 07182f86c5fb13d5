"""Whether a DC coil operates at the least volts it gets, and lets go at what is left on it when it is off.

Its operate and release volts follow copper's line with temperature. At the first switching on the winding is at the
board's ambient; again after it has been on it is warmer, which is asked where the rise is stated or a rule tells it.
"""

from __future__ import annotations

from bom.boards.board import Driver, Place
from bom.duty.coil.copper import COPPER_SOURCE, operate_volts_at
from bom.duty.coil.warm_coil import rise_at
from bom.duty.figures.rule import Rule
from bom.duty.margins import ROUNDING, amount, held, known, room, unknown
from bom.relays.relay import Relay
from bom.values.finding import Finding, Outcome


def operate_volts_hot(relay: Relay, ambient_max_c: float | None) -> float | None:
    """The volts the coil needs at the hottest ambient, or None where the data sheet leaves something out."""
    if relay.operate_volts is None or relay.coil_ref_temp_c is None or ambient_max_c is None:
        return None
    return operate_volts_at(relay.operate_volts, relay.coil_ref_temp_c, ambient_max_c)


def pulls_in_hot(relay: Relay, place: Place, fitted: Relay | None = None) -> Finding:
    """Operate volts at the hottest against the lowest supply less the driver's drop."""
    board, driver = place.board, place.position.driver or Driver()
    low, drop = board.supply.min_volts, driver.drop_volts
    need = operate_volts_hot(relay, board.ambient_max_c)
    if (short := _short_at_most(relay, board.supply.max_volts, drop)) is not None:
        return short
    if need is None or low is None or drop is None:
        return unknown("pull-in when hot", _pull_in_values(relay, place))
    there = low - drop
    why = (
        f"operates at {relay.operate_volts:g} V at {relay.coil_ref_temp_c:g} °C, so needs {need:.2f} V at "
        f"{board.ambient_max_c:g} °C; {low:g} V supply less {drop:g} V drop leaves {there:.2f} V"
    )
    return held("pull-in when hot", need, there, "V", why, COPPER_SOURCE, _fitted_pull_in(fitted, place, there))


def _fitted_pull_in(fitted: Relay | None, place: Place, there: float) -> tuple[float, float] | None:
    need = operate_volts_hot(fitted, place.board.ambient_max_c) if fitted else None
    return None if need is None else (need, there)


def _short_at_most(relay: Relay, highest: float | None, drop: float | None) -> Finding | None:
    """A coil that may need more than even the highest supply gives, the sheet's operate volts being the most any piece
    needs: no temperature need be asked."""
    if relay.operate_volts is None or highest is None or relay.operate_volts <= highest - (drop or 0.0):
        return None
    there = highest - (drop or 0.0)
    why = f"not sure to pull in: may need {relay.operate_volts:g} V, and the highest supply leaves {there:g} V"
    need = relay.operate_volts
    return Finding(
        "pull-in when hot", Outcome.FAIL, why, amount(need, "V"), amount(there, "V"), room(need, there), relay.source
    )


def _pull_in_values(relay: Relay, place: Place) -> dict[str, object]:
    driver = place.position.driver or Driver()
    return {
        "operate volts": relay.operate_volts,
        "temperature the coil data hold at": relay.coil_ref_temp_c,
        "highest ambient": place.board.ambient_max_c,
        "lowest supply volts": place.board.supply.min_volts,
        "driver drop volts": driver.drop_volts,
    }


def pulls_in_warm(relay: Relay, place: Place, rule: Rule, fitted: Relay | None = None) -> tuple[Finding, ...]:
    """Operate volts after the coil has been on, against the lowest supply less the driver's drop.

    Nothing where neither the board nor the rule tells its rise.
    """
    board, check = place.board, "pull-in again when warm"
    low, drop = board.supply.min_volts, (place.position.driver or Driver()).drop_volts
    need = _warm_volts(relay, place, rule)
    if need is None or low is None or drop is None:
        return _warm_unknown(check, relay, place, rule)
    there = low - drop
    rise = rise_at(relay, place, rule, known(board.ambient_max_c))
    kelvin, source = (rise.kelvin, rise.source) if rise else (0.0, "")
    why = (
        f"after being on the coil is {kelvin:.0f} K warmer than {board.ambient_max_c:g} °C, so needs {need:.2f} V; "
        f"{low:g} V supply less {drop:g} V drop leaves {there:.2f} V"
    )
    theirs = _warm_volts(fitted, place, rule) if fitted else None
    pair = None if theirs is None else (theirs, there)
    return (held(check, need, there, "V", why, f"{COPPER_SOURCE}; {source}", pair),)


def _warm_volts(relay: Relay, place: Place, rule: Rule) -> float | None:
    hottest = place.board.ambient_max_c
    rise = None if hottest is None else rise_at(relay, place, rule, hottest)
    return None if rise is None or hottest is None else operate_volts_hot(relay, hottest + rise.kelvin)


def _warm_unknown(check: str, relay: Relay, place: Place, rule: Rule) -> tuple[Finding, ...]:
    asked = place.position.coil_rise_k is not None or rule.coil_kelvin_per_watt is not None
    return (unknown(check, _pull_in_values(relay, place) | {"coil ohms": relay.coil_ohms}),) if asked else ()


def lets_go(relay: Relay, place: Place, fitted: Relay | None = None) -> tuple[Finding, ...]:
    """Release volts at the coldest, where they are lowest, against what leaks over a coil that is off.

    Where the board states no leakage the fitted part's release volts are the measure; where that is not known either,
    nothing is asked.
    """
    left = (place.position.driver or Driver()).off_volts
    theirs = fitted.release_volts if fitted else None
    if left is not None:
        return (_lets_go_at(relay, place, left),)
    if theirs is None:
        return ()
    return (_lets_go_like(relay, theirs),)


def _lets_go_at(relay: Relay, place: Place, left: float) -> Finding:
    coldest, stated, reference = place.board.ambient_min_c, relay.release_volts, relay.coil_ref_temp_c
    if coldest is None or stated is None or reference is None:
        wanted = {"release volts": stated, "lowest ambient": coldest, "temperature the coil data hold at": reference}
        return unknown("release when off", wanted)
    lets_go_volts = operate_volts_at(stated, reference, coldest)
    why = f"{left:g} V are left on the coil when off, and it releases at {lets_go_volts:.2f} V at {coldest:g} °C"
    if left <= 0:
        return Finding("release when off", Outcome.PASS, why, "0 V", amount(lets_go_volts, "V"), source=COPPER_SOURCE)
    return held("release when off", left, lets_go_volts, "V", why, COPPER_SOURCE)


def _lets_go_like(relay: Relay, theirs: float) -> Finding:
    if relay.release_volts is None:
        return unknown("release when off", {"release volts": None})
    ours = relay.release_volts
    why = f"releases at {ours:g} V, the fitted part at {theirs:g} V"
    outcome = Outcome.PASS if ours >= theirs * (1 - ROUNDING) else Outcome.CONDITION
    why += "" if outcome is Outcome.PASS else ": make sure that the driver leaves less than that when it is off"
    source = "compared with the fitted part: common practice, no source"
    return Finding("release when off", outcome, why, amount(theirs, "V"), amount(ours, "V"), room(theirs, ours), source)
