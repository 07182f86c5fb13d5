"""Where someone can get hurt, every verdict says so, wherever it stands."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import pytest

from bom.cli.main import run
from bom.duty.cautions import GUIDED, RATED_FOR_MAINS, SAFETY
from bom.jobs.bench import bench
from bom.jobs.catalogue import add_catalogue
from bom.jobs.replacing.boards import add_board


@pytest.fixture(scope="module")
def url(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The demo's catalogue and the box with a guarded circuit."""
    url = f"sqlite:///{tmp_path_factory.mktemp('cautions') / 'bom.db'}"
    with bench(url) as session:
        add_catalogue(session, demo_folder)
        add_board(session, demo_folder / "boards" / "ht-24.toml")
    return url


def said(words: str, url: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> str:
    monkeypatch.setenv("BOM_DATABASE_URL", url)
    monkeypatch.setattr(sys, "argv", ["bom", *words.split()])
    with pytest.raises(SystemExit):
        run()
    return " ".join(capsys.readouterr().out.split())


OF_A_GUIDED_PART = [
    "match --position HT-24:K2",
    "match --like GS-24",
    "match --position HT-24:K2 --why KGA-24",
    "match --position HT-24:K2 --why TW2-24S",
    "board show HT-24",
    "board check HT-24",
    "relay show GS-24",
    "catalog xref --part GS-24",
]


@pytest.mark.parametrize("words", OF_A_GUIDED_PART)
def test_a_guided_parts_verdict_carries_its_caution(
    words: str, url: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    screen = said(words, url, monkeypatch, capsys)
    assert "only a guided part of the same kind" in screen or "guided contacts: only the same kind" in screen
    assert "bom explain cautions" in screen
    assert GUIDED in cautions_of(json.loads(said(f"{words} --json", url, monkeypatch, capsys)))


def cautions_of(answer: Any) -> list[str]:
    """Those of the whole answer, and of each pair of a cross-reference."""
    pairs = answer.get("replacements", [])
    return [*answer["cautions"], *(text for pair in pairs for text in pair["cautions"])]


def test_a_part_rated_for_mains_says_so_without_a_board(
    url: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert RATED_FOR_MAINS in said("relay show OTM-12", url, monkeypatch, capsys)


def test_pins_alone_carry_the_least(
    url: str, demo_folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    words = f"fit --pins {demo_folder}/bench/pins.csv --holes {demo_folder}/bench/holes.csv"
    assert "a match is not an approval" in said(words, url, monkeypatch, capsys)
    assert SAFETY in json.loads(said(f"{words} --json", url, monkeypatch, capsys))["cautions"]


def test_a_whole_boards_glance_has_the_gravest(
    url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    screen = said(f"match --position HT-24 --html {tmp_path / 'ht-24.html'}", url, monkeypatch, capsys)
    assert "⚠ " in screen and "guided contacts" in screen


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_a_cross_reference_that_leaves_the_house_carries_them(
    ending: str, url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from openpyxl import load_workbook

    file = tmp_path / f"xref.{ending}"
    said(f"catalog xref --part GS-24 --out {file}", url, monkeypatch, capsys)
    if ending == "csv":
        assert "guided contacts: only the same kind" in file.read_text(encoding="utf-8")
        return
    sheet = load_workbook(file).worksheets[0]
    assert str(sheet["A2"].value).startswith("Take care: ")
    assert any("guided contacts" in str(cell.value) for row in sheet.iter_rows(min_row=4) for cell in row)
