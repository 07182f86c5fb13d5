"""What happens when the contact closes on a load at rest: the inrush of a lamp, the stall of a motor.

A line published for the kind of load bears the usual start of such a load. A resistive line bears the start that a
rule of thumb makes of the running current, or the peak that is stated. A stall must be within a current published to
be carried for that long. A rule that somebody chose is not eased by a stated inrush, nor any rule that derates: the
worse of the two counts.
"""

from __future__ import annotations

from dataclasses import replace

from bom.boards.board import Function, Load
from bom.duty.categories import CATEGORIES
from bom.duty.margins import a, amount, held, known, room, unknown
from bom.duty.published_ratings import RESISTIVE, PublishedAmps, carry_lines, kind_of, making_amps, states_start
from bom.duty.rules import DEFAULT, Rule, others_say
from bom.relays.relay import Rating, SupplyKind
from bom.values.finding import Finding, Outcome

MEASURED_BY_STALLING = ("motor",)
"""Loads whose peak the bench can measure by holding them still; a rule of thumb alone does not refuse them."""

HARD_TO_BREAK = ("inductive", "solenoid", "transformer", "AC-13", "AC-14", "AC-15", "DC-13", "DC-14")
"""Windings and their like: their break is harder than a resistive load's, whatever their peak at the start."""


def start_finding(function: Function, lines: tuple[Rating, ...], offer: PublishedAmps, rule: Rule) -> Finding:
    """The start of the load on this contact; ``offer`` is the rating its running current was held against."""
    peak = makes_amps(function)
    rule = rule.speaking_of(function.load)
    by_line = offer.covers and not _derated(function.load, offer, rule)
    if peak is None:
        return _covered(function, offer) if by_line else _by_rule(function, offer, rule)
    found = _peak(function, lines, offer, rule, peak)
    if by_line or not _asks_all_the_same(function.load, rule):
        return found
    return max((found, _by_rule(function, offer, rule)), key=lambda f: f.outcome.gravity)


def _asks_all_the_same(load: Load, rule: Rule) -> bool:
    """Whether the rule is asked beside a stated peak: it derates the contact, or somebody chose it and the peak is no
    stall, which is the most that a motor can draw."""
    if rule.times(load.kind, known(load.volts), load.power_factor, load.supply) is None:
        return False
    estimates = rule.inrush(load.kind) is not None
    return not estimates or (rule.name != DEFAULT.name and load.stall_amps is None)


def _derated(load: Load, offer: PublishedAmps, rule: Rule) -> bool:
    """A rule that derates resistive loads too is held against a resistive rating; no other published rating is."""
    times = rule.size(load.kind, known(load.volts), supply=load.supply)
    return load.kind == offer.kind == "resistive" and times is not None and times > 1


def peak_amps(load: Load) -> float | None:
    """The highest stated current of the load: its stall or its inrush."""
    return max((a for a in (load.stall_amps, load.inrush_amps) if a is not None), default=None)


def makes_amps(function: Function) -> float | None:
    """What the contact makes at closing, where it is known: a solved board's running amps are no peak."""
    made = function.duty.makes
    if made is None or peak_amps(function.load) is not None:
        return made
    return made if made > known(function.load.amps) else None


def _category_peak(load: Load) -> float | None:
    """What an electromagnet's utilisation category makes: times its running current."""
    category = CATEGORIES.get(kind_of(load))
    return None if category is None or load.amps is None else category.start_times * load.amps


def _name(function: Function) -> str:
    return f"start, {function.name}"


def _covered(function: Function, offer: PublishedAmps) -> Finding:
    why = f"the {offer.kind} rating that is published takes in its own start; nothing is multiplied"
    required = amount(known(function.load.amps), "A")
    return Finding(_name(function), Outcome.PASS, why, required, offer.words, source=offer.source)


def _by_rule(function: Function, offer: PublishedAmps, rule: Rule) -> Finding:
    """Running current times the rule's figure against the resistive rating."""
    load = function.load
    if (made := _category_peak(load)) is not None:
        return _by_category(function, offer, made)
    times = rule.times(load.kind, known(load.volts), load.power_factor, load.supply)
    if times is None or load.amps is None:
        return _rule_is_silent(function, rule, load.kind)
    if beyond := _beyond(load, rule):
        return _beyond_the_rule(function, rule, beyond)
    peak = load.amps * times
    why = f"{load.amps:.3g} A running times {times:g} makes {peak:.3g} A on a contact of {offer.words}"
    if others := others_say(rule, load.kind, known(load.volts)):
        why += f" ({others})"
    found = held(_name(function), peak, offer.amps, "A", why, f"{rule.cited}; {offer.source}")
    measurable = load.kind in MEASURED_BY_STALLING and makes_amps(function) is None
    return _measure_instead(found) if measurable and found.outcome is Outcome.FAIL else found


def _beyond(load: Load, rule: Rule) -> dict[str, float | None]:
    """An inductive load outside what the rule's percentage was taken with, or not stated; empty where it is inside."""
    if load.kind != "inductive" or load.kind not in rule.percent or rule.inrush(load.kind) is not None:
        return {}
    if load.supply is SupplyKind.AC:
        least, theirs = rule.from_power_factor, load.power_factor
        inside = least is None or (theirs is not None and theirs >= least)
        return {} if inside else {"the load's power factor": theirs}
    most, lr_ms = rule.to_lr_ms, load.lr_ms
    return {} if most is None or (lr_ms is not None and lr_ms <= most) else {"the load's L/R, ms": lr_ms}


def _beyond_the_rule(function: Function, rule: Rule, beyond: dict[str, float | None]) -> Finding:
    """The rule speaks of easier loads only: unknown, by the load's own figure or for want of it."""
    why = f"the {rule.cited} speaks of inductive loads to L/R {rule.to_lr_ms:g} ms or power factor "
    # Each rule that bounds the L/R bounds the power factor too, so no test can reach the `0`.
    why += f"{rule.from_power_factor or 0:g} only"
    name, stated = next(iter(beyond.items()))
    if stated is None:
        return unknown(_name(function), {name: None}, why)
    said = f"{why}, and {name} is {stated:g}; look up an inductive rating of the contact"
    return Finding(_name(function), Outcome.UNKNOWN, said, source=rule.cited)


def _rule_is_silent(function: Function, rule: Rule, kind: str) -> Finding:
    why = f"the {rule.cited} says nothing of {a(kind)} load at {function.load.volts:g} V"
    return unknown(_name(function), {f"{a(kind)} rating, or the measured inrush": None}, why)


def _by_category(function: Function, offer: PublishedAmps, peak: float) -> Finding:
    """An electromagnet on a resistive line: its category says what it makes, but nothing says that it can be broken."""
    kind = kind_of(function.load)
    why = f"{kind} makes {peak:.3g} A and is hard to break, and only {offer.words} is published"
    return unknown(_name(function), {f"{a(kind)} or pilot duty rating of the contact": None}, why)


def _measure_instead(found: Finding) -> Finding:
    why = f"{found.why}; the stall current is not stated: measure it"
    return Finding(found.check, Outcome.UNKNOWN, why, found.required, found.offered, found.margin, found.source)


def _peak(function: Function, lines: tuple[Rating, ...], offer: PublishedAmps, rule: Rule, peak: float) -> Finding:
    load = function.load
    making = _made(lines, load, offer)
    if peak <= making and not offer.covers and kind_of(load) in HARD_TO_BREAK:
        return _to_break(function, offer, rule, peak)
    if peak <= making:
        why = f"the stated peak of {peak:g} A is within the {making:.3g} A the contact is published to make"
        return held(_name(function), peak, making, "A", why, offer.source)
    if (load.kind in MEASURED_BY_STALLING and not load.mixed) or load.stall_amps is not None:
        return _closing_on_a_stall(function, lines, offer, peak, making)
    if offer.covers and offer.kind not in RESISTIVE and not _tells_its_start(offer.rating) and not load.mixed:
        return _by_own_kind(function, offer, rule, peak)
    why = f"the stated peak of {peak:g} A is above the {making:.3g} A the contact is published to make"
    return held(_name(function), peak, making, "A", why, offer.source)


def _made(lines: tuple[Rating, ...], load: Load, offer: PublishedAmps) -> float:
    """What the contact is published to make of this load; of several kinds, the least that it makes of any."""
    kinds = [replace(load, kind=kind) for kind, _ in load.mixed] or [load]
    return min(making_amps(lines, of) or offer.amps for of in kinds)


def _tells_its_start(rating: Rating) -> bool:
    """Whether the line prints its inrush, or a category's multiple, be it no more than its amps."""
    category = CATEGORIES.get(rating.load)
    return states_start(rating) or (category is not None and category.make_times == 1)


def _to_break(function: Function, offer: PublishedAmps, rule: Rule, peak: float) -> Finding:
    """A winding on a resistive line: the contact makes its stated peak, but breaks it by a rule for windings alone."""
    load = function.load
    sized = rule.size(load.kind, known(load.volts), load.power_factor, load.supply)
    if sized is not None or load.kind == "inductive":
        return _by_rule(function, offer, rule)
    why = f"the stated peak of {peak:g} A is made, but only {offer.words} is published to break {a(load.kind)} load"
    return unknown(_name(function), {f"{a(kind_of(load))} rating of the contact": None}, why)


def _by_own_kind(function: Function, offer: PublishedAmps, rule: Rule, peak: float) -> Finding:
    """A line for this kind of load that prints no inrush bears the start usual for its own amps, and no more is known.

    The usual start is the rule's multiple of the line's amps; the usual rule's where the one in use is silent.
    """
    speaks = rule if rule.inrush(offer.kind) else DEFAULT
    times = speaks.inrush(offer.kind)
    said = f"the stated peak is {peak:g} A, and the {offer.kind} line of {offer.amps:.3g} A prints no inrush"
    if times is None or peak > times * offer.amps:
        return unknown(_name(function), {f"the inrush that the {offer.kind} line bears": None}, said)
    why = f"{said}: {a(offer.kind)} rating takes in {times:g} times its amps at switching on"
    return held(_name(function), peak, times * offer.amps, "A", why, f"{offer.source}; {speaks.cited}")


def _closing_on_a_stall(
    function: Function, lines: tuple[Rating, ...], offer: PublishedAmps, peak: float, making: float
) -> Finding:
    """A start above what the contact is published to make: it may be tried where the contact carries as much."""
    carried = max((known(r.carry_amps) for r in carry_lines(lines, function.load)), default=None)
    if carried is None:
        why = f"it starts with {peak:g} A on a contact of {offer.words}"
        return unknown(_name(function), {"what the contact makes, or carries for a short time": None}, why)
    said = f"it starts with {peak:g} A, and the contact carries {carried:g} A for a time"
    if carried < peak:
        outcome, why = Outcome.FAIL, f"{said}, which is too little"
    else:
        why = f"{said}, but is published to make only {making:.3g} A ({offer.words}): see that it does not weld"
        outcome = Outcome.CONDITION
    required, offered = amount(peak, "A"), amount(carried, "A")
    return Finding(_name(function), outcome, why, required, offered, room(peak, carried), offer.source)
