"""Knows how answers look in a terminal: plain tables as text, an outcome by sign and word and only then by colour.

Everything is made from the JSON shape of an answer, so what is shown and what ``--json`` prints cannot differ.
Text is wrapped, never cut; markup and control characters in it have no effect.
"""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from io import StringIO
from typing import Any

from bom.paper.csv_out import number_text
from bom.paper.readable import readable
from bom.values.finding import Finding, Outcome, Verdict, worst_first

Row = Mapping[str, Any]
Column = tuple[str, str, str]  # key, header, left or right

DEFAULT_WIDTH = 100
GAP = 3  # characters between two columns
_SIGNS = {  # sign, word and colour for each outcome and verdict
    "pass": ("✓", "pass", "green"),
    "condition": ("~", "condition", "yellow"),
    "fail": ("✗", "fail", "red"),
    "unknown": ("?", "unknown", "magenta"),
    "drop_in": ("✓", "drop-in", "green"),
    "conditional": ("~", "conditional", "yellow"),
    "no": ("✗", "no", "red"),
}


def match_table(answer: Row, width: int | None = None, colour: bool | None = None) -> str:
    """A match: each candidate with its verdict and the one worst reason, then the cautions."""
    candidates = answer.get("candidates") or []
    rows = [_candidate(c) for c in candidates]
    columns: list[Column] = [
        ("verdict", "verdict", "left"),
        ("maker", "maker", "left"),
        ("part_number", "part number", "left"),
        ("available", "available", "right"),
        ("landed_cost", "landed cost", "right"),
        ("why", "why", "left"),
    ]
    body = [_Grid("", columns, rows)] if rows else [_plain("No candidate was found.")]
    return _render([*body, *_cautions(answer.get("cautions") or [])], width, colour)


def findings_table(
    findings: Iterable[Row], title: str = "", width: int | None = None, colour: bool | None = None
) -> str:
    """Findings, the worst first: what was asked, what is offered, the room left, why; their sources once below."""
    ranked = worst_first(map(_finding, findings))
    rows = [_finding_row(f) for f in ranked]
    columns: list[Column] = [
        ("outcome", "outcome", "left"),
        ("check", "check", "left"),
        ("required", "required", "left"),
        ("offered", "offered", "left"),
        ("margin", "margin", "right"),
        ("why", "why", "left"),
    ]
    grid = _Grid(title, columns, rows) if rows else _plain("Nothing was checked.")
    sources = [{"name": "source", "value": source} for source in dict.fromkeys(f.source for f in ranked if f.source)]
    return _render([grid, *([_Grid("", _NAMED, sources, headed=False)] if sources else [])], width, colour)


def simple_table(
    title: str,
    columns: Sequence[str],
    rows: Iterable[Sequence[Any]],
    width: int | None = None,
    colour: bool | None = None,
) -> str:
    """Any table: numbers to the right, all else to the left; no heading where no column has a name."""
    keys = [str(i) for i in range(len(columns))]
    dicts = [dict(zip(keys, row, strict=True)) for row in rows]
    sides = ["right" if _all_numbers(d[k] for d in dicts) else "left" for k in keys]
    grid = _Grid(title, list(zip(keys, columns, sides, strict=True)), dicts, headed=any(columns))
    return _render([grid], width, colour)


_NAMED: tuple[Column, ...] = (("name", "", "left"), ("value", "", "left"))
_PROSE = ("why", "source", "text", "value")  # columns that may wrap anywhere between words


def _candidate(candidate: Row) -> Row:
    verdict = str(candidate.get("verdict") or "unknown")
    worst = worst_first(map(_finding, candidate.get("findings") or []))
    passed = worst and worst[0].outcome is Outcome.PASS
    why = f"all {len(worst)} checks pass" if passed else worst[0].why if worst else "nothing was checked"
    return {**candidate, "verdict": Verdict(verdict), "why": why}


def _finding(row: Row) -> Finding:
    texts = {k: str(row.get(k) or "") for k in ("check", "why", "required", "offered", "source")}
    margin = row.get("margin")
    return Finding(outcome=Outcome(row["outcome"]), margin=None if margin is None else float(margin), **texts)


def _finding_row(finding: Finding) -> Row:
    row = {name: getattr(finding, name) for name in ("outcome", "check", "required", "offered", "why")}
    return {**row, "margin": "" if finding.margin is None else f"{finding.margin:+.0%}"}


def _cautions(cautions: Sequence[object]) -> list[Any]:
    if not cautions:
        return []
    rows = [{"sign": "!", "text": caution} for caution in cautions]
    return [_Grid("Cautions", [("sign", "", "left"), ("text", "", "left")], rows, headed=False)]


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

    def _side_by_side(self, width: int) -> Any:
        from rich import box
        from rich.table import Table

        look = box.SIMPLE_HEAD if self.headed else None
        table = Table(box=look, show_header=self.headed, pad_edge=False)
        for column, wide in zip(self.columns, self._widths(width), strict=True):
            side: Any = column[2]
            least = self._least(column) if wide is None else None
            table.add_column(_text(column[1]), justify=side, overflow="fold", width=wide, min_width=least)
        for row in self.rows:
            table.add_row(*(_cell(row.get(key)) for key, _, _ in self.columns))
        return table

    def _widths(self, width: int) -> Sequence[int | None]:
        """Where all is too wide unwrapped, how wide each column may be: the widest give way first, none below its
        least. None = as wide as it is."""
        least = [self._least(column) for column in self.columns]
        wide = [max(self._widest(column), 1) for column in self.columns]
        over = sum(wide) + GAP * len(wide) - 1 - width
        if over <= 0:
            return [None] * len(wide)
        while over > 0 and (able := [n for n, w in enumerate(wide) if w > least[n]]):
            wide[max(able, key=wide.__getitem__)] -= 1
            over -= 1
        return wide

    def _widest(self, column: Column) -> int:
        """What the column takes unwrapped."""
        lines = [line for row in self.rows for line in str(_cell(row.get(column[0]))).splitlines()]
        return max(map(len, [column[1], *lines]))

    def _stacked(self, row: Row, width: int) -> Any:
        pairs = [{"name": header, "value": row.get(key)} for key, header, _ in self.columns]
        return _Grid("", _NAMED, [*pairs, {"name": " ", "value": " "}], headed=False)._side_by_side(width)

    def _least_width(self) -> int:
        return sum(self._least(column) + GAP for column in self.columns)

    def _least(self, column: Column) -> int:
        """A column keeps its longest word whole, up to a bound, so that no part number breaks to make room."""
        key, header, _ = column
        if key in _PROSE:
            return 20 if self.headed else 1
        if any(isinstance(row.get(key), Outcome | Verdict) for row in self.rows):
            return self._widest(column)
        words = " ".join([header, *(str(_cell(row.get(key))) for row in self.rows)]).split()
        return min(max(map(len, words), default=1), 24)


def _cell(value: object) -> Any:
    if isinstance(value, Outcome | Verdict):
        sign, word, style = _SIGNS[value.value]
        return _text(f"{sign} {word}", style)
    return _text(_shown(value))


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
    if isinstance(value, Mapping):
        return f"{value['amount']} {value['currency']}" if _is_money(value) else _joined(value)
    if isinstance(value, list | tuple):
        return ", ".join(map(_shown, value))
    return str(value)


def _joined(value: Mapping[Any, Any]) -> str:
    return ", ".join(f"{_words(k)} {_shown(v)}" for k, v in value.items())


def _words(key: object) -> str:
    return str(key).replace("_", " ")


def _is_money(value: object) -> bool:
    return isinstance(value, Mapping) and set(value) == {"amount", "currency"}


def _all_numbers(values: Iterable[object]) -> bool:
    """Whether a column holds numbers or money, and at least one."""
    given = [v for v in values if v is not None]
    return bool(given) and all(
        _is_money(v) or (isinstance(v, int | float | Decimal) and not isinstance(v, bool)) for v in given
    )


def _text(text: object, style: str = "") -> Any:
    from rich.text import Text

    return Text(readable(text), style=style)


def _plain(text: str) -> Any:
    return _text(text)


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
    with console.capture() as captured:
        for part in parts:
            console.print(*_laid_out(part, console.width), sep="\n")
    return "\n".join(line.rstrip() for line in captured.get().splitlines()) + "\n"


def _laid_out(part: Any, width: int) -> Iterator[Any]:
    return part.laid_out(width) if isinstance(part, _Grid) else iter((part,))


def money(value: Any, digits: int = 2) -> Any:
    """Money in few digits for the eye; ``--json`` has every one. A figure that nobody knows says so."""
    if isinstance(value, dict) and set(value) == {"amount", "currency"}:
        return f"{float(value['amount']):.{digits}f} {value['currency']}"
    return "not known" if value is None else value


def wants_colour() -> bool:
    """Colour only for a terminal, and not where NO_COLOR is set to anything (no-color.org)."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR")


def terminal_width() -> int:
    """The terminal's width in characters (COLUMNS goes first), else 100."""
    if not sys.stdout.isatty() and not os.environ.get("COLUMNS"):
        return DEFAULT_WIDTH
    return shutil.get_terminal_size((DEFAULT_WIDTH, 24)).columns
