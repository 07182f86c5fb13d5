"""Which contact of the wiring each function of a board file lies on, and what is wrong or unasked there.

A function is put on a unit, a pole and a kind of contact by whoever wrote the file. It proves nothing where the wiring
has no such contact, where another function has it already, or where its holes lie on no net; and a contact between two
nets in use, of which no function speaks, may switch a load that nobody judged. Each of these is *unknown*.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bom.boards.board import Board, Function, Place
from bom.relays.wiring import Element, Wiring
from bom.values.finding import Finding, Outcome

BOARD_SOURCE = "the board file"


def contacts_there(place: Place) -> tuple[Finding, ...]:
    """An *unknown* for each function that no contact of the place's wiring, or another's contact, would serve, or whose
    contact lies on no net, and for each contact between two nets of which no function says what it switches."""
    if place.wiring is None:
        return ()
    functions = place.position.functions
    wrong = (
        *misplaced(functions, place.wiring),
        *_on_no_net(place, place.wiring),
        *(_unasked(place, place.wiring) if functions else ()),
    )
    return tuple(
        Finding(
            f"contact, {name}",
            Outcome.UNKNOWN,
            f"{why}: correct the board file",
            "a contact of its own",
            source=BOARD_SOURCE,
        )
        for name, why in wrong
    )


def _on_no_net(place: Place, wiring: Wiring) -> Iterator[tuple[str, str]]:
    """(name, why) of each function that needs a hole which the pattern puts on no net, though it states others."""
    on_none = {h.name for h in place.pattern.holes if not h.net}
    if place.pattern.of_part or len(on_none) in (0, len(place.pattern.holes)):
        return
    for function in place.position.functions:
        if loose := sorted(_holes_of(function, wiring) & on_none):
            yield function.name, f"it needs hole{'s' if len(loose) > 1 else ''} {', '.join(loose)}, on no net"


def _unasked(place: Place, wiring: Wiring) -> Iterator[tuple[str, str]]:
    """(name, why) of each contact that joins two nets in use and that no function speaks of. Where the board states its
    loads between nets, its circuit has told what each contact does."""
    if place.pattern.of_part or place.board.loads:
        return
    nets = {h.name: h.net for h in place.pattern.holes}
    spoken = {hole for function in place.position.functions for hole in _holes_of(function, wiring)}
    for contact in wiring.contacts:
        ends = [nets.get(hole, "") for hole in contact.pins]
        in_use = all(hole in spoken or _is_shared(nets.get(hole, ""), place.board) for hole in contact.pins)
        if all(ends) and ends[0] != ends[1] and in_use and not spoken.issuperset(contact.pins):
            yield _said_of(contact), f"it joins {ends[0]} and {ends[1]}, and no function says what it switches"


def _is_shared(net: str, board: Board) -> bool:
    """Whether anything else is on the net that the file knows of."""
    holes = [h for pattern in (board.patterns or {}).values() for h in pattern.holes if h.net == net]
    return len(holes) > 1 or any(n.name == net for n in board.nets)


def _said_of(contact: Element) -> str:
    return " ".join(filter(None, (contact.unit, contact.pole, contact.kind.value)))


def _holes_of(function: Function, wiring: Wiring) -> set[str]:
    """The holes of the function's contact; a reversing drive also brakes and returns through the other one."""
    pole = (c for c in wiring.contacts if c.unit == _unit(function, wiring) and function.pole in ("", c.pole))
    return {hole for c in pole if c.kind is function.contact or function.load.reversing for hole in c.pins}


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
