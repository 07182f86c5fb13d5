"""The reviewed table: which blanks may stay a drop-in, and why.

A row of ``tests/data/absence.csv`` names *where* (a pattern, as in ``candidate's rating: *``), the *fields* (each by
its name, never a pattern, so that a new one is always reviewed), and the *worlds*. It speaks for every blank in these
that the worlds have. ``today`` is *wrong* where the blank should not be a drop-in and still is.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fnmatch import fnmatchcase
from pathlib import Path

from worlds import Ask, World

TABLE = Path(__file__).parents[1] / "data" / "absence.csv"
Key = tuple[str, str, str]
"""Where, field and world of a blank."""


@dataclass(frozen=True)
class Row:
    """One row as it stands; several fields, and several worlds, are parted by semicolons."""

    line: int
    where: str
    fields: tuple[str, ...]
    worlds: tuple[str, ...]
    reason: str
    today: str

    @property
    def wrong(self) -> bool:
        return self.today == "wrong"

    def speaks_of(self, keys: Iterable[Key], worlds: Iterable[World]) -> frozenset[Key]:
        """The blanks among these that the row speaks for."""
        names = frozenset(self._named(tuple(worlds)))
        return frozenset(k for k in keys if k[1] in self.fields and k[2] in names and fnmatchcase(k[0], self.where))

    def _named(self, worlds: tuple[World, ...]) -> Iterator[str]:
        but = {name.removeprefix("but ") for name in self.worlds if name.startswith("but ")}
        for world in worlds:
            called = {world.name, world.ask.value, "all"} | ({"alike"} if world.ask is not Ask.AT_POSITION else set())
            if called & set(self.worlds) and not called & but:
                yield world.name


def rows() -> tuple[Row, ...]:
    """All rows, in the order of the file."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        return tuple(_row(number, cells) for number, cells in enumerate(csv.DictReader(file), 2))


def _row(number: int, cells: dict[str, str]) -> Row:
    fields, worlds = (tuple(part.strip() for part in cells[c].split(";")) for c in ("fields", "worlds"))
    return Row(number, cells["where"], fields, worlds, cells["reason"] or "", cells["today"] or "")
