"""What must hold of every world: better is never judged worse, harsher never better, and names change nothing.

The suite tries a few hundred worlds; ``BOM_WORLDS=20000 python -m pytest tests/audit/test_metamorphic.py`` as many as
are asked for, and others with ``BOM_FIRST_WORLD=1000000``. A breach is told with its seed, so that
``random_world(seed)`` shows it again.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import count, islice
from pathlib import Path
from random import Random

import pytest
from blanks import KEYS
from changes import (
    BETTER,
    BETTER_LINE,
    BETTER_SHEET,
    HARSHER_BOARD,
    HARSHER_DRIVER,
    HARSHER_LOAD,
    HARSHER_SUPPLY,
    SAME,
    WORSE,
    Change,
)
from random_worlds import random_world
from sqlalchemy import Engine
from taken_whole import take_catalogue
from worlds import CANDIDATE, FITTED, Ask, World, all_worlds

from bom.boards.board import Board, Driver, Load, Supply
from bom.intake.catalogue import read_catalogue
from bom.match.match import judge
from bom.match.requirement import like
from bom.paper.csv_out import write_catalogue
from bom.relays.relay import Rating, Relay
from bom.store.boards_and_kits import boards, take_board
from bom.store.catalogue import whole_catalogue
from bom.store.engine import ready_engine
from bom.store.unit_of_work import look, work
from bom.values.column import Holds, described
from bom.values.finding import Finding, Verdict, verdict_of

CHANGES = (*BETTER, *WORSE, *SAME)
MANY = int(os.environ.get("BOM_WORLDS", "640")) // len(CHANGES)
"""Worlds for each change."""
FIRST = int(os.environ.get("BOM_FIRST_WORLD", "0"))
RANK = list(Verdict)  # from the best to the worst


@dataclass(frozen=True)
class Breach:
    """A change that moved the verdict the wrong way, and the findings that did it."""

    seed: int
    change: str
    world: str
    before: Verdict
    after: Verdict
    findings: tuple[str, ...]


def breaches(change: Change, *wrong: int) -> Iterator[Breach]:
    """The change made to ``MANY`` worlds; ``wrong`` are the ways the verdict may not move: -1 better, 1 worse."""
    for seed, world, changed in _changed(change):
        before, after = _judged(world), _judged(changed)
        moved = RANK.index(after[0]) - RANK.index(before[0])
        if (moved > 0) - (moved < 0) in wrong and not _excused(after[1]):
            told = _told(before[1], after[1])
            yield Breach(seed, change.__name__, world.name, before[0], after[0], told)


def _excused(findings: tuple[Finding, ...]) -> bool:
    """Where the fitted part falls short too, a part that is no worse is a condition, however harsh it gets."""
    return any(f.why.startswith("no worse than the fitted part") for f in findings)


def _changed(change: Change) -> Iterator[tuple[int, World, World]]:
    """Worlds in which the change has something to change; no two changes try the same worlds."""
    seeds = count(FIRST + CHANGES.index(change), len(CHANGES))
    worlds = ((seed, world, change(Random(seed), world)) for seed in seeds if (world := random_world(seed)))
    yield from islice(((seed, world, changed) for seed, world, changed in worlds if changed is not None), MANY)


def _judged(world: World) -> tuple[Verdict, tuple[Finding, ...]]:
    """All but the minimum load: more current keeps a contact cleaner."""
    findings = tuple(f for f in world.findings() if not f.check.startswith("minimum load"))
    return verdict_of(findings), findings


def _told(before: tuple[Finding, ...], after: tuple[Finding, ...]) -> tuple[str, ...]:
    """The findings whose outcome changed."""
    was = {f.check: f for f in before}
    now = {f.check: f for f in after}
    changed = [c for c in {**was, **now} if _outcome(was.get(c)) != _outcome(now.get(c))]
    return tuple(f"{c}: {_outcome(was.get(c))} -> {_outcome(now.get(c))}" for c in changed)


def _outcome(finding: Finding | None) -> str:
    return "not asked" if finding is None else f"{finding.outcome} ({finding.why})"


@pytest.mark.parametrize("change", BETTER, ids=lambda change: change.__name__)
def test_a_better_part_is_never_judged_worse(change: Change) -> None:
    assert list(breaches(change, 1))[:5] == []


@pytest.mark.parametrize("change", WORSE, ids=lambda change: change.__name__)
def test_a_harsher_place_is_never_judged_better(change: Change) -> None:
    assert list(breaches(change, -1))[:5] == []


@pytest.mark.parametrize("change", SAME, ids=lambda change: change.__name__)
def test_what_changes_nothing_changes_no_verdict(change: Change) -> None:
    assert list(breaches(change, -1, 1))[:5] == []


@pytest.mark.parametrize("world", [w for w in all_worlds() if w.ask is not Ask.AT_POSITION], ids=lambda w: w.name)
def test_a_part_is_a_drop_in_for_itself(world: World) -> None:
    assert judge(like(world.candidate), world.candidate).verdict is Verdict.DROP_IN


def test_a_part_with_any_sheet_is_never_refused_in_its_own_place() -> None:
    """What it does not state is unknown, and nothing else is said against it."""
    parts = ((seed, random_world(seed).candidate) for seed in range(MANY))
    verdicts = {seed: judge(like(part), part).verdict for seed, part in parts}
    assert [seed for seed, verdict in verdicts.items() if verdict not in (Verdict.DROP_IN, Verdict.UNKNOWN)] == []


def test_saving_and_reading_back_changes_no_verdict(tmp_path: Path) -> None:
    engine = ready_engine(f"sqlite:///{tmp_path / 'bom.sqlite'}")
    worlds = [(seed, random_world(seed)) for seed in range(MANY)]
    assert [seed for seed, world in worlds if _has_lines(world) and _kept(engine, world) != world.findings()] == []


@pytest.mark.parametrize("world", all_worlds(), ids=lambda world: world.name)
def test_writing_a_catalogue_out_and_reading_it_changes_no_verdict(tmp_path: Path, world: World) -> None:
    write_catalogue(tmp_path, world.catalogue)
    read = replace(world, catalogue=read_catalogue(tmp_path).value)
    assert read.findings() == world.findings()


def _has_lines(world: World) -> bool:
    """A part without any line keeps those of the world before it."""
    return {r.applies_to for r in world.catalogue.ratings} == {FITTED, CANDIDATE}


def _kept(engine: Engine, world: World) -> tuple[Finding, ...]:
    """The findings on what the database gives back of the world."""
    with work(engine) as session:
        take_catalogue(session, world.catalogue)
        take_board(session, world.board)
    with look(engine) as session:
        (board,) = boards(session)
        return replace(world, catalogue=whole_catalogue(session), board=board).findings()


NO_DIRECTION = {
    Relay: {"coil_volts", "coil_ohms", "coil_ref_temp_c", "coil_henries", "release_volts", "release_ms"}
    | {"suppression_ohms", "suppression_volts", "pin_length_mm", "standoff_mm", "body_length_mm", "body_width_mm"},
    Rating: set(),
    Supply: {"nominal_volts", "jump_seconds", "hertz"},
    Driver: set(),
    Load: set(),
    Board: {"board_thickness_mm", "drill_tolerance_mm", "hole_position_tolerance_mm", "leg_dressing_mm"},
}
"""Figures of which neither more nor less is better whatever the rest is, or that another change moves."""


@pytest.mark.parametrize(
    ("kind", "moved"),
    [
        (Relay, BETTER_SHEET),
        (Rating, BETTER_LINE),
        (Supply, HARSHER_SUPPLY),
        (Driver, HARSHER_DRIVER),
        (Load, HARSHER_LOAD),
        (Board, HARSHER_BOARD),
    ],
)
def test_every_figure_is_made_better_or_harsher(kind: type, moved: Iterable[str]) -> None:
    """A new figure is put into one of these lists, so that it is never left untried."""
    columns = KEYS.get(kind) or described(kind)
    figures = {name for name, column in columns.items() if column.holds is Holds.NUMBER}
    assert figures - set(moved) == NO_DIRECTION[kind]
