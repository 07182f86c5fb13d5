"""Matching takes placements from the database and works out only those of drawings that changed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from bom.fit import placement_cache
from bom.fit.placement_cache import PlacementCache, Placements, work_out
from bom.jobs.bench import bench
from bom.jobs.catalogue import add_catalogue
from bom.jobs.replacing.boards import add_board
from bom.jobs.replacing.matching import find_replacements
from bom.values.difference import Replacing

HEAD = "footprint,pin,x_mm,y_mm,lead_mm,lead_width_mm,lead_angle_deg,view\n"
PINS = "F{n},1,0,0,0.8,,,component\nF{n},2,0,{y},0.8,,,component\nF{n},3,12,{n},0.8,,,component\n"
BOARD = '[board]\nname = "B"\nholes = "holes.csv"\n[[position]]\nref = "K1"\npattern = "p"\n'
HOLES = "pattern,hole,x_mm,y_mm,drill_mm,view\n" + "".join(
    f"p,{name},{spot},1.3,component\n" for name, spot in (("a", "0,0"), ("b", "0,10"), ("c", "12,1"))
)


@pytest.fixture
def searches(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[str]]:
    """The exact searches made; each command begins with an empty memory."""
    made: list[str] = []

    def counted(pins: object, holes: object, dressing_mm: float, known: Placements | None = None) -> Placements:
        made.append(repr(pins))
        return work_out(pins, holes, dressing_mm, known)  # type: ignore[arg-type]

    monkeypatch.setattr(placement_cache, "work_out", counted)
    yield made


def catalogue(folder: Path, second_y: float = 10.0) -> Path:
    folder.mkdir(exist_ok=True)
    rows = [PINS.format(n=n, y=second_y if n == 2 else 10.0) for n in (1, 2, 3)]
    (folder / "footprints.csv").write_text(HEAD + "".join(rows))
    (folder / "relays.csv").write_text(
        "maker,part_number,footprint\n" + "".join(f"Ostrel,R{n},F{n}\n" for n in (1, 2, 3))
    )
    (folder / "wirings.csv").write_text("wiring,unit,pole,element,from_pin,to_pin\n")
    (folder / "ratings.csv").write_text("applies_to,contact,load,supply,volts,amps\n")
    return folder


def one_command(url: str, monkeypatch: pytest.MonkeyPatch) -> None:
    cache = PlacementCache()
    for module in ("bom.fit.placement_cache", "bom.fit.best_placement", "bom.shop.placements"):
        monkeypatch.setattr(f"{module}.CACHE", cache)
    with bench(url) as session:
        find_replacements(session, position="B:K1")


def test_only_what_changed_is_worked_out_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, searches: list[str]
) -> None:
    url = f"sqlite:///{tmp_path / 'bom.db'}"
    (tmp_path / "b.toml").write_text(BOARD)
    (tmp_path / "holes.csv").write_text(HOLES)
    with bench(url) as session:
        add_catalogue(session, catalogue(tmp_path / "c"))
        add_board(session, tmp_path / "b.toml")
    counts = []
    for second_y in (10.0, 10.0, 10.1, 10.1):
        with bench(url) as session:
            add_catalogue(session, catalogue(tmp_path / "c", second_y), replacing=Replacing(True))
        searches.clear()
        one_command(url, monkeypatch)
        counts.append(len(searches))
    assert counts == [3, 0, 1, 0]


def test_what_was_measured_is_kept_as_drawn_and_as_wide_as_its_error_leaves_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, searches: list[str]
) -> None:
    url = f"sqlite:///{tmp_path / 'bom.db'}"
    (tmp_path / "b.toml").write_text(BOARD)
    with bench(url) as session:
        add_catalogue(session, catalogue(tmp_path / "c"))
    counts = []
    for error in ("", "0.1", "0.1", "0.2"):
        rows = HOLES.replace("1.3", "1.4").splitlines()  # others than the test before remembers
        measured = [f"{rows[0]},error_mm", *(f"{row},{error}" for row in rows[1:])]
        (tmp_path / "holes.csv").write_text("\n".join(measured))
        with bench(url) as session:
            add_board(session, tmp_path / "b.toml", Replacing(True))
        searches.clear()
        one_command(url, monkeypatch)
        counts.append(len(searches))
    assert counts == [3, 3, 0, 3]
