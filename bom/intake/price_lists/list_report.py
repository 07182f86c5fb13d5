"""Knows how to tell what is wrong in a long list shortly: the first few of each kind by line, the rest counted.

A list of 200 000 lines with one wrong habit has 200 000 wrong cells; what is kept of them is a handful.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from bom.values.problem import Problem

SHOWN = 5
"""How many cells wrong in the same way are told one by one. Our own choice."""
_KINDS = 100  # how many kinds of note are kept apart; the words in cells could be endless


@dataclass(slots=True)
class _Wrong:
    """Cells of one column that are wrong in one way."""

    first: list[Problem]
    more: int = 0
    last: int = 0


@dataclass(slots=True)
class _Note:
    """Rows of which the same is to be told."""

    line: int
    what: str
    more: int = 0
    last: int = 0


@dataclass(slots=True)
class ListReport:
    """Problems and notes of one list, named by ``name``, each with its line."""

    name: str
    wrongs: dict[tuple[str, str], _Wrong] = field(default_factory=dict)
    told: dict[str, _Note] = field(default_factory=dict)

    def wrong(self, line: int, column: str, expected: str, found: str = "") -> None:
        """One thing wrong; line 0 means the whole list."""
        kind = self.wrongs.setdefault((column, expected), _Wrong([]))
        kind.last = max(kind.last, line)  # scattered rows are met last, wherever they stand
        if len(kind.first) < SHOWN:
            kind.first.append(Problem(self.name, line, column, expected, found[:80]))
        else:
            kind.more += 1

    def note(self, line: int, what: str, said: str) -> None:
        """``what`` is the part or cell, ``said`` is what many rows may share."""
        said = said if said in self.told or len(self.told) < _KINDS else "and other cells that say no number"
        if (known := self.told.get(said)) is None:
            self.told[said] = _Note(line, what)
        else:
            known.more, known.last = known.more + 1, max(known.last, line)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """By line; the ones counted only follow as one problem a kind."""
        first = sorted((p for w in self.wrongs.values() for p in w.first), key=lambda p: p.line)
        rest = [
            Problem(self.name, 0, column, f"{expected} (also in {w.more} more, the last on line {w.last})")
            for (column, expected), w in self.wrongs.items()
            if w.more
        ]
        return (*first, *rest)

    @property
    def notes(self) -> tuple[str, ...]:
        return tuple(f"{self.name}:{n.line}: {n.what} {said}{_others(n)}" for said, n in self.told.items())


def _others(note: _Note) -> str:
    if not note.more:
        return ""
    rows = "1 more row" if note.more == 1 else f"{note.more} more rows, the last"
    return f" (and so {rows} on line {note.last})"
