"""The least load that keeps a contact clean: volts, milliamps and milliwatts together, each a minimum of its own."""

from __future__ import annotations

from bom.boards.board import Function
from bom.duty.figures.sources import CONTACT_LIFE_NOTE
from bom.duty.margins import amount, known, room, unknown
from bom.relays.relay import Relay
from bom.values.finding import Finding, Outcome

SILVER_VOLTS, SILVER_AMPS = 12.0, 0.5
"""Where silver contacts clean themselves by their own arc: the higher of what two sources print, 12 V and 0.4 A
(source 7) and 8 V and 0.5 A (FAA AC 43.13-1B, page 11-17)."""

SILVER_SOURCE = f"{CONTACT_LIFE_NOTE.cited}: 12 V, 0.4 A; FAA AC 43.13-1B, page 11-17: 8 V, 0.5 A; the higher of each"


def minimum_load(relay: Relay, function: Function) -> Finding:
    """The load against the least volts, milliamps and milliwatts the contact needs to stay clean."""
    load, check = function.load, f"minimum load, {function.name}"
    volts, amps = known(load.volts), known(load.amps)
    asked = minima(relay, volts, amps)
    cleans = volts >= SILVER_VOLTS and amps >= SILVER_AMPS and _may_be_silver(relay)
    if asked and (cleans or _complete(relay) or any(there < least for there, least, _ in asked)):
        return _stated(check, relay, asked)
    if asked:
        return unknown(check, _current_or_power(relay), "its volts alone say too little")
    if cleans:
        why = "no minimum stated; at these volts and amps any silver contact keeps itself clean"
        least, there = f"{SILVER_VOLTS:g} V, {SILVER_AMPS:g} A", f"{volts:g} V, {amps:g} A"
        return Finding(check, Outcome.PASS, why, least, there, source=SILVER_SOURCE)
    return unknown(check, {"the contact's minimum load": None})


def _may_be_silver(relay: Relay) -> bool:
    """A stated material names silver; relays' power contacts are silver alloys where none is stated."""
    material = relay.contact_material.lower()
    return not material or "ag" in material or "silver" in material


def _complete(relay: Relay) -> bool:
    """Milliwatts, or milliamps: either bounds the current, which volts alone do not."""
    return bool(relay.min_load_milliwatts or relay.min_load_milliamps)


def _current_or_power(relay: Relay) -> dict[str, object]:
    return {"the contact's least milliamps or milliwatts": relay.min_load_milliamps or relay.min_load_milliwatts}


def _stated(check: str, relay: Relay, asked: list[tuple[float, float, str]]) -> Finding:
    """The minimum that is nearest to failing decides."""
    there, least, unit = min(asked, key=lambda row: row[0] / row[1])
    why = f"the load gives {there:g} {unit} and the contact asks for {least:g} {unit} at least"
    outcome = Outcome.PASS if there >= least else Outcome.FAIL
    return Finding(check, outcome, why, amount(least, unit), amount(there, unit), room(least, there), relay.source)


def minima(relay: Relay, volts: float, amps: float) -> list[tuple[float, float, str]]:
    """What the load gives, what the contact asks for, and the unit, for each minimum stated."""
    rows = (
        (volts, relay.min_load_volts, "V"),
        (amps * 1000, relay.min_load_milliamps, "mA"),
        (volts * amps * 1000, relay.min_load_milliwatts, "mW"),
    )
    return [(round(there, 9), least, unit) for there, least, unit in rows if least]
