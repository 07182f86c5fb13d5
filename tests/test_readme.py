"""The README is held to the program: what it shows is what the demo prints, and every command in it runs as it
stands, in its order, on the shop that the demo leaves behind."""

from __future__ import annotations

import re
import shlex
import shutil
import sys
from pathlib import Path

import pytest

from bom.cli.main import run
from bom.jobs.demo import run_demo

TOP = Path(__file__).resolve().parents[1]
README = (TOP / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```text\n(.*?)```", README, re.DOTALL)

SETS_UP_THE_SHELL = "bom --install-completion"
ANSWERS_NO: set[str] = set()
"""Commands of the README whose answer is meant to be "no", exit status 1."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("demo")


@pytest.fixture(scope="module")
def printed(folder: Path) -> str:
    lines: list[str] = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("COLUMNS", "100")
        run_demo(folder / "demo-out", None, lines.append)
    return "\n".join(lines)


def test_the_readme_has_output_to_show() -> None:
    assert len(BLOCKS) >= 3


@pytest.mark.parametrize("block", BLOCKS, ids=lambda b: b.strip().splitlines()[0][:40])
def test_what_the_readme_shows_is_what_the_demo_prints(block: str, printed: str) -> None:
    assert block.strip("\n") in printed


def test_the_readme_opens_with_the_job_in_one_paragraph() -> None:
    first, second = README.split("\n\n")[1:3]
    assert "proves which of them drop into a board's position" in " ".join(first.split())
    assert second.startswith("## ")


SHELL = [line for block in re.findall(r"```sh\n(.*?)```", README, re.DOTALL) for line in block.splitlines()]
INLINE = [code for code in re.findall(r"`([^`\n]+)`", README) if code.startswith("bom ")]
NAMED = [code for code in INLINE if re.fullmatch(r"bom (?!explain)\w+ \w+", code)]
"""A noun and a verb alone, inline: named, not to be typed as it stands."""

COMMANDS = [line for line in (*INLINE, *SHELL) if line.startswith("bom ") and line not in (*NAMED, SETS_UP_THE_SHELL)]
"""Every command in a shell block, and every inline one that says more than a noun and a verb; inline ones first."""


def test_the_readme_has_commands_of_every_kind() -> None:
    """So that a change of its layout does not leave the next test with nothing to run."""
    said = {line.split()[1] for line in COMMANDS}
    nouns = "board match kit reorder catalog supplier stock relay fit quote db explain"
    assert said >= set(nouns.split())
    assert len(COMMANDS) >= 40


def test_every_command_of_the_readme_runs_as_it_stands(
    folder: Path, printed: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copytree(TOP / "catalogs", folder / "catalogs")
    monkeypatch.chdir(folder)
    monkeypatch.setenv("BOM_DATABASE_URL", "sqlite:///demo-out/bom.db")
    left = {line: _status(line, monkeypatch) for line in COMMANDS}
    refused = capsys.readouterr().err
    assert left == {line: int(line in ANSWERS_NO) for line in COMMANDS}, refused


def _status(line: str, monkeypatch: pytest.MonkeyPatch) -> object:
    monkeypatch.setattr(sys, "argv", shlex.split(line, comments=True))
    with pytest.raises(SystemExit) as left:
        run()
    return left.value.code


def test_the_commands_that_are_only_named_exist(monkeypatch: pytest.MonkeyPatch) -> None:
    assert NAMED
    for words in NAMED:
        assert _status(f"{words} --help", monkeypatch) == 0


@pytest.mark.parametrize("file", sorted(set(re.findall(r"(?:scripts|catalogs)/[\w./-]+", README))))
def test_every_file_that_the_readme_names_is_there(file: str) -> None:
    assert (TOP / file.rstrip(".")).exists()
