"""What a coil asks of its driver: current when cold, of one channel and the whole package, and the length of a pulse.

The coldest copper, the lowest ohms of its tolerance and the highest supply make the most current. A latching coil is
driven for at least three times its operate time (MIL-PRF-6106, notes).
"""

from __future__ import annotations

from bom.boards.board import Driver, Place
from bom.duty.coil.copper import COPPER_SOURCE, ohms_at
from bom.duty.margins import held, known, unknown
from bom.relays.relay import CoilSystem, Relay, Suppression
from bom.values.finding import Finding, Outcome

PULSE_TIMES = 3.0
PULSE_SOURCE = "MIL-PRF-6106, notes: pulse at least three times the operate time, never both coils at once"
LATCHING = (CoilSystem.LATCHING_1_COIL, CoilSystem.LATCHING_2_COIL)


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
    """One coil's current from a boost start on a cold morning; asked where the board allows for one."""
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
