"""A catalogue folder: relays, footprints, wirings, ratings and supplies, each row checked and every
reference followed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from typing import TypeVar

from bom.intake.drawings import footprints_in, wirings_in
from bom.intake.long_table import Told
from bom.intake.relay_rows import CHOICES, RELAY_COLUMNS, Drawings, RelayRows, Values
from bom.intake.rows import Cells, Report, Taken, rows_of
from bom.relays.catalogue import Catalogue
from bom.relays.footprint import Footprint
from bom.relays.relay import LOADS, Rating, Relay, Status, SupplyKind, SupplyPart, supply_of
from bom.relays.wiring import Wiring
from bom.values.problem import Refused

T = TypeVar("T")

RATING_COLUMNS = tuple(f.name for f in fields(Rating))
SUPPLY_COLUMNS = ("part_number", "name", "maker", "kind", "unit", "status", "source")
SUPPLY_KINDS = ("consumable", "part", "packing", "print")
UNITS = ("g", "mm", "ml", "piece")
CONTACTS = ("make", "break", "both")


@dataclass(slots=True)
class CatalogueFolder:
    """A catalogue folder with everything read but its relays, which are gone through as they are read, once.

    What they say wrong, and what ratings say wrong of them, is known only after that: call ``settle`` then.
    """

    footprints: dict[str, Footprint]
    wirings: dict[str, Wiring]
    ratings: tuple[Rating, ...]
    supplies: tuple[SupplyPart, ...]
    relays: RelayRows
    report: Report
    rating_lines: list[Cells]

    def settle(self) -> tuple[str, ...]:
        """The notes; raises ``ProblemsFound`` with all problems of all files."""
        if self.relays.table.whole:
            _check_ratings(self.rating_lines, self.relays.seen)
        self.report.settle()
        return tuple(self.report.notes)


def open_catalogue(folder: Path, told: Told | None = None, leave_out: Sequence[str] = ()) -> CatalogueFolder:
    """The folder, its relays still to be gone through; ``told`` hears how much of relays.csv has been read.

    ``leave_out`` names columns of one's own, in any of the files.
    """
    if not folder.is_dir():
        raise Refused(f"expected a catalogue folder, found none at {folder}")
    report = Report().leave_out(leave_out)
    drawings = Drawings(
        _if_read(report, lambda: footprints_in(folder / "footprints.csv", report)),
        _if_read(report, lambda: wirings_in(folder / "wirings.csv", report)),
    )
    ratings, lines = _ratings(folder / "ratings.csv", report)
    supplies = _supplies(folder / "supplies.csv", report)
    sought = {rating.applies_to for rating in ratings}
    relays = RelayRows(folder / "relays.csv", drawings, report, sought, told)
    for name, command in _ELSEWHERE.items():
        if (folder / name).exists():
            report.note(f"{name} is not read here: {command} takes it")
    return CatalogueFolder(drawings.footprints or {}, drawings.wirings or {}, ratings, supplies, relays, report, lines)


# What a shop keeps beside its catalogue, and the command that takes it.
_ELSEWHERE = {
    "levels.csv": "bom stock level --file",
    "stock.csv": "bom stock in --file",
    "usage.csv": "bom stock out --file",
    "rates.toml": "bom supplier rates",
}


def _if_read(report: Report, read: Callable[[], dict[str, T]]) -> dict[str, T] | None:
    """What a file holds; None where it holds nothing because it could not be read."""
    before = len(report.problems)
    return read() or (None if len(report.problems) > before else {})


def read_catalogue(folder: Path) -> Taken[Catalogue]:
    """The whole catalogue in a folder, with notes on absent columns; raises ``ProblemsFound`` with all problems of
    all files."""
    opened = open_catalogue(folder)
    relays = [relay_of(row) for row in opened.relays]
    notes = opened.settle()
    return Taken(Catalogue(tuple(relays), opened.footprints, opened.wirings, opened.ratings, opened.supplies), notes)


def relay_of(values: Values) -> Relay:
    """The relay of one row of values."""
    named = dict(zip(RELAY_COLUMNS, values, strict=True))
    for column, kind in CHOICES.items():
        named[column] = None if named[column] is None else kind(named[column])
    return Relay(**named)


def _only_once(cells: Cells, key: tuple[str, ...], seen: dict[tuple[str, ...], int]) -> None:
    if all(key) and key in seen:
        cells.wrong("part_number", f"each part of a maker once (line {seen[key]} has it)", " ".join(key))
    seen.setdefault(key, cells.row.line)


def _ratings(path: Path, report: Report) -> tuple[tuple[Rating, ...], list[Cells]]:
    """The ratings, and the row of the first rating for each name, to blame where nothing has that name."""
    required = ("applies_to", "contact", "load", "supply", "volts")
    ratings, lines = [], dict[str, Cells]()
    for row in rows_of(path, required, RATING_COLUMNS, report):
        cells = Cells(path.name, row, report)
        ratings.append(rating := _rating(cells))
        lines.setdefault(rating.applies_to, cells)
    return tuple(ratings), list(lines.values())


def _check_ratings(lines: list[Cells], seen: set[str]) -> None:
    for cells in lines:
        if (name := cells.text("applies_to")) and name not in seen:
            cells.wrong("applies_to", "a part number or series in relays.csv", name)


def _rating(cells: Cells) -> Rating:
    applies_to, load = cells.part_number("applies_to"), cells.one_of("load", LOADS)
    cells.needed("volts"), cells.needed("supply")
    supply = cells.choice("supply", SupplyKind) or SupplyKind.DC
    if (named := supply_of(load)) not in (None, supply):
        cells.wrong("supply", f"{named}, which {load} is for", cells.text("supply"))
    return Rating(
        applies_to,
        cells.one_of("contact", CONTACTS),
        load,
        supply,
        cells.positive("volts") or 0.0,
        temp_c=cells.number("temp_c"),
        power_factor=_power_factor(cells),
        source=cells.text("source"),
        **{c: cells.positive(c) for c in _RATING_NUMBERS},
    )


_RATING_NUMBERS = ("amps", "inrush_amps", "carry_amps", "carry_seconds", "lr_ms", "operations")


def _power_factor(cells: Cells) -> float | None:
    if (found := cells.positive("power_factor")) is not None and found > 1:
        cells.wrong("power_factor", "a number up to 1", cells.text("power_factor"))
    return found


def _supplies(path: Path, report: Report) -> tuple[SupplyPart, ...]:
    """The supplies, none where the file is absent."""
    if not path.exists():
        return ()
    seen: dict[tuple[str, ...], int] = {}
    parts = []
    for row in rows_of(path, ("part_number", "name", "kind", "unit"), SUPPLY_COLUMNS, report):
        cells = Cells(path.name, row, report)
        parts.append(part := _supply_part(cells))
        _only_once(cells, (part.part_number,), seen)
    return tuple(parts)


def _supply_part(cells: Cells) -> SupplyPart:
    return SupplyPart(
        cells.part_number("part_number"),
        cells.needed("name"),
        cells.text("maker"),
        cells.one_of("kind", SUPPLY_KINDS),
        cells.one_of("unit", UNITS),
        cells.choice("status", Status),
        cells.text("source"),
    )
