"""Conditions a contact is used under: the heat it was rated at, the inductance it was tested with, and the least load.

A rating holds at the temperature it was taken at, and an inductive one up to the time constant, or down to the power
factor, it was tested with; the relay itself has ambient limits. The least load keeps a contact clean: volts,
milliamps and milliwatts together, each a minimum of its own.
"""

from __future__ import annotations

from bom.boards.board import Board, Function, Load
from bom.duty.categories import CATEGORIES
from bom.duty.margins import amount, known, room, unknown
from bom.duty.published_ratings import (
    COOL_SHARE,
    PublishedAmps,
    kind_of,
    load_lr_ms,
    may_say_less_hotter,
    tested_as_its_kind,
    tested_lr_ms,
    tested_power_factor,
)
from bom.duty.sources import CONTACT_LIFE_NOTE, DERATING_PAGE
from bom.relays.relay import Rating, Relay, SupplyKind
from bom.values.finding import Finding, Outcome

COOL_SOURCE = f"contact stress ratio 0.50: {DERATING_PAGE.cited}; at any heat: common practice, no source"

ASKED_FOR_INDUCTANCE = ("inductive", "solenoid")


def hottest_of(load: Load, board: Board) -> float | None:
    """The hottest the contact gets, °C: as stated for the load, else the board's ambient."""
    return load.temp_c if load.temp_c is not None else board.ambient_max_c


def rating_temperature(function: Function, offer: PublishedAmps, lines: tuple[Rating, ...], board: Board) -> Finding:
    """A rating holds at the temperature it was taken at; above the hottest that is published nothing is read.

    Half of the line's amps, or less, are not asked for their temperature, unless a hotter line states less than it.
    """
    check, amps = f"rating temperature, {function.name}", known(function.load.amps)
    stated, hottest = offer.rating.temp_c, hottest_of(function.load, board)
    if hottest is not None and stated is not None and hottest <= stated:
        return Finding(
            check, Outcome.PASS, "the rating holds there", f"{hottest:g} °C", f"{stated:g} °C", source=offer.source
        )
    limit = COOL_SHARE * least_when_hot(offer, lines)
    if 0 < amps <= limit:
        why = f"{amps:.3g} A is half or less of {limit / COOL_SHARE:.3g} A, so the rating's temperature is not asked"
        return Finding(check, Outcome.PASS, why, f"{amps:.3g} A", f"{limit:.3g} A", room(amps, limit), COOL_SOURCE)
    if stated is None or hottest is None:
        return unknown(check, {"temperature of the rating": stated, "highest ambient": hottest})
    why = f"rated at {stated:g} °C and it gets {hottest:g} °C: hold {amps:.3g} A against the maker's curve"
    return Finding(check, Outcome.UNKNOWN, why, f"{hottest:g} °C", f"{stated:g} °C", source=offer.source)


def least_when_hot(offer: PublishedAmps, lines: tuple[Rating, ...]) -> float:
    """The offer's amps, or those of a line of its kind that states less and is hotter, or may be."""
    less = (known(r.amps) for r in lines if r.load == offer.kind and may_say_less_hotter(r, offer.rating))
    return min((offer.amps, *less))


def is_read_at(rating: Rating, hottest: float | None) -> bool:
    """Whether the line was taken at that heat or above."""
    return rating.temp_c is not None and hottest is not None and rating.temp_c >= hottest


def needs_no_heat(amps: float, offer: PublishedAmps, lines: tuple[Rating, ...], hottest: float | None) -> bool:
    """Whether the offer may be read there: it was taken as hot, or the amps are half of the least or less."""
    return is_read_at(offer.rating, hottest) or amps <= COOL_SHARE * least_when_hot(offer, lines)


def ambient_findings(relay: Relay, board: Board) -> tuple[Finding, ...]:
    """The board's ambient against the relay's, hottest and coldest."""
    return (
        _ambient("hottest ambient", board.ambient_max_c, relay.temp_max_c, relay.source),
        _ambient("coldest ambient", board.ambient_min_c, relay.temp_min_c, relay.source, colder=True),
    )


def _ambient(check: str, need: float | None, limit: float | None, source: str, colder: bool = False) -> Finding:
    if need is None or limit is None:
        return unknown(check, {f"the board's {check}": need, f"the relay's {check}": limit})
    within = limit <= need if colder else limit >= need
    why = f"the board gets {need:g} °C and the relay is for {limit:g} °C"
    return Finding(check, Outcome.PASS if within else Outcome.FAIL, why, f"{need:g} °C", f"{limit:g} °C", source=source)


def time_constant(function: Function, offer: PublishedAmps) -> tuple[Finding, ...]:
    """The load's L/R (DC) or power factor (AC) against that of the line used; asked of inductive loads alone.

    An electromagnet of a utilisation category brings its own, and a resistive line is left to the rule of thumb.
    """
    load, check = function.load, f"inductance, {function.name}"
    if not offer.covers or not (kind_of(load) in ASKED_FOR_INDUCTANCE or _is_category(load)):
        return ()
    if tested_as_its_kind(offer.rating, load):
        why = f"the line was tested as {offer.rating.load}, which is for what the load is"
        return (Finding(check, Outcome.PASS, why, kind_of(load), offer.rating.load, source=offer.source),)
    return (_against(check, load, offer),)


def _is_category(load: Load) -> bool:
    return kind_of(load) in CATEGORIES


def _against(check: str, load: Load, offer: PublishedAmps) -> Finding:
    """The line was chosen because it is tested at least as hard, so here it passes or a figure is missing."""
    ac = load.supply is SupplyKind.AC
    name, unit = ("power factor", "") if ac else ("L/R", " ms")
    theirs = load.power_factor if ac else load_lr_ms(load)
    tested = tested_power_factor(offer.rating) if ac else tested_lr_ms(offer.rating)
    if theirs is None or tested is None:
        return unknown(check, {f"the load's {name}{unit}": theirs, f"the rating's {name}{unit}": tested})
    why = f"the load's {name} is {theirs:g}{unit} and the line was tested with {tested:g}{unit}"
    return Finding(check, Outcome.PASS, why, f"{theirs:g}{unit}", f"{tested:g}{unit}", source=offer.source)


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
    # nine digits forgive rounding; no test can tell them from ten
    return [(round(there, 9), least, unit) for there, least, unit in rows if least]
