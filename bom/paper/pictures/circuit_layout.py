"""Knows where the parts of a circuit stand on paper: nets lie level, contacts and loads hang between them.

The supply is above and the ground below. A net lies the lower the more elements lie between it and a supply; two nets
that lie alike have what joins them between them, so that a reversing pair looks as it is drawn by hand. Every supply
and ground is a terminal of its own where it is needed, which keeps wires from crossing. Lengths are in mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from bom.boards.board import NetLoad
from bom.circuit.net_list import Contact
from bom.circuit.states import Part

PITCH, ROW, GAP, LANE = 19.0, 19.0, 41.0, 5.0
"""From column to column; from net down to net; between two nets that a load joins; between nets that lie on a level."""

RAIL, LOWER = 17.0, 13.0
"""From a net to a supply or a ground of its own; from one level element down to the next between the same nets."""

Element = Contact | NetLoad


@dataclass(frozen=True, slots=True)
class Leg:
    """An element that hangs in a column, from its upper net down to its lower one."""

    element: Element
    x: float
    upper: str
    lower: str


@dataclass(frozen=True, slots=True)
class Span:
    """An element that lies between two nets of one level, ``below`` so many rows under them."""

    element: Element
    left: str
    right: str
    below: int = 0


@dataclass(slots=True)
class Layout:
    """A part of a circuit on paper: the height of each net and how far it reaches, what hangs, what lies."""

    legs: list[Leg] = field(default_factory=list)
    spans: list[Span] = field(default_factory=list)
    y: dict[str, float] = field(default_factory=dict)
    reach: dict[str, tuple[float, float]] = field(default_factory=dict)
    width: float = 0.0
    height: float = 0.0

    def top(self, leg: Leg) -> float:
        """Where a leg begins: at its upper net, or a row above its lower one where that is a supply."""
        if leg.upper in self.y:
            return self.y[leg.upper]
        return self.y[leg.lower] - RAIL if leg.lower in self.y else ROW - RAIL

    def bottom(self, leg: Leg) -> float:
        if leg.lower in self.y:
            return self.y[leg.lower]
        return self.y[leg.upper] + RAIL if leg.upper in self.y else ROW


def ends(element: Element) -> tuple[str, str]:
    """The two nets: a contact's common and its throw, a load's plus and minus."""
    return element.ends if isinstance(element, Contact) else (element.plus, element.minus)


def laid_out(part: Part) -> Layout:
    """Every contact that is used, and every load, of the part."""
    return _Drawn(part).layout


class _Drawn:
    """A part being laid out: from the nets next to the supply downwards, each net with those below it to its right."""

    def __init__(self, part: Part) -> None:
        self.elements: list[Element] = [*(c for c in part.contacts if c.used), *part.loads]
        self.volts = {net: volts or 0.0 for net, volts in part.held.items()}
        self.levels = _levels(self.elements, self.volts)
        self.layout, self.taken = Layout(), set[int]()
        x = PITCH / 2
        first = min(self.levels.values(), default=0)
        for net in _chained([net for net, level in self.levels.items() if level == first], self.elements):
            x = self._block(net, x)
        for element in self._left(self.elements):  # straight from a supply to a ground
            upper, lower = sorted(ends(element), key=lambda net: -self.volts.get(net, 0.0))
            self._hang(element, x, upper, lower)
            x += PITCH
        self.layout.width = x - PITCH / 2 + 4.0
        self._heights()

    def _left(self, elements: Iterable[Element]) -> list[Element]:
        return [e for e in elements if id(e) not in self.taken]

    def _hang(self, element: Element, x: float, upper: str, lower: str) -> None:
        self.taken.add(id(element))
        self.layout.legs.append(Leg(element, x, upper, lower))

    def _block(self, net: str, x: float) -> float:
        """The columns of one net, those of the nets below it and of those level with it; where the next may begin."""
        if net in self.layout.reach:
            return x
        self.layout.reach[net] = (x, x)
        own = self._left(e for e in self.elements if net in ends(e))
        up = [e for e in own if self._rises(_other(e, net), net)]
        under = [e for e in own if e not in up and self._is_rail(_other(e, net))]
        for n, (above, below) in enumerate(pairs := _paired(up, under)):
            if above is not None:
                self._hang(above, x + n * PITCH, _other(above, net), net)
            if below is not None:
                self._hang(below, x + n * PITCH, net, _other(below, net))
        self.layout.reach[net] = (x, x + max(len(pairs) - 1, 0) * PITCH)
        deeper = [_other(e, net) for e in own if self.levels.get(_other(e, net)) == self.levels[net] + 1]
        x += max(len(pairs), 0 if deeper else 1) * PITCH
        for child in _chained(list(dict.fromkeys(deeper)), self.elements):
            x = self._block(child, x)
        for element in own:
            if id(element) not in self.taken and self.levels.get(_other(element, net)) == self.levels[net]:
                x = self._span(element, net, x)
        return x

    def _span(self, element: Element, net: str, x: float) -> float:
        other = _other(element, net)
        same = sum({s.left, s.right} == {net, other} for s in self.layout.spans)
        self.taken.add(id(element))
        self.layout.spans.append(Span(element, net, other, same))
        return self._block(other, x if same else x + GAP - PITCH)

    def _is_rail(self, net: str) -> bool:
        return net in self.volts

    def _rises(self, other: str, net: str) -> bool:
        """Whether an element leads up from the net: to a supply, or to a net that is nearer to one."""
        if self._is_rail(other):
            return self.volts[other] > 0
        return self.levels[other] < self.levels[net]

    def _heights(self) -> None:
        """The height of every net; nets of one level that reach over each other lie one under the other."""
        layout = self.layout
        for leg in layout.legs:
            for net in {leg.upper, leg.lower} & layout.reach.keys():
                low, high = layout.reach[net]
                layout.reach[net] = (min(low, leg.x), max(high, leg.x))
        lanes: dict[int, list[list[tuple[float, float]]]] = {}
        for net in sorted(layout.reach, key=lambda n: layout.reach[n]):
            lane = _free_lane(lanes.setdefault(self.levels[net], []), layout.reach[net])
            layout.y[net] = self.levels[net] * ROW + lane * LANE
        bottoms = [*(layout.bottom(leg) for leg in layout.legs), *layout.y.values()]
        lying = (max(layout.y[s.left], layout.y[s.right]) + LOWER * s.below + 5.0 for s in layout.spans)
        layout.height = max([*bottoms, *lying], default=0.0)


def _levels(elements: Iterable[Element], volts: Mapping[str, float]) -> dict[str, int]:
    """How many elements lie between each free net and the nearest supply; nets that none reaches stand highest."""
    free = dict.fromkeys(net for element in elements for net in ends(element) if net not in volts)
    levels: dict[str, int] = {}
    front, level = {net for net, at in volts.items() if at > 0}, 0
    while front:
        level += 1
        beside = {net for e in elements if set(ends(e)) & front for net in ends(e)}
        front = {net for net in free if net in beside and net not in levels}
        levels |= dict.fromkeys((net for net in free if net in front), level)
    return {net: levels.get(net, 1) for net in free}


def _chained(nets: list[str], elements: Iterable[Element]) -> list[str]:
    """The nets in an order in which those that an element joins stand side by side, where that can be."""
    left, order = list(nets), list[str]()
    pairs = [set(ends(e)) for e in elements]
    while left:
        near = [n for n in left if order and {n, order[-1]} in pairs]
        order.append(near[0] if near else left[0])
        left.remove(order[-1])
    return order


def _other(element: Element, net: str) -> str:
    a, b = ends(element)
    return b if a == net else a


def _paired(up: list[Element], down: list[Element]) -> list[tuple[Element | None, Element | None]]:
    """What goes up and what goes down, column by column; the two contacts of one changeover in one column."""
    left = list(down)
    rows: list[tuple[Element | None, Element | None]] = []
    for rising in up:
        same = next((e for e in left if _pole(e) == _pole(rising) is not None), None)
        if same is not None:
            left.remove(same)
        rows.append((rising, same))
    rows = [(rising, hanging or (left.pop(0) if left else None)) for rising, hanging in rows]
    return [*rows, *((None, hanging) for hanging in left)]


def _pole(element: Element) -> tuple[str, str] | None:
    return (element.unit, element.pole) if isinstance(element, Contact) else None


def _free_lane(lanes: list[list[tuple[float, float]]], reach: tuple[float, float]) -> int:
    for n, taken in enumerate(lanes):
        if all(reach[1] < low - 1 or reach[0] > high + 1 for low, high in taken):
            taken.append(reach)
            return n
    lanes.append([reach])
    return len(lanes) - 1
