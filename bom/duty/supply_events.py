"""What the supply does now and then: the dip of cranking, an economiser's lower hold, a load dump.

A coil that has pulled in holds down to its *hold* volts, which lie between its operate volts and its release volts;
all three follow copper's line, and a coil that has been on is warm. Between hold and release nothing is certain. A
load dump comes over the whole supply while the battery is cut off: over the coil that is on, and over every open
contact. Source: ISO 16750-2, starting profile and load dump (tests A and B), as reprinted and from memory. An
economiser or a pulse-width modulated drive lowers a coil's mean volts once it has pulled in. Volts, milliseconds.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

from bom.boards.board import Driver, Place
from bom.duty.coil_drive import HOTTEST_WINDING_C, LATCHING, operate_volts_hot
from bom.duty.coil_heat import NORMAL_OVERVOLTAGE, no_hotter, operate_volts_at, rise_at
from bom.duty.margins import amount, held, known, no_worse, room, unknown
from bom.duty.rules import Rule
from bom.duty.sources import DUMP_PAPER, SUPPLY_MANUAL
from bom.relays.relay import Design, Relay, SupplyKind
from bom.values.finding import Finding, Outcome

CRANKING_SOURCE = "starting profile of ISO 16750-2, from memory; copper as for operate volts"
HOLD_SOURCE = "a coil holds down to its stated hold volts: the relay's data sheet; copper as for operate volts"
DUMP_SOURCE = f"load dump of ISO 16750-2, tests A and B: {DUMP_PAPER.cited}, {SUPPLY_MANUAL.cited}"


def supply_events(design: Design, place: Place, rule: Rule, original: Design | None = None) -> Iterator[Finding]:
    """What each event that the board states asks of a DC coil and its contacts."""
    relay, fitted = design.relay, original.relay if original else None
    if relay.coil_supply is not SupplyKind.AC and relay.coil_system not in LATCHING:
        yield from _cranking(design, place, rule, original)
        yield from _economiser(design, place, rule, original)
        yield from _in_time(relay, place)
    yield from _dump_on_coil(relay, place, fitted)
    yield from _dump_on_contact(relay, place, fitted)


def _cranking(design: Design, place: Place, rule: Rule, original: Design | None) -> Iterator[Finding]:
    """Asked where the board states to how many volts the supply dips while the engine is cranked."""
    dip, drop = place.board.supply.crank_volts, (place.position.driver or Driver()).drop_volts
    check = "hold while cranking"
    if dip is None:
        return
    if place.position.may_drop_out:
        why = "it may drop out while the engine is cranked, says the board file"
        yield Finding(check, Outcome.PASS, why, source="the board file")
    elif drop is None:
        yield unknown(check, {"driver drop volts": None})
    else:
        said = f"the supply dips to {dip:g} V, of which {max(dip - drop, 0.0):.2f} V are left on the coil"
        yield _holds(check, design, place, rule, original, max(dip - drop, 0.0), said, CRANKING_SOURCE)


def _economiser(design: Design, place: Place, rule: Rule, original: Design | None) -> Iterator[Finding]:
    """Asked where the driver lowers the coil's volts once it has pulled in."""
    there = (place.position.driver or Driver()).hold_volts
    if there is not None:
        said = f"once it has pulled in the driver leaves {there:g} V on the coil"
        yield _holds("hold on less", design, place, rule, original, there, said, HOLD_SOURCE)


def _holds(
    check: str,
    design: Design,
    place: Place,
    rule: Rule,
    original: Design | None,
    there: float,
    said: str,
    source: str,
) -> Finding:
    """``there`` volts against what surely holds the coil, and against what surely lets it go."""
    relay, hottest = design.relay, place.board.ambient_max_c
    lets_go = _surely_lets_go(relay, place)
    if lets_go is not None and there <= lets_go:
        return _let_go(check, place, original, there, lets_go, said, source)
    rise = None if hottest is None else rise_at(design, place, rule, hottest, original.relay if original else None)
    warm = HOTTEST_WINDING_C if rise is None or hottest is None else hottest + rise.kelvin
    need = _surely_holds(relay, warm)
    if need is None or hottest is None or (relay.hold_volts is None and need > there):
        wanted = {"hold volts": relay.hold_volts, "temperature the coil data hold at": relay.coil_ref_temp_c}
        return unknown(check, wanted | {"highest ambient": hottest}, said)
    why = f"{said}, and it surely holds from {need:.2f} V at {warm:.0f} °C"
    if rise is None and need > there >= known(_surely_holds(relay, hottest)):
        why += ", as warm as a winding of class F may get; how warm this one gets is not stated: try it hot"
        return Finding(check, Outcome.CONDITION, why, amount(need, "V"), amount(there, "V"), room(need, there), source)
    theirs = _surely_holds(original.relay, warm) if original else None
    return held(check, need, there, "V", why, source, None if theirs is None else (theirs, there))


def _let_go(
    check: str, place: Place, original: Design | None, there: float, lets_go: float, said: str, source: str
) -> Finding:
    theirs = _surely_lets_go(original.relay, place) if original else None
    why = f"{said}, and at {lets_go:.2f} V it has let go"
    outcome = Outcome.FAIL
    if theirs is not None and there <= theirs:
        outcome, why = Outcome.CONDITION, no_worse("has let go by then too", f"at {theirs:.2f} V", why)
    return Finding(check, outcome, why, f"more than {amount(lets_go, 'V')}", amount(there, "V"), None, source)


def _surely_holds(relay: Relay, warm_c: float) -> float | None:
    """Its hold volts, or where they are not stated its operate volts, at this temperature."""
    volts, reference = relay.hold_volts, relay.coil_ref_temp_c
    if volts is None or reference is None:
        return operate_volts_hot(relay, warm_c)
    return operate_volts_at(volts, reference, warm_c)


def _surely_lets_go(relay: Relay, place: Place) -> float | None:
    """Its release volts at the coldest, where they are lowest; with none left on the coil it lets go in any case."""
    coldest, volts, reference = place.board.ambient_min_c, relay.release_volts, relay.coil_ref_temp_c
    if volts is None or coldest is None or reference is None:
        return 0.0
    return operate_volts_at(volts, reference, coldest)


def _in_time(relay: Relay, place: Place) -> Iterator[Finding]:
    """Whether it has pulled in before the driver lowers its volts."""
    driver, check = place.position.driver or Driver(), "pull-in before the hold"
    if driver.hold_volts is None:
        return
    if driver.pull_in_ms is None or relay.operate_ms is None:
        wanted = {"operate time, ms": relay.operate_ms, "how long the driver gives full volts, ms": driver.pull_in_ms}
        yield unknown(check, wanted)
        return
    why = f"operates in {relay.operate_ms:g} ms, and the driver gives full volts for {driver.pull_in_ms:g} ms"
    yield held(check, relay.operate_ms, driver.pull_in_ms, "ms", why, HOLD_SOURCE)


def _dump_on_coil(relay: Relay, place: Place, fitted: Relay | None) -> Iterator[Finding]:
    """A coil's maximum is stated for good, and a dump is short: above it, it is no worse than the fitted part, or
    unknown."""
    volts, check = place.board.supply.dump_volts, "load dump on the coil"
    if volts is None:
        return
    bears = relay.coil_max_volts or (NORMAL_OVERVOLTAGE * relay.coil_volts if relay.coil_volts else None)
    if bears is None:
        yield unknown(check, {"highest coil volts": None})
        return
    lasting = _lasting(place)
    why = f"a load dump puts {volts:g} V on a coil that is on{lasting}, which bears {bears:g} V for good"
    outcome = Outcome.PASS if volts <= bears else Outcome.CONDITION if no_hotter(relay, fitted) else Outcome.UNKNOWN
    why += {
        Outcome.PASS: "",
        Outcome.CONDITION: ": no hotter than the fitted part, which has borne it",
        Outcome.UNKNOWN: f"; look up what it bears{lasting}",
    }[outcome]
    yield Finding(check, outcome, why, amount(volts, "V"), amount(bears, "V"), room(volts, bears), DUMP_SOURCE)


def _dump_on_contact(relay: Relay, place: Place, fitted: Relay | None) -> Iterator[Finding]:
    """Over the open contact the dump is a peak, and the sheet's dielectric strength an AC of so many volts r.m.s."""
    volts, check = place.board.supply.dump_volts, "load dump on the open contact"
    if volts is None:
        return
    if relay.dielectric_volts is None:
        yield unknown(check, {"V AC over the open contact (dielectric_volts)": None})
        return
    bears = relay.dielectric_volts * sqrt(2)
    why = f"a load dump puts {volts:g} V on the open contact{_lasting(place)}, which bears a peak of {bears:.0f} V"
    theirs = fitted.dielectric_volts if fitted else None
    pair = None if theirs is None else (volts, theirs * sqrt(2))
    yield held(check, volts, bears, "V", why, DUMP_SOURCE, pair)


def _lasting(place: Place) -> str:
    ms = place.board.supply.dump_ms
    return "" if ms is None else f" for {ms:g} ms"
