"""A drive that is held: how long the closed contact carries its stall, and what it breaks if it is switched off then.

An inrush is over in a moment, a stall is not: a current published at switching on says nothing of seconds. A stall is
borne where it is no more than the contact carries for good, or than it is published to carry for at least that long.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bom.boards.board import Board, Function
from bom.duty.contact_conditions import hottest_of, is_read_at, needs_no_heat
from bom.duty.margins import amount, held, known, room, unknown
from bom.duty.published_ratings import (
    RESISTIVE,
    PublishedAmps,
    carried_for_good,
    carry_lines,
    kind_of,
    making_amps,
    reaches,
)
from bom.relays.relay import Rating
from bom.values.finding import Finding, Outcome

START_SECONDS = 0.5
"""The longest a motor's start lasts: 0.2 to 0.5 s beside makers' inrush tables, from memory. A stall as short
as that is near enough to a start to be tried, and no more."""

STALLS = ("motor",)
"""Loads that can be held."""


def stall_findings(
    function: Function, lines: tuple[Rating, ...], offer: PublishedAmps, board: Board
) -> Iterator[Finding]:
    """What the contact carries while its drive is held, and what it breaks at the end.

    ``offer`` is the rating that the running current was held against. A drive that is reversed runs to its stops, so it
    is asked for its stall; any other starts by its line, or by a rule.
    """
    duty, running = function.duty, known(function.load.amps)
    if duty.stalls is None and function.load.reversing and kind_of(function.load) in STALLS:
        why = "a drive that is reversed is held at its stops"
        yield unknown(_name(function), {"the drive's stall amps": None}, why)
    if duty.stalls is not None and duty.stalls > running:
        yield _carried(function, lines, offer, board)
    yield from _broken(function, lines, offer)


def _name(function: Function) -> str:
    return f"stall, {function.name}"


def _carried(function: Function, lines: tuple[Rating, ...], offer: PublishedAmps, board: Board) -> Finding:
    stall, seconds = known(function.duty.stalls), function.duty.stall_seconds
    hottest = hottest_of(function.load, board)
    good = carried_for_good(lines, function.load, hottest, stall)
    if good is not None and stall <= good.amps and needs_no_heat(stall, good, lines, hottest):
        within = offer.covers and stall <= offer.amps
        return _for_good(function, good, stall, seconds is not None or within)
    carried = carry_lines(lines, function.load)
    if not carried:
        return _no_carry(function, lines, offer)
    return _for_a_time(function, _best_carry(carried, function, hottest), stall, hottest)


def _for_good(function: Function, good: PublishedAmps, stall: float, timed: bool) -> Finding:
    """Any time is short enough; a time that nobody states is to be found out, since nothing else ends the stall."""
    why = f"it stalls at {stall:g} A, and the contact carries {good.words} for good"
    why += "" if timed else "; how long it stalls is not stated: see that something ends it"
    outcome = Outcome.PASS if timed else Outcome.CONDITION
    return Finding(
        _name(function), outcome, why, _required(function), amount(good.amps, "A"), room(stall, good.amps), good.source
    )


def _no_carry(function: Function, lines: tuple[Rating, ...], offer: PublishedAmps) -> Finding:
    stall, seconds = known(function.duty.stalls), function.duty.stall_seconds
    making = making_amps(lines, function.load)
    if seconds is not None and seconds <= START_SECONDS and stall <= making:
        why = f"its stall of {stall:g} A for {seconds:g} s is as short as a start, and {making:.3g} A are published to "
        why += "be made; what is carried for a time is not: see that it gets no longer"
        offered = f"{amount(making, 'A')} at switching on"
        return Finding(_name(function), Outcome.CONDITION, why, _required(function), offered, source=offer.source)
    why = f"it stalls at {stall:g} A on a contact of {offer.words}, and an inrush line is not for a stall"
    return unknown(_name(function), {"what the contact carries for that time": None}, why)


def _best_carry(carried: tuple[Rating, ...], function: Function, hottest: float | None) -> Rating:
    """Of the lines that reach the stall one that lasts and was read as hot, then the longest; else the highest."""
    duty = function.duty

    def serves(line: Rating) -> tuple[bool, bool, float]:
        # A time that nobody states comes last; no test can tell 0 from 0.1 s, shorter than any that is published.
        seconds = line.carry_seconds or 0.0
        return seconds >= (duty.stall_seconds or 0.0), is_read_at(line, hottest), seconds

    reaching = [r for r in carried if known(r.carry_amps) >= known(duty.stalls)]
    return max(reaching, key=serves) if reaching else max(carried, key=lambda r: known(r.carry_amps))


def _for_a_time(function: Function, rating: Rating, stall: float, hottest: float | None) -> Finding:
    carry, seconds = known(rating.carry_amps), rating.carry_seconds
    if carry >= stall and seconds is None:
        return unknown(_name(function), {"how long the contact carries that": None}, f"{carry:g} A is carried")
    lasting = "a time that is not stated" if seconds is None else f"{seconds:g} s"
    said = f"it stalls at {stall:g} A; the contact carries {carry:g} A for {lasting}"
    outcome, why = _outcome(function, rating, hottest, said)
    offered = f"{amount(carry, 'A')} for {lasting}"
    return Finding(_name(function), outcome, why, _required(function), offered, room(stall, carry), rating.source)


def _outcome(function: Function, rating: Rating, hottest: float | None, said: str) -> tuple[Outcome, str]:
    # Without a time only too few amps get here, and they are answered first: no test can tell `0.0` from another.
    seconds, stalled = known(rating.carry_seconds or 0.0), function.duty.stall_seconds
    if known(rating.carry_amps) < known(function.duty.stalls):
        return Outcome.FAIL, f"{said}, which is too little"
    if stalled is None:
        return Outcome.CONDITION, f"{said}: the stall must end within {seconds:g} s"
    if stalled > seconds:
        return Outcome.FAIL, f"{said}, and it stalls for {stalled:g} s"
    if not is_read_at(rating, hottest):
        at = "an unknown temperature" if rating.temp_c is None else f"{rating.temp_c:g} °C"
        return Outcome.CONDITION, f"{said} at {at}: look up what it carries at {_degrees(hottest)}"
    return Outcome.PASS, f"{said}, and it stalls for {stalled:g} s"


def _degrees(hottest: float | None) -> str:
    return "the heat there" if hottest is None else f"{hottest:g} °C"


def _required(function: Function) -> str:
    stall, seconds = amount(known(function.duty.stalls), "A"), function.duty.stall_seconds
    return stall if seconds is None else f"{stall} for {seconds:g} s"


def _broken(function: Function, lines: tuple[Rating, ...], offer: PublishedAmps) -> Iterator[Finding]:
    """A drive that is switched off while it is held breaks its stall, and not its running current.

    A line of its own kind must give it. Where only a resistive line does, or a lower one of its own kind is published
    beside it, it is a condition: a held motor has no back-EMF left, but its winding. (Common practice, no source.)
    """
    breaks, check = function.duty.breaks, f"stop at its end, {function.name}"
    if breaks is None:
        yield unknown(check, {"the amps that the contact breaks": None})
    elif breaks > known(function.load.amps):
        why = f"it is switched off at {breaks:.3g} A, and {offer.words} is published"
        found = held(check, breaks, offer.amps, "A", why, offer.source)
        yield found if offer.covers and found.outcome is Outcome.PASS else _as_resistive(function, lines, found)


def _as_resistive(function: Function, lines: tuple[Rating, ...], found: Finding) -> Finding:
    load, breaks = function.load, known(function.duty.breaks)
    highest = max((r.amps or 0.0 for r in lines if r.load in RESISTIVE and reaches(r, load)), default=0.0)
    if breaks > highest:
        return replace(found, outcome=Outcome.FAIL)
    why = f"{found.why}; resistive it breaks {highest:g} A: have it stopped before its end, or expect a shorter life"
    return replace(found, outcome=Outcome.CONDITION, why=why)
