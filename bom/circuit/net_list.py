"""The circuit of a board as a list: which contact, bridge and load lies between which nets, and what holds a net.

Contacts come from the wiring of each position, its pins being holes, and the nets from those holes. A position of which
too little is known is named with the reason, since its contacts may lie across anything.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from bom.boards.board import Board, NetIs, NetLoad, Position
from bom.relays.wiring import Element, Kind, Wiring

Join = tuple[str, str]
"""Two nets that something lies between."""


@dataclass(frozen=True, slots=True)
class Contact:
    """One contact between two nets, its common first. ``unit`` is as K1.A, ``name`` as K1.A make or K1.A/2 make."""

    name: str
    ref: str
    unit: str
    pole: str
    kind: Kind
    ends: Join

    def closed(self, on: frozenset[str]) -> bool:
        """Whether it is closed while these units are on."""
        return (self.kind is Kind.MAKE) == (self.unit in on)

    @property
    def used(self) -> bool:
        """Whether both its pads belong to nets; else nothing can flow through it."""
        return all(map(is_net, self.ends)) and self.ends[0] != self.ends[1]


@dataclass(frozen=True, slots=True)
class Unread:
    """A position whose contacts are not known, why, and the nets of its holes."""

    ref: str
    why: str
    nets: frozenset[str]


@dataclass(frozen=True, slots=True)
class NetList:
    """All that lies between nets. ``rails`` are the supplies and grounds with their volts, None where they are not
    stated; ``nominal`` are the supplies that are at the board's nominal volts for want of their own."""

    board: str
    rails: tuple[tuple[str, float | None], ...]
    nominal: frozenset[str]
    contacts: tuple[Contact, ...]
    bridges: tuple[Join, ...]
    loads: tuple[NetLoad, ...]
    never: tuple[frozenset[str], ...]
    unread: tuple[Unread, ...] = ()

    @property
    def held(self) -> dict[str, float | None]:
        """The volts of each supply and ground."""
        return dict(self.rails)

    @property
    def units(self) -> tuple[str, ...]:
        """Every unit that has a contact, as K1.A, in the order of the positions."""
        return tuple(dict.fromkeys(c.unit for c in self.contacts))


def is_net(node: str) -> bool:
    """Whether this is a net; a hole that is joined to nothing stands for itself, with a space before it."""
    return not node.startswith(" ")


def net_list(board: Board, wirings: Mapping[str, Wiring | None]) -> NetList:
    """The board's circuit. ``wirings`` is by position, pins being hole names; None where it is not known.

    A supply is at its own volts, else at the board's nominal ones; the ground is at 0 V.
    """
    contacts: list[Contact] = []
    bridges: list[Join] = []
    unread: list[Unread] = []
    for position in board.positions:
        wiring, nodes = wirings.get(position.ref), _nodes(board, position)
        if wiring is None or (why := _why_not(wiring, nodes)):
            unread.append(Unread(position.ref, why if wiring else "its wiring is not known", _nets(nodes)))
            continue
        contacts += _contacts(position, wiring, nodes)
        bridges += [_ends(bridge, nodes) for bridge in wiring.bridges]
    held = {n.name: 0.0 if n.is_ is NetIs.GROUND else n.volts or board.supply.nominal_volts for n in board.nets}
    never = tuple(map(frozenset, board.never))
    apart = tuple(_told_apart(contacts))
    nominal = frozenset(n.name for n in board.nets if n.is_ is NetIs.SUPPLY and n.volts is None)
    return NetList(
        board.name,
        tuple(held.items()),
        nominal,
        apart,
        tuple(bridges),
        board.loads,
        never,
        tuple(unread),
    )


def unit_name(ref: str, unit: str) -> str:
    """A unit as the board names it: K1.A, or the position alone where the wiring names none."""
    return f"{ref}.{unit}" if unit else ref


def _nodes(board: Board, position: Position) -> dict[str, str]:
    """The net of each hole of the position."""
    pattern = board.pattern_of(position)
    return {h.name: h.net or f" {position.ref} {h.name}" for h in pattern.holes} if pattern else {}


def _nets(nodes: Mapping[str, str]) -> frozenset[str]:
    return frozenset(filter(is_net, nodes.values()))


def _why_not(wiring: Wiring, nodes: Mapping[str, str]) -> str:
    """Why nothing can be said of a position's contacts, or nothing."""
    if strangers := sorted(wiring.pins - nodes.keys()):
        return f"its wiring {wiring.name} names holes that are not there: {', '.join(strangers)}"
    return "" if _nets(nodes) else "its holes state no nets"


def _contacts(position: Position, wiring: Wiring, nodes: Mapping[str, str]) -> Iterator[Contact]:
    for element in wiring.contacts:
        unit = unit_name(position.ref, element.unit)
        pole = f"/{element.pole}" if element.pole and len(wiring.poles(element.unit)) > 1 else ""
        common, throw = wiring.ends(element)
        ends = (nodes[common], nodes[throw])
        yield Contact(f"{unit}{pole} {element.kind}", position.ref, unit, element.pole, element.kind, ends)


def _ends(element: Element, nodes: Mapping[str, str]) -> Join:
    return nodes[element.from_pin], nodes[element.to_pin]


def _told_apart(contacts: Iterable[Contact]) -> Iterator[Contact]:
    """Contacts of one pole that bear one name are numbered."""
    seen: Counter[str] = Counter()
    for contact in contacts:
        seen[contact.name] += 1
        if (nth := seen[contact.name]) == 1:
            yield contact
        else:
            yield Contact(f"{contact.name} {nth}", contact.ref, contact.unit, contact.pole, contact.kind, contact.ends)
