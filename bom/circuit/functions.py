"""What each contact of a position does, as the circuit tells it, in the shape in which a file states it by hand.

Where a file states both, they must agree; where they do not, or where a contact is on used nets and nothing is known
of its load, a finding says so, and no candidate passes there. A position that no load of the circuit reaches is as its
file states it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, replace

from bom.boards.board import Board, ContactAmps, Function, Load, NetLoad, Place, Position
from bom.circuit.duty import TURNS_ON, Served, SolvedDuty, contact_duties
from bom.circuit.net_list import Contact, NetList, net_list, unit_name
from bom.circuit.states import RUNS_FROM, Way, solve
from bom.relays.relay import SupplyKind
from bom.relays.wiring import Kind, Wiring
from bom.values.finding import Finding, Outcome

SOURCE = "the board file"
SAME = 0.002
"""What the contacts' ohms take of a load's amps, at most; so near to a stated figure, it is that figure."""
NO_START = ("resistive", "general")
"""Kinds of load that draw no more at the start than while they run."""


@dataclass(frozen=True, slots=True)
class Told:
    """What the circuit tells of one position: the functions of its contacts, and what it leaves in doubt."""

    functions: tuple[Function, ...]
    doubts: tuple[Finding, ...] = ()


def told_by_circuit(board: Board, ref: str, wirings: Mapping[str, Wiring | None]) -> Told:
    """What the contacts of a position do; as its file states it, where the board states no loads between nets.

    ``wirings`` is by position, for every position of the board, pins being hole names; None where it is not known.
    """
    position = board.position(ref)
    assert position is not None, "asked of a position that the board has"
    if not board.loads:
        return Told(position.functions)
    return _told(position, wirings.get(ref), net_list(board, wirings))


def as_its_circuit_tells(board: Board, wirings: Mapping[str, Wiring | None]) -> Board:
    """The board with the functions of every position as its circuit tells them."""
    told = {p.ref: told_by_circuit(board, p.ref, wirings) for p in board.positions}
    return replace(board, positions=tuple(replace(p, functions=told[p.ref].functions) for p in board.positions))


def unknown_units(board: Board, wirings: Mapping[str, Wiring | None]) -> tuple[str, ...]:
    """Units that a never-state names and the wiring of their position does not have; none where that is not known."""
    named = dict.fromkeys(unit for together in board.never for unit in together)
    return tuple(why for unit in named if (why := _unknown_unit(unit, wirings)))


def _unknown_unit(unit: str, wirings: Mapping[str, Wiring | None]) -> str:
    ref, _, name = unit.rpartition(".")
    wiring = wirings.get(ref)
    if wiring is None or name in wiring.units:
        return ""
    return f"{unit}, and {ref} has {', '.join(unit_name(ref, u) for u in wiring.units) or 'no unit'}"


def with_circuit(place: Place, wirings: Mapping[str, Wiring | None]) -> Place:
    """The place with the functions of its contacts as the board's circuit tells them, and what is in doubt there."""
    told = told_by_circuit(place.board, place.position.ref, wirings)
    return replace(place, position=replace(place.position, functions=told.functions), doubts=told.doubts)


def _told(position: Position, wiring: Wiring | None, circuit: NetList) -> Told:
    """The functions of one position: its makes, its breaks, then those that only the file states."""
    ours = (d for d in contact_duties(circuit) if d.contact.ref == position.ref)
    duties = sorted(ours, key=lambda d: d.contact.kind is Kind.BREAK)
    doubts = list(_unsolved(position, circuit))
    if not any(d.serves or d.brakes for d in duties):
        return Told(position.functions, tuple(doubts))
    by_hand = {d.contact.name: _by_hand(d.contact, position, wiring) for d in duties}
    functions: list[Function] = []
    for duty in duties:
        hand = by_hand[duty.contact.name]
        if duty.serves:
            found = _function(duty, {f.name for f in functions})
            doubts += _contradictions(hand, found) + _starts_unstated(duty, found)
            functions.append(_merged(hand, found) if hand else found)
            doubts += _stall_unstated(duty, functions[-1])
        elif duty.brakes and (hand or _total(x.load.brake_amps for x in duty.brakes) is None):
            functions += [hand] if hand else []
            doubts += [] if hand else [_brake_unstated(duty)]
        elif duty.brakes:
            functions.append(_brake_function(duty, {f.name for f in functions}))
        else:
            doubts += _nothing_there(duty.contact, hand)
            functions += [hand] if hand else []
    rest = [f for f in position.functions if not any(f is hand for hand in by_hand.values())]
    return Told((*functions, *rest), tuple(doubts))


def _unsolved(position: Position, circuit: NetList) -> Iterator[Finding]:
    """What keeps the circuit round this position from being solved."""
    solution = solve(circuit)
    silent = [(part.contacts, part.why) for part in solution.unsolved if part.loads]
    silent += [(part.contacts, _SHORTS) for part in solution.parts if part.loads and not solution.sound(part)]
    for contacts, why in silent:
        if names := [c.name for c in contacts if c.ref == position.ref and c.used]:
            said = f"the circuit of {', '.join(names)} is not solved: {why}"
            yield Finding(f"circuit, {position.ref}", Outcome.UNKNOWN, said, "a circuit that is stated", source=SOURCE)


_SHORTS = "every state that is permitted shorts the supply; correct the nets, or state what is [[never]] on together"


def _by_hand(contact: Contact, position: Position, wiring: Wiring | None) -> Function | None:
    """The function that the file states for this contact, if any."""
    for function in position.functions:
        unit = function.unit or (wiring.units[0] if wiring and wiring.units else "")
        same = unit_name(position.ref, unit) == contact.unit and function.contact is contact.kind
        if same and function.pole in ("", contact.pole):
            return function
    return None


def _nothing_there(contact: Contact, hand: Function | None) -> list[Finding]:
    if hand:
        why = f"{hand.name} is stated for {contact.name}, and in the circuit no load's current goes through it"
        return [_contradiction(hand.name, why, _words(hand.load), "nothing")]
    why = f"{contact.name} joins {' and '.join(contact.ends)}, and no load there is stated: state it as [[load]]"
    return [Finding(f"contact, {contact.name}", Outcome.UNKNOWN, why, "a load that is known", source=SOURCE)]


def _contradictions(hand: Function | None, ours: Function) -> list[Finding]:
    """One finding where the file's own function asks another current, or kind of load, than the circuit."""
    if hand is None:
        return []
    differ = [
        f"{name.replace('_', ' ')} {stated:g} by hand, {found:g} by the circuit"
        for name in ("amps", "stall_amps", "inrush_amps")
        if (stated := getattr(hand.load, name)) and (found := getattr(ours.load, name)) and not _near(stated, found)
    ]
    if hand.load.kind != ours.load.kind:
        differ.append(f"{hand.load.kind} by hand, {ours.load.kind} by the circuit")
    why = f"the function and the loads differ: {'; '.join(differ)}; measure, and correct the one that is wrong"
    return [_contradiction(hand.name, why, _words(ours.load), _words(hand.load))] if differ else []


def _contradiction(name: str, why: str, required: str, offered: str) -> Finding:
    return Finding(f"stated function, {name}", Outcome.UNKNOWN, why, required, offered, source=SOURCE)


def _near(a: float, b: float) -> bool:
    """Whether the lesser is such a share of the greater as makes a load run."""
    return min(a, b) >= RUNS_FROM * max(a, b)


def _words(load: Load) -> str:
    return " ".join(filter(None, (load.kind, "" if load.amps is None else f"{load.amps:g} A")))


def _starts_unstated(duty: SolvedDuty, ours: Function) -> list[Finding]:
    """Several loads on a contact, of which one states its start and another does not: their sum is not known."""
    starting = [s.load for s in duty.serves if s.load.load.kind not in NO_START]
    silent = [x.name for x in starting if x.load.stall_amps is None and x.load.inrush_amps is None]
    if not silent or len(silent) == len(starting):
        return []
    why = f"{' and '.join(silent)} on {duty.contact.name} beside others states no start: measure its inrush or stall"
    return [Finding(f"start, {ours.name}", Outcome.UNKNOWN, why, "every load's start", "not stated", source=SOURCE)]


def _stall_unstated(duty: SolvedDuty, function: Function) -> list[Finding]:
    """A contact that only carries a motor is asked no start, so the stall that it carries has to be stated."""
    motors = [s.load.name for s in duty.serves if s.load.load.kind in TURNS_ON]
    if not motors or function.duty.makes != 0 or function.load.stall_amps is not None:
        return []
    why = f"{duty.contact.name} carries {' and '.join(motors)} while it is held: measure its stall amps"
    return [Finding(f"stall, {function.name}", Outcome.UNKNOWN, why, "a stall current", "not stated", source=SOURCE)]


def _function(duty: SolvedDuty, taken: set[str]) -> Function:
    contact = duty.contact
    doing = " and ".join(dict.fromkeys(name for s in duty.serves for name in _doings(s)))
    load = _load(duty)
    name, solved = _own_name(doing, contact, taken), _solved(duty, load)
    return Function(name, _unit(contact), contact.kind, load, contact.pole, solved=solved)


def _solved(duty: SolvedDuty, load: Load) -> ContactAmps | None:
    """What the contact bears where that is other than what its load asks: it makes or breaks less than it carries, as
    where its unit never moves while it carries."""
    carries, switches = duty.running.carries, duty.running.makes
    if _near_to(switches, carries):
        return None
    if switches <= SAME * carries:
        return ContactAmps(load.amps, 0.0, 0.0, load.stall_amps, load.stall_seconds)
    makes = max((a for a in (duty.starts, duty.stops) if a is not None), default=None)
    breaks = duty.stops if load.stops_at_end else switches
    return ContactAmps(load.amps, makes, breaks, load.stall_amps, load.stall_seconds)


def _near_to(found: float, wanted: float) -> bool:
    return abs(found - wanted) <= SAME * wanted


def _brake_function(duty: SolvedDuty, taken: set[str]) -> Function:
    """A contact that carries nothing but the current of a motor that turns on after it was switched off."""
    contact, motors = duty.contact, duty.brakes
    brake = _total(x.load.brake_amps for x in motors)
    load = replace(_common(tuple(Served(x, frozenset(), 0.0) for x in motors)), amps=brake, brake_amps=brake)
    name = f"braking of {' and '.join(x.name for x in motors)}"
    return Function(_own_name(name, contact, taken), _unit(contact), contact.kind, load, contact.pole)


def _brake_unstated(duty: SolvedDuty) -> Finding:
    names = " and ".join(x.name for x in duty.brakes)
    stalls = [x.load.stall_amps for x in duty.brakes if x.load.stall_amps is not None]
    most = f"; it is no more than the stall's {max(stalls):g} A (common practice, no source)" if stalls else ""
    why = f"{duty.contact.name} closes on {names} while it still turns: measure its brake_amps{most}"
    return Finding(f"braking, {names}", Outcome.UNKNOWN, why, "a brake current", "not stated", source=SOURCE)


def _unit(contact: Contact) -> str:
    return contact.unit.removeprefix(contact.ref).removeprefix(".")


def _own_name(doing: str, contact: Contact, taken: set[str]) -> str:
    """The name alone for the first contact of a position that does this; the contact beside it for any other."""
    return doing if doing not in taken else f"{doing} ({contact.name.removeprefix(contact.ref).removeprefix('.')})"


def _doings(served: Served) -> Iterator[str]:
    """What people call what the load does, for each way that it goes."""
    return (doing(served.load, way) for way in sorted(served.ways, key=list(Way).index))


def doing(load: NetLoad, way: Way) -> str:
    """What people call what a running load does."""
    match way:
        case Way.FORWARD:
            return load.forward or load.name
        case Way.REVERSE:
            return load.reverse or f"{load.name} reversed"
    return f"{load.name} in part"


def _load(duty: SolvedDuty) -> Load:
    """The loads of a contact as one: *mixed* where they are of several kinds, with the amps of each."""
    serves, running = duty.serves, duty.running.carries
    stated = [s.load.load for s in serves]
    shares = _shares(serves, running)
    return replace(
        _common(serves),
        kind=next(iter(shares)) if len(shares) == 1 else "mixed",
        volts=_exact(max(duty.opens_at or 0.0, *(x.volts or 0.0 for x in stated)), [x.volts for x in stated]),
        amps=_exact(running, [x.amps for x in stated]),
        stall_amps=_peak(duty.stalls, [x.stall_amps for x in stated]),
        inrush_amps=_peak(duty.starts, [x.inrush_amps for x in stated]),
        reversing=_reverses(duty),
        brake_amps=_brake(duty),
        common=_common_side(duty),
        mixed=() if len(shares) == 1 else tuple((kind, _rounded(amps)) for kind, amps in shares.items()),
    )


def _common(serves: tuple[Served, ...]) -> Load:
    """What a contact's loads have in common, or the hardest of it; a figure that one of them lacks is not known."""
    loads = [s.load.load for s in serves]
    inductive = [x for x in loads if x.lr_ms is not None or x.kind in ("inductive", "solenoid", "electromagnet")]
    stalling = [x for x in loads if x.stall_amps is not None]
    ac = any(x.supply is SupplyKind.AC for x in loads)
    return replace(
        loads[0],
        stall_seconds=_worst([x.stall_seconds for x in stalling]),
        lr_ms=_worst([x.lr_ms for x in inductive]),
        power_factor=min((x.power_factor for x in loads if x.power_factor is not None), default=None),
        supply=SupplyKind.AC if ac else SupplyKind.DC,
        temp_c=max((x.temp_c for x in loads if x.temp_c is not None), default=None),
        operations_per_day=_all_of(_switchings(serves, lambda x: x.operations_per_day)),
        suppression=_least_quenched([x.suppression for x in loads]),
        life_years=max((x.life_years for x in loads if x.life_years is not None), default=None),
        stops_at_end=any(x.stops_at_end for x in loads),
        pause_ms=_least([x.pause_ms for x in loads]),
        operations_per_minute=_total(_switchings(serves, lambda x: x.operations_per_minute)),
        reversing=False,
    )


def _least_quenched(suppressions: list[str]) -> str:
    """Not stated before none before any that quenches."""
    return next((bare for bare in ("", "none") if bare in suppressions), suppressions[0])


def _worst(figures: list[float | None]) -> float | None:
    """The highest; None where there is none, or where one is not stated."""
    stated = [x for x in figures if x is not None]
    return max(stated) if stated and len(stated) == len(figures) else None


def _least(figures: list[float | None]) -> float | None:
    """The lowest; None where one is not stated."""
    stated = [x for x in figures if x is not None]
    return min(stated) if stated and len(stated) == len(figures) else None


def _switchings(serves: tuple[Served, ...], figure: Callable[[Load], float | None]) -> list[float | None]:
    """How often the contact switches for each pair of nets: loads between the same two are switched together, so they
    count once; those between others may be switched at other times."""
    between: dict[frozenset[str], list[float]] = {}
    for served in serves:
        stated = between.setdefault(frozenset((served.load.plus, served.load.minus)), [])
        if (often := figure(served.load.load)) is not None:
            stated.append(often)
    return [max(stated, default=None) for stated in between.values()]


def _all_of(figures: list[float | None]) -> float | None:
    """The sum; None where one is not stated."""
    return None if None in figures else _total(figures)


def _total(figures: Iterable[float | None]) -> float | None:
    stated = [x for x in figures if x is not None]
    return sum(stated) if stated else None


def _shares(serves: tuple[Served, ...], running: float) -> dict[str, float]:
    """The amps of each kind of load; loads that one current goes through, one after the other, share it out."""
    whole = sum(s.amps for s in serves)
    scale = running / whole if whole > running > 0 and _in_line(serves) else 1.0
    shares: dict[str, float] = {}
    for served in serves:
        own = served.load.load
        for kind, amps in own.mixed or ((own.kind, own.amps or 0.0),):
            shares[kind] = shares.get(kind, 0.0) + scale * amps * served.amps / (own.amps or 1.0)
    return shares


def _in_line(serves: tuple[Served, ...]) -> bool:
    """Whether a load only ever gets a part, so that another is in its way."""
    return all(s.ways == {Way.PARTLY} for s in serves)


def _peak(found: float | None, stated: list[float | None]) -> float | None:
    return None if found is None else _exact(found, stated)


def _exact(found: float, stated: Iterable[float | None]) -> float:
    """The stated figure, or the sum of those stated, that this is but for the contacts' ohms; else to three figures."""
    figures = [x for x in stated if x]
    return next((x for x in (*figures, sum(figures)) if _near_to(found, x)), _rounded(found))


def _rounded(value: float) -> float:
    return float(f"{value:.3g}")


def _reverses(duty: SolvedDuty) -> bool:
    """Whether the contact is the make of a changeover between + and - that turns a load round: asked at the make."""
    both = any(s.turns or s.load.load.reversing for s in duty.serves)
    return both and duty.contact.kind is Kind.MAKE and bool(duty.transfers)


def _common_side(duty: SolvedDuty) -> str:
    """At which pole the contact's common lies, by the way the current goes through it."""
    return "both ways" if len(duty.ways) > 1 else "plus" if 1 in duty.ways else "minus" if duty.ways else ""


def _brake(duty: SolvedDuty) -> float | None:
    """The stated brake current that this break contact closes on."""
    return _total(x.load.brake_amps for x in duty.brakes) if duty.contact.kind is Kind.BREAK else None


def _merged(hand: Function, ours: Function) -> Function:
    """The circuit's load under the name the file gives, with what only the file's own function states."""
    stated = {f.name: getattr(hand.load, f.name) for f in fields(Load) if getattr(ours.load, f.name) in (None, "", ())}
    load = replace(ours.load, **stated, reversing=hand.load.reversing or ours.load.reversing)
    if hand.load.amps is not None and _near(hand.load.amps, ours.load.amps or 0.0):
        load = replace(load, amps=max(hand.load.amps, ours.load.amps or 0.0))
    return replace(ours, name=hand.name, load=load, safety=hand.safety)
