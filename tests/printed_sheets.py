"""Invented data sheets as PDFs, made with a general PDF library: tables ruled or not, in one column or two, turned,
with headings split and merged, footnotes raised or not, decimal points or commas."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from reportlab.lib.pagesizes import A4
from reportlab.pdfgen.canvas import Canvas

HEADINGS: Mapping[str, Sequence[tuple[str, ...]]] = {
    "code": [("Coil code",), ("Order", "code"), ("Type",)],
    "coil_volts": [("Nominal voltage (VDC)",), ("Rated coil", "voltage (V DC)"), ("Coil voltage,", "VDC")],
    "coil_ohms": [("Coil resistance (ohm)",), ("Coil resistance", "(ohm) ±10 %"), ("Resistance", "at 20 °C, ohm")],
    "operate_volts": [("Must operate", "voltage (VDC)"), ("Pull-in voltage", "max. (V)"), ("Pick-up", "voltage (V)")],
    "release_volts": [("Must release", "voltage (VDC)"), ("Drop-out voltage", "min. (V)")],
    "coil_max_volts": [("Max. voltage (V)",), ("Maximum continuous", "voltage (V)")],
    "coil_milliwatts": [("Power (mW)",), ("Power consumption", "(mW)"), ("Rated coil", "power, mW")],
    "weight": [("Weight (g)",), ("Colour",)],
}
WORDS = ("The relay", "is sealed", "and may", "be washed", "after", "soldering", "as is usual", "today", "on boards")


BOLD = {"Helvetica": "Helvetica-Bold", "Times-Roman": "Times-Bold", "Courier": "Courier-Bold"}


@dataclass(frozen=True)
class Sheet:
    """A table to print: headings of one or two rows, cells as they are printed, and how."""

    headings: Sequence[tuple[str, ...]]
    rows: Sequence[Sequence[str]]
    ruled: bool = True
    right: bool = False
    size: float = 9.0
    gap: float = 14.0
    font: str = "Helvetica"
    caption: str = "Coil data"
    footnotes: Sequence[str] = ()
    beside: bool = False
    neighbour: Sheet | None = None
    turned: int = 0
    merged: Sequence[tuple[int, int, int]] = ()
    """Column, first and last row (0 = the first of figures) of cells that are merged over rows. A ``neighbour`` is
    printed in the other half of the page."""


def draw(file: Path, *sheets: Sheet, password: str = "") -> Path:
    """Each sheet on a page of its own."""
    canvas = Canvas(str(file), pagesize=A4, encrypt=password or None, invariant=1)
    for sheet in sheets:
        _draw(canvas, sheet)
        if sheet.neighbour is not None:
            _draw(canvas, sheet.neighbour, A4[0] / 2 + 10)
        canvas.setPageRotation(sheet.turned)
        canvas.showPage()
    canvas.save()
    return file


def _draw(canvas: Canvas, sheet: Sheet, left: float = 40.0) -> None:
    wide, high = A4
    lines = max(len(heading) for heading in sheet.headings)
    step = 1.9 * sheet.size
    top = high - 120
    canvas.setFont(BOLD[sheet.font], sheet.size + 2)
    canvas.drawString(left, top + 2 * step, sheet.caption)
    widths = [_width(canvas, sheet, n) for n in range(len(sheet.headings))]
    edges = [left + sum(widths[:n]) for n in range(len(widths) + 1)]
    canvas.setFont(BOLD[sheet.font], sheet.size)
    for n, heading in enumerate(sheet.headings):
        for nth, words in enumerate(heading):
            canvas.drawString(edges[n] + sheet.gap / 3, top - (lines - len(heading) + nth) * 1.2 * sheet.size, words)
    under = top - (lines - 1) * 1.2 * sheet.size - 0.5 * step
    canvas.setFont(sheet.font, sheet.size)
    hidden = {(column, row) for column, first, last in sheet.merged for row in range(first + 1, last + 1)}
    for row, cells in enumerate(sheet.rows):
        base = under - row * step - 0.7 * step
        for n, cell in enumerate(cells):
            if (n, row) not in hidden:
                _cell(canvas, cell, edges[n] + sheet.gap / 3, edges[n + 1] - sheet.gap / 3, base, sheet)
    if sheet.ruled:
        _rule(canvas, edges, top + step * 0.6, under, step, len(sheet.rows), hidden)
    canvas.setFont("Helvetica", 7)
    for nth, note in enumerate(sheet.footnotes):
        canvas.drawString(left, under - (len(sheet.rows) + 1.5) * step - 9 * nth, note)
    if sheet.beside:
        _text_beside(canvas, max(edges[-1] + 25, wide / 2 + 10), top + 3 * step)


def _width(canvas: Canvas, sheet: Sheet, column: int) -> float:
    said = [*sheet.headings[column], *(row[column].replace("^", "") for row in sheet.rows)]
    return sheet.gap + max(canvas.stringWidth(text, BOLD[sheet.font], sheet.size) for text in said)


def _cell(canvas: Canvas, cell: str, left: float, right: float, base: float, sheet: Sheet) -> None:
    """The cell's words, what follows a ``^`` raised and small."""
    words, _, raised = cell.partition("^")
    width = canvas.stringWidth(words, sheet.font, sheet.size)
    start = right - width - (0.5 * sheet.size if "^" in cell else 0) if sheet.right else left
    canvas.drawString(start, base, words)
    if raised:
        canvas.setFont(sheet.font, 0.6 * sheet.size)
        canvas.drawString(start + width, base + 0.35 * sheet.size, raised)
        canvas.setFont(sheet.font, sheet.size)


def _rule(
    canvas: Canvas,
    edges: Sequence[float],
    top: float,
    under: float,
    step: float,
    rows: int,
    hidden: set[tuple[int, int]],
) -> None:
    bottom = under - rows * step
    canvas.setLineWidth(0.5)
    for x in edges:
        canvas.line(x, top, x, bottom)
    canvas.line(edges[0], top, edges[-1], top)
    for row in range(rows + 1):
        for column in range(len(edges) - 1):
            if (column, row) not in hidden:
                canvas.line(edges[column], under - row * step, edges[column + 1], under - row * step)


def _text_beside(canvas: Canvas, left: float, top: float) -> None:
    canvas.setFont("Helvetica", 8)
    for nth in range(24):
        words = " ".join(WORDS[(nth * 5 + k) % len(WORDS)] for k in range(4))
        canvas.drawString(left, top - 10.5 * nth, words)
