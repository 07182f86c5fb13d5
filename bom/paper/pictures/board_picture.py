"""Knows how a whole board is drawn: every position in its place and turn, the solder side beside the component side.

It is in true proportion at a stated scale that fits A4, with a bar to check a print by, and needs no colour. The
first pin of each fitted part has a square round its hole; what each position does stands below. A name is written
where it covers no hole and no other name, and left out where nothing is free; the holes' file has them all. Where
nobody states how positions lie to each other each is drawn by itself, and that is said.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import chain, product
from textwrap import wrap

from bom.boards.board import Hole
from bom.paper.svg import circle, drawing, moved, number, path, rect, text
from bom.paper.writing import one_line

Point = tuple[float, float]

WIDE = 174.0
"""Millimetres of A4 between usual margins (ISO 216 less 16 mm on each side), less an edge."""
SCALES = (3.0, 2.5, 2.0, 1.75, 1.5, 1.25, 1.0, 0.75, 0.5, 0.4, 0.3, 0.25, 0.2, 0.15, 0.1)
BAR_MM = 50.0
_EDGE = 2.0
_PAD = 3.0  # round all that is drawn
_FRAME = 1.8  # mm of the board from the outermost holes to a frame round them
_GAP, _LINE, _HEAD = 6.0, 4.0, 5.5
_MUCH = 1.6  # times larger, which is worth leaving the sides beside each other for; own choice
_EM, _CAPITAL = 0.7, 0.8  # how wide letters are at most, in their own height, bold ones too
_BIG, _MIDDLE, _SMALL = 3.6, 2.5, 2.1
_UNSTATED_MM = 1.0  # a drill that nobody stated, drawn dashed
_STYLE = (
    "svg.board text{font-family:sans-serif;fill:#000}"
    f"svg.board .big{{font-size:{_BIG}px;font-weight:bold}}svg.board .middle{{font-size:{_MIDDLE}px}}"
    f"svg.board .small{{font-size:{_SMALL}px}}svg.board .title{{font-size:4.4px;font-weight:bold}}"
    "svg.board .edge{fill:none;stroke:#777;stroke-width:.25}svg.board .body{fill:#f4f4f4;stroke:#555;stroke-width:.25}"
    "svg.board .marked{fill:#d9d9d9;stroke:#000;stroke-width:.6}svg.board .loose{stroke-dasharray:1.2 .8}"
    "svg.board .hole{fill:#fff;stroke:#000;stroke-width:.3}svg.board .unstated{stroke-dasharray:.5 .4}"
    "svg.board .free{fill:#fff;stroke:#000;stroke-width:.2}svg.board .lead{fill:#000}"
    "svg.board .first{fill:none;stroke:#000;stroke-width:.45}svg.board .bar{fill:none;stroke:#000;stroke-width:.4}"
)


@dataclass(frozen=True, slots=True)
class Drawn:
    """A position as it is drawn, from the component side, in mm.

    ``pins`` is hole name to the pin that goes in; empty = nobody knows, and the holes' own names are written. ``first``
    is the hole with the mark of pin 1; empty = not known. ``body`` are the corners of the fitted part, () = not known.
    ``does`` says what it does, a line each; ``marked`` sets it off from the others.
    """

    ref: str
    fitted: str
    holes: tuple[Hole, ...]
    pins: dict[str, str] = field(default_factory=dict)
    first: str = ""
    body: tuple[Point, ...] = ()
    does: tuple[str, ...] = ()
    marked: bool = False

    @property
    def reach(self) -> tuple[Point, ...]:
        """Points that the picture must show."""
        return (*((h.x_mm, h.y_mm) for h in self.holes), *self.outline)

    @property
    def outline(self) -> tuple[Point, ...]:
        """The corners of the part, else of a frame round its holes."""
        if self.body:
            return self.body
        xs, ys = [h.x_mm for h in self.holes], [h.y_mm for h in self.holes]
        left, top, right, bottom = min(xs) - _FRAME, min(ys) - _FRAME, max(xs) + _FRAME, max(ys) + _FRAME
        return ((left, top), (right, top), (right, bottom), (left, bottom))


@dataclass(frozen=True, slots=True)
class BoardDrawn:
    """A board as it is drawn: ``together`` are the positions that share one zero, each of ``apart`` has its own."""

    title: str
    together: tuple[Drawn, ...]
    apart: tuple[Drawn, ...] = ()

    @property
    def positions(self) -> tuple[Drawn, ...]:
        return (*self.together, *self.apart)


@dataclass(frozen=True, slots=True)
class Words:
    """Words where they stand on paper: left, top, width and height in mm, and the class of their letters."""

    said: str
    left: float
    top: float
    size: float
    kind: str

    @property
    def box(self) -> Box:
        return (self.left, self.top, self.left + _long(self.said, self.size), self.top + self.size)

    @property
    def svg(self) -> str:
        return text(self.left, self.top + 0.8 * self.size, self.said, self.kind)


Box = tuple[float, float, float, float]


def _long(said: str, size: float) -> float:
    """How long words are at most, in mm: capitals are wider than digits and most letters."""
    return size * sum(_CAPITAL if letter.isupper() else _EM for letter in said)


def board_drawing(board: BoardDrawn, care: Sequence[str] = (), tall: float = 200.0) -> str:
    """The SVG, no wider than A4; its drawings are no taller than ``tall`` mm, where any scale allows that.

    ``care`` are the cautions of a drawing that stands alone.
    """
    panels = [*([board.together] if board.together else []), *((one,) for one in board.apart)]
    scale, stacked = _scale(panels, tall)
    y, parts = 4.4 + 2.0, [text(0, 4.4, one_line(board.title), "title")]
    for line in _opening(board, scale):
        y += _LINE
        parts.append(text(0, y, line, "middle"))
    parts += _bar(y + 3.0)
    y += 9.0
    x, row = 0.0, 0.0
    for panel in panels:
        wide, high = _unit(panel, scale, stacked)
        if x and x + wide > WIDE:
            x, y, row = 0.0, y + row + _GAP, 0.0
        parts += _sides(panel, scale, stacked, (x, y), bool(board.apart))
        x, row = x + wide + _GAP, max(row, high)
    y += row + _GAP
    for line in (*_told(board), *care):
        for n, piece in enumerate(wrap(one_line(line), int(WIDE / (0.57 * _MIDDLE)), subsequent_indent="    ")):
            y += _LINE * (0.9 if n else 1.0)
            parts.append(text(4.0 if n else 0.0, y, piece.strip(), "middle"))
    size = (WIDE + 2 * _EDGE, y + 2 * _EDGE)
    return drawing(board.title, size, _STYLE, [moved(_EDGE, _EDGE, parts)], unit="mm", kind="board")


def _opening(board: BoardDrawn, scale: float) -> Iterator[str]:
    size = "at its true size" if scale == 1 else f"{scale:g} times its true size"
    yield f"Drawn {size}. Print at 100 %: the bar must measure {BAR_MM:g} mm."
    if len(board.apart) > 1 or (board.apart and board.together):
        alone = ", ".join(one.ref for one in board.apart)
        yield f"Nobody states how these lie to each other, so each is drawn by itself: {alone}."
    dashed = any(h.drill_mm is None for one in board.positions for h in one.holes)
    first = "A square: the first pin of the part. " if any(one.first for one in board.positions) else ""
    loose = (
        "A dashed frame: holes only, no outline of a body is known. "
        if any(not p.body for p in board.positions)
        else ""
    )
    if said := f"{first}{loose}{'A dashed hole: its drill is not stated.' if dashed else ''}".strip():
        yield said


def _bar(y: float) -> list[str]:
    ticks = "".join(f"M{number(mm)} {number(y - 1)}v2" for mm in range(0, int(BAR_MM) + 1, 10))
    return [path(f"M0 {number(y)}h{number(BAR_MM)}{ticks}", "bar")]


def _told(board: BoardDrawn) -> Iterator[str]:
    """What each position does."""
    for one in board.positions:
        fitted = f" {one.fitted}" if one.fitted else ""
        yield f"{one.ref}{fitted}: {'; '.join(one.does) or 'what it does is not stated'}"


def _scale(panels: Sequence[Sequence[Drawn]], tall: float) -> tuple[float, bool]:
    """The largest scale at which all fits, and whether the sides then stand one above the other, which they do only
    where that makes them much larger."""
    beside, above = (_largest(panels, tall, stacked) for stacked in (False, True))
    return (above, True) if above >= _MUCH * beside else (beside, False)


def _largest(panels: Sequence[Sequence[Drawn]], tall: float, stacked: bool) -> float:
    for scale in SCALES:
        units = [_unit(panel, scale, stacked) for panel in panels]
        if all(wide <= WIDE for wide, _ in units) and _height(units) <= tall:
            return scale
    return SCALES[-1]


def _height(units: Sequence[tuple[float, float]]) -> float:
    """How tall units are that stand beside each other, row below row."""
    x, total, row = 0.0, 0.0, 0.0
    for wide, high in units:
        if x and x + wide > WIDE:
            x, total, row = 0.0, total + row + _GAP, 0.0
        x, row = x + wide + _GAP, max(row, high)
    return total + row


def _extent(panel: Sequence[Drawn]) -> Box:
    """Left, top, right and bottom of all that is drawn, in the board's mm."""
    points = [point for one in panel for point in one.reach] or [(0.0, 0.0)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def _size(panel: Sequence[Drawn], scale: float) -> tuple[float, float]:
    """One side on paper, wide enough for each reference."""
    left, top, right, bottom = _extent(panel)
    named = max(_long(one.ref, _BIG) for one in panel) + 2.0
    return max(scale * (right - left) + 2 * _PAD, named, 26.0), max(scale * (bottom - top) + 2 * _PAD, 14.0)


def _unit(panel: Sequence[Drawn], scale: float, stacked: bool) -> tuple[float, float]:
    """Both sides on paper with what stands above them."""
    wide, high = _size(panel, scale)
    return (wide, 2 * (high + _HEAD) + _GAP) if stacked else (2 * wide + _GAP, high + _HEAD)


def _sides(panel: Sequence[Drawn], scale: float, stacked: bool, at: Point, named: bool) -> Iterator[str]:
    wide, high = _size(panel, scale)
    off = (0.0, high + _HEAD + _GAP) if stacked else (wide + _GAP, 0.0)
    who = f"{', '.join(one.ref for one in panel)}: " if named else ""
    for said, sign, (x, y) in (
        (f"{who}component side", 1, at),
        (f"{who}solder side, mirrored", -1, (at[0] + off[0], at[1] + off[1])),
    ):
        short = said if _long(said, _MIDDLE) <= wide else said.removeprefix(who)
        yield text(x, y + 3.5, short, "middle")
        yield from Side(panel, scale, sign, (x, y + _HEAD), (wide, high)).shapes()


@dataclass(frozen=True)
class Side:
    """One side of some positions on paper: ``sign`` -1 mirrors it, ``at`` is its left and top, ``size`` its frame."""

    panel: Sequence[Drawn]
    scale: float
    sign: int
    at: Point
    size: Point

    @cached_property
    def middle(self) -> Point:
        """The middle of all that is drawn, in the board's mm; it stands in the middle of the frame."""
        left, top, right, bottom = _extent(self.panel)
        return (left + right) / 2, (top + bottom) / 2

    def place(self, point: Point) -> Point:
        """A point of the board on paper."""
        across, down = self.sign * (point[0] - self.middle[0]), point[1] - self.middle[1]
        return (
            self.at[0] + self.size[0] / 2 + self.scale * across,
            self.at[1] + self.size[1] / 2 + self.scale * down,
        )

    def shapes(self) -> Iterator[str]:
        yield rect(*self.at, *self.size, "edge", ' rx="1"')
        for one in self.panel:
            yield self._body(one)
        for one in self.panel:
            for hole in one.holes:
                yield from self._hole(one, hole)
        yield from (words.svg for words in self.words())

    def _body(self, one: Drawn) -> str:
        """The outline of the part, else a dashed frame round its holes."""
        kind = "marked" if one.marked else "body"
        points = " ".join(f"{number(x)},{number(y)}" for x, y in map(self.place, one.outline))
        return f'<polygon class="{kind if one.body else f"{kind} loose"}" points="{points}"/>'

    def _hole(self, one: Drawn, hole: Hole) -> Iterator[str]:
        """The hole at its size; a lead in it where a pin goes in, a square round the first."""
        (x, y), radius = self.place((hole.x_mm, hole.y_mm)), self._radius(hole)
        kind = ("hole" if not one.pins or hole.name in one.pins else "free") + ("" if hole.drill_mm else " unstated")
        if hole.slot_mm is not None and hole.slot_angle_deg is not None and hole.drill_mm is not None:
            long = self.scale * hole.slot_mm
            angle = number(self.sign * hole.slot_angle_deg)
            turn = f' rx="{number(radius)}" transform="rotate({angle} {number(x)} {number(y)})"'
            yield rect(x - long / 2, y - radius, long, 2 * radius, kind, turn)
        else:
            yield circle(x, y, radius, kind)
        if hole.name in one.pins:
            yield circle(x, y, 0.5 * radius, "lead")
        if hole.name == one.first:
            half = radius + 0.7
            yield rect(x - half, y - half, 2 * half, 2 * half, "first")

    def _radius(self, hole: Hole) -> float:
        return max(self.scale * (hole.drill_mm or _UNSTATED_MM) / 2, 0.3)

    def _taken(self, one: Drawn, hole: Hole) -> Box:
        """What a hole, with its mark, covers on paper."""
        (x, y), wide = self.place((hole.x_mm, hole.y_mm)), self.scale * (hole.slot_mm or 0.0) / 2
        half = max(self._radius(hole), wide) + (1.0 if hole.name == one.first else 0.15)
        return (x - half, y - half, x + half, y + half)

    def words(self) -> list[Words]:
        """References first, then the parts, then pins; none covers a hole or another, and none leaves the frame."""
        taken = [self._taken(one, hole) for one in self.panel for hole in one.holes]
        written: list[Words] = []
        for one in self.panel:
            outline = self._outline(one)
            over = _clear_first(one.ref, _BIG, outline, [*self._over(outline, one.ref)])
            name = self._free(one.ref, _BIG, "big", over, taken)
            if name is None:
                continue
            taken.append(name.box)
            left, top, right, bottom = outline
            inside = (left + 0.6, top + 0.6, right - 0.6, bottom - 0.6)
            places = chain(self._under(name, one.fitted), self._over(outline, one.fitted, _MIDDLE))
            part = self._free(one.fitted, _MIDDLE, "middle", places, taken, inside) if one.fitted else None
            written += [name, *([part] if part else [])]
            taken += [part.box] if part else []
        for one in self.panel:
            for hole in one.holes:
                said = one.pins.get(hole.name, "") if one.pins else hole.name
                near = _clear_first(said, _SMALL, self._outline(one), [*self._beside(one, hole, said)])
                if said and (found := self._free(said, _SMALL, "small", near, taken)):
                    written.append(found)
                    taken.append(_apart(found.box))
        return written

    def _free(
        self,
        said: str,
        size: float,
        kind: str,
        places: Iterable[Point],
        taken: Sequence[Box],
        inside: Box | None = None,
    ) -> Words | None:
        """The words at the first of these places (left, top) where nothing is in their way, and all are inside."""
        for left, top in places:
            words = Words(said, left, top, size, kind)
            within = inside is None or _holds(inside, words.box)
            if within and self._inside(words.box) and not any(_meets(words.box, other) for other in taken):
                return words
        return None

    def _outline(self, one: Drawn) -> Box:
        """The box round a part on paper."""
        corners = [self.place(point) for point in one.outline]
        xs, ys = [x for x, _ in corners], [y for _, y in corners]
        return min(xs), min(ys), max(xs), max(ys)

    def _inside(self, box: Box) -> bool:
        (x, y), (wide, high) = self.at, self.size
        return box[0] >= x + 0.4 and box[1] >= y + 0.4 and box[2] <= x + wide - 0.4 and box[3] <= y + high - 0.4

    def _under(self, name: Words, said: str) -> Iterator[Point]:
        """Below a reference, and above it."""
        left, top, right, bottom = name.box
        x = (left + right - _long(said, _MIDDLE)) / 2
        yield from ((x, bottom + 0.2), (x, top - _MIDDLE - 0.2))

    def _over(self, outline: Box, said: str, size: float = _BIG) -> Iterator[Point]:
        """Places over the part, those nearest its middle first; then round it."""
        left, top, right, bottom = outline
        middle = ((left + right) / 2, (top + bottom) / 2)
        wide = _long(said, size)
        far, deep = (int(long / 2) + 10 for long in (right - left, bottom - top))
        steps = product(range(-far, far + 1), range(-deep, deep + 1))
        near = sorted((dx * dx + 4 * dy * dy, dx, dy) for dx, dy in steps)
        yield from ((middle[0] + dx - wide / 2, middle[1] + dy - size / 2) for _, dx, dy in near)

    def _beside(self, one: Drawn, hole: Hole, said: str) -> Iterator[Point]:
        """Right, left, above, below of the hole, then askew."""
        left, top, right, bottom = self._taken(one, hole)
        wide, x, y = _long(said, _SMALL), (left + right) / 2, (top + bottom) / 2
        across = (right + 0.4, left - wide - 0.4)
        down = (top - _SMALL - 0.3, bottom + 0.3)
        yield from ((place, y - _SMALL / 2) for place in across)
        yield from ((x - wide / 2, place) for place in down)
        yield from product(across, down)


def _clear_first(said: str, size: float, outline: Box, places: Sequence[Point]) -> Iterator[Point]:
    """Places where the words would not stand across the outline of their part, then the others."""

    def across(place: Point) -> bool:
        box = Words(said, *place, size, "").box
        return _meets(box, outline) and not _holds(outline, box)

    yield from (place for place in places if not across(place))
    yield from (place for place in places if across(place))


def _apart(box: Box) -> Box:
    """The box with room beside it, so that two names do not read as one."""
    return box[0] - 0.8, box[1], box[2] + 0.8, box[3]


def _holds(outer: Box, box: Box) -> bool:
    return outer[0] <= box[0] and outer[1] <= box[1] and box[2] <= outer[2] and box[3] <= outer[3]


def _meets(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
