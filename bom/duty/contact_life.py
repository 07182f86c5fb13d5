"""How long a contact lasts: published operations at this load, against operations a day, as a range of years.

A contact is asked to last the years that are stated, else five. Less current never shortens its life, so the published
operations are the low end; the high end is read from the published curve, or follows the least steep slope that a
maker's table prints for this kind of load.
"""

from __future__ import annotations

from dataclasses import dataclass

from bom.boards.board import Function, Load
from bom.duty.load_start import makes_amps
from bom.duty.margins import known, room
from bom.duty.mixed_load import shares_of
from bom.duty.published_ratings import RESISTIVE, PublishedAmps, amps_between, best_offer
from bom.duty.sources import LIFE_TABLE, RATINGS_ANSWER
from bom.relays.relay import Rating, Relay, SupplyKind
from bom.values.finding import Finding, Outcome

USUAL_OPERATIONS = 100_000
"""Operations behind a rating that states none: source 31: normally 100 000."""

SLOPES = {(True, SupplyKind.DC): 1.53, (True, SupplyKind.AC): 1.31, (False, SupplyKind.DC): 1.0}
"""n in N ~ I to the minus n, resistive or not: log-log through the contact life table of source 37. Its inductive lines
give 1.00 on AC and DC alike; that is used for all that is not resistive."""
USUAL_SOURCE = f"{RATINGS_ANSWER.cited}: 100 000 operations"
SLOPE_SOURCE = f"slope of the life table in {LIFE_TABLE.cited}"

MECHANICAL_TIMES = 10
"""Mechanical over electrical operations where a sheet states none: about 10 or more, source 38."""

USUAL_YEARS = 5.0
"""How long a repair is asked to last where nobody states it: common practice, no source."""


def slope(resistive: bool, supply: SupplyKind) -> float:
    """n of N ~ I to the minus n.

    >>> slope(resistive=True, supply=SupplyKind.DC)
    1.53
    """
    return SLOPES.get((resistive, supply), 1.0)


@dataclass(frozen=True, slots=True)
class Lasting:
    """The least and most operations, the assumption that the most rests on, and whether the least are published."""

    least: float
    most: float
    how: str
    published: bool = True


def life(function: Function, offer: PublishedAmps, lines: tuple[Rating, ...], relay: Relay) -> tuple[Finding, ...]:
    """Years of operation; nothing of a contact that is never switched, or only carries."""
    load, duty = function.load, function.duty
    if load.operations_per_day == 0 or (duty.makes == 0 and duty.breaks == 0):
        return ()
    lasting = operations(function, offer, lines, relay)
    if load.operations_per_day is None:
        return (_use_not_stated(function, offer, lasting),)
    years = _years(lasting, load.operations_per_day)
    why = f"{_count(lasting)} operations last {years}; {lasting.how}"
    why += "" if offer.covers else f"; counted on a {offer.kind} line, which a {load.kind} load may wear faster"
    why += "" if load.life_years is not None else f"; {USUAL_YEARS:g} years are asked where nobody states them"
    outcome = _outcome(function, offer, lasting, covered=_covered(function, offer, lines))
    source = _source(offer, lasting)
    offered = _count(lasting) if lasting.published else "not stated"
    return (Finding(_name(function), outcome, why, _wanted(load), offered, _margin(load, lasting), source),)


def _name(function: Function) -> str:
    return f"life, {function.name}"


def _use_not_stated(function: Function, offer: PublishedAmps, lasting: Lasting) -> Finding:
    """How much use the published operations allow, for somebody who knows the box to judge."""
    years = _years_asked(function.load)
    a_day = lasting.least / years / 365
    why = f"{_count(lasting)} operations last {years:g} years of {a_day:.3g} a day: how often is it switched?"
    return Finding(_name(function), Outcome.CONDITION, why, "operations a day", _count(lasting), source=offer.source)


def _years_asked(load: Load) -> float:
    return USUAL_YEARS if load.life_years is None else load.life_years


def _source(offer: PublishedAmps, lasting: Lasting) -> str:
    said = [offer.source]
    said += [SLOPE_SOURCE] if lasting.most > lasting.least else []
    said += [] if lasting.published else [USUAL_SOURCE]
    return "; ".join(said)


def operations(function: Function, offer: PublishedAmps, lines: tuple[Rating, ...], relay: Relay) -> Lasting:
    """Operations at the load's amps, and no more than its mechanism is published for."""
    lasting, mechanism = _electrically(function, offer, lines, relay), relay.mechanical_ops
    if mechanism is None or mechanism >= lasting.least:
        return lasting
    return Lasting(mechanism, mechanism, "its mechanism lasts no longer")


def _electrically(function: Function, offer: PublishedAmps, lines: tuple[Rating, ...], relay: Relay) -> Lasting:
    """Operations at the load's amps: read from the published curve, else by the slope from the line used."""
    load, amps = function.load, switched_amps(function, offer)
    points = _curve(offer, lines)
    harder = [(a, n) for volts, a, n in points if a >= amps and volts >= known(load.volts)]
    above = min(harder, key=lambda point: (-point[1], point[0]), default=None)
    below = max(((a, n) for _, a, n in points if a < amps), default=None)
    if above is not None and below is not None and amps > 0:
        most = _mechanically(amps_between(below, above, amps), relay, above[1])
        return Lasting(above[1], max(above[1], most), "read log-log between the published points beside it")
    stated = offer.rating.operations
    point = above or (offer.amps, stated or float(USUAL_OPERATIONS))
    return _by_slope(point, amps, load, offer, relay, published=above is not None or stated is not None)


def switched_amps(function: Function, offer: PublishedAmps) -> float:
    """What is switched each time: what the contact breaks, by a line for the kind of load, which takes in its start;
    else the stated peak too."""
    peak = None if offer.covers else makes_amps(function)
    return max(known(function.load.amps), function.duty.breaks or 0.0, peak or 0.0)


def _curve(offer: PublishedAmps, lines: tuple[Rating, ...]) -> list[tuple[float, float, float]]:
    """The (volts, amps, operations) points published for the offer's kind."""
    like = [r for r in lines if r.load == offer.kind]
    return [(r.volts, r.amps, r.operations) for r in like if r.amps is not None and r.operations is not None]


def _by_slope(
    point: tuple[float, float], amps: float, load: Load, offer: PublishedAmps, relay: Relay, *, published: bool
) -> Lasting:
    """At least as published there, at most as the slope lets it grow for fewer amps."""
    n = slope(offer.kind in RESISTIVE and load.kind in RESISTIVE, load.supply)
    lighter = point[0] / amps if 0 < amps < point[0] else 1.0
    most = max(point[1], _mechanically(point[1] * lighter**n, relay, point[1]))
    return Lasting(point[1], most, _assumption(point, amps, load, n, published), published)


def _assumption(point: tuple[float, float], amps: float, load: Load, n: float, published: bool) -> str:
    stated = "as published" if published else f"{USUAL_OPERATIONS:,} as usual, none stated"
    if amps > point[0]:
        return f"{stated}, fewer where it breaks its {amps:g} A"
    said = f"at least {stated}, at most by slope {n:g} of life over amps"
    return said if amps == load.amps else f"{said}, as if {amps:g} A were broken each time"


def _mechanically(operations: float, relay: Relay, electrical: float) -> float:
    """No contact outlasts its mechanism."""
    return min(operations, relay.mechanical_ops or MECHANICAL_TIMES * electrical)


def _covered(function: Function, offer: PublishedAmps, lines: tuple[Rating, ...]) -> bool:
    """Whether a line for its kind speaks for the load, and for each of several kinds."""
    offers = (best_offer(lines, share.load) for share in shares_of(function))
    return offer.covers and all(own is not None and own.covers for own in offers)


def _outcome(function: Function, offer: PublishedAmps, lasting: Lasting, *, covered: bool) -> Outcome:
    """Held against the years asked; refused only by years that somebody states, and never a pass on operations that
    nobody published."""
    load, wanted = function.load, _wanted_operations(function.load)
    if load.life_years is not None and lasting.most < wanted:
        return Outcome.FAIL
    above_rating = switched_amps(function, offer) > offer.amps
    unsure = not lasting.published or above_rating or lasting.least < wanted
    unsure = unsure or (load.life_years is not None and not covered)  # another kind may wear the contact faster
    return Outcome.CONDITION if unsure else Outcome.PASS


def _wanted_operations(load: Load) -> float:
    return _years_asked(load) * 365 * known(load.operations_per_day)


def _margin(load: Load, lasting: Lasting) -> float | None:
    """Of years that somebody states; those taken by default rank nothing."""
    return room(_wanted_operations(load), lasting.least) if load.life_years is not None else None


def _wanted(load: Load) -> str:
    return f"{load.operations_per_day:g} a day for {_years_asked(load):g} years"


def _count(lasting: Lasting) -> str:
    """To three figures: a published life is no more exact."""
    least, most = (f"{float(f'{n:.3g}'):,.0f}" for n in (lasting.least, lasting.most))
    return least if least == most else f"{least} to {most}"


def _years(lasting: Lasting, per_day: float) -> str:
    least, most = (f"{n / per_day / 365:.1f}" for n in (lasting.least, lasting.most))
    return f"{least} years of {per_day:g} a day" if least == most else f"{least} to {most} years of {per_day:g} a day"
