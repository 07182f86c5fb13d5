"""Duty of one design in one place: does its coil suit what drives it, and do its contacts survive what they switch.

DC and AC coils are kept apart: a DC coil is copper, so its ohms and volts follow temperature (``coil_heat``); an AC
coil's current is not its volts over its ohms (``ac_coil``).

A contact is judged for each function of the position. In this order: a published rating for this kind of load, or a
harder one; then a resistive one, with the load's start by a named rule of thumb; then *unknown*. Whether the
part has the contact at all, and joins it rightly, is for ``fit`` to say. What the board file itself says of functions
and the contacts of its wiring is held in ``placed_functions``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from bom.boards.board import Function, Load, Place, duty_of
from bom.duty.ac_coil import ac_findings
from bom.duty.coil_drive import (
    boosted_current_cold,
    channel_current_cold,
    lets_go,
    package_current_cold,
    pulls_in_hot,
    pulls_in_warm,
    pulse,
)
from bom.duty.coil_heat import boost_start, coil_power, highest_volts
from bom.duty.contact_conditions import ambient_findings, hottest_of, minimum_load, rating_temperature, time_constant
from bom.duty.contact_life import life
from bom.duty.contact_use import halves_together, use_findings
from bom.duty.driver_protection import driver_protection
from bom.duty.insulation import insulation_findings
from bom.duty.load_start import HARD_TO_BREAK, makes_amps, start_finding
from bom.duty.margins import ROUNDING, a, amount, held, known, no_worse, unknown
from bom.duty.mixed_load import MIXED_SOURCE, as_dominant, rest_of, shares_of, start_of_all
from bom.duty.paired_contacts import guided_use, reversing_findings
from bom.duty.placed_functions import contacts_there
from bom.duty.published_ratings import (
    RESISTIVE,
    PublishedAmps,
    best_offer,
    carried_for_good,
    is_working,
    kind_of,
    line_words,
    not_hard_enough,
    serving,
    usable,
)
from bom.duty.release import release
from bom.duty.rules import DEFAULT, Rule, refused_by_rule
from bom.duty.stall import stall_findings
from bom.duty.supply_events import supply_events
from bom.relays.relay import Design, Rating, Relay, SupplyKind
from bom.values.finding import Finding, Outcome


def duty_findings(
    design: Design, place: Place, original: Design | None = None, rule: Rule = DEFAULT
) -> tuple[Finding, ...]:
    """Every coil and contact finding for the design in this place.

    ``original`` is the part fitted at the factory, where known; ``rule`` is the rule of thumb used where no
    rating for the kind of load is published.
    """
    coil, contacts = coil_findings(design, place, original, rule), contact_findings(design, place, rule, original)
    kept_apart = insulation_findings(design.relay, place, original.relay if original else None)
    return coil + contacts_there(place) + contacts + kept_apart + guided_use(design, place, original)


def coil_findings(
    design: Design, place: Place, original: Design | None = None, rule: Rule = DEFAULT
) -> tuple[Finding, ...]:
    """All findings about the coil; just the one about its kind of supply where that already refuses it."""
    relay, fitted = design.relay, original.relay if original else None
    kind = supply_kind(relay, fitted, place)
    if kind.outcome is Outcome.FAIL:
        return (kind,)
    kinds = (kind, *_rated_volts(relay))
    if relay.coil_supply is SupplyKind.AC:
        return (*kinds, *ac_findings(relay, place, fitted))
    hot = pulls_in_hot(relay, place, fitted)
    return (
        *kinds,
        hot,
        *(() if hot.outcome is Outcome.FAIL else pulls_in_warm(design, place, rule, original)),
        *lets_go(relay, place, fitted),
        channel_current_cold(relay, place, fitted),
        package_current_cold(relay, place, fitted),
        highest_volts(relay, place, fitted),
        *boost_start(relay, place, fitted),
        *boosted_current_cold(relay, place, fitted),
        *coil_power(relay, fitted),
        *pulse(relay, place, fitted),
        *driver_protection(relay, place, fitted),
        *supply_events(design, place, rule, original),
    )


def _rated_volts(relay: Relay) -> tuple[Finding, ...]:
    if relay.coil_volts is not None:
        return ()
    why = "they say which coil of its series it is, and what its other figures hold for"
    return (unknown("coil volts", {"rated coil volts": None}, why),)


def supply_kind(relay: Relay, fitted: Relay | None, place: Place) -> Finding:
    """What the board drives its coils with is what the fitted part's coil is for, or a vehicle's DC, or what a
    transistor on a side of the coil drives: DC."""
    board = (fitted.coil_supply if fitted else None) or _board_drives(place)
    if relay.coil_supply is None or board is None:
        return unknown("coil supply", {"coil supply, dc or ac": relay.coil_supply, "what the board drives": board})
    same = relay.coil_supply is board
    why = f"the coil is for {relay.coil_supply.upper()} and the board drives {board.upper()}"
    outcome = Outcome.PASS if same else Outcome.FAIL
    return Finding("coil supply", outcome, why, board.upper(), relay.coil_supply.upper(), source=relay.source)


def _board_drives(place: Place) -> SupplyKind | None:
    """AC where the board file states its frequency; DC where it shows it: a road-vehicle supply code, or a driver on
    one side; None = not told."""
    driver, code = place.position.driver, place.board.supply.code
    if place.board.supply.hertz is not None:
        return SupplyKind.AC
    return SupplyKind.DC if code not in ("", "Z") or (driver is not None and driver.polarity) else None


PARALLEL_SOURCE = "contacts in parallel do not add, one takes the arc: Bestact and relay makers' contact notes"

LINES_SHOWN = 3
"""Lines named where none of them speaks for the load."""


def contact_findings(
    design: Design, place: Place, rule: Rule = DEFAULT, original: Design | None = None
) -> tuple[Finding, ...]:
    """All findings about the contacts: the relay's ambient once, what the circuit leaves open, then each function.

    What a rule of thumb alone refuses is a condition where it refuses ``original``, the fitted part, as much or more.
    """
    found = _contact_findings(design, place, rule)
    if original is None or not any(refused_by_rule(f) for f in found):
        return found
    theirs = {f.check: f for f in _contact_findings(original, place, rule) if refused_by_rule(f)}
    return tuple(_no_worse(f, theirs[f.check]) if refused_by_rule(f) and f.check in theirs else f for f in found)


def _no_worse(found: Finding, theirs: Finding) -> Finding:
    """The rule may be harder than the load is, and the box has worked. (Common practice, no source.)"""
    if known(found.margin) < known(theirs.margin) - ROUNDING:
        return found
    return replace(found, outcome=Outcome.CONDITION, why=no_worse("the rule refuses too", theirs.offered, found.why))


def _contact_findings(design: Design, place: Place, rule: Rule) -> tuple[Finding, ...]:
    ambient = (*ambient_findings(design.relay, place.board), *place.doubts)
    functions = place.position.functions
    if not functions:
        return (*ambient, unknown("contacts", {f"what {place.position.ref} switches": None}))
    each = tuple(f for function in functions for f in function_findings(design, place, function, rule))
    return (*ambient, *each, *halves_together(design, place))


def function_findings(design: Design, place: Place, stated: Function, rule: Rule = DEFAULT) -> tuple[Finding, ...]:
    """One contact's findings: running current, start, stall, temperature, life, minimum load, reversing, release."""
    function, check = _as_borne(stated, rule), f"running current, {stated.name}"
    load = function.load
    if load.volts is None or load.amps is None:
        return (unknown(check, {"load volts": load.volts, "load's running amps": load.amps}),)
    lines = usable(design.ratings, function)
    offer = _offer(function, lines, hottest_of(load, place.board))
    if offer is None:
        silent = _no_rating(check, design, function, lines)
        rated: tuple[Finding, ...] = (silent, *_refused_below(design, place, function, lines, rule))
    else:
        rated = _rated(design, place, function, offer, lines, rule)
    rated = (*rated, *_too_few_amps(function, lines, offer))
    used = (*reversing_findings(design, place, function, lines), *use_findings(design.relay, function))
    always = (minimum_load(design.relay, function), *used)
    opening = release(design.relay, place, function) if function.duty.breaks != 0 else ()
    return (*rated, *_shares(design, place, function, lines, rule), *always, *opening)


def _as_borne(stated: Function, rule: Rule) -> Function:
    """The function under the dominant kind of its load, with the amps that its contact carries on a solved board."""
    load = as_dominant(stated.load, rule)
    if stated.solved is not None:
        return replace(stated, load=replace(load, amps=stated.solved.carries))
    return replace(stated, load=load, solved=duty_of(load))  # told once, and asked by every check


def _offer(function: Function, lines: tuple[Rating, ...], hottest: float | None) -> PublishedAmps | None:
    """The line for the function's load; a contact that is never switched under current only has to carry it."""
    load = function.load
    if function.duty.makes == 0 and function.duty.breaks == 0:
        return carried_for_good(lines, load, hottest, known(load.amps))
    return best_offer(lines, load, hottest)


def _rated(
    design: Design, place: Place, function: Function, offer: PublishedAmps, lines: tuple[Rating, ...], rule: Rule
) -> tuple[Finding, ...]:
    return (
        running_current(function, offer),
        *_start(place, function, offer, lines, rule),
        *stall_findings(function, lines, offer, place.board),
        rating_temperature(function, offer, lines, place.board),
        *time_constant(function, offer),
        *life(function, offer, lines, design.relay),
    )


def _start(
    place: Place, function: Function, offer: PublishedAmps, lines: tuple[Rating, ...], rule: Rule
) -> tuple[Finding, ...]:
    """The start of the whole load; of several kinds together, where it was not measured."""
    if function.duty.makes == 0:
        return ()
    if function.load.mixed and makes_amps(function) is None:
        return (start_of_all(function, lines, offer, hottest_of(function.load, place.board), rule),)
    return (start_finding(function, lines, offer, rule),)


def _shares(
    design: Design, place: Place, function: Function, lines: tuple[Rating, ...], rule: Rule
) -> Iterator[Finding]:
    """Every kind of a mixed load by itself: the line for it, its start where that of the whole is not measured, and how
    hard it is to break."""
    yield from rest_of(function)
    measured = makes_amps(function) is not None
    for share in shares_of(function):
        offer = best_offer(lines, share.load, hottest_of(share.load, place.board))
        if offer is None:
            yield _no_rating(f"running current, {share.name}", design, share, lines)
            continue
        if offer.covers:
            yield running_current(share, offer)
        if not measured or kind_of(share.load) in HARD_TO_BREAK:
            yield start_finding(share, lines, offer, rule)
        yield from time_constant(share, offer)


def _refused_below(
    design: Design, place: Place, function: Function, lines: tuple[Rating, ...], rule: Rule
) -> Iterator[Finding]:
    """What refuses the load even at the highest volts that are published: at its own, higher ones it is no easier."""
    load = function.load
    for volts in sorted({r.volts for r in lines if r.volts < known(load.volts)}, reverse=True):
        easier = replace(function, load=replace(load, volts=volts))
        if offer := best_offer(lines, easier.load, hottest_of(load, place.board)):
            found = _rated(design, place, easier, offer, lines, rule)
            yield from (replace(f, why=f"even at {volts:g} V: {f.why}") for f in found if f.outcome is Outcome.FAIL)
            return


def _too_few_amps(function: Function, lines: tuple[Rating, ...], offer: PublishedAmps | None) -> Iterator[Finding]:
    """What refuses the load though no line speaks for it: all that its kind's lines give, however easily they were
    tested, is less than it takes. Without any for its kind the resistive ones count."""
    load = function.load
    if (offer is not None and offer.covers) or (function.duty.makes == 0 and function.duty.breaks == 0):
        return
    own = [r for r in lines if r.load in serving(load)]
    given = [r.amps for r in own or [r for r in lines if r.load in RESISTIVE]]
    most = max((amps for amps in given if amps is not None), default=None)
    if most is not None and None not in given and most < known(load.amps):
        why = f"its lines give {most:g} A at most, and it takes {known(load.amps):.3g} A"
        check = f"published amps, {function.name}"
        yield Finding(check, Outcome.FAIL, why, amount(known(load.amps), "A"), amount(most, "A"))


def _highest(lines: Sequence[Rating], load: Load) -> float | None:
    kinds = (*serving(load), "resistive")
    return max((r.volts for r in lines if r.load in kinds), default=None)


def _no_rating(check: str, design: Design, function: Function, lines: tuple[Rating, ...]) -> Finding:
    """Says which published figures there are, and why they do not serve."""
    load = function.load
    wanted = f"{a(kind_of(load))} rating of the {function.contact} contact at {load.volts:g} V {load.supply.upper()}"
    return unknown(check, {wanted: None}, _why_none(design, function, lines))


def _why_none(design: Design, function: Function, lines: tuple[Rating, ...]) -> str:
    load = function.load
    if short := not_hard_enough(lines, load):
        return short
    if highest := _highest(lines, load):
        return f"published to {highest:g} V only, and nothing is read beyond the highest volts"
    others = [r for r in design.ratings if r.covers(function.contact) and r.supply is not load.supply]
    if overload := next((r for r in design.ratings if r.covers(function.contact) and not is_working(r)), None):
        return f"{line_words(overload)} is an overload test, and no working rating"
    if others:
        return f"only {others[0].supply.upper()} is published, which never serves {load.supply.upper()}"
    if lines:
        return f"no line published for this contact speaks for it: {'; '.join(map(line_words, lines[:LINES_SHOWN]))}"
    return "nothing is published for this contact"


def running_current(function: Function, offer: PublishedAmps) -> Finding:
    """The load's running current against the rating, make and break apart."""
    load, check = function.load, f"running current, {function.name}"
    amps = known(load.amps)
    why = f"{amps:.3g} A through the {function.contact} contact, published for {offer.words}{_shared(load)}"
    if amps <= 0:
        return Finding(check, Outcome.PASS, "no running current", amount(amps, "A"), amount(offer.amps, "A"))
    return held(check, amps, offer.amps, "A", why, _sources(load, offer))


def _shared(load: Load) -> str:
    words = ""
    if load.mixed:
        words += f"; taken as {load.kind}, the dominant of its kinds"
    if load.in_parallel and load.in_parallel > 1:
        words += f"; {load.in_parallel} contacts share it and one of them takes the arc, so they do not add"
    return words


def _sources(load: Load, offer: PublishedAmps) -> str:
    said = [offer.source]
    said += [MIXED_SOURCE] if load.mixed else []
    said += [PARALLEL_SOURCE] if load.in_parallel and load.in_parallel > 1 else []
    return "; ".join(said)
