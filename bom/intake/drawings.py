"""Footprints, hole patterns and wirings from their CSV files, wherever those lie: in a catalogue, beside a
board, or loose."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import TypeVar

from bom.boards.board import Hole, HolePattern
from bom.intake.rows import Cells, Report, number_in, rows_of
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.wiring import Element, Kind, Transfer, Wiring

_BODY = ("body_x_mm", "body_y_mm")  # the middle of the body, the same in every row that states it
FOOTPRINT_COLUMNS = ("footprint", "pin", "x_mm", "y_mm", "lead_mm", "lead_width_mm", "lead_angle_deg", "view", *_BODY)
HOLE_COLUMNS = ("pattern", "hole", "x_mm", "y_mm", "drill_mm", "net", "view")
WIRING_COLUMNS = ("wiring", "unit", "pole", "element", "from_pin", "to_pin", "polarised", "transfer")

P = TypeVar("P", Pin, Hole)


def footprints_in(path: Path, report: Report, *, named: bool = True) -> dict[str, Footprint]:
    """Name to footprint. ``named`` False lets the *footprint* column be absent, the name then being empty."""
    groups = _grouped(path, "footprint", FOOTPRINT_COLUMNS, ("pin", "x_mm", "y_mm"), named, report)
    return {
        name: Footprint(name, _places(rows, "pin", _pin), _view(rows), _body(rows)) for name, rows in groups.items()
    }


def patterns_in(path: Path, report: Report, *, named: bool = True) -> dict[str, HolePattern]:
    """Name to hole pattern. ``named`` False lets the *pattern* column be absent, the name then being
    empty."""
    groups = _grouped(path, "pattern", HOLE_COLUMNS, ("hole", "x_mm", "y_mm"), named, report)
    return {name: HolePattern(name, _places(rows, "hole", _hole), _view(rows)) for name, rows in groups.items()}


def wirings_in(path: Path, report: Report) -> dict[str, Wiring]:
    """Name to wiring."""
    groups = _grouped(path, "wiring", WIRING_COLUMNS, ("element", "from_pin", "to_pin"), True, report)
    return {name: Wiring(name, _elements(rows)) for name, rows in groups.items()}


def _grouped(
    path: Path, key: str, known: Sequence[str], required: Sequence[str], named: bool, report: Report
) -> dict[str, list[Cells]]:
    needed = (key, *required) if named else required
    groups: dict[str, list[Cells]] = defaultdict(list)
    for row in rows_of(path, needed, known, report):
        cells = Cells(path.name, row, report)
        groups[cells.needed(key) if named else cells.text(key)].append(cells)
    return groups


def _view(rows: list[Cells]) -> View:
    """The one view a drawing has; not stated is *unknown*, and two views in one drawing are a problem."""
    views = [_side(cells) for cells in rows]
    for cells, view in zip(rows, views, strict=True):
        if view is not views[0]:
            cells.wrong("view", f"the same view as the drawing's first row ({views[0]})", cells.text("view"))
    return views[0]


_OTHER_WORDS = {"bottom": "solder", "top": "component"}


def _side(cells: Cells) -> View:
    """The side as stated; another word for a side is refused with the word for it here."""
    found = cells.text("view")
    if (meant := _OTHER_WORDS.get(found.casefold())) is None:
        return cells.choice("view", View) or View.UNKNOWN
    cells.wrong("view", f"one of: {' | '.join(View)} ({found}: {meant})", found)
    return View.UNKNOWN


def _body(rows: list[Cells]) -> tuple[float, float] | None:
    """The middle of the body where any row states it; two rows that disagree, or half of it, are a problem."""
    stated = [(cells, cells.number(_BODY[0]), cells.number(_BODY[1])) for cells in rows]
    known = [(cells, x, y) for cells, x, y in stated if x is not None or y is not None]
    for cells, x, y in known:
        if x is None or y is None:
            cells.wrong(_BODY[x is not None], "both of body_x_mm and body_y_mm", "one")
        elif (x, y) != known[0][1:]:
            cells.wrong(_BODY[0], "the same middle of the body as in the drawing's other rows", f"{x:g}, {y:g}")
    return next(((x, y) for _, x, y in known if x is not None and y is not None), None)


def _places(rows: list[Cells], column: str, make: Callable[[Cells], P]) -> tuple[P, ...]:
    """Pins or holes, each name and each centre once."""
    made = [make(cells) for cells in rows]
    _once(rows, [p.name for p in made], column, f"each {column} once")
    _once(rows, map(_centre, rows), "x_mm", f"one {column} at a place")
    return tuple(made)


def _once(rows: list[Cells], keys: Iterable[str], column: str, expected: str) -> None:
    seen: set[str] = set()
    for cells, key in zip(rows, keys, strict=True):
        if key and key in seen:
            cells.wrong(column, expected, key)
        seen.add(key)


def _centre(cells: Cells) -> str:
    """The centre in words, nothing where it cannot be read."""
    x, y = (number_in(cells.text(column)) for column in ("x_mm", "y_mm"))
    return "" if x is None or y is None else f"{float(x) + 0.0:.12g}, {float(y) + 0.0:.12g}"


def _pin(cells: Cells) -> Pin:
    return Pin(
        cells.needed("pin"),
        cells.needed_number("x_mm"),
        cells.needed_number("y_mm"),
        cells.positive("lead_mm"),
        cells.positive("lead_width_mm"),
        cells.number("lead_angle_deg"),
    )


def _hole(cells: Cells) -> Hole:
    return Hole(
        cells.needed("hole"),
        cells.needed_number("x_mm"),
        cells.needed_number("y_mm"),
        cells.positive("drill_mm"),
        cells.text("net"),
    )


def _elements(rows: list[Cells]) -> tuple[Element, ...]:
    made = [_element(cells) for cells in rows]
    _once(rows, [repr(e) for e in made], "element", "each element once")
    return tuple(made)


def _element(cells: Cells) -> Element:
    cells.needed("element")
    kind = cells.choice("element", Kind) or Kind.BRIDGE
    ends = cells.needed("from_pin"), cells.needed("to_pin")
    if ends[0] and ends[0] == ends[1]:
        cells.wrong("to_pin", "another pin than from_pin", ends[1])
    polarised = cells.flag("polarised")
    if polarised and kind is not Kind.COIL:
        cells.wrong("polarised", "no or empty, as only a coil has polarity", cells.text("polarised"))
    transfer = cells.choice("transfer", Transfer)
    if transfer and kind not in (Kind.MAKE, Kind.BREAK):
        cells.wrong("transfer", "empty, as only a contact changes over", transfer)
    return Element(cells.text("unit"), cells.text("pole"), kind, *ends, polarised, transfer)
