"""Knows how tables look in a terminal: plain text, an outcome by sign and word and only then by colour.

Text is wrapped, never cut; markup and control characters in it have no effect.
"""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from io import StringIO
from typing import Any

from bom.paper.csv_out import number_text
from bom.paper.for_the_eye import SIGNS, as_listed
from bom.paper.writing import one_line, readable
from bom.values.finding import Finding, Outcome, Verdict, worst_first
from bom.values.money import Money
from bom.values.problem import Problem

Row = Sequence[Any]

DEFAULT_WIDTH = 100
GAP = 3  # characters between two columns
LONG = 1_000  # a table of more rows is drawn line by line: own choice
_COLOURS = {"pass": "green", "condition": "yellow", "unknown": "magenta", "fail": "red"}


@dataclass(frozen=True, slots=True)
class Column:
    """A column's heading and the side that its values stand on; ``prose`` may wrap anywhere between words."""

    heading: str
    side: str = "left"
    prose: bool = False


def table(columns: Sequence[Column], rows: Sequence[Row], width: int | None = None, colour: bool | None = None) -> str:
    """A table whose columns say how they are laid out."""
    return _render([_Grid("", columns, rows)], width, colour)


def simple_table(
    title: str,
    headings: Sequence[str],
    rows: Iterable[Row],
    width: int | None = None,
    colour: bool | None = None,
) -> str:
    """Any table: numbers to the right, all else to the left; no heading where no column has a name."""
    kept = list(rows)
    sides = ["right" if _all_numbers(row[n] for row in kept) else "left" for n in range(len(headings))]
    columns = [Column(heading, side) for heading, side in zip(headings, sides, strict=True)]
    return _render([_Grid(title, columns, kept, headed=any(headings))], width, colour)


def problems_in(problems: Sequence[Problem]) -> str:
    """Every problem of a file with its place."""
    rows = [(p.file, p.cell or p.line or "", p.column, p.expected, p.found) for p in problems]
    title = "1 problem" if len(rows) == 1 else f"{len(rows)} problems"
    return simple_table(title, ["file", "line", "column", "expected", "found"], rows)


def findings_table(
    findings: Iterable[Finding], title: str = "", width: int | None = None, colour: bool | None = None
) -> str:
    """Findings, the worst first: what was asked, what is offered, the room left, why; their sources once below."""
    ranked = worst_first(findings)
    rows = [(f.outcome, f.check, f.required, f.offered, _room(f.margin), f.why) for f in ranked]
    grid = _Grid(title, _FINDING, rows) if rows else _text("Nothing was checked.")
    sources = [("source", source) for source in dict.fromkeys(f.source for f in ranked if f.source)]
    return _render([grid, *([_Grid("", _NAMED, sources, headed=False)] if sources else [])], width, colour)


_FINDING = (
    *(Column("outcome"), Column("check"), Column("required"), Column("offered")),
    *(Column("margin", "right"), Column("why", prose=True)),
)
_NAMED = (Column(""), Column("", prose=True))


def _room(margin: float | None) -> str:
    return "" if margin is None else f"{margin:+.0%}"


@dataclass(frozen=True, slots=True)
class _Grid:
    """A table to be: how it is laid out waits for the width."""

    title: str
    columns: Sequence[Column]
    rows: Sequence[Row]
    headed: bool = True

    def laid_out(self, width: int) -> Iterator[Any]:
        """Side by side where that is readable; on a narrow terminal each row becomes a list of names and values."""
        if self.title:
            yield _text(self.title, "bold")
        if not self.headed or self._least_width() <= width:
            yield self._side_by_side(width)
            return
        for row in self.rows:
            yield self._stacked(row, width)

    def line_by_line(self) -> str:
        """A line for each row, however wide, and nothing wrapped: a long table is searched and paged, not read."""
        rows = [[_on_one_line(value) for value in row] for row in self.rows]
        if self.headed:
            rows.insert(0, [column.heading for column in self.columns])
        wide = [max(map(len, cells)) for cells in zip(*rows, strict=True)]
        right = [column.side == "right" for column in self.columns]
        lines = [
            " " + (" " * GAP).join(c.rjust(w) if r else c.ljust(w) for c, w, r in zip(row, wide, right, strict=True))
            for row in rows
        ]
        if self.headed:
            lines.insert(1, " " + "─" * (sum(wide) + GAP * (len(wide) - 1)))
        return "\n".join([self.title, *lines, ""])

    def _side_by_side(self, width: int) -> Any:
        from rich import box
        from rich.table import Table

        look = box.SIMPLE_HEAD if self.headed else None
        table = Table(box=look, show_header=self.headed, pad_edge=False)
        for place, (column, wide) in enumerate(zip(self.columns, self._widths(width), strict=True)):
            side: Any = column.side
            least = self._least(place) if wide is None else None
            table.add_column(_text(column.heading), justify=side, overflow="fold", width=wide, min_width=least)
        for row in self.rows:
            table.add_row(*map(_cell, row))
        return table

    def _widths(self, width: int) -> Sequence[int | None]:
        """Where all is too wide unwrapped, how wide each column may be: the widest give way first, none below its
        least. None = as wide as it is."""
        places = range(len(self.columns))
        least = [self._least(place) for place in places]
        wide = [max(self._widest(place), 1) for place in places]
        over = sum(wide) + GAP * len(wide) - 1 - width
        if over <= 0:
            return [None] * len(wide)
        while over > 0 and (able := [n for n, w in enumerate(wide) if w > least[n]]):
            wide[max(able, key=wide.__getitem__)] -= 1
            over -= 1
        return wide

    def _widest(self, place: int) -> int:
        """What the column takes unwrapped."""
        lines = [line for row in self.rows for line in str(_cell(row[place])).splitlines()]
        return max(map(len, [self.columns[place].heading, *lines]))

    def _stacked(self, row: Row, width: int) -> Any:
        pairs = [(column.heading, value) for column, value in zip(self.columns, row, strict=True)]
        return _Grid("", _NAMED, [*pairs, (" ", " ")], headed=False)._side_by_side(width)

    def _least_width(self) -> int:
        return sum(self._least(place) + GAP for place in range(len(self.columns)))

    def _least(self, place: int) -> int:
        """A column keeps its longest word whole, up to a bound, so that no part number breaks to make room."""
        if self.columns[place].prose:
            return 20 if self.headed else 1
        if any(isinstance(row[place], Outcome | Verdict) for row in self.rows):
            return self._widest(place)
        words = " ".join([self.columns[place].heading, *(str(_cell(row[place])) for row in self.rows)]).split()
        return min(max(map(len, words), default=1), 24)


def _cell(value: object) -> Any:
    if isinstance(value, Outcome | Verdict):
        outcome = value.outcome if isinstance(value, Verdict) else value
        return _text(f"{SIGNS[outcome]} {value.words}", _COLOURS[outcome])
    return _text(_shown(value))


def _on_one_line(value: object) -> str:
    if isinstance(value, Outcome | Verdict):
        return str(_cell(value))
    return one_line(_shown(value))


def _shown(value: object) -> str:
    """A value in words: money with its currency, yes and no, lists joined, nothing as a dash."""
    if value is None or value == "":
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return number_text(round(value, 6))
    if isinstance(value, Decimal):
        return number_text(round(float(value), 6)) if value % 1 else f"{value:.0f}"
    if isinstance(value, Money):
        return as_listed(value)
    if isinstance(value, list | tuple):
        return ", ".join(map(_shown, value))
    return str(value)


def _all_numbers(values: Iterable[object]) -> bool:
    """Whether a column holds numbers or money, and at least one."""
    given = [v for v in values if v is not None]
    return bool(given) and all(isinstance(v, int | float | Decimal | Money) and not isinstance(v, bool) for v in given)


def _text(text: object, style: str = "") -> Any:
    from rich.text import Text

    return Text(readable(text), style=style)


def _render(parts: Iterable[Any], width: int | None, colour: bool | None) -> str:
    from rich.console import Console

    coloured = wants_colour() if colour is None else colour
    console = Console(
        file=StringIO(),
        width=width or terminal_width(),
        force_terminal=coloured,
        no_color=not coloured,
        color_system="standard" if coloured else None,
        legacy_windows=False,
        highlight=False,
    )
    drawn = (_drawn(part, console) for part in parts)
    return "\n".join(line.rstrip() for some in drawn for line in some.splitlines()) + "\n"


def _drawn(part: Any, console: Any) -> str:
    if isinstance(part, _Grid) and len(part.rows) > LONG:
        return part.line_by_line()
    with console.capture() as captured:
        console.print(*_laid_out(part, console.width), sep="\n")
    text: str = captured.get()
    return text


def _laid_out(part: Any, width: int) -> Iterator[Any]:
    return part.laid_out(width) if isinstance(part, _Grid) else iter((part,))


def wants_colour() -> bool:
    """Colour only for a terminal, and not where NO_COLOR is set to anything (no-color.org)."""
    return sys.stdout.isatty() and not os.getenv("NO_COLOR")


def terminal_width() -> int:
    """The terminal's width in characters (COLUMNS goes first), else 100."""
    if not sys.stdout.isatty() and not os.getenv("COLUMNS"):
        return DEFAULT_WIDTH
    return shutil.get_terminal_size((DEFAULT_WIDTH, 24)).columns
