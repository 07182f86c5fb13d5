"""Knows how what was read off a data sheet looks in a terminal: what to do next, then the tables, then every doubt."""

from __future__ import annotations

from collections.abc import Iterator

from bom.answers.data_sheet import DataSheetRead
from bom.paper.terminal.tables import simple_table

MOST_DOUBTS = 12
"""More stand in the file, each above its row. Own choice."""


def data_sheet_table(answer: DataSheetRead) -> str:
    """How many figures were read of each table, how many are doubtful, and what is left to a person."""
    rows = [(t.where, t.kind, len(t.rows), t.read, t.doubtful, ", ".join(t.unread)) for t in answer.tables]
    headings = ["table", "is of", "rows", "figures read", "doubtful", "columns not read"]
    return "\n".join([*_next(answer), simple_table("", headings, rows), *_doubts(answer), *_not_read(answer)])


def _next(answer: DataSheetRead) -> Iterator[str]:
    if not answer.written:
        return
    yield f"Hold {answer.written} against the page, row by row; then bom catalog check {answer.written}"
    missing = [("maker", answer.maker), ("part_number", answer.part_number)]
    if still := [key for key, value in missing if not value]:
        yield f"Still to be stated there: {', '.join(still)}"


def _doubts(answer: DataSheetRead) -> Iterator[str]:
    doubts = [f"{row.where}: {doubt}" for table in answer.tables for row in table.rows for doubt in row.doubts]
    if doubts:
        yield "Left blank, as doubtful:"
        yield from (f"  {doubt}" for doubt in doubts[:MOST_DOUBTS])
        yield from [f"  and {len(doubts) - MOST_DOUBTS} more, each above its row"] if len(doubts) > MOST_DOUBTS else []
        yield ""


def _not_read(answer: DataSheetRead) -> Iterator[str]:
    if answer.not_read:
        yield "Tables that are neither of coils nor of contacts:"
        yield from (f"  {said}" for said in answer.not_read)
