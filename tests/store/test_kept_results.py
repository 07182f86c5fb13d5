"""Placements kept by design: worked out once for each pair of geometries, again only when one of them changes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from alembic import command
from sqlalchemy import text

from bom.boards.board import Hole
from bom.fit import placement_cache
from bom.fit.placement_cache import PlacementCache, Placements, by_name, work_out
from bom.relays.footprint import Pin
from bom.store.engine import cache_folder, migration_config, open_engine, ready_engine
from bom.store.kept_results import keep_seatings, kept_seating, store_placements, stored_placements
from bom.store.marks import marked, next_edition
from bom.store.unit_of_work import WRITES, look, work

SPOTS = [(0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (3.0, 9.0)]
PINS = tuple(Pin(str(n), x, y, 0.8) for n, (x, y) in enumerate(SPOTS))
HOLES = tuple(Hole(f"h{n}", x, y, 1.3, f"N{n}") for n, (x, y) in enumerate(SPOTS))
Calls = list[tuple[Pin, ...]]


@pytest.fixture
def calls(monkeypatch: pytest.MonkeyPatch) -> Iterator[Calls]:
    """The exact searches made."""
    made: Calls = []

    def counted(
        pins: tuple[Pin, ...], holes: tuple[Hole, ...], dressing_mm: float, known: Placements | None
    ) -> Placements:
        made.append(pins)
        return work_out(pins, holes, dressing_mm, known)

    monkeypatch.setattr(placement_cache, "work_out", counted)
    yield made


def another_day(pins: tuple[Pin, ...], holes: tuple[Hole, ...], dressing: float = 0.0) -> Placements:
    """A cache that knows only what is kept, asked once, its news kept."""
    cache = PlacementCache()
    cache.take(stored_placements({placement_cache.holes_key(holes)}))
    found = cache.look_up(pins, holes, dressing)
    store_placements(cache.hand_out())
    return found


def test_a_pair_is_worked_out_once(calls: Calls) -> None:
    first, second = another_day(PINS, HOLES), another_day(PINS, HOLES)
    assert first == second and first.ways
    assert len(calls) == 1


def test_names_and_nets_play_no_part(calls: Calls) -> None:
    another_day(PINS, HOLES)
    renamed = tuple(replace(p, name=f"A{p.name}") for p in PINS)
    found = another_day(renamed, tuple(replace(h, name=h.name.upper(), net="GND") for h in HOLES))
    assert len(calls) == 1
    assert by_name(found.ways[0], renamed, HOLES).assignment["A1"] == "h1"


@pytest.mark.parametrize("changed", ["pins", "holes", "lead", "dressing"])
def test_a_pair_of_which_one_changes_is_worked_out_again(calls: Calls, changed: str) -> None:
    another_day(PINS, HOLES)
    pins = {"pins": (replace(PINS[0], x_mm=0.1), *PINS[1:]), "lead": (replace(PINS[0], lead_mm=0.9), *PINS[1:])}
    holes = (replace(HOLES[0], drill_mm=1.4), *HOLES[1:]) if changed == "holes" else HOLES
    another_day(pins.get(changed, PINS), holes, 0.1 if changed == "dressing" else 0.0)
    assert len(calls) == 2


def test_equal_numbers_written_otherwise_are_the_same_geometry() -> None:
    whole = tuple(replace(p, x_mm=int(p.x_mm), y_mm=-0.0 if p.y_mm == 0 else p.y_mm) for p in PINS)
    placement_cache.pins_key.cache_clear()
    first = placement_cache.pins_key(whole)
    placement_cache.pins_key.cache_clear()
    assert placement_cache.pins_key(PINS) == first


def test_where_only_the_ways_in_were_looked_for_the_rest_is_looked_for_when_it_is_asked_for(calls: Calls) -> None:
    far = (replace(PINS[0], x_mm=-0.9), *PINS[1:])
    cache = PlacementCache()
    assert not cache.ways(far, HOLES, 0.0).ways and not calls
    store_placements(cache.hand_out())
    found = another_day(far, HOLES)
    assert found.near and found == another_day(far, HOLES) and len(calls) == 1


def test_more_pins_than_one_question_may_hold_are_asked_for_in_pieces() -> None:
    kept = {(f"{n:04}", "here", "0"): Placements() for n in range(1201)}
    store_placements(kept)
    assert stored_placements({"here"}, {key[0] for key in kept}) == kept


@pytest.mark.parametrize("spoilt", ["nothing", "a folder", "another file"])
def test_where_results_cannot_be_kept_they_are_worked_out_again(spoilt: str) -> None:
    file = cache_folder() / "worked-out.sqlite"
    file.parent.mkdir(parents=True, exist_ok=True)
    if spoilt == "a folder":
        file.mkdir()
    elif spoilt == "another file":
        file.write_text("no database, and long enough to be read as one " * 100)
    assert kept_seating("asked", 1) is None
    keep_seatings({("asked", 1): "found"})
    keep_seatings({("asked", 1): "found"})
    assert kept_seating("asked", 1) == (None if spoilt == "a folder" else "found")
    assert kept_seating("asked", 2) is None


def test_no_two_shops_have_the_same_edition_with_other_drawings(url: str) -> None:
    """Nor has a shop from before editions were drawn, when each counted its own."""
    engine = open_engine(url)
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        command.upgrade(migration_config(connection), "0018")
        connection.execute(text("DELETE FROM marks"))
        connection.execute(text("INSERT INTO marks (name, number) VALUES ('drawings', 3), ('relays', 7)"))
    engine.dispose()
    seen = set()
    for _ in range(3):
        with look(ready_engine(url)) as session:
            seen.add(marked(session, "drawings"))
            assert marked(session, "relays") == 7
        with work(ready_engine(url)) as session:
            next_edition(session)
    assert len(seen) == 3 and min(seen) > 1000
