"""The contact table of a series sheet: a line for each rating, or one for make and break beside each other.

What all lines have in common stands beside the rows once. A line is for the series, unless it names a part, or by a
part number with places left open several.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from bom.intake.rows import Report, is_it
from bom.intake.sheet_rows import SheetCell, SheetCells, cells_in, place_in, rows_in, texts_of
from bom.intake.tables import Table
from bom.relays.checks import rating_problems
from bom.relays.order_code import Coded, OrderCode, is_meant
from bom.relays.relay import Rating
from bom.values.column import Column, described, keys, made, text, texts
from bom.values.problem import Problem

_OF_ALL = "What all lines have in common: any column of ratings.csv (bom explain ratings.csv)."
RATINGS = keys(
    COLUMN=text(_OF_ALL, "temp_c = 85"),
    columns=texts(
        "The columns of the contact table; a line has one contact, or what each bears, as in make_amps, break_amps.",
        '["load", "volts", "make_amps", "break_amps"]',
    ),
    rows=text(
        "One list for each line. applies_to may be left out for the series, or leave places of a part number open; "
        "carry_seconds beside the rows is of those lines that have carry_amps.",
        '["motor", 14, 8, 4]',
    ),
)
_COLUMNS = described(Rating)
_NEEDED = tuple(name for name, column in _COLUMNS.items() if column.needed)
_CONTACTS = ("make", "break")
_OF_A_CONTACT = ("amps", "inrush_amps", "carry_amps", "carry_seconds", "lr_ms", "operations")
_TABLE: Mapping[str, Column] = {
    **_COLUMNS,
    **{f"{contact}_{column}": _COLUMNS[column] for contact in _CONTACTS for column in _OF_A_CONTACT},
}


def ratings_in(outer: Table, series: str, source: str, number: OrderCode, parts: Sequence[Coded]) -> tuple[Rating, ...]:
    """The ratings of the sheet; ``source`` is theirs where they name none. Without rows the table is one line."""
    if (table := outer.table("ratings")) is None:
        return ()
    usual = {"source": SheetCell(source, place_in(outer, "ratings"))}
    shared = cells_in(table, _COLUMNS, "columns", "rows")
    answer = list[Rating]()
    lines = list(_lines(table, shared))
    if "carry_seconds" in shared and not any(map(_carries, (shared, *lines))):
        table.wrong("carry_seconds", "carry_amps in a line, which it belongs to", shared["carry_seconds"].text)
    for line in lines:
        cells = usual | (shared if _carries(shared | line) else _without_seconds(shared)) | line
        answer.extend(_rating(cells, owner, table) for owner in _owners(cells, table, series, number, parts))
    return tuple(answer)


def _carries(line: SheetCells) -> bool:
    return "carry_amps" in line and bool(line["carry_amps"].text)


def _without_seconds(shared: SheetCells) -> SheetCells:
    """What is shared by a line that states no carry_amps, which carry_seconds would belong to."""
    return {column: cell for column, cell in shared.items() if column != "carry_seconds"}


def _lines(table: Table, shared: SheetCells) -> Iterator[SheetCells]:
    """What each rating states beside what is shared."""
    rows = rows_in(table, _TABLE) if "rows" in table or "columns" in table else [SheetCells()]
    for row in rows:
        for line in _by_contact(row, table.report):
            for column in line.keys() & shared.keys():
                expected = f"{column} in the rows or beside them, not in both"
                table.report.problems.append(line[column].place.tells(expected, line[column].text))
            yield line


def _by_contact(row: SheetCells, report: Report) -> Iterator[SheetCells]:
    """The row itself, or where it states both contacts beside each other a line for each that has a figure."""
    own = [column for column in row if column not in _COLUMNS]
    if not own:
        yield row
        return
    told = {column: cell for column, cell in row.items() if column not in own}
    if "contact" in told:
        expected = "either contact, or make_ and break_ before what each bears"
        report.problems.append(row["contact"].place.tells(expected, "both"))
        return
    stated = {contact: _of(contact, row) for contact in _CONTACTS}
    if not any(stated.values()):
        report.problems.append(row[own[0]].place.tells("a figure for one of the contacts", "none"))
    for contact, cells in stated.items():
        if cells:
            yield told | {"contact": SheetCell(contact, next(iter(cells.values())).place)} | cells


def _of(contact: str, row: SheetCells) -> SheetCells:
    """What the row states of this contact alone."""
    own = {c.removeprefix(f"{contact}_"): cell for c, cell in row.items() if c.startswith(f"{contact}_") and cell.text}
    return {column: cell for column, cell in own.items() if column in _OF_A_CONTACT}


def _owners(cells: SheetCells, table: Table, series: str, number: OrderCode, parts: Sequence[Coded]) -> list[str]:
    """Whom a line is for."""
    stated = cells.get("applies_to")
    named = stated.text if stated else series
    if named and named == series:
        return [series]
    meant = [part.number for part in parts if is_meant(named, part)]
    if parts and not meant:
        near = is_it(named, [series, *(part.number for part in parts)])
        place = stated.place if stated else place_in(table, "rows")
        expected = f"the series, or a part number that {number.template} makes{near}"
        table.report.problems.append(place.tells(expected, named or "nothing"))
    return meant


def _rating(cells: SheetCells, owner: str, table: Table) -> Rating:
    problems: list[Problem] = []
    rating: Rating = made(Rating, texts_of(cells, _NEEDED) | {"applies_to": owner}, problems)
    beside = place_in(table, "rows")
    row = next((cell.place for cell in cells.values() if cell.place.line > beside.line), beside)
    for problem in problems or rating_problems(rating):
        stated = cells.get(problem.column)
        place = stated.place if stated else replace(row, key=f"ratings.{problem.column}")
        table.report.problems.append(place.takes(problem))
    return rating
