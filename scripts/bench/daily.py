"""Measures every daily command, as a whole process, on shops of years: seconds, memory, and how they grow.

    python scripts/bench/daily.py SMALL.db MIDDLE.db LARGE.db            # shops made by make_shop.py
    python scripts/bench/daily.py --only "kit cost" --only reorder LARGE.db
    python scripts/bench/daily.py --tree ../older LARGE.db               # another checkout of the program, on a copy
    python scripts/bench/daily.py postgresql://localhost/shop            # a shop that is there already

The demo shop is made anew and stands in the first column: a command may take a second more than there. Commands that
book something work on a copy of an SQLite shop, and in the shop itself on PostgreSQL. Each command runs once so that
its files are read and compiled, then ``--rounds`` times more; the best counts. Seconds are those of the clock and,
in brackets, of the processor, which hangs less on what else the machine does. The server's own are not among them.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from argparse import ArgumentParser, Namespace
from compileall import compile_dir
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter
from typing import NamedTuple

HERE = Path(__file__).resolve().parents[2]
BOM = "from bom.cli.main import run; run()"
LONGEST = 600.0  # seconds after which a command is given up

COMMANDS = {
    "stock show": "stock show",
    "stock show PART": "stock show {part}",
    "stock trace LOT": "stock trace {lot}",
    "stock trace JOB": "stock trace {job}",
    "stock worth": "stock worth",
    "stock label DRAWER": "stock label {drawer} --out {out}/drawer.html",
    "stock label": "stock label --out {out}/drawers.html",
    "stock hold": "stock hold {lot} 1",
    "stock move": "stock move {lot} Z9",
    "stock out PART 1": "stock out {part} 1",
    "kit possible": "kit possible",
    "kit cost KIT": "kit cost {kit}",
    "kit cost": "kit cost",
    "kit make": "kit make {kit} 1 --dry",
    "kit sheet": "kit sheet {kit} --out {out}/sheet.html",
    "quote ask": "quote ask --part {part}=20 --out {out}/quotes",
    "quote plan": "quote plan --part {part}=20 --substitutes conditional --seconds 5",
    "reorder --levels": "reorder --levels",
    "reorder --out": "reorder --out {out}/reorder.xlsx --write-over --seconds 5",
    "supplier show": "supplier show",
    "match POSITION": "match --position {position}",
    "match LIKE": "match --like {part}",
    "relay find": "relay find {begun}",
    "relay identify": "relay identify --ohms 262R --pins 5",
    "catalog check": "catalog check {here}/catalogs/demo",
    "catalog add": "catalog add {here}/catalogs/demo",
    "catalog xref PART": "catalog xref --part {part}",
    "catalog xref": "catalog xref --out {out}/xref.csv --write-over",
    "db check": "db check",
    "db backup": "db backup {out}/backup.db",
}


class Run(NamedTuple):
    """One whole process: seconds of the clock and of the processor, peak megabytes, and how it ended."""

    clock: float
    processor: float
    megabytes: float
    status: int


def main(asked: Namespace) -> None:
    tree = Path(asked.tree).resolve()
    compile_dir(tree / "bom", quiet=1)
    commands = {name: words for name, words in COMMANDS.items() if not asked.only or name in asked.only}
    with TemporaryDirectory(dir=asked.scratch) as scratch:
        shops = {"demo": demo(tree, Path(scratch))} | {Path(shop).stem: shop for shop in asked.shops}
        runs = {label: measured(tree, url, commands, Path(scratch), asked.rounds) for label, url in shops.items()}
    table(commands, runs)


def demo(tree: Path, scratch: Path) -> str:
    run(tree, ["demo", "--out", str(scratch / "demo")])
    return str(scratch / "demo" / "bom.db")


def measured(tree: Path, url: str, commands: dict[str, str], scratch: Path, rounds: int) -> dict[str, Run]:
    """Each command on this shop; what is told while it goes on, goes to stderr."""
    if ":" not in url:
        url = shutil.copy(url, scratch / f"copy-of-{Path(url).name}")
    names, out = names_in(tree, url), scratch / "out"
    run(tree, ["db", "upgrade", "--db", url])
    answer = {}
    for name, words in commands.items():
        shutil.rmtree(out, ignore_errors=True)
        out.mkdir()
        typed = [word.format(**names, out=out, here=tree) for word in words.split()]
        found = [run(tree, [*typed, "--db", url]) for _ in range(1 + rounds) if not (out / "backup.db").exists()]
        answer[name] = min(found[1:] or found)
        print(f"{Path(url).name}: {' '.join(typed)}: {shown(answer[name])}", file=sys.stderr, flush=True)
    return answer


def names_in(tree: Path, url: str) -> dict[str, str]:
    """A part that is much used and fitted somewhere if any is, one of its lots, a job, a kit and a position."""
    found = subprocess.run([sys.executable, "-c", NAMES, url], cwd=tree, env=surroundings(tree), capture_output=True)
    if found.returncode:
        raise SystemExit(found.stderr.decode())
    return dict(line.split("\t") for line in found.stdout.decode().splitlines())


NAMES = """
import sys
from sqlalchemy import text
from bom.store.engine import ready_engine
from bom.store.boards_and_kits import boards, kits
from bom.store.unit_of_work import look
with look(ready_engine(sys.argv[1])) as s:
    one = lambda asked, **values: s.execute(text(asked), values).first() or ("",)
    used = [p for p, in s.execute(text("SELECT m.part_number FROM moves m JOIN relays r ON r.part_number ="
        " m.part_number GROUP BY m.part_number ORDER BY count(*) DESC, m.part_number"))]
    fitted = {p.fitted for b in boards(s) for p in b.positions}
    part = next((p for p in used if p in fitted), used[0])
    lot, drawer = one("SELECT number, drawer FROM lots WHERE part_number = :p ORDER BY number DESC", p=part)
    job = one("SELECT reference FROM moves WHERE reference <> '' AND reference NOT LIKE 'K0%' AND kind = 'out'")[0]
    kit = max(kits(s), key=lambda k: sum(bool(l.position) for l in k.lines))
    board = next(b for b in boards(s) if b.name == kit.board)
    position = f"{board.name}:{next(l.position for l in kit.lines if l.position)}"
    named = {"part": part, "begun": part[:4], "lot": lot, "drawer": drawer, "job": job or lot, "kit": kit.name,
             "position": position}
    print("\\n".join(f"{name}\\t{value}" for name, value in named.items()))
"""


def run(tree: Path, words: list[str]) -> Run:
    started = perf_counter()
    process = subprocess.Popen(
        [sys.executable, "-c", BOM, *words],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        cwd=tree,
        env=surroundings(tree),
    )
    clock = subprocess.Popen(["sh", "-c", f"sleep {LONGEST}; kill {process.pid}"], start_new_session=True)
    _, status, usage = os.wait4(process.pid, 0)
    os.killpg(clock.pid, 9)
    clock.wait()
    process.returncode = code = os.waitstatus_to_exitcode(status)
    seconds = usage.ru_utime + usage.ru_stime
    return Run(perf_counter() - started, seconds, usage.ru_maxrss / 1024, code)


def surroundings(tree: Path) -> dict[str, str]:
    return os.environ | {"PYTHONPATH": str(tree), "COLUMNS": "100"}


def shown(found: Run) -> str:
    ended = "" if found.status in (0, 1) else f" status {found.status}"
    return f"{found.clock:.1f} ({found.processor:.1f}) s {found.megabytes:.0f} MB{ended}"


def table(commands: dict[str, str], runs: dict[str, dict[str, Run]]) -> None:
    """In the form of a Markdown table; the growth is from the first shop of years to the last."""
    labels = list(runs)
    print(f"| command | {' | '.join(labels)} | growth | against the demo |")
    print("|---|" + "---|" * (len(labels) + 2))
    for name in commands:
        first, last, demo = runs[labels[1]][name], runs[labels[-1]][name], runs["demo"][name]
        growth = f"{last.clock / first.clock:.1f} x" if len(labels) > 2 else ""
        cells = [shown(runs[label][name]) for label in labels]
        print(f"| {name} | {' | '.join(cells)} | {growth} | {last.clock - demo.clock:+.1f} s |")


if __name__ == "__main__":
    parser = ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("shops", nargs="+", help="SQLite files or database URLs, the smallest first")
    parser.add_argument("--only", action="append", choices=COMMANDS, help="this command; may be repeated")
    parser.add_argument("--tree", default=str(HERE), help="the checkout whose program is measured")
    parser.add_argument("--rounds", type=int, default=1)
    parser.add_argument("--scratch", help="a folder with room for copies of the shops")
    main(parser.parse_args())
