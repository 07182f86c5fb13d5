"""Circuits made up at random, and the same circuit written as a list for a general circuit simulator."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from bom.boards.board import Load, NetLoad
from bom.circuit.net_list import Contact, NetList
from bom.circuit.states import CONTACT_OHMS, Part, Solved
from bom.relays.wiring import Kind

VOLTS = 12.0
RAILS = (("VB", VOLTS), ("GND", 0.0))


def made_up(seed: int, most_units: int = 4) -> NetList:
    """Up to four units with a contact or a changeover each, up to four loads, over a handful of nets."""
    random = Random(seed)
    nets = ["VB", "GND", *(f"N{n}" for n in range(random.randint(2, 5)))]
    contacts: list[Contact] = []
    for n in range(1, random.randint(1, most_units) + 1):
        common, make, rest = random.sample(nets, 3)
        kinds = random.choice(((Kind.MAKE,), (Kind.BREAK,), (Kind.MAKE, Kind.BREAK)))
        for kind in kinds:
            ends = (common, make if kind is Kind.MAKE else rest)
            contacts.append(Contact(f"K{n}.A {kind}", f"K{n}", f"K{n}.A", "", kind, ends))
    loads = tuple(_load(random, n, nets) for n in range(random.randint(1, 4)))
    return NetList(f"world {seed}", RAILS, frozenset(), tuple(contacts), (), loads, ())


def _load(random: Random, n: int, nets: list[str]) -> NetLoad:
    plus, minus = random.sample(nets, 2)
    amps = round(10 ** random.uniform(-1.5, 1.2), 3)
    return NetLoad(f"load {n}", plus, minus, Load("resistive", VOLTS, amps))


def simulated(number: int, part: Part, state: Solved) -> Iterator[str]:
    """One state as lines of a SPICE netlist: its nodes end in ``_number``, each current goes through a 0 V source.

    Every net hangs on ground by 1 TΩ, as the simulator takes no loose one.
    """

    def at(net: str) -> str:
        return f"{net}_{number}"

    joins = [(f"C{n}", c.ends) for n, c in enumerate(part.contacts) if c.closed(state.on)]
    ohms = [(name, ends, CONTACT_OHMS) for name, ends in joins]
    ohms += [(f"L{n}", (x.plus, x.minus), 1 / part.siemens[x.name]) for n, x in enumerate(part.loads)]
    for name, (a, b), value in ohms:
        yield f"V{name}_{number} {at(a)} {name}_{number} 0"
        yield f"R{name}_{number} {name}_{number} {at(b)} {value!r}"
    for net, volts in part.held.items():
        yield f"V{net}_{number} {at(net)} 0 {volts!r}"
    for net in {end for _, ends, _ in ohms for end in ends}:
        yield f"R{net}_{number} {at(net)} 0 1e12"
