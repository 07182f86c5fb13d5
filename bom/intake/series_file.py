"""A series sheet: one TOML file that states a series of relays as its data sheet prints it.

What all parts share stands once, the coil table has a row a code, each choice of the order code says what its codes
mean, and contacts are rated in one table; pins and wiring are a line each. From these the sheet makes every part
number with its own row of values, which then go through the checks of any catalogue row. Nothing is filled in that
the sheet does not say, but for what a percentage or a power makes of a coil, and that is told.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum
from math import prod
from operator import attrgetter
from pathlib import Path
from typing import Any

from bom.intake.relay_rows import RARE, SheetPart
from bom.intake.rows import Report, is_it, is_note, number_in
from bom.intake.series_coil import COIL_COLUMNS, Computed, coil_figures, in_words
from bom.intake.series_contacts import RATINGS, ratings_in
from bom.intake.series_drawings import FOOTPRINT, WIRING, drawings_in
from bom.intake.sheet_rows import Place, SheetCell, SheetCells, cells_in, place_in, rows_in, texts_of
from bom.intake.tables import Table, read_toml
from bom.relays.footprint import Footprint
from bom.relays.order_code import Coded, Codes, OrderCode, combinations, is_meant, places_in
from bom.relays.relay import Rating, Relay
from bom.relays.wiring import Wiring
from bom.values.column import Column, described, keys, made, text, texts, under
from bom.values.problem import Problem

SERIES = keys(
    maker=text("Who makes it.", "Ostrel", needed=True),
    name=text("The series, which its ratings are published for.", "TW2"),
    source=text("Where all of it was read, except what names a source of its own.", "data sheet 3/2019"),
    part_number=text(
        "How a part number is made: {coil} stands for the code of the coil table, {NAME} for a choice's.",
        "TW2-{coil}{seal}",
        needed=True,
    ),
    not_made=texts(
        "What the codes could make and the maker does not; a place left open means every code.",
        '["TW2-6F", "TW2-48{seal}"]',
    ),
)
MOST_PARTS = 10_000
"""So many part numbers the codes of one sheet may make: more than any series has. Own choice."""
_RELAY = described(Relay)
_OF_ALL = ("maker", "part_number", "series")
PART_COLUMNS: Mapping[str, Column] = {**{c: _RELAY[c] for c in _RELAY if c not in _OF_ALL}, **COIL_COLUMNS}
"""What may be stated of a part in [shared], in the coil table, by a choice and in a part's own table."""
CODE = text("What stands for this row in a part number; without this column coil_volts as it is written.", "12")
COIL_TABLE: Mapping[str, Column] = {**PART_COLUMNS, **keys(code=CODE)}

_RELAYS = "any column of relays.csv but maker, part_number and series (bom explain relays.csv)"
SERIES_KEYS = {
    **under("series", SERIES),
    **under("shared", keys(COLUMN=text(f"What all parts have in common: {_RELAYS}.", 'sealing = "RT III"'))),
    **under("shared", COIL_COLUMNS),
    **under(
        "coils",
        keys(
            columns=texts(
                f"The columns of the coil table: code, and {_RELAYS}.", '["code", "coil_volts", "coil_ohms"]'
            ),
            rows=text(
                "One list for each coil, in the order of the columns; empty text is not stated.", '["12", 12, 240]'
            ),
            code=CODE,
        ),
    ),
    **under(
        "choices.NAME",
        keys(
            CODE=text(
                f"What a code of this choice says of a part, {{}} for nothing: {_RELAYS}.", 'S = { sealing = "RT III" }'
            )
        ),
    ),
    **under(
        'parts."PART"',
        keys(
            COLUMN=text(
                f"What is so of this part alone, whatever stands above; empty text is not stated: {_RELAYS}.",
                'status = "obsolete"',
            )
        ),
    ),
    **under("ratings", RATINGS),
    **under("footprint", FOOTPRINT),
    **under("wiring", WIRING),
}
"""Every key of a series sheet by its path."""


@dataclass(frozen=True, slots=True)
class SeriesSheet:
    """What one sheet states; ``drawn`` says where each drawing stands, by the column and name that parts give it."""

    parts: tuple[SheetPart, ...] = ()
    footprints: Mapping[str, Footprint] = field(default_factory=dict)
    wirings: Mapping[str, Wiring] = field(default_factory=dict)
    ratings: tuple[Rating, ...] = ()
    drawn: Mapping[tuple[str, str], Place] = field(default_factory=dict)
    notes: tuple[str, ...] = ()


@dataclass(slots=True, eq=False)
class _Draft(Coded):
    """A part in the making: where it stands, and what is stated of it."""

    whole: Place
    cells: SheetCells


def read_series(path: Path, report: Report) -> SeriesSheet:
    """The sheet; every problem goes to ``report`` with its line. Its notes tell what names and percentages mean."""
    before, noted = len(report.problems), len(report.notes)
    if (outer := read_toml(path, report)) is None:
        return SeriesSheet()
    sheet = _sheet(outer, report, before)
    outer.leave()
    notes, report.notes[noted:] = tuple(report.notes[noted:]), []
    return replace(sheet, notes=notes)


def _sheet(outer: Table, report: Report, before: int) -> SeriesSheet:
    series = outer.needed_table("series")
    head = series.values_of(SERIES)
    called = " ".join(filter(None, (head["maker"], head["name"])))
    drawn = drawings_in(outer, called)
    number = OrderCode(head["part_number"])
    drafts = _drafts(outer, series, number, report)
    _name_the_usual(drafts, "footprint", called, drawn.footprints, drawn.places, report)
    _name_the_usual(drafts, "wiring", called, drawn.wirings, drawn.places, report)
    _compute_coils(outer, drafts, report)
    ratings = ratings_in(outer, head["name"], head["source"], number, drafts)
    parts = tuple(_part(draft, head, place_in(series, "source"), report) for draft in drafts)
    if len(report.problems) == before:
        _note_not_stated(outer, drafts, ratings, report)
    return SeriesSheet(parts, drawn.footprints, drawn.wirings, ratings, drawn.places)


def _drafts(outer: Table, series: Table, number: OrderCode, report: Report) -> list[_Draft]:
    """Every part that is made, with all that is stated of it: by a choice rather than by all, by itself rather than
    by either."""
    shared = _cells(outer.table("shared"))
    options = _options(outer, report)
    _check_places(outer, series, number, options)
    _check_once(shared, options, report)
    codes = {place: tuple(options[place]) for place in number.places if place in options}
    many = prod(map(len, codes.values()))
    if many > MOST_PARTS:
        series.wrong("part_number", f"codes that make at most {MOST_PARTS} numbers, those not made too", many)
    sound, here = set(number.places) == set(options) and many <= MOST_PARTS, place_in(series, "part_number")
    drafts = [_draft(number, chosen, options, shared, here) for chosen in combinations(codes)] if sound else []
    drafts = _without_those_not_made(series, number, drafts)
    _check_numbers(drafts, report)
    _state_own(outer, number, drafts)
    return drafts


def _cells(table: Table | None) -> SheetCells:
    return {} if table is None else cells_in(table, PART_COLUMNS)


Options = dict[str, dict[str, SheetCells]]
"""Place in the part number to its codes, each with what it says of a part."""


def _options(outer: Table, report: Report) -> Options:
    answer: Options = {}
    if (coils := outer.table("coils")) is not None:
        answer["coil"] = _coils(coils, report)
    if (choices := outer.table("choices")) is None:
        return answer
    for name, codes in choices.values.items():
        if is_note(name) and isinstance(codes, str):
            continue
        if name in ("coil", ""):
            choices.wrong(name, "another name than coil, which stands for the coil table", name)
        elif (choice := choices.table(name)) is not None:
            answer[name] = {code: _cells(choice.table(code)) for code in choice.values}
            if not codes:
                choices.wrong(name, 'a code and what it means, as in S = { sealing = "RT III" }', "nothing")
    return answer


def _coils(table: Table, report: Report) -> dict[str, SheetCells]:
    """Code to the row of the coil table."""
    answer: dict[str, SheetCells] = {}
    for row in rows_in(table, COIL_TABLE):
        code = row.get("code") or row.get("coil_volts")
        if code is None or not code.text or ("code" not in row and number_in(code.text) is None):
            where, found = (code.place, code.text) if code else (place_in(table, "columns"), "")
            report.problems.append(
                where.tells("a code that stands for this row in the part number", found or "nothing")
            )
        elif code.text in answer:
            report.problems.append(code.place.tells("each code once", code.text))
        else:
            answer[code.text] = row
    return answer


def _check_places(outer: Table, series: Table, number: OrderCode, options: Options) -> None:
    """Each place of the number has its codes, and each table of codes its place, once."""
    if not number.template:
        return
    for place in dict.fromkeys(number.places):
        if place not in options:
            series.wrong(
                "part_number", f"a table {_heading(place)} for {{{place}}}{is_it(place, options)}", number.template
            )
        if number.places.count(place) > 1:
            series.wrong("part_number", f"{{{place}}} once", number.template)
    for place in options:
        if place not in number.places:
            table, key = (outer, "coils") if place == "coil" else (outer.table("choices") or outer, place)
            near = is_it(place, number.places)
            table.wrong(key, f"a place {{{place}}} for it in part_number{near}", number.template)
    if set("{}") & set(number.filled(dict.fromkeys(number.places, ""))):
        series.wrong("part_number", "each place in braces, as in TW2-{coil}", number.template)


def _heading(place: str) -> str:
    return "[coils]" if place == "coil" else f"[choices.{place}]"


def _check_once(shared: SheetCells, options: Options, report: Report) -> None:
    """A column is told by the coil table or by one choice; only what all share may be told otherwise by a choice."""
    told_by: dict[str, str] = {}
    for place, codes in options.items():
        columns = {column: cell for cells in codes.values() for column, cell in cells.items() if column != "code"}
        for column, cell in columns.items():
            other = told_by.setdefault(column, place)
            if other != place or (place == "coil" and column in shared):
                where = "[shared]" if other == place else _heading(other)
                report.problems.append(cell.place.tells(f"{column} here or in {where}, not in both", cell.text))


def _draft(number: OrderCode, codes: Codes, options: Options, shared: SheetCells, here: Place) -> _Draft:
    cells, whole = dict(shared), here
    for place, code in codes.items():
        told = options[place][code]
        whole = next((cell.place for cell in told.values()), whole) if place == "coil" else whole
        cells |= told
    cells.pop("code", None)
    return _Draft(number.filled(codes), codes, whole, cells)


def _without_those_not_made(series: Table, number: OrderCode, drafts: list[_Draft]) -> list[_Draft]:
    kept = drafts
    for named in series.texts("not_made"):
        meant = _meant(series, "not_made", named, number, drafts)
        kept = [draft for draft in kept if draft not in meant]
    if drafts and not kept:
        series.wrong("not_made", "at least one part that is made", "none")
    return kept


def _meant(table: Table, key: str, named: str, number: OrderCode, drafts: Sequence[_Draft]) -> list[_Draft]:
    """The parts that a number, or one with places left open, means."""
    strange = [place for place in places_in(named) if place not in number.places]
    if strange:
        table.wrong(key, f"places of {number.template}{is_it(strange[0], number.places)}", named)
        return []
    meant = [draft for draft in drafts if is_meant(named, draft)]
    if drafts and not meant:
        near = is_it(named, [draft.number for draft in drafts])
        table.wrong(key, f"a part number that {number.template} makes{near}", named)
    return meant


def _check_numbers(drafts: Sequence[_Draft], report: Report) -> None:
    """Two ways of choosing codes never make one part number."""
    first: dict[str, _Draft] = {}
    for draft in drafts:
        if first.setdefault(draft.number, draft) is not draft:
            ways = (
                " ".join(f"{place} {code!r}" for place, code in d.codes.items()) for d in (first[draft.number], draft)
            )
            expected = f"codes that make each part number once ({' and '.join(ways)} make the same)"
            report.problems.append(draft.whole.tells(expected, draft.number))


def _state_own(outer: Table, number: OrderCode, drafts: Sequence[_Draft]) -> None:
    """What is so of one part alone, or of those that a number with open places means."""
    if (parts := outer.table("parts")) is None:
        return
    for named in parts.values:
        if is_note(named) and isinstance(parts.values[named], str):
            continue
        own = _cells(parts.table(named))
        for draft in _meant(parts, named, named, number, drafts):
            draft.cells |= own


def _name_the_usual(
    drafts: Sequence[_Draft],
    column: str,
    called: str,
    drawn: Collection[str],
    places: Mapping[tuple[str, str], Place],
    report: Report,
) -> None:
    """A sheet's only drawing, or of several the one that is called as the series, is that of every part that names
    none; each is some part's."""
    usual = next(iter(drawn)) if len(drawn) == 1 else called
    for draft in drafts if usual in drawn else ():
        draft.cells.setdefault(column, SheetCell(usual, places[column, usual]))
    named = {draft.cells[column].text for draft in drafts if column in draft.cells}
    for name in drawn:
        if drafts and name not in named:
            report.problems.append(places[column, name].tells(f"a part with {column} {name}", "none"))


def _compute_coils(outer: Table, drafts: Sequence[_Draft], report: Report) -> None:
    told: list[Computed] = []
    for draft in drafts:
        draft.cells, computed = coil_figures(draft.cells, report.problems)
        told += computed
    for line in in_words(told):
        report.note(f"{outer.file}: {line}")


def _part(draft: _Draft, head: Mapping[str, Any], source: Place, report: Report) -> SheetPart:
    """The part's values, each read as its column says; what is wrong is told where it stands."""
    cells = {"source": SheetCell(head["source"], source)} | draft.cells
    texts = {"maker": head["maker"], "part_number": draft.number, "series": head["name"]} | texts_of(cells)
    problems: list[Problem] = []
    relay = made(Relay, texts, problems)
    part = SheetPart(_values(relay), draft.whole, {column: cell.place for column, cell in cells.items()})
    report.problems.extend(map(part.takes, problems))
    return part


def _values(relay: Relay) -> tuple[Any, ...]:
    """A row of relays.csv: words in the place of enumeration members."""
    return tuple(value.value if isinstance(value, Enum) else value for value in _FIELDS(relay))


_FIELDS = attrgetter(*_RELAY)


def _note_not_stated(outer: Table, drafts: Sequence[_Draft], ratings: Sequence[Rating], report: Report) -> None:
    stated = {column for draft in drafts for column, cell in draft.cells.items() if cell.text}
    absent = [column for column in _RELAY if column not in stated and column not in (*_OF_ALL, "source", *RARE)]
    if absent:
        report.note(f"{outer.file}: not stated for any part: {', '.join(absent)}")
    if not ratings:
        report.note(f"{outer.file}: no [ratings]: what its contacts bear is not stated here")
