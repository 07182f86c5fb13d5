"""Knows how a board's circuit looks in a terminal: what to watch, then what runs in each state, then the contacts."""

from __future__ import annotations

from bom.answers.circuit import AskedOfContact, BoardCircuit, CircuitPart, CircuitState
from bom.paper.circuit_words import in_amps, watch
from bom.paper.terminal.cautions import take_care
from bom.paper.terminal.tables import simple_table

ARROWS = {"forward": "→", "reverse": "←", "partly": "~"}
"""How a load runs, from its plus to its minus or back."""
MOST_STATES = 16
"""Of one part, on one screen; the rest is in the JSON."""


def circuit_table(circuit: BoardCircuit) -> str:
    """What to watch first, the states of every part of the board, the contacts, the cautions."""
    return (
        f"{circuit.board}  {circuit.title}: {circuit.count:,} states of {_counted(len(circuit.parts), 'circuit')}\n"
        + simple_table("Watch", ["", ""], list(watch(circuit)))
        + states_table(circuit)
        + simple_table("Contacts, at most", _HEADS, [(name, *_of(asked)) for name, asked in circuit.duty.items()])
        + take_care(circuit.cautions)
    )


_HEADS = ["contact", "carries", "makes, breaks", "stall", "inrush", "open", "loads"]


def _counted(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def states_table(circuit: BoardCircuit) -> str:
    """A row a state: which units are on, what runs, through which contacts, what rests; circuits that share no unit
    and no net but a supply stand one after the other."""
    rows: list[tuple[str, ...]] = []
    for part in circuit.parts:
        rows += [_APART] if rows else []
        rows += [(", ".join(s.on) or "at rest", *_state_words(s, part)) for s in part.states[:MOST_STATES]]
        if (more := len(part.states) - MOST_STATES) > 0:
            rows.append(("…", f"{more:,} more states: --json lists them", "", ""))
    table = simple_table("In each state of its units", ["on", "runs", "through", "rests"], rows)
    return f"{table}{_KEY}\n\n"


_APART = (" ", " ", " ", " ")
_KEY = "→ forward, ← reversed, ~ in part; held: both ends on one pole or joined; off: an end is loose"


def _state_words(state: CircuitState, part: CircuitPart) -> tuple[str, str, str]:
    if state.short:
        return "SHORT: the fuse goes", " ", " "
    running = [f"{ARROWS[way]} {state.doing[name]}" for name, way in state.loads.items() if way in ARROWS]
    resting = [(name, way) for name, way in state.loads.items() if way not in ARROWS]
    through = [f"{name} {in_amps(flowing)}" for name, flowing in state.carries.items()]
    return ", ".join(running) or "nothing", ", ".join(through) or " ", _rests(resting, part)


def _rests(resting: list[tuple[str, str]], part: CircuitPart) -> str:
    """The loads by what they do; the word alone where all of the circuit's do the same."""
    if not resting:
        return " "
    by_way: dict[str, list[str]] = {}
    for name, way in resting:
        by_way.setdefault(way, []).append(name)
    if len(by_way) == 1 and len(resting) == len(part.loads):
        return next(iter(by_way))
    return "; ".join(f"{way}: {', '.join(names)}" for way, names in by_way.items())


def _of(asked: AskedOfContact) -> tuple[str, ...]:
    figures = (asked.carries, asked.makes, asked.stall_amps, asked.inrush_amps)
    return *map(in_amps, figures), _volts(asked), ", ".join(asked.loads)


def _volts(asked: AskedOfContact) -> str:
    return "" if asked.open_volts is None else f"{asked.open_volts:.3g} V"
