"""Nets: a wiring in its holes, the pairs of nets that drive its coils, and the nets it joins in a state of the drivers.

A *drive* is the pair of nets that a coil lies between. Every coil on that pair works with it, so the names of units and
of coil ends do not matter. Nets are joined through closed contacts and internal bridges (union-find).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from bom.boards.board import HolePattern
from bom.relays.wiring import Element, Kind, Transfer, Wiring

Groups = frozenset[frozenset[str]]
Drive = tuple[frozenset[str], ...]  # one pair of nets per coil of a unit, in the order the wiring lists its coils


@dataclass(frozen=True, slots=True)
class Nets:
    """Which net each hole belongs to. ``stated`` False: no net was given anywhere, so every hole counts as its own.

    ``of_part``: there is no board, and the nets are this part's own pins.
    """

    of_hole: Mapping[str, str]
    stated: bool
    of_part: str = ""

    @classmethod
    def of(cls, pattern: HolePattern) -> Nets:
        if any(h.net for h in pattern.holes):
            return cls({h.name: h.net for h in pattern.holes}, True, pattern.of_part)
        return cls({h.name: h.name for h in pattern.holes}, False)

    def node(self, hole: str) -> str:
        """The net of a hole; a hole that is joined to nothing stands for itself and is never compared."""
        return self.of_hole[hole] or f" {hole}"

    def counts(self, node: str) -> bool:
        return not node.startswith(" ")

    def say(self, node: str) -> str:
        if not self.counts(node):
            return f"hole{node} (no net)"
        if self.of_part:
            return f"pin {node}"
        return f"net {node}" if self.stated else f"hole {node}"

    @property
    def asker(self) -> str:
        """Who asks: the board, or the part whose pins stand for it."""
        return self.of_part or "the board"

    def joined(self, a: str, b: str) -> str:
        if self.of_part:
            return f"pins {a} and {b} of {self.of_part} are joined, which it keeps apart"
        return f"{self.say(a)} joins {b}, which the board keeps apart"

    def parted(self, a: str, b: str) -> str:
        if self.of_part:
            return f"pins {a} and {b} of {self.of_part} are not joined, which it joins"
        return f"{self.say(a)} does not join {b}"

    @property
    def compared(self) -> tuple[str, ...]:
        return tuple(sorted({n for n in self.of_hole.values() if n}))


@dataclass(frozen=True, slots=True)
class WiringInHoles:
    """A wiring in its holes: every element between nodes instead of pins."""

    wiring: Wiring
    node_of: Mapping[str, str]

    def nodes(self, element: Element) -> tuple[str, str]:
        return (self.node_of[element.from_pin], self.node_of[element.to_pin])

    def coils(self, unit: str) -> tuple[Element, ...]:
        return tuple(c for c in self.wiring.coils if c.unit == unit)

    def drive(self, unit: str) -> Drive:
        return tuple(frozenset(self.nodes(c)) for c in self.coils(unit))

    def joins(self, working: frozenset[str], moving: frozenset[str] = frozenset()) -> Iterator[tuple[str, str]]:
        """The pairs of nodes joined while these units work and those are on their way over."""
        for e in self.wiring.elements:
            if e.kind is Kind.BRIDGE or (e.kind is not Kind.COIL and self._closed(e, working, moving)):
                yield self.nodes(e)

    def _closed(self, contact: Element, working: frozenset[str], moving: frozenset[str]) -> bool:
        if contact.unit in moving:
            return self.transfer(contact) is Transfer.MAKE_FIRST
        return (contact.kind is Kind.MAKE) == (contact.unit in working)

    def transfer(self, contact: Element) -> Transfer | None:
        """What the changeover that this contact belongs to does on its way, None where nobody states it."""
        pole = [c for c in self.wiring.contacts if (c.unit, c.pole) == (contact.unit, contact.pole)]
        return next((c.transfer for c in pole if c.transfer and set(c.pins) & set(contact.pins)), None)

    @property
    def latching(self) -> bool:
        """Whether its units stay as they were last driven: each has a coil to set and one to reset."""
        return bool(self.wiring.coils) and all(len(self.coils(c.unit)) == 2 for c in self.wiring.coils)


def in_holes(wiring: Wiring, assignment: Mapping[str, str], nets: Nets) -> WiringInHoles:
    return WiringInHoles(wiring, {pin: nets.node(assignment[pin]) for pin in wiring.pins})


def in_its_holes(expected: Wiring, nets: Nets) -> WiringInHoles:
    return WiringInHoles(expected, {hole: nets.node(hole) for hole in expected.pins})


def drives(wired: WiringInHoles, nets: Nets) -> dict[Drive, tuple[str, ...]]:
    """What the board can switch, each with the units that work with it; a coil with a loose end is never driven."""
    found: dict[Drive, tuple[str, ...]] = {}
    for unit in wired.wiring.units:
        drive = wired.drive(unit)
        if drive and all(nets.counts(n) for pair in drive for n in pair):
            found[drive] = (*found.get(drive, ()), unit)
    return found


def groups(joins: Iterable[tuple[str, str]], nodes: Iterable[str]) -> Groups:
    """The groups that joining pairs makes of the nodes (union-find); nodes not asked about only pass a join on."""
    parent: dict[str, str] = {}

    def root(node: str) -> str:
        while parent.setdefault(node, node) != node:
            node = parent[node]
        return node

    for a, b in joins:
        parent[root(a)] = root(b)
    gathered: dict[str, set[str]] = {}
    for node in nodes:
        gathered.setdefault(root(node), set()).add(node)
    return frozenset(map(frozenset, gathered.values()))


def together(grouping: Groups, a: str, b: str) -> bool:
    return any(a in group and b in group for group in grouping)
