"""How a contact is used beside its amps: which way the current flows, how often it switches, and with which others.

A magnet that blows out the arc does so for one direction of the current only. A contact that switches its load faster
than it is published for has no time to cool. Halves of one body that carry together warm each other. What a board needs
of these and the sheet does not state is unknown.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bom.boards.board import Function, Place
from bom.duty.contact_conditions import hottest_of
from bom.duty.margins import amount, held, known, unknown
from bom.duty.published_ratings import carried_for_good, usable
from bom.relays.relay import ContactPolarity, Design, Relay, SupplyKind
from bom.values.finding import Finding, Outcome

MAGNETS_FROM_VOLTS = 30.0
"""Above these volts DC a relay may have magnets at its contacts; to here makers' tables give an ordinary gap its full
amps, from memory. That magnets begin there is common practice, no source."""

POLARITY_SOURCE = "magnets at the contacts blow out the arc of one direction only: from memory"
RATE_SOURCE = "the switching rate that its life is published at: common practice, no source"
HEAT_SOURCE = "the heat of a contact goes with the square of its amps; that halves may share the heat of one: common "
HEAT_SOURCE += "practice, no source"


def use_findings(relay: Relay, function: Function) -> Iterator[Finding]:
    """Direction and rate of one function."""
    yield from _direction(relay, function)
    yield from _rate(relay, function)


def _direction(relay: Relay, function: Function) -> Iterator[Finding]:
    load, check, stated = function.load, f"current direction, {function.name}", relay.contact_polarity
    if load.supply is not SupplyKind.DC or stated is ContactPolarity.EITHER:
        return
    if stated is None:
        if known(load.volts) > MAGNETS_FROM_VOLTS:
            why = f"at {load.volts:g} V DC the contacts may have magnets for one direction only"
            yield unknown(check, {"contact_polarity": None}, why)
        return
    yield _one_way(check, stated, load.common)


def _one_way(check: str, stated: ContactPolarity, common: str) -> Finding:
    wanted = "plus" if stated is ContactPolarity.COMMON_PLUS else "minus"
    if not common:
        return unknown(check, {"the load's common, plus or minus": None}, f"its contacts work with {stated} only")
    fits = common == wanted
    why = f"its contacts work with {stated} only, and the board's common is at {common}"
    outcome = Outcome.PASS if fits else Outcome.FAIL
    return Finding(check, outcome, why, f"common at {common}", stated.value, source=POLARITY_SOURCE)


def _rate(relay: Relay, function: Function) -> Iterator[Finding]:
    asked, check = function.load.operations_per_minute, f"switching rate, {function.name}"
    if asked is None:
        return
    if relay.most_per_minute is None:
        yield unknown(check, {"how often a minute the contact may switch": None}, f"it is switched {asked:g} times")
        return
    why = f"it is switched {asked:g} times in its busiest minute, and is published for {relay.most_per_minute:g}"
    yield held(check, asked, relay.most_per_minute, "a minute", why, RATE_SOURCE)


def halves_together(design: Design, place: Place) -> Iterator[Finding]:
    """Asked where several halves of one body carry at once: as much as is published for all, or no more heat than one
    contact makes at what it carries for good."""
    loaded = _loaded_together(place)
    if len({function.unit for function in loaded}) < 2:
        return
    check, stated = "halves together", design.relay.together_amps
    most = max(known(function.load.amps) for function in loaded)
    if stated is not None:
        why = f"every half carries {most:.3g} A at most, and {stated:g} A are published for all at once"
        yield held(check, most, stated, "A", why, design.relay.source)
        return
    yield _by_heat(check, [_share_of_heat(design, place, function) for function in loaded])


def _loaded_together(place: Place) -> Sequence[Function]:
    """The heaviest function of each half, where the halves may carry at once: several are on together, or a drive hangs
    between two of them."""
    position = place.position
    functions = [f for f in position.functions if f.load.amps]
    between = any(f.load.reversing for f in functions)
    if position.units_on_together is not None and position.units_on_together < 2 and not between:
        return ()
    heaviest: dict[str, Function] = {}
    for function in functions:
        other = heaviest.get(function.unit)
        if other is None or known(function.load.amps) > known(other.load.amps):
            heaviest[function.unit] = function
    return tuple(heaviest.values())


def _share_of_heat(design: Design, place: Place, function: Function) -> float | None:
    amps = known(function.load.amps)
    lines = usable(design.ratings, function)
    offer = carried_for_good(lines, function.load, hottest_of(function.load, place.board), amps)
    return None if offer is None or not offer.amps else (amps / offer.amps) ** 2


def _by_heat(check: str, shares: Sequence[float | None]) -> Finding:
    wanted = {"what each half carries while every other does (together_amps)": None}
    if any(share is None for share in shares):
        return unknown(check, wanted)
    heat = 100 * sum(known(share) for share in shares)
    why = f"together the halves make {heat:.3g} % of the heat of one contact at its full amps"
    if heat > 100:
        return unknown(check, wanted, why)
    return Finding(check, Outcome.PASS, why, f"{amount(heat, '%')} of one", "100 % of one", source=HEAT_SOURCE)
