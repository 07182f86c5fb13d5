"""Spans as they are typed, one a line: two names, a length, and where the jaws lay; and what counts of them.

    h1-h2 5.08
    h1-h5 6.98 outside, h2-h5 4.18 inside

A span over edges counts by what both ends measure across. Where that is not known, or an end is flat, outside and
inside of the same two count together: their mean is the distance of the middles, whatever the ends are.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import hypot, sqrt

from bom.intake.tables import Table
from bom.measure.spans import Jaws, Span
from bom.values.column import Words, number
from bom.values.problem import Refused


class Of(StrEnum):
    """What was measured."""

    HOLES = "holes"
    PINS = "pins"

    @property
    def one(self) -> str:
        return self.value.removesuffix("s")


@dataclass(frozen=True, slots=True)
class Size:
    """What a hole, a shank or a lead measures across, and a flat lead's other side; mm."""

    mm: float
    width_mm: float | None = None


JAWS = Words(
    tuple(jaws.value for jaws in Jaws),
    {
        "centres": ("centre", "center", "centers", "centre to centre", "between centres"),
        "outside": ("outer", "over", "outside edges"),
        "inside": ("inner", "between", "inside edges"),
    },
)
LENGTH = number("mm", "", "5.08", above=0, most=1000)
BETWEEN_SIDES = r"\s*[x×*]\s*"

_SPAN = re.compile(r"([^\s,;\-\N{EN DASH}\N{EM DASH}]+)\s*[-\N{EN DASH}\N{EM DASH}]\s*(\S+)\s+(\S.*)")
_MEASURE = re.compile(r"([\d.+]+(?:\s*(?:mm|cm|in|inch|mil|thou|\"|″))?)(?:\s+(.+))?")
_SPAN_WORDS = "a span, as in a-b 5.08 or a-b 6.38 outside (a decimal point; ',' or a new line between two)"


@dataclass(frozen=True, slots=True)
class TypedSpan:
    """A span as it stands, with its line in the file."""

    line: int
    a: str
    b: str
    mm: float
    jaws: Jaws

    @property
    def ends(self) -> frozenset[str]:
        return frozenset((self.a, self.b))

    @property
    def typed(self) -> str:
        return f"{self.a}-{self.b} {self.mm:g} {self.jaws}"


def entries(table: Table, key: str, value: str, apart: str) -> Iterator[tuple[int, str]]:
    """Each entry of a text of several lines, with the line of the file that it stands on; ``#`` begins a remark."""
    first = table.place(key)[0]
    opened = table.lines[first - 1] if 0 < first <= len(table.lines) else ""
    first += opened.rstrip().endswith(('"""', "'''"))
    for n, line in enumerate(value.split("\n")):
        for entry in re.split(apart, line.partition("#")[0]):
            if entry.strip():
                yield first + n, entry.strip()


def wrong_at(table: Table, line: int, key: str, expected: str, found: str) -> None:
    """A problem on a line of its own inside a key's text."""
    table.report.wrong(table.file, line, key, expected, found)


def typed_spans(table: Table, value: str, of: Of) -> Iterator[TypedSpan]:
    """Every span that can be read; what is wrong with the others is told."""
    for line, entry in entries(table, "spans", value, r"[,;]"):
        if (span := _span(table, line, entry, of)) is not None:
            yield span


def _span(table: Table, line: int, entry: str, of: Of) -> TypedSpan | None:
    parts = _SPAN.fullmatch(entry)
    measure = _MEASURE.fullmatch(parts[3]) if parts else None
    if parts is None or measure is None:
        wrong_at(table, line, "spans", _SPAN_WORDS, entry)
        return None
    jaws = JAWS.meant(measure[2]) if measure[2] else Jaws.CENTRES
    if jaws is None:
        wrong_at(table, line, "spans", JAWS.expected(measure[2]), entry)
    if parts[1] == parts[2]:
        wrong_at(table, line, "spans", f"two different {of}", entry)
    try:
        mm = float(LENGTH.read(measure[1]))
    except Refused as refused:
        wrong_at(table, line, "spans", str(refused), entry)
        return None
    good = jaws is not None and parts[1] != parts[2]
    return TypedSpan(line, parts[1], parts[2], mm, Jaws(jaws or "centres")) if good else None


@dataclass(frozen=True, slots=True)
class Touched:
    """What the jaws may touch, by name: the holes or leads themselves, and what stands in the holes."""

    of: Of
    sizes: Mapping[str, Size]
    shanks: Mapping[str, Size]

    @property
    def by_name(self) -> dict[str, Size]:
        return {**self.sizes, **self.shanks}

    def is_round(self, name: str) -> bool:
        """Whether an edge tells where the middle is."""
        touched = self.by_name.get(name)
        return touched is not None and touched.width_mm is None


def counted(table: Table, typed: Sequence[TypedSpan], touched: Touched, error_mm: float) -> Iterator[Span]:
    """The spans as they count, each with its error; what an edge cannot be counted by is told."""
    done: set[frozenset[str]] = set()
    for span in typed:
        if span.jaws is Jaws.CENTRES:
            yield Span(span.a, span.b, span.mm, error_mm)
        elif touched.is_round(span.a) and touched.is_round(span.b):
            yield from _from_edges(table, span, touched, error_mm)
        elif span.ends not in done:
            done.add(span.ends)
            yield from _by_both(table, span, [s for s in typed if s.ends == span.ends], touched.of, error_mm)


def _from_edges(table: Table, span: TypedSpan, touched: Touched, error_mm: float) -> Iterator[Span]:
    by_name = touched.by_name
    half = (by_name[span.a].mm + by_name[span.b].mm) / 2
    plays = [_play(table, span, end, touched) for end in (span.a, span.b) if end in touched.shanks]
    if span.jaws is Jaws.OUTSIDE and span.mm <= half:
        expected = f"more than half of what both measure across, which is {half:g} mm"
        wrong_at(table, span.line, "spans", expected, span.typed)
        return
    yield Span(span.a, span.b, span.mm, hypot(error_mm, *plays), span.jaws)


def _play(table: Table, span: TypedSpan, name: str, touched: Touched) -> float:
    """How far a shank may stand off the middle of its hole."""
    if name not in touched.sizes:
        wrong_at(table, span.line, "drills", f"the drill of {name}, in which its shank has play", "nothing")
        return 0.0
    drill, shank = touched.sizes[name].mm, touched.shanks[name].mm
    if shank > drill:
        table.wrong("shanks", f"a shank that goes into its hole of {drill:g} mm", f"{name} = {shank:g}")
    return max((drill - shank) / 2, 0.0)


def _by_both(table: Table, span: TypedSpan, own: Sequence[TypedSpan], of: Of, error_mm: float) -> Iterator[Span]:
    """The means of outside and inside; two readings leave an error smaller by the root of two."""
    outside, inside = ([s for s in own if s.jaws is jaws] for jaws in (Jaws.OUTSIDE, Jaws.INSIDE))
    if not outside or not inside:
        size = "drill" if of is Of.HOLES else "lead, where it is round,"
        other = "inside" if span.jaws is Jaws.OUTSIDE else "outside"
        expected = f"the {size} of {span.a} and {span.b}, or {span.a}-{span.b} {other} too"
        wrong_at(table, span.line, "spans", expected, span.typed)
        return
    for n in range(max(len(outside), len(inside))):
        out, within = (side[min(n, len(side) - 1)].mm for side in (outside, inside))
        if out <= within:
            wrong_at(table, span.line, "spans", "more outside than inside", f"{out:g} and {within:g}")
        yield Span(span.a, span.b, (out + within) / 2, error_mm / sqrt(2))
