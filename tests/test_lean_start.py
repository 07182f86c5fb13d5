"""A lean start: what a command does not need, it does not load, measured over the modules of a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from bom.jobs.bench import bench
from bom.jobs.catalogue import add_catalogue

TOP = Path(__file__).resolve().parents[1]
# Prints the modules that were loaded when the command had done its work.
RUN = """
import contextlib, io, sys
from bom.cli.main import run
with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):
    run()
print(*sys.modules)
"""
SOLVER, SPREADSHEET, MIGRATIONS, FEEDS = {"highspy", "numpy"}, {"openpyxl"}, {"alembic"}, {"requests", "requests_cache"}
NEVER = SOLVER | SPREADSHEET | MIGRATIONS | FEEDS | {"psycopg"}


@pytest.fixture(scope="module")
def database(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    url = f"sqlite:///{tmp_path_factory.mktemp('lean') / 'bom.db'}"
    with bench(url) as session:
        add_catalogue(session, demo_folder)
    return url


def loaded(url: str, *words: str) -> set[str]:
    env = {**os.environ, "BOM_DATABASE_URL": url, "PYTHONPATH": str(TOP)}
    ran = subprocess.run([sys.executable, "-c", RUN, *words], capture_output=True, text=True, check=True, env=env)
    return {name.split(".")[0] for name in ran.stdout.split()} | set(ran.stdout.split())


@pytest.mark.parametrize("words", [("--help",), ("catalog", "xref", "--help")])
def test_help_opens_nothing(database: str, words: tuple[str, ...]) -> None:
    modules = loaded(database, *words)
    assert not modules & (NEVER | {"sqlalchemy"})
    assert not {m for m in modules if m.startswith(("bom.store", "bom.jobs", "bom.intake", "bom.fit", "bom.duty"))}


@pytest.mark.parametrize(
    "words",
    [
        ("relay", "show", "TW2-12S"),
        ("match", "--like", "TW2-12S", "--json"),
    ],
)
def test_a_question_loads_no_solver_spreadsheet_migrations_or_feeds(database: str, words: tuple[str, ...]) -> None:
    modules = loaded(database, *words)
    assert "sqlalchemy" in modules and not modules & NEVER


def test_options_that_are_text_or_left_out_load_no_library_that_reads_options(database: str) -> None:
    assert "pydantic" not in loaded(database, "match", "--like", "TW2-12S", "--json")


def test_a_page_loads_no_spreadsheet_writer(database: str, tmp_path: Path) -> None:
    assert not loaded(database, "match", "--like", "TW2-12S", "--html", str(tmp_path / "p.html")) & NEVER


def test_a_workbook_loads_its_writer_and_no_solver(database: str, tmp_path: Path) -> None:
    modules = loaded(database, "catalog", "xref", "--part", "TW2-12S", "--out", str(tmp_path / "x.xlsx"))
    assert "openpyxl" in modules  # which brings numpy where there is one
    assert not modules & ({"highspy"} | MIGRATIONS | FEEDS)
