"""Measures taking a catalogue: against a bare csv + executemany load of the same file with the same indexes.

    python scripts/bench/import_catalogue.py FOLDER...      # folders made by make_catalogue.py

Each load is a process of its own on a fresh SQLite file, so that its peak memory is its own. Only ratios matter.
"""

from __future__ import annotations

import csv
import sqlite3
import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter

HERE = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(HERE))
NARROW = (
    "footprint,series,wiring,operate_volts,coil_ohms,coil_max_volts,coil_ohms,coil_volts,coil_ohms_tol_pct,operate_volts,"
    "body_height_mm,pin_length_mm,temp_min_c,temp_max_c,min_load_volts,min_load_milliamps,min_load_milliwatts,status"
)


def bare(folder: Path, file: Path) -> None:
    """The least that can be done: strings into columns that make numbers of them, then the same indexes."""
    with (folder / "relays.csv").open(newline="", encoding="utf-8") as source, sqlite3.connect(file) as db:
        rows = csv.reader(source)
        header = next(rows)
        kinds = [f"{c} {'DOUBLE' if c.rsplit('_', 1)[-1] in NUMBERS else 'TEXT'}" for c in header]
        db.execute(f"CREATE TABLE relays (id INTEGER PRIMARY KEY, {', '.join(kinds)})")
        db.executemany(
            f"INSERT INTO relays ({', '.join(header)}) VALUES ({', '.join('?' * len(header))})",
            ([cell or None for cell in row] for row in rows),
        )
        db.execute("CREATE UNIQUE INDEX a ON relays (part_number, maker)")
        db.execute("CREATE INDEX b ON relays (part_number)")
        db.execute(f"CREATE INDEX c ON relays ({NARROW})")
        db.execute(
            "CREATE VIRTUAL TABLE words USING fts5(n, content='', tokenize='trigram', detail='none', columnsize=0)"
        )
        db.execute("INSERT INTO words (rowid, n) SELECT id, part_number FROM relays")


NUMBERS = {"volts", "ohms", "pct", "c", "milliamps", "milliwatts", "mm", "ms", "ops"}


def ours(folder: Path, file: Path) -> None:
    from bom.jobs.bench import bench
    from bom.jobs.catalogue import add_catalogue

    with bench(str(file)) as session:
        add_catalogue(session, folder)


def measured(what: str, folder: Path, file: Path) -> tuple[float, float]:
    """Seconds without start-up, and peak megabytes."""
    told = subprocess.run(
        [sys.executable, __file__, "--load", what, str(folder), str(file)], capture_output=True, text=True, check=True
    )
    seconds, megabytes = told.stdout.split()
    return float(seconds), float(megabytes)


def load(what: str, folder: Path, file: Path) -> None:
    from resource import RUSAGE_SELF, getrusage

    if what == "ours":
        from bom.jobs.bench import bench

        with bench(str(file)):
            pass
    started = perf_counter()
    {"bare": bare, "ours": ours, "again": ours}[what](folder, file)
    print(perf_counter() - started, getrusage(RUSAGE_SELF).ru_maxrss / 1024)


def main() -> None:
    print("relays     bare s    MB   bom s    MB   ratio   again s   ratio")
    for folder in map(Path, sys.argv[1:]):
        count = sum(1 for _ in (folder / "relays.csv").open()) - 1
        with tempfile.TemporaryDirectory(dir=folder.parent) as scratch:
            bare_s, bare_mb = measured("bare", folder, Path(scratch) / "bare.db")
            bom_s, bom_mb = measured("ours", folder, Path(scratch) / "bom.db")
            again_s, _ = measured("again", folder, Path(scratch) / "bom.db")
        print(
            f"{count:8} {bare_s:8.2f} {bare_mb:5.0f} {bom_s:7.2f} {bom_mb:5.0f} {bom_s / bare_s:7.2f}"
            f" {again_s:9.2f} {again_s / bare_s:7.2f}"
        )


if __name__ == "__main__":
    if sys.argv[1:2] == ["--load"]:
        load(sys.argv[2], Path(sys.argv[3]), Path(sys.argv[4]))
    else:
        main()
