"""The pins and the wirings of a series sheet: a line for all pins, a line for each unit, or a trade name with its pins.

What a line cannot say, such as a pin whose name has a comma in it, stands as a table with the columns of the CSV file.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import TypeVar

from bom.intake.drawings import FOOTPRINT_COLUMNS
from bom.intake.rows import is_it
from bom.intake.sheet_rows import Place, place_in, rows_in, texts_of
from bom.intake.tables import Table
from bom.relays.checks import footprint_problems, wiring_problems
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.in_a_line import LEAD, Leads, lead_in, names_in, pins_in, pins_line, unit_in, unit_lines, wiring_of
from bom.relays.pin_grids import LAYOUTS, dual_in_line, in_line
from bom.relays.usual_wirings import USUAL, usual_wiring
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.column import Column, Words, described, keys, made, number, table, text, texts, whole, word
from bom.values.problem import Problem

PIN_COLUMNS = described(Pin)
ELEMENT_COLUMNS = described(Element)
FOOTPRINT = keys(
    name=text("The drawing's name, which parts name; without it maker and series.", "OST-TW2"),
    view=FOOTPRINT_COLUMNS["view"],
    pins=text("Every pin and its place in mm, to the right and downwards, a comma between two.", "A1 0/0, A2 0/5"),
    lead=text("The lead of every pin in mm: round, flat, or flat and turned.", "0.8 x 0.5 at 90"),
    leads=table("The leads of those pins that have another one.", '{ "A1, A2" = "0.6" }'),
    pitch_mm=number("mm", "The places of the pins count in steps of this.", "2.54", above=0),
    layout=word(LAYOUTS, "How the pins stand, so that their numbers alone place them, at this pitch.", "dual in line"),
    rows_mm=number("mm", "How far the two rows of a dual in-line body are apart.", "7.62", above=0),
    of_pins=whole("How many pins a dual in-line body has places for.", "14", least=2),
    body_x_mm=FOOTPRINT_COLUMNS["body_x_mm"],
    body_y_mm=FOOTPRINT_COLUMNS["body_y_mm"],
    columns=texts("In the place of pins: columns of footprints.csv.", '["pin", "x_mm", "y_mm"]'),
    rows=text("One list for each pin.", '["A1", 0, 5]'),
)
WIRING = keys(
    name=text("The wiring's name, which parts name; without it maker and series.", "twin-2c"),
    unit=table(
        "A line for each unit: its coil, (+) at the pin that must be plus; its contacts; its bridges.",
        '{ A = "coil 2(+) 1; common 3 make 4 break 5; bridge 5 6" }',
    ),
    usual=word(
        Words(tuple(USUAL)),
        "What the trade calls it, in the place of units; its pins stand in pins.",
        "twin changeover",
    ),
    like=text("Another wiring of the sheet, in the place of units, where only coil ends differ.", "twin-2c"),
    plus=text("The coil ends of it that must be plus, as where a diode lies across the coil.", "2, 7"),
    pins=text(
        "The pins of a usual wiring, in the places that bom explain usual-wirings gives.", "2 1 3 4 5, 7 6 8 9 10"
    ),
    columns=texts("In the place of units: columns of wirings.csv.", '["unit", "element", "from_pin", "to_pin"]'),
    rows=text("One list for each coil, contact or bridge.", '["A", "coil", "2", "1"]'),
)


@dataclass(slots=True)
class SheetDrawings:
    """The drawings of a sheet by name, and where each stands, by the column that names it."""

    footprints: dict[str, Footprint] = field(default_factory=dict)
    wirings: dict[str, Wiring] = field(default_factory=dict)
    places: dict[tuple[str, str], Place] = field(default_factory=dict)


def drawings_in(outer: Table, called: str) -> SheetDrawings:
    """The drawings of the sheet; one without a name is ``called`` so."""
    found = SheetDrawings()
    for drawn in _each(outer, "footprint"):
        _keep(found, found.footprints, "footprint", _footprint(drawn, drawn.text("name") or called), drawn)
    for drawn in _each(outer, "wiring"):
        wiring = _wiring(drawn, drawn.text("name") or called, found.wirings)
        _keep(found, found.wirings, "wiring", wiring, drawn)
    return found


def _each(outer: Table, key: str) -> tuple[Table, ...]:
    """One table under this heading, or several."""
    if isinstance(outer.values.get(key), list):
        return outer.tables(key)
    return () if (only := outer.table(key)) is None else (only,)


T = TypeVar("T", Footprint, Wiring)


def _keep(found: SheetDrawings, kept: dict[str, T], column: str, drawing: T, table: Table) -> None:
    if drawing.name in kept:
        table.wrong("name", f"each {column} once, by a name of its own", drawing.name)
    kept[drawing.name] = drawing
    found.places[column, drawing.name] = Place(table.file, table.line, column)


def _footprint(table: Table, name: str) -> Footprint:
    values = table.values_of(FOOTPRINT, "pins", "lead", "leads", "columns", "rows")
    pins, places = _rows_of_pins(table) if _by_rows(table, "pins") else _pins(table, values)
    view = values["view"] or View.UNKNOWN
    footprint = Footprint(name, pins, view, _body(table, values))
    _tell(table, "pins", footprint_problems(footprint), places)
    return footprint


def _by_rows(table: Table, line: str) -> bool:
    """Whether a drawing stands as a table of rows; it may not stand as a line besides, and must stand as one."""
    rows = "rows" in table or "columns" in table
    if rows and line in table:
        table.wrong(line, f"either {line}, or columns and rows", "both")
    return rows


def _pins(table: Table, values: Mapping[str, object]) -> tuple[tuple[Pin, ...], None]:
    """The pins of a line, or of a list with one pin each."""
    stated = table.get("pins")
    if not stated or not (isinstance(stated, str) or all(isinstance(one, str) for one in stated)):
        table.wrong("pins", f"{FOOTPRINT['pins'].meaning} as in {FOOTPRINT['pins'].example}", stated or "nothing")
        return (), None
    problems: list[Problem] = []
    pitch = values["pitch_mm"] if isinstance(values["pitch_mm"], float) else None
    if values["layout"]:
        stated = _laid_out(table, stated, values)
        pitch = None
    pins = pins_in(stated, _leads(table), problems, pitch)
    for problem in problems:
        table.wrong("pins", problem.expected, problem.found)
    if (pitch or values["layout"]) and not problems:
        how = values["layout"] or f"in steps of {pitch:g} mm"
        table.report.note(f"{table.file}: pins {how}: {pins_line(pins)}")
    if strangers := sorted(_leads(table).keys() - {pin.name for pin in pins} - {""}):
        table.wrong("leads", "pins of this footprint", ", ".join(strangers))
    return pins, None


def _laid_out(table: Table, stated: str | Sequence[str], values: Mapping[str, object]) -> list[str]:
    """The pins of a layout, whose numbers say where they stand, each with its place."""
    layout, pitch = values["layout"], _exact(table, "pitch_mm")
    dual = layout == "dual in line"
    rows, places = _exact(table, "rows_mm") if dual else Decimal(0), values["of_pins"] if dual else 10**6
    if pitch is None or rows is None or not isinstance(places, int):
        wanted = "pitch_mm, rows_mm and of_pins" if dual else "pitch_mm"
        table.wrong("layout", f"{wanted} beside it", layout)
        return []
    names = names_in(stated) if isinstance(stated, str) else list(stated)
    if strange := [n for n in names if not n.isascii() or not n.isdigit() or not 1 <= int(n) <= places]:
        table.wrong("pins", f"the numbers of the pins, as in 1, 2, 6, {layout} having no other", ", ".join(strange))
        return []
    at = {n: dual_in_line(int(n), pitch, rows, places) if dual else in_line(int(n), pitch) for n in names}
    return [f"{name} {x}/{y}" for name, (x, y) in at.items()]


def _exact(table: Table, key: str) -> Decimal | None:
    return table.exact(FOOTPRINT[key])


def _leads(table: Table) -> Leads:
    """The lead of all pins, and of those that have another."""
    answer = {"": _lead(table, "lead")}
    others = table.table("leads")
    for names in others.values if others is not None else ():
        if others is not None:
            answer |= dict.fromkeys(names_in(names), _lead(others, names))
    return answer


def _lead(table: Table, key: str) -> Mapping[str, str]:
    value = table.get(key)
    text = str(value) if isinstance(value, int | Decimal) and not isinstance(value, bool) else value
    lead = lead_in(text or "") if isinstance(text, str | None) else None
    if lead is None:
        table.wrong(key, LEAD, value)
    return lead or {}


def _body(table: Table, values: Mapping[str, object]) -> tuple[float, float] | None:
    x, y = values["body_x_mm"], values["body_y_mm"]
    if (x is None) is not (y is None):
        table.wrong("body_x_mm" if x is None else "body_y_mm", "both of body_x_mm and body_y_mm", "one")
    return (x, y) if isinstance(x, float) and isinstance(y, float) else None


def _rows_of_pins(table: Table) -> tuple[tuple[Pin, ...], list[Place]]:
    for key in ("lead", "leads", "pitch_mm", "layout"):
        if key in table:
            table.wrong(key, "nothing beside rows, which state each pin whole", table.get(key))
    return _things(table, PIN_COLUMNS, Pin)


def _wiring(table: Table, name: str, before: Mapping[str, Wiring]) -> Wiring:
    values = table.values_of(WIRING, "unit", "columns", "rows")
    ways = [key for key in ("unit", "usual", "like", "rows") if key in table]
    if len(ways) != 1:
        expected = "one of: a line for each unit, a usual wiring with its pins, like and plus, or columns and rows"
        table.wrong(ways[1] if ways else "unit", expected, " and ".join(ways) or "nothing")
        return Wiring(name, ())
    if "pins" in table and "usual" not in table:
        table.wrong("pins", "usual beside it, whose pins these are", values["pins"])
    if "rows" in table:
        elements, places = _things(table, ELEMENT_COLUMNS, Element)
        wiring = Wiring(name, elements)
        _tell(table, "rows", wiring_problems(wiring), places)
        return wiring
    if "plus" in table and "like" not in table:
        table.wrong("plus", "like beside it, whose coil ends these are", values["plus"])
    way = ways[0]
    wiring = (
        _usual(table, name, values)
        if way == "usual"
        else _alike(table, name, values, before)
        if way == "like"
        else _units(table, name)
    )
    _tell(table, way, wiring_problems(wiring), None)
    return wiring


def _alike(table: Table, name: str, values: Mapping[str, str], before: Mapping[str, Wiring]) -> Wiring:
    """Another wiring with these ends of its coils plus."""
    if (like := before.get(values["like"])) is None:
        table.wrong("like", f"a wiring that stands above{is_it(values['like'], before)}", values["like"] or "nothing")
        return Wiring(name, ())
    plus = names_in(values["plus"])
    if not plus:
        table.wrong("plus", "the coil ends that must be plus", "nothing")
    both = [pin for coil in like.coils if {*coil.pins} <= {*plus} for pin in coil.pins]
    if strange := both or [pin for pin in plus if not any(pin in coil.pins for coil in like.coils)]:
        table.wrong("plus", f"one end of a coil of {like.name}", ", ".join(strange))
    wiring = Wiring(name, tuple(_with_plus(element, plus) for element in like.elements))
    table.report.note(f"{table.file}: wiring {name}, {like.name} with plus at {', '.join(plus)}: {_in_words(wiring)}")
    return wiring


def _with_plus(element: Element, plus: Sequence[str]) -> Element:
    ends = [pin for pin in element.pins if pin in plus]
    if element.kind is not Kind.COIL or not ends:
        return element
    other = next((pin for pin in element.pins if pin != ends[0]), "")
    return replace(element, from_pin=ends[0], to_pin=other, polarised=True)


def _in_words(wiring: Wiring) -> str:
    return "; ".join(f"unit {unit} {line}" for unit, line in (unit_lines(wiring) or {}).items())


def _units(table: Table, name: str) -> Wiring:
    inner = table.table("unit")
    units = []
    for unit in inner.values if inner is not None else ():
        problems: list[Problem] = []
        if inner is not None:
            units.append(unit_in(unit, inner.text(unit), problems))
            for problem in problems:
                inner.wrong(unit, problem.expected, problem.found)
    if inner is not None and not units:
        table.wrong("unit", f"{WIRING['unit'].meaning} as in {WIRING['unit'].example}", "nothing")
    return wiring_of(name, units)


def _usual(table: Table, name: str, values: Mapping[str, str]) -> Wiring:
    usual = values["usual"]
    if not usual:
        return Wiring(name, ())
    problems: list[Problem] = []
    wiring = usual_wiring(name, usual, values["pins"].replace(",", " ").split(), problems)
    for problem in problems:
        table.wrong("pins", problem.expected, problem.found)
    if not problems:
        table.report.note(f"{table.file}: wiring {name}, {usual}: {_in_words(wiring)}")
    return wiring


P = TypeVar("P", Pin, Element)


def _things(table: Table, known: Mapping[str, Column], kind: type[P]) -> tuple[tuple[P, ...], list[Place]]:
    """One pin or element a row, and where each row stands."""
    needed = [name for name, column in known.items() if column.needed]
    things, places = list[P](), list[Place]()
    for row in rows_in(table, known):
        problems: list[Problem] = []
        things.append(made(kind, texts_of(row, needed), problems))
        places.append(next((cell.place for cell in row.values()), place_in(table, "rows")))
        for problem in problems:
            place = row[problem.column].place if problem.column in row else places[-1]
            table.report.problems.append(place.takes(problem))
    return tuple(things), places


def _tell(table: Table, key: str, problems: Iterable[Problem], places: Sequence[Place] | None) -> None:
    """Problems of a whole drawing: at the row of the pin or element where there are rows, else at the line."""
    for problem in problems:
        if places:
            table.report.problems.append(places[problem.line - 1].takes(problem))
        else:
            table.wrong(key, problem.expected, problem.found)
