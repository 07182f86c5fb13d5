"""Heat in a coil: what it does to the winding's ohms and volts, how warm a coil that stays on gets, and what it bears.

A copper winding's resistance follows R2/R1 = (234.5 + T2)/(234.5 + T1), as printed by sources 1, 2 and 3; constant
ampere-turns make the operate volts follow the same ratio (sources 1, 3 and 4). A heated winding takes less current as
it warms, so its rise is where heat made and heat shed agree; the highest supply heats it (not a boost start, which is
short), less what the driver drops, and the lowest ohms of its tolerance take the most. What a coil bears is held
against that supply, against a boost start, and against the fitted part's power. Kelvin and degrees Celsius.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import sqrt

from bom.boards.board import Driver, Place
from bom.duty.margins import amount, held, known, room, unknown
from bom.duty.rules import Rule
from bom.duty.sources import COPPER_NOTE
from bom.relays.relay import Design, Relay
from bom.relays.wiring import Kind
from bom.values.finding import Finding, Outcome

COPPER_K = 234.5
"""Degrees below 0 °C where copper's resistance, drawn as a straight line, is zero (sources 2 and 3)."""

COPPER_SOURCE = f"copper: R2/R1 = (234.5 + T2)/(234.5 + T1), {COPPER_NOTE.cited}"


def ratio(from_c: float, to_c: float) -> float:
    """Resistance at ``to_c`` over resistance at ``from_c`` (degrees Celsius); ValueError where copper's line ends.

    >>> round(ratio(20, 85), 3)
    1.255
    """
    if min(from_c, to_c) <= -COPPER_K:
        raise ValueError(f"copper's straight line ends at -{COPPER_K} °C")
    return (COPPER_K + to_c) / (COPPER_K + from_c)


def ohms_at(ohms: float, from_c: float, to_c: float) -> float:
    """A winding's ohms at ``to_c``, from its ohms at ``from_c``.

    >>> round(ohms_at(320, 25, 125), 1)
    443.3
    """
    return ohms * ratio(from_c, to_c)


def operate_volts_at(volts: float, from_c: float, to_c: float) -> float:
    """The volts a DC coil needs to operate at ``to_c``, from those at ``from_c``.

    >>> round(operate_volts_at(16, 25, 85), 1)
    19.7
    """
    return volts * ratio(from_c, to_c)


@dataclass(frozen=True, slots=True)
class Rise:
    """Kelvin over the ambient, and where the figure comes from."""

    kelvin: float
    source: str


def rise_at(design: Design, place: Place, rule: Rule, ambient_c: float, fitted: Relay | None = None) -> Rise | None:
    """The coil's rise in steady heat at this ambient: as stated for the position, by the maker's figures, or by the
    rule's; None where none of them speaks of one.

    A rise stated for the position was taken on the fitted part, so a thirstier coil has the more of it.
    """
    relay, stated = design.relay, place.position.coil_rise_k
    if stated is not None:
        ref = place.position.ref
        return Rise(stated * _thirstier(relay, fitted), f"rise of the coil as stated for {ref}")
    per_watt, source = relay.coil_kelvin_per_watt, relay.source
    if per_watt is None:
        per_watt, source = rule.coil_kelvin_per_watt, rule.speaking_of_coils.cited
    own = None if per_watt is None else _own_rise(design, place, per_watt, ambient_c)
    beside = contact_rise(relay, place)
    return None if own is None or beside is None else Rise(own + beside, source)


def _thirstier(relay: Relay, fitted: Relay | None) -> float:
    if fitted is None or not fitted.coil_ohms or not relay.coil_ohms:
        return 1.0
    return max(1.0, fitted.coil_ohms / relay.coil_ohms)


def _own_rise(design: Design, place: Place, per_watt: float, ambient_c: float) -> float | None:
    """By the lowest ohms, which take the most; the coils of one body that are on together heat each other in full."""
    relay, volts = design.relay, heating_volts(place)
    if volts is None or not relay.coil_ohms or relay.coil_ohms_tol_pct is None or relay.coil_ref_temp_c is None:
        return None
    least = relay.coil_ohms * (1 - relay.coil_ohms_tol_pct / 100)
    return balanced_rise(least, relay.coil_ref_temp_c, volts, ambient_c, per_watt * _on_together(design, place))


def _on_together(design: Design, place: Place) -> int:
    """How many coils of this body may be on at once; all of them where the board does not say."""
    coils = len({c.unit for c in design.wiring.coils}) if design.wiring else 1
    stated = place.position.units_on_together
    return max(1, coils if stated is None else min(stated, coils))


def contact_rise(relay: Relay, place: Place) -> float | None:
    """What the contacts add by what they carry while the coil is on, as the square of the amps; 0 where the sheet
    states nothing of it, None where it does and the board's amps are not stated."""
    if relay.contact_rise_k is None or not relay.contact_rise_amps:
        return 0.0
    amps = [f.duty.carries for f in place.position.functions if f.contact is Kind.MAKE]
    if None in amps:
        return None
    return relay.contact_rise_k * (max((a for a in amps if a is not None), default=0.0) / relay.contact_rise_amps) ** 2


def heating_volts(place: Place) -> float | None:
    """The highest lasting volts over the coil: those that an economiser leaves, else the highest supply's."""
    highest, driver = place.board.supply.max_volts, place.position.driver or Driver()
    if driver.hold_volts is not None:
        return driver.hold_volts
    return None if highest is None else highest - (driver.drop_volts or 0.0)


def balanced_rise(ohms: float, ref_c: float, volts: float, ambient_c: float, kelvin_per_watt: float) -> float:
    """The rise in kelvin at which V²/R, R following copper's line, times ``kelvin_per_watt`` is that rise.

    With x = 234.5 + T: x² - (234.5 + ambient) x = kelvin_per_watt V² (234.5 + ref) / ohms, a quadratic.
    """
    cold = COPPER_K + ambient_c
    heat = kelvin_per_watt * volts**2 * (COPPER_K + ref_c) / ohms
    return (cold + sqrt(cold**2 + 4 * heat)) / 2 - cold


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
    if no_hotter(relay, fitted):
        return Outcome.CONDITION, "compared with the fitted part: common practice, no source"
    return Outcome.UNKNOWN, ""


def no_hotter(relay: Relay, fitted: Relay | None) -> bool:
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
    return (_boost(check, volts, bears, why, no_hotter(relay, fitted), lasting),)


def _boost(check: str, volts: float, bears: float, why: str, no_hotter: bool, lasting: str) -> Finding:
    outcome = Outcome.PASS if volts <= bears else Outcome.CONDITION if no_hotter else Outcome.UNKNOWN
    if outcome is Outcome.CONDITION:
        why += ": no hotter than the fitted part, which has borne it; do not hold it on meanwhile"
    if outcome is Outcome.UNKNOWN:
        why += f"; look up what it bears{lasting}"
    source = "boost start: ISO 16750-2, from memory"
    return Finding(check, outcome, why, amount(volts, "V"), amount(bears, "V"), room(volts, bears), source)
