"""No blank passes unless a reviewed table says why it may.

Whole worlds in which the candidate is a drop-in are blanked value by value. What is still a drop-in must stand in
``tests/data/absence.csv`` with its reason, and nothing else may stand there.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any, get_args, get_type_hints

import pytest
from blanks import blanks, empty_of
from reviewed import TABLE, Key, Row, rows
from worlds import World, all_worlds

from bom.boards.board import Board, ContactAmps
from bom.relays.catalogue import Catalogue
from bom.relays.relay import SupplyPart
from bom.values.finding import Verdict

WORLDS = all_worlds()
_FILLED_IN = {"HolePattern.of_part", "Function.solved"}
"""What the program fills in by itself; what it holds there (``_MADE``) no file states."""
_NO_DROP_IN = {"Supply.hertz"}
"""What is asked of AC coils alone, which are a condition at best: ``tests/duty`` holds its blank."""
_MADE = {Catalogue, SupplyPart, ContactAmps}


@cache
def left() -> dict[Key, int]:
    """Every blank, and how many of its kind are still a drop-in."""
    found: dict[Key, int] = defaultdict(int)
    for world in WORLDS:
        for blank in blanks(world):
            found[blank.where, blank.field, world.name] += blank.world.verdict() is Verdict.DROP_IN
    return found


@pytest.mark.parametrize("world", WORLDS, ids=lambda world: world.name)
def test_the_candidate_is_a_drop_in(world: World) -> None:
    assert world.verdict() is Verdict.DROP_IN, [f for f in world.findings() if f.outcome.gravity][:3]


def test_there_are_worlds_of_every_kind() -> None:
    assert len(WORLDS) == len({world.name for world in WORLDS}) >= 15


def test_every_field_is_stated_in_some_world() -> None:
    wholes = defaultdict(list)
    for whole in _inside(tuple((world.catalogue, world.board) for world in WORLDS)):
        wholes[type(whole)].append(whole)
    kinds = (_kinds_in(Catalogue) | _kinds_in(Board)) - _MADE
    silent = {name for kind in kinds for name in _silent(kind, wholes[kind])} - _FILLED_IN - _NO_DROP_IN
    assert not silent, "state each of these in a world, and review its blank in absence.csv"


def test_every_blank_that_stays_a_drop_in_is_reviewed() -> None:
    reviewed = {key for row in rows() for key in row.speaks_of(left(), WORLDS)}
    news = sorted(key for key, count in left().items() if count and key not in reviewed)
    assert not news, f"no row of {TABLE.name} speaks of these (where, field, world): make them unknown, or say why not"


def test_no_row_speaks_of_a_blank_that_no_longer_passes() -> None:
    idle = [(row.line, key) for row in rows() for key in row.speaks_of(left(), WORLDS) if not left()[key]]
    idle += [(row.line, name) for row in rows() for name in row.fields if name not in _said(row)]
    assert not idle, f"{TABLE.name}: take these (line, blank) out of their rows"


def test_no_blank_is_reviewed_twice() -> None:
    said = Counter(key for row in rows() for key in row.speaks_of(left(), WORLDS))
    assert [key for key, count in said.items() if count > 1] == []


def test_every_row_gives_its_reason() -> None:
    assert [row.line for row in rows() if not row.reason or row.today not in ("", "wrong")] == []


def _said(row: Row) -> set[str]:
    return {field for _, field, _ in row.speaks_of(left(), WORLDS)}


def _inside(value: Any) -> Iterator[Any]:
    """Every dataclass that the value is made of, itself too."""
    if is_dataclass(value):
        yield value
        for f in fields(value):
            yield from _inside(getattr(value, f.name))
    for item in value.values() if isinstance(value, dict) else value if isinstance(value, tuple) else ():
        yield from _inside(item)


def _silent(kind: type, wholes: Iterable[Any]) -> set[str]:
    """The fields of this dataclass that a file may leave empty, and that none of these states."""
    own: Any = kind
    stated = {f.name for whole in wholes for f in fields(whole) if getattr(whole, f.name) != empty_of(whole, f)}
    return {f"{kind.__name__}.{f.name}" for f in fields(own) if f.name not in stated}


def _kinds_in(kind: Any, seen: frozenset[type] = frozenset()) -> set[Any]:
    """The dataclasses that this one's fields hold, however deep, and itself."""
    if not is_dataclass(kind):
        return {inner for part in get_args(kind) for inner in _kinds_in(part, seen)}
    if kind in seen:
        return set()
    own: Any = kind
    hints = get_type_hints(own).values()
    return {own} | {inner for hint in hints for inner in _kinds_in(hint, seen | {own})}
