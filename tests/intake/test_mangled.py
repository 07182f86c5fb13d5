"""Every key, heading, column and word of every demo file, mangled one at a time, is refused at its line with the word
that was meant."""

from __future__ import annotations

import csv
import re
import shutil
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from bom.intake.board_file import take_board
from bom.intake.catalogue import read_catalogue
from bom.intake.drawings import FOOTPRINT_COLUMNS, HOLE_COLUMNS, WIRING_COLUMNS, holes_in, pins_in
from bom.intake.kit_file import take_kit
from bom.intake.measured_file import read_measured
from bom.intake.rows import Report
from bom.intake.rule_file import read_rule
from bom.intake.shelf_files import (
    LEVEL_COLUMNS,
    STOCK_COLUMNS,
    USAGE_COLUMNS,
    read_levels,
    read_opening_stock,
    read_usage,
)
from bom.intake.spec_file import read_spec
from bom.intake.supplier_file import read_dated_rates, take_supplier
from bom.relays.relay import Rating, Relay, SupplyPart
from bom.values.column import Column, Holds, described
from bom.values.problem import Problem, ProblemsFound

DEMO = Path(__file__).resolve().parents[2] / "catalogs" / "demo"
Reader = Callable[[Path], object]


@dataclass(frozen=True)
class Slip:
    """One mangled file: its text, the line that is mangled, and the word that was meant."""

    text: str
    line: int
    meant: str


def slip(text: str, start: int, end: int) -> Slip:
    """The text with a letter too many in the middle of the word that stands there."""
    middle = (start + end + 1) // 2
    return Slip(f"{text[:middle]}q{text[middle:]}", text.count("\n", 0, start) + 1, text[start:end])


def missed(file: Path, slips: Iterator[Slip], read: Reader) -> list[str]:
    """The slips that are taken, or refused without the line or the word; each is written into ``file`` in turn."""
    return [f"{one.line}: {one.meant}" for one in slips if not _told(file, one, read)]


def _told(file: Path, one: Slip, read: Reader) -> bool:
    file.write_text(one.text, encoding="utf-8")
    try:
        read(file)
    except ProblemsFound as refused:
        return any(p.file == file.name and _named(one, p) for p in refused.problems)
    return False


def _named(one: Slip, problem: Problem) -> bool:
    """A mangled first heading of an array makes the file no TOML, which only shows at the next one."""
    said = problem.found if "TOML" in problem.expected else problem.expected if problem.line == one.line else ""
    return re.search(rf"(?<!\w){re.escape(one.meant)}(?!\w)", said) is not None


TOML_READERS: Mapping[str, Reader] = {
    "boards": take_board, "kits": take_kit, "suppliers": take_supplier, "bench": read_rule,
}  # fmt: skip
ALONE: Mapping[str, Reader] = {
    "rates.toml": read_dated_rates, "spec.toml": read_spec, "tw2.toml": read_catalogue, "spans.toml": read_measured,
    "scan.toml": read_measured,
}  # fmt: skip
OWN_NAMES = ("S", "F", "FD", "A", "B")
"""Codes of an order code and units of a wiring, which a person names: a letter more makes other parts or units."""
TOMLS = sorted(DEMO.rglob("*.toml"))

_KEY = re.compile(r"(?:^|[{,])[ \t]*([A-Za-z_]+)[ \t]*=", re.MULTILINE)
_HEADING = re.compile(r"^\[\[?(?:\w+\.)*([a-z_]+)\]", re.MULTILINE)
_WORDY = re.compile(
    r"\b(?:process|suppression|polarity|contacts?|kind|is|code|fee_on|accept|break_kind|currency|base|sealing_at_least|"
    r"status|sealing|view|usual|guided|coil_supply|coil_system|coil_suppression|"
    r'cost_by|rounding|alloy)\s*=\s*(\[[^\]]*\]|"[^"]*")'
)
_QUOTED = re.compile(r'"([A-Za-z][^"\d]*)"')


def toml_slips(text: str) -> Iterator[Slip]:
    """Every key, heading and word of a closed list; comments and texts in quotes hold none."""
    bare = re.sub(r'#.*|"[^"\n]*"', lambda m: " " * len(m[0]), text)
    keys = (match for match in _KEY.finditer(bare) if match[1] not in OWN_NAMES)
    yield from (slip(text, *match.span(1)) for match in (*keys, *_HEADING.finditer(bare)))
    for wordy in _WORDY.finditer(re.sub(r"#.*", lambda m: " " * len(m[0]), text)):
        yield from (slip(text, *match.span(1)) for match in _QUOTED.finditer(text, *wordy.span(1)))


@pytest.mark.parametrize("toml", TOMLS, ids=lambda f: f.name)
def test_a_mangled_key_or_word_of_a_toml_is_refused(tmp_path: Path, toml: Path) -> None:
    for holes in toml.parent.glob("*-holes.csv"):
        shutil.copy(holes, tmp_path)
    read = ALONE.get(toml.name) or TOML_READERS[toml.parent.name]
    assert read(toml)
    assert missed(tmp_path / toml.name, toml_slips(toml.read_text(encoding="utf-8")), read) == []


def in_report(read: Callable[[Path, Report], Any]) -> Reader:
    def taken(file: Path) -> object:
        report = Report()
        return report.taken(read(file, report))

    return taken


def folder_of(file: Path) -> object:
    return read_catalogue(file.parent)


CSVS: Mapping[str, tuple[Reader, Mapping[str, Column]]] = {
    "relays.csv": (folder_of, described(Relay)),
    "ratings.csv": (folder_of, described(Rating)),
    "supplies.csv": (folder_of, described(SupplyPart)),
    "footprints.csv": (folder_of, FOOTPRINT_COLUMNS),
    "wirings.csv": (folder_of, WIRING_COLUMNS),
    "stock.csv": (read_opening_stock, STOCK_COLUMNS),
    "usage.csv": (read_usage, USAGE_COLUMNS),
    "levels.csv": (read_levels, LEVEL_COLUMNS),
    "bench/goods-in.csv": (read_opening_stock, STOCK_COLUMNS),
    "bench/pins.csv": (in_report(pins_in), FOOTPRINT_COLUMNS),
    "bench/holes.csv": (in_report(partial(holes_in, pattern=None)), HOLE_COLUMNS),
}


def few_rows(file: Path, columns: Mapping[str, Column]) -> str:
    """The header, and of the rows those that show a word for the first time."""
    with file.open(newline="", encoding="utf-8") as source:
        header, *rows = csv.reader(source)
    wordy = [n for n, name in enumerate(header) if name in columns and columns[name].holds is Holds.WORD]
    seen: set[tuple[int, str]] = set()
    kept = [header]
    for row in rows:
        if new := {(n, row[n]) for n in wordy if row[n]} - seen or len(kept) == 1:
            seen |= new if isinstance(new, set) else set()
            kept.append(row)
    return "\n".join(",".join(f'"{c}"' if "," in c else c for c in row) for row in kept) + "\n"


def csv_slips(text: str, columns: Mapping[str, Column]) -> Iterator[Slip]:
    """Every column's name, and every cell of a column of words."""
    header = text.split("\n", 1)[0]
    yield from (slip(text, *match.span()) for match in re.finditer(r"\w+", header))
    names, start = header.split(","), len(header) + 1
    for line in text[start:].splitlines():
        for name, cell in zip(names, re.finditer(r'("[^"]*"|[^,]*)(,|$)', line), strict=False):
            if cell[1] and name in columns and columns[name].holds is Holds.WORD:
                yield slip(text, start + cell.start(1), start + cell.end(1))
        start += len(line) + 1


@pytest.mark.parametrize("name", CSVS)
def test_a_mangled_column_or_word_of_a_csv_is_refused(tmp_path: Path, name: str) -> None:
    read, columns = CSVS[name]
    for other in ("relays.csv", "ratings.csv", "supplies.csv", "footprints.csv", "wirings.csv"):
        (tmp_path / other).write_text(few_rows(DEMO / other, CSVS[other][1]), encoding="utf-8")
    file = tmp_path / Path(name).name
    whole = (DEMO / name).read_text(encoding="utf-8") if read is not folder_of else few_rows(DEMO / name, columns)
    assert missed(file, csv_slips(whole, columns), read) == []


def test_there_are_slips_to_find() -> None:
    assert sum(1 for toml in TOMLS for _ in toml_slips(toml.read_text(encoding="utf-8"))) > 500
