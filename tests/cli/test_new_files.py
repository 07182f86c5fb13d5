"""A person at a terminal is asked, and asked again where an answer cannot be; a pipe gets one error and no question."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest
import typer

from bom.cli.main import app_for
from bom.jobs.bench import bench
from bom.jobs.demo import load_shop
from bom.values.problem import Refused


class Person(io.StringIO):
    """Sits at a terminal and types these lines."""

    def isatty(self) -> bool:
        return True


@pytest.fixture(scope="module")
def url(tmp_path_factory: pytest.TempPathFactory, demo_folder: Path) -> str:
    url = f"sqlite:///{tmp_path_factory.mktemp('new') / 'bom.db'}"
    with bench(url) as session:
        list(load_shop(session, demo_folder))
    return url


def typed(monkeypatch: pytest.MonkeyPatch, words: list[str], lines: list[str] | None = None) -> None:
    if lines is not None:
        monkeypatch.setattr(sys, "stdin", Person("".join(f"{line}\n" for line in lines)))
        monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    app_for(words)(words, standalone_mode=False)


@pytest.mark.parametrize(
    ("words", "needed"),
    [
        (["board", "new", "X-1"], "--position"),
        (["kit", "new", "X-1"], "--board, --position"),
        (["supplier", "new", "X-1"], "--currency"),
        (["rule", "new", "X-1"], "--source"),
    ],
)
def test_a_pipe_is_never_asked(words: list[str], needed: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "stdin", io.StringIO("y\n" * 50))
    with pytest.raises(Refused, match=f"expected {needed}.*no terminal"):
        typed(monkeypatch, [*words, *(["--db", "sqlite:///none.db"] if words[0] != "rule" else [])])
    assert not [*tmp_path.iterdir()]


def test_a_board_is_asked_for_in_order_and_again_where_an_answer_cannot_be(
    url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    box = ["Hay lift", "Q", "C", "70..-20", "-20..70", "", "14.8"]
    lines = [*box, "", "K1=SLM-12S", "K1=SLM-12S", "", "pump, moter", "pump, motor, 12 V, 3 A", ""]
    typed(monkeypatch, ["board", "new", "HL-2", "--db", url], lines)
    said = capsys.readouterr()
    assert "--supply: expected one of" in said.err and "the lowest first" in said.err and "K1 once" in said.err
    assert "at least one is needed" in said.err
    assert "is 'motor' meant" in said.err and "What to state next" in said.out
    text = (tmp_path / "hl-2.toml").read_text(encoding="utf-8")
    assert 'title = "Hay lift"' in text and 'code = "C"' in text and "# board_thickness_mm" in text


def test_a_kit_a_supplier_and_a_rule_are_asked_for(url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    typed(monkeypatch, ["kit", "new", "K", "--db", url], ["OS-3", "valve drive", "BAG-S", "", "", "20"])
    typed(monkeypatch, ["supplier", "new", "S", "--db", url], ["EUR", "", "20", "", "", "", "3"])
    typed(monkeypatch, ["rule", "new", "R"], ["log of 20 pumps", "motor=4..6", "", "", "", ""])
    assert [file.name for file in sorted(tmp_path.iterdir())] == ["k.toml", "r.toml", "s.toml"]
    assert (tmp_path / "k.toml").read_text(encoding="utf-8").count("[[line]]") == 3


def test_whoever_stops_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(typer.Abort):
        typed(monkeypatch, ["rule", "new", "R"], [])
    assert not [*tmp_path.iterdir()]


def test_a_whole_board_is_drawn_by_name_and_only_by_name(
    url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    typed(monkeypatch, ["board", "show", "OS-3", "--svg", "b.svg", "--db", url])
    assert "drawn: b.svg" in capsys.readouterr().err and (tmp_path / "b.svg").read_text("utf-8").startswith("<svg")
    with pytest.raises(Refused, match="a board's name beside --svg"):
        typed(monkeypatch, ["board", "show", "--svg", "c.svg", "--db", url])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["add", "b.toml", "--insist", "X-1"], "--insist is for a pack"),
        (["add", "b.zip", "--leave-out", "mine"], "--leave-out is for a board's own file"),
        (["check", "b.zip", "--leave-out", "mine"], "--leave-out is for a board's own .toml file"),
        (["check", "OS-3", "--leave-out", "mine"], "--leave-out is for a board's own .toml file"),
        (["check", "b.toml", "--svg", "here"], "--svg draws a board that was taken"),
    ],
)
def test_an_option_that_is_not_for_this_kind_of_file_is_refused(
    words: list[str], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(Refused, match=said):
        typed(monkeypatch, ["board", *words, "--db", "sqlite:///none.db"])
    assert not [*tmp_path.iterdir()]
