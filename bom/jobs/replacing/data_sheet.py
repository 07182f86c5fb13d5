"""A data sheet's tables read into a series sheet for a person to check: each figure beside the page's words, doubts
left out and marked. Nothing is taken into the catalogue here."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from bom.answers.data_sheet import DataSheetRead, RowRead, SharedRead, TableRead
from bom.intake.data_sheet.pages import MOST_SECONDS, Page, pages_of
from bom.intake.data_sheet.printed import lines_of_text, tables_in
from bom.intake.data_sheet.reading import ReadRow, ReadTable, SheetRead, read_tables
from bom.paper.sheet_draft import sheet_draft
from bom.paper.writing import write_new
from bom.values.problem import Refused

MOST_TEXT = 2_000_000
"""Characters of pasted text; a data sheet has fewer. Own choice."""


@dataclass(frozen=True, slots=True)
class Stated:
    """What a person states of the series, which no table says; '' is left to be stated in the file."""

    maker: str = ""
    series: str = ""
    part_number: str = ""
    source: str = ""


def read_pdf(file: Path, pages: str, stated: Stated, seconds: float = MOST_SECONDS) -> DataSheetRead:
    """The tables on these pages, as in ``3``, ``2-4`` or ``1,3``; nothing said is all of them."""
    read = _joined([best_of(page) for page in pages_of(file, pages_in(pages), seconds)])
    where = f"{file.name}, page {pages}" if pages else file.name
    return _answer(read, replace(stated, source=stated.source or where), where)


def read_text(text: str, name: str, stated: Stated) -> DataSheetRead:
    """The tables in pasted text; ``name`` is what its figures are said to come from."""
    if len(text) > MOST_TEXT:
        raise Refused(f"{name}: expected the text of a table, found {len(text)} characters")
    if not text.strip():
        raise Refused(f"{name}: expected the text of a table, found nothing")
    return _answer(read_tables(tuple(tables_in(lines_of_text(text), name))), stated, name)


def read_text_file(file: Path, stated: Stated) -> DataSheetRead:
    """The tables in a text file."""
    if (size := file.stat().st_size) > 4 * MOST_TEXT:
        raise Refused(f"{file.name}: expected the text of a table, found {size // 1_000_000} MB")
    return read_text(file.read_text(encoding="utf-8", errors="replace"), file.name, stated)


def pages_in(text: str) -> tuple[int, ...]:
    """The pages of ``3``, ``2-4`` or ``1,3``; raises Refused for anything else."""
    answer: list[int] = []
    for part in filter(None, (part.strip() for part in text.split(","))):
        if not (found := re.fullmatch(r"(\d{1,5})(?:\s*-\s*(\d{1,5}))?", part)):
            raise Refused(f"--page: expected a page as in 3, 2-4 or 1,3, found {text!r}")
        first, last = int(found[1]), int(found[2] or found[1])
        if not 1 <= first <= last:
            raise Refused(f"--page: expected pages from 1, the lower first, found {text!r}")
        answer += [*range(first, min(last, first + 1000) + 1)]
    return tuple(dict.fromkeys(answer))


def draft_of(answer: DataSheetRead) -> str:
    """The series sheet as text."""
    return sheet_draft(answer)


def write_draft(answer: DataSheetRead, file: Path) -> DataSheetRead:
    """The series sheet as a file that was not there before."""
    write_new({file: sheet_draft(answer)})
    return replace(answer, written=str(file))


def best_of(page: Page) -> SheetRead:
    """The page as one column of print or as two, whichever gives more figures without a doubt."""
    before = len(page.ruled)
    whole = tuple(tables_in(page.lines, f"page {page.number}", before))
    named = ("left", "right")
    halves = [
        table
        for side, lines in zip(named, page.halves, strict=False)
        for table in tables_in(lines, f"page {page.number} {side}", before)
    ]
    ways = [read_tables((*page.ruled, *unruled)) for unruled in (whole, halves)]
    return max(ways, key=lambda way: way.read)


def _joined(pages: Sequence[SheetRead]) -> SheetRead:
    return SheetRead(
        tuple(table for page in pages for table in page.coils),
        tuple(table for page in pages for table in page.contacts),
        tuple(said for page in pages for said in page.neither),
    )


def _answer(read: SheetRead, stated: Stated, where: str) -> DataSheetRead:
    if not read.coils and not read.contacts:
        found = f", found {'; '.join(read.neither[:3])}" if read.neither else ", found none"
        raise Refused(f"{where}: expected a coil table or a contact table whose headings are known{found}")
    return DataSheetRead(
        source=stated.source or where,
        maker=stated.maker,
        series=stated.series,
        part_number=stated.part_number or _numbers_itself(read),
        tables=(
            *_continued([_told(t, "coils") for t in read.coils]),
            *_continued([_told(t, "ratings") for t in read.contacts]),
        ),
        not_read=read.neither,
    )


def _numbers_itself(read: SheetRead) -> str:
    """Where the coil table has whole part numbers, they are the codes; letters and figures with a sign between."""
    codes = [row.figures["code"].value for t in read.coils for row in t.rows if "code" in row.figures]
    whole = [code for code in codes if re.fullmatch(r"(?=.*[A-Za-z])(?=.*\d)[\w./]+(-[\w./]+)+", code)]
    return "{coil}" if codes and len(whole) == len(codes) else ""


def _continued(tables: Sequence[TableRead]) -> list[TableRead]:
    """A table that goes on with the same columns, on the next page or beside, is one."""
    answer: list[TableRead] = []
    for table in tables:
        if answer and _goes_on(answer[-1], table):
            first = answer.pop()
            table = replace(
                first,
                rows=first.rows + table.rows,
                notes=tuple(dict.fromkeys(first.notes + table.notes)),
                read=first.read + table.read,
                doubtful=first.doubtful + table.doubtful,
            )
        answer.append(table)
    return answer


def _goes_on(first: TableRead, table: TableRead) -> bool:
    same = (first.columns, [(s.column, s.value) for s in first.shared]) == (
        table.columns,
        [(s.column, s.value) for s in table.shared],
    )
    return same and not {row.values[0] for row in first.rows} & {row.values[0] for row in table.rows}


def _told(table: ReadTable, kind: str) -> TableRead:
    columns = table.columns
    shared = tuple(SharedRead(name, f.value, f.printed) for name, f in table.shared.items())
    rows = tuple(_row(row, columns) for row in table.rows)
    return TableRead(
        kind, table.where, table.above, columns, rows, shared, table.unread, table.notes, table.read, table.doubtful
    )


def _row(row: ReadRow, columns: Sequence[str]) -> RowRead:
    values = tuple(row.figures[name].value if name in row.figures else "" for name in columns)
    return RowRead(row.where, values, row.printed, row.doubts)
