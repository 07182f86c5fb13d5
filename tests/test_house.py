"""The house holds: which room may import which, which library lives where, and what is kept out of start-up."""

from __future__ import annotations

import ast
import gc
import subprocess
import sys
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[1] / "bom"
PURE = {"values", "relays", "boards", "circuit", "fit", "duty", "match", "kits", "solver", "buying", "stock"}
MAY_IMPORT = {
    "values": set(),
    "relays": {"values"},
    "boards": {"values", "relays"},
    "circuit": {"values", "relays", "boards"},
    "fit": {"values", "relays", "boards"},
    "duty": {"values", "relays", "boards", "circuit"},
    "match": {"values", "relays", "boards", "circuit", "fit", "duty"},
    "solver": {"values"},
    "kits": {"values", "solver"},
    "buying": {"values", "solver"},
    "stock": {"values"},
    "answers": PURE - {"solver"},
    "store": PURE - {"solver"},
    "intake": PURE - {"solver"},
    "paper": PURE - {"solver"} | {"answers"},
    "shop": PURE - {"solver"} | {"store", "intake", "paper", "answers"},
    "jobs": PURE - {"solver"} | {"store", "intake", "paper", "shop", "answers"},
    "cli": {"jobs", "paper", "answers", "values"},
}
LIVES_IN = {
    "sqlalchemy": {"store"},
    "alembic": {"store"},
    "psycopg": {"store"},
    "openpyxl": {"intake", "paper"},
    "segno": {"paper"},
    "requests": {"intake"},
    "requests_cache": {"intake"},
    "highspy": {"solver"},
    "typer": {"cli"},
    "rich": {"cli", "paper"},
}
FILES = sorted(HOUSE.rglob("*.py"))


@cache
def tree(file: Path) -> ast.Module:
    """Parsed with the collector at rest: one that runs meanwhile can upset Python 3.11's parser (its issue 106905)."""
    gc.disable()
    try:
        return ast.parse(file.read_text(encoding="utf-8"))
    finally:
        gc.enable()


def imports(file: Path) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(tree(file)):
        if isinstance(node, ast.Import):
            names.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            names.add(node.module)
    return names


def room(file: Path) -> str:
    return file.relative_to(HOUSE).parts[0].removesuffix(".py")


@pytest.mark.parametrize("file", FILES, ids=lambda f: str(f.relative_to(HOUSE)))
def test_a_room_imports_only_what_stands_below_it(file: Path) -> None:
    if room(file) not in MAY_IMPORT:
        assert file.parent == HOUSE
        return
    known = {name.split(".")[1] for name in imports(file) if name.startswith("bom.")}
    assert known <= MAY_IMPORT[room(file)] | {room(file)}


TRADES = {"replacing", "buying", "shelf", "kits"}


@pytest.mark.parametrize("trade", sorted(TRADES))
def test_no_trade_knows_another(trade: str) -> None:
    """What two of them need stands below them, in the shop."""
    others = tuple(f"bom.jobs.{other}" for other in TRADES - {trade})
    known = {name for file in (HOUSE / "jobs" / trade).glob("*.py") for name in imports(file)}
    assert not [name for name in known if name.startswith(others)]


def files_loaded_by(file: Path) -> set[str]:
    """The files that this one imports, sooner or later; what only names types is never loaded."""
    typing = {id(n) for i in ast.walk(tree(file)) if isinstance(i, ast.If) and "TYPE_CHECKING" in ast.dump(i.test)
              for n in ast.walk(i)}  # fmt: skip
    return {
        name
        for node in ast.walk(tree(file))
        if isinstance(node, ast.ImportFrom) and node.module and id(node) not in typing
        for name in (node.module, *(f"{node.module}.{alias.name}" for alias in node.names))
    }


def test_no_files_import_each_other_in_a_circle() -> None:
    known = {".".join(file.relative_to(HOUSE.parent).with_suffix("").parts): file for file in FILES}
    TopologicalSorter({name: files_loaded_by(file) & known.keys() for name, file in known.items()}).prepare()


@pytest.mark.parametrize("file", FILES, ids=lambda f: str(f.relative_to(HOUSE)))
def test_a_library_is_known_only_where_it_lives(file: Path) -> None:
    for name in imports(file):
        library = name.split(".")[0]
        assert room(file) in LIVES_IN.get(library, {room(file)}), f"{library} does not live in {room(file)}"


@pytest.mark.parametrize("file", FILES, ids=lambda f: str(f.relative_to(HOUSE)))
def test_every_room_says_first_what_it_knows(file: Path) -> None:
    if file.name != "__init__.py" or file.read_text(encoding="utf-8").strip():
        assert ast.get_docstring(tree(file))


def test_help_loads_no_solver_spreadsheet_or_migrations() -> None:
    code = "import sys, bom.cli.main; print(' '.join(sys.modules))"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=HOUSE.parent)
    heavy = {"highspy", "openpyxl", "alembic", "sqlalchemy", "requests", "requests_cache", "numpy", "psycopg"}
    assert not heavy & set(ran.stdout.split())
