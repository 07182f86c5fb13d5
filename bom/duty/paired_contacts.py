"""Contacts that answer for each other: reversing pairs of changeovers, and forcibly guided contacts.

Each changeover of a reversing pair stands between + and -, the motor between their commons. An arc that outlasts the
transfer shorts the supply through it; at 14 V it dies by itself, at 42 V it does not (source 36). Where it does not,
the electronics must wait between the directions until it is out.

Guided contacts: type A guides all contacts with each other; in type B only some are, and of two changeovers only a
make of one with a break of the other may be used as the proving pair (source 24). Source: EN 50205, now IEC 61810-3.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import permutations
from typing import TypeVar

from bom.boards.board import Board, Function, Place
from bom.duty.margins import amount, held, known, room, unknown
from bom.duty.published_ratings import lines_of, making_amps
from bom.duty.sources import ARC_PAGE, GUIDED_SHEET, REVERSING_SHEET
from bom.relays.relay import Design, Guided, Rating, SupplyKind
from bom.relays.wiring import Kind, Transfer
from bom.values.finding import Finding, Outcome

ARC_SOURCE = f"arc transfer in a reversing pair: {ARC_PAGE.cited}, 42 V motor relays"
FORM_SOURCE = "contact forms: C breaks before it makes, D makes before it breaks (NARM/RSIA list)"
BRAKE_SOURCE = f"brake current flows through the break contact on release: {REVERSING_SHEET.cited}"


def reversing_findings(
    design: Design, place: Place, function: Function, lines: tuple[Rating, ...]
) -> tuple[Finding, ...]:
    """All that only a reversing pair is asked; nothing for any other load but what it states of braking."""
    if not function.load.reversing:
        return braking(design, function) if function.load.brake_amps is not None else ()
    return (
        open_contact_volts(function, lines, place.board),
        transfer(design, function),
        *arc_at_transfer(function, place.board),
        *turned_round(function, lines),
        both_on(place, function),
        *braking(design, function),
    )


def open_contact_volts(function: Function, lines: tuple[Rating, ...], board: Board) -> Finding:
    """The open contact is held to its highest published volts; a supply above those at which the motor's amps are
    published asks for a pause."""
    check = f"reversing, {function.name}"
    rated, volts = max((r.volts for r in lines), default=None), known(function.load.volts)
    if rated is None:
        return unknown(check, {"the contact's rated DC volts": None})
    why = f"the open contact stands at {volts:g} V and is published to {rated:g} V"
    found = held(check, volts, rated, "V", why, ARC_SOURCE)
    highest, amps = max(v for v in (volts, board.supply.max_volts) if v is not None), known(function.load.amps)
    broken = max((r.volts for r in lines if r.amps is not None and r.amps >= amps), default=rated)
    if found.outcome is Outcome.FAIL or highest <= broken:
        return found
    why = f"the supply may reach {highest:g} V; {amps:.3g} A are published to {broken:g} V: pause between directions"
    needed, offered = amount(highest, "V"), amount(broken, "V")
    return Finding(check, Outcome.CONDITION, why, needed, offered, room(highest, broken), ARC_SOURCE)


def transfer(design: Design, function: Function) -> Finding:
    """A changeover that makes before it breaks joins + and - at every transfer."""
    check = f"transfer, {function.name}"
    stated = _transfers(design, function)
    if Transfer.MAKE_FIRST in stated:
        why = "the changeover makes before it breaks, which shorts the supply at every reversal"
        return Finding(check, Outcome.FAIL, why, "break before make", "make before break", source=FORM_SOURCE)
    why = "the changeover breaks before it makes" if stated else "a changeover breaks before it makes unless stated"
    return Finding(check, Outcome.PASS, why, "break before make", "break before make", source=FORM_SOURCE)


ARC_DIES_TO_VOLTS = 30.0
"""To here makers' tables give an ordinary gap its full DC amps, from memory, so it puts the arc out; that this serves
for the transfer too is common practice, no source."""
ARC_STAYS_FROM_VOLTS = 42.0
"""From here it is printed that the arc outlasts the transfer: source 36."""
LONG_PAUSE_MS = 500.0
"""A pause in which arc and back-EMF die: half a second, from memory."""


def arc_at_transfer(function: Function, board: Board) -> tuple[Finding, ...]:
    """Above the volts at which an arc dies by itself the transfer must wait; a pause that is chosen is a condition."""
    load, check = function.load, f"arc at the transfer, {function.name}"
    volts = max(v for v in (load.volts, _beyond_doubt(board.supply.max_volts)) if v is not None)
    if load.supply is not SupplyKind.DC or volts <= ARC_DIES_TO_VOLTS:
        return ()
    said = f"at {volts:g} V the arc may outlast the transfer and join + and -"
    needed, pause = f"a pause of {LONG_PAUSE_MS:g} ms", load.pause_ms
    if pause is None:
        return (unknown(check, {"how long the electronics waits between directions (pause_ms)": None}, said),)
    if pause >= LONG_PAUSE_MS:
        why = f"{said}: the pause of {pause:g} ms between directions must stay"
        return (Finding(check, Outcome.CONDITION, why, needed, f"{pause:g} ms", source=ARC_SOURCE),)
    outcome = Outcome.FAIL if pause == 0 and volts >= ARC_STAYS_FROM_VOLTS else Outcome.UNKNOWN
    why = f"{said}: {'no pause' if pause == 0 else f'a pause of {pause:g} ms'} is stated; watch it under load"
    return (Finding(check, outcome, why, needed, f"{pause:g} ms", source=ARC_SOURCE),)


PLUGGING_SOURCE = (
    "a motor reversed while it turns takes its brake current beside that of the stall: common practice, no source"
)


def turned_round(function: Function, lines: tuple[Rating, ...]) -> tuple[Finding, ...]:
    """A motor that is reversed before it stands still makes the current of its stall and that of its brake at once,
    which is at most as much again."""
    load, stall = function.load, function.duty.stalls
    if stall is None or (load.pause_ms is not None and load.pause_ms >= LONG_PAUSE_MS):
        return ()
    peak, making = stall + (stall if load.brake_amps is None else load.brake_amps), making_amps(lines, load)
    if not making or peak <= making:
        return ()
    waits = (
        "how long the electronics waits is not stated" if load.pause_ms is None else f"it waits {load.pause_ms:g} ms"
    )
    why = f"reversed while it turns it makes up to {peak:g} A, and {making:.3g} A are published; {waits}: see that it "
    why += f"stands still first, or waits {LONG_PAUSE_MS:g} ms"
    outcome = Outcome.CONDITION if load.pause_ms is None else Outcome.UNKNOWN
    check, source = f"reversal, {function.name}", PLUGGING_SOURCE
    return (Finding(check, outcome, why, amount(peak, "A"), amount(making, "A"), room(peak, making), source),)


def _beyond_doubt(highest: float | None) -> float | None:
    """The highest supply counts where it is among the volts at which the arc is known to stay: a vehicle's 24 V supply
    rises above 30 V for a moment only."""
    return highest if highest is not None and highest >= ARC_STAYS_FROM_VOLTS else None


def _transfers(design: Design, function: Function) -> set[Transfer]:
    contacts = design.wiring.contacts if design.wiring else ()
    ours = [e for e in contacts if function.unit in ("", e.unit) and function.pole in ("", e.pole)]
    return {e.transfer for e in ours if e.transfer is not None}


def both_on(place: Place, function: Function) -> Finding:
    """Both halves on at once stand both motor ends on one pole: no short, but no movement, and braking in full."""
    check, together = f"both on at once, {function.name}", place.position.units_on_together
    if together is None:
        return unknown(check, {"units on together": None})
    if together < 2:
        why = "the board never has both halves on"
        return Finding(check, Outcome.PASS, why, "at most 1 unit on", f"{together}", source="the board file")
    why = f"{together} units may be on together: both motor ends then stand on one pole and the motor brakes"
    return Finding(check, Outcome.CONDITION, why, "at most 1 unit on", f"{together}", source="the board file")


def braking(design: Design, function: Function) -> tuple[Finding, ...]:
    """The motor runs on as a generator through the break contact: its brake current, at most that of the stall.

    With neither stated nothing is asked here; the start finding asks for the stall.
    """
    load, check = function.load, f"braking, {function.name}"
    amps = load.brake_amps if load.brake_amps is not None else load.stall_amps
    if amps is None or _has_no_break_contact(design, function):
        return ()
    lines = lines_of(design.ratings, Kind.BREAK, load.supply)
    limit = making_amps(lines, load)
    if not limit:
        return (unknown(check, {f"a rating of the break contact at {load.volts:g} V": None}),)
    return (_held_brake(check, amps, limit, load.brake_amps is not None),)


def _has_no_break_contact(design: Design, function: Function) -> bool:
    """Then nothing brakes through it."""
    wiring = design.wiring
    return wiring is not None and function.unit in wiring.units and not wiring.has_contact(function.unit, Kind.BREAK)


def _held_brake(check: str, amps: float, limit: float, measured: bool) -> Finding:
    """A brake current taken as the stall is the most it can be, so above the limit it is to be measured."""
    if measured:
        why = f"it brakes with {amps:g} A through the break contact, published for {limit:g} A"
        return held(check, amps, limit, "A", why, BRAKE_SOURCE)
    why = f"braking takes at most the stall's {amps:g} A, and the break contact is published for {limit:g} A"
    outcome = Outcome.PASS if amps <= limit else Outcome.CONDITION
    said = why if outcome is Outcome.PASS else f"{why}: measure the brake current"
    source = f"{BRAKE_SOURCE}; no more than the stall: common practice, no source"
    return Finding(check, outcome, said, amount(amps, "A"), amount(limit, "A"), room(amps, limit), source)


T = TypeVar("T")

GUIDED_KINDS = (Guided.A, Guided.B)

GUIDED_SOURCE = f"EN 50205 type B; {GUIDED_SHEET.cited}: a make of one changeover with a break of the other"


def is_guarded(place: Place, fitted: Design | None = None) -> bool:
    """Whether this place serves a safety function: its board or one of its functions says so, or it was fitted with a
    guided part."""
    return place.states_safety or (fitted is not None and fitted.relay.guided in GUIDED_KINDS)


def guided_pairs(poles: Iterable[T]) -> tuple[tuple[tuple[T, Kind], tuple[T, Kind]], ...]:
    """The pairs (pole, contact) of a type B relay with changeovers that may prove each other."""
    return tuple(((make, Kind.MAKE), (broken, Kind.BREAK)) for make, broken in permutations(poles, 2))


def guided_use(design: Design, place: Place, original: Design | None = None) -> tuple[Finding, ...]:
    """Asked of type B relays in place of guided ones: whether the board uses a make and a break of different poles."""
    if design.relay.guided is not Guided.B or not is_guarded(place, original):
        return ()
    used = {((f.unit, f.pole), f.contact) for f in place.position.functions}
    wanted = "a make of one pole, a break of another"
    if any(used.issuperset(pair) for pair in guided_pairs({pole for pole, _ in used})):
        why = "a make of one pole and a break of another are used, which type B guides"
        return (Finding("guided pair", Outcome.PASS, why, wanted, "such a pair", source=GUIDED_SOURCE),)
    why = "type B proves by a make of one pole with a break of another; the board file names no such pair: check it"
    return (Finding("guided pair", Outcome.CONDITION, why, wanted, "not named", source=GUIDED_SOURCE),)
