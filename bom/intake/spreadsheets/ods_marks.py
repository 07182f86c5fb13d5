"""The marks of an ODS: what each cell of its sheets says beside its value.

Names of elements and attributes are those of OpenDocument 1.3 (OASIS), part 3, section 9; ``calcext`` is an extension
that programs write errors by.
"""

from __future__ import annotations

from collections.abc import Mapping

from bom.intake.spreadsheets.bounds import MOST_TEXT, Walk
from bom.intake.spreadsheets.marks import NO_RESULT, Marks
from bom.values.problem import Refused

CONTENT = "content.xml"
_TABLE = "urn:oasis:names:tc:opendocument:xmlns:table:1.0 "
_OFFICE = "urn:oasis:names:tc:opendocument:xmlns:office:1.0 "
_NAME, _VISIBILITY, _FORMULA = _TABLE + "name", _TABLE + "visibility", _TABLE + "formula"
_ROWS, _COLUMNS = _TABLE + "number-rows-repeated", _TABLE + "number-columns-repeated"
_SPANNED = _TABLE + "number-rows-spanned"
_KIND, _VALUE = _OFFICE + "value-type", _OFFICE + "value"
_ERROR = "urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0 value-type"
_NUMBERS = ("float", "percentage", "currency")
# A row this far repeated, or a cell, is only there to fill the sheet where it is empty.
_MOST_ROWS, _MOST_COLUMNS = 1 << 20, 1 << 14


def is_wanted(name: str) -> bool:
    """Whether a file of the archive is needed to read values."""
    return name in (CONTENT, "mimetype", "META-INF/manifest.xml", "styles.xml")


def marks_in(members: Mapping[str, bytes]) -> dict[str, Marks]:
    """Sheet's name to its marks. Raises Refused where a bound is passed or the file is broken."""
    walk = _Content()
    walk.through(members[CONTENT], "content")
    return walk.sheets


class _Content(Walk):
    """All sheets in one walk. Inside a cell only its own paragraphs count, not those of a remark pinned to it."""

    def __init__(self) -> None:
        super().__init__()
        self.sheets: dict[str, Marks] = {}
        self.marks = Marks()
        self.row, self.repeat_row, self.column, self.depth, self.pinned = 0, 1, 0, 0, 0
        self.cell: dict[str, str] | None = None
        self.times, self.shown, self.paragraphs, self.characters = 1, "", 0, 0
        self.is_shown, self.remark = False, ""
        self.parser.EndElementHandler = self._ended

    def started(self, name: str, attributes: dict[str, str]) -> None:
        match name[name.rfind(" ") + 1 :]:
            case "table":
                self.marks = self.sheets.setdefault(attributes.get(_NAME, ""), Marks())
                self.row = self.column = 0
            case "table-row":
                self.repeat_row = _repeated(attributes.get(_ROWS), _MOST_ROWS)
                self.row, self.column = self.row + 1, 0
                if attributes.get(_VISIBILITY) in ("collapse", "filter"):
                    self.marks.hidden_rows.update(range(self.row, self.row + min(self.repeat_row, 10_000)))
            case "table-cell" | "covered-table-cell":
                self.cell, self.shown, self.paragraphs = attributes, "", 0
                self.times = _repeated(attributes.get(_COLUMNS), _MOST_COLUMNS)
                # What a cell of text holds matters only where it stands there several times.
                repeated = self.times > 1 or self.repeat_row > 1
                self.is_shown = repeated or attributes.get(_KIND) in _NUMBERS or attributes.get(_ERROR) == "error"
            case "annotation":
                self.pinned += 1
                self.remark = ""
                self.listen(None)
            case "p" if self.pinned:
                self.listen(self._heard_remark)
            case "p" if self.cell is not None and not self.pinned:
                self.paragraphs += 1
                if self.is_shown:
                    self.listen(self._heard)

    def _heard(self, text: str) -> None:
        self.shown += text

    def _heard_remark(self, text: str) -> None:
        self.remark += text

    def _ended(self, name: str) -> None:
        match name[name.rfind(" ") + 1 :]:
            case "table-cell" | "covered-table-cell":
                self._take()
                self.column += self.times
                self.cell = None
                self.listen(None)
            case "table-row":
                self.row += self.repeat_row - 1
            case "annotation":
                self.pinned -= 1
                self.marks.remarks[self.row, self.column] = self.remark.strip()
            case "p":
                self.listen(None)

    def _take(self) -> None:
        cell = self.cell or {}
        kind, formula = cell.get(_KIND, ""), _FORMULA in cell
        if not (kind or formula or self.paragraphs):
            return
        self.marks.met(self.row, self.column, self.times, self.repeat_row)
        self.characters += len(self.shown) * self.times * self.repeat_row
        if self.characters > MOST_TEXT:
            raise Refused(f"a spreadsheet of at most {MOST_TEXT:,} characters")
        if cell.get(_ERROR) == "error":
            self._mark(self.marks.broken, self.shown.strip() or "an error")
        elif formula and not kind and not self.paragraphs:
            self._mark(self.marks.broken, NO_RESULT)
        elif kind in _NUMBERS:
            self._look(cell.get(_VALUE, ""))
        if (spans := _repeated(cell.get(_SPANNED), _MOST_ROWS)) > 1:
            self.marks.merged.append(((self.row, self.column), (self.row + spans - 1, self.column)))

    def _look(self, value: str) -> None:
        if self.shown and self.shown != value:
            self._mark(self.marks.shown, self.shown)

    def _mark(self, marks: dict[tuple[int, int], str], what: str) -> None:
        for row in range(self.row, self.row + self.repeat_row):
            for column in range(self.column, self.column + self.times):
                marks[row, column] = what


def _repeated(text: str | None, most: int) -> int:
    return min(int(text), most) if text and text.isdecimal() and len(text) < 10 and int(text) else 1
