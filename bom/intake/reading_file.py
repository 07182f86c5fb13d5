"""How a spreadsheet is read, from its TOML: [reading], which names the shop's own headings once.

A column that begins with a question mark was proposed and nobody has looked at it yet: it is refused until somebody
takes the mark away, names another column, or leaves the heading out with "".
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path

from bom.intake.kinds_of_list import KindOfList, kind_of_list
from bom.intake.rows import Report, is_it
from bom.intake.tables import Table, read_toml
from bom.values.column import Column, Holds, keys, table, text, whole, word
from bom.values.problem import Refused
from bom.values.reading import LISTS, Reading

DECIMALS, ORDERS = (".", ","), ("d/m/y", "m/d/y")
READING = keys(
    of=word(LISTS, "What its rows are.", "stock", needed=True),
    sheet=text("The sheet's name; without it the one with these headings.", "Relays"),
    heading_row=whole("The row of the headings, 1 = the first; without it they are looked for.", "4", least=1),
    decimal=word(DECIMALS, "The decimal sign in cells of text; without it they decide.", '","'),
    days=word(ORDERS, "The order of days written with strokes; without it they decide.", '"d/m/y"'),
    sections=text("The column that the titles of sections fill.", "series"),
    columns=table('Each heading and the column it is; "" leaves it out.', '"Artikel" = "part_number"'),
    units=table("A heading and the unit of its bare numbers, where it is not the column's.", '"Height" = "in"'),
    every_row=table("What each row states in columns that the sheet has not.", 'currency = "EUR"'),
)
UNSURE = "?"


def read_reading(path: Path) -> Reading:
    """The reading in this file; raises ``ProblemsFound`` with every problem."""
    report = Report()
    outer = read_toml(path, report)
    reading = _reading(outer) if outer is not None else None
    return report.taken(reading or Reading("", {})).value


def _reading(outer: Table) -> Reading | None:
    own = outer.needed_table("reading")
    own.knows(READING)
    of = own.read(READING["of"])
    sheet, row = own.text("sheet"), own.read(READING["heading_row"]) or 0
    decimal, days = own.read(READING["decimal"]), own.read(READING["days"])
    sections, columns = own.text("sections"), _texts(own, "columns")
    units, every_row = _texts(own, "units"), _texts(own, "every_row")
    outer.leave()
    if of not in LISTS:
        return None
    kind = kind_of_list(of)
    _check_columns(own, kind, columns)
    _check_units(own, kind, columns, units)
    _check_every_row(own, kind, columns, every_row)
    if sections.startswith(UNSURE):
        own.wrong("sections", f"{sections.removeprefix(UNSURE).strip()!r}, where that is so, or no such line", sections)
    elif sections and sections not in kind.columns:
        own.wrong("sections", f"a column of {of}{is_it(sections, kind.columns)}", sections)
    return Reading(of, columns, sheet, row, decimal or "", days or "", sections, units, every_row)


def _texts(own: Table, key: str) -> dict[str, str]:
    """A table of texts by keys of the shop's own."""
    if (inner := own.table(key)) is None:
        if key == "columns" and key not in own:
            own.wrong(key, "a table [reading.columns] with every heading of the sheet", "nothing")
        return {}
    return {name: inner.text(name) for name in inner.values}


def _inner(own: Table, key: str) -> Table:
    return own.table(key) or own


def _check_columns(own: Table, kind: KindOfList, columns: Mapping[str, str]) -> None:
    inner, met = _inner(own, "columns"), dict[str, str]()
    for heading, column in columns.items():
        if column.startswith(UNSURE):
            meant = column.removeprefix(UNSURE).strip()
            sure = f'"{meant}", where that is what it means, ' if meant else "the column it is, "
            inner.wrong(heading, f'{sure}or "" to leave it out', column)
        elif column and column not in kind.columns:
            inner.wrong(heading, f'a column of {kind.of}{is_it(column, kind.columns)}, or "" to leave it out', column)
        elif column and column in met:
            inner.wrong(heading, f"each column once ({met[column]!r} is {column} too)", column)
        met.setdefault(column, heading)
    if columns and not any(columns.values()):
        inner.wrong("", f"at least one heading that is a column of {kind.of}", "none")


def _check_units(own: Table, kind: KindOfList, columns: Mapping[str, str], units: Mapping[str, str]) -> None:
    inner = _inner(own, "units")
    for heading, unit in units.items():
        column = kind.columns.get(columns.get(heading, ""))
        if column is None:
            inner.wrong(heading, f"a heading that [reading.columns] names{is_it(heading, columns)}", heading)
        elif column.holds is Holds.AMOUNT or not column.unit:
            inner.wrong(heading, f"no unit, since {column.name} has none", unit)
        else:
            _check_unit(inner, heading, column, unit)


def _check_unit(inner: Table, heading: str, column: Column, unit: str) -> None:
    try:
        column.unbounded.read(f"1 {unit}")
    except Refused:
        inner.wrong(heading, f"a unit that {column.name} can be in, such as {column.sign}", unit)


def _check_every_row(own: Table, kind: KindOfList, columns: Mapping[str, str], every_row: Mapping[str, str]) -> None:
    inner = _inner(own, "every_row")
    for column, value in every_row.items():
        known = kind.columns.get(column)
        if known is None:
            inner.wrong(column, f"a column of {kind.of}{is_it(column, kind.columns)}", column)
        elif not value or value.startswith(UNSURE):
            inner.wrong(column, f"what each row states there, as in {known.example}", value or "empty text")
        elif column in columns.values():
            inner.wrong(column, "a column that no heading names", "one that [reading.columns] names")
        else:
            try:
                known.read(value)
            except Refused as refused:
                inner.wrong(column, str(refused), value)


def reading_of_text(name: str, written: str) -> Reading | None:
    """A reading that was kept; None where it is none any more, since a column was renamed."""
    report = Report()
    try:
        outer = Table(tomllib.loads(written), name, "", 0, written.splitlines(), report)
    except tomllib.TOMLDecodeError:
        return None
    reading = _reading(outer)
    return None if report.problems else reading
