"""Whether a coil suits what drives it: kind of supply, pull-in when hot, current when cold, volts and heat.

A DC coil is copper, so its ohms and the volts it needs follow temperature (see ``copper``). The winding is taken at
the board's ambient, as at the first switching on; a coil that has been on is warmer still.
"""

from __future__ import annotations

from bom.boards.board import Driver, Place
from bom.duty.copper import ohms_at, operate_volts_at
from bom.duty.judging import amount, held, room, unknown
from bom.relays.relay import Design, Relay, SupplyKind
from bom.values.finding import Finding, Outcome

COPPER_SOURCE = "copper: R2/R1 = (234.5 + T2)/(234.5 + T1), TE 13C9135; Leach AN 102"

NORMAL_OVERVOLTAGE = 1.1
"""Share of its rated volts any coil bears: operative range class 1 of IEC 61810-1, from memory."""

TOO_HOT_TIMES = 2.0
"""Coil power, over its rated power or the fitted part's, above which it is refused. Common practice, no source."""

WARMER_TIMES = 1.1
"""Coil power over the fitted part's worth a word: a tenth is within tolerance. Common practice, no source."""


def coil_findings(design: Design, place: Place, original: Design | None = None) -> tuple[Finding, ...]:
    """All findings about the coil; just the one about its kind of supply where that already refuses it."""
    relay, fitted = design.relay, original.relay if original else None
    kind = supply_kind(relay, fitted)
    if kind.outcome is Outcome.FAIL or relay.coil_supply is SupplyKind.AC:
        return (kind, *_ac_window(relay))
    return (
        kind,
        pulls_in_hot(relay, place, fitted),
        channel_current_cold(relay, place, fitted),
        package_current_cold(relay, place, fitted),
        highest_volts(relay, place, fitted),
        *coil_power(relay, fitted),
    )


def supply_kind(relay: Relay, fitted: Relay | None) -> Finding:
    """A board's supply is DC unless the fitted part's coil says otherwise."""
    board = (fitted.coil_supply if fitted else None) or SupplyKind.DC
    if relay.coil_supply is None:
        return unknown("coil supply", {"coil supply, dc or ac": None})
    same = relay.coil_supply is board
    why = f"the coil is for {relay.coil_supply.upper()} and the board drives {board.upper()}"
    return Finding("coil supply", Outcome.PASS if same else Outcome.FAIL, why, board.upper(), relay.coil_supply.upper())


def _ac_window(relay: Relay) -> tuple[Finding, ...]:
    if relay.coil_supply is not SupplyKind.AC:
        return ()
    return (unknown("coil window", {"the maker's range of coil volts": None}, "an AC coil is not its copper alone"),)


def operate_volts_hot(relay: Relay, ambient_max_c: float | None) -> float | None:
    """The volts the coil needs at the hottest ambient, or None where the data sheet leaves something out."""
    if relay.operate_volts is None or relay.coil_ref_temp_c is None or ambient_max_c is None:
        return None
    return operate_volts_at(relay.operate_volts, relay.coil_ref_temp_c, ambient_max_c)


def current_ma(relay: Relay, volts: float | None, temp_c: float | None) -> float | None:
    """The most milliamps the coil takes at these volts and temperature: lowest ohms, tolerance in."""
    ohms = lowest_ohms(relay, temp_c)
    return None if ohms is None or volts is None else 1000.0 * volts / ohms


def lowest_ohms(relay: Relay, temp_c: float | None) -> float | None:
    """The least ohms of the winding at ``temp_c``, tolerance in."""
    tolerance, reference = relay.coil_ohms_tol_pct, relay.coil_ref_temp_c
    if relay.coil_ohms is None or tolerance is None or reference is None or temp_c is None:
        return None
    return ohms_at(relay.coil_ohms * (1 - tolerance / 100), reference, temp_c)


def pulls_in_hot(relay: Relay, place: Place, fitted: Relay | None = None) -> Finding:
    """Operate volts at the hottest against the lowest supply less the driver's drop."""
    board, driver = place.board, place.position.driver or Driver()
    low, drop = board.supply.min_volts, driver.drop_volts
    need = operate_volts_hot(relay, board.ambient_max_c)
    if (never := _never_pulls_in(relay, board.supply.max_volts, drop)) is not None:
        return never
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


def _never_pulls_in(relay: Relay, highest: float | None, drop: float | None) -> Finding | None:
    """A coil whose operate volts, as stated, are above even the highest supply: no temperature need be asked."""
    if relay.operate_volts is None or highest is None or relay.operate_volts <= highest - (drop or 0.0):
        return None
    there = highest - (drop or 0.0)
    why = f"never pulls in: operates at {relay.operate_volts:g} V, and the highest supply leaves {there:g} V"
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


def channel_current_cold(relay: Relay, place: Place, fitted: Relay | None = None) -> Finding:
    """The highest supply over the coldest, lowest ohms against what one driver channel may carry."""
    limit = (place.position.driver or Driver()).channel_milliamps
    need = _cold_current(relay, place)
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
    if need is None or limit is None or units is None:
        wanted = {"driver package limit, mA": limit, "units on together": units}
        return unknown("package current when cold", _current_values(relay, place) | wanted)
    if units < 1:
        return Finding("package current when cold", Outcome.PASS, "no coils are on together", "0 mA", f"{limit:g} mA")
    why = f"{units} on together take {_cold_and_20(relay, place, units)}; the package carries {limit:g} mA"
    theirs = _fitted_current(fitted, place, units, limit)
    return held("package current when cold", need * units, limit, "mA", why, COPPER_SOURCE, theirs)


def _cold_current(relay: Relay, place: Place) -> float | None:
    return current_ma(relay, place.board.supply.max_volts, place.board.ambient_min_c)


def _fitted_current(fitted: Relay | None, place: Place, units: int, limit: float) -> tuple[float, float] | None:
    need = _cold_current(fitted, place) if fitted else None
    return None if need is None else (need * units, limit)


def _cold_and_20(relay: Relay, place: Place, units: int) -> str:
    """Both figures the bench asks for: at the coldest, and at 20 °C where it can be measured."""
    volts, cold = place.board.supply.max_volts, place.board.ambient_min_c
    figures = [(current_ma(relay, volts, t) or 0.0) * units for t in (cold, 20.0)]
    return f"{figures[0]:.1f} mA at {cold:g} °C ({figures[1]:.1f} mA at 20 °C) from {volts:g} V"


def _current_values(relay: Relay, place: Place) -> dict[str, object]:
    return {
        "coil ohms": relay.coil_ohms,
        "coil tolerance, %": relay.coil_ohms_tol_pct,
        "temperature the coil data hold at": relay.coil_ref_temp_c,
        "lowest ambient": place.board.ambient_min_c,
        "highest supply volts": place.board.supply.max_volts,
    }


def highest_volts(relay: Relay, place: Place, fitted: Relay | None = None) -> Finding:
    """The highest supply against the stated coil maximum; where none is stated, by the heat it would make."""
    supply = place.board.supply.max_volts
    if supply is None:
        return unknown("highest coil volts", {"highest supply volts": None})
    if relay.coil_max_volts is None:
        return _by_heat(relay, supply, fitted)
    return _by_stated_maximum(relay, relay.coil_max_volts, supply, place, fitted)


def _by_stated_maximum(relay: Relay, most: float, supply: float, place: Place, fitted: Relay | None) -> Finding:
    theirs = fitted.coil_max_volts if fitted else None
    why = f"the coil bears {most:g} V and the highest supply is {supply:g} V"
    found = held(
        "highest coil volts", supply, most, "V", why, relay.source, None if theirs is None else (supply, theirs)
    )
    if found.outcome is not Outcome.PASS or (theirs is not None and most >= theirs):
        return found
    return _at_ambient(found, relay, place)


def _at_ambient(found: Finding, relay: Relay, place: Place) -> Finding:
    """A coil maximum is stated at one ambient; where the board gets hotter it falls, by the maker's curve."""
    hottest, stated = place.board.ambient_max_c, relay.coil_ref_temp_c
    if hottest is None or stated is None:
        return unknown(found.check, {"highest ambient": hottest, "temperature the coil data hold at": stated})
    if hottest <= stated:
        return found
    why = f"{found.why}; stated at {stated:g} °C: check the maker's curve at {hottest:g} °C"
    return Finding(found.check, Outcome.CONDITION, why, found.required, found.offered, found.margin, found.source)


def _by_heat(relay: Relay, supply: float, fitted: Relay | None) -> Finding:
    """No maximum stated: pass near rated volts, refused when far too hot, else condition or unknown."""
    if relay.coil_volts is None or relay.coil_ohms is None or not relay.coil_watts:
        return unknown(
            "highest coil volts",
            {"highest coil volts": None, "rated coil volts": relay.coil_volts, "coil ohms": relay.coil_ohms},
        )
    watts, rated = supply**2 / relay.coil_ohms, relay.coil_watts
    outcome, source = _heat_outcome(relay, watts / rated, fitted)
    why = f"no highest coil volts stated; at {supply:g} V the coil makes {watts:.2f} W instead of {rated:.2f} W"
    if outcome is Outcome.UNKNOWN:
        why += "; look up the highest coil volts"
    if outcome is Outcome.CONDITION:
        why += ", no more than the fitted part"
    return Finding(
        "highest coil volts", outcome, why, amount(watts, "W"), amount(rated, "W"), room(watts, rated), source
    )


def _heat_outcome(relay: Relay, times: float, fitted: Relay | None) -> tuple[Outcome, str]:
    if times > TOO_HOT_TIMES:
        return Outcome.FAIL, "coil power above twice rated: common practice, no source"
    if times <= NORMAL_OVERVOLTAGE**2:
        return Outcome.PASS, "IEC 61810-1, operative range class 1 (to 110 %), from memory"
    if _no_hotter(relay, fitted):
        return Outcome.CONDITION, "compared with the fitted part: common practice, no source"
    return Outcome.UNKNOWN, ""


def _no_hotter(relay: Relay, fitted: Relay | None) -> bool:
    """Same rated volts or more, and as many ohms or more: on this board it runs no hotter than the fitted part."""
    if fitted is None or None in (fitted.coil_ohms, fitted.coil_volts, relay.coil_ohms, relay.coil_volts):
        return False
    return (relay.coil_ohms or 0) >= (fitted.coil_ohms or 0) and (relay.coil_volts or 0) >= (fitted.coil_volts or 0)


def coil_power(relay: Relay, fitted: Relay | None) -> tuple[Finding, ...]:
    """The coil's heat on this board against the fitted part's; at the same volts that is the ratio of their ohms."""
    if fitted is None:
        return ()
    if not relay.coil_ohms or not fitted.coil_ohms or not fitted.coil_watts:
        wanted = {"coil ohms": relay.coil_ohms or None, "the fitted part's coil ohms": fitted.coil_ohms or None}
        return (unknown("coil power", wanted | {"the fitted part's rated coil volts": fitted.coil_volts or None}),)
    times = fitted.coil_ohms / relay.coil_ohms
    theirs = fitted.coil_watts
    why = f"at the same volts the coil makes {times:.2f} times the heat of the fitted part's"
    source = "common practice, no source"
    ours = theirs * times
    return (
        Finding("coil power", _warmth(times), why, amount(ours, "W"), amount(theirs, "W"), room(ours, theirs), source),
    )


def _warmth(times: float) -> Outcome:
    if times > TOO_HOT_TIMES:
        return Outcome.FAIL
    return Outcome.CONDITION if times > WARMER_TIMES else Outcome.PASS
