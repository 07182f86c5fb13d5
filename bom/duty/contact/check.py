"""Whether the contacts survive what they switch on this board: one set of findings for each function.

In this order: a published rating for this kind of load, or a harder one; then a resistive one, the load's start by a
named rule of thumb; then *unknown*. Whether the part has the contact at all, and joins it rightly, is the fit's matter.
"""

from __future__ import annotations

from dataclasses import replace

from bom.boards.board import Function, Load, Place
from bom.duty.coil.release import release
from bom.duty.contact.life import life
from bom.duty.contact.load_kinds import kind_of, serving
from bom.duty.contact.minimum_load import minimum_load
from bom.duty.contact.mixed import SOURCE as MIXED_SOURCE
from bom.duty.contact.mixed import as_dominant
from bom.duty.contact.published import PublishedAmps, best_offer, line_words, usable
from bom.duty.contact.rating_conditions import ambient_findings, hottest_of, rating_temperature, time_constant
from bom.duty.contact.reversing import reversing_findings
from bom.duty.contact.starting import start_finding
from bom.duty.contact.tested import not_hard_enough
from bom.duty.figures.rules import DEFAULT, Rule
from bom.duty.margins import a, amount, held, known, unknown
from bom.relays.relay import Design, Rating
from bom.values.finding import Finding, Outcome

PARALLEL_SOURCE = "contacts in parallel do not add, one takes the arc: Bestact and relay makers' contact notes"

SHOWN = 3
"""Lines named where none of them speaks for the load."""


def contact_findings(design: Design, place: Place, rule: Rule = DEFAULT) -> tuple[Finding, ...]:
    """All findings about the contacts: the relay's ambient once, then each function of the position."""
    ambient = ambient_findings(design.relay, place.board)
    functions = place.position.functions
    if not functions:
        return (*ambient, unknown("contacts", {f"what {place.position.ref} switches": None}))
    return ambient + tuple(f for function in functions for f in function_findings(design, place, function, rule))


def function_findings(design: Design, place: Place, stated: Function, rule: Rule = DEFAULT) -> tuple[Finding, ...]:
    """One contact's findings: running current, start, temperature, life, minimum load, reversing, release."""
    load = as_dominant(stated.load, rule)
    function, check = replace(stated, load=load), f"running current, {stated.name}"
    if load.volts is None or load.amps is None:
        return (unknown(check, {"load volts": load.volts, "load's running amps": load.amps}),)
    lines = usable(design.ratings, function)
    offer = best_offer(lines, load, hottest_of(load, place.board))
    if offer is None:
        rated: tuple[Finding, ...] = (_no_rating(check, design, function, lines),)
    else:
        rated = _rated(design, place, function, offer, lines, rule)
    always = (minimum_load(design.relay, function), *reversing_findings(design, place, function, lines))
    return (*rated, *always, *release(design.relay, place, function))


def _rated(
    design: Design, place: Place, function: Function, offer: PublishedAmps, lines: tuple[Rating, ...], rule: Rule
) -> tuple[Finding, ...]:
    return (
        running_current(function, offer),
        start_finding(function, lines, offer, rule),
        rating_temperature(function, offer, place.board),
        *time_constant(function, offer),
        *life(function, offer, lines, design.relay),
    )


def _no_rating(check: str, design: Design, function: Function, lines: tuple[Rating, ...]) -> Finding:
    """Says which published figures there are, and why they do not serve."""
    load = function.load
    wanted = f"{a(kind_of(load))} rating of the {function.contact} contact at {load.volts:g} V {load.supply.upper()}"
    return unknown(check, {wanted: None}, _why_none(design, function, lines))


def _why_none(design: Design, function: Function, lines: tuple[Rating, ...]) -> str:
    load = function.load
    kinds = (*serving(load), "resistive")
    if short := not_hard_enough(lines, load):
        return short
    if highest := max((r.volts for r in lines if r.load in kinds), default=None):
        return f"published to {highest:g} V only, and nothing is read beyond the highest volts"
    others = [r for r in design.ratings if r.covers(function.contact) and r.supply is not load.supply]
    if others:
        return f"only {others[0].supply.upper()} is published, which never serves {load.supply.upper()}"
    if lines:
        return f"no line published for this contact speaks for it: {'; '.join(map(line_words, lines[:SHOWN]))}"
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
