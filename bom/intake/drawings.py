"""Footprints, hole patterns and wirings from their CSV files: in a catalogue, beside a board, or loose.

Loose ones belong to no catalogue and no board: one footprint, one hole pattern, some wirings, each from its own file.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from bom.boards.board import Hole, HolePattern
from bom.intake.rows import Cells, Report
from bom.intake.shop_list import ShopList, rows_of
from bom.relays.checks import footprint_problems, placed_problems, wiring_problems
from bom.relays.footprint import VIEW, Footprint, Pin, View
from bom.relays.wiring import Element, Wiring
from bom.values.column import Column, described, text
from bom.values.problem import Problem
from bom.values.reading import PLAIN, HowRead

FOOTPRINT_COLUMNS = {**described(Footprint), **described(Pin)}
HOLE_COLUMNS = {**described(HolePattern), **described(Hole)}
_WIRING = text("The wiring's name, which relays name.", "twin-2c", needed=True, name="wiring")
WIRING_COLUMNS = {"wiring": _WIRING, **described(Element)}
_BODY = ("body_x_mm", "body_y_mm")


def footprints_in(path: Path | ShopList, report: Report, *, named: bool = True) -> dict[str, Footprint]:
    """Name to footprint. ``named`` False lets the *footprint* column be absent, the name then being empty."""
    groups = _grouped(as_list(path, "footprints"), "footprint", FOOTPRINT_COLUMNS, named, report)
    return {name: _footprint(name, rows) for name, rows in groups.items()}


def patterns_in(path: Path | ShopList, report: Report, *, named: bool = True) -> dict[str, HolePattern]:
    """Name to hole pattern. ``named`` False lets the *pattern* column be absent, the name then being
    empty."""
    groups = _grouped(as_list(path, "holes"), "pattern", HOLE_COLUMNS, named, report)
    return {name: _pattern(name, rows) for name, rows in groups.items()}


def wirings_in(path: Path | ShopList, report: Report) -> dict[str, Wiring]:
    """Name to wiring."""
    groups = _grouped(as_list(path, "wirings"), "wiring", WIRING_COLUMNS, True, report)
    return {name: _wiring(name, rows) for name, rows in groups.items()}


def as_list(file: Path | ShopList, of: str) -> ShopList:
    """A file as the list that it is taken for."""
    return file if isinstance(file, ShopList) else ShopList(file, of)


def _footprint(name: str, rows: Sequence[Cells]) -> Footprint:
    before = _problems(rows)
    footprint = Footprint(name, tuple(cells.made(Pin) for cells in rows), _view(rows), _body(rows))
    _tell(rows, footprint_problems(footprint), before)
    return footprint


def _pattern(name: str, rows: Sequence[Cells]) -> HolePattern:
    before = _problems(rows)
    pattern = HolePattern(name, tuple(cells.made(Hole) for cells in rows), _view(rows))
    _tell(rows, (*placed_problems(pattern.holes, "hole"), *_slot_problems(pattern)), before)
    return pattern


def _slot_problems(pattern: HolePattern) -> Iterator[Problem]:
    """A slot that is shorter than wide, of unknown width, or an angle of none."""
    for row, hole in enumerate(pattern.holes, 1):
        if hole.slot_mm is None:
            if hole.slot_angle_deg is not None:
                yield Problem("", row, "slot_angle_deg", "slot_mm beside it", f"{hole.slot_angle_deg:g}")
        elif hole.drill_mm is None:
            yield Problem("", row, "drill_mm", "the slot's width", "nothing")
        elif hole.slot_mm < hole.drill_mm:
            expected = f"no less than drill_mm, the slot's width, which is {hole.drill_mm:g}"
            yield Problem("", row, "slot_mm", expected, f"{hole.slot_mm:g}")


def _wiring(name: str, rows: Sequence[Cells]) -> Wiring:
    before = _problems(rows)
    wiring = Wiring(name, tuple(cells.made(Element) for cells in rows))
    _tell(rows, wiring_problems(wiring), before)
    return wiring


def _problems(rows: Sequence[Cells]) -> int:
    return len(rows[0].report.problems)


def _tell(rows: Sequence[Cells], problems: Iterable[Problem], before: int) -> None:
    """Problems of a whole drawing, each at its row; none where a row could not be read, as they may follow from it."""
    if _problems(rows) == before:
        for problem in problems:
            rows[problem.line - 1].tell([problem])


def _grouped(
    shop_list: ShopList, key: str, known: Mapping[str, Column], named: bool, report: Report
) -> dict[str, list[Cells]]:
    needed = [name for name, column in known.items() if column.needed and (named or name != key)]
    groups: dict[str, list[Cells]] = defaultdict(list)
    for row in rows_of(shop_list, needed, known, report):
        cells = Cells(row, report)
        groups[cells.needed(key) if named else cells.text(key)].append(cells)
    return groups


def _view(rows: Sequence[Cells]) -> View:
    """The one view a drawing has; not stated is *unknown*, and two views in one drawing are a problem."""
    views = [cells.read(VIEW) or View.UNKNOWN for cells in rows]
    for cells, view in zip(rows, views, strict=True):
        if view is not views[0]:
            cells.wrong("view", f"the same view as the drawing's first row ({views[0]})", cells.text("view"))
    return views[0]


def _body(rows: Sequence[Cells]) -> tuple[float, float] | None:
    """The middle of the body where any row states it; two rows that disagree, or half of it, are a problem."""
    x_mm, y_mm = (FOOTPRINT_COLUMNS[name] for name in _BODY)
    stated = [(cells, cells.read(x_mm), cells.read(y_mm)) for cells in rows]
    known = [(cells, x, y) for cells, x, y in stated if x is not None or y is not None]
    for cells, x, y in known:
        if x is None or y is None:
            cells.wrong(_BODY[x is not None], "both of body_x_mm and body_y_mm", "one")
        elif (x, y) != known[0][1:]:
            cells.wrong(_BODY[0], "the same middle of the body as in the drawing's other rows", f"{x:g}, {y:g}")
    return next(((x, y) for _, x, y in known if x is not None and y is not None), None)


T = TypeVar("T", Footprint, HolePattern)


@dataclass(frozen=True, slots=True)
class Loose:
    """What the files of one trial hold: the pins, the holes they are tried in, and wirings by name."""

    pins: Footprint
    holes: HolePattern
    wirings: dict[str, Wiring]


def read_loose(
    pins: Path,
    holes: Path,
    wirings: Path | None = None,
    pattern: str | None = None,
    leave_out: Sequence[str] = (),
    how: HowRead = PLAIN,
) -> Loose:
    """The files of one trial; ``pattern`` chooses among several hole patterns, ``leave_out`` names one's own columns,
    ``how`` says how spreadsheets are read.

    Raises ``ProblemsFound`` with every problem of every file.
    """
    report = Report(how=how).leave_out(leave_out)
    found = pins_in(pins, report), holes_in(holes, report, pattern), wirings_in(wirings, report) if wirings else {}
    return Loose(*report.taken(found).value)


def pins_in(path: Path, report: Report) -> Footprint:
    """The one footprint in this file; its *footprint* column may be absent."""
    found = footprints_in(ShopList(path, "pins"), report, named=False)
    return _only(path, "footprint", found, report) or Footprint("", ())


def holes_in(path: Path, report: Report, pattern: str | None = None) -> HolePattern:
    """The one hole pattern in this file, or the one of this name among several; its *pattern* column may be absent."""
    before = len(report.problems)
    found = patterns_in(path, report, named=False)
    if pattern is None:
        return _only(path, "pattern", found, report, "; --pattern NAME chooses one") or HolePattern("", ())
    if pattern not in found and len(report.problems) == before:
        report.wrong(path.name, 0, "pattern", "one of: " + " | ".join(filter(None, found)), pattern)
    return found.get(pattern) or HolePattern(pattern, ())


def _only(path: Path, column: str, found: dict[str, T], report: Report, hint: str = "") -> T | None:
    if len(found) != 1 and not any(p.file.startswith(path.name) for p in report.problems):
        names = ", ".join(found) or "none"
        report.wrong(path.name, 0, column, f"one {column} in the file{hint if found else ''}", names)
    return next(iter(found.values()), None)
