"""A board whose holes were measured: matches, the board's own check and its pages say what the errors leave open."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path

import pytest

from bom.jobs.bench import bench, glance
from bom.jobs.replacing.boards import add_board, check_board
from bom.jobs.replacing.match_pages import Asked, page_for
from bom.jobs.replacing.matching import find_replacements
from bom.paper.pages.match_page import match_page
from bom.values.difference import Replacing
from bom.values.finding import Verdict

TRIED_ON = "print it at 1:1 and lay it on"


def with_error(url: str, demo: Path, folder: Path, error: float | None, moved: Mapping[str, str] | None = None) -> None:
    """OS-3 with an error for every hole, some of them moved."""
    shutil.copy(demo / "boards" / "os-3.toml", folder)
    lines = (demo / "boards" / "os-3-holes.csv").read_text(encoding="utf-8").splitlines()
    rows = [f"{line},{'' if error is None else error}" for line in lines[1:]]
    text = "\n".join([f"{lines[0]},error_mm", *rows]) + "\n"
    for here, there in (moved or {}).items():
        assert here in text
        text = text.replace(here, there)
    (folder / "os-3-holes.csv").write_text(text, encoding="utf-8")
    with bench(url) as session:
        add_board(session, folder / "os-3.toml", Replacing(True))


def verdicts(url: str) -> dict[str, Verdict]:
    with glance(url) as session:
        found = find_replacements(session, position="OS-3:K1")
    return {c.part_number: c.verdict for c in found.candidates}


@pytest.mark.parametrize(
    ("error", "verdict"), [(None, Verdict.DROP_IN), (0.01, Verdict.DROP_IN), (0.4, Verdict.CONDITIONAL)]
)
def test_a_match_is_on_a_condition_where_the_holes_are_known_loosely(
    url: str, demo_folder: Path, tmp_path: Path, error: float | None, verdict: Verdict
) -> None:
    with_error(url, demo_folder, tmp_path, error)
    assert verdicts(url)["K2R-12S"] is verdict


def test_a_miss_within_the_error_is_unknown_and_beyond_it_refused(url: str, demo_folder: Path, tmp_path: Path) -> None:
    moved = {"twin-left,b1,0.00,13.00": "twin-left,b1,0.00,13.90"}
    with_error(url, demo_folder, tmp_path, 0.4, moved)
    assert verdicts(url)["K2R-12S"] is Verdict.UNKNOWN
    with_error(url, demo_folder, tmp_path, 0.02, moved)
    assert verdicts(url)["K2R-12S"] is Verdict.NO


def test_a_long_catalogue_says_the_same(
    url: str, demo_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with_error(url, demo_folder, tmp_path, 0.4, {"twin-left,b1,0.00,13.00": "twin-left,b1,0.00,13.90"})
    short = {part: verdict for part, verdict in verdicts(url).items() if verdict is not Verdict.NO}
    monkeypatch.setattr("bom.shop.shop.WHOLE", 0)
    assert short and short == {p: v for p, v in verdicts(url).items() if v is not Verdict.NO}


def test_the_board_and_its_pages_say_it(url: str, demo_folder: Path, tmp_path: Path) -> None:
    with_error(url, demo_folder, tmp_path, 0.4)
    with glance(url) as session:
        checked = check_board(session, "OS-3", None)
        page = match_page(page_for(session, Asked(position="OS-3:K1"), None))
    assert any(TRIED_ON in f.why for position in checked.positions for f in position.findings)
    assert TRIED_ON in page
