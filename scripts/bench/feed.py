"""A refresh of a long price list against bare reading of the same file: time as a ratio, and the most memory it took.

Run by hand: python scripts/bench/feed.py [LINES …]; 200000 lines without arguments. Each size runs in a process of its
own, so that its memory is its own; the list is written to a temporary folder and thrown away.
"""

from __future__ import annotations

import csv
import random
import resource
import subprocess
import sys
import tempfile
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

COLUMNS = ["Art.-Nr.", "Typ", "Fabrikat", "Bestand", "Mindestmenge", "VPE", "Lieferzeit", "ab 1", "ab 10", "ab 100"]
WORDS = ("supplier_code", "part_number", "maker", "stock", "moq", "multiple", "lead_days")


def write_list(path: Path, lines: int) -> None:
    """A list of invented parts in a comma-decimal dialect, seven facts and three breaks a line."""
    dice = random.Random(6)
    with path.open("w", newline="", encoding="cp1252") as file:
        writer = csv.writer(file, delimiter=";")
        writer.writerow(COLUMNS)
        for n in range(lines):
            price = dice.randint(20, 9000)
            steps = [f"{price * f // 100 // 100},{price * f // 100 % 100:02d}" for f in (100, 90, 75)]
            facts = [f"{n:06d}", f"R{n // 40}-{n % 40}X", dice.choice(["Ostrel", "Kithmar", "Corvane"])]
            writer.writerow([*facts, dice.randint(0, 5000), 1, dice.choice([1, 5, 10]), dice.randint(2, 20), *steps])


def bare_reading(path: Path) -> float:
    """Seconds to read every cell and do nothing with it."""

    def read() -> None:
        with path.open(newline="", encoding="cp1252") as file:
            for _ in csv.reader(file, delimiter=";"):
                pass

    return min(timed(read) for _ in range(3))


def timed(job: Callable[[], object]) -> float:
    start = perf_counter()
    job()
    return perf_counter() - start


def measure(lines: int) -> None:
    """Print one size's figures."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "list.csv"
        write_list(path, lines)
        bare = bare_reading(path)
        before = peak()
        made, first, again, same = refreshes(path, Path(folder) / "bom.db")
        times = {"offers made": made, "taken": first, "changed": again, "the same again": same}
        shown = "; ".join(f"{what} {took:.2f} s ({took / bare:.1f} x)" for what, took in times.items())
        memory = f"memory {before:.0f} MB before, {peak():.0f} MB at most"
        print(f"{lines:>8} lines {path.stat().st_size / 1e6:6.1f} MB: bare reading {bare:.2f} s; {shown}; {memory}")


def refreshes(path: Path, database: Path) -> tuple[float, float, float, float]:
    """Seconds to make the offers only, to take the list into an empty database, changed over itself, and the same."""
    from bom.buying.offer import Feed, Supplier
    from bom.intake.price_lists.list_file import source_of_file
    from bom.intake.price_lists.price_list import ListReading
    from bom.jobs.bench import bench
    from bom.jobs.buying.price_lists import refresh
    from bom.store.offers import take_supplier

    supplier = Supplier("Osmere", "EUR")
    breaks = tuple(zip((1, 10, 100), COLUMNS[7:], strict=True))
    columns = tuple(zip(WORDS, COLUMNS, strict=False))
    feed = Feed(str(path), delimiter=";", encoding="cp1252", decimal=",", columns=columns, break_columns=breaks)
    url = f"sqlite:///{database}"
    with bench(url) as session:
        take_supplier(session, supplier, feed)
    reading = ListReading(feed, supplier, source_of_file(path), datetime.now(UTC))
    made = timed(lambda: sum(1 for _ in reading.offers()))
    first = timed(lambda: refresh(url))
    with path.open("a", encoding="cp1252") as file:
        file.write("new;NEW-1;Ostrel;1;1;1;1;1,50;;\n")
    return made, first, timed(lambda: refresh(url)), timed(lambda: refresh(url))


def peak() -> float:
    """The most memory this process has held, in MB (Linux counts in kilobytes)."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main(sizes: list[str]) -> None:
    if len(sizes) == 1:
        measure(int(sizes[0]))
        return
    for size in sizes or ["50000", "200000"]:
        subprocess.run([sys.executable, __file__, size], check=True)


if __name__ == "__main__":
    main(sys.argv[1:])
