"""Measures a match: warm in one process, as a whole process, its growth and its memory, against general libraries.

    python scripts/bench/match.py SMALL MIDDLE LARGE     # folders made by make_catalogue.py, each beside NAME.db

Baselines run in the same minutes, in turn with ours: polars and DuckDB filter by the same necessary conditions over
data already loaded (they prove nothing); a bare process imports SQLAlchemy and Typer and asks one indexed query, once
as a plain script and once with Typer reading its two words; a pandas process reads the same table from Parquet and
filters it. A library that is not installed is left out, saying so. Whole processes run from compiled files, as an
installed copy does, and without the start-up files that other packages may have left in the environment (-S); their
processor time is shown beside the time on the clock, because it hangs less on what else the machine does.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path
from site import getsitepackages
from statistics import median
from time import perf_counter
from typing import Any, NamedTuple

HERE = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(HERE))
WHERE = "BENCH:K1"
WARM, WHOLE = 4, 9  # rounds, of whose times the median counts
BARE = """
import sys, typer, sqlalchemy as sa
with sa.create_engine("sqlite:///" + sys.argv[1]).connect() as c:
    print(c.execute(sa.text("SELECT * FROM relays WHERE part_number = :p"), {"p": sys.argv[2]}).all()[:1])
"""
PARSED = """
import typer, sqlalchemy as sa
def main(file: str, part: str):
    with sa.create_engine("sqlite:///" + file).connect() as c:
        print(c.execute(sa.text("SELECT * FROM relays WHERE part_number = :p"), {"p": part}).all()[:1])
typer.run(main)
"""
PANDAS = """
import sys, pandas as pd
r = pd.read_parquet(sys.argv[1])
print(len(eval(open(sys.argv[2]).read())))
"""
BOM = "from bom.cli.main import run; run()"


def main() -> None:
    folders = [Path(a) for a in sys.argv[1:]]
    for folder in folders:
        prepare(folder)
    for folder in folders:
        first_match(folder)
    warm: dict[Path, list[float]] = {folder: [] for folder in folders}
    for _ in range(WARM):  # in turn, so that a busy machine slows all alike
        for folder in folders:
            warm[folder] += warm_once(folder)
    large = folders[-1]
    print(f"\nwarm, first 50 proved verdicts at {WHERE}, median ms (best)")
    for folder, times in warm.items():
        print(f"  {folder.name:8} {shown(times)}")
    print(f"  growth {median(warm[large]) / median(warm[folders[0]]):.2f} x from {folders[0].name} to {large.name}")
    compare_processes(large)
    compare_warm(large)


def database(folder: Path) -> Path:
    return folder.with_suffix(".db")


def prepare(folder: Path) -> None:
    from bom.intake.board_file import take_board
    from bom.jobs.bench import bench
    from bom.jobs.catalogue import add_catalogue
    from bom.store.boards_and_kits import take_board as keep
    from bom.store.marks import marked

    with bench(str(database(folder))) as session:
        if not marked(session, "relays"):
            add_catalogue(session, folder)
        keep(session, take_board(folder / "boards" / "bench.toml").value)


def first_match(folder: Path) -> None:
    """Says what is found, and how long the first time takes, with the places of all footprints to be worked out."""
    from bom.duty.rules import DEFAULT
    from bom.jobs.bench import glance
    from bom.shop.narrowing import first_page
    from bom.shop.places import requirement_for
    from bom.shop.shop import Shop
    from bom.store.marks import marked

    with glance(str(database(folder))) as session:
        total = marked(session, "relays")
        requirement = requirement_for(Shop(session), None, WHERE, None)
        started = perf_counter()
        page = first_page(Shop(session), requirement, DEFAULT, 50, total)
        first = perf_counter() - started
        verdicts = [c.verdict.value for c in page.candidates]
        counts = {v: verdicts.count(v) for v in dict.fromkeys(verdicts)}
        print(f"{folder.name}: {total} relays, shown {counts}, {page.more} more, first time {first * 1000:.0f} ms")


def timed(work: Callable[[], object], times: int) -> list[float]:
    answer = []
    for _ in range(times):
        started = perf_counter()
        work()
        answer.append((perf_counter() - started) * 1000)
    return answer


def shown(times: list[float]) -> str:
    return f"{median(times):8.1f} ({min(times):.1f})"


def asked(folder: Path) -> tuple[tuple[Any, ...], list[tuple[str, str]]]:
    """The necessary conditions, and the pairs of footprint and wiring that may serve."""
    from bom.duty.rules import DEFAULT
    from bom.jobs.bench import glance
    from bom.match.necessary_conditions import necessary
    from bom.shop.narrowing import seats_for
    from bom.shop.places import requirement_for
    from bom.shop.shop import Shop

    with glance(str(database(folder))) as session:
        requirement = requirement_for(Shop(session), None, WHERE, None)
        return necessary(requirement, DEFAULT), list(seats_for(Shop(session), requirement, DEFAULT))


def as_sql(folder: Path) -> str:
    conditions, seats = asked(folder)
    parts = [f"(footprint, wiring) IN ({', '.join(str(seat) for seat in seats)})"]
    for c in conditions:
        if hasattr(c, "values"):
            parts.append(f"({c.column} IS NULL OR {c.column} IN ({', '.join(repr(v) for v in sorted(c.values))}))")
        else:
            parts.append(f"({c.column} IS NULL OR {c.column} {'>=' if c.least else '<='} {c.limit!r})")
    return " AND ".join(parts)


def columns(folder: Path) -> list[str]:
    return sorted({"footprint", "wiring", "maker", "part_number", *(c.column for c in asked(folder)[0])})


def loaded(folder: Path) -> Any:
    """The columns asked about and the names, as a polars frame."""
    import sqlite3

    import polars

    with sqlite3.connect(database(folder)) as db:
        rows = db.execute(f"SELECT {', '.join(columns(folder))} FROM relays").fetchall()
    return polars.DataFrame(rows, schema=columns(folder), orient="row", infer_schema_length=None)


def polars_filter(folder: Path, frame: Any) -> Callable[[], object]:
    import polars as pl

    conditions, seats = asked(folder)
    wanted = pl.any_horizontal([(pl.col("footprint") == f) & (pl.col("wiring") == w) for f, w in seats])
    for c in conditions:
        column = pl.col(c.column)
        if hasattr(c, "values"):
            held = column.is_in(sorted(c.values))
        else:
            held = column >= c.limit if c.least else column <= c.limit
        wanted = wanted & (column.is_null() | held)
    lazy = frame.lazy().filter(wanted)
    return lambda: lazy.collect()


def compare_warm(folder: Path) -> None:
    missing = [name for name in ("polars", "duckdb") if find_spec(name) is None]
    if missing:
        print(f"  polars and DuckDB left out: {' and '.join(missing)} not installed")
        return
    import duckdb

    frame = loaded(folder)
    by_polars = polars_filter(folder, frame)
    db = duckdb.connect()
    db.register("frame", frame.to_arrow())
    db.execute("CREATE TABLE relays AS SELECT * FROM frame")
    query = f"SELECT * FROM relays WHERE {as_sql(folder)}"
    print(f"same conditions alone: polars leaves {by_polars().height}, DuckDB {len(db.execute(query).fetchall())}")  # type: ignore[attr-defined]
    rounds = [
        (warm_once(folder), timed(by_polars, 5), timed(lambda: db.execute(query).fetchall(), 5)) for _ in range(4)
    ]
    ours, polars_ms, duck_ms = ([t for r in rounds for t in r[i]] for i in range(3))
    print(f"  bom, proved  {shown(ours)}")
    print(f"  polars       {shown(polars_ms)}   ratio {median(ours) / median(polars_ms):.2f}")
    print(f"  DuckDB       {shown(duck_ms)}   ratio {median(ours) / median(duck_ms):.2f}")


def warm_once(folder: Path) -> list[float]:
    from bom.duty.rules import DEFAULT
    from bom.jobs.bench import glance
    from bom.shop.narrowing import first_page
    from bom.shop.places import requirement_for
    from bom.shop.shop import Shop
    from bom.store.marks import marked

    with glance(str(database(folder))) as session:
        total, requirement = marked(session, "relays"), requirement_for(Shop(session), None, WHERE, None)
        first_page(Shop(session), requirement, DEFAULT, 50, total)
        return timed(lambda: first_page(Shop(session), requirement, DEFAULT, 50, total), 5)


def compare_processes(folder: Path) -> None:
    file = str(database(folder))
    python = [sys.executable, "-S", "-c"]
    commands = {
        "bom match --json": [*python, BOM, "match", "--position", WHERE, "--json", "--db", file],
        "SQLAlchemy + Typer, one query": [*python, BARE, file, "ALY3570-A0123N"],
        "the same, Typer reading words": [*python, PARSED, file, "ALY3570-A0123N"],
    }
    if all(find_spec(name) for name in ("pandas", "pyarrow", "polars")):
        table, rule = folder.with_suffix(".parquet"), folder.with_suffix(".filter")
        if not table.exists():  # in a process of its own, so that this one stays small
            subprocess.run([sys.executable, __file__, "--parquet", str(folder), str(table)], check=True)
        rule.write_text(as_pandas(folder), encoding="utf-8")
        commands["pandas over Parquet"] = [*python, PANDAS, str(table), str(rule)]
    else:
        print("pandas over Parquet left out: pandas, pyarrow or polars not installed")
    runs: dict[str, list[Run]] = {name: [] for name in commands}
    for command in commands.values():
        run(command)  # leaves compiled files
    for _ in range(WHOLE):
        for name, command in commands.items():
            runs[name].append(run(command))
    print("whole process, median ms (best) on the clock and of the processor, peak MB")
    ours = runs["bom match --json"]
    for name, found in runs.items():
        print(f"  {name:30} {shown([r.clock for r in found])} {shown([r.processor for r in found])}", end="")
        print(f"  {max(r.megabytes for r in found):5.0f} MB   {'' if found is ours else ratios(ours, found)}")


class Run(NamedTuple):
    """One process: milliseconds on the clock and of the processor, and its peak memory."""

    clock: float
    processor: float
    megabytes: float


def ratios(ours: list[Run], found: list[Run]) -> str:
    clock = median(r.clock for r in ours) / median(r.clock for r in found)
    processor = median(r.processor for r in ours) / median(r.processor for r in found)
    return f"ratio {clock:.2f} on the clock, {processor:.2f} of the processor"


def run(command: list[str]) -> Run:
    started = perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, cwd=HERE, env=as_installed())
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = status
    if status:
        raise SystemExit(f"failed: {command}")
    seconds = perf_counter() - started
    return Run(seconds * 1000, (usage.ru_utime + usage.ru_stime) * 1000, usage.ru_maxrss / 1024)


def as_installed() -> dict[str, str]:
    """The surroundings of a process that may keep compiled files and looks for packages without start-up files."""
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    return {**kept, "PYTHONPATH": os.pathsep.join([str(HERE), *getsitepackages()])}


def as_pandas(folder: Path) -> str:
    conditions, seats = asked(folder)
    seat = " | ".join(f"((r.footprint == {f!r}) & (r.wiring == {w!r}))" for f, w in seats)
    parts = [f"({seat})"]
    for c in conditions:
        if hasattr(c, "values"):
            held = f"r.{c.column}.isin({sorted(c.values)!r})"
        else:
            held = f"(r.{c.column} {'>=' if c.least else '<='} {c.limit!r})"
        parts.append(f"(r.{c.column}.isna() | {held})")
    return "r[" + " & ".join(parts) + "]"


if __name__ == "__main__":
    if sys.argv[1:2] == ["--parquet"]:
        loaded(Path(sys.argv[2])).write_parquet(sys.argv[3])
    else:
        main()
