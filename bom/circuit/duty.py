"""What the circuit asks of each contact: the most it carries, makes and breaks, of which loads, at which volts.

A contact makes and breaks where a change of its own unit alone leads from one permitted state to another and neither
shorts the supply; what flows in the state in which it is closed is what it makes and what it breaks.

What stalls, starts or runs at a load is found by solving the same state with the load at its ohms of that moment. A
supply that the board states at its nominal volts is taken at the highest volts that a load on it is stated at, since
amps are stated at those: a load of 14 V on a board of 12 V draws what its file says.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from bom.boards.board import Load, NetLoad
from bom.circuit.net_list import Contact, NetList
from bom.circuit.states import Flow, Part, Solution, Solved, Way, joined, solve

FOLLOWS_FROM = 0.01
"""Share of a load's change that a contact must follow for the load to be one of the contact's."""


@dataclass(frozen=True, slots=True)
class RunningAmps:
    """The most running amps that a contact carries, makes and breaks, at the supplies' usual volts."""

    carries: float
    makes: float
    breaks: float


@dataclass(frozen=True, slots=True)
class Served:
    """A load that a contact carries, the ways it goes meanwhile, and the most of its amps there.

    ``turns``: in the board's states together it goes forward and in reverse.
    """

    load: NetLoad
    ways: frozenset[Way]
    amps: float
    turns: bool = False


@dataclass(frozen=True, slots=True)
class SolvedDuty:
    """All that the circuit asks of one contact, in amps and volts.

    ``running`` counts at the volts that the loads' amps are stated at. ``stalls`` is the most it carries with every
    load at its stall, ``starts`` what it makes with every load at its start, ``stops`` what it breaks with every load
    at its stall; None where no load of it states that. ``brakes`` are the loads whose current after switching off it
    closes on. ``opens_at`` are the volts over it while it is open, ``transfers`` those between the two throws of its
    changeover; None where nothing tells them. ``ways`` is which way the current goes, out of the common (+1) or into
    it (-1).
    """

    contact: Contact
    running: RunningAmps
    serves: tuple[Served, ...]
    stalls: float | None
    starts: float | None
    stops: float | None
    brakes: tuple[NetLoad, ...]
    opens_at: float | None
    transfers: float | None
    ways: frozenset[int]


def running_amps(solution: Solution) -> dict[str, RunningAmps]:
    """By contact, as ``bom board circuit`` gives them; contacts with a pad on no net are left out."""
    return {
        contact.name: _running(contact, part, solution.sound(part))
        for part in solution.parts
        for contact in part.contacts
        if contact.used
    }


def contact_duties(circuit: NetList) -> tuple[SolvedDuty, ...]:
    """The duty of every contact whose pads are both on nets, where its part of the circuit could be solved."""
    return _duties(circuit)


@lru_cache(maxsize=32)
def _duties(circuit: NetList) -> tuple[SolvedDuty, ...]:
    """Kept, because every position of a board asks for the same."""
    raised = _at_stated_volts(solve(circuit))
    return tuple(duty for part in raised.parts for duty in _part_duties(part, raised.sound(part)))


def _running(contact: Contact, part: Part, sound: Iterable[Solved]) -> RunningAmps:
    closed = [s for s in sound if contact.name in s.through]
    changing = [s for s in closed if _changes(contact, s, part)]
    carries, changes_over = (max((abs(s.through[contact.name]) for s in of), default=0.0) for of in (closed, changing))
    return RunningAmps(carries, changes_over, changes_over)


def _changes(contact: Contact, state: Solved, part: Part) -> bool:
    """Whether the contact's unit may move alone from this state: what it leads to is permitted and shorts nothing."""
    other = part.states.get(state.on ^ {contact.unit})
    return other is not None and not other.short


def _at_stated_volts(solution: Solution) -> Solution:
    """Supplies at the board's nominal volts raised to those that their loads' amps are stated at."""
    parts = tuple(_raised(part, solution.net_list.nominal) for part in solution.parts)
    return replace(solution, parts=parts)


def _raised(part: Part, nominal: frozenset[str]) -> Part:
    highest = max((x.load.volts for x in part.loads if x.load.volts), default=0.0)
    held = {net: max(v or 0.0, highest) if net in nominal else v for net, v in part.held.items()}
    return part if held == part.held else replace(part, held=held)


def _part_duties(part: Part, sound: tuple[Solved, ...]) -> Iterator[SolvedDuty]:
    following = {state.on: _followed(part, state) for state in sound}
    stalled = _with_all_at(part, sound, lambda load: load.stall_amps)
    starting = _with_all_at(part, sound, _start)
    braked = _braked(part, sound)
    for contact in filter(lambda c: c.used, part.contacts):
        serves = _serves(contact, part, sound, following)
        stalls = any(s.load.load.stall_amps for s in serves)
        changing = {s.on for s in sound if contact.name in s.through and _changes(contact, s, part)}
        yield SolvedDuty(
            contact,
            _running(contact, part, sound),
            serves,
            _most(contact, stalled.values()) if stalls else None,
            _most(contact, _of(changing, starting)) if any(s.load.load.inrush_amps for s in serves) else None,
            _most(contact, _of(changing, stalled)) if stalls else None,
            tuple(x for x in part.loads if x.name in braked.get(contact.name, ())),
            _highest(_between(s, *contact.ends) for s in sound if contact.name not in s.through),
            _transfers(contact, part, sound),
            frozenset(1 if s.through[contact.name] > 0 else -1 for s in _carrying(contact, sound, following)),
        )


Flows = Mapping[frozenset[str], Flow]
"""What flows, by the units that are on."""


def _of(states: Iterable[frozenset[str]], flows: Flows) -> Iterator[Flow]:
    return (flows[on] for on in states if on in flows)


def _followed(part: Part, state: Solved) -> dict[str, frozenset[str]]:
    """Of each load that runs in the state, the contacts whose current follows when it draws half as much again."""
    siemens = part.siemens
    found: dict[str, frozenset[str]] = {}
    for name, way in state.ways.items():
        if way.runs:
            more = part.flow(state.on, {**siemens, name: 1.5 * siemens[name]})
            change = FOLLOWS_FROM * abs(more.amps[name] - state.amps[name])
            moved = (c for c, amps in more.through.items() if abs(amps - state.through[c]) > change)
            found[name] = frozenset(moved)
    return found


Followed = Mapping[frozenset[str], Mapping[str, frozenset[str]]]


def _serves(contact: Contact, part: Part, sound: tuple[Solved, ...], following: Followed) -> tuple[Served, ...]:
    """Every load that the contact carries in any state, with the most of its amps."""
    served = {load.name: Served(load, frozenset(), 0.0, _turns(load, sound)) for load in part.loads}
    for state in sound:
        for name, contacts in following[state.on].items():
            if contact.name in contacts:
                was, amps = served[name], min(abs(state.amps[name]), abs(state.through[contact.name]))
                served[name] = replace(was, ways=was.ways | {state.ways[name]}, amps=max(was.amps, amps))
    return tuple(s for s in served.values() if s.ways)


def _turns(load: NetLoad, sound: Iterable[Solved]) -> bool:
    return {Way.FORWARD, Way.REVERSE} <= {s.ways[load.name] for s in sound}


def _carrying(contact: Contact, sound: Iterable[Solved], following: Followed) -> Iterator[Solved]:
    """The states in which any load's current goes through the contact."""
    return (s for s in sound if any(contact.name in contacts for contacts in following[s.on].values()))


def _with_all_at(part: Part, sound: Iterable[Solved], amps_of: Callable[[Load], float | None]) -> Flows:
    """The states with each load that states such a current drawing it; none where no load does."""
    stated = {x.name: amps / (x.load.volts or 1.0) for x in part.loads if (amps := amps_of(x.load))}
    return {s.on: part.flow(s.on, {**part.siemens, **stated}) for s in sound} if stated else {}


def _start(load: Load) -> float | None:
    """What a load draws at switching on: its inrush, or its stall as a motor at rest does; the higher."""
    return max((a for a in (load.inrush_amps, load.stall_amps) if a is not None), default=None)


def _most(contact: Contact, states: Iterable[Flow]) -> float:
    return max((abs(s.through.get(contact.name, 0.0)) for s in states), default=0.0)


def _between(state: Solved, a: str, b: str) -> float | None:
    """The volts between two nets, None where one of them is loose."""
    return abs(state.volts[a] - state.volts[b]) if a in state.volts and b in state.volts else None


def _highest(volts: Iterable[float | None]) -> float | None:
    return max((v for v in volts if v is not None), default=None)


def _transfers(contact: Contact, part: Part, sound: Iterable[Solved]) -> float | None:
    """The volts between the throws of the contact's changeover, over which an arc at the transfer may stand."""
    pole = (contact.unit, contact.pole, contact.ends[0])
    for other in part.contacts:
        if (other.unit, other.pole, other.ends[0]) == pole and other.kind is not contact.kind:
            return _highest(_between(s, other.ends[1], contact.ends[1]) for s in sound)
    return None


def _braked(part: Part, sound: tuple[Solved, ...]) -> dict[str, frozenset[str]]:
    """By contact, the motors that it shorts when one unit changes and they no longer run but turn on."""
    found: dict[str, set[str]] = {}
    by_units = {state.on: state for state in sound}
    for load in (x for x in part.loads if x.load.kind in TURNS_ON):
        for state in sound:
            before = (by_units.get(state.on ^ {unit}) for unit in part.units)
            if state.ways[load.name] is Way.HELD and any(b and b.ways[load.name].runs for b in before):
                for name in _shorting(load, part, state.on):
                    found.setdefault(name, set()).add(load.name)
    return {name: frozenset(loads) for name, loads in found.items()}


TURNS_ON = ("motor",)
"""Kinds of load that make a current of their own when they are switched off."""


def _shorting(load: NetLoad, part: Part, on: frozenset[str]) -> Iterator[str]:
    """The closed contacts without which the load's ends would not be joined; nets held alike count as one."""
    closed = [c for c in part.contacts if c.closed(on)]
    rails = [(net, f"= {volts}") for net, volts in part.held.items()]
    for contact in closed:
        left = joined([*rails, *part.bridges, *(c.ends for c in closed if c is not contact)], (load.plus,))
        if load.minus not in left[load.plus]:
            yield contact.name
