"""Slips of a user that once were answered with a misleading word, nothing at all or a traceback."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from bom.jobs.bench import bench
from bom.jobs.demo import load_shop


@pytest.fixture(scope="module")
def shop_url(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    url = f"sqlite:///{tmp_path_factory.mktemp('slips') / 'bom.db'}"
    with bench(url) as session:
        list(load_shop(session, demo_folder))
    return url


def typed(folder: Path, *words: str, url: str = "") -> subprocess.CompletedProcess[str]:
    """The command as a user types it, in a folder and a home of its own; without ``url`` no database is named."""
    kept = {name: value for name, value in os.environ.items() if name != "BOM_DATABASE_URL"}
    home = {"HOME": str(folder), "XDG_DATA_HOME": str(folder / "data"), "NO_COLOR": "1"}
    named = {"BOM_DATABASE_URL": url} if url else {}
    command = [sys.executable, "-m", "bom", *words]
    return subprocess.run(command, capture_output=True, text=True, cwd=folder, env=kept | home | named, check=False)


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        (("stock", "in", "TW2-12S", "-10", "--cost", "2 GBP"), 2, "expected a quantity above 0, found -10"),
        (("stock", "show", "A1"), 0, "TW2-12S"),
        (("stock", "show", "L0001"), 2, "L0001 is a lot, of TW2-12S: bom stock trace L0001 shows it"),
        (("stock", "show", "nosuch"), 2, "no part nosuch in the catalogue"),
        (("match", "--position", "OS-3:K1", "--why", "DUO-12B", "--html", "why.html"), 0, "written: why.html"),
        (("match", "--position", "OS-3:K1", "--html", "."), 2, "cannot write .: that is a folder"),
        (("stock", "undo"), 2, "expected an entry's number, or --file NAME"),
    ],
)
def test_a_slip_gets_a_word_that_helps(
    shop_url: str, tmp_path: Path, words: tuple[str, ...], status: int, said: str
) -> None:
    done = typed(tmp_path, *words, url=shop_url)
    assert done.returncode == status and said in done.stdout + done.stderr, done
    assert "Traceback" not in done.stderr


def test_the_page_of_one_part_is_written_when_it_is_asked_for(shop_url: str, tmp_path: Path) -> None:
    typed(tmp_path, "match", "--position", "OS-3:K1", "--why", "DUO-12B", "--html", "why.html", url=shop_url)
    assert "DUO-12B" in (tmp_path / "why.html").read_text(encoding="utf-8")


def test_an_empty_database_that_answered_is_named(tmp_path: Path) -> None:
    first, second = typed(tmp_path, "stock", "show"), typed(tmp_path, "stock", "show")
    assert f"note: the database {tmp_path / 'data' / 'bom' / 'bom.db'} was just made and holds no part" in first.stderr
    assert "was just made" not in second.stderr and "holds no part; --db or BOM_DATABASE_URL" in second.stderr


def test_another_programs_database_is_left_alone(tmp_path: Path) -> None:
    file = tmp_path / "other.db"
    with sqlite3.connect(file) as other:
        other.execute("CREATE TABLE songs (title TEXT)")
    before = file.read_bytes()
    for words in (("stock", "show"), ("db", "check"), ("db", "upgrade"), ("catalog", "add", ".")):
        done = typed(tmp_path, *words, url=f"sqlite:///{file}")
        assert done.returncode == 2 and "is a database of another program (its tables: songs" in done.stderr, done
    assert file.read_bytes() == before and [p.name for p in tmp_path.glob("other.db*")] == ["other.db"]


@pytest.mark.parametrize("after", [0.1, 0.15, 0.3])
def test_stopping_it_at_once_is_no_traceback(shop_url: str, tmp_path: Path, after: float) -> None:
    """The interpreter's own first moments answer with nothing; from then on the command says one line."""
    command = [sys.executable, "-m", "bom", "match", "--position", "OS-3:K1"]
    environment = {**os.environ, "BOM_DATABASE_URL": shop_url}
    with subprocess.Popen(command, stderr=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=environment) as one:
        time.sleep(after)
        one.send_signal(signal.SIGINT)
        _, told = one.communicate(timeout=60)
    assert "bom/cli" not in told, told


def test_the_module_runs_as_the_script_does(tmp_path: Path) -> None:
    assert typed(tmp_path, "--version").stdout.startswith("bom ")
