"""Knows how our tables and catalogues look as CSV: tables are safe to open, catalogues are exact to read again.

A table for people has every text quoted and a single quote before text that a spreadsheet would run; a catalogue
is data for an importer, so its text stands exactly as it is.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import fields, replace
from decimal import Decimal
from enum import Enum
from pathlib import Path

from bom.boards.board import Hole, HolePattern
from bom.paper.writing import write_text, written_whole
from bom.relays.catalogue import Catalogue
from bom.relays.footprint import Footprint
from bom.relays.relay import Rating, Relay, SupplyPart
from bom.relays.wiring import Element, Kind

# What makes a spreadsheet read a field as a formula. Source: OWASP, CSV Injection (with TAB, CR, LF and the full-width
# signs); NUL from OWASP ASVS 5, requirement 1.2.10.
TRIGGERS = ("=", "+", "-", "@", "\t", "\r", "\n", "\0", "＝", "＋", "－", "＠")

# The column orders of a catalogue's files. Our classes have the files' names in the files' order.
RELAY_COLUMNS = tuple(f.name for f in fields(Relay))
RATING_COLUMNS = tuple(f.name for f in fields(Rating))
SUPPLY_COLUMNS = tuple(f.name for f in fields(SupplyPart))
_BODY = ("body_x_mm", "body_y_mm")
FOOTPRINT_COLUMNS = (
    *("footprint", "pin", "x_mm", "y_mm", "lead_mm", "lead_width_mm", "lead_angle_deg", "view"),
    *(*_BODY, "error_mm"),
)
WIRING_COLUMNS = ("wiring", "unit", "pole", "element", "from_pin", "to_pin", "polarised", "transfer")

Cell = str | int | float | Decimal | None
_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?([eE][-+]?[0-9]+)?")


def free_text(text: str) -> str:
    """Text that no spreadsheet runs: a single quote goes before a formula trigger, also behind leading blanks."""
    runs = text.startswith(TRIGGERS) or text.lstrip(" \u00a0\ufeff").startswith(TRIGGERS)
    return f"'{text}" if runs else text


def write_table(path: Path, header: Sequence[str], rows: Iterable[Sequence[Cell]], marked: bool = False) -> None:
    """A table for people as CSV (RFC 4180). ``marked`` puts a byte order mark first, which some spreadsheets need."""
    write_text(path, table_text(header, rows), "utf-8-sig" if marked else "utf-8")


def table_text(header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """The table as text. Numbers stand bare; every text is quoted, since another locale may split at ; or TAB."""
    out = io.StringIO()
    writer = csv.writer(out, quoting=csv.QUOTE_NONNUMERIC)
    for row in (header, *rows):
        writer.writerow([_shown(cell) for cell in row])
    return out.getvalue()


def write_catalogue(folder: Path, catalogue: Catalogue, relays: Iterable[Relay] | None = None) -> int:
    """The five files of a catalogue folder; taking them in again changes nothing. How many relays went out.

    ``relays`` are written as they come, in place of the catalogue's own. A footprint without pins or a wiring without
    elements has no row, so neither can be told.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in catalogue_files(replace(catalogue, relays=())).items():
        if name != "relays.csv":
            write_text(folder / name, text)
    return _write_relays(folder / "relays.csv", catalogue.relays if relays is None else relays)


def _write_relays(path: Path, relays: Iterable[Relay]) -> int:
    count = 0
    with written_whole(path) as draft, draft.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(RELAY_COLUMNS)
        for relay in relays:
            writer.writerow(_fields(relay, RELAY_COLUMNS))
            count += 1
    return count


def catalogue_files(catalogue: Catalogue) -> dict[str, str]:
    """File name to CSV text, for the five files."""
    return {
        "relays.csv": _exact(RELAY_COLUMNS, (_fields(r, RELAY_COLUMNS) for r in catalogue.relays)),
        "footprints.csv": _exact(FOOTPRINT_COLUMNS, _pin_rows(catalogue)),
        "wirings.csv": _exact(WIRING_COLUMNS, _element_rows(catalogue)),
        "ratings.csv": _exact(RATING_COLUMNS, (_fields(r, RATING_COLUMNS) for r in catalogue.ratings)),
        "supplies.csv": _exact(SUPPLY_COLUMNS, (_fields(s, SUPPLY_COLUMNS) for s in catalogue.supplies)),
    }


def holes_text(patterns: Iterable[HolePattern]) -> str:
    """The hole patterns as a board's CSV of holes; a column that few boards need stands only where a hole states it."""
    kept = list(patterns)
    own = [f.name for f in fields(Hole) if f.name != "name"]
    shown = [n for n in own if n in _HOLES_ALWAYS or any(getattr(h, n) is not None for p in kept for h in p.holes)]
    rows = ([p.name, h.name, *_fields(h, shown), p.view.value] for p in kept for h in p.holes)
    return _exact(("pattern", "hole", *shown, "view"), rows)


_HOLES_ALWAYS = ("x_mm", "y_mm", "drill_mm", "net")


def drawn_pins(footprint: Footprint) -> str:
    """A catalogue's footprints.csv of one drawing."""
    return _exact(FOOTPRINT_COLUMNS, _rows_of_pins(footprint.name, footprint))


def number_text(value: float | int | Decimal) -> str:
    """The shortest text that reads back as the same number: 12 and not 12.0."""
    text = str(value)
    return text.removesuffix(".0")


def _pin_rows(catalogue: Catalogue) -> Iterator[list[str]]:
    for name, footprint in catalogue.footprints.items():
        yield from _rows_of_pins(name, footprint)


def _rows_of_pins(name: str, footprint: Footprint) -> Iterator[list[str]]:
    for pin in footprint.pins:
        middle = _fields(pin, FOOTPRINT_COLUMNS[2:7])
        yield [name, pin.name, *middle, footprint.view.value, *_body(footprint), _stated(pin.error_mm)]


def _body(footprint: Footprint) -> tuple[str, str]:
    x, y = footprint.body_mm or (None, None)
    return ("", "") if x is None or y is None else (number_text(x), number_text(y))


def _element_rows(catalogue: Catalogue) -> Iterator[list[str]]:
    for name, wiring in catalogue.wirings.items():
        for e in wiring.elements:
            yield [name, e.unit, e.pole, e.kind.value, e.from_pin, e.to_pin, _polarised(e), e.transfer or ""]


def _polarised(element: Element) -> str:
    if element.polarised:
        return "yes"
    return "no" if element.kind is Kind.COIL else ""


def _fields(thing: object, names: Sequence[str]) -> list[str]:
    return [_stated(getattr(thing, name)) for name in names]


def _stated(value: object) -> str:
    """A value as a catalogue writes it; not stated is empty."""
    if value is None:
        return ""
    if isinstance(value, Enum):
        return str(value.value)
    return number_text(value) if isinstance(value, int | float | Decimal) else str(value)


def _exact(header: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return out.getvalue()


def _shown(cell: Cell) -> Cell:
    if cell is None:
        return ""
    return cell if _is_number(cell) else free_text(str(cell))


def _is_number(cell: Cell) -> bool:
    """Only what we made as a number ourselves and what is written as one; a text of digits is a part number."""
    return isinstance(cell, int | float | Decimal) and _NUMBER.fullmatch(str(cell)) is not None
