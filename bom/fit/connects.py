"""Connects alike: does a relay in its holes join the board's nets as the original does, in every state of the drivers.

A *drive* is the pair of nets that a coil lies between. Every coil on that pair works with it, so the names of units
and of coil ends do not matter. For each combination of drives on and off, and for each drive while it changes over,
the nets are joined through closed contacts and internal bridges (union-find), and the resulting groups must be the
same for both wirings. This single rule finds swapped make and break, bridged twins, a two-pole part in a twin's
place, missing contacts, shorts, and a changeover that makes before it breaks where the original does not. Source: own
reasoning.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations, product

from bom.boards.board import HolePattern
from bom.relays.wiring import Element, Kind, Transfer, Wiring
from bom.values.finding import Finding, Outcome

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


CONNECTS = "connects alike"
MOST_DRIVES = 10  # states double with every drive: more than this is left to a person
# A changeover of which nobody says otherwise breaks before it makes (form C; one that makes first is form D and is sold
# as such). Common practice, no source.


def connects_alike(assignment: Mapping[str, str], candidate: Wiring, expected: Wiring, pattern: HolePattern) -> Finding:
    """One finding for one placement ({pin: hole}); the pins of ``expected`` are hole names of ``pattern``.

    Where it fails, the first state that differs is named, *required* and *offered* being the nets joined in it.
    """
    nets = Nets.of(pattern)
    astray = _astray(candidate, assignment, "pin", "its drawing") or _astray(
        expected, nets.of_hole, "hole", "the board"
    )
    if astray:
        return Finding(CONNECTS, Outcome.UNKNOWN, astray)
    ours, theirs = in_holes(candidate, assignment, nets), in_its_holes(expected, nets)
    if wrong := coils_wrong(ours, theirs, nets):
        return Finding(CONNECTS, Outcome.FAIL, wrong)
    found = _Comparison.of(ours, theirs, nets).finding(frozenset(assignment.values()))
    loose = listed("hole", sorted(_loose(theirs, nets))) if found.outcome is Outcome.PASS else ""
    if not loose:
        return found
    return Finding(CONNECTS, Outcome.UNKNOWN, f"{loose} of the board's wiring on no net: trace it and state its net")


def _loose(wired: WiringInHoles, nets: Nets) -> Iterator[str]:
    """The holes on no net though the board uses what they belong to: a coil of which one end is driven or whose
    contacts are used, a contact's only way on. A throw on no net beside one that is used is left unused on purpose."""
    if not nets.stated:
        return
    for unit in wired.wiring.units:
        ways = _ways(wired, unit)
        in_use = any(nets.counts(end) for common, throws in ways.items() for end in (common, *throws))
        for coil in wired.coils(unit):
            if in_use or any(map(nets.counts, wired.nodes(coil))):
                yield from (end.strip() for end in wired.nodes(coil) if not nets.counts(end))
        for common, throws in ways.items():
            if not any(map(nets.counts, throws)):
                yield from (throw.strip() for throw in throws if nets.counts(common))
            elif not nets.counts(common):
                yield common.strip()


def _ways(wired: WiringInHoles, unit: str) -> dict[str, list[str]]:
    """Each common of the unit with what its contacts lead to, as nodes."""
    ways: dict[str, list[str]] = {}
    for contact in wired.wiring.contacts:
        if contact.unit == unit:
            common, throw = wired.wiring.ends(contact)
            ways.setdefault(wired.node_of[common], []).append(wired.node_of[throw])
    return ways


@dataclass(frozen=True, slots=True)
class _State:
    """The drives that are on, and the one that is changing over, if any."""

    on: tuple[Drive, ...]
    moving: Drive | None = None


@dataclass(frozen=True, slots=True)
class _WiringDifference:
    """The first state in which the two wirings join different nets: in words, and what each joins in it."""

    why: str
    required: str
    offered: str
    moving: bool


@dataclass(frozen=True, slots=True)
class _Comparison:
    """Two wirings over the same nets, and the drives of each with the units that work with them."""

    ours: WiringInHoles
    theirs: WiringInHoles
    nets: Nets
    offered: Mapping[Drive, tuple[str, ...]]
    wanted: Mapping[Drive, tuple[str, ...]]

    @classmethod
    def of(cls, ours: WiringInHoles, theirs: WiringInHoles, nets: Nets) -> _Comparison:
        return cls(ours, theirs, nets, drives(ours, nets), drives(theirs, nets))

    def finding(self, taken: frozenset[str]) -> Finding:
        """Pass, fail, or unknown where all that differs is something nobody stated."""
        if len(self.wanted) > MOST_DRIVES:
            return Finding(
                CONNECTS, Outcome.UNKNOWN, f"{len(self.wanted)} drives: trace by hand, over {MOST_DRIVES} here"
            )
        wrong = self.first_difference(self.nets.compared)
        if wrong is None:
            return Finding(CONNECTS, Outcome.PASS, "joins the same nets in every state of the drivers")
        unsure = self._unsure(wrong, taken)
        outcome = Outcome.UNKNOWN if unsure else Outcome.FAIL
        return Finding(CONNECTS, outcome, unsure or wrong.why, wrong.required, wrong.offered)

    def _unsure(self, wrong: _WiringDifference, taken: frozenset[str]) -> str:
        """What to look up where the difference may be nothing but a fact that nobody stated; else nothing."""
        if wrong.moving and self._unstated_transfer():
            return f"{wrong.why}: look up whether its changeovers make before they break"
        empty = [h for h in self.nets.compared if h not in taken]
        if self.nets.stated or not empty or self.first_difference([n for n in self.nets.compared if n in taken]):
            return ""
        return f"{wrong.why}: see whether the board uses {listed('hole', empty)}, and state the nets"

    def _unstated_transfer(self) -> bool:
        """Nobody states whether the part's changeovers make before they break."""
        return all(self.ours.transfer(c) is None for c in self.ours.wiring.contacts)

    def _transfer_matters(self) -> bool:
        """Whether any changeover of either makes before it breaks; else both open first and do not differ."""
        contacts = (*self.ours.wiring.contacts, *self.theirs.wiring.contacts)
        return any(c.transfer is Transfer.MAKE_FIRST for c in contacts)

    def first_difference(self, compared: Iterable[str]) -> _WiringDifference | None:
        """The first state in which different nets are joined, None where there is none."""
        nodes = tuple(compared)
        for state in self._states():
            want = self._groups(self.theirs, self.wanted, state, nodes)
            have = self._groups(self.ours, self.offered, state, nodes)
            if want != have:
                return self._told(want, have, nodes, state)
        return None

    def _states(self) -> Iterator[_State]:
        """Settled states first, then each drive changing over while the others are on or off."""
        every = list(self.wanted)
        yield from map(_State, _each_on_and_off(every))
        for moving in every if self._transfer_matters() else ():
            others = [drive for drive in every if drive != moving]
            yield from (_State(on, moving) for on in _each_on_and_off(others))

    def _groups(
        self, wired: WiringInHoles, units_of: Mapping[Drive, tuple[str, ...]], state: _State, nodes: tuple[str, ...]
    ) -> Groups:
        moving = frozenset(units_of.get(state.moving, ())) if state.moving else frozenset()
        return groups(wired.joins(_working(units_of, state.on), moving), nodes)

    def _told(self, want: Groups, have: Groups, nodes: Iterable[str], state: _State) -> _WiringDifference:
        why = f"{self._state_words(state)}, {_difference(want, have, nodes, self.nets)}"
        return _WiringDifference(why, _joined_words(want), _joined_words(have), state.moving is not None)

    def _state_words(self, state: _State) -> str:
        working = sorted(_working(self.wanted, state.on))
        if state.moving:
            also = f" and {_units(working)} on" if working else ""
            return f"while {_units(self.wanted[state.moving])} {_changes(self.wanted[state.moving])} over{also}"
        if not working:
            return "after reset" if self.theirs.latching else "at rest" if len(self.wanted) < 2 else _ALL_OFF
        return f"with {_units(working)} {'set' if self.theirs.latching else 'on'}"


_ALL_OFF = "with every unit off"


def _each_on_and_off(every: list[Drive]) -> Iterator[tuple[Drive, ...]]:
    for state in product((False, True), repeat=len(every)):
        yield tuple(drive for drive, works in zip(every, state, strict=True) if works)


def _working(units_of: Mapping[Drive, tuple[str, ...]], on: Iterable[Drive]) -> frozenset[str]:
    return frozenset(unit for drive in on for unit in units_of.get(drive, ()))


def _units(units: Iterable[str]) -> str:
    names = sorted(units)
    return f"unit{'s' if len(names) > 1 else ''} {' and '.join(names)}"


def _changes(units: Iterable[str]) -> str:
    return "changes" if len(list(units)) == 1 else "change"


def _difference(want: Groups, have: Groups, nodes: Iterable[str], nets: Nets) -> str:
    """The first pair of nets joined that should not be, else the first that should be and is not."""
    pairs = list(combinations(sorted(nodes), 2))
    for a, b in pairs:
        if together(have, a, b) and not together(want, a, b):
            return nets.joined(a, b)
    a, b = next((a, b) for a, b in pairs if together(want, a, b) and not together(have, a, b))
    return nets.parted(a, b)


def _joined_words(grouping: Groups) -> str:
    """Which nets are one in this state."""
    joined = sorted("+".join(sorted(group)) for group in grouping if len(group) > 1)
    return f"joined: {', '.join(joined)}" if joined else "nothing joined"


def coils_wrong(ours: WiringInHoles, theirs: WiringInHoles, nets: Nets) -> str:
    """Why the coils don't land where the board drives coils, or nothing."""
    wanted, offered = drives(theirs, nets), drives(ours, nets)
    if len(ours.wiring.coils) < len(theirs.wiring.coils) and len(offered) < len(wanted):
        verb = "has" if nets.of_part else "drives"
        return f"{_coils(ours)} where {nets.asker} {verb} {_coils(theirs)}"
    for drive, units in offered.items():
        if drive not in wanted:
            return _coil_astray(units[0], drive, wanted, nets)
    for drive, units in wanted.items():
        if drive not in offered:
            return f"nothing to pull in unit {units[0]}: no coil between {_pairs(drive, nets)}"
    return ""


def _coil_astray(unit: str, drive: Drive, wanted: Iterable[Drive], nets: Nets) -> str:
    if tuple(reversed(drive)) in wanted:
        return f"the set and reset coils of unit {unit} change places"
    where = f"{nets.of_part} has" if nets.of_part else "the board drives"
    return f"the coil of unit {unit} lands between {_pairs(drive, nets)}, where {where} no such coil"


def _astray(wiring: Wiring, there: Mapping[str, str], thing: str, where: str) -> str:
    """In words: the pins or holes that the wiring names and its drawing has not got."""
    lacking = sorted(wiring.pins - there.keys())
    return f"wiring {wiring.name} names {listed(thing, lacking)}, not in {where}: look the wiring up" if lacking else ""


def _coils(wired: WiringInHoles) -> str:
    count = len(wired.wiring.coils)
    return "no coil" if not count else "one coil" if count == 1 else f"{count} coils"


def _pairs(drive: Drive, nets: Nets) -> str:
    return " and between ".join(" and ".join(map(nets.say, sorted(pair))) for pair in drive)


def listed(thing: str, names: list[str]) -> str:
    """*hole a*, *holes a, b*; nothing without a name."""
    return f"{thing}{'s' if len(names) > 1 else ''} {', '.join(names)}" if names else ""
