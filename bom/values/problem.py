"""A problem is one thing wrong in a file, with its place and what was expected there.

Importers collect problems as values and raise them all at once, so that nobody mends a file one error at a time.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


class Refused(Exception):
    """Bad input or a wish that cannot be met: the message is one clear line for a person."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong: file, line (1 = the first, 0 = the whole file), column name, what was expected and found."""

    file: str
    line: int
    column: str
    expected: str
    found: str = ""

    def __str__(self) -> str:
        place = self.file + (f":{self.line}" if self.line else "")
        column = f" {_shown(self.column)}" if self.column else ""
        found = f", found {self.found!r}" if self.found else ""
        return f"{place}{column}: expected {self.expected}{found}"


def _shown(column: str) -> str:
    """A column or key in brackets; of a whole table only its heading, as in [line] 3."""
    heading, _, nth = column.removesuffix("]").rpartition("[")
    return f"[{heading}] {nth}" if column.endswith("]") else f"[{column}]"


class ProblemsFound(Refused):
    """An import was refused; ``problems`` holds every problem found, and nothing was taken."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(p) for p in self.problems))
