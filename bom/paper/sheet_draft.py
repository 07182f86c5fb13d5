"""Knows how a series sheet looks that was read off a page: every row with the page's words behind it, what is doubtful
left blank with its reason above, what only a person can state asked for."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from textwrap import wrap

from bom.answers.data_sheet import DataSheetRead, RowRead, TableRead
from bom.paper.toml_out import literal
from bom.paper.writing import one_line

_WIDE = 110
_HOW = (
    "Read off {source}. Hold every row against the page, whose words stand behind it. What is doubtful was left blank; "
    "put in what the page says, or leave it blank: then it is unknown. bom catalog check FILE tells what is wrong or "
    "missing, bom catalog add FILE takes it, bom explain series tells of every key."
)


def sheet_draft(read: DataSheetRead) -> str:
    """The whole file."""
    blocks = [_said(_HOW.format(source=read.source)), "\n".join(_series(read))]
    for kind in ("coils", "ratings"):
        of_kind = [table for table in read.tables if table.kind == kind]
        blocks += [block for first in of_kind[:1] for block in _blocks(first)]
        blocks += ["\n".join(_beside(other)) for other in of_kind[1:]]
    blocks += [_said(f"Not read, as its headings are not known: {said}") for said in read.not_read]
    return "\n\n".join(filter(None, blocks)) + "\n"


def _said(text: str) -> str:
    return "\n".join(wrap(one_line(text), _WIDE, initial_indent="# ", subsequent_indent="# "))


def _series(read: DataSheetRead) -> Iterator[str]:
    yield "[series]"
    for key, value, what in (
        ("maker", read.maker, "who makes it"),
        ("name", read.series, "the series, which its ratings are published for"),
        ("part_number", read.part_number, "how a number is made, as in TW2-{coil}: {coil} stands for the code below"),
    ):
        yield f"{key} = {literal(one_line(value))}" + ("" if value else f"  # to be stated: {what}")
    yield f"source = {literal(one_line(read.source))}"


def _blocks(table: TableRead) -> Iterator[str]:
    """What holds for all rows, where the table says so, and the table."""
    if table.shared:
        rows = (f"{s.column} = {_value(s.value)}  # the page says: {_quoted(s.printed)}" for s in table.shared)
        yield "\n".join(["[shared]", *rows])
    yield "\n".join([f"[{table.kind}]", *_table(table)])


def _table(table: TableRead) -> Iterator[str]:
    yield f"# {one_line(table.where)}" + (f", under {_quoted(table.above)}" if table.above else "")
    yield from (f"# not read: the column {_quoted(heading)}" for heading in table.unread)
    yield from (f"# the page says: {one_line(note)}" for note in table.notes)
    yield f"columns = {literal(list(table.columns))}"
    yield "rows = ["
    written = [f"  [{', '.join(_values(row, table.columns))}]," for row in table.rows]
    wide, there = max(map(len, written), default=0), table.where
    for row, line in zip(table.rows, written, strict=True):
        if (place := row.where.rpartition(", ")[0]) != there:
            there = place
            yield f"  # {one_line(place)}"
        yield from (f"  # doubtful: {one_line(doubt)}" for doubt in row.doubts)
        yield f"{line:<{wide}}  # {_place(row)}: {_words(row.printed)}"
    yield "]"


def _values(row: RowRead, columns: Sequence[str]) -> Iterator[str]:
    """A code is text, even one of figures alone."""
    for column, value in zip(columns, row.values, strict=True):
        yield literal(value) if column == "code" else _value(value)


def _place(row: RowRead) -> str:
    """As the table's place stands above its rows, the row alone."""
    return one_line(row.where).rpartition(", ")[2]


def _words(printed: Sequence[str]) -> str:
    return " | ".join(one_line(cell) or "-" for cell in printed)


def _quoted(text: str) -> str:
    return f'"{one_line(text)}"'


def _beside(table: TableRead) -> Iterator[str]:
    """A further table of the kind, which one sheet has no place for, ready to be put into a sheet of its own."""
    yield _said(
        f"A further table, not used: a sheet states one of them, so give it a sheet of its own ({table.where})."
    )
    shared = [f"{s.column} = {_value(s.value)}  # the page says: {_quoted(s.printed)}" for s in table.shared]
    lines = (*(["[shared]", *shared] if shared else []), f"[{table.kind}]", *_table(table))
    yield from (f"# {line}".replace("# # ", "#   # ") for line in lines)


def _value(value: str) -> str:
    """A figure as a bare number, all else as text; nothing stated is an empty text."""
    return value if re.fullmatch(r"-?(0|[1-9]\d*)(\.\d+)?", value) else literal(value)
