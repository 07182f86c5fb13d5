"""Connects alike: does a relay in its holes join the board's nets as the original does, in every state of the drivers.

A *drive* is a pair of nets a coil lies between; every coil on that pair works with it, so units and coil ends need no
renaming.  For each combination of drives on and off the nets are joined through closed contacts and internal bridges
(union-find), and the resulting groups must be the same for both wirings.  This single rule finds swapped make and
break, bridged twins, a two-pole part in a twin's place, missing contacts and shorts.  Source: own reasoning.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations, product

from bom.boards.board import HolePattern
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.finding import Finding, Outcome

CHECK = "connects alike"
POLARITY = "coil polarity"
ONE_WAY = ("low side", "high side")  # drivers that always leave the same coil end positive

Groups = frozenset[frozenset[str]]
Drive = tuple[frozenset[str], ...]  # one pair of nets per coil of a unit, in the order the wiring lists its coils


@dataclass(frozen=True, slots=True)
class Nets:
    """Which net each hole belongs to. ``stated`` False: no net was given anywhere, so every hole counts as its own."""

    of_hole: Mapping[str, str]
    stated: bool

    @classmethod
    def of(cls, pattern: HolePattern) -> Nets:
        if any(h.net for h in pattern.holes):
            return cls({h.name: h.net for h in pattern.holes}, True)
        return cls({h.name: h.name for h in pattern.holes}, False)

    def node(self, hole: str) -> str:
        """The net of a hole; a hole that is joined to nothing stands for itself and is never compared."""
        return self.of_hole[hole] or f" {hole}"

    def counts(self, node: str) -> bool:
        return not node.startswith(" ")

    def say(self, node: str) -> str:
        if not self.counts(node):
            return f"hole{node} (no net)"
        return f"net {node}" if self.stated else f"hole {node}"

    @property
    def compared(self) -> tuple[str, ...]:
        return tuple(sorted({n for n in self.of_hole.values() if n}))


@dataclass(frozen=True, slots=True)
class Seated:
    """A wiring in its holes: every element between nodes instead of pins."""

    wiring: Wiring
    node_of: Mapping[str, str]

    def nodes(self, element: Element) -> tuple[str, str]:
        return (self.node_of[element.from_pin], self.node_of[element.to_pin])

    def coils(self, unit: str) -> tuple[Element, ...]:
        return tuple(c for c in self.wiring.coils if c.unit == unit)

    def drive(self, unit: str) -> Drive:
        return tuple(frozenset(self.nodes(c)) for c in self.coils(unit))

    def joins(self, working: frozenset[str]) -> Iterator[tuple[str, str]]:
        """The pairs of nodes joined while these units work."""
        for e in self.wiring.elements:
            closed = (e.kind is Kind.MAKE) == (e.unit in working)
            if e.kind is Kind.BRIDGE or (e.kind is not Kind.COIL and closed):
                yield self.nodes(e)


def connects_alike(assignment: Mapping[str, str], candidate: Wiring, expected: Wiring, pattern: HolePattern) -> Finding:
    """One finding for one placement ({pin: hole}); the pins of ``expected`` are hole names of ``pattern``."""
    nets = Nets.of(pattern)
    astray = _astray(candidate, assignment, "pin", "its drawing") or _astray(
        expected, nets.of_hole, "hole", "the board"
    )
    if astray:
        return Finding(CHECK, Outcome.UNKNOWN, astray)
    ours, theirs = seated(candidate, assignment, nets), seated_in_holes(expected, nets)
    if wrong := coils_wrong(ours, theirs, nets):
        return Finding(CHECK, Outcome.FAIL, wrong)
    wrong = contacts_wrong(ours, theirs, nets, nets.compared)
    return _contacts_finding(ours, theirs, nets, wrong, frozenset(assignment.values()))


def _contacts_finding(ours: Seated, theirs: Seated, nets: Nets, wrong: str, taken: frozenset[str]) -> Finding:
    """Pass, fail, or unknown where only holes left empty differ and nobody stated whether the board uses them."""
    if not wrong:
        return Finding(CHECK, Outcome.PASS, "joins the same nets in every state of the drivers")
    empty = [h for h in nets.compared if h not in taken]
    if nets.stated or not empty or contacts_wrong(ours, theirs, nets, [n for n in nets.compared if n in taken]):
        return Finding(CHECK, Outcome.FAIL, wrong)
    return Finding(
        CHECK,
        Outcome.UNKNOWN,
        f"{wrong}: see whether the board uses {_listed('hole', empty)}, and state the nets",
    )


def seated(wiring: Wiring, assignment: Mapping[str, str], nets: Nets) -> Seated:
    return Seated(wiring, {pin: nets.node(assignment[pin]) for pin in wiring.pins})


def seated_in_holes(expected: Wiring, nets: Nets) -> Seated:
    return Seated(expected, {hole: nets.node(hole) for hole in expected.pins})


def drives(seat: Seated, nets: Nets) -> dict[Drive, tuple[str, ...]]:
    """What the board can switch, each with the units that work with it; a coil with a loose end is never driven."""
    found: dict[Drive, tuple[str, ...]] = {}
    for unit in seat.wiring.units:
        drive = seat.drive(unit)
        if drive and all(nets.counts(n) for pair in drive for n in pair):
            found[drive] = (*found.get(drive, ()), unit)
    return found


def coils_wrong(ours: Seated, theirs: Seated, nets: Nets) -> str:
    """Why the coils don't land where the board drives coils, or nothing."""
    wanted, offered = drives(theirs, nets), drives(ours, nets)
    if len(ours.wiring.coils) < len(theirs.wiring.coils) and len(offered) < len(wanted):
        return f"{_coils(ours)} where the board drives {_coils(theirs)}"
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
    return f"the coil of unit {unit} lands between {_pairs(drive, nets)}, where the board drives no such coil"


def contacts_wrong(ours: Seated, theirs: Seated, nets: Nets, compared: Iterable[str]) -> str:
    """The first state in which different nets are joined, in words, or nothing."""
    wanted, offered, nodes = drives(theirs, nets), drives(ours, nets), tuple(compared)
    for state in product((False, True), repeat=len(wanted)):
        on = [drive for drive, works in zip(wanted, state, strict=True) if works]
        want = groups(theirs.joins(_working(wanted, on)), nodes)
        have = groups(ours.joins(_working(offered, on)), nodes)
        if want != have:
            return _difference(want, have, nodes, _state_words(_working(wanted, on), len(wanted)), nets)
    return ""


def _working(units_of: Mapping[Drive, tuple[str, ...]], on: Iterable[Drive]) -> frozenset[str]:
    return frozenset(unit for drive in on for unit in units_of.get(drive, ()))


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


def _difference(want: Groups, have: Groups, nodes: Iterable[str], state: str, nets: Nets) -> str:
    """The first pair of nets joined that should not be, else the first that should be and is not."""
    pairs = list(combinations(sorted(nodes), 2))
    for a, b in pairs:
        if _together(have, a, b) and not _together(want, a, b):
            return f"{state}, {nets.say(a)} joins {nets.say(b)}, which the board keeps apart"
    a, b = next((a, b) for a, b in pairs if _together(want, a, b) and not _together(have, a, b))
    return f"{state}, {nets.say(a)} does not join {nets.say(b)}"


def _together(grouping: Groups, a: str, b: str) -> bool:
    return any(a in group and b in group for group in grouping)


def _state_words(working: frozenset[str], drives_there: int) -> str:
    if not working:
        return "at rest" if drives_there < 2 else "with every unit off"
    units = sorted(working)
    return f"with unit {units[0]} on" if len(units) == 1 else f"with units {' and '.join(units)} on"


def coil_polarity(
    assignment: Mapping[str, str],
    candidate: Wiring,
    expected: Wiring,
    pattern: HolePattern,
    driver_polarity: str = "",
) -> Finding | None:
    """For coils with a + end: does it land on the board's +. None where no coil of the candidate is polarised.

    The board's + is the expected coil's ``from_pin`` where that coil is polarised, or where the driver only works one
    way (low side: supply on +, the - end pulled low; high side: + fed, - on ground). Otherwise it is not known.
    """
    nets = Nets.of(pattern)
    if not any(c.polarised for c in candidate.coils) or _missing(candidate, assignment, expected, nets):
        return None
    ours, theirs = seated(candidate, assignment, nets), seated_in_holes(expected, nets)
    answers = [_polarity_of(c, ours, theirs, nets, driver_polarity) for c in candidate.coils if c.polarised]
    order = (Outcome.FAIL, Outcome.UNKNOWN, Outcome.PASS)
    return min(answers, key=lambda f: order.index(f.outcome))


def _polarity_of(coil: Element, ours: Seated, theirs: Seated, nets: Nets, driver_polarity: str) -> Finding:
    plus, minus = ours.nodes(coil)
    facing = [c for c in theirs.wiring.coils if frozenset(theirs.nodes(c)) == {plus, minus}]
    known = [c for c in facing if c.polarised or driver_polarity in ONE_WAY]
    if not known:
        ends = f"{nets.say(plus)} and {nets.say(minus)}"
        return Finding(POLARITY, Outcome.UNKNOWN, f"measure which of {ends} is positive while the coil is on")
    if any(theirs.nodes(c)[0] == plus for c in known):
        return Finding(POLARITY, Outcome.PASS, f"the + end of the coil of unit {coil.unit} lands on {nets.say(plus)}")
    return Finding(POLARITY, Outcome.FAIL, _reversed_words(coil, nets.say(plus), driver_polarity))


def _reversed_words(coil: Element, where: str, driver_polarity: str) -> str:
    switched = ", which is switched low" if driver_polarity == "low side" else ", the board's - end"
    return f"the + end of the coil of unit {coil.unit} lands on {where}{switched}"


def _missing(candidate: Wiring, assignment: Mapping[str, str], expected: Wiring, nets: Nets) -> bool:
    return bool(candidate.pins - assignment.keys() or expected.pins - nets.of_hole.keys())


def _astray(wiring: Wiring, there: Mapping[str, str], thing: str, where: str) -> str:
    """In words: what the wiring names and its drawing hasn't got."""
    lacking = sorted(wiring.pins - there.keys())
    return (
        f"wiring {wiring.name} names {_listed(thing, lacking)}, not in {where}: look the wiring up" if lacking else ""
    )


def _listed(thing: str, names: list[str]) -> str:
    return f"{thing}{'s' if len(names) > 1 else ''} {', '.join(names)}"


def _coils(seat: Seated) -> str:
    count = len(seat.wiring.coils)
    return "no coil" if not count else "one coil" if count == 1 else f"{count} coils"


def _pairs(drive: Drive, nets: Nets) -> str:
    return " and between ".join(" and ".join(map(nets.say, sorted(pair))) for pair in drive)
