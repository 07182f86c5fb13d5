"""How long commands take from nothing to their answer, against an empty Python and importing SQLAlchemy and Typer.

    python scripts/bench/start.py [--runs 7]

Each is the least of its runs; the ratios, taken in the same minute, are what to look at.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter

TOP = Path(__file__).resolve().parents[2]
BOM = "from bom.cli.main import run; run()"
COMMANDS = (
    ("--help",),
    ("match", "--help"),
    ("relay", "show", "TW2-12S"),
    ("relay", "find", "tw2"),
    ("match", "--like", "TW2-12S", "--json"),
    ("match", "--position", "OS-3:K1", "--json"),
    ("stock", "show", "--json"),
)


def seconds(code: str, words: tuple[str, ...], runs: int, env: dict[str, str]) -> float:
    """The least of some whole processes."""
    command = [sys.executable, "-c", code, *words]
    taken = []
    for _ in range(runs):
        start = perf_counter()
        subprocess.run(command, check=True, env=env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        taken.append(perf_counter() - start)
    return min(taken)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=7)
    runs = parser.parse_args().runs
    with tempfile.TemporaryDirectory() as folder:
        env = {**os.environ, "PYTHONPATH": str(TOP), "BOM_DATABASE_URL": f"sqlite:///{folder}/bom.db"}
        seconds(BOM, ("demo", "--out", folder), 1, env)
        empty = seconds("pass", (), runs, env)
        libraries = seconds("import sqlalchemy, typer", (), runs, env)
        print(f"{'an empty Python':44} {empty * 1000:6.0f} ms")
        print(f"{'import sqlalchemy, typer':44} {libraries * 1000:6.0f} ms")
        for words in COMMANDS:
            taken = seconds(BOM, words, runs, env)
            ratios = f"{taken / empty:5.1f} x empty {taken / libraries:5.2f} x the libraries"
            print(f"{'bom ' + ' '.join(words):44} {taken * 1000:6.0f} ms {ratios}")


if __name__ == "__main__":
    main()
