"""How long a shop's spreadsheet takes to read: 50 000 relays, written as each format, read to the last cell.

    .venv/bin/python scripts/bench/spreadsheets.py [--rows 50000] [--folder bench-sheets]

XLSX is written here; ODS and XLS by LibreOffice, where it is installed. Each file is read in a process of its own; the
seconds are of the reading alone, first of the processor, then of the clock; the megabytes the most that it held.
Beside our reader stands openpyxl's.
"""

from __future__ import annotations

import argparse
import csv
import resource
import shutil
import subprocess
import sys
import time
from pathlib import Path

from openpyxl import Workbook, load_workbook

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from bom.intake.relay_rows import Drawings, RelayRows
from bom.intake.rows import Report
from bom.intake.shop_list import ShopList
from bom.intake.spreadsheets.book import begins_as_spreadsheet, book_in

HEADS = (
    *("maker", "part_number", "series", "status", "coil_system", "coil_supply", "coil_volts", "coil_ohms"),
    *("coil_ohms_tol_pct", "operate_volts", "release_volts", "contact_material", "sealing", "source"),
)


def write(folder: Path, rows: int) -> list[Path]:
    folder.mkdir(parents=True, exist_ok=True)
    text, xlsx = folder / "relays.csv", folder / "relays.xlsx"
    if not xlsx.exists():
        book = Workbook(write_only=True)
        sheet = book.create_sheet("relays")
        with text.open("w", newline="", encoding="utf-8") as file:
            out = csv.writer(file)
            for row in (HEADS, *(relay(n) for n in range(rows))):
                out.writerow(row)
                sheet.append(row)
        book.save(xlsx)
        if program := shutil.which("soffice"):
            for form in ("ods", "xls"):
                call = [program, "--headless", "--convert-to", form, "--outdir", str(folder), str(xlsx)]
                subprocess.run(call, check=True, capture_output=True)
    return [path for path in (folder / f"relays.{form}" for form in ("csv", "xlsx", "ods", "xls")) if path.exists()]


def relay(n: int) -> tuple[object, ...]:
    volts = (5, 6, 12, 24, 48)[n % 5]
    ohms = round(volts**2 / 0.4, 1)
    return (
        *("Ostrel", f"TW{n}-{volts}S", f"TW{n % 40}", "active", "monostable", "dc", volts, ohms, 10),
        *(round(volts * 0.7, 2), round(volts * 0.1, 2), "AgSnO2", "RT III", "catalogue p. 12"),
    )


def cells(path: Path) -> int:
    """Read to cells alone."""
    if not begins_as_spreadsheet(path):
        with path.open(encoding="utf-8", newline="") as file:
            return sum(1 for _ in csv.reader(file))
    return sum(len(sheet.rows) for sheet in book_in(path).sheets)


def relays(path: Path) -> int:
    """Read to checked relays, as ``bom catalog check`` does."""
    report = Report()
    rows = RelayRows(ShopList(path, "relays"), Drawings(None, None), report)
    count = sum(1 for _ in rows)
    report.settle()
    return count


def by_openpyxl(path: Path) -> int:
    return sum(1 for _ in load_workbook(path, read_only=True, data_only=True).worksheets[0].iter_rows(values_only=True))


WAYS = {"cells": cells, "relays": relays, "openpyxl": by_openpyxl}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rows", type=int, default=50_000)
    parser.add_argument("--folder", type=Path, default=Path("bench-sheets"))
    parser.add_argument("--one", nargs=2, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.one:
        way, path = asked.one
        began, worked = time.perf_counter(), time.process_time()
        count = WAYS[way](Path(path))
        seconds, worked = time.perf_counter() - began, time.process_time() - worked
        held = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
        print(f"{Path(path).suffix[1:]:5} {way:9} {count:7} rows {worked:6.2f} s ({seconds:.2f} s) {held:5} MB")
        return
    for path in write(asked.folder, asked.rows):
        for way in WAYS:
            if way != "openpyxl" or path.suffix == ".xlsx":
                subprocess.run([sys.executable, __file__, "--one", way, str(path)], check=True)


if __name__ == "__main__":
    main()
