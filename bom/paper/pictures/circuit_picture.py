"""Knows how a board's circuit is drawn: a panel for every state, the current's way in bold, readable without colour.

Wires with current are thick and bear arrows; all others are thin. A closed contact's blade joins its two points, an
open one stands off; a break contact has a foot at its fixed point. Lengths are in mm.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from textwrap import wrap

from bom.boards.board import NetLoad
from bom.circuit.functions import doing
from bom.circuit.net_list import Contact
from bom.circuit.states import Part, Solution, Solved, Way
from bom.circuit.watch import in_order
from bom.paper.pictures.circuit_layout import GAP, LOWER, Element, Layout, Leg, Span, ends, laid_out
from bom.paper.svg import circle, drawing, moved, number, path, rect, text
from bom.relays.wiring import Kind

PAPER_MM = 190.0
"""A4 is 210 mm wide (ISO 216), less margins of 10 mm."""
MOST_PANELS = 16
"""States of one part that are drawn; the rest is in the table and the JSON."""
_MARGIN, _LINE, _HEAD, _FOOT, _BETWEEN = 6.0, 4.0, 15.0, 5.0, 5.0
_HALF = 4.0  # half of a symbol's length
_INSETS = (12.5, 5.0)  # of a level element that lies under another, past the words beside the contacts
_CAP = 0.7  # how far a thick wire's round end would stand over
_STYLE = (
    "svg.circuit text{font:2.7px sans-serif;fill:#000}svg.circuit .big{font-size:5px;font-weight:bold}"
    "svg.circuit .part{font-size:3.6px;font-weight:bold}svg.circuit .on{font-size:3.4px;font-weight:bold}"
    "svg.circuit .doing{font-size:2.9px}svg.circuit .small{font-size:2.3px;fill:#333}"
    "svg.circuit .name{font-weight:bold}svg.circuit .amps{font-weight:bold}"
    "svg.circuit .panel{fill:#fff;stroke:#bbb;stroke-width:.25}"
    "svg.circuit .wire{fill:none;stroke:#777;stroke-width:.3;stroke-linecap:round}"
    "svg.circuit .flow{fill:none;stroke:#000;stroke-width:1.15;stroke-linecap:round;stroke-linejoin:round}"
    "svg.circuit .arrow{fill:#000;stroke:#fff;stroke-width:.25}svg.circuit .dot{fill:#000}"
    "svg.circuit .point{fill:#fff;stroke:#000;stroke-width:.3}"
    "svg.circuit .blade{stroke:#000;stroke-width:.55;stroke-linecap:round}"
    "svg.circuit .blade.live{stroke-width:1.15}"
    "svg.circuit .box{fill:#fff;stroke:#000;stroke-width:.35}svg.circuit .box.live{stroke-width:.9}"
    "svg.circuit .sign{font-size:3.2px;font-weight:bold}"
    "svg.circuit .rail{stroke:#000;stroke-width:.5;stroke-linecap:round}"
    "svg.circuit .short{fill:none;stroke:#000;stroke-width:1.15;stroke-dasharray:1.6 1.4}"
)


def circuit_drawing(title: str, solution: Solution, watch: Sequence[str] = (), care: Sequence[str] = ()) -> str:
    """An SVG of every part of the circuit, its states side by side; ``watch`` stands at the head, ``care`` at the foot.

    Parts without a load are left out, and states beyond the sixteen with the fewest units on.
    """
    page = _Page(title, watch)
    for part in solution.parts:
        if part.loads:
            page.add(part, solution)
    return page.svg(care)


class _Page:
    """The panels of every part, line by line under each other."""

    def __init__(self, title: str, watch: Sequence[str]) -> None:
        self.title = title
        self.parts = [text(_MARGIN, _MARGIN + 3.5, title, "big")]
        self.y = _MARGIN + 9.5
        for line in watch:
            self._write(line)
        self.width = PAPER_MM

    def _write(self, words: str, kind: str = "") -> None:
        for line in wrap(words, 118):
            self.parts.append(text(_MARGIN, self.y, line, kind))
            self.y += _LINE

    def add(self, part: Part, solution: Solution) -> None:
        """One part: what it feeds, then a panel for each state."""
        self.y += 3.0
        self._write(f"{', '.join(part.units) or 'always on'}: {', '.join(x.name for x in part.loads)}", "part")
        layout = laid_out(part)
        wide, tall = max(layout.width + 3.0, 46.0), layout.height + _HEAD + _FOOT + 6.0
        across = max(1, int((PAPER_MM - 2 * _MARGIN + _BETWEEN) // (wide + _BETWEEN)))
        wide = max(wide, (PAPER_MM - 2 * _MARGIN + _BETWEEN) / across - _BETWEEN)
        self.width = max(self.width, wide + 2 * _MARGIN)
        states = list(part.states.values())[:MOST_PANELS]
        for n, state in enumerate(states):
            x, y = _MARGIN + (n % across) * (wide + _BETWEEN), self.y + (n // across) * (tall + _BETWEEN)
            shorting = frozenset(part.shorted_by(state.on)) if state.short else frozenset[str]()
            shapes = _Panel(part, layout, state, solution.least_amps, shorting).shapes(wide, tall)
            self.parts.append(moved(x, y, shapes))
        self.y += ((len(states) - 1) // across + 1) * (tall + _BETWEEN)
        if (more := len(part.states) - len(states)) > 0:
            self.y += 2.0
            self._write(f"and {more:,} more states of these units")

    def svg(self, care: Sequence[str]) -> str:
        self.y += 4.0
        self._write(_LEGEND, "small")
        for line in care:
            self._write(line, "small")
        height = self.y + _MARGIN - _LINE
        return drawing(self.title, (self.width, height), _STYLE, self.parts, unit="mm", kind="circuit")


_LEGEND = (
    "Thick with arrows: current flows; broken: the way of a short; thin: none. A blade that stands off is open; a foot "
    "marks a break contact. Held: both ends of a load on one pole, or joined. Off: an end is loose."
)


_ROUND = ("motor", "lamp", "mercury lamp", "sodium lamp")
"""Loads that are drawn as a circle."""


@dataclass(frozen=True, slots=True)
class _Panel:
    """One state of one part."""

    part: Part
    layout: Layout
    state: Solved
    least: float
    shorting: frozenset[str]

    def shapes(self, wide: float, tall: float) -> Iterator[str]:
        yield rect(0, 0, wide, tall, "panel", ' rx="1.5"')
        on = in_order(self.state.on, self.part)
        yield text(3, 5.4, f"{' + '.join(on)} on" if on else "at rest", "on")
        yield from (text(3, 9.6 + 3.4 * n, line, "doing") for n, line in enumerate(self._doing(wide)))
        left = (wide - self.layout.width) / 2
        yield f'<g transform="translate({number(left)} {number(_HEAD)})">'
        for span in self.layout.spans:
            yield from self._span(span)
        yield from self._nets()
        for leg in self.layout.legs:
            yield from self._leg(leg)
        yield "</g>"

    def _doing(self, wide: float) -> list[str]:
        if self.state.short:
            return ["SHORT: the fuse goes"]
        running = [doing(x, way) for x in self.part.loads if (way := self.state.ways[x.name]).runs]
        lines = wrap(", ".join(running) or "nothing runs", max(20, int(wide / 1.55)))
        return lines if len(lines) < 3 else [*lines[:1], f"{lines[1][:-1]}…"]

    def _amps(self, element: Element) -> float:
        """The current from the first of an element's ends to the second; 0 where it is too small to count."""
        found = self.state.through if isinstance(element, Contact) else self.state.amps
        amps = found.get(element.name, 0.0)
        return amps if abs(amps) > self.least else 0.0

    def _down(self, leg: Leg) -> float:
        """The current down a leg."""
        amps = self._amps(leg.element)
        return amps if ends(leg.element)[0] == leg.upper else -amps

    def _nets(self) -> Iterator[str]:
        """The level wire of every net, thick from where current comes in to where it goes out."""
        for net, y in self.layout.y.items():
            taps = sorted(self._taps(net))
            total = 0.0
            for (x, amps), (beyond, _) in pairwise(taps):
                total += amps
                if beyond > x:
                    yield from _wire((x, y), (beyond, y), total if abs(total) > self.least else 0.0)
            for x in {x for x, _ in taps}:
                if self._meet(net, x) > 2:
                    yield circle(x, y, 0.75, "dot")

    def _meet(self, net: str, x: float) -> int:
        """How many wires meet at this place of a net."""
        taps = [tap for tap, _ in self._taps(net)]
        return taps.count(x) + (min(taps) < x) + (max(taps) > x)

    def _taps(self, net: str) -> list[tuple[float, float]]:
        """Where elements join a net, and the current that each brings in."""
        taps = [(leg.x, self._down(leg)) for leg in self.layout.legs if leg.lower == net]
        taps += [(leg.x, -self._down(leg)) for leg in self.layout.legs if leg.upper == net]
        for span in self.layout.spans:
            if net in (span.left, span.right):
                a, _ = ends(span.element)
                amps = self._amps(span.element)
                taps.append((self._span_x(span)[0 if net == span.left else 1], -amps if net == a else amps))
        return taps

    def _span_x(self, span: Span) -> tuple[float, float]:
        """Where a level element begins and ends: at the near ends of its nets, inside of them where it lies lower."""
        left, right = self.layout.reach[span.left], self.layout.reach[span.right]
        left_in, right_in = _INSETS if span.below else (0.0, 0.0)
        if left[1] <= right[0]:
            return left[1] + left_in, right[0] - right_in
        return left[0] - right_in, right[1] + left_in

    def _leg(self, leg: Leg) -> Iterator[str]:
        top, bottom, amps = self.layout.top(leg), self.layout.bottom(leg), self._down(leg)
        middle = (top + bottom) / 2
        begin, end = top + _CAP * (leg.upper not in self.layout.y), bottom - _CAP * (leg.lower not in self.layout.y)
        shorting = leg.element.name in self.shorting
        yield from _wire((leg.x, begin), (leg.x, middle - _HALF), amps, self._begins_here(leg), shorting)
        yield from _wire((leg.x, middle + _HALF), (leg.x, end), amps, leg.lower in self.layout.y, shorting)
        turned = ends(leg.element)[0] == leg.upper
        yield f'<g transform="translate({number(leg.x)} {number(middle)})">'
        if isinstance(leg.element, Contact):
            yield from self._contact(leg.element, bool(amps), turned)
            unit = leg.element.name.removesuffix(f" {leg.element.kind}")
            yield text(3.0, -0.3, unit, "name") + text(3.0, 2.6, leg.element.kind.value, "small")
        else:
            yield from _load_symbol(leg.element, bool(amps))
            yield from self._load_words(leg.element, 3.9 if leg.element.load.kind in _ROUND else 2.7, -1.2, "start", 8)
        yield "</g>"
        for net, y, up in ((leg.upper, top, True), (leg.lower, bottom, False)):
            if net not in self.layout.y:
                yield from self._terminal(net, leg.x, y, up)

    def _begins_here(self, leg: Leg) -> bool:
        """Whether a leg to a ground needs an arrow of its own: not where one with current hangs above it."""
        above = (x for x in self.layout.legs if (x.x, x.lower) == (leg.x, leg.upper))
        return leg.lower not in self.layout.y and not any(self._amps(x.element) for x in above)

    def _span(self, span: Span) -> Iterator[str]:
        (x1, x2), y1, y2 = self._span_x(span), self.layout.y[span.left], self.layout.y[span.right]
        y = max(y1, y2) + LOWER * span.below if span.below or y1 != y2 else y1
        a, _ = ends(span.element)
        amps = self._amps(span.element) * (1 if a == span.left else -1)
        middle = (x1 + x2) / 2
        if y != y1:
            yield from _wire((x1, y1), (x1, y), amps)
        if y != y2:
            yield from _wire((x2, y), (x2, y2), amps)
        yield from _wire((x1, y), (middle - _HALF, y), amps, arrow=True)
        yield from _wire((middle + _HALF, y), (x2, y), amps)
        yield f'<g transform="translate({number(middle)} {number(y)})">'
        if isinstance(span.element, Contact):
            yield '<g transform="rotate(-90)">'
            yield from self._contact(span.element, bool(amps), a == span.left)
            yield "</g>"
            yield text(0, 5.4, span.element.name, "name", "middle")
        else:
            yield f'<g transform="rotate(-90)">{"".join(_load_symbol(span.element, bool(amps), -90))}</g>'
            yield from self._load_words(span.element, 0, 7.0, "middle", int(GAP / 3.4))
        yield "</g>"

    def _contact(self, contact: Contact, live: bool, common_above: bool) -> Iterator[str]:
        """Its blade from the common's point to the other, or off it; drawn along y with the common below."""
        closed = contact.closed(self.state.on)
        tip = "0" if closed else "-2.6"
        reach = -_HALF if closed else -_HALF + 0.9
        turn = ' transform="scale(1 -1)"' if common_above else ""
        yield f"<g{turn}>"
        kind = "blade live" if live else "blade"
        yield f'<line class="{kind}" x1="0" y1="{number(_HALF)}" x2="{tip}" y2="{number(reach)}"/>'
        if contact.kind is Kind.BREAK:
            yield f'<line class="blade" x1="0" y1="{number(-_HALF)}" x2="-2.2" y2="{number(-_HALF)}"/>'
        yield from (circle(0, y, 0.6, "point") for y in (_HALF, -_HALF))
        yield "</g>"

    def _load_words(self, load: NetLoad, x: float, y: float, anchor: str, letters: int) -> Iterator[str]:
        lines = wrap(load.name, letters, break_long_words=False)
        for n, line in enumerate(lines):
            yield text(x, y + 3.0 * n, line, "name", anchor)
        for n, line in enumerate(self._load_does(load), len(lines)):
            yield text(x, y + 3.0 * n + 0.2, line, "" if self.state.ways[load.name].runs else "small", anchor)

    def _load_does(self, load: NetLoad) -> list[str]:
        way, amps = self.state.ways[load.name], abs(self.state.amps[load.name])
        if not way.runs:
            return [way.value]
        return [f"{amps:.3g} A"] + ([f"{amps / (load.load.amps or 1.0):.0%}"] if way is Way.PARTLY else [])

    def _terminal(self, net: str, x: float, y: float, up: bool) -> Iterator[str]:
        """A supply as a bar with its name, a ground as three bars that grow shorter."""
        volts = self.part.held.get(net)
        if volts:
            yield path(f"M{number(x - 2.4)} {number(y)}h4.8", "rail")
            yield text(x, y - 1.2 if up else y + 3.0, f"{net} {volts:g} V", "small", "middle")
            return
        bars = "".join(f"M{number(x - w)} {number(y + n * 0.9)}h{number(2 * w)}" for n, w in enumerate((2.2, 1.4, 0.6)))
        yield path(bars, "rail") + text(x, y + 5.0, net, "small", "middle")


def _wire(
    a: tuple[float, float], b: tuple[float, float], amps: float, arrow: bool = False, shorting: bool = False
) -> Iterator[str]:
    """A straight wire; thick where current flows, with an arrow the way it goes (from a to b where it is positive)."""
    kind = "short" if shorting else "flow" if amps else "wire"
    yield path(f"M{number(a[0])} {number(a[1])}L{number(b[0])} {number(b[1])}", kind)
    if amps and arrow:
        x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
        dx, dy = (b[0] > a[0]) - (b[0] < a[0]), (b[1] > a[1]) - (b[1] < a[1])
        angle = {(0, 1): 90, (0, -1): -90, (1, 0): 0, (-1, 0): 180}[dx, dy] + (0 if amps > 0 else 180)
        place = f"translate({number(x)} {number(y)}) rotate({angle})"
        yield path("M1.7 0L-1.3 -1.5V1.5Z", "arrow", f' transform="{place}"')


def _load_symbol(load: NetLoad, live: bool, turned: int = 0) -> Iterator[str]:
    """A motor is a circle with an M, a lamp a circle with a cross, a winding a box filled at one end, else a box."""
    kind = "box live" if live else "box"
    if load.load.kind == "motor":
        yield circle(0, 0, _HALF - 0.7, kind)
        turn = f' transform="rotate({-turned})"' if turned else ""
        yield f"<g{turn}>{text(0, 1.15, 'M', 'sign', 'middle')}</g>"
        yield from _stubs(_HALF - 0.7, live)
    elif load.load.kind in _ROUND:
        yield circle(0, 0, 3, kind) + path("M-2.12 -2.12L2.12 2.12M2.12 -2.12L-2.12 2.12", kind)
        yield from _stubs(3.0, live)
    else:
        long = _HALF - 0.6
        yield rect(-1.7, -long, 3.4, 2 * long, kind)
        yield from _stubs(long, live)
        if load.load.kind in ("inductive", "solenoid", "electromagnet", "transformer"):
            yield path("M-1.7 1.6L1.7 -1.6", "blade")


def _stubs(reach: float, live: bool) -> Iterator[str]:
    """From the symbol to the wires above and below it."""
    kind = "flow" if live else "wire"
    yield from (path(f"M0 {number(s * reach)}V{number(s * _HALF)}", kind) for s in (-1, 1))
