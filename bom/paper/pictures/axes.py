"""Knows how a picture with two axes is laid out as SVG: scales, ticks, lines told apart by dashes and letters, a key.

Everything is told twice, never by colour alone: each line has its own dashes and a letter, each mark its own shape, and
the key below says both in words. Text is escaped and on one line.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import ceil, floor, log10
from string import ascii_lowercase

from bom.paper.svg import drawing, filled, moved, number, path, rect, text
from bom.paper.writing import one_line

WIDTH = 480.0
LEFT, RIGHT, TOP, BOTTOM = 58.0, 446.0, 66.0, 338.0  # the corners of the plot
KEY_LETTERS = 54  # letters of a line of the key at its size
Point = tuple[float, float]

STYLE = (
    "svg.duty text{font:14px system-ui,sans-serif;fill:#111}svg.duty .title{font-size:16px;font-weight:600}"
    "svg.duty .small{font-size:13px;fill:#333}"
    "svg.duty .on{font-size:13px;paint-order:stroke;stroke:#fff;stroke-width:4px}"
    "svg.duty .letter{font-weight:700;font-size:13px}"
    "svg.duty .frame{fill:none;stroke:#111;stroke-width:1.2}svg.duty .grid{stroke:#d5d5d5;stroke-width:1}"
    "svg.duty .line{fill:none;stroke:#111;stroke-width:2}svg.duty .thick{stroke-width:3.2}"
    "svg.duty .mark{fill:#111;stroke:#fff;stroke-width:1.5}svg.duty .open{fill:#fff;stroke:#111;stroke-width:2}"
    "svg.duty .band{fill:#ededed}svg.duty .edge{stroke:#555;stroke-width:1.4;fill:none}svg.duty .box{stroke:#555}"
    "svg.duty .lead{stroke:#888;stroke-width:.8}"
)
DASHES = ("", "9 5", "2 4", "12 4 2 4", "5 3", "1 3", "14 6", "6 3 1 3 1 3")


@dataclass(frozen=True, slots=True)
class Scale:
    """From a quantity to the picture: ``low`` at ``start``, ``high`` at ``end``; ``by_decades`` is logarithmic."""

    low: float
    high: float
    start: float
    end: float
    by_decades: bool = False

    def at(self, value: float) -> float:
        """The place of a value; one outside is brought to the nearer edge."""
        value = min(max(value, self.low), self.high)
        if self.by_decades:
            share = (log10(value) - log10(self.low)) / (log10(self.high) - log10(self.low))
        else:
            share = (value - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)

    def ticks(self) -> list[float]:
        return _decade_ticks(self.low, self.high) if self.by_decades else _even_ticks(self.low, self.high)


def _even_ticks(low: float, high: float) -> list[float]:
    """At most nine, at steps of 1, 2 or 5 times a power of ten."""
    size = 10.0 ** floor(log10((high - low) / 8))
    step = next(size * times for times in (1, 2, 5, 10) if (high - low) / (size * times) <= 8)
    return [round(n * step, 9) for n in range(ceil(low / step - 1e-9), floor(high / step + 1e-9) + 1)]


def _decade_ticks(low: float, high: float) -> list[float]:
    """1, 2 and 5 of each decade; of many decades the 1 alone."""
    decades = range(floor(log10(low)), ceil(log10(high)) + 1)
    firsts = (1.0,) if len(decades) > 4 else (1.0, 2.0, 5.0)
    found = [first * 10.0**decade for decade in decades for first in firsts]
    return [t for t in found if low * (1 - 1e-9) <= t <= high * (1 + 1e-9)]


@dataclass(slots=True)
class Picture:
    """A picture being drawn: its two scales, what is in the plot, and what the key says of it."""

    title: str
    part: str
    x: Scale
    y: Scale
    x_words: str
    y_words: str
    note: str = ""
    shapes: list[str] = field(default_factory=list)
    key: list[tuple[str, str]] = field(default_factory=list)  # a sample, and its words
    ends: list[tuple[str, float]] = field(default_factory=list)  # a letter, and its height

    def line(self, points: Sequence[Point], words: str, thick: bool = False) -> None:
        """A line in dashes of its own, with a letter at its right end and words in the key."""
        letter = ascii_lowercase[len(self.ends) % 26]
        dash = DASHES[len(self.ends) % len(DASHES)]
        kind = "line thick" if thick else "line"
        self.shapes.append(_path(kind, self._placed(points), dash))
        self.ends.append((letter, self.y.at(points[-1][1])))
        self.key.append((_path(kind, [(0, -4), (34, -4)], dash) + text(48, 0, letter, "letter"), words))

    def mark(self, point: Point, shape: str, words: str, number: str = "") -> None:
        """A mark of one of the shapes, with words in the key (none: only drawn); ``number`` tells like shapes apart."""
        x, y = self.x.at(point[0]), self.y.at(point[1])
        self.shapes.append(mark(shape, x, y))
        if number:
            self.shapes.append(text(x + 10, y + 5, number, "on letter"))
        if words:
            self.key.append((mark(shape, 17, -4) + (text(48, 0, number, "letter") if number else ""), words))

    def area(self, corners: Sequence[Point], pattern: str, words: str) -> None:
        """A hatched area."""
        if len(corners) > 2:
            self.shapes.append(_path("", self._placed(corners), fill=filled(pattern), closed=True))
            self.key.append((rect(0, -13, 34, 16, "box", filled(pattern)), words))

    def _placed(self, points: Sequence[Point]) -> list[Point]:
        return [(self.x.at(x), self.y.at(y)) for x, y in points]

    def drawn(self, defs: str = "") -> str:
        """The SVG."""
        key, height = self._key(BOTTOM + 58)
        parts = [
            text(0, 18, self.title, "title"),
            text(0, 37, self.part, "small"),
            self._grid(),
            *self.shapes,
            FRAME,
            *self._letters(),
            key,
        ]
        return drawing(f"{self.title}, {self.part}", (WIDTH, height), STYLE, parts, kind="duty", defs=defs)

    def _grid(self) -> str:
        across = "".join(self._across(v) for v in self.y.ticks())
        up = "".join(self._up(v) for v in self.x.ticks())
        names = text((LEFT + RIGHT) / 2, BOTTOM + 38, self.x_words, anchor="middle") + text(0, TOP - 9, self.y_words)
        return across + up + names

    def _across(self, value: float) -> str:
        y = self.y.at(value)
        line = path(f"M{number(LEFT)} {number(y)}H{number(RIGHT)}", "grid")
        return line + text(LEFT - 6, y + 5, f"{value:g}", anchor="end")

    def _up(self, value: float) -> str:
        x = self.x.at(value)
        line = path(f"M{number(x)} {number(TOP)}V{number(BOTTOM)}", "grid")
        return line + text(x, BOTTOM + 18, minus(f"{value:g}"), anchor="middle")

    def _letters(self) -> Iterable[str]:
        """Letters beside the lines' ends, spread so that none covers another."""
        heights = spread([height for _, height in self.ends], 14.0, TOP, BOTTOM)
        for (letter, end), height in zip(self.ends, heights, strict=True):
            yield path(f"M{number(RIGHT)} {number(end)}L{number(RIGHT + 10)} {number(height)}", "lead")
            yield text(RIGHT + 13, height + 4, letter, "letter")

    def _key(self, top: float) -> tuple[str, float]:
        """The key as a group, and the height that the picture comes to."""
        parts: list[str] = []
        y = top
        for sample, words in (*self.key, *([("", self.note)] if self.note else ())):
            lines = textwrap.wrap(_kept_together(words), KEY_LETTERS) or [""]
            parts.append(moved(0, y, [sample]))
            parts += [text(64 if sample else 0, y + 17 * i, line, "small") for i, line in enumerate(lines)]
            y += 17 * len(lines) + 5
        return "".join(parts), y


def _kept_together(words: str) -> str:
    """A number and its unit stay on one line (no-break spaces; the text itself has plain ones)."""
    return _UNIT.sub("\u00a0\\1", minus(one_line(words)))


_UNIT = re.compile(r"(?<=\d) (°C|V|A|s|mm)\b")


def minus(words: str) -> str:
    """A minus sign where a hyphen stands before a number."""
    return re.sub(r"(?<![\w.])-(?=\d)", "−", words)


FRAME = rect(LEFT, TOP, RIGHT - LEFT, BOTTOM - TOP, "frame")


def spread(wanted: Sequence[float], apart: float, low: float, high: float) -> list[float]:
    """Places near the wanted ones, in the same order, at least ``apart`` from each other where there is room."""
    order = sorted(range(len(wanted)), key=lambda i: (wanted[i], i))
    placed = list(wanted)
    for before, after in pairwise(order):
        placed[after] = max(placed[after], placed[before] + apart)
    over = max((p for p in placed), default=high) - high
    if over > 0:
        placed = [p - over for p in placed]
        for after, before in pairwise(reversed(order)):
            placed[before] = min(max(wanted[before], low), placed[after] - apart)
    return placed


_SHAPES = {
    "circle": "M{0} {1}m-6 0a6 6 0 1 0 12 0a6 6 0 1 0 -12 0",
    "triangle": "M{0} {1}m0 -8l8 14h-16z",
    "diamond": "M{0} {1}m0 -8l8 8l-8 8l-8 -8z",
    "square": "M{0} {1}m-6 -6h12v12h-12z",
    "ring": "M{0} {1}m-7 0a7 7 0 1 0 14 0a7 7 0 1 0 -14 0",
}


def mark(shape: str, x: float, y: float) -> str:
    kind = "open" if shape == "ring" else "mark"
    return path(_SHAPES[shape].format(number(x), number(y)), kind)


def _path(kind: str, points: Sequence[Point], dash: str = "", fill: str = "", closed: bool = False) -> str:
    way = "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points) + ("z" if closed else "")
    return path(way, kind, (f' stroke-dasharray="{dash}"' if dash else "") + fill)
