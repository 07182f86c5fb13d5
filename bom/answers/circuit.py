"""What the job of a board's circuit found: every state, what each contact is asked, and what to watch."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CircuitState:
    """The board with these units on: what each load does, and the amps of every contact that carries any.

    ``doing`` is what people call what runs, by load.
    """

    on: tuple[str, ...]
    short: bool
    loads: Mapping[str, str]
    carries: Mapping[str, float]
    doing: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class AskedOfContact:
    """Running amps that a contact carries, makes and breaks at most; its loads, at their stall and their inrush too.

    ``open_volts`` stand over it while it is open, ``transfer_volts`` between the throws of its changeover. ``current``
    is *out of the common*, *into the common*, *both ways* or empty; None = no load of it states that.
    """

    carries: float
    makes: float
    breaks: float
    loads: tuple[str, ...]
    stall_amps: float | None
    stall_seconds: float | None
    inrush_amps: float | None
    open_volts: float | None
    transfer_volts: float | None
    current: str


@dataclass(frozen=True, slots=True)
class ShortState:
    """Units that, on together, join a supply to a ground through these contacts."""

    on: tuple[str, ...]
    through: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sneak:
    """A load that runs through other loads while these units are on, at a share of its amps."""

    on: tuple[str, ...]
    load: str
    share: float
    through: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NotSolved:
    """Contacts and loads of which too little is stated, and why."""

    contacts: tuple[str, ...]
    loads: tuple[str, ...]
    why: str


@dataclass(frozen=True, slots=True)
class CircuitPart:
    """A part of the board that is solved by itself: its units, loads and states, which combine with those of others."""

    units: tuple[str, ...]
    loads: tuple[str, ...]
    states: tuple[CircuitState, ...]


@dataclass(frozen=True, slots=True)
class BoardCircuit:
    """A board's circuit. ``states`` are those of the whole board, or part by part where they are too many to list."""

    board: str
    title: str
    states: tuple[CircuitState, ...]
    whole: bool
    count: int
    duty: Mapping[str, AskedOfContact]
    shorts: tuple[ShortState, ...]
    sneaks: tuple[Sneak, ...]
    not_solved: tuple[NotSolved, ...]
    parts: tuple[CircuitPart, ...]
    cautions: tuple[str, ...]
