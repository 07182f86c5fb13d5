"""Insulation: whether coil, contacts and halves of a relay are kept apart well enough for the volts between them.

Asked wherever the contacts switch dangerous volts, and wherever a board states what a position needs. Basic insulation
is to bear the volts plus 1200 V AC, reinforced twice that, and an open contact the volts plus 250 V: the temporary
overvoltages of IEC 60664-1 (5.3.3.2.3 of its edition of 2007), from memory; the tests that a sheet prints are those of
IEC 61810-1. An impulse is what the board file states: IEC 60664-1, table F.1, gives it by volts and overvoltage
category. Where nobody states the class that a position needs, only reinforced insulation is sure to be enough. Volts.
"""

from __future__ import annotations

from collections.abc import Iterator

from bom.boards.board import Function, Place
from bom.duty.cautions import is_mains
from bom.duty.margins import ROUNDING, amount, held, known, room, unknown
from bom.relays.relay import Insulation, Relay
from bom.values.finding import Finding, Outcome

OVERVOLTAGE = 1200.0
"""Short-term temporary overvoltage of mains, over its volts."""

LASTING_OVERVOLTAGE = 250.0
"""The long-term one, which an open contact stands."""

SOURCE = "IEC 60664-1, temporary overvoltages, from memory; tested by IEC 61810-1"
CLASS_SOURCE = "IEC 60664-1 and IEC 61810-1, classes of insulation, from memory"

_FACTORS = {Insulation.FUNCTIONAL: 0.0, Insulation.BASIC: 1.0, Insulation.REINFORCED: 2.0}


def insulation_findings(relay: Relay, place: Place, fitted: Relay | None = None) -> tuple[Finding, ...]:
    """Every gap of the relay that has dangerous volts across it, or that the board states a need for."""
    mains = [f for f in place.position.functions if is_mains(f.load)]
    stated = place.position.insulation
    if not mains and stated is None and place.position.impulse_volts is None:
        return ()
    volts = _volts_across(mains or place.position.functions, place)
    if volts is None:
        return (unknown("insulation, coil to contacts", {"load volts": None}),)
    needed = stated or (fitted.insulation if fitted else None)
    return (
        *_coil_to_contacts(relay, volts, needed, asked=bool(mains) or stated is not None),
        *_impulse(relay, place),
        *_open_contact(relay, volts, mains, fitted),
        *_between_poles(relay, volts, needed, place, mains),
    )


def _volts_across(functions: list[Function] | tuple[Function, ...], place: Place) -> float | None:
    """The most that stands between coil and contacts; None where a load's volts are not stated."""
    volts = [f.load.volts for f in functions] or [place.board.supply.max_volts]
    return None if None in volts else max(known(v) for v in volts)


def bears_at_least(volts: float, needed: Insulation) -> float:
    """The V AC that insulation of this class must bear for a minute between parts this many volts apart.

    >>> bears_at_least(230, Insulation.BASIC), bears_at_least(230, Insulation.REINFORCED)
    (1430.0, 2860.0)
    """
    return _FACTORS[needed] * (volts + OVERVOLTAGE) or volts + LASTING_OVERVOLTAGE


def _coil_to_contacts(relay: Relay, volts: float, needed: Insulation | None, asked: bool) -> Iterator[Finding]:
    if not asked:
        return
    yield _class(relay, needed)
    yield _withstand("insulation, coil to contacts", relay.coil_contact_volts, volts, needed)


def _class(relay: Relay, needed: Insulation | None) -> Finding:
    check, own = "insulation class", relay.insulation
    wanted = needed.value if needed else "not stated"
    if own is None:
        return unknown(check, {"the class of insulation between coil and contacts": None})
    enough = own.rank >= (needed or Insulation.REINFORCED).rank
    if enough:
        return Finding(check, Outcome.PASS, f"coil and contacts: {own}", wanted, own, source=CLASS_SOURCE)
    if needed is None:
        why = f"{own} between coil and contacts: find out whether anybody can touch what the coil is joined to, and "
        why += "state the insulation that the position needs"
        return Finding(check, Outcome.UNKNOWN, why, wanted, own, source=CLASS_SOURCE)
    why = f"{own} between coil and contacts, and the position needs {needed}"
    return Finding(check, Outcome.FAIL, why, wanted, own, source=CLASS_SOURCE)


def _withstand(check: str, bears: float | None, volts: float, needed: Insulation | None) -> Finding:
    """Refused below what the stated class needs, or below basic where none is stated; between basic and reinforced
    it is then not known."""
    if bears is None:
        return unknown(check, {f"V AC that it bears there, {volts:g} V being across": None})
    need = bears_at_least(volts, needed or Insulation.REINFORCED)
    why = f"bears {bears:g} V AC, and {needed or 'reinforced'} insulation at {volts:g} V is to bear {need:g} V"
    if needed is None and bears_at_least(volts, Insulation.BASIC) <= bears * (1 + ROUNDING) and bears < need:
        why += "; enough for basic: state which the position needs"
        return Finding(check, Outcome.UNKNOWN, why, amount(need, "V"), amount(bears, "V"), room(need, bears), SOURCE)
    return held(check, need, bears, "V", why, SOURCE)


def _impulse(relay: Relay, place: Place) -> Iterator[Finding]:
    need, bears, check = place.position.impulse_volts, relay.impulse_volts, "insulation, impulse"
    if need is None:
        return
    if bears is None:
        yield unknown(check, {"the impulse that coil to contacts bears, V": None})
        return
    why = f"bears an impulse of {bears:g} V, and the board states {need:g} V"
    yield held(check, need, bears, "V", why, "the board file; IEC 60664-1, table F.1, from memory")


def _open_contact(relay: Relay, volts: float, mains: list[Function], fitted: Relay | None) -> Iterator[Finding]:
    """Asked on dangerous volts alone: below them any open contact of a relay holds."""
    check, bears = "insulation, open contact", relay.dielectric_volts
    if not mains:
        return
    if bears is None:
        yield unknown(check, {"V AC over the open contact (dielectric_volts)": None})
        return
    need = volts + LASTING_OVERVOLTAGE
    why = f"the open contact bears {bears:g} V AC, and at {volts:g} V it is to bear {need:g} V"
    theirs = fitted.dielectric_volts if fitted else None
    yield held(check, need, bears, "V", why, SOURCE, None if theirs is None else (need, theirs))


def _between_poles(
    relay: Relay, volts: float, needed: Insulation | None, place: Place, mains: list[Function]
) -> Iterator[Finding]:
    """Poles or halves that switch different circuits: of the coil's class where one of them is not dangerous, else
    basic."""
    poles = {(f.unit, f.pole) for f in place.position.functions}
    if not mains or len(poles) < 2:
        return
    apart = poles - {(f.unit, f.pole) for f in mains}
    yield _withstand(
        "insulation, between poles", relay.between_poles_volts, volts, needed if apart else Insulation.BASIC
    )
