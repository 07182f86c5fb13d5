"""What is kept of an earlier answer is used only where nothing that it rests on has changed."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from bom.fit.placement_cache import PlacementCache
from bom.jobs.bench import bench, glance
from bom.jobs.catalogue import add_catalogue
from bom.jobs.demo import load_shop
from bom.jobs.replacing.boards import add_board
from bom.jobs.replacing.matching import find_replacements
from bom.shop import narrowing
from bom.values.difference import Replacing

PLACE = "OS-3:K1"
RULE = "bench/bench.toml"


def edited(file: str, old: str, new: str) -> Callable[[Path], None]:
    """Every ``old`` in the file is ``new``."""

    def edit(folder: Path) -> None:
        text = (folder / file).read_text(encoding="utf-8")
        assert old in text
        (folder / file).write_text(text.replace(old, new), encoding="utf-8")

    return edit


CHANGES: dict[str, Callable[[Path], None]] = {
    "nothing": lambda folder: None,
    "the parts": edited("relays.csv", ",10,8.4,", ",10,9.9,"),
    "the ratings": edited("ratings.csv", ",14,", ",13,"),
    "the drawings": edited("footprints.csv", ",0.8,", ",1.9,"),
    "the board": edited("boards/os-3-holes.csv", ",1.3,", ",0.6,"),
    "the rule": edited(RULE, "percent = ", "coil_kelvin_per_watt = 90\npercent = "),
}


@pytest.fixture
def folder(demo_folder: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(demo_folder, tmp_path / "demo"))


@pytest.mark.parametrize("changed", CHANGES)
def test_an_answer_is_the_same_with_and_without_what_was_kept(
    changed: str, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bom.shop.shop.WHOLE", 0)  # the search of a long catalogue, which keeps what may serve
    judged: list[object] = []
    monkeypatch.setattr(narrowing, "_judged", lambda *a, judge=narrowing._judged: judged.append(a) or judge(*a))
    url = f"sqlite:///{tmp_path / 'bom.db'}"

    def answer() -> object:
        cache = PlacementCache()
        for module in ("bom.fit.placement_cache", "bom.fit.best_placement", "bom.shop.placements"):
            monkeypatch.setattr(f"{module}.CACHE", cache)
        with glance(url) as session:
            return find_replacements(session, position=PLACE, rule=str(folder / RULE))

    with bench(url) as session:
        list(load_shop(session, folder))
    before, at_first = answer(), len(judged)
    CHANGES[changed](folder)
    with bench(url) as session:
        add_catalogue(session, folder, replacing=Replacing(True))
        add_board(session, folder / "boards" / "os-3.toml", Replacing(True))
    with_kept, again = answer(), len(judged) - at_first
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "another cache"))
    assert with_kept == answer()
    assert (with_kept == before) == (changed == "nothing")
    assert at_first == 1 and again == (changed != "nothing")  # the fitted part and its ratings are asked about too
