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
from pathlib import Path
from typing import Any

from bom.intake.measured_picture import PICTURE_KEYS, card_in, is_picture, marks_in, no_picture, picture_of
from bom.intake.measured_spans import BETWEEN_SIDES, LENGTH, Of, Size, Touched, counted, typed_spans
from bom.intake.rows import Report, is_it
from bom.intake.tables import Table, read_toml
from bom.measure.picture import Pictured
from bom.measure.spans import LIKELY_ERROR_MM, Across, Measured, Row, Turn
from bom.relays.footprint import View
from bom.values.column import Words, called, keys, number, text, word
from bom.values.column import table as table_key
from bom.values.problem import Refused


class Seen(StrEnum):
    """The side that was looked at; nobody can measure from a side that they do not know."""

    COMPONENT = "component"
    SOLDER = "solder"


_USUAL = f"{LIKELY_ERROR_MM[0]} to {LIKELY_ERROR_MM[1]} for digital callipers, common practice, no source"
_ACROSS = "or by name, { all = 1.3, h5 = 1.5 }"
MEASURED_KEYS: Mapping[str, Any] = {
    **keys(
        name=called("The pattern's name, or the footprint's.", "unknown box", needed=True),
        of=word(Of, "Whether holes or the pins of a part were measured.", "holes", needed=True),
        view=word(
            Seen, "The side that was looked at: the component side or the solder side.", "component", needed=True
        ),
        error_mm=number("mm", f"How far off one reading may be ({_USUAL}).", "0.03", above=0, most=2, needed=True),
        spans=text(
            "A reading a line: a-b 5.08, or with the jaws on edges a-b 6.38 outside, a-b 3.78 inside.", "a-b 5.08"
        ),
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
    ),
    **PICTURE_KEYS,
}
_OTHERWISE = ("drills", "shanks", "leads", "turn", "in_line", "nets")  # read by what they speak of

WAYS = Words(("clockwise", "anticlockwise"), {"clockwise": ("cw",), "anticlockwise": ("ccw", "counterclockwise")})


@dataclass(frozen=True, slots=True)
class MeasuredFile:
    """What the file says: the readings, and what is known of each hole or pin besides its place."""

    name: str
    of: Of
    view: View
    readings: Measured | Pictured
    sizes: Mapping[str, Size] = field(default_factory=dict)
    nets: Mapping[str, str] = field(default_factory=dict)


def read_measured(path: Path) -> MeasuredFile:
    """The pattern in this file; raises ``ProblemsFound`` with every problem in it."""
    report = Report()
    table = read_toml(path, report)
    found = _measured(table) if table else MeasuredFile("", Of.HOLES, View.COMPONENT, Measured((), ()))
    if table:
        table.leave()
    return report.taken(found).value


def _measured(table: Table) -> MeasuredFile:
    stated = table.values_of(MEASURED_KEYS, *_OTHERWISE)
    of: Of = stated["of"] or Of.HOLES
    typed, marks = list(typed_spans(table, stated["spans"], of)), list(marks_in(table, stated["marks"]))
    card = card_in(table, stated, marks)
    ends = dict.fromkeys(end for span in typed for end in (span.a, span.b))
    said = _Said(table, of, tuple(m.name for m in marks) or tuple(sorted(ends, key=_in_order)))
    said.strangers()
    touched = Touched(of, said.sizes("drills" if of is Of.HOLES else "leads"), said.sizes("shanks"))
    error: float = stated["error_mm"] or LIKELY_ERROR_MM[1]
    spans = (*counted(table, typed, touched, error), *card.spans)
    across_error = error if stated["across_error_mm"] is None else stated["across_error_mm"]
    across = tuple(Across(n, s.mm, across_error) for n, s in touched.by_name.items() if s.width_mm is None)
    rows = tuple(said.rows(stated["in_line_error_mm"]))
    measured = Measured(said.names, spans, across, tuple(said.turns()), rows)
    if len(said.names) < 2 and not table.report.problems:
        table.wrong("marks" if marks else "spans", f"two {of} or more", len(said.names))
    readings = picture_of(table, stated, marks, typed, measured, card, of) if is_picture(table) else measured
    if not is_picture(table):
        no_picture(table)
        if not stated["spans"]:
            table.wrong("spans", f"a span a line, as in a-b 5.08, or marks on a picture of the {of}", "nothing")
    view = View(stated["view"] or Seen.COMPONENT)
    return MeasuredFile(stated["name"], of, view, readings, touched.sizes, said.nets())


def _in_order(name: str) -> list[tuple[int, str]]:
    """h2 before h10."""
    return [(int(part), "") if part.isdecimal() else (-1, part) for part in re.split(r"(\d+)", name) if part]


@dataclass(frozen=True, slots=True)
class _Said:
    """What the file says of the holes or pins by the names that spans or marks gave them."""

    table: Table
    of: Of
    names: tuple[str, ...]

    def strangers(self) -> None:
        """What only the other kind of thing has."""
        for key in ("leads",) if self.of is Of.HOLES else ("drills", "shanks", "nets"):
            if key in self.table:
                self.table.wrong(key, f"no {key}: {self.of} were measured", self.table.get(key))

    def sizes(self, key: str) -> dict[str, Size]:
        """What each measures across, by name: one number for all, or a table of them, where *all* is for the rest."""
        value = self.table.get(key)
        inner = self.table.table(key) if isinstance(value, dict) else None
        if inner is None:
            size = None if value is None else self._size(self.table, key, value)
            return dict.fromkeys(self.names, size) if size else {}
        named = {name: self._size(inner, name, inner.get(name)) for name in self._named(inner, "all")}
        rest = named.pop("all", None)
        return {name: size for name in self.names if (size := named.get(name, rest)) is not None}

    def _size(self, table: Table, key: str, value: Any) -> Size | None:
        sides = re.split(BETWEEN_SIDES, str(value).strip()) if self.of is Of.PINS else [str(value).strip()]
        try:
            numbers = [] if isinstance(value, bool) else [float(LENGTH.read(side)) for side in sides]
        except (Refused, TypeError):
            numbers = []
        if len(numbers) not in (1, 2):
            flat = ', or both sides of a flat one, as in "0.8 x 0.5"' if self.of is Of.PINS else ""
            table.wrong(key, f"a number of mm above 0{flat}", value)
            return None
        return Size(*numbers)

    def _named(self, inner: Table, *besides: str) -> list[str]:
        """The keys of a table that are names here; another is a problem."""
        known = (*besides, *self.names)
        for name in inner.values:
            if name not in known:
                inner.wrong(name, f"a {self.of.one} that a span names{is_it(name, known)}", name)
        return [name for name in inner.values if name in known]

    def nets(self) -> dict[str, str]:
        inner = self.table.table("nets")
        return {} if inner is None else {name: inner.text(name) for name in self._named(inner)}

    def rows(self, error: float | None) -> Iterator[Row]:
        said = self._listed("in_line")
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

    def turns(self) -> Iterator[Turn]:
        for one in self._listed("turn"):
            said = re.split(r"[\s,;\-]+", one.strip()) if isinstance(one, str) else [""]
            *names, way = [w for w in said if w.casefold() not in ("is", "goes")] or [""]
            if len(names) != 3 or len(set(names)) != 3 or (meant := WAYS.meant(way)) is None:
                expected = f"three {self.of} and clockwise or anticlockwise, as in a b c clockwise"
                self.table.wrong("turn", expected, one)
            elif self._known("turn", names):
                a, b, c = names
                yield Turn(a, b, c, meant == "clockwise")

    def _listed(self, key: str) -> list[Any]:
        """One, or a list of them."""
        value = self.table.get(key)
        return value if isinstance(value, list) else [] if value is None else [value]

    def _known(self, key: str, names: Sequence[str]) -> bool:
        """Whether spans or marks name all of these; the first that none does is a problem."""
        strange = next((n for n in names if n not in self.names), None)
        if strange is not None:
            self.table.wrong(key, f"{self.of} that spans name{is_it(strange, self.names)}", strange)
        return strange is None
