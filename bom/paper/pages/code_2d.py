"""Knows the 2-D code on a label: a QR code of the fields that goods-in reads back from any bag, drawn in mm.

The fields carry ANSI MH10.8.2 data identifiers (P part, Q quantity, 1T lot, 10D date code, 14D use by) in an ISO/IEC
15434 envelope, format 06; both from memory. Error correction M (15 %) and a quiet zone of 4 modules: ISO/IEC 18004,
from memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from bom.paper.readable import one_line

RS, GS, EOT = "\x1e", "\x1d", "\x04"
QUIET = 4
"""Modules left white around a QR code."""
MODULE_MM = 0.5
"""A good module: four dots of a 203 dpi label printer, six of a 300 dpi one. Own choice."""


@dataclass(frozen=True, slots=True)
class Carried:
    """What the code says; an empty field is left out."""

    part: str
    quantity: str = ""
    lot: str = ""
    date_code: str = ""
    use_by: date | None = None

    def text(self) -> str:
        """The fields in their envelope."""
        use_by = self.use_by.strftime("%Y%m%d") if self.use_by else ""
        values = (("P", self.part), ("Q", self.quantity), ("1T", self.lot), ("10D", self.date_code), ("14D", use_by))
        fields = [name + one_line(value) for name, value in values if value]
        return f"[)>{RS}06{GS}{GS.join(fields)}{RS}{EOT}"


def good_size(carried: Carried) -> float:
    """The side of the code in mm, its quiet zone in, when its modules are of a good size."""
    return modules_across(carried) * MODULE_MM


def modules_across(carried: Carried) -> int:
    """How many modules wide the code is, its quiet zone in."""
    return len(modules(carried.text())) + 2 * QUIET


def code(carried: Carried, x: float, y: float, side: float) -> str:
    """The code as an SVG path: a square of ``side`` mm with its corner at (x, y), the quiet zone in."""
    rows = modules(carried.text())
    module = side / (len(rows) + 2 * QUIET)
    runs = "".join(f"M{n + QUIET} {m + QUIET}h{run}v1h-{run}z" for m, row in enumerate(rows) for n, run in _runs(row))
    place = f"translate({x:.3f} {y:.3f}) scale({module:.4f})"
    return f'<path class="code" transform="{place}" d="{runs}"/>'


def modules(text: str) -> Sequence[Sequence[bool]]:
    """The code's rows of modules, dark = True, without the quiet zone."""
    import segno

    return [[bool(dark) for dark in row] for row in segno.make(text, error="m", micro=False, boost_error=False).matrix]


def _runs(row: Sequence[bool]) -> Iterator[tuple[int, int]]:
    """(start, length) of every run of dark modules."""
    start = None
    for n, dark in enumerate([*row, False]):
        if dark and start is None:
            start = n
        elif not dark and start is not None:
            yield start, n - start
            start = None
