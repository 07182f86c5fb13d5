"""What to watch on a board: permitted states that short the supply, and loads that run through other loads."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bom.circuit.states import Part, Solution, Solved


@dataclass(frozen=True, slots=True)
class Short:
    """The fewest units that, on together, join a supply to a ground, and the contacts that do."""

    on: tuple[str, ...]
    through: tuple[str, ...]

    @property
    def caution(self) -> str:
        when = f"With {' and '.join(self.on)} on" if self.on else "With every unit off"
        through = " and ".join(self.through)
        return (
            f"{when} the supply is shorted through {through}: state it as [[never]] if the electronics cannot give it."
        )


@dataclass(frozen=True, slots=True)
class SneakPath:
    """A load that contacts alone do not feed: it runs at a share of its amps, with these loads in its way."""

    on: tuple[str, ...]
    load: str
    share: float
    through: tuple[str, ...]


def shorts(solution: Solution) -> tuple[Short, ...]:
    """Each set of contacts that shorts in a permitted state, told once, by the state with the fewest units on."""
    return tuple(short for part in solution.parts for short in _shorts(part))


def _shorts(part: Part) -> Iterator[Short]:
    told: list[set[str]] = []
    for state in part.states.values():
        if state.short:
            through = part.shorted_by(state.on)
            if not any(known <= set(through) for known in told):
                told.append(set(through))
                yield Short(in_order(state.on, part), through)


def sneaks(solution: Solution) -> tuple[SneakPath, ...]:
    """Each load that runs through others, told once for each way there, by its greatest share."""
    found: dict[tuple[str, tuple[str, ...]], SneakPath] = {}
    for part in solution.parts:
        for state in solution.sound(part):
            for sneak in _sneaks(part, state):
                known = found.get((sneak.load, sneak.through))
                if known is None or sneak.share > known.share + 0.005:
                    found[sneak.load, sneak.through] = sneak
    return tuple(found.values())


def _sneaks(part: Part, state: Solved) -> Iterator[SneakPath]:
    for name in state.sneaks:
        more = part.flow(state.on, {**part.siemens, name: 1.5 * part.siemens[name]})
        others = (x.name for x in part.loads if x.name != name and state.ways[x.name].runs)
        through = tuple(o for o in others if abs(more.amps[o] - state.amps[o]) > 0.01 * abs(state.amps[o]))
        amps = next(x.load.amps for x in part.loads if x.name == name)
        yield SneakPath(in_order(state.on, part), name, abs(state.amps[name]) / (amps or 1.0), through)


def in_order(on: frozenset[str], part: Part) -> tuple[str, ...]:
    """The units in the order of the board."""
    return tuple(unit for unit in part.units if unit in on)
