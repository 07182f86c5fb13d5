"""Knows how a relay's pins are drawn with what lies between them: coils and contacts at rest, from both sides.

Pins stand in their true proportions, several times their size. A coil is a rectangle; a contact is a blade from its
common, which touches a break's fixed point and stays clear of a make's, as circuit diagrams draw them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, cos, degrees, hypot, pi, sin
from textwrap import wrap

from bom.paper.svg import circle, drawing, moved, number, path, rect, text
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.pinout import PinUse
from bom.relays.wiring import Element, Kind, Wiring

Point = tuple[float, float]

_WIDE = 84.0  # mm that one side may take: two stand side by side on A4
_MOST_TIMES = 6.0
_LEAST_TIMES = 3.0  # smaller than this the sides stand one above the other
_NEAR = 14.0  # mm on paper within which two names are in each other's way
_LETTERS = 104  # of a line of cautions, which is then as wide as the longest note
_ROOM = 9.0  # mm on paper round the pins, for their names
_MARGIN, _GAP, _LINE = 6.0, 12.0, 4.2
_UNSTATED_MM = 0.8  # a lead whose size nobody stated
_STYLE = (
    "svg.pinout text{font:3px sans-serif;fill:#000}svg.pinout .big{font-size:4.4px;font-weight:bold}"
    "svg.pinout .pin{fill:#000}svg.pinout .mechanical{fill:#fff;stroke:#000;stroke-width:.25}"
    "svg.pinout .name{font-size:3.4px;font-weight:bold}svg.pinout .body{fill:#fafafa;stroke:#777;stroke-width:.3}"
    "svg.pinout .wire{fill:none;stroke:#444;stroke-width:.35}"
    "svg.pinout .coil{fill:#fff;stroke:#0072b2;stroke-width:.6}"
    "svg.pinout .blade{stroke:#000;stroke-width:.7;stroke-linecap:round}"
    "svg.pinout .point{fill:#fff;stroke:#000;stroke-width:.4}svg.pinout .bridge{stroke:#000;stroke-width:.9}"
    "svg.pinout .unit{font-size:3.2px;fill:#0072b2;font-weight:bold}"
    "svg.pinout .apart{stroke:#bbb;stroke-width:.3}svg.pinout .bar{stroke:#000;stroke-width:.4;fill:none}"
)


@dataclass(frozen=True, slots=True)
class Seen:
    """One side of the part on paper: ``sign`` -1 mirrors it, ``times`` enlarges it, ``corner`` is its left and top."""

    sign: int
    times: float
    corner: Point

    def at(self, x: float, y: float) -> Point:
        return (self.times * (self.sign * x - self.corner[0]), self.times * (y - self.corner[1]))


def pinout_drawing(
    title: str,
    footprint: Footprint,
    wiring: Wiring | None,
    uses: tuple[PinUse, ...],
    body_mm: tuple[float, float] | None = None,
    care: tuple[str, ...] = (),
) -> str:
    """An SVG of the pins with coils and contacts between them: component side left, solder side (mirrored) right.

    ``uses`` are told below, a line a pin; ``body_mm`` is length and width, drawn where the footprint states the middle;
    ``care`` are the cautions of a drawing that stands alone.
    """
    drawn = footprint.from_component_side()
    left, top, right, bottom = _box(drawn, body_mm)
    times = min(_MOST_TIMES, (_WIDE - 2 * _ROOM) / max(right - left, 1.0))
    if stacked := times < _LEAST_TIMES:
        times = min(_LEAST_TIMES, (2 * _WIDE - 2 * _ROOM) / max(right - left, 1.0))
    wide, tall = times * (right - left) + 2 * _ROOM, times * (bottom - top) + 2 * _ROOM
    across = max(wide if stacked else 2 * wide + _GAP, 120.0)
    y, x, parts = _MARGIN + 10.0, _MARGIN, [text(_MARGIN, _MARGIN + 3.0, title, "big")]
    for words, sign, corner in (("component side", 1, left), ("solder side (mirrored)", -1, -right)):
        parts.append(text(x, y, words))
        shapes = _side(drawn, wiring, body_mm, Seen(sign, times, (corner, top)))
        parts.append(moved(x + _ROOM, y + 2 + _ROOM, shapes))
        if stacked:
            y += tall + 6.0
        else:
            x += wide + _GAP
    if not stacked:
        parts.append(path(f"M{number(_MARGIN + wide + _GAP / 2)} {number(y - 3)}v{number(tall + 4)}", "apart"))
        y += tall + 6.0
    parts.append(path(f"M{number(_MARGIN)} {number(y - 1)}v2m0 -1h{number(10 * times)}m0 -1v2", "bar"))
    parts.append(text(_MARGIN + 10 * times + 2, y + 1, f"10 mm, drawn {times:.2g} times its size"))
    y += _LINE + 2.0
    for line in _notes(footprint, wiring):
        parts.append(text(_MARGIN, y, line))
        y += _LINE
    y += 2.0
    for use in uses:
        parts += [text(_MARGIN, y, use.pin, "name"), text(_MARGIN + 14, y, use.uses)]
        y += _LINE
    y += 2.0
    told = [line for caution in care for line in wrap(caution, _LETTERS)]
    for line in told:
        parts.append(text(_MARGIN, y, line))
        y += _LINE
    long = max((1.65 * len(line) for line in (*_notes(footprint, wiring), *told)), default=0.0)
    size = (max(across, long) + 2 * _MARGIN, y + _MARGIN)
    return drawing(title, size, _STYLE, parts, unit="mm", kind="pinout")


def _notes(footprint: Footprint, wiring: Wiring | None) -> Iterator[str]:
    if wiring is None:
        yield "What the pins are joined to is not stated."
    else:
        yield "Contacts as they are at rest: a blade touches the break's point (b) and stays clear of the make's (m)."
    if footprint.view is View.UNKNOWN:
        yield "Nobody stated the side it was drawn from: the two sides here may be exchanged."


def _box(footprint: Footprint, body_mm: tuple[float, float] | None) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of all that is drawn."""
    corners = [(p.x_mm, p.y_mm) for p in footprint.pins] + _body(footprint, body_mm)
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return min(xs, default=0.0), min(ys, default=0.0), max(xs, default=0.0), max(ys, default=0.0)


def _body(footprint: Footprint, body_mm: tuple[float, float] | None) -> list[Point]:
    """The corners of the body, its length along the longer side of the pins; none where it is not placed."""
    if body_mm is None or footprint.body_mm is None:
        return []
    xs, ys = [p.x_mm for p in footprint.pins], [p.y_mm for p in footprint.pins]
    lies = max(xs) - min(xs) >= max(ys) - min(ys)
    wide, tall = body_mm if lies else (body_mm[1], body_mm[0])
    (x, y), half = footprint.body_mm, (wide / 2, tall / 2)
    return [(x - half[0], y - half[1]), (x + half[0], y + half[1])]


def _side(
    footprint: Footprint, wiring: Wiring | None, body_mm: tuple[float, float] | None, seen: Seen
) -> Iterator[str]:
    if body := _body(footprint, body_mm):
        (x1, y1), (x2, y2) = (seen.at(*corner) for corner in body)
        yield rect(min(x1, x2), y1, abs(x2 - x1), y2 - y1, "body")
    at = {p.name: seen.at(p.x_mm, p.y_mm) for p in footprint.pins}
    if wiring is not None:
        yield from _inside(wiring, at, seen.sign)
    wired = wiring.pins if wiring else frozenset(at)
    for pin in footprint.pins:
        yield _lead(pin, at[pin.name], seen, "pin" if pin.name in wired else "pin mechanical")
    for name, place in at.items():
        joined = [at[other] for e in (wiring.elements if wiring else ()) for other in _others(e, name) if other in at]
        near = [other for other in at.values() if 0 < hypot(*_off(place, other)) < _NEAR]
        yield _named(name, place, _free_side(place, joined, near, _middle(at)))


def _others(element: Element, pin: str) -> tuple[str, ...]:
    """What the element joins to the pin."""
    return tuple(p for p in element.pins if p != pin) if pin in element.pins else ()


def _middle(at: dict[str, Point]) -> Point:
    return (sum(x for x, _ in at.values()) / len(at), sum(y for _, y in at.values()) / len(at))


def _free_side(place: Point, joined: list[Point], near: list[Point], middle: Point) -> Point:
    """Left, right, above or below the pin: away from what it is joined to and from its neighbours, rather outside."""
    outward = _unit(_off(middle, place))

    def crowded(way: Point) -> float:
        toward = [_dot(way, _unit(_off(place, other))) for other in joined]
        toward += [0.9 * _dot(way, _unit(_off(place, other))) for other in near]
        return max(toward, default=0.0) - 0.3 * _dot(way, outward)

    return min(((-1.0, 0.0), (1.0, 0.0), (0.0, -1.0), (0.0, 1.0)), key=crowded)


def _unit(vector: Point) -> Point:
    long = hypot(*vector) or 1.0
    return (vector[0] / long, vector[1] / long)


def _dot(a: Point, b: Point) -> float:
    return a[0] * b[0] + a[1] * b[1]


def _inside(wiring: Wiring, at: dict[str, Point], sign: int) -> Iterator[str]:
    """Coils, contacts and bridges between the pins that are drawn."""
    several = len(wiring.units) > 1
    for e in wiring.elements:
        if e.from_pin not in at or e.to_pin not in at:
            continue
        if e.kind is Kind.COIL:
            yield from _coil(e, at[e.from_pin], at[e.to_pin], several)
        if e.kind is Kind.BRIDGE:
            yield _line("bridge", at[e.from_pin], at[e.to_pin])
    for common, contacts in _by_common(wiring).items():
        if common in at:
            yield from _contacts(at[common], {e.kind: at[other] for e, other in contacts if other in at}, sign)


def _by_common(wiring: Wiring) -> dict[str, list[tuple[Element, str]]]:
    answer: dict[str, list[tuple[Element, str]]] = {}
    for e in wiring.contacts:
        common, other = wiring.ends(e)
        answer.setdefault(common, []).append((e, other))
    return answer


def _coil(e: Element, a: Point, b: Point, several: bool) -> Iterator[str]:
    length = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    long, wide = min(12.0, 0.5 * length), 4.5
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    yield _line("wire", a, b)
    turn = degrees(atan2(b[1] - a[1], b[0] - a[0]))
    yield rect(-long / 2, -wide / 2, long, wide, "coil", _turned(middle, turn))
    if several and e.unit:
        yield text(middle[0], middle[1] + 1.1, e.unit, "unit", "middle")
    if e.polarised:
        x, y = _beside(_toward(a, b, 0.12), a, b, 2.4)
        yield text(x, y + 1.0, "+", "name", "middle")


def _contacts(common: Point, others: dict[Kind, Point], sign: int) -> Iterator[str]:
    """One blade at its common, with the fixed points it goes between; at rest it lies on the break's."""
    if not others:
        return
    aims = {kind: _toward(pin, common, 0.42) for kind, pin in others.items()}
    mean = (sum(x for x, _ in aims.values()) / len(aims), sum(y for _, y in aims.values()) / len(aims))
    pivot = _toward(common, mean, 0.22)
    yield _line("wire", common, pivot)
    for kind, pin in others.items():
        yield _line("wire", pin, aims[kind])
    tip = aims[Kind.BREAK] if Kind.BREAK in aims else _clear(pivot, aims[Kind.MAKE], sign)
    yield _line("blade", pivot, tip)
    for kind, point in aims.items():
        yield circle(*point, 0.9, "point")
        off = _off(mean, point) if len(aims) > 1 else _off(tip, point)
        x, y = _beside(point, others[kind], point, 2.8, off)
        yield text(x, y + 1.0, kind.value[0], "", "middle")


def _off(a: Point, b: Point) -> Point:
    return (b[0] - a[0], b[1] - a[1])


def _beside(place: Point, a: Point, b: Point, away: float, toward: Point = (0.0, 0.0)) -> Point:
    """A place beside the line from a to b, on the side that ``toward`` points to."""
    along = _off(a, b)
    long = hypot(*along) or 1.0
    across = (-along[1] / long, along[0] / long)
    side = -1 if across[0] * toward[0] + across[1] * toward[1] < 0 else 1
    return (place[0] + side * away * across[0], place[1] + side * away * across[1])


def _clear(pivot: Point, point: Point, sign: int) -> Point:
    """The end of an open blade: turned aside from the point that it would close on."""
    length = hypot(point[0] - pivot[0], point[1] - pivot[1])
    angle = atan2(point[1] - pivot[1], point[0] - pivot[0]) + sign * pi / 7
    return (pivot[0] + length * cos(angle), pivot[1] + length * sin(angle))


def _toward(a: Point, b: Point, share: float) -> Point:
    return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))


def _lead(pin: Pin, place: Point, seen: Seen, kind: str) -> str:
    """The pin at its true size, on the same scale as all else."""
    x, y = place
    across = (pin.lead_mm or _UNSTATED_MM) * seen.times
    if pin.lead_width_mm is None:
        return circle(x, y, across / 2, kind)
    thick, turn = pin.lead_width_mm * seen.times, seen.sign * (pin.lead_angle_deg or 0.0)
    return rect(-across / 2, -thick / 2, across, thick, kind, _turned(place, turn))


def _turned(place: Point, degrees: float) -> str:
    """The attribute that puts a shape drawn round its own middle at a place, turned."""
    return f' transform="translate({number(place[0])} {number(place[1])}) rotate({number(degrees)})"'


def _named(name: str, place: Point, way: Point) -> str:
    """The pin's name on the side of it that is free."""
    x, y = place[0] + 4.2 * way[0], place[1] + 1.2 + (5.0 if way[1] > 0 else 4.6) * way[1]
    anchor = "start" if way[0] > 0 else "end" if way[0] < 0 else "middle"
    return text(x, y, name, "name", anchor)


def _line(kind: str, a: Point, b: Point) -> str:
    ends = f'x1="{number(a[0])}" y1="{number(a[1])}" x2="{number(b[0])}" y2="{number(b[1])}"'
    return f'<line class="{kind}" {ends}/>'
