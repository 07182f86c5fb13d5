"""A coil and its driver: does it pull in and let go on the volts it gets, and can the driver carry its current.

Operate and release volts follow copper's line with temperature. At the first switching on the winding is at the
board's ambient; after it has been on it is warmer, by the position's, the maker's or a rule's figure, and where nobody
gives one that is a condition. The coldest copper, the lowest ohms of its tolerance and the highest supply make the most
current. A latching coil is driven for at least three times its operate time (MIL-PRF-6106, notes).
"""

from __future__ import annotations

from bom.boards.board import Driver, Place
from bom.duty.coil_heat import COPPER_K, COPPER_SOURCE, contact_rise, ohms_at, operate_volts_at, rise_at
from bom.duty.margins import ROUNDING, amount, held, known, room, unknown
from bom.duty.rules import WARM_COIL, Rule
from bom.relays.relay import CoilSystem, Design, Relay, Suppression
from bom.values.finding import Finding, Outcome


def operate_volts_hot(relay: Relay, ambient_max_c: float | None) -> float | None:
    """The volts the coil needs at the hottest ambient, or None where the data sheet leaves something out.

    >>> relay = Relay("Kithmar", "K2R-12S", operate_volts=8.4, coil_ref_temp_c=20)
    >>> round(operate_volts_hot(relay, 85), 2)
    10.55
    """
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


def pulls_in_warm(design: Design, place: Place, rule: Rule, fitted: Design | None = None) -> tuple[Finding, ...]:
    """Hot restart: operate volts after the coil has been on, against the lowest supply less the driver's drop.

    Asked of every coil that stays on, so not of one that latches. Where nobody states how warm it gets, and no winding
    could be so hot that it would not operate, it passes; else it is a condition.
    """
    board, check = place.board, "pull-in again when warm"
    low, drop = board.supply.min_volts, (place.position.driver or Driver()).drop_volts
    need, hottest = operate_volts_hot(design.relay, board.ambient_max_c), board.ambient_max_c
    if design.relay.coil_system in LATCHING or need is None or low is None or drop is None or hottest is None:
        return ()  # what is missing is asked at the first pull-in
    relay = fitted.relay if fitted else None
    rise = rise_at(design, place, rule, hottest, relay)
    if rise is None:
        return (_untold(design, place, rule, hottest, low - drop),)
    there, warm = low - drop, known(operate_volts_hot(design.relay, hottest + rise.kelvin))
    why = (
        f"after being on the coil is {rise.kelvin:.0f} K warmer than {hottest:g} °C, so needs {warm:.2f} V; "
        f"{low:g} V supply less {drop:g} V drop leaves {there:.2f} V"
    )
    theirs = _warm_volts(fitted, place, rule, hottest) if fitted else None
    pair = None if theirs is None else (theirs, there)
    return (held(check, warm, there, "V", why, f"{COPPER_SOURCE}; {rise.source}", pair),)


def _warm_volts(fitted: Design, place: Place, rule: Rule, hottest: float) -> float | None:
    rise = rise_at(fitted, place, rule, hottest)
    return None if rise is None else operate_volts_hot(fitted.relay, hottest + rise.kelvin)


HOTTEST_WINDING_C = 155.0
"""What a winding of insulation class F, the usual one of relays for boards, may reach: IEC 60085, from memory."""


def _untold(design: Design, place: Place, rule: Rule, hottest: float, there: float) -> Finding:
    """Nobody states the rise, or what it would be worked out from: how many kelvin it may be, and what is usual."""
    check, relay = "pull-in again when warm", design.relay
    at_most = known(operate_volts_hot(relay, HOTTEST_WINDING_C))
    if at_most <= there:
        why = (
            f"even at {HOTTEST_WINDING_C:g} °C, the most that a winding of class F may reach, it needs {at_most:.2f} V"
        )
        source = f"{COPPER_SOURCE}; insulation class F of IEC 60085, from memory"
        return Finding(check, Outcome.PASS, why, amount(at_most, "V"), amount(there, "V"), room(at_most, there), source)
    if relay.coil_kelvin_per_watt is not None or rule.coil_kelvin_per_watt is not None:
        return unknown(check, _rise_values(relay, place))
    spare = max(0, int((COPPER_K + hottest) * (there / known(operate_volts_hot(relay, hottest)) - 1)))
    usual = rise_at(design, place, WARM_COIL, hottest)
    guess = f", and {usual.kelvin:.0f} K are usual" if usual else ""
    why = (
        f"how warm the coil gets when it stays on is not stated; it pulls in again up to {spare} K over "
        f"{hottest:g} °C{guess}: try it hot, or state coil_kelvin_per_watt of the relay or coil_rise_k of the position"
    )
    source = f"{COPPER_SOURCE}; {WARM_COIL.cited}" if usual else COPPER_SOURCE
    return Finding(check, Outcome.CONDITION, why, f"a rise of at most {spare} K", "not stated", None, source)


def _rise_values(relay: Relay, place: Place) -> dict[str, object]:
    return {
        "coil ohms": relay.coil_ohms or None,
        "coil tolerance, %": relay.coil_ohms_tol_pct,
        "highest supply volts": place.board.supply.max_volts,
        "the amps that its contacts carry": contact_rise(relay, place),
    }


def lets_go(relay: Relay, place: Place, fitted: Relay | None = None) -> tuple[Finding, ...]:
    """Release volts at the coldest, where they are lowest, against what leaks over a coil that is off.

    Where the board states no leakage the fitted part's release volts are the measure. A latching relay stays as it was
    driven, and is not asked.
    """
    if relay.coil_system in LATCHING:
        return ()
    left = (place.position.driver or Driver()).off_volts
    theirs = fitted.release_volts if fitted else None
    if left is not None:
        return (_lets_go_at(relay, place, left),)
    if theirs is None:
        return (unknown("release when off", {"the volts that are left on the coil when it is off": None}),)
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


PULSE_TIMES = 3.0
PULSE_SOURCE = "MIL-PRF-6106, notes: pulse at least three times the operate time, never both coils at once"
LATCHING = (CoilSystem.LATCHING_1_COIL, CoilSystem.LATCHING_2_COIL)


def current_ma(relay: Relay, volts: float | None, temp_c: float | None) -> float | None:
    """The most milliamps the coil takes at these volts and temperature: lowest ohms, tolerance in.

    A suppression resistor beside the winding takes its share too; where its ohms are not stated, nothing is known.

    >>> relay = Relay("Kithmar", "K2R-12S", coil_ohms=270, coil_ohms_tol_pct=10, coil_ref_temp_c=20)
    >>> round(current_ma(relay, 16, -40), 1)
    86.2
    """
    ohms, beside = lowest_ohms(relay, temp_c), _beside(relay)
    if ohms is None or volts is None or beside is None:
        return None
    return 1000.0 * volts * (1 / ohms + beside)


def _beside(relay: Relay) -> float | None:
    """Conductance of the suppression resistor, in 1/ohm; 0 where there is none."""
    if relay.coil_suppression is not Suppression.RESISTOR:
        return 0.0
    return 1 / relay.suppression_ohms if relay.suppression_ohms else None


def lowest_ohms(relay: Relay, temp_c: float | None) -> float | None:
    """The least ohms of the winding at ``temp_c``, tolerance in."""
    tolerance, reference = relay.coil_ohms_tol_pct, relay.coil_ref_temp_c
    if relay.coil_ohms is None or tolerance is None or reference is None or temp_c is None:
        return None
    return ohms_at(relay.coil_ohms * (1 - tolerance / 100), reference, temp_c)


def channel_current_cold(relay: Relay, place: Place, fitted: Relay | None = None) -> Finding:
    """The highest supply over the coldest, lowest ohms against what one driver channel may carry."""
    limit = (place.position.driver or Driver()).channel_milliamps
    need = _cold_current(relay, place)
    if need is not None and limit is None and (theirs := _cold_current(fitted, place) if fitted else None):
        return _limit_not_stated("coil current when cold", need, theirs, "driver channel limit, mA")
    if need is None or limit is None:
        return unknown("coil current when cold", _current_values(relay, place) | {"driver channel limit, mA": limit})
    why = f"one coil takes {_cold_and_20(relay, place, 1)}; the channel carries {limit:g} mA"
    return held(
        "coil current when cold", need, limit, "mA", why, COPPER_SOURCE, _fitted_current(fitted, place, 1, limit)
    )


def package_current_cold(relay: Relay, place: Place, fitted: Relay | None = None) -> Finding:
    """The coils on together against what the whole driver package may carry."""
    limit = (place.position.driver or Driver()).package_milliamps
    need, units = _cold_current(relay, place), place.position.units_on_together
    if need is not None and units and limit is None and (theirs := _cold_current(fitted, place) if fitted else None):
        return _limit_not_stated("package current when cold", need * units, theirs * units, "driver package limit, mA")
    if need is None or limit is None or units is None:
        wanted = {"driver package limit, mA": limit, "units on together": units}
        return unknown("package current when cold", _current_values(relay, place) | wanted)
    if units < 1:
        return Finding("package current when cold", Outcome.PASS, "no coils are on together", "0 mA", f"{limit:g} mA")
    why = f"{units} on together take {_cold_and_20(relay, place, units)}; the package carries {limit:g} mA"
    pair = _fitted_current(fitted, place, units, limit)
    return held("package current when cold", need * units, limit, "mA", why, COPPER_SOURCE, pair)


def _limit_not_stated(check: str, need: float, theirs: float, limit: str) -> Finding:
    """A driver that nobody states the limit of has driven the fitted part: a coil that takes no more asks no more."""
    if need > theirs * (1 + ROUNDING):
        return unknown(check, {limit: None}, f"it takes {need:.1f} mA, the fitted part {theirs:.1f} mA")
    why = f"the driver's limit is not stated; it takes {need:.1f} mA, no more than the fitted part's {theirs:.1f} mA"
    source = f"{COPPER_SOURCE}; compared with the fitted part: common practice, no source"
    offered, required = amount(need, "mA"), amount(theirs, "mA")
    return Finding(check, Outcome.CONDITION, why, required, offered, room(need, theirs), source)


def boosted_current_cold(relay: Relay, place: Place, fitted: Relay | None = None) -> tuple[Finding, ...]:
    """One coil's current from a boost start on a cold morning; asked where the board allows for one."""
    volts, cold = place.board.supply.jump_volts, place.board.ambient_min_c
    limit = (place.position.driver or Driver()).channel_milliamps
    if volts is None:
        return ()
    need, theirs = current_ma(relay, volts, cold), current_ma(fitted, volts, cold) if fitted else None
    if need is not None and limit is None and theirs:
        return (_limit_not_stated("coil current at boost start", need, theirs, "channel limit, mA"),)
    if need is None or limit is None:
        return (unknown("coil current at boost start", _current_values(relay, place) | {"channel limit, mA": limit}),)
    why = f"at {cold:g} °C a boost start's {volts:g} V makes {need:.1f} mA; the channel carries {limit:g} mA"
    pair = None if theirs is None else (theirs, limit)
    return (held("coil current at boost start", need, limit, "mA", why, COPPER_SOURCE, pair),)


def _cold_current(relay: Relay, place: Place) -> float | None:
    return current_ma(relay, place.board.supply.max_volts, place.board.ambient_min_c)


def _fitted_current(fitted: Relay | None, place: Place, units: int, limit: float) -> tuple[float, float] | None:
    need = _cold_current(fitted, place) if fitted else None
    return None if need is None else (need * units, limit)


def _cold_and_20(relay: Relay, place: Place, units: int) -> str:
    """Both figures the bench asks for: at the coldest, and at 20 °C where it can be measured."""
    volts, cold = place.board.supply.max_volts, place.board.ambient_min_c
    figures = [known(current_ma(relay, volts, t)) * units for t in (cold, 20.0)]
    return f"{figures[0]:.1f} mA at {cold:g} °C ({figures[1]:.1f} mA at 20 °C) from {volts:g} V"


def _current_values(relay: Relay, place: Place) -> dict[str, object]:
    resistor = relay.coil_suppression is Suppression.RESISTOR
    return {
        "coil ohms": relay.coil_ohms,
        "coil tolerance, %": relay.coil_ohms_tol_pct,
        "temperature the coil data hold at": relay.coil_ref_temp_c,
        "lowest ambient": place.board.ambient_min_c,
        "highest supply volts": place.board.supply.max_volts,
        "the suppression resistor, ohm": relay.suppression_ohms if resistor else 0,  # no test can: any number is stated
    }


def pulse(relay: Relay, place: Place, fitted: Relay | None = None) -> tuple[Finding, ...]:
    """Asked of latching relays alone; where the board states no pulse, a part no slower than the fitted one passes."""
    if relay.coil_system not in LATCHING:
        return ()
    driven, operate = (place.position.driver or Driver()).pulse_ms, relay.operate_ms
    if driven is None or operate is None:
        return (_pulse_like_fitted(operate, fitted.operate_ms if fitted else None, driven),)
    need = PULSE_TIMES * operate
    why = f"operates in {operate:g} ms, so is to be driven for {need:g} ms, and the board drives it for {driven:g} ms"
    return (held("latching pulse", need, driven, "ms", why, PULSE_SOURCE),)


def _pulse_like_fitted(ours: float | None, theirs: float | None, driven: float | None) -> Finding:
    if ours is None or theirs is None or ours > theirs:
        return unknown("latching pulse", {"operate time, ms": ours, "how long the board drives the coil, ms": driven})
    why = f"operates in {ours:g} ms, the fitted part in {theirs:g} ms, so the board's pulse is long enough"
    source = "compared with the fitted part: common practice, no source"
    return Finding("latching pulse", Outcome.PASS, why, f"{theirs:g} ms", f"{ours:g} ms", source=source)
