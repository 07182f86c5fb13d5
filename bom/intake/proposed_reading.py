"""A reading proposed for a spreadsheet of a shop's own, from its headings and what its cells hold.

A heading that is one of a column's names, above cells that the column can hold, is taken for it. Anything less is
doubtful: it is proposed with a question mark, and refused until a person has looked. A heading that means no column
here is left out, which is said.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from bom.intake.kinds_of_list import KindOfList
from bom.intake.price_lists.amounts import CODES
from bom.intake.reading_file import UNSURE
from bom.intake.rows import Report, Row, is_it
from bom.intake.sheet_lines import Found, SheetRows, is_total
from bom.intake.shop_list import HEADINGS_WITHIN, ShopList, sheets_in
from bom.intake.spreadsheets.cell_text import NUMBERS, Days, as_text, money_signs, said
from bom.intake.spreadsheets.sheet import Cells, Sheet, Value, is_blank
from bom.intake.trade_words import meanings, unit_in
from bom.values.column import Column, Holds
from bom.values.problem import Problem, Refused
from bom.values.reading import HowRead, Reading

SHOWN = 5
"""So many rows are shown as understood."""
_LOOKED_AT = 300  # rows; our own choice
_FITTING = 0.6  # of the cells; below that a column holds something else. Our own choice


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading of the sheet, the column proposed for it ("" = left out), why that is in doubt ("" = it is not), what
    its cells hold as they stand, and what the first rows are understood as."""

    heading: str
    column: str
    doubt: str
    holds: tuple[str, ...]
    understood: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Proposal:
    """A reading with its doubts, each marked in it, and what came of the sheet read so.

    ``remarks`` stand beside each heading in its file; ``asked`` are the columns that each row must state and none does.
    """

    reading: Reading
    where: str
    headings: tuple[Heading, ...]
    remarks: dict[str, str]
    asked: tuple[str, ...]
    notes: tuple[str, ...]
    problems: tuple[Problem, ...]

    @property
    def doubts(self) -> int:
        values = [*self.reading.columns.values(), *self.reading.every_row.values()]
        marked = [self.reading.sections, self.reading.decimal, self.reading.days]
        return sum(value.startswith(UNSURE) for value in [*values, *marked])


def propose(path: Path, kind: KindOfList, how: HowRead) -> Proposal:
    """What the sheet's headings likely mean; raises ``ProblemsFound`` where the file cannot be read."""
    report = Report()
    sheets = [s for s in sheets_in(ShopList(path, kind.of), kind.columns, report) if any(map(_filled, s.rows))]
    report.settle()
    if how.sheet:
        sheets = _called(how.sheet, sheets)
    if not sheets:
        raise Refused(f"{path.name}: expected a sheet that holds something")
    sheet, row = _headed(sheets, kind, how.heading_row)
    return _Proposing(path, kind, sheet, row).proposal()


def _filled(row: tuple[int, Cells]) -> bool:
    return not all(map(is_blank, row[1]))


def _called(name: str, sheets: Sequence[Sheet]) -> list[Sheet]:
    found = [sheet for sheet in sheets if sheet.name.casefold() == name.casefold()]
    if not found:
        names = [sheet.name for sheet in sheets]
        raise Refused(f"expected one of the sheets {', '.join(names)}{is_it(name, names)}, found {name!r}")
    return found


def _headed(sheets: Sequence[Sheet], kind: KindOfList, asked: int) -> tuple[Sheet, int]:
    """The sheet and row whose cells are headings of the most columns; a sheet that is hidden only where all are."""
    visible = [sheet for sheet in sheets if not sheet.hidden] or list(sheets)
    rated = [
        (_rate(cells, kind), -line, sheet)
        for sheet in visible
        for line, cells in sheet.rows[: max(HEADINGS_WITHIN, asked)]
        if asked in (0, line) and not all(map(is_blank, cells))
    ]
    if not rated:
        raise Refused(f"expected headings in row {asked}, found a blank row" if asked else "expected a sheet with rows")
    _, line, sheet = max(rated, key=lambda one: one[:2])
    return sheet, -line


def _rate(cells: Cells, kind: KindOfList) -> float:
    """How many columns a row's cells name, those named in full twice; a row with few texts names few."""
    texts = [cell for cell in cells if isinstance(cell, str) and cell.strip()]
    met = [found[0] for text in texts if (found := meanings(text, kind.columns))]
    return len({one.column for one in met}) + len({one.column for one in met if one.sure})


class _Proposing:
    """Works a proposal out for one sheet whose headings are known."""

    def __init__(self, path: Path, kind: KindOfList, sheet: Sheet, row: int) -> None:
        self.path, self.kind, self.sheet, self.row = path, kind, sheet, row
        cells = next(cells for line, cells in sheet.rows if line == row)
        self.heads = [said(cell) for cell in cells]
        self.below = [cells for line, cells in sheet.rows if line > row][:_LOOKED_AT]

    def proposal(self) -> Proposal:
        columns, doubts = self._columns()
        sure = {heading: column for heading, column in columns.items() if column}
        every_row = self._every_row(sure)
        reading = Reading(
            self.kind.of,
            {h: f"{UNSURE} {c}" if doubts.get(h) else c for h, c in columns.items()},
            self.sheet.name,
            self.row,
            units=self._units(sure),
            every_row=every_row,
        )
        reading = self._with_signs(reading, columns)
        rows, notes, problems = self._understood(reading, columns)
        headings = tuple(
            Heading(h, c, doubts.get(h, ""), self._samples(h), tuple(r.cells.get(c, "") for r in rows) if c else ())
            for h, c in columns.items()
        )
        asked = tuple(column for column, value in every_row.items() if value.startswith(UNSURE))
        return Proposal(reading, self.sheet.where, headings, self._remarks(headings, asked), asked, notes, problems)

    # --- columns ---

    def _columns(self) -> tuple[dict[str, str], dict[str, str]]:
        """Heading to column, and to why that is in doubt."""
        found: dict[str, tuple[str, str]] = {}
        for heading in filter(None, self.heads):
            found[heading] = self._meant(heading) if self.heads.count(heading) == 1 else ("", "stands there twice")
        claimed = Counter(column for column, _ in found.values() if column)
        sure = {column for column, doubt in found.values() if column and not doubt}
        for heading, (column, doubt) in found.items():
            if claimed[column] > 1 and (doubt or column not in sure):
                found[heading] = ("", "") if column in sure else (column, "another heading may mean it too")
        twice = {c for c in sure if sum(one == (c, "") for one in found.values()) > 1}
        for heading, (column, _) in found.items():
            if column in twice:
                found[heading] = column, "another heading is it too"
        return {h: c for h, (c, _) in found.items()}, {h: doubt for h, (c, doubt) in found.items() if c and doubt}

    def _meant(self, heading: str) -> tuple[str, str]:
        """The column that a heading means, by its words and what stands under it; and why that is in doubt.

        A heading that is a column's name in full stays that column, in doubt, while any cell fits.
        """
        for meant in meanings(heading, self.kind.columns):
            column = self.kind.columns[meant.column]
            cells = [cell for cell in self._cells(heading) if not is_blank(cell)]
            good = sum(self._can_hold(column, cell, heading) for cell in cells)
            if cells and (not good or (good < _FITTING * len(cells) and not meant.sure)):
                continue
            if not meant.sure:
                return meant.column, "by one of its words"
            bad = len(cells) - good
            return meant.column, f"{bad} of {len(cells)} cells are no {column.holds}" if bad > 0.1 * len(cells) else ""
        return "", ""

    def _cells(self, heading: str) -> list[Value]:
        place = self.heads.index(heading)
        return [cells[place] for cells in self.below if place < len(cells) and not self._states_nothing(cells)]

    def _states_nothing(self, cells: Cells) -> bool:
        texts = [said(cell) for cell in cells if not is_blank(cell)]
        return len(texts) < 2 or any(map(is_total, texts))

    def _can_hold(self, column: Column, cell: Value, heading: str) -> bool:
        """Whether the column can hold this cell; a decimal comma is no reason against it."""
        try:
            text = as_text(column, cell, Days("d/m/y"))
            if column.holds in NUMBERS:
                text = text.replace(",", ".") if text.count(",") == 1 and "." not in text else text
                unit = unit_in(heading)
                if unit and column.unit and text[-1:].isdigit() and _fits(column, unit):
                    text = f"{text} {unit}"
            column.read(text)
        except Refused:
            return False
        return True

    def _units(self, columns: dict[str, str]) -> dict[str, str]:
        """The units that headings name, where they are not the columns' own."""
        answer = {}
        for heading, name in columns.items():
            column, unit = self.kind.columns[name], unit_in(heading)
            if unit and column.unit and _fits(column, unit) and column.unbounded.read(f"1 {unit}") != 1:
                answer[heading] = unit
        return answer

    # --- what rows do not state ---

    def _every_row(self, columns: dict[str, str]) -> dict[str, str]:
        """What must be stated and no heading states; the currency of amounts, by a sign in their heading."""
        answer = {name: UNSURE for name in self.kind.required if name not in columns.values()}
        money = [h for h, name in columns.items() if self.kind.columns[name].holds is Holds.MONEY]
        if money and "currency" in self.kind.columns and "currency" not in columns.values():
            codes = money_signs(money[0]) or tuple(c for c in CODES if f" {c}" in f" {money[0]}")
            signed = [money_signs(cell) for cell in self._cells(money[0]) if isinstance(cell, str)]
            if codes:
                answer["currency"] = codes[0] if len(codes) == 1 else f"{UNSURE} {codes[0]}"
            elif not signed or not all(len(one) == 1 for one in signed):
                likely = {one[0] for one in signed if one}
                answer["currency"] = f"{UNSURE} {likely.pop()}" if len(likely) == 1 else UNSURE
        return answer

    def _with_signs(self, reading: Reading, columns: dict[str, str]) -> Reading:
        """The reading, asking for the decimal sign or the order of days where no cell tells them."""
        report = Report()
        tried = self._tried(reading, columns)
        rows = SheetRows(tried, report)
        list(rows.rows())
        unsure = [problem.expected for problem in report.problems]
        if any("no other cell tells" in text or "one decimal sign" in text for text in unsure):
            reading = replace(reading, decimal=UNSURE)
        if any("days =" in text for text in unsure):
            reading = replace(reading, days=UNSURE)
        titles = rows.left_out["title of a section"]
        if len(titles) > 1 and "maker" in reading.every_row:
            others = {name: value for name, value in reading.every_row.items() if name != "maker"}
            reading = replace(reading, sections=f"{UNSURE} maker", every_row=others)
        return reading

    def _tried(self, reading: Reading, columns: dict[str, str]) -> Found:
        """The sheet read as if every doubt were confirmed."""
        sure = {c: "" if v.startswith(UNSURE) else v for c, v in reading.every_row.items()}
        decimal = "" if reading.decimal == UNSURE else reading.decimal
        days = "" if reading.days == UNSURE else reading.days
        sections = reading.sections.removeprefix(UNSURE).strip()
        trusting = replace(reading, columns=columns, every_row=sure, decimal=decimal, days=days, sections=sections)
        names: list[str] = []
        for heading in self.heads:
            column = columns.get(heading, "")
            names.append("" if column in names else column)
        known, required = self.kind.columns, self.kind.required
        return Found(self.kind.of, self.sheet, self.row, tuple(names), known, required, trusting)

    def _understood(
        self, reading: Reading, columns: dict[str, str]
    ) -> tuple[list[Row], tuple[str, ...], tuple[Problem, ...]]:
        """The first rows as they are understood, what was left out, and what is wrong in cells."""
        report = Report()
        rows = []
        for row in self._tried(reading, columns).rows(report):
            rows.append(row)
            self._check(row, report)
        return rows[:SHOWN], tuple(report.notes), tuple(report.problems)

    def _check(self, row: Row, report: Report) -> None:
        for name, text in row.cells.items():
            if text and name in self.kind.columns:
                try:
                    self.kind.columns[name].read(text)
                except Refused as refused:
                    report.problems.append(row.problem(name, str(refused), text))

    # --- for a person ---

    def _samples(self, heading: str) -> tuple[str, ...]:
        texts = (said(cell) for cell in self._cells(heading) if not is_blank(cell))
        return tuple(list(dict.fromkeys(texts))[:3])

    def _remarks(self, headings: Sequence[Heading], asked: Sequence[str]) -> dict[str, str]:
        remarks = {}
        for one in headings:
            samples = ", ".join(text[:20] for text in one.holds)
            why = f"IN DOUBT, {one.doubt}: take the ? away, name another, or leave it out; " if one.doubt else ""
            remarks[one.heading] = (why + ("left out; " if not one.column else "") + samples).rstrip("; ")
        for name in asked:
            column = self.kind.columns[name]
            remarks[name] = f"{column.meaning} {column.allowed}, as in {column.example}"
        return {heading: " ".join(text.split()) for heading, text in remarks.items()}


def _fits(column: Column, unit: str) -> bool:
    try:
        column.unbounded.read(f"1 {unit}")
    except Refused:
        return False
    return True
