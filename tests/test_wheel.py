"""The wheel alone is enough: installed far from the checkout, it makes its database and runs the demo."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import venv
from collections.abc import Callable, Generator
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parents[1]
Run = Callable[..., str]


def told(command: list[str], **how: object) -> str:
    """What a command said on stdout; when it fails, the test shows what it said on stderr."""
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=600, **how)  # type: ignore[call-overload]
    assert done.returncode == 0, f"{command}: exit status {done.returncode}\n{done.stdout}{done.stderr}"
    return str(done.stdout)


@pytest.fixture(scope="module")
def away(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder outside the checkout, the working folder of every installed run."""
    folder = tmp_path_factory.mktemp("away")
    assert TOP not in folder.resolve().parents
    return folder


@pytest.fixture(scope="module")
def programs(away: Path) -> Generator[Path, None, None]:
    """The programs of a new virtual environment that holds the built wheel and what it depends on."""
    for needed in ("build", "hatchling"):
        pytest.importorskip(needed)
    told([sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(away / "dist"), str(TOP)])
    (wheel,) = (away / "dist").glob("*.whl")
    # Without a pip of its own and without compiling what is never imported, the environment is there sooner.
    venv.create(away / "venv", with_pip=False, symlinks=os.name != "nt")
    pip = [sys.executable, "-m", "pip", "--python", str(away / "venv"), "--disable-pip-version-check", "install"]
    told([*pip, "--quiet", "--no-compile", "-c", str(TOP / "scripts" / "constraints.txt"), str(wheel)], cwd=away)
    yield away / "venv" / ("Scripts" if os.name == "nt" else "bin")
    shutil.rmtree(away / "venv")  # pytest keeps the folders of several runs, and this one is large


@pytest.fixture(scope="module")
def bom(programs: Path, away: Path) -> Run:
    """Runs the installed bom for a user who has nothing yet and sees nothing of the checkout."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("BOM_", "PYTHON", "XDG_"))}
    new_user = {"HOME": str(away / "home"), "XDG_DATA_HOME": str(away / "data"), "XDG_CACHE_HOME": str(away / "cache")}
    return lambda *words: told([str(programs / "bom"), *words], cwd=away, env=kept | new_user)


def test_an_installed_wheel_needs_no_checkout(bom: Run, programs: Path, away: Path) -> None:
    where = told([str(programs / "python"), "-I", "-c", "import bom.store.engine as s; print(s.shipped('catalogs'))"])
    assert Path(where.strip()).parts[-3:] == ("bom", "_shipped", "catalogs")
    assert (Path(where.strip()).parent / "migrations" / "env.py").exists()

    bom("db", "upgrade")
    assert (away / "data" / "bom" / "bom.db").exists()

    bom("demo", "--out", "shown")
    assert (away / "shown" / "reorder.xlsx").exists()

    answer = json.loads(bom("match", "--like", "TW2-12S", "--json", "--db", "sqlite:///shown/bom.db"))
    assert answer["candidates"]

    assert bom("explain", "tech").startswith("At the bench")
