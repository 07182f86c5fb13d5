"""Every state of the units, solved: which loads run and which way, what each contact carries, what shorts the supply.

A closed contact counts as 0.1 mΩ: far below any load that a board switches, so that the amps are the loads' own, and
above nothing, so that contacts side by side share a current. (A sound power contact has some milliohms; common
practice, no source.) A load counts as its volts over its amps.

Parts of the board that share no net but supplies and grounds, and no unit, are solved each by itself: twelve units in
six pairs are six times four states and not four thousand.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property
from itertools import combinations, product
from math import prod
from typing import TypeVar

from bom.boards.board import NetLoad
from bom.circuit.net_list import Contact, Join, NetList
from bom.circuit.nodal import potentials

N = TypeVar("N", bound=Hashable)

CONTACT_OHMS = 1e-4
RUNS_FROM, PARTLY_FROM = 0.8, 0.05
"""Shares of a load's amps from which it runs, and from which it runs partly."""
MOST_STATES = 4_096
"""States of one part of a board, twelve units free to do anything: so many are solved in about a second."""


class Way(StrEnum):
    """What a load does in a state. *held*: both its ends are on a supply or ground, or joined; *off*: one is loose."""

    FORWARD = "forward"
    REVERSE = "reverse"
    PARTLY = "partly"
    HELD = "held"
    OFF = "off"

    @property
    def runs(self) -> bool:
        return self in (Way.FORWARD, Way.REVERSE, Way.PARTLY)


@dataclass(frozen=True, slots=True)
class Flow:
    """Volts of nets, amps of loads (plus to minus) and of closed contacts (common out); a loose net has no volts."""

    volts: Mapping[str, float]
    amps: Mapping[str, float]
    through: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Solved(Flow):
    """One state of one part of the circuit, with these units ``on``; ``fed`` are the loads of which contacts alone
    join both ends to supplies or grounds.

    In a *short* state nothing more is told: the fuse goes, so every load is without current.
    """

    on: frozenset[str]
    short: bool
    ways: Mapping[str, Way]
    fed: frozenset[str] = frozenset()

    @property
    def sneaks(self) -> tuple[str, ...]:
        """The loads that run though contacts alone do not feed them: through other loads."""
        return tuple(name for name, way in self.ways.items() if way.runs and name not in self.fed)


@dataclass(frozen=True)
class Part:
    """What is solved by itself: elements that share nets or units, and ``held`` as in the net list."""

    held: Mapping[str, float | None]
    contacts: tuple[Contact, ...]
    bridges: tuple[Join, ...]
    loads: tuple[NetLoad, ...]
    never: tuple[frozenset[str], ...]

    @cached_property
    def units(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(c.unit for c in self.contacts))

    @cached_property
    def permitted(self) -> tuple[frozenset[str], ...]:
        """Every set of units on that the electronics may give, fewest first; not all of them beyond the most."""
        every = [frozenset[str]()]
        for unit in self.units:
            more = [on | {unit} for on in every]
            every += [on for on in more if not any(never <= on for never in self.never)]
            if len(every) > MOST_STATES:
                break
        return tuple(sorted(every, key=len))

    @cached_property
    def states(self) -> Mapping[frozenset[str], Solved]:
        """Every permitted state with the loads' running amps."""
        return {on: self._solve(on) for on in self.permitted}

    @cached_property
    def siemens(self) -> Mapping[str, float]:
        """What each load conducts while it runs."""
        return {load.name: _siemens(load) for load in self.loads}

    def _solve(self, on: frozenset[str]) -> Solved:
        islands = self._islands(on)
        fed = frozenset(x.name for x in self.loads if _on_held(x, islands, self.held))
        fixed = fed | {x.name for x in self.loads if x.minus in _island(x.plus, islands)}
        short = self._joins_rails(islands)
        flow = Flow({}, {x.name: 0.0 for x in self.loads}, {}) if short else self.flow(on, self.siemens)
        ways = {x.name: _way(flow.amps[x.name], x, x.name in fixed) for x in self.loads}
        return Solved(flow.volts, flow.amps, flow.through, on, short, ways, fed)

    def flow(self, on: frozenset[str], siemens: Mapping[str, float]) -> Flow:
        """What flows with these units on, in a state that shorts nothing, each load conducting so many siemens."""
        closed = [c for c in self.contacts if c.closed(on)]
        held = {net: volts for net, volts in self.held.items() if volts is not None}
        joins = [(a, b, 1 / CONTACT_OHMS) for a, b in (*self.bridges, *(c.ends for c in closed))]
        volts = potentials(held, [*joins, *((x.plus, x.minus, siemens[x.name]) for x in self.loads)])

        def between(a: str, b: str) -> float:
            return volts[a] - volts[b] if a in volts and b in volts else 0.0

        amps = {x.name: between(x.plus, x.minus) * siemens[x.name] for x in self.loads}
        return Flow(volts, amps, {c.name: between(*c.ends) / CONTACT_OHMS for c in closed})

    def dead(self, state: Solved) -> Solved:
        """This state when the fuse has gone, by a short in another part of the board."""
        islands = self._islands(state.on)
        joined_too = {x.name for x in self.loads if x.minus in _island(x.plus, islands)}
        ways = {x.name: Way.HELD if x.name in state.fed | joined_too else Way.OFF for x in self.loads}
        return Solved({}, dict.fromkeys(ways, 0.0), {}, state.on, True, ways, state.fed)

    def _islands(self, on: frozenset[str]) -> dict[str, frozenset[str]]:
        """The nets that bridges and closed contacts make one."""
        return joined([*self.bridges, *(c.ends for c in self.contacts if c.closed(on))], self.held)

    def _joins_rails(self, islands: Mapping[str, frozenset[str]]) -> bool:
        """Whether nets that are held at different volts are one."""
        return any(len({self.held[net] for net in island & self.held.keys()}) > 1 for island in set(islands.values()))

    def shorted_by(self, on: frozenset[str]) -> tuple[str, ...]:
        """The closed contacts of which each alone would end the short by opening; all that it may run through where
        no single one would."""
        guilty = [i for i in set(self._islands(on).values()) if len({self.held[n] for n in i & self.held.keys()}) > 1]
        closed = [c for c in self.contacts if c.closed(on) and any(set(c.ends) <= island for island in guilty)]
        decisive = [c for c in closed if not self._shorts_without(c, on)]
        return tuple(c.name for c in decisive or closed)

    def _shorts_without(self, contact: Contact, on: frozenset[str]) -> bool:
        """Whether the state shorts all the same with this contact open."""
        left = replace(self, contacts=tuple(c for c in self.contacts if c is not contact))
        return left._joins_rails(left._islands(on))


def joined(joins: Iterable[tuple[N, N]], nodes: Iterable[N] = ()) -> dict[N, frozenset[N]]:
    """Each node with all that these joins make one with it.

    >>> sorted(joined([("M", "VB"), ("VB", "EN")])["M"])
    ['EN', 'M', 'VB']
    """
    islands: dict[N, set[N]] = {node: {node} for node in nodes}
    for a, b in joins:
        one, other = (islands.setdefault(node, {node}) for node in (a, b))
        if one is not other:
            one |= other
            islands |= dict.fromkeys(other, one)
    frozen = {id(island): frozenset(island) for island in islands.values()}
    return {node: frozen[id(island)] for node, island in islands.items()}


def _siemens(load: NetLoad) -> float:
    assert load.load.amps and load.load.volts, "asked before they were known to be stated"
    return load.load.amps / load.load.volts


def _island(net: str, islands: Mapping[str, frozenset[str]]) -> frozenset[str]:
    return islands.get(net, frozenset((net,)))


def _on_held(load: NetLoad, islands: Mapping[str, frozenset[str]], held: Mapping[str, float | None]) -> bool:
    """Whether contacts alone join both its ends to supplies or grounds."""
    return all(_island(net, islands) & held.keys() for net in (load.plus, load.minus))


def _way(amps: float, load: NetLoad, fixed: bool) -> Way:
    share = abs(amps) / (load.load.amps or 1.0)
    if share >= RUNS_FROM:
        return Way.FORWARD if amps > 0 else Way.REVERSE
    if share >= PARTLY_FROM:
        return Way.PARTLY
    return Way.HELD if fixed else Way.OFF


@dataclass(frozen=True, slots=True)
class Unsolved:
    """A part of the circuit that cannot be solved, and why: what is to be stated first."""

    contacts: tuple[Contact, ...]
    loads: tuple[NetLoad, ...]
    why: str


@dataclass(frozen=True)
class Solution:
    """A board's circuit, its parts solved; their states combine freely."""

    net_list: NetList
    parts: tuple[Part, ...]
    unsolved: tuple[Unsolved, ...]

    @property
    def count(self) -> int:
        """How many states the whole board has."""
        return prod(len(part.permitted) for part in self.parts)

    @cached_property
    def least_amps(self) -> float:
        """What a contact carries at least to be named: 1 % of the smallest load."""
        return 0.01 * min((x.load.amps for p in self.parts for x in p.loads if x.load.amps), default=0.0)

    def states(self) -> Iterator[tuple[Solved, ...]]:
        """Every state of the whole board, the state of each part in turn; those with few units on come first.

        Where one part shorts the supply, every other part is dead too.
        """
        every = product(*([(part, state) for state in part.states.values()] for part in self.parts))
        order = {unit: n for n, unit in enumerate(self.net_list.units)}
        return iter(sorted(map(_together, every), key=lambda parts: _few_first(parts, order)))

    def sound(self, part: Part) -> tuple[Solved, ...]:
        """The states of this part that short nothing; none where another part shorts whatever it does."""
        if any(all(s.short for s in p.states.values()) for p in self.parts if p is not part):
            return ()
        return tuple(s for s in part.states.values() if not s.short)


def _together(parts: Sequence[tuple[Part, Solved]]) -> tuple[Solved, ...]:
    if any(state.short for _, state in parts):
        return tuple(state if state.short else part.dead(state) for part, state in parts)
    return tuple(state for _, state in parts)


def _few_first(parts: Sequence[Solved], order: Mapping[str, int]) -> tuple[int, list[int]]:
    on = sorted(order[unit] for part in parts for unit in part.on)
    return len(on), on


def solve(circuit: NetList) -> Solution:
    """The circuit taken apart and solved; a part of which too little is stated is told with the reason."""
    parts, unsolved = [], []
    for part in _parts(circuit):
        if why := _why_not(part, circuit):
            unsolved.append(Unsolved(part.contacts, part.loads, why))
        else:
            parts.append(part)
    return Solution(circuit, tuple(parts), tuple(unsolved))


def _parts(circuit: NetList) -> Iterator[Part]:
    """Elements that share a net that nothing holds, a unit, or a state that never is, belong together."""
    ties: list[tuple[_Tied, _Tied]] = []
    elements, held = tuple(_elements(circuit)), circuit.held
    for element, ends, unit in elements:
        ties += [(element, ("net", net)) for net in ends if net not in held]
        ties += [(element, ("unit", unit))] if unit else []
    ties += [(("unit", a), ("unit", b)) for never in circuit.never for a, b in combinations(sorted(never), 2)]
    islands = joined(ties, [element for element, _, _ in elements])
    for island in dict.fromkeys(islands[element] for element, _, _ in elements):
        nets = {net for element, ends, _ in elements if element in island for net in ends}
        yield Part(
            {net: volts for net, volts in held.items() if net in nets},
            tuple(c for c in circuit.contacts if ("contact", c.name) in island),
            tuple(b for n, b in enumerate(circuit.bridges) if ("bridge", f"{n}") in island),
            tuple(x for x in circuit.loads if ("load", x.name) in island),
            tuple(never for never in circuit.never if any(("unit", unit) in island for unit in never)),
        )


_Tied = tuple[str, str]


def _elements(circuit: NetList) -> Iterator[tuple[_Tied, Join, str]]:
    """Each element of the circuit, its ends, and the unit that moves it, if any."""
    yield from ((("contact", c.name), c.ends, c.unit) for c in circuit.contacts)
    yield from ((("bridge", f"{n}"), ends, "") for n, ends in enumerate(circuit.bridges))
    yield from ((("load", x.name), (x.plus, x.minus), "") for x in circuit.loads)


def _why_not(part: Part, circuit: NetList) -> str:
    """What keeps a part of the circuit from being solved, or nothing."""
    if silent := [x.name for x in part.loads if not (x.load.amps and x.load.volts)]:
        return f"volts or amps not stated: {', '.join(silent)}; measure them"
    if silent := [net for net, volts in part.held.items() if volts is None]:
        return f"the volts of {', '.join(silent)} are not stated, and the board has no nominal ones"
    free = {n for c in part.contacts for n in c.ends} | {n for x in part.loads for n in (x.plus, x.minus)}
    for unread in circuit.unread:
        if touched := sorted((free - circuit.held.keys()) & unread.nets):
            return f"{unread.ref} is on net {touched[0]} too, and {unread.why}"
    if len(part.permitted) > MOST_STATES:
        units = f"{len(part.units)} units act on one circuit and may give over {MOST_STATES} states"
        return f"{units}: state what is [[never]] on together"
    return ""
