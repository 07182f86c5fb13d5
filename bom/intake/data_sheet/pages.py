"""A PDF's pages as lines of words and as ruled tables, read in a process of its own that is bounded in time and memory.

Only here is the PDF library known. Nothing in a file is executed and nothing is fetched. A raised mark is written as
``^1``, so that 8.4 with a footnote is never 8.41. Letters printed twice over each other, as some bold ones are, count
once. A page without letters is a picture, and is said to be.
"""

from __future__ import annotations

import logging
import multiprocessing
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from statistics import median
from typing import Any

from bom.intake.data_sheet.printed import Chunk, GridCell, Line, PrintedTable, grid_table, is_footnote
from bom.intake.rows import instead
from bom.values.problem import Refused

MOST_BYTES, MOST_PAGES, MOST_SECONDS, MOST_MEMORY = 64_000_000, 20, 60.0, 1_000_000_000
"""A data sheet is smaller and read sooner; so many pages are read at once. Own choice."""
_MOST_LETTERS = 40_000
"""More than a page of print has."""


@dataclass(frozen=True, slots=True)
class Page:
    """One page: its ruled tables, and the lines of what else stands on it; in ``halves`` as two columns of print, where
    they may be such."""

    number: int
    ruled: tuple[PrintedTable, ...]
    lines: tuple[Line, ...]
    halves: tuple[tuple[Line, ...], ...]
    notes: tuple[str, ...]


def pages_of(path: Path, wanted: Sequence[int], seconds: float = MOST_SECONDS) -> tuple[Page, ...]:
    """These pages (1 = the first; none named = all); raises Refused, in one line, where the file cannot be read so."""
    _check(path, wanted)
    context = multiprocessing.get_context("spawn")
    here, there = context.Pipe(duplex=False)
    reading = context.Process(target=_read_there, args=(str(path), tuple(wanted), there), daemon=True)
    reading.start()
    there.close()
    try:
        return _received(here, path, seconds)
    finally:
        reading.kill()
        reading.join()


def _check(path: Path, wanted: Sequence[int]) -> None:
    try:
        size, begin = path.stat().st_size, path.open("rb").read(1024)
    except OSError as error:
        raise Refused(f"{path.name}: expected a file that can be read, found {instead(path, error)}") from None
    if b"%PDF-" not in begin:
        raise Refused(f"{path.name}: expected a PDF, found another kind of file")
    if size > MOST_BYTES:
        raise Refused(f"{path.name}: expected at most {MOST_BYTES // 1_000_000} MB, found {size // 1_000_000} MB")
    if len(wanted) > MOST_PAGES:
        raise Refused(f"{path.name}: expected at most {MOST_PAGES} pages at once, found {len(wanted)}")


def _received(here: Connection, path: Path, seconds: float) -> tuple[Page, ...]:
    if not here.poll(seconds):
        raise Refused(f"{path.name}: not read within {seconds:g} s: name the page with --page")
    try:
        answer = here.recv()
    except EOFError:
        raise Refused(f"{path.name}: too large or too broken a PDF to be read") from None
    if isinstance(answer, str):
        raise Refused(f"{path.name}: {answer}")
    pages: tuple[Page, ...] = answer
    return pages


def _read_there(path: str, wanted: tuple[int, ...], there: Connection) -> None:
    """In the other process: the pages, or why there are none."""
    logging.disable(logging.CRITICAL)
    _bound_memory()
    try:
        there.send(tuple(pages_here(path, wanted)))
    except Refused as refused:
        there.send(str(refused))
    except MemoryError:
        there.send(_TOO_LARGE)
    except Exception as error:
        there.send(_why_not(error))


_TOO_LARGE = "expected a PDF that can be read in a gigabyte of memory"


def _bound_memory() -> None:
    with suppress(ImportError, ValueError, OSError):  # not every system has it
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))


def _why_not(error: Exception) -> str:
    """In words of ours; the library's name for it stands behind, for whoever asks."""
    names = [type(e).__name__ for e in (error, *error.args) if isinstance(e, Exception)]
    if any("Password" in name or "Encryption" in name for name in names):
        return "expected a PDF without a password"
    if "MemoryError" in names:
        return _TOO_LARGE
    return f"expected a PDF that is whole ({', '.join(names)})"


def pages_here(path: str, wanted: tuple[int, ...]) -> Iterator[Page]:
    """The pages, read in this process and without its bounds."""
    import pdfplumber

    with pdfplumber.open(path) as pdf:
        count = len(pdf.pages)
        if strange := [n for n in wanted if not 1 <= n <= count]:
            raise Refused(f"expected a page from 1 to {count}, found {strange[0]}")
        if not wanted and count > MOST_PAGES:
            raise Refused(f"expected --page, as it has {count} pages and at most {MOST_PAGES} are read at once")
        pages = [_page(pdf, n) for n in wanted or range(1, count + 1)]
        if not any(page.lines or page.ruled for page in pages):
            raise Refused("expected text, found pictures alone, as of a scan: type the tables, or paste their text")
        yield from pages


def _page(pdf: Any, number: int) -> Page:
    page = _upright(pdf, number)
    if len(page.chars) > _MOST_LETTERS:
        raise Refused(f"expected a page of print, found {len(page.chars)} letters on page {number}")
    page = page.dedupe_chars()
    letters = [_Letter.of(char) for char in page.chars if char["text"].strip() and not _lies(char)]
    tables = [table for table in page.find_tables(_RULED) if len(table.rows) > 1 and len(table.rows[0].cells) > 1]
    outside = [one for one in letters if not any(one.is_in(table.bbox) for table in tables)]
    lines = tuple(_chunks(line) for line in _lines(outside))
    notes = tuple(said for line in lines if is_footnote(said := " ".join(c.text for c in line)))
    ruled = [
        grid_table(_grid(table, letters), f"page {number}, table {nth}", _above(outside, table), notes)
        for nth, table in enumerate(tables, 1)
    ]
    return Page(number, tuple(filter(None, ruled)), lines, _halves(outside), notes)


_RULED = {"vertical_strategy": "lines", "horizontal_strategy": "lines", "snap_tolerance": 3}


def _upright(pdf: Any, number: int) -> Any:
    """The page so turned that most of its letters stand upright."""
    from pdfplumber.page import Page as PdfPage

    page = pdf.pages[number - 1]
    lies = Counter(_lies(char) for char in page.chars)
    turn = lies.most_common(1)[0][0] if lies else 0
    if not turn:
        return page
    page.page_obj.rotate = (page.page_obj.rotate + turn) % 360
    page.page_obj.attrs["Rotate"] = page.page_obj.rotate
    return PdfPage(pdf, page.page_obj, number, 0)


def _lies(char: Mapping[str, Any]) -> int:
    """By how many degrees clockwise the page must be turned for this letter to stand upright."""
    across, up = char["matrix"][:2]
    if abs(across) >= abs(up):
        return 0 if across > 0 else 180
    return 90 if up > 0 else 270


# ---- letters, lines, chunks ----------------------------------------------------------------------------------------

# Shares of a letter's size. A blank is about 0.28 of it in most fonts, two words of a phrase are hardly 0.6 apart, and
# columns never so near; a raised mark is at most 0.8 as large as what it stands at. Common practice, no source.
_WORD_GAP, _CHUNK_GAP, _RAISED, _LINE = 0.15, 0.75, 0.82, 0.5
_GUTTER_POINTS = 9.0


@dataclass(frozen=True, slots=True)
class _Letter:
    text: str
    left: float
    right: float
    top: float
    bottom: float
    size: float

    @classmethod
    def of(cls, char: Mapping[str, Any]) -> _Letter:
        return cls(char["text"], char["x0"], char["x1"], char["top"], char["bottom"], char["size"])

    def is_in(self, box: tuple[float, float, float, float]) -> bool:
        x, y = (self.left + self.right) / 2, (self.top + self.bottom) / 2
        return box[0] <= x <= box[2] and box[1] <= y <= box[3]


def _lines(letters: Sequence[_Letter]) -> list[list[_Letter]]:
    """Letters by the line that they stand on, the upper first, each from left to right; raised marks go with those
    that they stand at."""
    lines: list[list[_Letter]] = []
    for one in sorted(letters, key=lambda letter: (-letter.size, letter.bottom)):
        line = next((line for line in lines if _stands_on(one, line)), None)
        if line is None:
            lines.append(line := [])
        line.append(one)
    lines.sort(key=lambda line: median(letter.bottom for letter in line))
    return [sorted(line, key=lambda letter: letter.left) for line in lines]


def _stands_on(one: _Letter, line: Sequence[_Letter]) -> bool:
    base = line[0]
    if one.size < _RAISED * base.size:
        return base.top - _LINE * one.size <= (one.top + one.bottom) / 2 <= base.bottom
    return abs(one.bottom - base.bottom) <= _LINE * one.size


def _chunks(line: Sequence[_Letter]) -> Line:
    """The line's words, those near each other together."""
    return tuple(
        Chunk(_text(part), part[0].left, part[-1].right, tuple(_words(part))) for part in _parts(line, _CHUNK_GAP)
    )


def _words(letters: Sequence[_Letter]) -> Iterator[Chunk]:
    size = max(letter.size for letter in letters)
    for part in _parts(letters, _WORD_GAP):
        said = _text(part)
        raised = max(letter.size for letter in part) < _RAISED * size
        yield Chunk(f"^{said}" if raised else said, part[0].left, part[-1].right)


def _parts(letters: Sequence[_Letter], gap: float) -> list[list[_Letter]]:
    """Letters parted where the gap between two is wider than this share of their size."""
    parts: list[list[_Letter]] = []
    for one in letters:
        if parts and one.left - parts[-1][-1].right <= gap * max(one.size, parts[-1][-1].size):
            parts[-1].append(one)
        else:
            parts.append([one])
    return parts


def _text(letters: Sequence[_Letter]) -> str:
    """The letters with blanks between words, and ``^`` before what is raised."""
    size = max(letter.size for letter in letters)
    base = median(letter.bottom for letter in letters if letter.size >= _RAISED * size)
    said, raised = "", False
    for n, one in enumerate(letters):
        up = one.size < _RAISED * size and one.bottom < base - 0.1 * size
        if n and one.left - letters[n - 1].right > _WORD_GAP * size:
            said += " "
        said += ("^" if up and not raised else "") + _UNRAISED.get(one.text, one.text)
        raised = up
    return said


_UNRAISED = {mark: f"^{digit}" for mark, digit in zip("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789", strict=True)}


def _halves(letters: Sequence[_Letter]) -> tuple[tuple[Line, ...], ...]:
    """The lines left and right of the widest gap down the middle of the page; nothing where there is none."""
    if not letters:
        return ()
    left, right = min(one.left for one in letters), max(one.right for one in letters)
    quarter = (right - left) / 4
    words = [
        (c.left, c.right) for line in map(_chunks, _lines(letters)) for c in line if c.right - c.left < 2.4 * quarter
    ]
    edges = sorted({x for _, x in words if left + quarter < x < right - quarter})
    gaps = [(min((a for a, _ in words if a >= x), default=x) - x, x) for x in edges if not _crossed(words, x + 0.1)]
    wide, at = max(gaps, default=(0.0, 0.0))
    if wide < _GUTTER_POINTS:
        return ()
    middle = at + wide / 2
    sides = ([o for o in letters if o.right <= middle], [o for o in letters if o.left > middle])
    return tuple(tuple(_chunks(line) for line in _lines(side)) for side in sides)


def _crossed(words: Sequence[tuple[float, float]], x: float) -> bool:
    return any(left < x < right for left, right in words)


# ---- ruled tables --------------------------------------------------------------------------------------------------

Box = tuple[float, float, float, float]


def _grid(table: Any, letters: Sequence[_Letter]) -> list[list[GridCell]]:
    """The table's places, with what stands in each, also where a cell is merged over several."""
    xs = sorted({round(x, 1) for cell in table.cells for x in (cell[0], cell[2])})
    ys = sorted({round(y, 1) for cell in table.cells for y in (cell[1], cell[3])})
    said = {cell: _cell_text([one for one in letters if one.is_in(cell)]) for cell in table.cells}
    return [[_at(said, xs, ys, x, y) for x in range(len(xs) - 1)] for y in range(len(ys) - 1)]


def _at(said: Mapping[Box, str], xs: Sequence[float], ys: Sequence[float], x: int, y: int) -> GridCell:
    across, down = (xs[x] + xs[x + 1]) / 2, (ys[y] + ys[y + 1]) / 2
    for (left, top, right, bottom), text in said.items():
        if left <= across <= right and top <= down <= bottom:
            return GridCell(text, left < xs[x] - 1, top < ys[y] - 1)
    return GridCell()


def _cell_text(letters: Sequence[_Letter]) -> str:
    return " ".join(" ".join(chunk.text for chunk in _chunks(line)) for line in _lines(letters))


def _above(letters: Sequence[_Letter], table: Any) -> str:
    """The nearest line above the table, as far as it stands over it."""
    left, top, right, _ = table.bbox
    over = [one for one in letters if left - 1 <= one.left <= right and top - _ABOVE_POINTS < one.bottom <= top + 1]
    nearest = _lines(over)[-1:]
    return " ".join(chunk.text for line in nearest for chunk in _chunks(line))


_ABOVE_POINTS = 40.0
