"""What a sheet says beside its values, which the library that reads values leaves out: errors, formulas without a saved
result, how numbers are shown, hidden rows; and how far its cells reach, counted before anything is made of them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from bom.intake.spreadsheets.bounds import MOST_CELLS, MOST_COLUMNS
from bom.values.problem import Refused

Place = tuple[int, int]
"""A cell's row (1 = the first) and column (0 = A)."""
NO_RESULT = "a formula whose result was not saved"


@dataclass(slots=True)
class Marks:
    """What one sheet says beside its values. ``forms`` are formats of numbers, ``shown`` what a cell shows in full,
    ``remarks`` what somebody pinned to a cell."""

    broken: dict[Place, str] = field(default_factory=dict)
    forms: dict[Place, str] = field(default_factory=dict)
    shown: dict[Place, str] = field(default_factory=dict)
    merged: list[tuple[Place, Place]] = field(default_factory=list)
    hidden_rows: set[int] = field(default_factory=set)
    remarks: dict[Place, str] = field(default_factory=dict)
    cells: int = 0
    texts: int = 0
    last_row: int = 0
    first_row: int = 0
    last_column: int = -1

    def met(self, row: int, column: int, times: int = 1, rows: int = 1) -> None:
        """A cell that holds something, repeated so often to the right and downwards; raises Refused beyond a bound."""
        self.cells += times * rows
        self.first_row = self.first_row or row
        self.last_row = max(self.last_row, row + rows - 1)
        self.last_column = max(self.last_column, column + times - 1)
        if self.last_column >= MOST_COLUMNS:
            raise Refused(f"a sheet of at most {MOST_COLUMNS} columns")
        if (self.last_row - self.first_row + 1) * (self.last_column + 1) > MOST_CELLS or self.cells > MOST_CELLS:
            raise Refused(f"a sheet of at most {MOST_CELLS:,} cells (a longer list is read as CSV)")


_PLAIN = {"general", "0", "@", "#,##0", "standard"}
_TEXT_IN_IT = re.compile(r'"[^"]*"|\\.|\[[^\]]*\]|_.|\*.')
_DAYS = re.compile(r"[ymdhs]", re.IGNORECASE)
# The formats that a number in a file stands for (ECMA-376 part 1, 18.8.30), but those that are plain or days.
BUILT_IN = {2: "0.00", 4: "#,##0.00", 9: "0%", 10: "0.00%", 11: "0.00E+00", 12: "# ?/?", 13: "# ??/??", 48: "##0.0E+0"}


def form_of(number: int, custom: dict[int, str]) -> str:
    """The format of this number where it shows a number otherwise than it is; empty for plain ones, days and times."""
    form = custom.get(number) or BUILT_IN.get(number, "")
    first = form.split(";")[0]
    plain = first.casefold() in _PLAIN
    return "" if plain or (_DAYS.search(_TEXT_IN_IT.sub("", first)) and "E+" not in first.upper()) else first


def shown_as(number: float, form: str) -> str:
    """What a cell of this format shows, as near as matters here: exponents, leading zeros, per cent, decimals."""
    bare = _TEXT_IN_IT.sub("", form).strip()
    text_in_it = bool(re.search(r'"[^"]*\w[^"]*"', form))
    decimals = len(re.search(r"(?<=\.)[0#?]*", bare)[0]) if "." in bare else 0  # type: ignore[index]  # a point is there
    if "E+" in bare.upper() or "E-" in bare.upper():
        return f"{number:.{decimals}E}"
    if bare.endswith("%"):
        return f"{number * 100:.15g}%"
    if re.fullmatch(r"0+", bare) and not text_in_it and number == int(number):
        return f"{int(number):0{len(bare)}d}"
    amount = f"{number:.{decimals}f}" if re.fullmatch(r"[#,0.?]+", bare) else f"{number:.15g}"
    return f"{amount} in the format {form}" if text_in_it or not re.fullmatch(r"[#,0.?]+", bare) else amount
