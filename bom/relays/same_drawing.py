"""Drawings that are the same under another name, so that a catalogue need not hold one twice.

Two drawings are of the same pins where a shift and a quarter turn bring every pin onto the other's pin of that name,
within a caliper's error; from the component side, never mirrored.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import hypot

from bom.relays.footprint import Footprint, Pin, View
from bom.relays.wiring import Wiring

SAME_MM = 0.05
"""Pins this far apart are drawn at one place: what callipers tell apart. Common practice, no source."""


def same_pins(drawn: Footprint, kept: Mapping[str, Footprint], *, leads: bool = True) -> Iterator[str]:
    """The kept drawings, by name, that have the same pins at the same places, and with ``leads`` as thick."""
    wanted = drawn.from_component_side()
    for name, other in _comparable(drawn, kept):
        if (not leads or _leads(wanted) == _leads(other)) and _meet(wanted.pins, other.pins):
            yield name


def same_places(drawn: Footprint, kept: Mapping[str, Footprint]) -> Iterator[str]:
    """The kept drawings whose pins lie alike, under whatever names."""
    wanted = drawn.from_component_side()
    return (name for name, other in _comparable(drawn, kept) if _lie_alike(wanted.pins, other.pins))


def _comparable(drawn: Footprint, kept: Mapping[str, Footprint]) -> Iterator[tuple[str, Footprint]]:
    """The kept drawings from the component side, with as many pins; none where a side is not known."""
    for name, other in kept.items():
        if View.UNKNOWN not in (drawn.view, other.view) and len(drawn.pins) == len(other.pins):
            yield name, other.from_component_side()


def same_wiring(wired: Wiring, kept: Mapping[str, Wiring]) -> Iterator[str]:
    """The kept wirings, by name, that join the same pins by the same elements, in whatever order they are written."""
    wanted = frozenset(wired.elements)
    return (name for name, other in kept.items() if frozenset(other.elements) == wanted)


Point = tuple[float, float]


def _leads(footprint: Footprint) -> dict[str, Point]:
    """Pin to its lead's two sides; a turned lead turns with its drawing, so its angle says nothing here."""
    return {p.name: (p.lead_mm or 0.0, p.lead_width_mm or 0.0) for p in footprint.pins}


def _meet(pins: Iterable[Pin], others: Iterable[Pin]) -> bool:
    there = _settled({p.name: (p.x_mm, p.y_mm) for p in others})
    return any(
        here.keys() == there.keys() and all(_near(here[name], there[name]) for name in here)
        for here in map(_settled, _turns({p.name: (p.x_mm, p.y_mm) for p in pins}))
    )


def _lie_alike(pins: Iterable[Pin], others: Iterable[Pin]) -> bool:
    there = list(_settled({p.name: (p.x_mm, p.y_mm) for p in others}).values())
    turned = map(_settled, _turns({p.name: (p.x_mm, p.y_mm) for p in pins}))
    return any(_one_to_one(list(here.values()), there) for here in turned)


def _one_to_one(points: list[Point], others: list[Point]) -> bool:
    left = list(others)
    for point in points:
        near = next((other for other in left if _near(point, other)), None)
        if near is None:
            return False
        left.remove(near)
    return not left


def _turns(points: dict[str, Point]) -> Iterator[dict[str, Point]]:
    for _ in range(4):
        yield points
        points = {name: (-y, x) for name, (x, y) in points.items()}


def _settled(points: dict[str, Point]) -> dict[str, Point]:
    """The points shifted so that the leftmost and the uppermost lie at 0."""
    left, top = min((x for x, _ in points.values()), default=0.0), min((y for _, y in points.values()), default=0.0)
    return {name: (x - left, y - top) for name, (x, y) in points.items()}


def _near(one: Point, other: Point) -> bool:
    return hypot(one[0] - other[0], one[1] - other[1]) <= SAME_MM
