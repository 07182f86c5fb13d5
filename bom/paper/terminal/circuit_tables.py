"""Knows how a board's circuit looks in a terminal: what to watch, then what runs in each state, then the contacts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bom.answers.circuit import AskedOfContact, BoardCircuit, CircuitPart, CircuitState
from bom.paper.terminal.tables import simple_table
from bom.paper.terminal.take_care import take_care

ARROWS = {"forward": "→", "reverse": "←", "partly": "~"}
"""How a load runs, from its plus to its minus or back."""
MOST_STATES = 16
"""Of one part, on one screen; the rest is in the JSON."""


def circuit_table(circuit: BoardCircuit) -> str:
    """What to watch first, the states of every part of the board, the contacts, the cautions."""
    return (
        f"{circuit.board}  {circuit.title}: {circuit.count:,} states of {_counted(len(circuit.parts), 'circuit')}\n"
        + simple_table("Watch", ["", ""], list(_watch(circuit)))
        + _states_table(circuit.parts)
        + simple_table("Contacts, at most", _HEADS, [(name, *_of(asked)) for name, asked in circuit.duty.items()])
        + take_care(circuit.cautions)
    )


_HEADS = ["contact", "carries", "makes, breaks", "stall", "inrush", "open", "loads"]


def _counted(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def _watch(circuit: BoardCircuit) -> Iterator[tuple[str, str]]:
    """Shorts, loads that run through others, what is not solved, the hardest worked contact; a line each."""
    for short in circuit.shorts:
        yield "✗", f"{on_words(short.on)}: the supply is shorted through {' and '.join(short.through)}"
    for sneak in circuit.sneaks:
        through = f" through {' and '.join(sneak.through)}" if sneak.through else ""
        yield "~", f"{on_words(sneak.on)}: {sneak.load} runs at {sneak.share:.0%}{through}"
    for part in circuit.not_solved:
        yield "?", f"{', '.join((*part.contacts, *part.loads))}: not solved, {part.why}"
    for contact in (name for name, asked in circuit.duty.items() if not asked.loads):
        yield "?", f"{contact} is on nets, and no load there is stated"
    if not circuit.shorts and not circuit.not_solved:
        yield "✓", "no permitted state shorts the supply"
    if circuit.duty:
        name, asked = max(circuit.duty.items(), key=lambda item: _peak(item[1]))
        yield "→", f"hardest worked: {name}, {_amps(asked.carries)}{_peak_words(asked)}"


def on_words(on: Sequence[str]) -> str:
    """Which units are on, in words."""
    return f"{' and '.join(on)} on" if on else "at rest"


def _peak(asked: AskedOfContact) -> float:
    return max(asked.carries, asked.stall_amps or 0.0, asked.inrush_amps or 0.0)


def _peak_words(asked: AskedOfContact) -> str:
    if (asked.stall_amps or 0.0) >= (asked.inrush_amps or 0.0) > 0 or asked.stall_amps:
        lasting = f" for {asked.stall_seconds:g} s" if asked.stall_seconds is not None else ""
        return f", {_amps(asked.stall_amps)} at the stall{lasting}"
    return f", {_amps(asked.inrush_amps)} at switching on" if asked.inrush_amps else ""


def _states_table(parts: Sequence[CircuitPart]) -> str:
    """A row a state: which units are on, what runs, through which contacts, what rests; circuits that share no unit
    and no net but a supply stand one after the other."""
    rows: list[tuple[str, ...]] = []
    for part in parts:
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
    through = [f"{name} {_amps(amps)}" for name, amps in state.carries.items()]
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
    amps = (asked.carries, asked.makes, asked.stall_amps, asked.inrush_amps)
    return *map(_amps, amps), _volts(asked), ", ".join(asked.loads)


def _volts(asked: AskedOfContact) -> str:
    return "" if asked.open_volts is None else f"{asked.open_volts:.3g} V"


def _amps(amps: float | None) -> str:
    return "" if amps is None else f"{amps:.3g} A"
