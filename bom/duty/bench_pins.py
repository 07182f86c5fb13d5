"""What a meter says of an unmarked relay's pins: which are joined at rest, and which two the coil lies between.

The pins are numbered 1, 2, … in the order in which their places were measured. Every way in which those places lie over
a relay's drawing is tried, turned and, where nobody said from which side they were looked at, seen from the other side
too; the wiring must answer alike in one of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from bom.relays.footprint import Footprint, View
from bom.relays.relay import CoilSystem, Design
from bom.relays.wiring import Kind, Wiring

Numbered = Mapping[int, str]  # the name that each numbered pin has in a drawing
Pair = tuple[int, int]
Grid = tuple[tuple[float, float], ...]

SLACK_MM = 0.5
"""How far a pin measured with a caliper may be off its drawing; common practice, no source."""


def ways_over(grid: Grid, footprint: Footprint, side: View | None) -> Iterator[Numbered]:
    """Every way in which the measured places lie over the drawing's pins, one pin each; ``side`` None = not known."""
    if len(grid) != len(footprint.pins) or len(grid) < 2:
        return
    drawn = {p.name: complex(p.x_mm, p.y_mm) for p in footprint.from_component_side().pins}
    seen = [complex(x, y) for x, y in grid]
    found = set()
    for mirrored in _readings(side, footprint.view):
        places = [complex(-z.real, z.imag) if mirrored else z for z in seen]
        for way in _turned_over(places, drawn):
            if (key := tuple(sorted(way.items()))) not in found:
                found.add(key)
                yield way


def _readings(side: View | None, view: View) -> tuple[bool, ...]:
    """Whether the places are to be mirrored: one of the two where both sides are known, else both."""
    if side is None or View.UNKNOWN in (side, view):
        return (False, True)
    return (side is View.SOLDER,)


def _turned_over(places: list[complex], drawn: Mapping[str, complex]) -> Iterator[dict[int, str]]:
    """The two places farthest apart fix the turn: each pair of pins as far apart is tried."""
    numbers = range(len(places))
    a, b = max(((i, k) for i in numbers for k in numbers if i != k), key=lambda ik: abs(places[ik[1]] - places[ik[0]]))
    span = places[b] - places[a]
    for p in drawn.values():
        for q in drawn.values():
            if q != p and abs(abs(q - p) - abs(span)) <= 2 * SLACK_MM:
                turn = (q - p) / abs(q - p) / (span / abs(span))
                middle = (p + q) / 2 - turn * (places[a] + places[b]) / 2
                if (way := _nearest([turn * z + middle for z in places], drawn)) is not None:
                    yield way


def _nearest(places: Iterable[complex], drawn: Mapping[str, complex]) -> dict[int, str] | None:
    """The nearest pin to each place, all within the slack and each pin once; None where there is no such."""
    named = {n: min(drawn, key=lambda name: abs(drawn[name] - z)) for n, z in enumerate(places, 1)}
    placed = dict(enumerate(places, 1))
    near = all(abs(drawn[name] - placed[n]) <= 2 * SLACK_MM for n, name in named.items())
    return named if near and len(set(named.values())) == len(named) else None


Joined = frozenset[frozenset[str]]


def joined_at_rest(design: Design) -> tuple[Joined, ...] | None:
    """The groups of pins that the wiring joins while no coil is driven: one answer, or for a relay that latches one of
    two; None where its wiring is not known."""
    if design.wiring is None:
        return None
    rest = _groups(e.pins for e in design.wiring.elements if e.kind in (Kind.BREAK, Kind.BRIDGE))
    if design.relay.coil_system in (None, CoilSystem.MONOSTABLE):
        return (rest,)
    return (rest, _groups(e.pins for e in design.wiring.elements if e.kind in (Kind.MAKE, Kind.BRIDGE)))


def measured_groups(joined: Iterable[Pair], way: Numbered) -> Joined:
    """What was measured to be joined, by the names that the pins have in this way."""
    return _groups((way[a], way[b]) for a, b in joined)


def _groups(pairs: Iterable[tuple[str, str]]) -> Joined:
    """Pairs that share a pin make one group."""
    groups: list[set[str]] = []
    for pair in pairs:
        touching = [g for g in groups if g & set(pair)]
        groups = [g for g in groups if g not in touching] + [set(pair).union(*touching)]
    return frozenset(map(frozenset, groups))


def is_coil(pair: Pair, way: Numbered, wiring: Wiring) -> bool:
    return {way[pair[0]], way[pair[1]]} in [set(c.pins) for c in wiring.coils]
