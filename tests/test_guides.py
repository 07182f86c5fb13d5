"""Each guide is followed word by word in a fresh database and an empty folder, and says what then happens.

Of a guide's blocks, ``sh`` are commands, ``text`` right after them is what they print (a line of … stands for any
lines, … within a line for anything), and any other with a file's name is that file: ``toml NAME`` is written,
``toml in NAME`` are keys stated in a file that is there, where they stand behind a ``#``, ``csv in NAME`` is the drill
of each hole. ``BOM_WRITE_GUIDES=1`` writes what the program prints into every ``text`` block without a ….
"""

from __future__ import annotations

import csv
import io
import os
import re
import shlex
import shutil
import sys
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from bom.cli.main import run
from bom.jobs.explaining import GUIDES, guide, guide_called, topics
from bom.paper.terminal.guide import guide_text

FOLDER = Path(__file__).resolve().parents[1] / "bom" / "guides"
FENCE = re.compile(r"^```(\S+)(?: (in )?(\S+))?\n(.*?)^```$", re.M | re.S)


@dataclass(frozen=True)
class Block:
    kind: str
    into: bool
    file: str
    text: str
    start: int
    end: int


def blocks(text: str) -> list[Block]:
    return [Block(m[1], bool(m[2]), m[3] or "", m[4], m.start(4), m.end(4)) for m in FENCE.finditer(text)]


DEMO = ["bom", "demo", "--out", "demo"]


class Bench:
    """Someone who does what the guide says; ``demo`` is a folder and what making it printed, made once for all."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, demo: tuple[Path, str]) -> None:
        self.monkeypatch, self.demo = monkeypatch, demo

    def types(self, commands: str) -> str:
        """What all lines of the block print, as it would stand in a terminal."""
        screen = io.StringIO()
        for line in commands.strip().replace("\\\n", " ").splitlines():
            words = shlex.split(line, comments=True)
            if words[:1] == ["export"]:
                self.monkeypatch.setenv(*words[1].split("=", 1))
                continue
            if words == DEMO:
                shutil.copytree(self.demo[0], "demo")
                screen.write(self.demo[1])
                continue
            assert words[0] == "bom", f"a guide types only bom and export: {line}"
            with self.monkeypatch.context() as m:
                m.setattr(sys, "argv", words)
                m.setattr(sys, "stdout", screen)
                m.setattr(sys, "stderr", screen)
                with pytest.raises(SystemExit) as left:
                    run()
            assert left.value.code == 0, f"{line}\n{screen.getvalue()}"
        return "\n".join(line.rstrip() for line in screen.getvalue().splitlines()).strip("\n")

    def writes(self, block: Block) -> None:
        path = Path(block.file)
        if not block.into:
            assert not path.exists()
            path.write_text(block.text, encoding="utf-8")
        elif block.kind == "csv":
            path.write_text(drilled(path.read_text(encoding="utf-8"), block.text), encoding="utf-8", newline="")
        else:
            path.write_text(stated(path.read_text(encoding="utf-8"), block.text), encoding="utf-8")


def stated(text: str, keys: str) -> str:
    """The file with each of these keys stated under its heading, in the place of the line behind a #."""
    tomllib.loads(keys)
    lines, heading = text.splitlines(), ""
    for line in keys.strip().splitlines():
        if line.startswith("["):
            heading = line
            if heading not in lines:
                lines[lines.index(f"# {heading}")] = heading
        elif line.strip():
            name = line.partition("=")[0].strip()
            start = lines.index(heading)
            at = next(n for n, old in enumerate(lines) if n > start and re.match(rf"#?\s*{name} = ", old))
            assert not [old for old in lines[start + 1 : at] if old.startswith("[")], f"{name} is not under {heading}"
            lines[at] = line
    return "\n".join(lines) + "\n"


def drilled(text: str, rows: str) -> str:
    """The holes with these columns of these holes filled in."""
    holes = list(csv.DictReader(io.StringIO(text)))
    for row in csv.DictReader(io.StringIO(rows)):
        (hole,) = [h for h in holes if (h["pattern"], h["hole"]) == (row["pattern"], row["hole"])]
        hole |= row
    out = io.StringIO()
    writer = csv.DictWriter(out, list(holes[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(holes)
    return out.getvalue()


def fits(shown: str, printed: str) -> bool:
    """Whether what is shown is what was printed, … standing for whatever varies or does not matter."""
    parts = [re.escape(part) for part in re.split(r"^…$\n?|…", shown.strip("\n"), flags=re.M)]
    return re.fullmatch(".*?".join(parts), printed.strip("\n"), re.S) is not None


def followed(name: str, bench: Bench) -> Iterator[tuple[Block, str]]:
    """Every block of output with what was printed there."""
    text = (FOLDER / f"{name}.md").read_text(encoding="utf-8")
    printed: str | None = None
    for block in blocks(text):
        if printed and block.kind != "text":
            raise AssertionError(f"printed and not shown, before {block.text!r}:\n{printed}")
        if block.kind == "text":
            assert printed is not None, f"output of nothing: {block.text}"
            yield block, printed
            printed = None
        elif block.kind == "sh":
            printed = bench.types(block.text)
        else:
            bench.writes(block)
    assert not printed, f"printed and not shown:\n{printed}"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """What ``bom demo --out demo`` makes and prints."""
    folder, screen = tmp_path_factory.mktemp("guides"), io.StringIO()
    with pytest.MonkeyPatch.context() as m:
        m.chdir(folder)
        m.setenv("COLUMNS", "100")
        m.setenv("NO_COLOR", "1")
        m.setattr(sys, "argv", DEMO)
        m.setattr(sys, "stdout", screen)
        with pytest.raises(SystemExit):
            run()
    return folder / "demo", screen.getvalue()


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, demo: tuple[Path, str]) -> Bench:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("BOM_DATABASE_URL", f"sqlite:///{tmp_path / 'bom.db'}")
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.setenv("NO_COLOR", "1")
    return Bench(monkeypatch, demo)


@pytest.mark.parametrize("name", GUIDES)
def test_a_guide_is_followed_word_by_word(name: str, bench: Bench) -> None:
    found = list(followed(name, bench))
    if os.environ.get("BOM_WRITE_GUIDES"):
        file = FOLDER / f"{name}.md"
        text = file.read_text(encoding="utf-8")
        for block, printed in reversed(found):
            if "…" not in block.text:
                text = f"{text[: block.start]}{printed}\n{text[block.end :]}"
        file.write_text(text, encoding="utf-8")
    for block, printed in found:
        assert os.environ.get("BOM_WRITE_GUIDES") or fits(block.text, printed), (
            f"{block.text}\n--- is now ---\n{printed}"
        )


@pytest.mark.parametrize("name", GUIDES)
def test_a_guide_reads_well_in_a_terminal_of_100_columns(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.setenv("NO_COLOR", "1")
    shown = guide_text(guide(name))
    assert all(len(line) <= 100 for line in shown.splitlines())
    for block in blocks(guide(name).text):
        assert all(line.rstrip() in shown for line in block.text.splitlines())
    assert "```" not in shown and len(shown.splitlines()) < 350


def test_every_guide_in_the_package_is_listed_and_told() -> None:
    assert {file.stem for file in FOLDER.glob("*.md")} == set(GUIDES)
    for name in GUIDES:
        assert topics()[name].endswith(".") and guide(name).text.startswith("# ")


@pytest.mark.parametrize(
    ("shown", "printed", "same"),
    [
        ("a\nb", "a\nb", True), ("a\n…\nc", "a\nb\nb\nc", True), ("a … c", "a b c", True), ("a", "a\nb", False),
        ("…\nc", "a\nc", True), ("a.c", "abc", False), ("a\n…", "a\nb", True),
    ],
)  # fmt: skip
def test_an_ellipsis_stands_for_what_varies_and_nothing_else_does(shown: str, printed: str, same: bool) -> None:
    assert fits(shown, printed) is same


@pytest.mark.parametrize("typed", ["your-own-shop", "Your own shop", "YOUR_OWN_SHOP"])
def test_a_guide_is_found_as_people_type_it(typed: str) -> None:
    found = guide_called(typed)
    assert found is not None and found.name == "your-own-shop"


@pytest.mark.parametrize("words", [("explain", "tech", "sealing"), ("explain", "sellr"), ("explain", "your own")])
def test_what_is_no_guide_is_one_clear_error(
    words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "argv", ["bom", *words])
    with pytest.raises(SystemExit) as left:
        run()
    said = capsys.readouterr().err
    assert left.value.code == 2 and said.count("\n") == 1 and ("guide" in said or "expected one of" in said)
