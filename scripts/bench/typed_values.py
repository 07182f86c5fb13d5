"""How many values a person types to state the demo's relays, and eight of them with a board: as CSV cells, and as
series sheets.

A typed value is what somebody has to look up and type: a cell that is not empty, a TOML value or an element of a list
that is not empty text, a name that is a key of one's own (a code, a part number, a unit, a net). A pin in a line is
three (its name and two coordinates), and of a unit's line every word is one, and (+) one more. Keys and headings that
the file format itself gives are none; the columns that a table of a sheet names are.

    python scripts/bench/typed_values.py
"""

from __future__ import annotations

import csv
import re
import tomllib
from collections.abc import Collection, Iterator, Mapping
from pathlib import Path
from typing import Any

TOP = Path(__file__).resolve().parents[2]
DEMO = TOP / "catalogs" / "demo"
SHEETS = TOP / "tests" / "data" / "series"
EIGHT = TOP / "tests" / "data" / "eight"
"""Two sheets and a board in the fewest values: six relays of one series, two of another, and OS-3 which has both."""
OWN_KEYS = {("parts",), ("leads",), ("drills",), ("unit",), ("mixed",)}
"""Tables whose keys a person makes up, as those under [choices.NAME] are."""
LINES = {"pins", "unit", "nets"}
"""Keys whose text is a line of several values."""


def cells(path: Path, column: str = "", among: Collection[str] = ()) -> int:
    """The cells of a CSV file that are not empty, of the rows that name one of these in this column."""
    with path.open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if not column or row[column] in among]
    return sum(bool(cell) for row in rows for cell in row.values())


def values(path: Path) -> int:
    """The values of a TOML file."""
    return sum(typed(tomllib.loads(path.read_text(encoding="utf-8"))))


def typed(value: Any, path: tuple[str, ...] = ()) -> Iterator[int]:
    """How many values each part of this value is; ``path`` are the keys that lead to it."""
    if isinstance(value, Mapping):
        for key, inner in value.items():
            if key.startswith("note") and isinstance(inner, str):
                continue
            yield len(key.split(", ")) if path[-2:-1] == ("choices",) or path[-1:] in OWN_KEYS else 0
            yield from typed(inner, (*path, key))
    elif isinstance(value, list):
        for inner in value:
            yield from typed(inner, path)
    elif isinstance(value, str) and set(path) & LINES:
        yield len(re.findall(r"\(\+\)|[^\s,;/()]+", value))
    else:
        yield int(value != "")


def catalogue_cells(numbers: Collection[str]) -> int:
    """The cells that state these relays: their own rows, and those of their drawings and ratings."""
    with (DEMO / "relays.csv").open(encoding="utf-8", newline="") as file:
        relays = [row for row in csv.DictReader(file) if row["part_number"] in numbers]
    named = {column: {row[column] for row in relays} for column in ("part_number", "series", "footprint", "wiring")}
    return (
        cells(DEMO / "relays.csv", "part_number", numbers)
        + cells(DEMO / "footprints.csv", "footprint", named["footprint"])
        + cells(DEMO / "wirings.csv", "wiring", named["wiring"])
        + cells(DEMO / "ratings.csv", "applies_to", named["series"] | named["part_number"])
    )


def all_numbers() -> set[str]:
    """Every part number of the demo."""
    with (DEMO / "relays.csv").open(encoding="utf-8", newline="") as file:
        return {row["part_number"] for row in csv.DictReader(file)}


def eight_as_cells() -> int:
    """The same eight relays and board in the way of CSV: drawings, ratings, holes, what the board expects."""
    numbers = {"TW2-6S", "TW2-12S", "TW2-24S", "TW2-12F", "TW2-24F", "TW2-12FD", "SLM-12S", "SLM-24S"}
    holes = cells(DEMO / "boards" / "os-3-holes.csv")
    expected = cells(DEMO / "wirings.csv", "wiring", {"board-twin", "board-single"})
    return catalogue_cells(numbers) + values(DEMO / "boards" / "os-3.toml") + holes + expected


def eight_as_sheets() -> int:
    """The eight relays as two series sheets, and the board whose holes are made for them."""
    return sum(map(values, EIGHT.rglob("*.toml")))


def main() -> None:
    """Print both counts."""
    numbers, sheets = all_numbers(), sorted(SHEETS.glob("*.toml"))
    as_cells, as_sheets = catalogue_cells(numbers), sum(map(values, sheets))
    print(f"{len(numbers)} relays: {as_cells} cells, {as_sheets} values in {len(sheets)} series sheets")
    print(f"8 relays and a board: {eight_as_cells()} as CSV and TOML, {eight_as_sheets()} as two sheets and a board")


if __name__ == "__main__":
    main()
