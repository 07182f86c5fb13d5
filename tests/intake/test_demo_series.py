"""The demo's relays typed as series sheets are the demo's relays, and take fewer than half of the values to type."""

from __future__ import annotations

import sys
from dataclasses import replace
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType

import pytest

from bom.intake.catalogue import read_catalogue
from bom.relays.catalogue import Catalogue
from bom.relays.relay import Rating

TOP = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def sheets() -> Catalogue:
    return read_catalogue(TOP / "tests" / "data").value


@pytest.fixture(scope="module")
def demo() -> Catalogue:
    return read_catalogue(TOP / "catalogs" / "demo").value


def by_owner(catalogue: Catalogue) -> dict[str, list[Rating]]:
    return {
        owner: [r for r in catalogue.ratings if r.applies_to == owner]
        for owner in {r.applies_to for r in catalogue.ratings}
    }


def test_series_sheets_state_the_relays_of_the_demo_to_the_last_figure(sheets: Catalogue, demo: Catalogue) -> None:
    assert {r.part_number: r for r in sheets.relays} == {r.part_number: r for r in demo.relays}
    assert sheets.footprints == demo.footprints
    of_boards = {name for name in demo.wirings if name.startswith("board-")}
    assert sheets.wirings == {name: wiring for name, wiring in demo.wirings.items() if name not in of_boards}
    assert by_owner(sheets) == by_owner(demo)


@pytest.fixture(scope="module")
def counter() -> ModuleType:
    spec = spec_from_file_location("typed_values", TOP / "scripts" / "bench" / "typed_values.py")
    assert spec is not None and spec.loader is not None
    module = sys.modules["typed_values"] = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize(
    "value, count",
    [
        ({"shared": {"coil_supply": "dc", "temp_max_c": 85, "sealing": ""}}, 2),
        ({"coils": {"columns": ["coil_volts", "coil_ohms"], "rows": [[12, 240], [24, ""]]}}, 5),
        ({"choices": {"seal": {"S": {"sealing": "RT III"}, "F": {}}}}, 3),
        ({"parts": {"TW-12S": {"status": "active"}}}, 2),
        ({"footprint": {"pins": "A1 0/0, A2 0/5.5", "leads": {"A1, A2": "0.6"}}}, 9),
        ({"wiring": {"unit": {"A": "coil A1(+) A2; make 13 14"}}}, 8),
        ({"series": {"maker": "Ostrel", "note": "not counted"}}, 1),
    ],
)
def test_what_counts_as_a_value(counter: ModuleType, value: object, count: int) -> None:
    assert sum(counter.typed(value)) == count


def test_the_sheets_take_fewer_than_half_of_the_values(counter: ModuleType) -> None:
    cells = counter.catalogue_cells(counter.all_numbers())
    assert 2 * sum(map(counter.values, counter.SHEETS.glob("*.toml"))) < cells


def test_eight_relays_and_a_board_are_typed_in_a_third_of_the_values(counter: ModuleType, demo: Catalogue) -> None:
    eight = read_catalogue(counter.EIGHT).value
    theirs = {r.part_number: r for r in demo.relays}
    own = {"footprint": "", "wiring": ""}
    assert len(eight.relays) == 8
    assert all(replace(r, **own) == replace(theirs[r.part_number], **own) for r in eight.relays)
    assert counter.eight_as_sheets() < 0.36 * counter.eight_as_cells()
