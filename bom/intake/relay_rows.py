"""The relays of a catalogue: each record of relays.csv, however long, and each part that a series sheet makes, checked
and turned into one row of values, in the order of a relay's fields.

The same few texts come again and again in a column (12, monostable, RT III), so what a text means is worked out once
and kept; only part numbers are read afresh each time.
"""

from __future__ import annotations

from array import array
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum
from operator import itemgetter
from typing import Any, NamedTuple

from bom.intake.long_table import BytesTold
from bom.intake.rows import Cells, Report, Row, is_it
from bom.intake.sheet_rows import Place
from bom.intake.shop_list import ShopList, table_of
from bom.relays.checks import relay_doubts, relay_problems, series_doubts, wired_problems
from bom.relays.footprint import Footprint
from bom.relays.relay import Relay
from bom.relays.wiring import Wiring
from bom.values.column import Column, described
from bom.values.problem import Problem

COLUMNS = described(Relay)
RELAY_COLUMNS = tuple(COLUMNS)
_NEEDED = tuple(name for name, column in COLUMNS.items() if column.needed)
_MANY = 50_000  # texts kept for a column: more than its values in any real catalogue

Values = tuple[Any, ...]
Families = Collection[tuple[str, str]]  # makers and their series


@dataclass(slots=True)
class Drawings:
    """What relays refer to; None where that file could not be read, so that nobody is blamed for its want."""

    footprints: dict[str, Footprint] | None
    wirings: dict[str, Wiring] | None


def relay_of(values: Values) -> Relay:
    """The relay of one row of values."""
    read = list(values)
    for place, member in _MEMBERS:
        read[place] = None if read[place] is None else member(read[place])
    return Relay(*read)


_MEMBERS = [(place, c.member) for place, c in enumerate(COLUMNS.values()) if c.member is not None]


@dataclass(frozen=True, slots=True)
class SheetPart:
    """A part that a series sheet makes: its values, where the part stands in the sheet, and where each column does."""

    values: Values
    whole: Place
    places: Mapping[str, Place]

    def takes(self, problem: Problem) -> Problem:
        """The problem, which knew no place, where the sheet states that column of the part."""
        where = self.places.get(problem.column, self.whole)
        return where.takes(problem)


class _Line(NamedTuple):
    """A line of the list of relays, as the place of a relay; its letters are those of a spreadsheet's columns."""

    file: str
    line: int
    letters: Mapping[str, str]

    def takes(self, problem: Problem) -> Problem:
        cell = f"{self.letters[problem.column]}{self.line}" if problem.column in self.letters else ""
        return replace(problem, file=self.file, line=self.line, cell=cell)


class RelayRows:
    """The rows of one relays.csv, and after them those of series ``sheets``, to be gone through once.

    ``sought`` are names that others refer to; those of them that are a part number or series here end in ``seen``.
    ``insist`` are part numbers whose figures are taken as they stand though they are hardly likely. ``coils_kept``
    gives what is kept already of series that are met here, to compare coils with. Where there are ``sheets``, the file
    may be absent.
    """

    def __init__(
        self,
        shop_list: ShopList,
        drawings: Drawings,
        report: Report,
        sought: Collection[str] = (),
        told: BytesTold | None = None,
        insist: Collection[str] = (),
        coils_kept: Callable[[Families], Iterable[Relay]] = lambda families: (),
        sheets: Sequence[SheetPart] | None = None,
    ) -> None:
        self.sheets, self.by_sheets = sheets or (), sheets is not None
        self.sheet_part: SheetPart | None = None
        self.shop_list, self.table = shop_list, table_of(shop_list, _NEEDED, COLUMNS, report, told)
        self.insist, self.in_doubt = frozenset(insist), set[str]()
        self.drawings, self.report, self.coils_kept = drawings, report, coils_kept
        self.sought, self.seen = frozenset(sought), set[str]()
        self.once = Once()
        self.count = 0
        self._sound: set[Values] = set()
        self._coils: list[tuple[SheetPart | _Line, Relay]] = []
        self._fitting: set[tuple[str, str]] = set()
        self._mismatched: set[tuple[str, str]] = set()
        self._told: set[tuple[object, ...]] = set()
        self._insisted: set[tuple[object, ...]] = set()

    def __iter__(self) -> Iterator[Values]:
        """Good rows, and bad ones with None where a cell was wrong: look at the report before keeping any."""
        if not self.by_sheets or self.shop_list.is_there:
            yield from self._of_table()
        for part in self.sheets:
            self.sheet_part = part
            yield self._checked(part.values)
        self._report_coils()
        self._report_twice()

    def _of_table(self) -> Iterator[Values]:
        records = self.table.records(_NEEDED, COLUMNS)
        first = next(records, None)
        self._note_absent()
        if first is None:
            return
        meaning = [self._meaning(column) for column in self.table.header]
        arrange = _arrangement(self.table.header)
        cells: list[str] | None = first
        while cells is not None:
            yield self._checked(arrange([means[cell] for means, cell in zip(meaning, cells, strict=False)]))
            cells = next(records, None)

    def _meaning(self, column: str) -> _Meaning:
        return _Meaning(self, column)

    def _note_absent(self) -> None:
        absent = [c for c in RELAY_COLUMNS if c not in self.table.header and c not in RARE]
        if self.table.header and absent and self.table.whole:
            self.report.note(f"{self.table.file}: no column {', '.join(absent)}: not stated for any relay")

    def _checked(self, row: Values) -> Values:
        self.count += 1
        maker, number, series = row[0], row[1], row[_SERIES]
        self.once.add((maker, number))
        if series in self.sought:
            self.seen.add(series)
        if number in self.sought:
            self.seen.add(number)
        if (figures := _FIGURES(row)) not in self._sound:
            self._check_figures(row, figures)
        drawn = (row[_FOOTPRINT], row[_WIRING])
        if drawn not in self._fitting:
            self._check_drawings(*drawn)
        return row

    def _here(self) -> SheetPart | _Line:
        """Where the relay stands that is being looked at."""
        return self.sheet_part or _Line(self.table.file, self.table.line, self.table.letters)

    def _tell(self, problems: Iterable[Problem]) -> None:
        """Told once of a value that a sheet states for many parts, at the first of them."""
        for problem in map(self._here().takes, problems):
            if self.sheet_part is None or _value(problem) not in self._told:
                self.report.problems.append(problem)
            self._told.add(_value(problem))

    def _check_figures(self, row: Values, figures: Values) -> None:
        """Each combination of figures is looked at once, at the first relay that has it."""
        relay = relay_of(row)
        if found := [*relay_problems(relay), *self._taken_unless(self._here(), relay, relay_doubts(relay))]:
            self._tell(found)
        elif len(self._sound) < _MANY:
            self._sound.add(figures)
            self._coils.append((self._here(), relay))

    def _taken_unless(self, place: SheetPart | _Line, relay: Relay, doubts: Iterable[Problem]) -> Iterator[Problem]:
        """The doubts about a relay, each with how to insist; none where a person does, of this relay or of another for
        which a sheet states the very same value."""
        for doubt in doubts:
            self.in_doubt.add(relay.part_number)
            value = _value(place.takes(doubt))
            if relay.part_number in self.insist:
                self._insisted.add(value)
            elif value not in self._insisted:
                how = f"{doubt.expected}; --insist {relay.part_number} takes it where its data sheet says so"
                yield replace(doubt, expected=how)

    def _report_coils(self) -> None:
        """A slip in a coil's ohms shows against its series, which is known only when all have been read."""
        places = {id(relay): place for place, relay in self._coils}
        doubts = series_doubts([*(relay for _, relay in self._coils), *self._coils_beside()])
        for relay, doubt in ((relay, doubt) for relay, doubt in doubts if id(relay) in places):
            for problem in self._taken_unless(places[id(relay)], relay, [doubt]):
                self.report.problems.append(places[id(relay)].takes(problem))
        for name in sorted(self.insist - self.in_doubt):
            self.report.wrong("--insist", 0, "", "the part number of a relay that is in doubt", name)

    def _coils_beside(self) -> list[Relay]:
        """What is kept already of the series that stand here, without the parts that this file states anew."""
        kept = {(r.maker, r.part_number): r for r in self.coils_kept({(r.maker, r.series) for _, r in self._coils})}
        stated_anew = self.once.met(kept)
        return [relay for key, relay in kept.items() if key not in stated_anew]

    def _check_drawings(self, footprint: str, wiring: str) -> None:
        """Each pair that is well is looked at once; a pair whose pins disagree is told at the first relay with it."""
        before = len(self.report.problems)
        pins = self._named("footprint", footprint, self.drawings.footprints)
        wired = self._named("wiring", wiring, self.drawings.wirings)
        told = (footprint, wiring) in self._mismatched
        if pins and wired and not told and (strangers := list(wired_problems(pins, wired))):
            self._mismatched.add((footprint, wiring))
            self._tell(strangers)
        if len(self.report.problems) == before:
            self._fitting.add((footprint, wiring))

    def _named(self, column: str, name: str, known: dict[str, Any] | None) -> Any:
        if name and known is not None and name not in known:
            beside = " of a sheet, or one known already" if self.sheet_part else f" in {column}s.csv"
            self._tell([Problem("", 0, column, f"a {column}{beside}{is_it(name, known)}", name)])
        return (known or {}).get(name)

    def _report_twice(self) -> None:
        """Read the file again for the lines of the parts that came twice."""
        if not (twice := self.once.twice()):
            return
        first: dict[tuple[str, str], SheetPart | _Line] = {}
        for key, place in self._keyed():
            if hash(key) in twice and all(key):
                if key in first:
                    self.report.problems.append(_twice(key, first[key], place))
                first.setdefault(key, place)

    def _keyed(self) -> Iterator[tuple[tuple[str, str], SheetPart | _Line]]:
        """Maker and number of every relay, and where it stands."""
        table = self.table.anew()
        for cells in table.records(_NEEDED, COLUMNS):
            row = dict(zip(table.header, map(str.strip, cells), strict=True))
            yield (row.get("maker", ""), row.get("part_number", "")), _Line(table.file, table.line, table.letters)
        for part in self.sheets:
            yield (part.values[0], part.values[1]), part


def _value(problem: Problem) -> tuple[object, ...]:
    """The value that a problem is about, by where it stands and what it is."""
    return problem.file, problem.line, problem.column, problem.found


def _twice(key: tuple[str, str], first: SheetPart | _Line, place: SheetPart | _Line) -> Problem:
    """A part that stands a second time, told there with where it stands first."""
    here = place.takes(Problem("", 0, "part_number", "", " ".join(key)))
    there = first.takes(here)
    where = f"line {there.line}" if there.file == here.file else f"{there.file}:{there.line}"
    return replace(here, expected=f"each part of a maker once ({where} has it)")


class _Meaning(dict[str, Any]):
    """A column's texts and what they mean; a text not met before is read by the column's rule, and kept if good."""

    def __init__(self, rows: RelayRows, column: str) -> None:
        super().__init__()
        self.rows, self.column, self.means = rows, column, COLUMNS.get(column, _OWN)
        self.keeps = column != "part_number"

    def __missing__(self, cell: str) -> Any:
        if not self.keeps and cell[:1] in _PLAIN_START and not cell[-1:].isspace():
            return cell
        before = len(self.rows.report.problems)
        table, typed = self.rows.table, {self.column: cell.strip()}
        value = Cells(Row(table.line, typed, table.file, table.letters, table.known_wrong), self.rows.report).read(
            self.means
        )
        plain = value.value if isinstance(value, Enum) else value
        if self.keeps and len(self) < _MANY and len(self.rows.report.problems) == before:
            self[cell] = plain
        return plain


_OWN = Column("A column of one's own, left out.")


def _arrangement(header: tuple[str, ...]) -> Callable[[list[Any]], Values]:
    """A function that puts a record in the order of the fields, with each field's own empty for what is absent."""
    empty = [column.empty for column in COLUMNS.values()]
    places = [header.index(c) if c in header else len(header) + i for i, c in enumerate(RELAY_COLUMNS)]
    pick = itemgetter(*places)
    return lambda values: pick(values + empty)


_SERIES, _FOOTPRINT, _WIRING = (RELAY_COLUMNS.index(c) for c in ("series", "footprint", "wiring"))
# All that the checks of a relay look at together, whatever its number is.
_FIGURES = itemgetter(
    *(RELAY_COLUMNS.index(c) for c in ("maker", "series", "coil_system", "coil_supply", "coil_volts", "coil_ohms")),
    *(RELAY_COLUMNS.index(c) for c in ("operate_volts", "release_volts", "coil_max_volts", "temp_min_c", "temp_max_c")),
    *(RELAY_COLUMNS.index(c) for c in ("hold_volts", "contact_rise_k", "contact_rise_amps", "coil_hertz")),
)
RARE = frozenset(
    {
        *("coil_henries", "suppression_ohms", "suppression_volts", "hold_volts", "coil_hertz", "coil_kelvin_per_watt"),
        *("contact_rise_k", "contact_rise_amps", "coil_contact_volts", "between_poles_volts", "insulation"),
        *("impulse_volts", "contact_polarity", "most_per_minute", "together_amps"),
    }
)
"""Columns that few data sheets fill: their absence is not worth a word."""

# A part number that starts so was never an exponent or a date to a spreadsheet program (bom.values.part_number).
_PLAIN_START = frozenset("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz") - frozenset("JFMASOND")

_SHARES = 64


@dataclass(slots=True)
class Once:
    """Whether any key came twice, in eight bytes a key: their hashes, in shares small enough to sort one by one."""

    shares: list[array[int]] = field(default_factory=lambda: [array("q") for _ in range(_SHARES)])

    def add(self, key: tuple[str, str]) -> None:
        mark = hash(key)
        self.shares[mark % _SHARES].append(mark)

    def met(self, keys: Iterable[tuple[str, str]]) -> set[tuple[str, str]]:
        """Those of these keys that came."""
        marks = {hash(key): key for key in keys}
        return {marks[mark] for share in self.shares for mark in share if mark in marks}

    def twice(self) -> set[int]:
        """The hashes that came more than once."""
        answer: set[int] = set()
        for share in self.shares:
            met: set[int] = set()
            answer.update(mark for mark in share if mark in met or met.add(mark))  # type: ignore[func-returns-value]
        return answer
