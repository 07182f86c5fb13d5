"""Whether the contacts survive what they switch on this board: one set of findings for each function.

In this order: a published rating for this kind of load; then a resistive one, its start by a named rule of thumb;
then *unknown*. Whether the part has the contact at all, and joins it rightly, is the fit's matter.
"""

from __future__ import annotations

from bom.boards.board import Board, Driver, Function, Load, Place
from bom.duty.judging import amount, held, room, unknown
from bom.duty.published import Offer, offer_for, usable
from bom.duty.rules import DEFAULT, Rule
from bom.duty.starting import start_finding
from bom.relays.relay import Design, Rating, Relay, Suppression
from bom.values.finding import Finding, Outcome

SILVER_VOLTS, SILVER_AMPS = 12.0, 0.4
"""Where silver contacts clean themselves by their own arc, at these and above: TE, Relay Contact Life."""

COOL_SHARE = 0.5
"""Share of a contact rating below which its test temperature is not asked: contact stress ratio 0.50 of the
Relay Derating Guidelines page at interfacebus.com."""

USUAL_OPERATIONS = 100_000
"""Operations behind a rating that states none: Hando, meaning of contact ratings: normally 100 000."""

_INDUCTIVE = ("motor", "inductive", "solenoid", "DC-13")


def contact_findings(design: Design, place: Place, rule: Rule = DEFAULT) -> tuple[Finding, ...]:
    """All findings about the contacts: the relay's ambient once, then each function of the position."""
    ambient = ambient_findings(design.relay, place.board)
    functions = place.position.functions
    if not functions:
        return (*ambient, unknown("contacts", {f"what {place.position.ref} switches": None}))
    return ambient + tuple(f for function in functions for f in function_findings(design, place, function, rule))


def function_findings(design: Design, place: Place, function: Function, rule: Rule = DEFAULT) -> tuple[Finding, ...]:
    """One contact's findings: running current, start, rating temperature, minimum load, life, reversing, release."""
    load, check = function.load, f"running current, {function.name}"
    if load.volts is None or load.amps is None:
        return (unknown(check, {"load volts": load.volts, "load's running amps": load.amps}),)
    lines = usable(design.ratings, function)
    offer = offer_for(lines, load.kind, load) or offer_for(lines, "resistive", load)
    if offer is None:
        rated: tuple[Finding, ...] = (_no_rating(check, design, function, lines),)
    else:
        rated = (
            running_current(function, offer),
            start_finding(function, lines, offer, rule),
            rating_temperature(function, offer, place.board),
            *life(function, offer),
        )
    return (*rated, minimum_load(design.relay, function), *_also(design, place, function, lines))


def _no_rating(check: str, design: Design, function: Function, lines: tuple[Rating, ...]) -> Finding:
    """Says which published figures there are, and why they do not serve."""
    load = function.load
    wanted = {f"a {load.kind} rating of the {function.contact} contact at {load.volts:g} V {load.supply.upper()}": None}
    return unknown(check, dict(wanted), _why_none(design, function, lines))


def _why_none(design: Design, function: Function, lines: tuple[Rating, ...]) -> str:
    kinds = (function.load.kind, "resistive")
    if highest := max((r.volts for r in lines if r.load in kinds), default=None):
        return f"published to {highest:g} V only, and nothing is read beyond the highest volts"
    others = [r for r in design.ratings if r.covers(function.contact) and r.supply is not function.load.supply]
    if others:
        return f"only {others[0].supply.upper()} is published, which never serves {function.load.supply.upper()}"
    return "nothing is published for this contact"


def running_current(function: Function, offer: Offer) -> Finding:
    """The load's running current against the rating, make and break apart."""
    amps = function.load.amps or 0.0
    why = f"{amps:.3g} A through the {function.contact} contact, published for {offer.words}"
    check = f"running current, {function.name}"
    if amps <= 0:
        return Finding(check, Outcome.PASS, "no running current", amount(amps, "A"), amount(offer.amps, "A"))
    return held(check, amps, offer.amps, "A", why, offer.source)


def rating_temperature(function: Function, offer: Offer, board: Board) -> Finding:
    """A rating holds at the temperature it was taken at; hotter, the contact may carry less by the maker's curve."""
    check, amps = f"rating temperature, {function.name}", function.load.amps or 0.0
    stated, hottest = offer.rating.temp_c, _hottest(function.load, board)
    if hottest is not None and stated is not None and hottest <= stated:
        return Finding(check, Outcome.PASS, "the rating holds there", f"{hottest:g} °C", f"{stated:g} °C")
    if amps <= COOL_SHARE * offer.amps:
        why = f"{amps:.3g} A is half or less of {offer.amps:.3g} A, so the rating's temperature is not asked"
        return Finding(check, Outcome.PASS, why, source="contact stress ratio 0.50: interfacebus.com, relay derating")
    if stated is None or hottest is None:
        return unknown(check, {"temperature of the rating": stated, "highest ambient": hottest})
    why = f"rated at {stated:g} °C and it gets {hottest:g} °C: hold {amps:.3g} A against the maker's curve"
    return Finding(check, Outcome.CONDITION, why, f"{hottest:g} °C", f"{stated:g} °C", source=offer.source)


def _hottest(load: Load, board: Board) -> float | None:
    return load.temp_c if load.temp_c is not None else board.ambient_max_c


def life(function: Function, offer: Offer) -> tuple[Finding, ...]:
    """Published operations against the operations a day, in years; asked only where the operations a day are stated."""
    per_day, check = function.load.operations_per_day, f"life, {function.name}"
    if not per_day:
        return ()
    if offer.rating.operations is None:
        why = f"the rating states no operations; {USUAL_OPERATIONS:,} are usual: {_years(USUAL_OPERATIONS, per_day)}"
        source = "Hando, meaning of contact ratings"
        return (Finding(check, Outcome.CONDITION, why, f"{per_day:g} a day", "not stated", source=source),)
    why = f"{offer.rating.operations:,.0f} operations at its rating last {_years(offer.rating.operations, per_day)}"
    offered = f"{offer.rating.operations:,.0f}"
    return (Finding(check, Outcome.PASS, why, f"{per_day:g} a day", offered, source=offer.source),)


def _years(operations: float, per_day: float) -> str:
    return f"{operations / per_day / 365:.1f} years of {per_day:g} a day"


def minimum_load(relay: Relay, function: Function) -> Finding:
    """The load against the least volts, milliamps and milliwatts the contact needs to stay clean; each is a minimum."""
    load, check = function.load, f"minimum load, {function.name}"
    volts, amps = load.volts or 0.0, load.amps or 0.0
    asked = _minima(relay, volts, amps)
    if asked:
        there, least, unit = min(asked, key=lambda row: row[0] / row[1])
        why = f"the load gives {there:g} {unit} and the contact asks for {least:g} {unit} at least"
        outcome = Outcome.PASS if there >= least else Outcome.FAIL
        return Finding(check, outcome, why, amount(least, unit), amount(there, unit), room(least, there), relay.source)
    if volts >= SILVER_VOLTS and amps >= SILVER_AMPS:
        why = "no minimum stated; at these volts and amps any silver contact keeps itself clean"
        return Finding(
            check, Outcome.PASS, why, "12 V, 0.4 A", f"{volts:g} V, {amps:g} A", source="TE, Relay Contact Life"
        )
    return unknown(check, {"the contact's minimum load": None})


def _minima(relay: Relay, volts: float, amps: float) -> list[tuple[float, float, str]]:
    rows = (
        (volts, relay.min_load_volts, "V"),
        (amps * 1000, relay.min_load_milliamps, "mA"),
        (volts * amps * 1000, relay.min_load_milliwatts, "mW"),
    )
    return [(round(there, 9), least, unit) for there, least, unit in rows if least]


def _also(design: Design, place: Place, function: Function, lines: tuple[Rating, ...]) -> tuple[Finding, ...]:
    """What only some loads ask for."""
    found: tuple[Finding, ...] = ()
    if function.load.reversing:
        found += (reversing(function, lines, place.board),)
    if function.load.kind in _INDUCTIVE and function.load.supply.value == "dc" and not _quenched(function.load):
        found += (slow_release(design.relay, place.position.driver or Driver(), function),)
    if function.load.kind == "inductive":
        found += (time_constant(function, lines),)
    return found


def _quenched(load: Load) -> bool:
    return load.suppression not in ("", "none")


def reversing(function: Function, lines: tuple[Rating, ...], board: Board) -> Finding:
    """In a reversing pair each changeover stands between + and -: an arc that outlasts the transfer shorts the supply.

    At 14 V the arc dies by itself, at 42 V it does not (all-electronics.de, reversing relays for DC motors at 42 V),
    so the contact is held to its highest published DC volts.
    """
    check = f"reversing, {function.name}"
    rated, volts = max((r.volts for r in lines), default=None), function.load.volts or 0.0
    if rated is None:
        return unknown(check, {"the contact's rated DC volts": None})
    source = "arc transfer in a reversing pair: all-electronics.de, 42 V motor relays"
    why = f"the open contact stands at {volts:g} V and is published to {rated:g} V"
    found = held(check, volts, rated, "V", why, source)
    highest = board.supply.max_volts
    if found.outcome is Outcome.FAIL or highest is None or highest <= rated:
        return found
    why = f"the supply may reach {highest:g} V, the contact is published to {rated:g} V: pause between directions"
    return Finding(
        check, Outcome.CONDITION, why, amount(highest, "V"), amount(rated, "V"), room(highest, rated), source
    )


def slow_release(relay: Relay, driver: Driver, function: Function) -> Finding:
    """A plain diode on the coil slows the opening, which wears a contact that breaks an unsuppressed inductive load.

    Source: TE 13C3311, relay coil suppression; TE, coil suppression can reduce relay life.
    """
    check, source = f"release, {function.name}", "TE 13C3311, coil suppression with DC relays"
    own = relay.coil_suppression
    if driver.suppression == Suppression.DIODE.value:
        return Finding(check, Outcome.PASS, "the board has a diode already; the part changes nothing", source=source)
    if own is None:
        return unknown(check, {"the coil's own suppression": None})
    if own is not Suppression.DIODE:
        return Finding(check, Outcome.PASS, f"the coil's own suppression is {own.value}", source=source)
    why = "a plain diode in the part slows its opening: suppress the load, or use a diode with a zener"
    return Finding(check, Outcome.CONDITION, why, "quick release", own.value, source=source)


def time_constant(function: Function, lines: tuple[Rating, ...]) -> Finding:
    """An inductive rating speaks for loads up to the time constant, or down to the power factor, it was tested with."""
    check, load = f"inductance, {function.name}", function.load
    ac = load.supply.value == "ac"
    theirs = load.power_factor if ac else load.lr_ms
    stated = [r.power_factor if ac else r.lr_ms for r in lines if r.load == "inductive"]
    name = "power factor" if ac else "L/R, ms"
    if theirs is None or not any(s is not None for s in stated):
        return unknown(check, {f"the load's {name}": theirs, f"the rating's {name}": next(iter(stated), None)})
    return Finding(check, Outcome.PASS, f"the load's {name} of {theirs:g} was held against the ratings used")


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
