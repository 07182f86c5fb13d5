"""Knows how pins over holes are drawn: at true size in mm, from both sides of the board, readable without colour.

The checking bar is 50 mm: printed at 100 % it measures that, and then the drawing may be laid on the part.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from html import escape
from math import cos, hypot, radians, sin

from bom.boards.board import Hole, HolePattern
from bom.paper.readable import one_line
from bom.relays.footprint import Footprint, Pin, View

BAR_MM = 50.0
_MARGIN = 6.0
_UNSTATED_MM = 0.6  # how large a hole or lead of unstated size is drawn, dashed
_STYLE = (
    "text{font:1.5px sans-serif;fill:#000}.big{font-size:2.6px;font-weight:bold}.small{font-size:1.9px}"
    ".hole{fill:#fff;stroke:#000;stroke-width:.12}.empty{fill:#eee}.unstated{stroke-dasharray:.4 .3}"
    ".pin{fill:#999;stroke:#333;stroke-width:.08}.miss{fill:#333}.bar{stroke:#000;stroke-width:.25;fill:none}"
    ".board{fill:none;stroke:#777;stroke-width:.1}"
)


@dataclass(frozen=True, slots=True)
class _Spot:
    """A pin where it comes to lie, in the pattern's mm, its lead's angle turned along."""

    pin: Pin
    x: float
    y: float
    angle_deg: float | None


@dataclass(frozen=True, slots=True)
class _Box:
    left: float
    top: float
    width: float
    height: float


def fit_drawing(
    footprint: Footprint,
    pattern: HolePattern,
    assignment: Mapping[str, str],
    rotation_deg: float = 0.0,
    shift_mm: tuple[float, float] = (0.0, 0.0),
    title: str = "",
    note: str = "",
) -> str:
    """An SVG of the pins over the holes: component side left, solder side (mirrored) right.

    A pin at (x, y) comes to lie at (x cos a - y sin a, x sin a + y cos a) + shift, a = ``rotation_deg``,
    x right, y down. ``assignment`` is pin name to hole name. Pins are grey; one that misses is black and crossed.
    """
    pattern, spots = pattern.from_component_side(), _placed(footprint, rotation_deg, shift_mm)
    box = _box(pattern.holes, spots)
    title = title or f"{footprint.name} in {pattern.name}"
    text_width = max(1.7 * len(one_line(title)), 1.2 * len(one_line(note)))  # mm a letter at these sizes, generously
    width = max(2 * box.width + _MARGIN, BAR_MM, text_width) + 2 * _MARGIN
    height = box.height + 35.0
    parts = [
        _heading(title, note),
        *_sides(pattern, spots, assignment, box),
        _foot(footprint, pattern, box.height + 16.0),
    ]
    return _svg(width, height, title, parts)


def _placed(footprint: Footprint, rotation_deg: float, shift_mm: tuple[float, float]) -> tuple[_Spot, ...]:
    c, s = cos(radians(rotation_deg)), sin(radians(rotation_deg))
    dx, dy = shift_mm
    return tuple(
        _Spot(p, p.x_mm * c - p.y_mm * s + dx, p.x_mm * s + p.y_mm * c + dy, _turned(p, rotation_deg))
        for p in footprint.from_component_side().pins
    )


def _turned(pin: Pin, rotation_deg: float) -> float | None:
    return None if pin.lead_angle_deg is None else pin.lead_angle_deg + rotation_deg


def _box(holes: Iterable[Hole], spots: Iterable[_Spot]) -> _Box:
    """What both sides need, with room for the labels around it."""
    points = [(h.x_mm, h.y_mm) for h in holes] + [(s.x, s.y) for s in spots] or [(0.0, 0.0)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    room = 5.0
    return _Box(min(xs) - room, min(ys) - room, max(xs) - min(xs) + 2 * room, max(ys) - min(ys) + 2 * room)


def _sides(pattern: HolePattern, spots: Iterable[_Spot], assignment: Mapping[str, str], box: _Box) -> list[str]:
    spots = tuple(spots)
    component = _side("component side", 1, pattern, spots, assignment, box, _MARGIN)
    solder = _side("solder side (mirrored)", -1, pattern, spots, assignment, box, 2 * _MARGIN + box.width)
    return [component, solder]


def _side(
    name: str,
    sign: int,
    pattern: HolePattern,
    spots: tuple[_Spot, ...],
    assignment: Mapping[str, str],
    box: _Box,
    left: float,
) -> str:
    """One side as a group. Mirroring turns the sign of x for the shapes; labels stay readable."""
    origin = -box.left if sign > 0 else box.left + box.width
    holes = {h.name: h for h in pattern.holes}
    used = set(assignment.values())
    parts = [_board(box), _text(0, -1.2, name, "small")]
    parts += [_hole(h, sign, h.name in used) for h in pattern.holes]
    parts += [_pin(s, sign, holes.get(assignment.get(s.pin.name, ""))) for s in spots]
    shapes = "\n".join(parts[2:])
    moved = f'<g transform="translate({_n(origin)} {_n(-box.top)})">\n{shapes}\n</g>'
    return f'<g transform="translate({_n(left)} 14)">\n{parts[0]}\n{parts[1]}\n{moved}\n</g>'


def _hole(hole: Hole, sign: int, used: bool) -> str:
    x, y, drill = sign * hole.x_mm, hole.y_mm, hole.drill_mm
    radius = (drill or _UNSTATED_MM) / 2
    kinds = ["hole", *([] if used else ["empty"]), *([] if drill else ["unstated"])]
    label = hole.name + (f" {hole.net}" if hole.net else "")
    circle = f'<circle class="{" ".join(kinds)}" cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}"/>'
    return circle + _text(x, y - radius - 0.5, label, anchor="middle")


def _pin(spot: _Spot, sign: int, hole: Hole | None) -> str:
    x, y = sign * spot.x, spot.y
    missed = _misses(spot, hole)
    kind = "pin miss" if missed else "pin"
    reach = (spot.pin.lead_diameter_mm or _UNSTATED_MM) / 2
    shape = _lead(spot, sign, x, y, kind) + (_cross(x, y, max(reach, 0.6)) if missed else "")
    drill = (hole.drill_mm if hole else None) or 0.0
    return shape + _text(x, y + max(reach, drill / 2) + 1.6, f"pin {spot.pin.name}", anchor="middle")


def _misses(spot: _Spot, hole: Hole | None) -> bool:
    """No hole, or a lead that stands out of it. Where a size is not stated nothing is claimed but a missing hole."""
    if hole is None:
        return True
    lead = spot.pin.lead_diameter_mm
    if lead is None or hole.drill_mm is None:
        return False
    return hypot(spot.x - hole.x_mm, spot.y - hole.y_mm) + lead / 2 > hole.drill_mm / 2 + 1e-6


def _lead(spot: _Spot, sign: int, x: float, y: float, kind: str) -> str:
    """Round, or flat at its angle; a flat lead of unstated angle is the circle that it needs at any angle, dashed."""
    pin = spot.pin
    if pin.lead_mm is not None and pin.lead_width_mm is not None and spot.angle_deg is not None:
        long, short = max(pin.lead_mm, pin.lead_width_mm), min(pin.lead_mm, pin.lead_width_mm)
        turn = f'transform="rotate({_n(sign * spot.angle_deg)} {_n(x)} {_n(y)})"'
        size = f'width="{_n(long)}" height="{_n(short)}"'
        return f'<rect class="{kind}" x="{_n(x - long / 2)}" y="{_n(y - short / 2)}" {size} {turn}/>'
    sure = pin.lead_mm is not None and pin.lead_width_mm is None
    radius = (pin.lead_diameter_mm or _UNSTATED_MM) / 2
    kind += "" if sure else " unstated"
    return f'<circle class="{kind}" cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}"/>'


def _cross(x: float, y: float, reach: float) -> str:
    a, b, c, d = _n(x - reach), _n(y - reach), _n(x + reach), _n(y + reach)
    return f'<path class="bar" d="M{a} {b}L{c} {d}M{a} {d}L{c} {b}"/>'


def _board(box: _Box) -> str:
    return f'<rect class="board" width="{_n(box.width)}" height="{_n(box.height)}"/>'


def _heading(title: str, note: str) -> str:
    return _text(_MARGIN, 5, title, "big") + _text(_MARGIN, 9, note, "small")


def _foot(footprint: Footprint, pattern: HolePattern, top: float) -> str:
    """The bar, what it is for, and how to read the greys."""
    ticks = "".join(f"M{_n(_MARGIN + mm)} {_n(top + 1)}v2" for mm in range(0, int(BAR_MM) + 1, 10))
    bar = f'<path class="bar" d="M{_n(_MARGIN)} {_n(top + 2)}h{_n(BAR_MM)}{ticks}"/>'
    lines = [
        "print at 100 %: this bar must measure 50 mm",
        "grey: pin; black with a cross: misses",
        "dashed: size not stated",
    ]
    unknown = [t.name for t in (footprint, pattern) if t.view is View.UNKNOWN]
    if unknown:
        lines.append(f"side unknown, drawn as if from the component side: {', '.join(unknown)}")
    return bar + "".join(_text(_MARGIN, top + 6 + 2.6 * i, line, "small") for i, line in enumerate(lines))


def _text(x: float, y: float, text: str, kind: str = "", anchor: str = "") -> str:
    if not text:
        return ""
    marks = (f' class="{kind}"' if kind else "") + (f' text-anchor="{anchor}"' if anchor else "")
    return f'<text x="{_n(x)}" y="{_n(y)}"{marks}>{escape(one_line(text))}</text>'


def _svg(width: float, height: float, title: str, parts: Iterable[str]) -> str:
    size = f'width="{_n(width)}mm" height="{_n(height)}mm" viewBox="0 0 {_n(width)} {_n(height)}"'
    head = f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img">'
    back = f'<rect width="{_n(width)}" height="{_n(height)}" fill="#fff"/>'
    name = f"<title>{escape(one_line(title))}</title><style>{_STYLE}</style>"
    return "\n".join([head, name, back, *parts, "</svg>", ""])


def _n(value: float) -> str:
    """To a thousandth of a millimetre, without needless zeros."""
    return f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")
