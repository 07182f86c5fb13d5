"""Knows the picture of a board position for who solders there: the holes and the new relay's pins by name, twice their
true size, from the component side and mirrored from the solder side."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

from bom.boards.board import Hole, HolePattern
from bom.paper.readable import one_line

TIMES = 2.0
_MARGIN, _GAP, _HEAD = 5.0, 6.0, 10.0
_STYLE = (
    "text{font:2.2px sans-serif;fill:#000}.b{font-weight:bold;font-size:3.4px}.side{font-size:2.4px}"
    ".edge{fill:none;stroke:#777;stroke-width:.2}.hole{fill:#fff;stroke:#000;stroke-width:.3}"
    ".pin{fill:#000}.empty{fill:#fff;stroke:#000;stroke-width:.2;stroke-dasharray:.6 .5}"
)


def position_picture(pattern: HolePattern, assignment: Mapping[str, str], title: str) -> str:
    """An SVG; ``assignment`` is pin name to hole name. Pins are named black dots, holes without a pin are dashed."""
    holes = pattern.from_component_side().holes
    pins = {hole: pin for pin, hole in assignment.items()}
    left, top = min(h.x_mm for h in holes), min(h.y_mm for h in holes)
    wide = (max(h.x_mm for h in holes) - left) * TIMES + 2 * _MARGIN
    tall = (max(h.y_mm for h in holes) - top) * TIMES + 2 * _MARGIN
    spots = [(h, (h.x_mm - left) * TIMES + _MARGIN, (h.y_mm - top) * TIMES + _MARGIN) for h in holes]
    near = "".join(_spot(h, x, y, pins.get(h.name, "")) for h, x, y in spots)
    far = "".join(_spot(h, wide - x, y, pins.get(h.name, "")) for h, x, y in spots)
    frames = _framed(near, 0.0, (wide, tall), "component side")
    frames += _framed(far, wide + _GAP, (wide, tall), "solder side, mirrored")
    return _svg(2 * wide + _GAP + 1, _HEAD + tall + 1, title, frames)


def _spot(hole: Hole, x: float, y: float, pin: str) -> str:
    radius = (hole.drill_mm or 1.0) / 2 * TIMES
    if not pin:
        return f'<circle class="empty" cx="{x:.2f}" cy="{y:.2f}" r="{radius:.2f}"/>'
    ring = f'<circle class="hole" cx="{x:.2f}" cy="{y:.2f}" r="{radius:.2f}"/>'
    dot = f'<circle class="pin" cx="{x:.2f}" cy="{y:.2f}" r="{radius * 0.6:.2f}"/>'
    name = f'<text x="{x:.2f}" y="{y - radius - 0.6:.2f}" text-anchor="middle">{escape(one_line(pin))}</text>'
    return ring + dot + name


def _framed(shapes: str, x: float, size: tuple[float, float], name: str) -> str:
    frame = f'<rect class="edge" width="{size[0]:.2f}" height="{size[1]:.2f}" rx="1"/>'
    said = f'<text class="side" y="-1">{escape(name)}</text>'
    return f'<g transform="translate({x + 0.5:.2f} {_HEAD:g})">{frame}{said}{shapes}</g>'


def _svg(width: float, height: float, title: str, inside: str) -> str:
    size = f'width="{width:.2f}mm" height="{height:.2f}mm" viewBox="0 0 {width:.2f} {height:.2f}"'
    name = escape(one_line(title))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img"><title>{name}</title><style>{_STYLE}</style>'
        f'<text class="b" y="4">{name}</text>{inside}</svg>'
    )
