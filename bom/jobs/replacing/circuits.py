"""A board's circuit solved: every state as a table and as a drawing, what each contact is asked, what to watch."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import floor, log10
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.circuit import (
    AskedOfContact,
    BoardCircuit,
    CircuitPart,
    CircuitState,
    NotSolved,
    ShortState,
    Sneak,
)
from bom.boards.board import Board
from bom.circuit.duty import RunningAmps, SolvedDuty, contact_duties, running_amps
from bom.circuit.functions import as_its_circuit_tells, doing
from bom.circuit.net_list import NetList, net_list
from bom.circuit.states import MOST_STATES, Part, Solution, Solved, solve
from bom.circuit.watch import shorts, sneaks
from bom.duty.cautions import one_line
from bom.jobs.replacing.boards import board_named, catalogue_of, cautions_of
from bom.paper.circuit_words import watch
from bom.paper.pictures.circuit_picture import circuit_drawing
from bom.paper.writing import write_text
from bom.relays.catalogue import Catalogue
from bom.shop.places import wirings_at
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session

DIGITS = 4
"""Of an amp's figures in an answer; a board's file states two or three."""


def board_circuit(session: Session, name: str) -> BoardCircuit:
    """The board's circuit in every permitted state. Refuses a board whose file states no loads between nets."""
    board = board_named(session, name)
    catalogue = catalogue_of(session, board)
    told = as_its_circuit_tells(board, wirings_at(catalogue, board))
    return circuit_answer(board.title, _circuit(catalogue, board), cautions_of(catalogue, told))


def circuit_answer(title: str, circuit: NetList, cautions: Sequence[str] = ()) -> BoardCircuit:
    """All that is told of a circuit; what shorts its supply stands before the other cautions."""
    solution = solve(circuit)
    found = shorts(solution)
    return BoardCircuit(
        board=circuit.board,
        title=title,
        states=tuple(_states(solution)),
        whole=solution.count <= MOST_STATES,
        count=solution.count,
        duty=_duty(circuit, solution),
        shorts=tuple(ShortState(s.on, s.through) for s in found),
        sneaks=tuple(Sneak(s.on, s.load, _figure(s.share), s.through) for s in sneaks(solution)),
        not_solved=tuple(_not_solved(circuit, solution)),
        parts=tuple(_part(part, solution) for part in solution.parts if part.loads),
        cautions=(*(s.caution for s in found), *cautions),
    )


def draw_circuit(session: Session, answer: BoardCircuit, file: Path) -> Path:
    """Draw the states of a board that was solved, as an SVG, into the file; its path."""
    board = board_named(session, answer.board)
    solution = solve(_circuit(catalogue_of(session, board), board))
    title = f"{answer.board}  {answer.title}".strip()
    said = [f"{words[:1].upper()}{words[1:]}." for sign, words in watch(answer) if sign != "→"]
    write_text(file, circuit_drawing(title, solution, said, [one_line(answer.cautions)]))
    return file


def _circuit(catalogue: Catalogue, board: Board) -> NetList:
    if not board.loads:
        raise Refused(f"board {board.name} states no [[load]] between nets: bom explain board.toml says how")
    return net_list(board, wirings_at(catalogue, board))


def _states(solution: Solution) -> Iterable[CircuitState]:
    """Those of the whole board; part by part, the rest of the board at rest, where they are too many."""
    if solution.count <= MOST_STATES:
        return (_state(parts, solution) for parts in solution.states())
    return (_state((s,), solution) for part in solution.parts for s in part.states.values())


def _state(parts: Iterable[Solved], solution: Solution) -> CircuitState:
    together = tuple(parts)
    loads = {load.name: load for load in solution.net_list.loads}
    on = frozenset(unit for s in together for unit in s.on)
    return CircuitState(
        tuple(unit for unit in solution.net_list.units if unit in on),
        any(s.short for s in together),
        {name: way.value for s in together for name, way in s.ways.items()},
        {name: _figure(abs(amps)) for s in together for name, amps in _flowing(s, solution)},
        {name: doing(loads[name], way) for s in together for name, way in s.ways.items() if way.runs},
    )


def _flowing(state: Solved, solution: Solution) -> Iterable[tuple[str, float]]:
    return ((name, amps) for name, amps in state.through.items() if abs(amps) > solution.least_amps)


def _figure(value: float) -> float:
    """To so many digits as a file's own figures deserve."""
    return round(value, DIGITS - 1 - floor(log10(abs(value)))) if value else 0.0


def _duty(circuit: NetList, solution: Solution) -> Mapping[str, AskedOfContact]:
    asked = {duty.contact.name: duty for duty in contact_duties(circuit)}
    return {name: _asked(asked[name], running) for name, running in running_amps(solution).items()}


def _asked(duty: SolvedDuty, running: RunningAmps) -> AskedOfContact:
    stalling = [s.load.load for s in duty.serves if s.load.load.stall_amps is not None]
    return AskedOfContact(
        _figure(running.carries),
        _figure(running.makes),
        _figure(running.breaks),
        tuple(s.load.name for s in duty.serves),
        _maybe(duty.stalls),
        max((x.stall_seconds for x in stalling if x.stall_seconds is not None), default=None),
        _maybe(duty.starts),
        _maybe(duty.opens_at),
        _maybe(duty.transfers),
        _CURRENTS[duty.ways],
    )


_CURRENTS = {
    frozenset[int](): "",
    frozenset((1,)): "out of the common",
    frozenset((-1,)): "into the common",
    frozenset((1, -1)): "both ways",
}


def _maybe(value: float | None) -> float | None:
    return None if value is None else _figure(value)


def _not_solved(circuit: NetList, solution: Solution) -> Iterator[NotSolved]:
    """Parts that too little is stated of, and positions whose contacts are not known."""
    for part in solution.unsolved:
        if part.loads or any(c.used for c in part.contacts):
            names = tuple(c.name for c in part.contacts if c.used)
            yield NotSolved(names, tuple(x.name for x in part.loads), part.why)
    yield from (NotSolved((unread.ref,), (), unread.why) for unread in circuit.unread)


def _part(part: Part, solution: Solution) -> CircuitPart:
    states = tuple(_state((s,), solution) for s in part.states.values())
    return CircuitPart(part.units, tuple(x.name for x in part.loads), states)
