"""The volts and heat a DC coil must bear: the highest lasting supply, a boost start, and the fitted part's heat."""

from __future__ import annotations

from dataclasses import replace

from bom.boards.board import Place
from bom.duty.margins import amount, held, known, room, unknown
from bom.relays.relay import Relay
from bom.values.finding import Finding, Outcome

NORMAL_OVERVOLTAGE = 1.1
"""Share of its rated volts any coil bears: operative range class 1 of IEC 61810-1, from memory."""

TOO_HOT_TIMES = 2.0
"""Coil power, over its rated power or the fitted part's, above which it is refused. Common practice, no source."""

WARMER_TIMES = 1.1
"""Coil power over the fitted part's worth a word: a tenth is within tolerance. Common practice, no source."""


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
    if found.outcome is not Outcome.PASS:
        return found
    if theirs is not None and most >= theirs:
        return replace(found, why=f"{found.why}; the fitted part, which has worked there, bears {theirs:g} V")
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
    ohms, theirs = known(relay.coil_ohms), known(fitted.coil_ohms)
    return ohms >= theirs and known(relay.coil_volts) >= known(fitted.coil_volts)


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


def boost_start(relay: Relay, place: Place, fitted: Relay | None = None) -> tuple[Finding, ...]:
    """The volts of a boost start against what the coil bears; asked where the board allows for one.

    It lasts a minute or so, and a coil's maximum is stated for continuous volts: above it is no worse than the fitted
    part, or unknown until the maker says what the coil bears for that time.
    """
    supply, check = place.board.supply, "boost start"
    volts, seconds = supply.jump_volts, supply.jump_seconds
    if volts is None:
        return ()
    lasting = f" for {seconds:g} s" if seconds is not None else ""
    bears = relay.coil_max_volts or (NORMAL_OVERVOLTAGE * relay.coil_volts if relay.coil_volts else None)
    if bears is None:
        return (unknown(check, {"highest coil volts": None}),)
    why = f"a boost start puts {volts:g} V on the coil{lasting}, which bears {bears:g} V continuously"
    return (_boost(check, volts, bears, why, _no_hotter(relay, fitted), lasting),)


def _boost(check: str, volts: float, bears: float, why: str, no_hotter: bool, lasting: str) -> Finding:
    outcome = Outcome.PASS if volts <= bears else Outcome.CONDITION if no_hotter else Outcome.UNKNOWN
    if outcome is Outcome.CONDITION:
        why += ": no hotter than the fitted part, which has borne it; do not hold it on meanwhile"
    if outcome is Outcome.UNKNOWN:
        why += f"; look up what it bears{lasting}"
    source = "boost start: ISO 16750-2, from memory"
    return Finding(check, outcome, why, amount(volts, "V"), amount(bears, "V"), room(volts, bears), source)
