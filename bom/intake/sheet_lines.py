"""The rows under the headings of a sheet: which state something, which are left out and counted, and what each says.

Titles of sections, totals, blanks, empty drawers and headings that stand there again state nothing by themselves. What
a row says is text by column, as a CSV would have it; what its spreadsheet program changed is told with its cell.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from bom.intake.dialect import Signs, plain
from bom.intake.price_lists.amounts import NumberMarks, evident
from bom.intake.price_lists.counts import TOTALS
from bom.intake.rows import Report, Row
from bom.intake.spreadsheets.cell_text import NUMBERS, Days, as_text, current_in, money_signs, said
from bom.intake.spreadsheets.sheet import Cells, MergedInto, Sheet, Value, is_blank, letters
from bom.values.column import Column, Holds
from bom.values.problem import Problem, Refused
from bom.values.reading import Reading, same_heading

Known = Mapping[str, Column]


@dataclass(frozen=True, slots=True)
class Found:
    """A list whose headings are found: what it is of, its sheet, their row, and each cell's column ("" = left out)."""

    of: str
    sheet: Sheet
    row: int
    columns: tuple[str, ...]
    known: Known
    required: Sequence[str]
    reading: Reading | None

    @property
    def letters(self) -> Mapping[str, str]:
        """Column to the letters of its cells; none in a file of text, whose cells have no letters."""
        return {c: letters(place) for place, c in enumerate(self.columns) if c} if self.sheet.name else {}

    @property
    def stated(self) -> tuple[str, ...]:
        """The columns of the sheet, and after them those that its reading, or a word beside a number, states."""
        beside = ("currency", "coil_supply")
        read = self.reading
        told = (*read.every_row, *filter(None, [read.sections])) if read else ()
        more = (column for column in (*told, *beside) if column in self.known and column not in self.columns)
        return (*self.columns, *dict.fromkeys(more))

    def rows(self, report: Report) -> Iterator[Row]:
        """Every row that states something, as texts by column; what is wrong, and what was left out, to ``report``."""
        return SheetRows(self, report).rows()


def row_of(sheet: Sheet, number: int) -> Cells:
    """The cells of this row; none where there is no such row."""
    return next((cells for line, cells in sheet.rows if line == number), ())


_MANY = 50_000  # texts kept for a column, since most are met again and again
_KINDS = ("title of a section", "total", "empty drawer", "heading again", "blank")
_PLURAL = {
    "title of a section": "titles of sections",
    "total": "totals",
    "empty drawer": "empty drawers",
    "heading again": "headings again",
    "blank": "blank",
}


class SheetRows:
    """Goes through the rows under the headings of one sheet."""

    def __init__(self, found: Found, report: Report) -> None:
        self.found, self.report, self.sheet = found, report, found.sheet
        self.reading = found.reading or Reading(found.of, {})
        self.body = [(line, cells) for line, cells in self.sheet.rows if line > found.row]
        self.places = {column: place for place, column in enumerate(found.columns) if column}
        self.left_out: dict[str, list[int]] = {kind: [] for kind in _KINDS}
        self.met: dict[str, dict[tuple[type, Value], str]] = {column: {} for column in self.places}
        self.by_itself, self.wrong = False, set[str]()
        self.days, self.section, self.coded = Days(self.reading.days), "", list[str]()
        self.heads = [same_heading(said(cell)) for cell in row_of(self.sheet, found.row)]
        self.letters = found.letters
        holding = ((column, found.known.get(column)) for column in self.places)
        self.money = [column for column, known in holding if known is not None and known.holds is Holds.MONEY]
        self.drawers = {_shape(said(self._value(cells, "drawer"))) for _, cells in self.body if _states_much(cells)}
        self.units = {same_heading(h): unit for h, unit in self.reading.units.items()}

    def rows(self) -> Iterator[Row]:
        """The rows that state something; what was left out is told at the end."""
        while self.body and all(map(is_blank, self.body[-1][1])):
            self.body.pop()
        marks = self._marks()
        if isinstance(marks, Problem):  # told; the rest is gone through for whatever else is wrong
            self._wrong(marks.line, marks.column, marks.expected, marks.found)
            marks = NumberMarks(",", sure=True)
        taken = 0
        for line, cells in self.body:
            if kind := self._kind(cells):
                self.left_out[kind].append(line)
            else:
                taken += 1
                yield self._row(line, cells, marks)
        self._tell(taken)

    def _value(self, cells: Cells, column: str) -> Value:
        place = self.places.get(column, -1)
        return cells[place] if 0 <= place < len(cells) else None

    def _marks(self) -> NumberMarks | Problem | None:
        """The decimal sign in cells of text; what is a number to the spreadsheet has none to doubt."""
        signs = Signs()
        for line, cells in self.body:
            for column, place in self.places.items():
                known, value = self.found.known.get(column), cells[place] if place < len(cells) else None
                if known is None or not isinstance(value, str):
                    continue
                if known.holds is Holds.DAY:
                    self.days.look(value)
                elif known.holds in NUMBERS:
                    signs.look(line, column, as_text(known, value, self.days))
        if self.reading.decimal:
            return NumberMarks(self.reading.decimal, sure=True)
        if all(signs.counted.values()) and not signs.doubtful:
            self.by_itself = True
            return None
        if signs.doubtful and not any(signs.counted.values()) and not signs.typed:
            return signs.in_doubt(self.sheet.where)
        return signs.decide(self.sheet.where, "")

    def _kind(self, cells: Cells) -> str:
        """What a row is that states nothing by itself; empty for one that does."""
        filled = [place for place, cell in enumerate(cells) if not is_blank(cell) and not isinstance(cell, MergedInto)]
        if not filled:
            return "blank"
        first, part = cells[filled[0]], self._value(cells, "part_number")
        if isinstance(first, str) and same_heading(first) == self.heads[filled[0]] and self._is_heading(cells):
            return "heading again"
        if (is_blank(part) or (isinstance(part, str) and is_total(part))) and any(map(is_total, map(said, cells))):
            return "total"
        if self._is_empty_drawer(cells):
            return "empty drawer"
        if len(filled) == 1 and self._is_title(filled[0], cells):
            self.section = said(first)
            return "title of a section"
        return ""

    def _is_heading(self, cells: Cells) -> bool:
        return [same_heading(said(cell)) for cell in cells] == self.heads

    def _is_empty_drawer(self, cells: Cells) -> bool:
        """A drawer with nothing in it keeps its row in the file, and none here."""
        if "drawer" not in self.places or "quantity" not in self.places or self.found.of != "stock":
            return False
        quantity = said(self._value(cells, "quantity"))
        nothing = not quantity or (quantity in ("0", "0 pcs", "-", "–") or quantity.strip("0.,") == "")
        part, drawer = said(self._value(cells, "part_number")), said(self._value(cells, "drawer"))
        return bool(drawer) and nothing and (not part or bool(quantity)) and _shape(drawer) in self.drawers

    def _is_title(self, place: int, cells: Cells) -> bool:
        """One text alone in its row; where it stands in the column of parts and looks like one, it is a part that
        lacks all else."""
        value = cells[place]
        if not isinstance(value, str) or len(self.found.required) < 2:
            return False
        like_a_part = " " not in value.strip() and any(map(str.isdigit, value))
        return not (like_a_part and place == self.places.get("part_number", -1))

    def _row(self, line: int, cells: Cells, marks: NumberMarks | None) -> Row:
        self.wrong = set()
        texts = {column: self._text(line, cells, column, marks) for column in self.places}
        for column, text in self.reading.every_row.items():
            texts[column] = texts.get(column) or text
        if self.reading.sections:
            texts[self.reading.sections] = texts.get(self.reading.sections) or self.section
        self._check_money(line, cells, texts)
        self._check_current(line, cells, texts)
        return Row(line, texts, self.sheet.where, self.letters, frozenset(self.wrong))

    def _text(self, line: int, cells: Cells, column: str, marks: NumberMarks | None) -> str:
        known, value = self.found.known.get(column), self._value(cells, column)
        if known is None:
            return said(value)
        if known.holds is Holds.PART_NUMBER:
            return self._read(line, column, known, value, marks)
        met, key = self.met[column], (type(value), value)
        if key not in met:
            before = len(self.report.problems)
            text = self._read(line, column, known, value, marks)
            if len(self.report.problems) > before or len(met) > _MANY:
                return text
            met[key] = text
        return met[key]

    def _read(self, line: int, column: str, known: Column, value: Value, marks: NumberMarks | None) -> str:
        try:
            text = as_text(known, value, self.days)
        except Refused as refused:
            self._wrong(line, column, str(refused), said(value))
            return ""
        if isinstance(value, str) and known.holds in NUMBERS and (own := self._own(text) if self.by_itself else marks):
            text = plain(text, own)
        if known.holds is Holds.PART_NUMBER and isinstance(value, int | float):
            self.coded.append(f"{self.letters.get(column, '')}{line}")
        return self._in_unit(column, text)

    def _own(self, text: str) -> NumberMarks | None:
        """The sign that a cell shows by itself, where a list has both and none is in doubt."""
        match = re.search(r"\d[\d.,]*|[.,]\d+", text)
        sign = evident(match[0]) if match else ""
        return NumberMarks(sign, sure=True) if sign else None

    def _in_unit(self, column: str, text: str) -> str:
        """A bare number in the unit that its heading means."""
        unit = self.units.get(self.heads[self.places[column]]) if self.units else None
        return f"{text} {unit}" if unit and text and text[-1:].isdigit() else text

    def _check_money(self, line: int, cells: Cells, texts: dict[str, str]) -> None:
        """A sign beside an amount says its currency, and may not gainsay what the row states."""
        if "currency" not in self.found.known:
            return
        for column in self.money:
            value = self._value(cells, column)
            if not isinstance(value, str):
                continue
            if codes := money_signs(value):
                stated = texts.get("currency", "")
                if not stated and len(codes) == 1:
                    texts["currency"] = codes[0]
                elif stated and stated not in codes:
                    self._wrong(line, column, f"an amount in {stated}, as the row states", value.strip())

    def _check_current(self, line: int, cells: Cells, texts: dict[str, str]) -> None:
        """24 VDC says the coil's current beside its volts, and may not gainsay what the row states."""
        value = self._value(cells, "coil_volts")
        if "coil_supply" in self.found.known and isinstance(value, str) and (current := current_in(value)):
            if not texts.get("coil_supply"):
                texts["coil_supply"] = current
            elif texts["coil_supply"].casefold() != current:
                self._wrong(line, "coil_volts", f"volts {texts['coil_supply']}, as the row states", value.strip())

    def _wrong(self, line: int, column: str, expected: str, found: str) -> None:
        self.wrong.add(column)
        cell = f"{self.letters[column]}{line}" if column in self.letters else ""
        self.report.problems.append(Problem(self.sheet.where, line, column, expected, found, cell))

    def _tell(self, taken: int) -> None:
        told = [
            f"{len(lines)} {_PLURAL[kind] if len(lines) > 1 else kind} ({_listed(lines)})"
            for kind, lines in self.left_out.items()
            if lines
        ]
        unit = "rows" if self.sheet.name else "lines"
        rows = f"{len(self.body)} {unit} under the headings in {unit[:-1]} {self.found.row}"
        self.report.note(f"{self.sheet.where}: {rows}: {taken} taken" + "".join(f", {one}" for one in told))
        if hidden := sorted(self.sheet.hidden_rows & {line for line, _ in self.body}):
            self.report.note(f"{self.sheet.where}: hidden rows were read like any other: {_listed(hidden)}")
        if self.coded:
            some = ", ".join(self.coded[:5]) + (", …" if len(self.coded) > 5 else "")
            self.report.note(
                f"{self.sheet.where}: {len(self.coded)} part numbers are numbers to the spreadsheet ({some}): "
                "a zero in front of them would be gone"
            )


def _states_much(cells: Cells) -> bool:
    return sum(not is_blank(cell) for cell in cells) > 2


def _shape(text: str) -> str:
    """What a drawer's name is like, whatever its letters and digits are: A12 is like B7, and unlike a title."""
    return re.sub(r"\d+", "9", re.sub(r"[^\W\d_]+", "a", text))


def is_total(text: str) -> bool:
    """Whether a cell heads a row of totals."""
    words = text.casefold().rstrip(": ")
    return words in TOTALS or (words.startswith(("total ", "subtotal ", "summe ", "gesamt ")) and len(words) < 40)


def _listed(lines: Sequence[int]) -> str:
    """Numbers in runs: 7, 19, 30-34; of very many the first few."""
    runs: list[list[int]] = []
    for line in lines:
        if runs and line == runs[-1][-1] + 1:
            runs[-1].append(line)
        else:
            runs.append([line])
    said_runs = [str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs]
    return ", ".join(said_runs[:12]) + (", …" if len(said_runs) > 12 else "")
