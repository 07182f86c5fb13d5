"""Knows how a drawing is written as SVG: its numbers, its shapes, its words and its frame.

Words are escaped and on one line, whatever they hold. A drawing states its own size, is white behind, carries its title
for those who cannot see it, and may stand inside an HTML page, also several times.
"""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from bom.paper.writing import one_line


def number(value: float) -> str:
    """To a thousandth, without needless zeros.

    >>> number(2.5), number(1 / 3), number(-0.0001)
    ('2.5', '0.333', '0')
    """
    return f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")


def text(x: float, y: float, words: object, kind: str = "", anchor: str = "", more: str = "") -> str:
    """Words at a place, of a class, with ``anchor`` start, middle or end; nothing where there are none."""
    if not (said := escape(one_line(words))):
        return ""
    return f'<text x="{number(x)}" y="{number(y)}"{_class(kind)}{_named("text-anchor", anchor)}{more}>{said}</text>'


def rect(x: float, y: float, width: float, height: float, kind: str = "", more: str = "") -> str:
    """A rectangle from its left and top; ``more`` are further attributes, a blank before them."""
    size = f'x="{number(x)}" y="{number(y)}" width="{number(width)}" height="{number(height)}"'
    return f"<rect{_class(kind)} {size}{more}/>"


def circle(x: float, y: float, radius: float, kind: str = "", more: str = "") -> str:
    """A circle round its middle."""
    return f'<circle{_class(kind)} cx="{number(x)}" cy="{number(y)}" r="{number(radius)}"{more}/>'


def path(way: str, kind: str = "", more: str = "") -> str:
    """A line along a way as SVG writes it: ``M0 0H5``."""
    return f'<path{_class(kind)} d="{way}"{more}/>'


def filled(pattern: str) -> str:
    """The attribute that fills a shape with a pattern of the drawing."""
    return f' fill="url(#{pattern})"'


def moved(x: float, y: float, shapes: Iterable[str]) -> str:
    """Shapes that are drawn from a corner of their own, put where that corner goes."""
    return f'<g transform="translate({number(x)} {number(y)})">\n{_joined(shapes)}\n</g>'


def drawing(
    title: object,
    size: tuple[float, float],
    style: str,
    parts: Iterable[str],
    *,
    unit: str = "",
    kind: str = "",
    defs: str = "",
) -> str:
    """A whole drawing of this width and height in ``unit`` (mm, or pixels); ``kind`` is the class its style goes by."""
    width, height = map(number, size)
    within = _joined(parts)
    named = f"<title>{escape(one_line(title))}</title><style>{style}</style>{f'<defs>{defs}</defs>' if defs else ''}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg"{_class(kind)} width="{width}{unit}" height="{height}{unit}"'
        f' viewBox="0 0 {width} {height}" role="img">\n{named}\n'
        f'<rect width="{width}" height="{height}" fill="#fff"/>\n{within}\n</svg>\n'
    )


def _joined(parts: Iterable[str]) -> str:
    return "\n".join(part for part in parts if part)


def _class(kind: str) -> str:
    return _named("class", kind)


def _named(name: str, value: str) -> str:
    return f' {name}="{value}"' if value else ""
