"""A measured pattern: a TOML file of spans between holes or pins, or of marks on a picture, checked whole.

name = "unknown box"
of = "holes"                           # or "pins", of a part in the hand
view = "component"                     # the side that was looked at
error_mm = 0.03                        # how far off one reading may be
drills = { all = 1.3, h5 = 1.5 }       # or drills = 1.3; of pins: leads
turn = "h1 h2 h5 clockwise"            # which of two mirror images it is
spans = '''
h1-h2 5.00
h1-h5 6.98 outside, h2-h5 4.18 inside
'''

Of a picture: ``taken``, ``error_px`` and ``marks``, a name and its pixels a line.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from math import hypot
from pathlib import Path
from typing import Any

from bom.intake.rows import Report
from bom.intake.tables import Table, read_toml
from bom.measure.picture import Mark, Pictured, Taken, lens_of
from bom.measure.spans import LIKELY_ERROR_MM, Across, Jaws, Measured, Row, Span, Turn
from bom.relays.footprint import View
from bom.values.column import Words, called, keys, nearest, number, text, word
from bom.values.column import table as table_key
from bom.values.problem import Refused


class Of(StrEnum):
    """What was measured."""

    HOLES = "holes"
    PINS = "pins"

    @property
    def one(self) -> str:
        return self.value.removesuffix("s")


class Seen(StrEnum):
    """The side that was looked at; nobody can measure from a side that they do not know."""

    COMPONENT = "component"
    SOLDER = "solder"


_USUAL = f"{LIKELY_ERROR_MM[0]} to {LIKELY_ERROR_MM[1]} for digital callipers, common practice, no source"
_ACROSS = "or by name, { all = 1.3, h5 = 1.5 }"
MEASURED_KEYS = keys(
    name=called("The pattern's name, or the footprint's.", "unknown box", needed=True),
    of=word(Of, "Whether holes or the pins of a part were measured.", "holes", needed=True),
    view=word(Seen, "The side that was looked at: the component side or the solder side.", "component", needed=True),
    error_mm=number("mm", f"How far off one reading may be ({_USUAL}).", "0.03", above=0, most=2, needed=True),
    spans=text("A reading a line: a-b 5.08, or with the jaws on edges a-b 6.38 outside, a-b 3.78 inside.", "a-b 5.08"),
    drills=table_key(f"What the finished holes measure across, {_ACROSS}.", "1.3"),
    shanks=table_key("What stands in the holes where the jaws touched that: drill shanks or pins.", "{ h1 = 1.2 }"),
    leads=table_key('Of pins: what the leads measure across; a flat one "0.8 x 0.5".', "0.6"),
    across_error_mm=number(
        "mm", "How far off drills, shanks and leads may be; empty = as a reading.", "0.02", least=0, most=2
    ),
    turn=text("Three of them and which way round they go; again in a list.", "h1 h2 h5 clockwise"),
    in_line=text("Three or more that lie on a straight line, from end to end; again in a list.", "h1 h2 h3 h4"),
    in_line_error_mm=number("mm", "How far off their line they may be.", "0.1", above=0, most=2),
    nets=table_key("The net of each hole's pad.", '{ h1 = "VBAT" }'),
    taken=word(Taken, "Of a picture: how it was taken.", "photo"),
    marks=text("Of a picture: a name and its pixels a line, to the right and down.", "h1 512 310"),
    error_px=number("", "Of a picture: how far off a mark may be, in pixels.", "2", above=0, most=200),
    picture=text("Of a photo with lens_mm: the size of the whole picture in pixels.", "4000 x 3000"),
    lens_mm=number("", "Of a photo: the lens, as on 35 mm film (the picture's own notes tell it).", "26", above=0),
    card=text(
        "Of a picture: four marks round a rectangle that lies in the board's plane, and its two sides in mm.",
        "p q r s 85.60 x 53.98",
    ),
    card_error_mm=number("mm", "How far off the rectangle's sides may be.", "0.1", above=0, most=2),
)

JAWS = Words(
    tuple(jaws.value for jaws in Jaws),
    {
        "centres": ("centre", "center", "centers", "centre to centre", "between centres"),
        "outside": ("outer", "over", "outside edges"),
        "inside": ("inner", "between", "inside edges"),
    },
)
WAYS = Words(("clockwise", "anticlockwise"), {"clockwise": ("cw",), "anticlockwise": ("ccw", "counterclockwise")})

_LENGTH = number("mm", "", "5.08", above=0, most=1000)
_PIXEL = number("", "", "512", least=0, most=1e6)
_SPAN = re.compile(r"([^\s,;\-\N{EN DASH}\N{EM DASH}]+)\s*[-\N{EN DASH}\N{EM DASH}]\s*(\S+)\s+(\S.*)")
_MEASURE = re.compile(r"([\d.+]+(?:\s*(?:mm|cm|in|inch|mil|thou|\"|″))?)(?:\s+(.+))?")
_SPAN_WORDS = "a span, as in a-b 5.08 or a-b 6.38 outside (a decimal point; ',' or a new line between two)"
_BY_NAME = r"\s*[x×*]\s*"


def _in_order(name: str) -> list[tuple[int, str]]:
    """h2 before h10."""
    return [(int(part), "") if part.isdecimal() else (-1, part) for part in re.split(r"(\d+)", name) if part]


@dataclass(frozen=True, slots=True)
class Size:
    """What a hole or a lead measures across, and a flat lead's other side; mm."""

    mm: float
    width_mm: float | None = None


@dataclass(frozen=True, slots=True)
class MeasuredFile:
    """What the file says: the readings, and what is known of each hole or pin besides its place."""

    name: str
    of: Of
    view: View
    readings: Measured | Pictured
    sizes: Mapping[str, Size] = field(default_factory=dict)
    nets: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Read:
    """A span as it stands, with its line."""

    line: int
    a: str
    b: str
    mm: float
    jaws: Jaws

    @property
    def ends(self) -> frozenset[str]:
        return frozenset((self.a, self.b))


def read_measured(path: Path) -> MeasuredFile:
    """The pattern in this file; raises ``ProblemsFound`` with every problem in it."""
    report = Report()
    table = read_toml(path, report)
    found = _Reader(table, report).read() if table else None
    if table:
        table.leave()
    return report.taken(found).value or MeasuredFile("", Of.HOLES, View.COMPONENT, Measured((), ()))


class _Reader:
    """One file: what was read of it so far, since spans, sizes and turns speak of the same names."""

    def __init__(self, table: Table, report: Report) -> None:
        self.table, self.report = table, report
        self.stated = table.values_of(MEASURED_KEYS, "drills", "shanks", "leads", "nets", "turn", "in_line", "card")
        self.of: Of = self.stated["of"] or Of.HOLES
        self.error: float = self.stated["error_mm"] or LIKELY_ERROR_MM[1]
        self.read_spans = list(self._spans())
        self.marks = list(self._marks())
        self.corners: tuple[str, ...] = ()
        self.card = tuple(self._card())
        names = [end for s in self.read_spans for end in (s.a, s.b)]
        marked = tuple(m.name for m in self.marks)
        self.names = marked or tuple(sorted(dict.fromkeys(names), key=_in_order))
        self.pictured = bool(self.marks) or any(k in table for k in ("taken", "marks", "error_px"))

    def read(self) -> MeasuredFile:
        sizes, shanks = self._sizes("drills" if self.of is Of.HOLES else "leads"), self._sizes("shanks")
        self._strangers(sizes, shanks)
        spans = tuple(self._told(sizes, shanks))
        width_error = self.stated["across_error_mm"]
        error = self.error if width_error is None else float(width_error)
        touched = {n: s.mm for n, s in (sizes | shanks).items() if s.width_mm is None}
        across = tuple(Across(name, mm, error) for name, mm in touched.items())
        if len(self.names) < 2 and not self.report.problems:
            self.table.wrong("marks" if self.pictured else "spans", f"two {self.of} or more", len(self.names))
        measured = Measured(self.names, (*spans, *self.card), across, tuple(self._turns()), tuple(self._rows()))
        readings = self._picture(measured) if self.pictured else self._no_picture(measured)
        view = View(self.stated["view"] or "component")
        return MeasuredFile(self.stated["name"], self.of, view, readings, sizes, self._nets())

    # ---- spans

    def _spans(self) -> Iterator[_Read]:
        for line, entry in self._entries("spans"):
            if (span := self._span(line, entry)) is not None:
                yield span

    def _entries(self, key: str, apart: str = r"[,;]") -> Iterator[tuple[int, str]]:
        """Each entry of a text of several lines, with the line of the file that it stands on."""
        if not (value := self.stated[key]):
            return
        first = self.table.place(key)[0]
        opened = self.table.lines[first - 1] if 0 < first <= len(self.table.lines) else ""
        first += opened.rstrip().endswith(('"""', "'''"))
        for n, line in enumerate(value.split("\n")):
            for entry in re.split(apart, line.partition("#")[0]):
                if entry.strip():
                    yield first + n, entry.strip()

    def _wrong(self, line: int, key: str, expected: str, found: str) -> None:
        self.report.wrong(self.table.file, line, key, expected, found)

    def _span(self, line: int, entry: str) -> _Read | None:
        parts = _SPAN.fullmatch(entry)
        measure = _MEASURE.fullmatch(parts[3]) if parts else None
        if parts is None or measure is None:
            self._wrong(line, "spans", _SPAN_WORDS, entry)
            return None
        jaws = JAWS.meant(measure[2]) if measure[2] else Jaws.CENTRES
        if jaws is None:
            self._wrong(line, "spans", JAWS.expected(measure[2]), entry)
        if parts[1] == parts[2]:
            self._wrong(line, "spans", f"two different {self.of}", entry)
        mm = self._length(line, "spans", measure[1], entry)
        good = jaws is not None and parts[1] != parts[2] and mm is not None
        return _Read(line, parts[1], parts[2], mm or 0.0, Jaws(jaws or "centres")) if good else None

    def _length(self, line: int, key: str, typed: str, entry: str) -> float | None:
        try:
            return float(_LENGTH.read(typed))
        except Refused as refused:
            self._wrong(line, key, str(refused), entry)
            return None

    def _told(self, sizes: Mapping[str, Size], shanks: Mapping[str, Size]) -> Iterator[Span]:
        """The spans as they count: those with the jaws on edges need what the two measure across, or each other."""
        done: set[frozenset[str]] = set()
        for read in self.read_spans:
            if read.jaws is Jaws.CENTRES:
                yield Span(read.a, read.b, read.mm, self.error)
            elif all(self._round(end, sizes, shanks) for end in (read.a, read.b)):
                yield from self._from_edges(read, sizes, shanks)
            elif read.ends not in done:
                done.add(read.ends)
                yield from self._by_both(read)

    def _round(self, name: str, sizes: Mapping[str, Size], shanks: Mapping[str, Size]) -> bool:
        touched = shanks.get(name) or sizes.get(name)
        return touched is not None and touched.width_mm is None

    def _from_edges(self, read: _Read, sizes: Mapping[str, Size], shanks: Mapping[str, Size]) -> Iterator[Span]:
        half = sum((shanks.get(end) or sizes[end]).mm for end in (read.a, read.b)) / 2
        plays = [self._play(read, end, sizes, shanks) for end in (read.a, read.b) if end in shanks]
        if read.jaws is Jaws.OUTSIDE and read.mm <= half:
            expected = f"more than half of what both measure across, which is {half:g} mm"
            self._wrong(read.line, "spans", expected, f"{read.a}-{read.b} {read.mm:g} outside")
            return
        yield Span(read.a, read.b, read.mm, hypot(self.error, *plays), read.jaws)

    def _play(self, read: _Read, name: str, sizes: Mapping[str, Size], shanks: Mapping[str, Size]) -> float:
        """How far a shank may stand off the middle of its hole."""
        if name not in sizes:
            self._wrong(read.line, "drills", f"the drill of {name}, in which its shank has play", "nothing")
            return 0.0
        if (play := (sizes[name].mm - shanks[name].mm) / 2) < 0:
            expected = f"a shank that goes into its hole of {sizes[name].mm:g} mm"
            self.table.wrong("shanks", expected, f"{name} = {shanks[name].mm:g}")
        return max(play, 0.0)

    def _by_both(self, read: _Read) -> Iterator[Span]:
        """Where the two are flat or of unknown size: the mean of outside and inside is their middles' distance."""
        own = [s for s in self.read_spans if s.ends == read.ends]
        both = [[s for s in own if s.jaws is jaws] for jaws in (Jaws.OUTSIDE, Jaws.INSIDE)]
        if not all(both):
            size = "drill" if self.of is Of.HOLES else "lead, where it is round,"
            other = "inside" if read.jaws is Jaws.OUTSIDE else "outside"
            expected = f"the {size} of {read.a} and {read.b}, or {read.a}-{read.b} {other} too"
            self._wrong(read.line, "spans", expected, f"{read.a}-{read.b} {read.mm:g} {read.jaws}")
            return
        for n in range(max(map(len, both))):
            out, within = (side[min(n, len(side) - 1)].mm for side in both)
            if out <= within:
                self._wrong(read.line, "spans", "more outside than inside", f"{out:g} and {within:g}")
            yield Span(read.a, read.b, (out + within) / 2, self.error / 2**0.5)

    # ---- sizes, nets, turns

    def _sizes(self, key: str) -> dict[str, Size]:
        """What each measures across, by name: one number for all, or a table of them, where *all* is for the rest."""
        value = self.table.get(key)
        inner = self.table.table(key) if isinstance(value, dict) else None
        if inner is None:
            size = None if value is None else self._size(self.table, key, value)
            return dict.fromkeys(self.names, size) if size else {}
        known = {"all", *self.names}
        for name in inner.values:
            if name not in known:
                near = nearest(name, known)
                inner.wrong(name, f"a {self.of.one} that a span names{f' (is {near} meant?)' if near else ''}", name)
        sizes = {name: self._size(inner, name, inner.get(name)) for name in inner.values if name in known}
        rest = sizes.pop("all", None)
        return {name: size for name in self.names if (size := sizes.get(name, rest)) is not None}

    def _size(self, table: Table, key: str, value: Any) -> Size | None:
        sides = re.split(_BY_NAME, str(value).strip()) if self.of is Of.PINS else [str(value).strip()]
        try:
            numbers = [float(_LENGTH.read(side)) for side in sides if not isinstance(value, bool)]
        except (Refused, TypeError):
            numbers = []
        if len(numbers) not in (1, 2):
            flat = ', or both sides of a flat one, as in "0.8 x 0.5"' if self.of is Of.PINS else ""
            table.wrong(key, f"a number of mm above 0{flat}", value)
            return None
        return Size(*numbers)

    def _strangers(self, sizes: Mapping[str, Size], shanks: Mapping[str, Size]) -> None:
        """What only the other kind of thing has."""
        for key in ("leads",) if self.of is Of.HOLES else ("drills", "shanks", "nets"):
            if key in self.table:
                self.table.wrong(key, f"no {key}: {self.of} were measured", self.table.get(key))

    def _nets(self) -> dict[str, str]:
        if (inner := self.table.table("nets")) is None:
            return {}
        for name in inner.values:
            if name not in self.names:
                near = nearest(name, self.names)
                inner.wrong(name, f"a {self.of.one} that a span names{f' (is {near} meant?)' if near else ''}", name)
        return {name: inner.text(name) for name in inner.values}

    def _rows(self) -> Iterator[Row]:
        error = self.stated["in_line_error_mm"]
        said = self._said("in_line")
        if bool(said) != (error is not None):
            lacking = "in_line_error_mm" if said else "in_line"
            expected = "how far off their line they may be, as in 0.1" if said else "what lies on a line, end to end"
            self.table.wrong(lacking, expected, "nothing")
        for one in said:
            names = tuple(one.replace(",", " ").split()) if isinstance(one, str) else ()
            if len(names) < 3 or len(set(names)) < len(names):
                self.table.wrong("in_line", f"three {self.of} or more on a line, as in h1 h2 h3", one)
            elif self._known("in_line", names):
                yield Row(names, error or 1.0)

    def _said(self, key: str) -> list[Any]:
        """One or a list of them."""
        value = self.table.get(key)
        return value if isinstance(value, list) else [] if value is None else [value]

    def _known(self, key: str, names: Sequence[str]) -> bool:
        """Whether spans name all of these; the first that none does is a problem."""
        strangers = [n for n in names if n not in self.names]
        if strangers:
            near = nearest(strangers[0], self.names)
            expected = f"{self.of} that spans name{f' (is {near} meant?)' if near else ''}"
            self.table.wrong(key, expected, strangers[0])
        return not strangers

    def _turns(self) -> Iterator[Turn]:
        for one in self._said("turn"):
            names, way = self._turn(one) if isinstance(one, str) else ((), None)
            if way is None or len(names) != 3 or len(set(names)) != 3:
                self.table.wrong("turn", f"three {self.of} and clockwise or anticlockwise, as in a b c clockwise", one)
            elif self._known("turn", names):
                yield Turn(*names, clockwise=way == "clockwise")

    def _turn(self, said: str) -> tuple[tuple[Any, ...], str | None]:
        words = [w for w in re.split(r"[\s,;\-]+", said.strip()) if w and w.casefold() not in ("is", "goes")]
        return (tuple(words[:-1]), WAYS.meant(words[-1])) if words else ((), None)

    # ---- pictures

    def _marks(self) -> Iterator[Mark]:
        there: set[str] = set()
        for line, entry in self._entries("marks", ";"):
            words = re.split(r"[\s,]+", entry)
            try:
                name, x, y = words[0], *(float(_PIXEL.read(w)) for w in words[1:3])
                good = len(words) == 3
            except (Refused, ValueError):
                good = False
            if not good:
                self._wrong(line, "marks", "a name and its pixels to the right and down, as in h1 512 310", entry)
            elif name in there:
                self._wrong(line, "marks", "each once", entry)
            else:
                there.add(name)
                yield Mark(name, x, y)

    def _card(self) -> Iterator[Span]:
        """A rectangle of known sides is six spans: its sides and its diagonals."""
        said = self.table.text("card")
        error = self.stated["card_error_mm"]
        if not said:
            if error is not None:
                self.table.wrong("card", "the rectangle that card_error_mm is about", "nothing")
            return
        words = said.split(None, 4)
        sides = re.split(_BY_NAME, words[4].strip()) if len(words) == 5 else []
        try:
            long, short = (float(_LENGTH.read(side)) for side in sides)
        except (Refused, ValueError):
            self.table.wrong("card", "four marks round and two sides, as in p q r s 85.60 x 53.98", said)
            return
        if error is None:
            self.table.wrong("card_error_mm", "how far off the card's sides may be, as in 0.1", "nothing")
            return
        self.corners = tuple(words[:4])
        unmarked = [c for c in self.corners if c not in {m.name for m in self.marks}]
        if unmarked or len(set(self.corners)) < 4:
            self.table.wrong("card", "four different marks", " ".join(unmarked) or said)
            return
        p, q, r, s = self.corners
        across = hypot(long, short)
        for a, b, mm in ((p, q, long), (q, r, short), (r, s, long), (s, p, short), (p, r, across), (q, s, across)):
            yield Span(a, b, mm, error)

    def _no_picture(self, measured: Measured) -> Measured:
        for key in ("picture", "lens_mm", "card", "card_error_mm"):
            if key in self.table:
                self.table.wrong(key, "marks on a picture beside it", self.table.get(key))
        if not self.stated["spans"]:
            self.table.wrong(
                "spans", f"a span a line, as in a-b 5.08, or marks on a picture of the {self.of}", "nothing"
            )
        return measured

    def _picture(self, measured: Measured) -> Pictured:
        for key in ("taken", "marks", "error_px"):
            if not self.stated[key]:
                column = MEASURED_KEYS[key]
                self.table.wrong(key, f"{column.meaning[0].lower()}{column.meaning[1:]}".rstrip("."), "nothing")
        if measured.turns:
            self.table.wrong("turn", "no turn: a picture shows which way round it goes", self.table.get("turn"))
        taken = self.stated["taken"] or Taken.PHOTO
        self._all_marked(taken)
        size = self._picture_size(taken)
        lens = lens_of(self.stated["lens_mm"], *size) if size and self.stated["lens_mm"] else None
        return Pictured(
            tuple(self.marks), self.stated["error_px"] or 1.0, measured, taken, lens, frozenset(self.corners)
        )

    def _all_marked(self, taken: Taken) -> None:
        marked = {m.name for m in self.marks}
        for read in self.read_spans:
            if lost := [end for end in (read.a, read.b) if end not in marked]:
                near = nearest(lost[0], marked)
                expected = f"{self.of} that are marked{f' (is {near} meant?)' if near else ''}"
                self._wrong(read.line, "spans", expected, lost[0])

    def _picture_size(self, taken: Taken) -> Sequence[float] | None:
        said, lens = self.stated["picture"], self.stated["lens_mm"]
        if taken is not Taken.PHOTO:
            for key in ("picture", "lens_mm"):
                if key in self.table:
                    self.table.wrong(key, 'taken = "photo" beside it', self.table.get(key))
            return None
        if bool(said) != (lens is not None):
            lacking = "picture" if lens is not None else "lens_mm"
            self.table.wrong(lacking, f"{lacking} too: a lens tells its angle by both", "nothing")
            return None
        sides = re.split(_BY_NAME, said.strip()) if said else []
        if said and (len(sides) != 2 or not all(re.fullmatch(r"\d+", side) and int(side) for side in sides)):
            self.table.wrong("picture", "its width and height in pixels, as in 4000 x 3000", said)
            return None
        return [float(side) for side in sides] or None
