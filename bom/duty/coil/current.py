"""What a coil takes when cold against what its driver may carry: one channel, and the whole package.

The coldest copper, the lowest ohms of its tolerance and the highest supply make the most current.
"""

from __future__ import annotations

from bom.boards.board import Driver, Place
from bom.duty.coil.copper import COPPER_SOURCE, ohms_at
from bom.duty.judging import held, unknown
from bom.relays.relay import Relay, Suppression
from bom.values.finding import Finding, Outcome


def current_ma(relay: Relay, volts: float | None, temp_c: float | None) -> float | None:
    """The most milliamps the coil takes at these volts and temperature: lowest ohms, tolerance in.

    A suppression resistor beside the winding takes its share too; where its ohms are not stated, nothing is known.
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


def boosted_current_cold(relay: Relay, place: Place, fitted: Relay | None = None) -> tuple[Finding, ...]:
    """The same from the volts of a boost start, made on cold mornings; asked where the board allows for one."""
    volts, cold = place.board.supply.jump_volts, place.board.ambient_min_c
    limit = (place.position.driver or Driver()).channel_milliamps
    if volts is None:
        return ()
    need = current_ma(relay, volts, cold)
    if need is None or limit is None:
        return (unknown("coil current at boost start", _current_values(relay, place) | {"channel limit, mA": limit}),)
    why = f"at {cold:g} °C a boost start's {volts:g} V makes {need:.1f} mA; the channel carries {limit:g} mA"
    theirs = current_ma(fitted, volts, cold) if fitted else None
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
    figures = [(current_ma(relay, volts, t) or 0.0) * units for t in (cold, 20.0)]
    return f"{figures[0]:.1f} mA at {cold:g} °C ({figures[1]:.1f} mA at 20 °C) from {volts:g} V"


def _current_values(relay: Relay, place: Place) -> dict[str, object]:
    resistor = relay.coil_suppression is Suppression.RESISTOR
    return {
        "coil ohms": relay.coil_ohms,
        "coil tolerance, %": relay.coil_ohms_tol_pct,
        "temperature the coil data hold at": relay.coil_ref_temp_c,
        "lowest ambient": place.board.ambient_min_c,
        "highest supply volts": place.board.supply.max_volts,
        "the suppression resistor, ohm": relay.suppression_ohms if resistor else 0,
    }
