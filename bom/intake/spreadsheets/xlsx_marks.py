"""The marks of an XLSX: which file of its archive each sheet is, and what that says beside values.

Names of elements and attributes, types of cells and numbers of formats are those of ECMA-376 (Office Open XML), part 1,
18.3 and 18.8.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from posixpath import join, normpath, split

from bom.intake.spreadsheets.bounds import MOST_TEXT, Walk, local
from bom.intake.spreadsheets.marks import NO_RESULT, Marks, Place, form_of
from bom.intake.spreadsheets.sheet import column_place
from bom.values.problem import Refused

MOST_LETTERS = 32_767
"""Characters in one cell: as many as spreadsheet programs let one hold (from memory)."""
_BOOK, _LINKS = "xl/workbook.xml", "xl/_rels/workbook.xml.rels"
_NOT_READ = ("xl/media/", "xl/drawings/", "xl/charts/", "xl/theme/", "xl/printersettings/", "docprops/", "customxml/")


def is_wanted(name: str) -> bool:
    """Whether a file of the archive is needed to read values."""
    folded = name.casefold()
    return folded.endswith((".xml", ".rels")) and not folded.startswith(_NOT_READ)


def marks_in(members: Mapping[str, bytes]) -> dict[str, Marks]:
    """Sheet's name to its marks. Raises Refused where a bound is passed or a file is broken."""
    by_fold = {name.casefold(): data for name, data in members.items()}
    forms = _Forms()
    if (styles := by_fold.get("xl/styles.xml")) is not None:
        forms.through(styles, "list of formats")
    lengths = _Lengths()
    if (texts := by_fold.get("xl/sharedstrings.xml")) is not None:
        lengths.through(texts, "list of texts")
        if lengths.longest > MOST_LETTERS:
            raise Refused(f"cells of at most {MOST_LETTERS:,} characters")
    answer = {}
    for name, file in _sheets(by_fold).items():
        walk = _SheetWalk(forms.of_cells)
        walk.through(by_fold[file], f"sheet {name}")
        walk.finish()
        walk.marks.remarks = _remarks(by_fold, _files_of_remarks(by_fold, file))
        if walk.marks.texts * lengths.longest > MOST_TEXT:
            _check_texts(by_fold[file], name, lengths.each)
        answer[name] = walk.marks
    return answer


def _sheets(members: Mapping[str, bytes]) -> dict[str, str]:
    """Sheet's name to its file; sheets that are charts or are not there are left out."""
    named, linked = _Named(), _Linked()
    for walk, name in ((named, _BOOK), (linked, _LINKS)):
        if name not in members:
            raise Refused("a spreadsheet (an archive without one is no .xlsx or .ods)")
        walk.through(members[name], "list of sheets")
    files = {name: normpath(join("/xl", linked.files.get(link, "?")))[1:].casefold() for name, link in named.sheets}
    return {
        n: file for n, file in files.items() if file in members and "worksheet" in linked.kinds.get(file, "worksheet")
    }


def _remarks(members: Mapping[str, bytes], files: Iterable[str]) -> dict[Place, str]:
    """What somebody pinned to cells of a sheet, from the files that hold it."""
    answer: dict[Place, str] = {}
    for file in files:
        walk = _Pinned()
        walk.through(members[file], "list of remarks")
        answer |= walk.remarks
    return {place: text.strip() for place, text in answer.items() if text.strip()}


def _files_of_remarks(members: Mapping[str, bytes], sheet: str) -> list[str]:
    """The files of remarks that a sheet's own links lead to."""
    folder, name = split(sheet)
    linked = _Linked()
    if (links := members.get(f"{folder}/_rels/{name}.rels")) is not None:
        linked.through(links, "list of links")
    targets = [target for kind, target in linked.links if kind.endswith("/comments")]
    return [f for t in targets if (f := normpath(join("/", folder, t))[1:].casefold()) in members]


class _Pinned(Walk):
    """Remarks by the cell that each is pinned to; who wrote it is no part of it."""

    def __init__(self) -> None:
        super().__init__()
        self.remarks: dict[Place, str] = {}
        self.place: Place = (0, 0)
        self.parser.EndElementHandler = lambda name: self.listen(None)

    def started(self, name: str, attributes: dict[str, str]) -> None:
        if local(name) == "comment":
            ref = attributes.get("ref", "")
            self.place = _whole(ref.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")), column_place(ref)
        elif local(name) == "t":
            self.listen(self._heard)

    def _heard(self, text: str) -> None:
        self.remarks[self.place] = self.remarks.get(self.place, "") + text


class _Named(Walk):
    """The sheets of the book: names and the links to their files."""

    def __init__(self) -> None:
        super().__init__()
        self.sheets: list[tuple[str, str]] = []

    def started(self, name: str, attributes: dict[str, str]) -> None:
        if local(name) == "sheet":
            by_name = {local(key): value for key, value in attributes.items()}
            self.sheets.append((by_name.get("name", ""), by_name.get("id", "")))


class _Linked(Walk):
    """Where links lead, and to what kind of file."""

    def __init__(self) -> None:
        super().__init__()
        self.files: dict[str, str] = {}
        self.kinds: dict[str, str] = {}
        self.links: list[tuple[str, str]] = []

    def started(self, name: str, attributes: dict[str, str]) -> None:
        if local(name) == "Relationship":
            self.files[attributes.get("Id", "")] = target = attributes.get("Target", "")
            self.links.append((attributes.get("Type", ""), target))
            self.kinds[normpath(join("/xl", target))[1:].casefold()] = attributes.get("Type", "")


class _Forms(Walk):
    """The formats of cells, in the order that cells count them by."""

    def __init__(self) -> None:
        super().__init__()
        self.custom: dict[int, str] = {}
        self.of_cells: list[str] = []
        self.among_cells = False

    def started(self, name: str, attributes: dict[str, str]) -> None:
        match local(name):
            case "numFmt":
                self.custom[_whole(attributes.get("numFmtId"))] = attributes.get("formatCode", "")
            case "cellXfs":
                self.among_cells = True
            case "cellStyles" | "dxfs" | "cellStyleXfs":
                self.among_cells = False
            case "xf" if self.among_cells:
                self.of_cells.append(form_of(_whole(attributes.get("numFmtId")), self.custom))


class _Lengths(Walk):
    """How long each of the shared texts is."""

    def __init__(self) -> None:
        super().__init__()
        self.each: list[int] = []
        self.listen(self._heard)

    def started(self, name: str, attributes: dict[str, str]) -> None:
        if local(name) == "si":
            self.each.append(0)

    def _heard(self, text: str) -> None:
        if self.each:
            self.each[-1] += len(text)

    @property
    def longest(self) -> int:
        return max(self.each, default=0)


class _SheetWalk(Walk):
    """One sheet's cells: where each stands, of which type and format it is, and whether it holds anything."""

    def __init__(self, forms: list[str]) -> None:
        super().__init__()
        self.marks, self.forms = Marks(), forms
        self.row, self.column = 0, -1
        self.kind, self.form, self.holds, self.formula, self.text = "", "", False, False, ""
        self.started = self._started  # type: ignore[method-assign]  # bound once: it is called a million times
        self.parser.StartElementHandler = self._started

    def _started(self, name: str, attributes: dict[str, str]) -> None:
        match name[name.rfind(" ") + 1 :]:
            case "c":
                self.finish()
                self.column = column_place(attributes["r"]) if "r" in attributes else self.column + 1
                self.kind = attributes.get("t", "n")
                style = attributes.get("s")
                self.form = self._form(style) if style and self.kind == "n" else ""
            case "v":
                self.holds = True
                if self.formula or self.kind == "e":
                    self.text = ""
                    self.listen(self._heard)
            case "is":
                self.holds = True
            case "f":
                self.formula = True
            case "row":
                self.finish()
                self.row, self.column = _whole(attributes.get("r"), self.row + 1), -1
                if attributes.get("hidden") in ("1", "true"):
                    self.marks.hidden_rows.add(self.row)

    def _form(self, style: str) -> str:
        number = _whole(style)
        return self.forms[number] if 0 <= number < len(self.forms) else ""

    def _heard(self, text: str) -> None:
        self.text += text

    def finish(self) -> None:
        """Take the cell that ends here into account."""
        if self.holds or self.formula:
            self.marks.met(self.row, self.column)
            place = (self.row, self.column)
            if self.kind == "e":
                self.marks.broken[place] = self.text.strip() or "an error"
            elif self.formula and self.kind != "str" and not self.text.strip():
                self.marks.broken[place] = NO_RESULT
            elif self.form:
                self.marks.forms[place] = self.form
            self.marks.texts += self.kind == "s"
            if self.formula or self.kind == "e":
                self.listen(None)
        self.kind, self.form, self.holds, self.formula, self.text = "", "", False, False, ""


def _check_texts(sheet: bytes, name: str, lengths: list[int]) -> None:
    """Count exactly how much text the cells of a sheet hold together."""
    walk = _Texts(lengths)
    walk.through(sheet, f"sheet {name}")


class _Texts(Walk):
    """Adds up the texts that cells refer to."""

    def __init__(self, lengths: list[int]) -> None:
        super().__init__()
        self.lengths, self.total, self.kind, self.number = lengths, 0, "", ""
        self.listen(self._heard)

    def started(self, name: str, attributes: dict[str, str]) -> None:
        if local(name) == "c":
            self._add()
            self.kind = attributes.get("t", "n")

    def _heard(self, text: str) -> None:
        self.number += text

    def _add(self) -> None:
        if self.kind == "s" and (number := _whole(self.number.strip(), -1)) in range(len(self.lengths)):
            self.total += self.lengths[number]
        self.number = ""
        if self.total > MOST_TEXT:
            raise Refused(f"a sheet of at most {MOST_TEXT:,} characters")


def _whole(text: str | None, otherwise: int = 0) -> int:
    return int(text) if text and text.isdecimal() and len(text) < 10 else otherwise
