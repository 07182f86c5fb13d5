"""The least load that keeps a contact clean: volts, milliamps and milliwatts together, each a minimum of its own."""

from __future__ import annotations

from bom.boards.board import Function
from bom.duty.judging import amount, room, unknown
from bom.relays.relay import Relay
from bom.values.finding import Finding, Outcome

SILVER_VOLTS, SILVER_AMPS = 12.0, 0.4
"""Where silver contacts clean themselves by their own arc, at these and above: TE, Relay Contact Life."""


def minimum_load(relay: Relay, function: Function) -> Finding:
    """The load against the least volts, milliamps and milliwatts the contact needs to stay clean."""
    load, check = function.load, f"minimum load, {function.name}"
    volts, amps = load.volts or 0.0, load.amps or 0.0
    if asked := minima(relay, volts, amps):
        return _stated(check, relay, asked)
    if volts >= SILVER_VOLTS and amps >= SILVER_AMPS:
        why = "no minimum stated; at these volts and amps any silver contact keeps itself clean"
        there = f"{volts:g} V, {amps:g} A"
        return Finding(check, Outcome.PASS, why, "12 V, 0.4 A", there, source="TE, Relay Contact Life")
    return unknown(check, {"the contact's minimum load": None})


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
