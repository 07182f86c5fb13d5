"""`bom relay add` asks a person, takes options from a script, and never waits for somebody who is not there."""

from __future__ import annotations

import builtins
import json
import sys
from collections.abc import Callable, Iterable
from pathlib import Path

import pytest

from bom.cli.main import run
from bom.jobs.bench import bench
from bom.jobs.catalogue import add_catalogue

Bom = Callable[..., tuple[int, str, str]]
BY_OPTIONS = ("--maker", "Hollowmere", "--part-number", "HM1-12", "--fact", "coil_volts=12", "--fact", "coil_ohms=240",
              "--wiring", "single changeover: A1, A2, 11, 14, 12", "--lead", "0.8", "--view", "component",
              "--pins", "A1 0/0, A2 0/5, 11 5/2.5, 14 12.5/0, 12 15/4.5",
              "--rating", "make resistive 14 V dc 20 A")  # fmt: skip


@pytest.fixture
def bom(demo_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Bom:
    url = f"sqlite:///{tmp_path / 'bom.db'}"
    with bench(url) as session:
        add_catalogue(session, demo_folder)
    monkeypatch.setenv("BOM_DATABASE_URL", url)
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.setattr(sys.stdin, "isatty", lambda: False, raising=False)

    def typed(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["bom", *words])
        with pytest.raises(SystemExit) as left:
            run()
        said = capsys.readouterr()
        assert isinstance(left.value.code, int)
        return left.value.code, said.out, said.err

    return typed


@pytest.fixture
def keyboard(monkeypatch: pytest.MonkeyPatch) -> Callable[[Iterable[str]], None]:
    """A person who types these lines, and then ends the input."""

    def types(lines: Iterable[str]) -> None:
        left = iter(lines)

        def read(prompt: str = "") -> str:
            if (line := next(left, None)) is None:
                raise EOFError
            if line == "^C":
                raise KeyboardInterrupt
            return line

        monkeypatch.setattr(builtins, "input", read)
        for stream in (sys.stdin, sys.stderr):
            monkeypatch.setattr(stream, "isatty", lambda: True, raising=False)

    return types


def test_a_script_states_a_part_by_options(bom: Bom) -> None:
    status, out, err = bom("relay", "add", *BY_OPTIONS, "--yes")
    assert status == 0 and "taken: Hollowmere HM1-12" in err
    assert "so no drop-in on any board" in out and "operate_volts" in out
    assert bom("relay", "show", "hm1 12")[0] == 0


def test_without_yes_a_script_looks_and_takes_nothing(bom: Bom) -> None:
    status, out, err = bom("relay", "add", *BY_OPTIONS)
    assert status == 1 and "nothing was taken: --yes takes it" in err and "Hollowmere HM1-12" in out
    assert bom("relay", "show", "hm1 12")[0] == 2


def test_json_tells_what_was_understood_and_whether_it_was_taken(bom: Bom) -> None:
    for more, taken in (((), False), (("--yes",), True)):
        found = json.loads(bom("relay", "add", *BY_OPTIONS, *more, "--json")[1])
        assert found["taken"] is taken and found["part_number"] == "HM1-12"
        assert {"column": "operate_volts", "checks": ["pull-in when hot"], "outcome": "unknown",
                "where": "on any board"} in found["blanks"]  # fmt: skip


@pytest.mark.parametrize("words", [(), ("--like", "TW2-12S"), ("--maker", "Hollowmere")])
def test_nobody_there_is_one_clear_error(bom: Bom, words: tuple[str, ...]) -> None:
    status, out, err = bom("relay", "add", *words)
    assert (status, out) == (2, "") and "there is no terminal to ask at" in err and err.count("\n") == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--fact", "coil_volts=12", "--yes"), "[maker]: expected a value"),
        (("--like", "TW2-12S", "--yes"), "[part_number]: expected a value"),
        (("--like", "TW9", "--yes"), "no relay TW9"),
        ((*BY_OPTIONS, "--fact", "sealing=tight", "--yes"), "RT III"),
        ((*BY_OPTIONS, "--fact", "colour=red", "--yes"), "a column of relays.csv"),
    ],
)
def test_what_cannot_be_takes_nothing(bom: Bom, words: tuple[str, ...], said: str) -> None:
    status, _, err = bom("relay", "add", *words)
    assert status == 2 and said in err and bom("relay", "show", "hm1 12")[0] == 2


def test_a_person_is_asked_and_shown_the_card_before_it_is_taken(
    bom: Bom, keyboard: Callable[[Iterable[str]], None]
) -> None:
    keyboard(["", "TW2-18S", "coil volts=18", "coil_ohms=540", "wrong", "", "12.6", "?", "1.8", "<", "1.9", "", "yes"])
    status, out, err = bom("relay", "add", "--like", "TW2-12S")
    assert status == 0 and "✗ expected a difference as COLUMN=VALUE" in err and "as in 1.2" in err
    assert "operate_volts: 8.4 → 12.6" in out and "release_volts: 1.2 → 1.9" in out
    assert "taken: Ostrel TW2-18S, 5 values typed" in err


@pytest.mark.parametrize(("last", "status"), [("no", 1), ("", 1), ("^C", 2)])
def test_a_no_or_ctrl_c_takes_nothing(
    bom: Bom, keyboard: Callable[[Iterable[str]], None], last: str, status: int
) -> None:
    keyboard(["", "TW2-12Z", "", last])
    left, _, err = bom("relay", "add", "--like", "TW2-12S")
    assert left == status and "nothing was" in err.splitlines()[-1]
    assert bom("relay", "show", "TW2-12Z")[0] == 2


def test_the_end_of_the_input_takes_nothing(bom: Bom, keyboard: Callable[[Iterable[str]], None]) -> None:
    keyboard(["Hollowmere", "HM1-12"])
    status, out, err = bom("relay", "add")
    assert (status, out) == (2, "") and err.rstrip().endswith("stopped; nothing was changed")


def test_a_person_may_have_it_drawn_first(
    bom: Bom, keyboard: Callable[[Iterable[str]], None], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    keyboard(["", "TW2-12Z", "", "draw", "maybe", "no"])
    status, _, err = bom("relay", "add", "--like", "TW2-12S")
    assert status == 1 and "drawn: TW2-12Z.svg" in err and "yes, no or draw" in err
    assert "<svg" in (tmp_path / "TW2-12Z.svg").read_text(encoding="utf-8")


def test_it_is_drawn_before_it_is_taken(bom: Bom, tmp_path: Path) -> None:
    status, _, err = bom("relay", "add", *BY_OPTIONS, "--svg", str(tmp_path / "hm1.svg"))
    assert status == 1 and "drawn" in err and "<svg" in (tmp_path / "hm1.svg").read_text(encoding="utf-8")
