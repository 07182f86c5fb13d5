"""Whether the wiring at a place has the contacts that the board file's functions name, and each serves but one of them.

A function put on a unit that is not there says nothing of what the contacts switch, so nothing is proved by it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bom.boards.board import Function, Place
from bom.relays.wiring import Wiring
from bom.values.finding import Finding, Outcome

SOURCE = "the board file"


def contacts_there(place: Place) -> tuple[Finding, ...]:
    """An *unknown* for each function that no contact of the place's wiring, or another's contact, would serve."""
    if place.wiring is None:
        return ()
    return tuple(
        Finding(
            f"contact, {name}", Outcome.UNKNOWN, f"{why}: correct the board file", "a contact of its own", source=SOURCE
        )
        for name, why in misplaced(place.position.functions, place.wiring)
    )


def misplaced(functions: Sequence[Function], wiring: Wiring) -> Iterator[tuple[str, str]]:
    """(name, why) of each function whose contact the wiring does not have, or that another function has already."""
    taken: dict[tuple[str, str, str], str] = {}
    for function in functions:
        if why := _not_there(function, wiring):
            yield function.name, why
            continue
        contact = _contact(function, wiring)
        if contact in taken:
            yield function.name, f"{_words(function)} already serves {taken[contact]!r}"
        taken.setdefault(contact, function.name)


def _not_there(function: Function, wiring: Wiring) -> str:
    if not function.unit and len(wiring.units) > 1:
        return f"no unit is named, and wiring {wiring.name} has units {', '.join(wiring.units)}"
    if function.unit and function.unit not in wiring.units:
        return f"unit {function.unit} is not in wiring {wiring.name}, which has {_units(wiring)}"
    if not wiring.has_contact(_unit(function, wiring), function.contact, function.pole):
        return f"wiring {wiring.name} has no such contact: {_words(function)}"
    return ""


def _contact(function: Function, wiring: Wiring) -> tuple[str, str, str]:
    """Unit, pole and kind; a pole that is not named is the only one with such a contact, where there is only one."""
    unit = _unit(function, wiring)
    poles = [p for p in wiring.poles(unit) if wiring.has_contact(unit, function.contact, p)]
    pole = function.pole or (poles[0] if len(poles) == 1 else "")
    return unit, pole, function.contact.value


def _unit(function: Function, wiring: Wiring) -> str:
    return function.unit or next(iter(wiring.units), "")


def _units(wiring: Wiring) -> str:
    units = wiring.units
    return f"unit {units[0]} only" if len(units) == 1 else f"units {', '.join(units)}"


def _words(function: Function) -> str:
    pole = f", pole {function.pole}" if function.pole else ""
    return f"unit {function.unit or 'not named'}{pole}, {function.contact}"
