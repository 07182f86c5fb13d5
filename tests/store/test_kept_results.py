"""Placements kept by design: worked out once for each pair of geometries, again only when one of them changes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from sqlalchemy import Engine

from bom.boards.board import Hole
from bom.fit import placement_cache
from bom.fit.placement_cache import PlacementCache, Placements, by_name, key_of, work_out
from bom.relays.footprint import Pin
from bom.store.kept_results import store_placements, stored_placements
from bom.store.unit_of_work import look, work

SPOTS = [(0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (3.0, 9.0)]
PINS = tuple(Pin(str(n), x, y, 0.8) for n, (x, y) in enumerate(SPOTS))
HOLES = tuple(Hole(f"h{n}", x, y, 1.3, f"N{n}") for n, (x, y) in enumerate(SPOTS))
Calls = list[tuple[Pin, ...]]


@pytest.fixture
def calls(monkeypatch: pytest.MonkeyPatch) -> Iterator[Calls]:
    """The exact searches made."""
    made: Calls = []

    def counted(pins: tuple[Pin, ...], holes: tuple[Hole, ...], dressing_mm: float) -> Placements:
        made.append(pins)
        return work_out(pins, holes, dressing_mm)

    monkeypatch.setattr(placement_cache, "work_out", counted)
    yield made


def another_day(engine: Engine, pins: tuple[Pin, ...], holes: tuple[Hole, ...], dressing: float = 0.0) -> Placements:
    """A cache that knows only what is stored, asked once, its news stored."""
    cache = PlacementCache()
    with look(engine) as session:
        cache.take(stored_placements(session, {placement_cache.holes_key(holes)}))
    found = cache.look_up(pins, holes, dressing)
    with work(engine) as session:
        store_placements(session, cache.hand_out())
    return found


def test_a_pair_is_worked_out_once(engine: Engine, calls: Calls) -> None:
    first, second = another_day(engine, PINS, HOLES), another_day(engine, PINS, HOLES)
    assert first == second and first.ways
    assert len(calls) == 1


def test_names_and_nets_play_no_part(engine: Engine, calls: Calls) -> None:
    another_day(engine, PINS, HOLES)
    renamed = tuple(replace(p, name=f"A{p.name}") for p in PINS)
    found = another_day(engine, renamed, tuple(replace(h, name=h.name.upper(), net="GND") for h in HOLES))
    assert len(calls) == 1
    assert by_name(found.ways[0], renamed, HOLES).assignment["A1"] == "h1"


@pytest.mark.parametrize("changed", ["pins", "holes", "lead", "dressing"])
def test_a_pair_of_which_one_changes_is_worked_out_again(engine: Engine, calls: Calls, changed: str) -> None:
    another_day(engine, PINS, HOLES)
    pins = {"pins": (replace(PINS[0], x_mm=0.1), *PINS[1:]), "lead": (replace(PINS[0], lead_mm=0.9), *PINS[1:])}
    holes = (replace(HOLES[0], drill_mm=1.4), *HOLES[1:]) if changed == "holes" else HOLES
    another_day(engine, pins.get(changed, PINS), holes, 0.1 if changed == "dressing" else 0.0)
    assert len(calls) == 2


def test_equal_numbers_written_otherwise_are_the_same_geometry() -> None:
    whole = tuple(replace(p, x_mm=int(p.x_mm), y_mm=-0.0 if p.y_mm == 0 else p.y_mm) for p in PINS)
    placement_cache.pins_key.cache_clear()
    first = placement_cache.pins_key(whole)
    placement_cache.pins_key.cache_clear()
    assert placement_cache.pins_key(PINS) == first


def test_what_is_stored_stays_when_it_is_stored_again(engine: Engine) -> None:
    news = {key_of(PINS, HOLES, 0.0): work_out(PINS, HOLES, 0.0)}
    with work(engine) as session:
        assert (store_placements(session, news), store_placements(session, news)) == (1, 0)
