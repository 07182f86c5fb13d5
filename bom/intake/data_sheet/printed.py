"""Tables as they are printed: rows of cells with where they stand, from lines of words that lie under one another.

A line is a row of chunks, each with the place where it begins and ends: points on a page, or characters of a text.
Lines full of figures are rows; what stands above them, as far as it lies over their columns, is their heading. No ruled
line is needed: columns are where chunks of one row after the other overlap. A chunk that lies over two columns of a
row is told, since nobody knows whose it is.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from bom.intake.data_sheet.headings import meant_by


@dataclass(frozen=True, slots=True)
class Chunk:
    """Words that belong together, from ``left`` to ``right``; ``words`` are the single ones, where they are known."""

    text: str
    left: float
    right: float
    words: tuple[Chunk, ...] = ()


Line = tuple[Chunk, ...]


@dataclass(frozen=True, slots=True)
class PrintedRow:
    """Cells of one row; ``number`` counts the table's rows as printed. ``doubt`` tells why its cells may be shifted."""

    number: int
    cells: tuple[str, ...]
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class PrintedTable:
    """``headings`` are joined where they are split over rows; ``above`` is what stands over the table, ``where`` names
    its page and place."""

    where: str
    headings: tuple[str, ...]
    rows: tuple[PrintedRow, ...]
    above: str = ""
    notes: tuple[str, ...] = field(default=())


_FIGURE = re.compile(r"[-+±≤≥<>~]?\s*[\d.,]*\d")
_FOOT = re.compile(r"\s*(?:\^?\*+\s?\d?\)?|\^?\d\)|\(\d\)|\^\d|note\s*\d?)\s*[:.]?\s+\S", re.IGNORECASE)
MOST_HEADINGS = 4
"""Rows that a heading is split over. Own choice."""


def is_figure(text: str) -> bool:
    """Whether the words begin as a figure does, or stand for none."""
    return bool(_FIGURE.match(text)) or text in ("-", "–", "—")


def is_row(line: Line) -> bool:
    """A row of a table of figures has two or more, in at least half of its cells."""
    figures = sum(is_figure(chunk.text) for chunk in line)
    return len(line) >= 2 and figures >= 2 and 2 * figures >= len(line)


def is_footnote(text: str) -> bool:
    """Whether the line explains a mark: ``*1 at 20 °C``."""
    return bool(_FOOT.match(text))


def tables_in(lines: Sequence[Line], where: str, before: int = 0) -> Iterator[PrintedTable]:
    """Every table of these lines, the upper first; ``where`` is what its number is written behind, and ``before`` how
    many are numbered already."""
    notes = tuple(" ".join(c.text for c in line) for line in lines if line and is_footnote(line[0].text + " x"))
    at, number = 0, before
    while at < len(lines):
        if not is_row(lines[at]):
            at += 1
            continue
        end = at
        while end < len(lines) and is_row(lines[end]):
            end += 1
        if end - at >= 2:
            number += 1
            yield _table(lines, at, end, f"{where}, table {number}", notes)
        at = end


def _table(lines: Sequence[Line], first: int, end: int, where: str, notes: tuple[str, ...]) -> PrintedTable:
    columns = _columns(lines[first:end])
    top, headings = _headings(lines, first, columns)
    above = next(
        (" ".join(chunk.text for chunk in line) for line in reversed(lines[max(top - 2, 0) : top]) if line), ""
    )
    count = first - top
    rows = tuple(_row(count + nth, line, columns) for nth, line in enumerate(lines[first:end], 1))
    return PrintedTable(where, headings, rows, above, notes)


Span = tuple[float, float]


def _columns(rows: Sequence[Line]) -> list[Span]:
    """Where the columns lie: chunks that overlap belong to one. Only rows of as many chunks as most rows have are
    asked, as others may have chunks that run together or are missing."""
    counts = Counter(len(row) for row in rows)
    usual = max(counts, key=lambda count: (counts[count], count))
    spans = sorted((c.left, c.right) for row in rows if len(row) == usual for c in row)
    columns: list[Span] = []
    for left, right in spans:
        if columns and left < columns[-1][1]:
            columns[-1] = (columns[-1][0], max(columns[-1][1], right))
        else:
            columns.append((left, right))
    return columns


def _headings(lines: Sequence[Line], first: int, columns: Sequence[Span]) -> tuple[int, tuple[str, ...]]:
    """The line that the heading begins at, and its words over each column, the upper before the lower: of as many lines
    as make the most sense, since a caption stands above a heading as another line of it would."""
    deep = 0
    while deep < min(first, MOST_HEADINGS) and (line := lines[first - deep - 1]) and not is_row(line):
        deep += 1
    heads = [lines[first - used : first] for used in range(deep + 1)]
    ways = [_over_all(lines, columns) for lines in heads]
    ways += [_by_edges(lines, columns, right) for right in (False, True) for lines in heads]
    best = most_telling(ways)
    return first - best % (deep + 1), ways[best]


def _over_all(heads: Sequence[Line], columns: Sequence[Span]) -> tuple[str, ...]:
    reach = _reach(heads, columns)
    return joined([_over(line, reach) for line in heads], len(columns))


def _by_edges(heads: Sequence[Line], columns: Sequence[Span], right: bool) -> tuple[str, ...]:
    """The headings word by word, for columns so narrow that those of two run together: each word in the column that it
    begins in, as all are flush left, or with ``right`` in the one that it ends in."""
    over = []
    for line in heads:
        said = [""] * len(columns)
        for word in (word for chunk in line for word in (chunk.words or (chunk,))):
            before = sum(right_edge < word.right - 1 for _, right_edge in columns)
            since = sum(left_edge <= word.left + 1 for left_edge, _ in columns) - 1
            place = min(max(before if right else since, 0), len(columns) - 1)
            said[place] = f"{said[place]} {word.text}".strip()
        over.append(said)
    return joined(over, len(columns))


def _reach(heads: Sequence[Line], columns: Sequence[Span]) -> list[Span]:
    """The columns with the headings that stand over one of them alone: a heading may be wider than its figures, and the
    next line of it stand beside them."""
    reach = list(columns)
    for _ in range(len(heads)):
        for chunk in (chunk for line in heads for chunk in line):
            over = _under(chunk, reach)
            if len(over) == 1:
                left, right = reach[over[0]]
                wider = (min(left, chunk.left), max(right, chunk.right))
                if len(_under(Chunk("", *wider), reach)) == 1:
                    reach[over[0]] = wider
    return reach


def _over(line: Line, columns: Sequence[Span]) -> list[str]:
    """The words of the line over each column; where each column has its own, they go by their order."""
    said = [""] * len(columns)
    for nth, chunk in enumerate(line):
        for place in [nth] if len(line) == len(columns) else _under(chunk, columns):
            said[place] = f"{said[place]} {chunk.text}".strip()
    return said


def most_telling(ways: Sequence[Sequence[str]]) -> int:
    """Which of these headings, of one line more each, mean most: with a column, with a unit; the first of several.
    Where none means anything, the nearest line is shown."""
    worth = [meant_by(headings) for headings in ways]
    return worth.index(max(worth)) if max(worth) > (0, 0) else min(1, len(ways) - 1)


def joined(over: Sequence[Sequence[str]], columns: int) -> tuple[str, ...]:
    """The words over each column as one heading; those that a merged cell says again are said once."""
    return tuple(" ".join(dict.fromkeys(line[n] for line in over if line[n])) for n in range(columns))


def _under(chunk: Chunk, columns: Sequence[Span]) -> list[int]:
    """The columns that the words lie over."""
    return [n for n, span in enumerate(columns) if _overlap((chunk.left, chunk.right), span)]


def _row(number: int, line: Line, columns: Sequence[Span]) -> PrintedRow:
    cells, doubt = [""] * len(columns), ""
    for chunk in line:
        places = _under(chunk, columns)
        if len(places) != 1:
            doubt = f"{chunk.text!r} lies {'under no heading' if not places else 'over two columns'}"
        elif cells[places[0]]:
            doubt = f"{cells[places[0]]!r} and {chunk.text!r} lie in one column"
        for place in places[:1]:
            cells[place] = f"{cells[place]} {chunk.text}".strip()
    return PrintedRow(number, tuple(cells), doubt)


def _overlap(one: Span, other: Span) -> bool:
    return one[0] < other[1] and other[0] < one[1]


def lines_of_text(text: str) -> list[Line]:
    """Pasted text: its chunks are parted by two blanks, or by tabs or bars, whose number then says the column."""
    return [_line_of(line) for line in text.splitlines()]


def _line_of(line: str) -> Line:
    if "\t" in line or line.count("|") > 1:
        cells = [cell.strip() for cell in re.split(r"[\t|]", line.strip().strip("|"))]
        return tuple(Chunk(c, float(n), n + 0.9) for n, c in enumerate(cells) if set(c) - set("-: "))
    return tuple(_chunk_at(found) for found in re.finditer(r"\S+(?: \S+)*", line))


def _chunk_at(found: re.Match[str]) -> Chunk:
    start = found.start()
    words = (Chunk(m[0], float(start + m.start()), float(start + m.end())) for m in re.finditer(r"\S+", found[0]))
    return Chunk(found[0], float(start), float(found.end()), tuple(words))


def grid_table(
    grid: Sequence[Sequence[GridCell]], where: str, above: str = "", notes: tuple[str, ...] = ()
) -> PrintedTable | None:
    """The table of a ruled grid; None where it has no row of figures. Cells that are merged over rows hold for each of
    them; those of the heading that are merged over columns stand over each; in a row of figures such a cell is a
    doubt."""
    first = next((n for n, row in enumerate(grid) if is_row(_line_in(row))), None)
    if first is None or not grid:
        return None
    over = [["" if cell.from_above else cell.text for cell in row] for row in grid[:first]]
    ways = [joined(over[first - used :], len(grid[0])) for used in range(first + 1)]
    headings = ways[most_telling(ways)]
    rows = tuple(_grid_row(number, row) for number, row in enumerate(grid, 1) if number > first)
    return PrintedTable(where, headings, rows, above, notes)


@dataclass(frozen=True, slots=True)
class GridCell:
    """One place of a ruled grid: its text, and whether that stands there only because a merged cell reaches so far."""

    text: str = ""
    from_left: bool = False
    from_above: bool = False


def _line_in(row: Sequence[GridCell]) -> Line:
    return tuple(Chunk(c.text, float(n), n + 0.9) for n, c in enumerate(row) if c.text and not c.from_left)


def _grid_row(number: int, row: Sequence[GridCell]) -> PrintedRow:
    merged = next((cell.text for cell in row if cell.from_left and cell.text), "")
    doubt = f"{merged!r} stands over two columns" if merged else ""
    return PrintedRow(number, tuple("" if cell.from_left else cell.text for cell in row), doubt)
