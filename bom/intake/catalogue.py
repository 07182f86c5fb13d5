"""A catalogue folder: relays, footprints, wirings, ratings and supplies, each row checked and every
reference followed; and series sheets, in the folder's *series* or each by itself, which state the same."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from bom.intake.drawings import footprints_in, wirings_in
from bom.intake.long_table import BytesTold
from bom.intake.relay_rows import Drawings, Families, RelayRows, relay_of
from bom.intake.rows import Cells, Report, Taken
from bom.intake.series_file import SeriesSheet, read_series
from bom.intake.shop_list import IN_CATALOGUE, ShopList, is_list_file, list_in_folder, rows_of
from bom.relays.catalogue import Catalogue
from bom.relays.checks import rating_problems
from bom.relays.footprint import Footprint
from bom.relays.relay import Rating, Relay, SupplyPart
from bom.relays.wiring import Wiring
from bom.values.column import described
from bom.values.problem import Refused
from bom.values.reading import PLAIN, HowRead

T = TypeVar("T")


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


def open_catalogue(
    folder: Path,
    told: BytesTold | None = None,
    leave_out: Sequence[str] = (),
    insist: Collection[str] = (),
    kept: Drawings | None = None,
    coils_kept: Callable[[Families], Iterable[Relay]] = lambda families: (),
    how: HowRead = PLAIN,
) -> CatalogueFolder:
    """The folder, or one series sheet, its relays still to be gone through; ``told`` hears how much of relays.csv has
    been read.

    ``leave_out`` names columns of one's own, in any of the files; ``insist`` part numbers whose figures are taken as
    they stand though they are hardly likely. Relays may also name the drawings that are ``kept`` already; the folder
    then need hold neither drawings nor ratings. ``coils_kept`` gives the coils that are kept of a series,
    which those of the folder are compared with.
    """
    if not folder.is_dir() and not is_sheet(folder) and not is_list_file(folder):
        raise Refused(f"expected a catalogue folder, a spreadsheet, or a series sheet as .toml, found none at {folder}")
    report = Report(how=how).leave_out(leave_out)
    sheets = [read_series(path, report) for path in sheets_of(folder)]
    report.notes.extend(_notes_of(sheets, is_sheet(folder)))
    lists = {of: list_in_folder(folder, of, report) for of in IN_CATALOGUE}
    alone = (bool(sheets) or is_list_file(folder)) and not lists["relays"].is_there
    drawings = Drawings(
        _if_there(lists["footprints"], footprints_in, kept is not None or alone, report),
        _if_there(lists["wirings"], wirings_in, kept is not None or alone, report),
    )
    _add_drawings(drawings, sheets, report)
    rated = lists["ratings"]
    ratings, lines = _ratings(rated, report) if rated.is_there or not (kept is not None or alone) else ((), [])
    ratings = (*ratings, *(rating for sheet in sheets for rating in sheet.ratings))
    supplies = _supplies(lists["supplies"], report)
    sought = {rating.applies_to for rating in ratings}
    parts = [part for sheet in sheets for part in sheet.parts] if sheets or alone else None
    beside = _beside(kept, drawings)
    relays = RelayRows(lists["relays"], beside, report, sought, told, insist, coils_kept, parts)
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


def is_sheet(path: Path) -> bool:
    """Whether this is one series sheet rather than a folder."""
    return is_sheet_name(path) and path.is_file()


def is_sheet_name(path: Path) -> bool:
    """Whether a file of this name would be a series sheet."""
    return path.suffix.casefold() == ".toml"


def _notes_of(sheets: Sequence[SeriesSheet], alone: bool) -> Iterator[str]:
    """What a sheet alone has to tell; several would tell too much at once."""
    if alone:
        yield from (note for sheet in sheets for note in sheet.notes)
    elif sheets:
        many = "1 series sheet" if len(sheets) == 1 else f"{len(sheets)} series sheets"
        yield f"{many}: bom catalog check SHEET shows what one makes, and what was worked out for it"


def sheets_of(path: Path) -> list[Path]:
    """The series sheets of a folder, or the one that this is."""
    return [path] if is_sheet(path) else sorted((path / "series").glob("*.toml"))


def _add_drawings(drawings: Drawings, sheets: Iterable[SeriesSheet], report: Report) -> None:
    """The drawings of sheets beside those of the folder; one that stands in several is the same in all."""
    for sheet in sheets:
        for column, own, all_ in (
            ("footprint", sheet.footprints, drawings.footprints),
            ("wiring", sheet.wirings, drawings.wirings),
        ):
            for name, drawing in own.items():
                known: dict[str, Any] = {} if all_ is None else all_
                if known.setdefault(name, drawing) != drawing:
                    place = sheet.drawn[column, name]
                    report.problems.append(place.tells(f"{column} {name} as it stands elsewhere in the folder", name))


def _if_there(
    shop_list: ShopList, read: Callable[[ShopList, Report], dict[str, T]], may_lack: bool, report: Report
) -> dict[str, T] | None:
    """What a file holds; None where it holds nothing because it could not be read. It may be absent where drawings are
    kept already, or stand in series sheets."""
    if may_lack and not shop_list.is_there:
        return {}
    before = len(report.problems)
    return read(shop_list, report) or (None if len(report.problems) > before else {})


def _beside(kept: Drawings | None, own: Drawings) -> Drawings:
    """The folder's drawings before those that are kept; None stays None."""
    if kept is None:
        return own
    return Drawings(
        None if own.footprints is None else (kept.footprints or {}) | own.footprints,
        None if own.wirings is None else (kept.wirings or {}) | own.wirings,
    )


def read_catalogue(folder: Path) -> Taken[Catalogue]:
    """The whole catalogue in a folder, with notes on absent columns; raises ``ProblemsFound`` with all problems of
    all files."""
    opened = open_catalogue(folder)
    relays = [relay_of(row) for row in opened.relays]
    notes = opened.settle()
    return Taken(Catalogue(tuple(relays), opened.footprints, opened.wirings, opened.ratings, opened.supplies), notes)


def _only_once(cells: Cells, key: tuple[str, ...], seen: dict[tuple[str, ...], int]) -> None:
    if all(key) and key in seen:
        cells.wrong("part_number", f"each part of a maker once (line {seen[key]} has it)", " ".join(key))
    seen.setdefault(key, cells.row.line)


def _ratings(shop_list: ShopList, report: Report) -> tuple[tuple[Rating, ...], list[Cells]]:
    """The ratings, and the row of the first rating for each name, to blame where nothing has that name."""
    ratings, lines = [], dict[str, Cells]()
    for cells in _rows(shop_list, Rating, report):
        before = len(report.problems)
        ratings.append(rating := cells.made(Rating))
        if len(report.problems) == before:
            cells.tell(rating_problems(rating))
        lines.setdefault(rating.applies_to, cells)
    return tuple(ratings), list(lines.values())


def _rows(shop_list: ShopList, kind: type, report: Report) -> Iterator[Cells]:
    """The rows of a file that has one of these a row."""
    columns = described(kind)
    needed = [name for name, column in columns.items() if column.needed]
    for row in rows_of(shop_list, needed, columns, report):
        yield Cells(row, report)


def _check_ratings(lines: list[Cells], seen: set[str]) -> None:
    for cells in lines:
        if (name := cells.text("applies_to")) and name not in seen:
            cells.wrong("applies_to", "a part number or series in relays.csv", name)


def _supplies(shop_list: ShopList, report: Report) -> tuple[SupplyPart, ...]:
    """The supplies, none where the file is absent."""
    if not shop_list.is_there:
        return ()
    seen: dict[tuple[str, ...], int] = {}
    parts = []
    for cells in _rows(shop_list, SupplyPart, report):
        parts.append(part := cells.made(SupplyPart))
        _only_once(cells, (part.part_number,), seen)
    return tuple(parts)
