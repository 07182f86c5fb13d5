"""Knows the labels for bags, drawers and boxes: words for people and a 2-D code for scanners, at true size in mm.

One label is an SVG. Several are one HTML page: in a grid on A4, to be cut or cut beforehand; or each on a page of its
own size, as a label printer wants them. Everything from outside is escaped; nothing is fetched.

The code is a QR code of the fields that goods-in reads back from any bag. They carry ANSI MH10.8.2 data identifiers
(P part, Q quantity, 1T lot, 10D date code, 14D use by) in an ISO/IEC 15434 envelope, format 06; both from memory. Error
correction M (15 %) and a quiet zone of 4 modules: ISO/IEC 18004, from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from html import escape

from bom.paper.svg import number, rect, text
from bom.paper.writing import one_line
from bom.values.problem import Refused

_LETTER = 0.58  # width of a letter over its height in a plain sans-serif, generously; measured on a common one
_BOLD = 0.64
_LEADING = 1.3
_MARGIN = 2.0
_WHITE = ' fill="#fff"'
_STYLE = "text{font-family:sans-serif;fill:#000}.b{font-weight:bold}.code{fill:#000}"


@dataclass(frozen=True, slots=True)
class Size:
    """How wide and how high a label is, in mm."""

    width: float
    height: float


A4 = Size(210, 297)


@dataclass(frozen=True, slots=True)
class Grid:
    """Labels side by side on A4: so many across and down within ``edge`` mm of white paper on every side."""

    across: int
    down: int
    edge: float = 8.0

    @property
    def cell(self) -> Size:
        """The size of each label.

        >>> Grid(2, 4, edge=5).cell
        Size(width=100.0, height=71.75)
        """
        return Size((A4.width - 2 * self.edge) / self.across, (A4.height - 2 * self.edge) / self.down)


BAG, BOX, DRAWER = Grid(3, 8), Grid(2, 4), Grid(3, 12)
"""How labels are laid out where nobody says. The edge is white because few printers reach it. Own choice."""


@dataclass(frozen=True, slots=True)
class Label:
    """``title`` in bold over ``lines``, the code beside them, everything within ``size``.

    ``big`` is the height of the title's letters in mm; ``aside`` a last line that stands only where there is room.
    """

    size: Size
    title: str
    lines: tuple[str, ...]
    carried: Carried
    big: float = 5.0
    aside: str = ""

    def __post_init__(self) -> None:
        side = _code_side(self)
        if side / modules_across(self.carried) < LEAST_MODULE_MM or self.size.width - side < LEAST_WORDS_MM:
            raise Refused(
                f"a label of {self.size.width:g} x {self.size.height:g} mm has no room for its code and words"
            )


LEAST_MODULE_MM = 0.3
"""Finer modules smear: under three dots of a 203 dpi label printer. Own choice."""

LEAST_WORDS_MM = 15.0
"""So much of the width is left for words beside the code. Own choice."""


@dataclass(frozen=True, slots=True)
class Packed:
    """What a bag or a box of kits says of itself; empty and None = not known."""

    kit: str
    board: str = ""
    repair: str = ""
    kit_lot: str = ""
    made: date | None = None
    use_by: date | None = None


def bag_label(packed: Packed, size: Size = BAG.cell, aside: str = "") -> Label:
    """For one kit's bag."""
    return Label(size, packed.kit, _about(packed), _carried(packed, 1), _big(size, 0.16), aside)


def box_label(
    packed: Packed, count: int, contents: Sequence[str] = (), size: Size = BOX.cell, aside: str = ""
) -> Label:
    """For a box of bags: how many, and what is in each."""
    bags = "1 bag" if count == 1 else f"{count} bags"
    lines = (bags, *_about(packed), *(("In each: " + ", ".join(contents),) if contents else ()))
    return Label(size, packed.kit, lines, _carried(packed, count), _big(size, 0.13), aside)


def drawer_label(drawer: str, part_number: str, name: str, unit: str, size: Size = DRAWER.cell) -> Label:
    """For a drawer of the shelf."""
    lines = (part_number, name, "" if unit == "piece" else f"counted in {unit}")
    return Label(size, drawer or "no drawer", lines, Carried(part_number), _big(size, 0.26))


def _big(size: Size, share: float) -> float:
    """The title's letters: this share of the height, or what fits some twenty letters side by side."""
    return min(size.height * share, size.width * 0.08)


def _about(packed: Packed) -> tuple[str, ...]:
    purpose = " ".join(filter(None, (f"for {packed.board}:" if packed.board else "", packed.repair)))
    dates = ", ".join(_day(word, day) for word, day in (("made", packed.made), ("use by", packed.use_by)) if day)
    return purpose.removesuffix(":"), f"kit lot {packed.kit_lot}" if packed.kit_lot else "", dates


def _day(word: str, day: date) -> str:
    return f"{word} {day.isoformat()}"


def _carried(packed: Packed, count: int) -> Carried:
    return Carried(packed.kit, str(count), packed.kit_lot, use_by=packed.use_by)


def label_drawing(label: Label) -> str:
    """The label as an SVG of its true size."""
    return _drawn(label, f'width="{label.size.width:g}mm" height="{label.size.height:g}mm"') + "\n"


def _drawn(label: Label, place: str) -> str:
    """The label where ``place``, SVG attributes, puts it."""
    w, h = label.size.width, label.size.height
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {place} viewBox="0 0 {w:g} {h:g}" role="img">'
        f"<title>{escape(one_line(label.title))}</title><style>{_STYLE}</style>"
        f"{rect(0, 0, w, h, more=_WHITE)}{_inside(label)}</svg>"
    )


def _inside(label: Label) -> str:
    """The words to the left, set closer where they are many; the code to the right, as large as is of use."""
    side, size = _code_side(label), label.size
    words, closer = _set(label, size.width - side - _MARGIN)
    y, drawn = _MARGIN, ""
    for said, high, style in words:
        y += high * _LEADING * closer
        shown = high * min(1.0, closer * 1.15)
        drawn += text(_MARGIN, y - high * 0.25, said, more=f' font-size="{number(shown)}"{style}')
    return drawn + code(label.carried, size.width - side, (size.height - side) / 2, side)


def _code_side(label: Label) -> float:
    return min(label.size.height - 1.0, max(good_size(label.carried), label.size.width * 0.3))


def _set(label: Label, width: float) -> tuple[list[tuple[str, float, str]], float]:
    """The lines, and how much closer than usual they stand; without the line aside where they would crowd."""
    words = _words(label, width)
    if label.aside:
        aside = [(text, high, "") for text, high in _fitted(label.aside, label.big * 0.45, width, _LETTER)]
        words += aside if _closer(label, words + aside) >= ROOM_ASIDE else []
    return words, _closer(label, words)


ROOM_ASIDE = 0.85
"""Lines may stand this much closer than usual to make room for the last one. Own choice."""


def _closer(label: Label, words: list[tuple[str, float, str]]) -> float:
    return min(1.0, (label.size.height - 2 * _MARGIN) / (_LEADING * sum(high for _, high, _ in words)))


def _words(label: Label, width: float) -> list[tuple[str, float, str]]:
    """Every line as (text, letter height in mm, style), wrapped and shrunk so that it stays within the width."""
    small = label.big * 0.62
    words = [(text, size, ' class="b"') for text, size in _fitted(label.title, label.big, width, _BOLD)]
    for line in filter(None, label.lines):
        words += [(text, size, "") for text, size in _fitted(line, small, width, _LETTER)]
    return words


def _fitted(text: str, size: float, width: float, letter: float) -> list[tuple[str, float]]:
    """The text in lines that fit, smaller where a single word would not."""
    letters = int(width / (size * letter))
    lines = _wrapped(one_line(text), letters)
    longest = max(map(len, lines), default=1)
    size = min(size, width / (longest * letter))
    return [(line, size) for line in lines]


def _wrapped(text: str, letters: int) -> list[str]:
    from textwrap import wrap

    return wrap(text, max(letters, 1), break_long_words=False, break_on_hyphens=False) or [""]


def label_pages(labels: Sequence[Label]) -> str:
    """The labels one to a page, each page as large as its label."""
    size = labels[0].size
    return _page(f"{size.width:g}mm {size.height:g}mm", labels[0].title, map(label_drawing, labels))


def label_sheets(labels: Sequence[Label], grid: Grid, skip: int = 0) -> str:
    """The labels on A4 in a grid, row by row, with lines to cut along; ``skip`` places of the first sheet are used."""
    places: list[Label | None] = [*[None] * skip, *labels]
    full = grid.across * grid.down
    sheets = (_sheet(places[n : n + full], grid) for n in range(0, len(places), full))
    return _page("A4", labels[0].title, sheets)


def _sheet(places: Sequence[Label | None], grid: Grid) -> str:
    size = f'width="{A4.width:g}mm" height="{A4.height:g}mm" viewBox="0 0 {A4.width:g} {A4.height:g}"'
    placed = "".join(_placed(label, grid, n) for n, label in enumerate(places) if label is not None)
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img">{placed}</svg>'


def _placed(label: Label, grid: Grid, n: int) -> str:
    """The nth label where it stands on its sheet, and the lines round it."""
    w, h = grid.cell.width, grid.cell.height
    x, y = grid.edge + n % grid.across * w, grid.edge + n // grid.across * h
    place = f'x="{x:.3f}" y="{y:.3f}" width="{w:.3f}" height="{h:.3f}"'
    return f'{_drawn(label, place)}<rect class="cut" {place}/>'


def _page(paper: str, title: str, drawings: Iterable[str]) -> str:
    cut = ".cut{fill:none;stroke:#999;stroke-width:.1;stroke-dasharray:1 1}"
    last = "body>svg:last-child{break-after:auto}"
    style = f"@page{{size:{paper};margin:0}}body{{margin:0}}body>svg{{display:block;break-after:page}}{last}{cut}"
    head = f'<meta charset="utf-8"><title>{escape(one_line(title))}</title><style>{style}</style>'
    return f'<!doctype html><html lang="en"><head>{head}</head><body>{"".join(drawings)}</body></html>\n'


RS, GS, EOT = "\x1e", "\x1d", "\x04"
QUIET = 4
"""Modules left white around a QR code."""
MODULE_MM = 0.5
"""A good module: four dots of a 203 dpi label printer, six of a 300 dpi one. Own choice."""


@dataclass(frozen=True, slots=True)
class Carried:
    """What the code says; an empty field is left out."""

    part: str
    quantity: str = ""
    lot: str = ""
    date_code: str = ""
    use_by: date | None = None

    def text(self) -> str:
        """The fields in their envelope."""
        use_by = self.use_by.strftime("%Y%m%d") if self.use_by else ""
        values = (("P", self.part), ("Q", self.quantity), ("1T", self.lot), ("10D", self.date_code), ("14D", use_by))
        fields = [name + one_line(value) for name, value in values if value]
        return f"[)>{RS}06{GS}{GS.join(fields)}{RS}{EOT}"


def good_size(carried: Carried) -> float:
    """The side of the code in mm, its quiet zone in, when its modules are of a good size."""
    return modules_across(carried) * MODULE_MM


def modules_across(carried: Carried) -> int:
    """How many modules wide the code is, its quiet zone in."""
    return len(modules(carried.text())) + 2 * QUIET


def code(carried: Carried, x: float, y: float, side: float) -> str:
    """The code as an SVG path: a square of ``side`` mm with its corner at (x, y), the quiet zone in."""
    rows = modules(carried.text())
    module = side / (len(rows) + 2 * QUIET)
    runs = "".join(f"M{n + QUIET} {m + QUIET}h{run}v1h-{run}z" for m, row in enumerate(rows) for n, run in _runs(row))
    place = f"translate({x:.3f} {y:.3f}) scale({module:.4f})"
    return f'<path class="code" transform="{place}" d="{runs}"/>'


def modules(text: str) -> Sequence[Sequence[bool]]:
    """The code's rows of modules, dark = True, without the quiet zone."""
    import segno

    return [[bool(dark) for dark in row] for row in segno.make(text, error="m", micro=False, boost_error=False).matrix]


def _runs(row: Sequence[bool]) -> Iterator[tuple[int, int]]:
    """(start, length) of every run of dark modules."""
    start = None
    for n, dark in enumerate([*row, False]):
        if dark and start is None:
            start = n
        elif not dark and start is not None:
            yield start, n - start
            start = None
