"""The house holds: which room may import which, which library lives where, and what is kept out of start-up."""

from __future__ import annotations

import ast
import gc
import re
import subprocess
import sys
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[1] / "bom"
PURE = {"values", "relays", "boards", "circuit", "fit", "duty", "match", "kits", "solver", "buying", "stock", "measure"}
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
    "measure": {"values"},
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
    "python_calamine": {"intake"},
    "pdfplumber": {"intake"},
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


@pytest.mark.parametrize(
    "file", [f for f in FILES if room(f) in ("shop", "jobs")], ids=lambda f: str(f.relative_to(HOUSE))
)
def test_what_a_job_or_the_shop_found_has_a_name(file: Path) -> None:
    """Never a mapping of anything: an answer is a value whose fields a type checker knows."""
    functions = (n for n in ast.walk(tree(file)) if isinstance(n, ast.FunctionDef) and n.returns is not None)
    returned = {f.name: ast.unparse(f.returns) for f in functions if f.returns is not None}
    assert not {name: said for name, said in returned.items() if re.search(r"(dict|Mapping)\[.*\bAny\b", said)}


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


def read_by_name(file: Path) -> list[str]:
    """Where a value is read by a string key, as in ``answer["why"]`` and ``answer.get("why")``."""
    return [
        f"{file.relative_to(HOUSE)}:{node.lineno} {ast.unparse(node)}"
        for node in ast.walk(tree(file))
        if (isinstance(node, ast.Subscript) and isinstance(node.ctx, ast.Load) and _is_text(node.slice))
        or (
            isinstance(node, ast.Call) and ast.unparse(node.func).endswith(".get") and any(map(_is_text, node.args[:1]))
        )
    ]


def _is_text(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def test_paper_reads_answers_by_their_fields() -> None:
    """A field renamed is then an error that the type checker finds, and never an empty place on paper."""
    assert not [place for file in FILES if room(file) == "paper" for place in read_by_name(file)]


@pytest.mark.parametrize("of", ["jobs", "shop"])
def test_what_a_job_returns_has_a_type_of_its_own(of: str) -> None:
    for file in (file for file in FILES if room(file) == of):
        for node in ast.walk(tree(file)):
            if isinstance(node, ast.FunctionDef) and node.returns:
                assert "str, Any]" not in ast.unparse(node.returns), f"{file}: {node.name}"


def test_a_job_writes_only_to_whoever_asked() -> None:
    """What a person should know beside the answer is told to a function that the caller gives."""
    for file in (file for file in FILES if room(file) in ("jobs", "shop")):
        assert not imports(file) & {"sys", "typer"} and not re.search(r"\bprint\(", file.read_text(encoding="utf-8"))


def test_help_loads_no_solver_spreadsheet_or_migrations() -> None:
    code = "import sys, bom.cli.main; print(' '.join(sys.modules))"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=HOUSE.parent)
    heavy = {"highspy", "openpyxl", "alembic", "sqlalchemy", "requests", "requests_cache", "numpy", "psycopg"}
    assert not heavy & set(ran.stdout.split())
