"""Knows how pins over holes are drawn: at true size in mm, from both sides of the board, readable without colour.

The checking bar is 50 mm: printed at 100 % it measures that, and then the drawing may be laid on the part.  The
component side stands again at three times its size, beside the rest where A4 is wide enough, and every pin in words.
A page that shrinks a drawing to fit is no longer true to size, so nothing is made wider than A4 but by the pattern.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from textwrap import wrap

from bom.boards.board import Hole, HolePattern
from bom.fit.measured_drawings import is_measured, most_error
from bom.paper.pictures.pins_over_holes import Scene, Side, marks_of, pattern_definitions, scene_of, side
from bom.paper.svg import circle, drawing, moved, number, path, rect, text
from bom.paper.writing import one_line
from bom.relays.footprint import Footprint, View
from bom.relays.wiring import Wiring

BAR_MM = 50.0
ENLARGED = 3.0
PAPER_MM = 180.0  # what stands side by side at most: A4 is 210 mm wide (ISO 216), less usual margins
_LEAST_BESIDE = 2.0  # enlarged less than this it had better stand below, larger
_MARGIN = 6.0
_LINE = 3.2  # mm from line to line of text
_ROUNDING_MM = 1e-6
_LETTER = 1.15  # mm a letter of text takes, a capital more
_CAPITAL = 1.4
_COMPONENT, _SOLDER = "component side, true size", "solder side (mirrored), true size"
_STYLE = (
    "svg.fit text{font:2px sans-serif;fill:#000}svg.fit .big{font-size:2.8px;font-weight:bold}"
    "svg.fit .tiny{font-size:1.15px}svg.fit .code{font-size:1.15px;font-weight:bold}"
    "svg.fit .code.large{font-size:2px}svg.fit .hole{fill:#fff;stroke:#000;stroke-width:.12}"
    "svg.fit .empty{fill:#ddd}svg.fit .unstated{stroke-dasharray:.4 .3}"
    "svg.fit .pin{stroke:#000;stroke-width:.1}svg.fit .plain{fill:#999}"
    "svg.fit .ring{fill:none;stroke:#000;stroke-width:.3}svg.fit .body{fill:none;stroke:#555;stroke-width:.15}"
    "svg.fit .bar{stroke:#000;stroke-width:.25;fill:none}svg.fit .board{fill:none;stroke:#777;stroke-width:.1}"
)


def fit_drawing(
    footprint: Footprint,
    pattern: HolePattern,
    assignment: Mapping[str, str],
    rotation_deg: float = 0.0,
    shift_mm: tuple[float, float] = (0.0, 0.0),
    title: str = "",
    note: str = "",
    *,
    wiring: Wiring | None = None,
    expected: Wiring | None = None,
    body_mm: tuple[float, float] | None = None,
    care: Sequence[str] = (),
) -> str:
    """An SVG of the pins over the holes: component side left, solder side (mirrored) right; enlarged and told below.

    A pin at (x, y) comes to lie at (x cos a - y sin a, x sin a + y cos a) + shift, a = ``rotation_deg``, x right, y
    down. ``assignment`` is pin name to hole name. ``wiring`` tells what each pin is, ``expected`` (its pins are hole
    names) what the board expects there; ``body_mm`` is length and width, drawn where the footprint states the middle.
    ``care`` are the cautions that go with a drawing that stands alone, below it.
    Safe to stand inside an HTML page, also several times.
    """
    scene = scene_of(footprint, pattern, assignment, (rotation_deg, shift_mm), marks_of(wiring), body_mm)
    title = title or f"{footprint.name} in {pattern.name}"
    foot = [*_foot_lines(scene, footprint, pattern), *care]
    return _Page(scene, title, note, _pin_lines(scene, marks_of(expected)), foot).svg()


class _Page:
    """The parts of the drawing, one under the other."""

    def __init__(self, scene: Scene, title: str, note: str, pins: list[list[str]], foot: list[str]) -> None:
        self.scene, self.title, self.pins, self.foot = scene, one_line(title), pins, foot
        self.widths = [max(map(_long, column)) + 2.5 for column in zip(*pins, strict=True)]
        room, box = PAPER_MM - 2 * _MARGIN, scene.box
        self.apart = max(box.width, _long(_COMPONENT)) + _MARGIN
        both = self.apart + max(box.width, _long(_SOLDER))
        self.stacked = both > room
        self.left = max(self.apart - _MARGIN if self.stacked else both, BAR_MM, sum(self.widths))
        self.scale = min(ENLARGED, room / box.width)
        if (beside := (room - self.left - _MARGIN) / box.width) >= _LEAST_BESIDE:
            self.scale = min(self.scale, beside)
        large = max(self.scale * box.width, _long(self._large_words))
        self.beside = self.left + _MARGIN + large <= room + _ROUNDING_MM
        across = (self.left + _MARGIN + large if self.beside else max(self.left, large), 90.0)
        self.width = max(*across, min(room, _long(self.title) * 1.45), *map(_long, foot)) + 2 * _MARGIN
        self.note = wrap(one_line(note), int((self.width - 2 * _MARGIN) / _LETTER))
        self.parts: list[str] = []
        self.y = _MARGIN

    def svg(self) -> str:
        self._heading()
        top = self.y
        self._true_size()
        self._bar()
        if self.beside:
            self.y += 1.5
            self._table()
            self._enlarged(_MARGIN + self.left + _MARGIN, top)
        else:
            self._enlarged(_MARGIN, self.y)
            self._table()
        self._foot()
        size = (self.width, self.y)
        return drawing(self.title, size, _STYLE, self.parts, unit="mm", kind="fit", defs=pattern_definitions())

    def _heading(self) -> None:
        self._write(self.title, "big")
        for line in self.note:
            self._write(line)

    def _true_size(self) -> None:
        self.y += 2.0
        tall = self.scene.box.height + 4.0
        self._seen(_COMPONENT, 1, _MARGIN, self.y)
        if self.stacked:
            self.y += tall + 1.0
        self._seen(_SOLDER, -1, _MARGIN if self.stacked else _MARGIN + self.apart, self.y)
        self.y += tall

    def _seen(self, words: str, sign: int, left: float, top: float) -> None:
        """One side at its true size, named."""
        self.parts.append(text(left, top, words))
        self._place(side(self.scene, Side(sign, 1.0)), left, top + 1.2, 1.0)

    def _bar(self) -> None:
        ticks = "".join(f"M{number(_MARGIN + mm)} {number(self.y)}v2" for mm in range(0, int(BAR_MM) + 1, 10))
        line = f"M{number(_MARGIN)} {number(self.y + 1)}h{number(BAR_MM)}{ticks}"
        self.parts.append(path(line, "bar"))
        self.y += 5.0
        self._write("Print at 100 %: this bar must measure 50 mm.")

    @property
    def _large_words(self) -> str:
        return f"component side, {self.scale:.1f} times true size".replace(".0 ", " ")

    def _enlarged(self, left: float, top: float) -> None:
        """The component side again; nothing where the pattern is as wide as the paper already."""
        if self.scale <= 1.0:
            return
        top += 2.0
        self.parts.append(text(left, top, self._large_words))
        self._place(side(self.scene, Side(1, self.scale)), left, top + 1.2, self.scale)
        self.y = max(self.y, top + self.scale * self.scene.box.height + 6.0)

    def _place(self, shapes: Iterable[str], left: float, top: float, scale: float) -> None:
        """A framed picture whose shapes are in mm from its own corner."""
        box = self.scene.box
        frame = rect(0, 0, scale * box.width, scale * box.height, "board")
        self.parts.append(moved(left, top, (frame, *shapes)))

    def _table(self) -> None:
        for row in self.pins:
            x = _MARGIN
            for cell, width in zip(row, self.widths, strict=True):
                self.parts.append(text(x, self.y, cell, "head" if row is self.pins[0] else ""))
                x += width
            self.y += _LINE
        self.y += 1.5

    def _foot(self) -> None:
        if self.scene.box.width > PAPER_MM - 2 * _MARGIN:
            self._write("Wider than A4: print on larger paper, or it is not true to size.")
        for line in self.foot:
            self._write(line)
        self.y += _MARGIN - _LINE

    def _write(self, words: str, kind: str = "") -> None:
        self.parts.append(text(_MARGIN, self.y, words, kind))
        self.y += _LINE


def _long(text: str) -> float:
    """About how long a line of text is, in mm, generously."""
    return sum(_CAPITAL if letter.isupper() else _LETTER for letter in text)


def _pin_lines(scene: Scene, expected: Mapping[str, tuple[object, ...]]) -> list[list[str]]:
    """A line for each pin: its hole, the hole's net, what it is, what the board expects there, and the room left."""
    head = ["pin", "hole", "net", "is", "the board expects", "play"]
    rows = [
        [s.pin.name, *_hole_words(s.hole), _words(s.marks) or _bare(scene), _expects(s.hole, expected), s.room_words]
        for s in scene.spots
    ]
    kept = [n for n in range(len(head)) if n in (0, 1, 5) or any(row[n] for row in rows)]
    return [[row[n] for n in kept] for row in (head, *rows)]


def _hole_words(hole: object) -> tuple[str, str]:
    return (getattr(hole, "name", "none"), getattr(hole, "net", ""))


def _words(marks: Iterable[object]) -> str:
    return ", ".join(str(getattr(mark, "words", "")) for mark in marks)


def _bare(scene: Scene) -> str:
    return "mechanical" if scene.wired else ""


def _expects(hole: object, expected: Mapping[str, tuple[object, ...]]) -> str:
    return _words(expected.get(getattr(hole, "name", ""), ()))


def _foot_lines(scene: Scene, footprint: Footprint, pattern: HolePattern) -> list[str]:
    lines = [f"Holes left empty (grey): {', '.join(scene.empty)}"] if scene.empty else []
    if scene.wired:
        lines.append("Letters: the unit, then c coil, p common, m make, b break; + the coil's positive end.")
        lines.append("Patterns: coil ruled, common solid, make hatched, break dotted; mechanical plain grey.")
    if any(s.missed for s in scene.spots):
        lines.append("A ring marks a pin that misses its hole, with how far it stands out in mm.")
    if scene.unstated:
        lines.append("Dashed: its size or angle is not stated.")
    if is_measured(footprint, pattern):
        errors = (("pins", most_error(footprint.pins)), ("holes", most_error(pattern.holes)))
        said = ", ".join(f"{what} to \N{PLUS-MINUS SIGN}{mm:.2f} mm" for what, mm in errors if mm)
        lines.append(f"Measured, {said}: lay this on the board before anything is soldered.")
    unknown = [t.name or "the drawing" for t in (footprint, pattern) if t.view is View.UNKNOWN]
    if unknown:
        lines.append(f"Side unknown, drawn as if from the component side: {', '.join(unknown)}")
    return lines


TIMES = 2.0
_EDGE, _GAP, _HEAD = 5.0, 6.0, 10.0
_POSITION_STYLE = (
    "text{font:2.2px sans-serif;fill:#000}.b{font-weight:bold;font-size:3.4px}.side{font-size:2.4px}"
    ".edge{fill:none;stroke:#777;stroke-width:.2}.hole{fill:#fff;stroke:#000;stroke-width:.3}"
    ".pin{fill:#000}.empty{fill:#fff;stroke:#000;stroke-width:.2;stroke-dasharray:.6 .5}"
)


def position_picture(pattern: HolePattern, assignment: Mapping[str, str], title: str) -> str:
    """An SVG; ``assignment`` is pin name to hole name. Pins are named black dots, holes without a pin are dashed."""
    holes = pattern.from_component_side().holes
    pins = {hole: pin for pin, hole in assignment.items()}
    left, top = min(h.x_mm for h in holes), min(h.y_mm for h in holes)
    wide = (max(h.x_mm for h in holes) - left) * TIMES + 2 * _EDGE
    tall = (max(h.y_mm for h in holes) - top) * TIMES + 2 * _EDGE
    spots = [(h, (h.x_mm - left) * TIMES + _EDGE, (h.y_mm - top) * TIMES + _EDGE) for h in holes]
    near = [_spot(h, x, y, pins.get(h.name, "")) for h, x, y in spots]
    far = [_spot(h, wide - x, y, pins.get(h.name, "")) for h, x, y in spots]
    parts = (
        text(0, 4, title, "b"),
        _framed(near, 0.0, (wide, tall), "component side"),
        _framed(far, wide + _GAP, (wide, tall), "solder side, mirrored"),
    )
    return drawing(title, (2 * wide + _GAP + 1, _HEAD + tall + 1), _POSITION_STYLE, parts, unit="mm")


def _spot(hole: Hole, x: float, y: float, pin: str) -> str:
    radius = (hole.drill_mm or 1.0) / 2 * TIMES
    if not pin:
        return circle(x, y, radius, "empty")
    name = text(x, y - radius - 0.6, pin, anchor="middle")
    return circle(x, y, radius, "hole") + circle(x, y, radius * 0.6, "pin") + name


def _framed(shapes: Iterable[str], x: float, size: tuple[float, float], name: str) -> str:
    frame = rect(0, 0, *size, "edge", ' rx="1"')
    return moved(x + 0.5, _HEAD, (frame, text(0, -1, name, "side"), *shapes))
