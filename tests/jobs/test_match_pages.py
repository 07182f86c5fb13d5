"""The match page from the demo shop, and in a real browser: no console error, pictures there, the right pages."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from bom.duty.cautions import GUARDED, GUIDED, MOVES
from bom.jobs.bench import bench
from bom.jobs.demo import load_shop
from bom.jobs.replacing.boards import draw_board
from bom.jobs.replacing.match_pages import Asked, at_a_glance, page_for, write_page
from bom.paper.pages.match_page import match_page
from bom.paper.terminal.matches import glance_table
from bom.values.problem import Refused

CHROMIUM = next(
    (found for name in ("chromium", "chromium-browser", "google-chrome") if (found := shutil.which(name))), ""
)
needs_chromium = pytest.mark.skipif(not CHROMIUM, reason="Chromium is not installed")


@pytest.fixture(scope="module")
def session(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    with bench(f"sqlite:///{tmp_path_factory.mktemp('pages') / 'bom.db'}") as session:
        list(load_shop(session, demo_folder))
        yield session


@pytest.fixture(scope="module")
def pages(session: Any, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """One place and one whole board, written."""
    folder = tmp_path_factory.mktemp("written")
    for name, where in (("place", "OS-3:K1"), ("board", "OS-3")):
        write_page(folder / f"{name}.html", page_for(session, Asked(position=where)))
    return {name: folder / f"{name}.html" for name in ("place", "board")}


def test_a_place_gets_its_verdicts_drawings_checks_and_cautions(session: Any) -> None:
    page = page_for(session, Asked(position="OS-3:K1"))
    (section,) = page.sections
    assert [s.candidate.part_number for s in section.shown][:2] == ["K2R-12S", "TW2-12S"]
    assert any(s.candidate.verdict == "no" for s in section.shown)
    captions = [caption for caption, _ in section.shown[0].drawings]
    assert len(captions) >= 3 and captions[0].startswith("Pins over holes")
    assert section.before[0].steps[0].what == "stuck on?"
    assert any("fills 75% of the hole" in step for step in page.at_work)
    assert section.cautions and section.more.startswith("Not shown here:")


def test_a_board_gets_every_position_and_every_function(session: Any) -> None:
    page = page_for(session, Asked(position="OS-3"))
    assert [s.heading.split(",")[0] for s in page.sections] == ["OS-3:K1", "OS-3:K2", "OS-3:K3"]
    assert sum(len(s.functions) for s in page.sections) == 9
    written = match_page(page)
    for said in ("agitator pump", "right boom valve closes", "Disconnect the battery"):
        assert said in written
    assert written.count("and connect it last") == 1  # what holds everywhere is said once
    glance = at_a_glance(page)
    assert [p.part_number for p in glance.positions] == ["K2R-12S", "K2R-12S", "KSR-12S"]
    assert "agitator pump" in glance_table(glance)


def test_what_is_grave_at_one_position_stands_at_the_boards_head_and_beside_it(session: Any) -> None:
    page = page_for(session, Asked(position="HT-24"))
    spindle, enable = page.sections
    assert page.cautions[:2] == (GUARDED, GUIDED) and MOVES in page.cautions
    assert enable.cautions[:2] == (GUARDED, GUIDED) and GUARDED not in spindle.cautions


@pytest.mark.parametrize("asked", [Asked(like_part="TW2-12S"), Asked(like_part="QUB-12N")])
def test_without_a_board_there_is_no_duty_to_draw(session: Any, asked: Asked) -> None:
    (section,) = page_for(session, asked).sections
    assert not section.functions and not any("coil" in c.lower() for s in section.shown for c, _ in s.drawings)


def test_a_spec_has_a_page_too(session: Any, demo_folder: Path) -> None:
    (section,) = page_for(session, Asked(spec=demo_folder / "spec.toml")).sections
    assert section.shown and not any(s.drawings for s in section.shown)


def test_a_limit_is_how_many_are_shown(session: Any) -> None:
    assert len(page_for(session, Asked(position="OS-3:K1", shown=2)).sections[0].shown) == 2


@pytest.mark.parametrize("asked", [Asked(), Asked(position="NO-1"), Asked(like_part="TW2-12S", position="OS-3:K1")])
def test_what_cannot_be_asked_is_refused(session: Any, asked: Asked) -> None:
    with pytest.raises(Refused):
        page_for(session, asked)


def test_a_boards_fitted_parts_are_drawn_into_a_folder(session: Any, tmp_path: Path) -> None:
    written = draw_board(session, "os-3", tmp_path / "pictures")
    assert {Path(f).name for f in written} >= {"OS-3-K1-1.svg", "OS-3-K1-2.svg", "OS-3-K3-1.svg"}
    assert all(ElementTree.parse(f).getroot().tag.endswith("svg") for f in written)


def chromium(folder: Path, page: Path, *options: str) -> tuple[str, list[str]]:
    """What Chromium prints for a page, and what its console said."""
    usual = ("--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--enable-logging=stderr")
    command = [CHROMIUM, *usual, f"--user-data-dir={folder / 'profile'}", *options, page.as_uri()]
    home = {**os.environ, "HOME": str(folder)}
    ran = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True, env=home)
    return ran.stdout, [line for line in ran.stderr.splitlines() if "CONSOLE" in line]


PROBE = """<script>addEventListener("load", () => {
  const sizes = [...document.querySelectorAll("figure > svg")].map(s => s.getBoundingClientRect())
  const wide = document.documentElement.scrollWidth - innerWidth
  document.title = `${sizes.length} ${Math.min(...sizes.map(s => Math.min(s.width, s.height)))} ${wide}`
})</script>"""


@needs_chromium
def test_the_console_would_be_heard(tmp_path: Path) -> None:
    bad = tmp_path / "bad.html"
    bad.write_text('<script>nosuch()</script><img src="http://127.0.0.1:9/x.png">')
    assert chromium(tmp_path, bad, "--dump-dom")[1]


@needs_chromium
@pytest.mark.parametrize("name", ["place", "board"])
def test_it_loads_without_a_word_on_the_console(pages: dict[str, Path], tmp_path: Path, name: str) -> None:
    dom, said = chromium(tmp_path, pages[name], "--dump-dom")
    assert not said and "<h1>" in dom


@needs_chromium
@pytest.mark.parametrize(("width", "name"), [(1280, "place"), (820, "board"), (400, "place")])
def test_its_pictures_are_there_and_it_is_no_wider_than_the_screen(
    pages: dict[str, Path], tmp_path: Path, width: int, name: str
) -> None:
    """A copy that may run the probe says how many pictures it shows, their least side, and how far it sticks out."""
    text = re.sub("<meta http-equiv=[^>]*>", PROBE, pages[name].read_text(encoding="utf-8"))
    probed = tmp_path / "probed.html"
    probed.write_text(text, encoding="utf-8")
    dom, _ = chromium(tmp_path, probed, "--dump-dom", f"--window-size={width},1200")
    pictures, least, sticks_out = re.findall(r"<title>(\d+) ([\d.]+) (-?\d+)</title>", dom)[0]
    assert int(pictures) >= 6 and float(least) > 100 and int(sticks_out) <= 0


@needs_chromium
@pytest.mark.parametrize(("name", "pages_wanted"), [("place", range(6, 10)), ("board", range(14, 19))])
def test_it_prints_on_a4_a_page_for_each_matter(
    pages: dict[str, Path], tmp_path: Path, name: str, pages_wanted: range
) -> None:
    """A place: verdicts, checks, comparison, drawings; a board: its head, and for each of three places the same."""
    pdf = tmp_path / "page.pdf"
    chromium(tmp_path, pages[name], f"--print-to-pdf={pdf}", "--no-pdf-header-footer")
    printed = pdf.read_bytes()
    assert len(re.findall(rb"/Type /Page\b", printed)) in pages_wanted
    assert {
        (round(float(w)), round(float(h))) for w, h in re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", printed)
    } == {(595, 842)}
