"""A problem is one thing wrong in a file, with its place and what was expected there.

Importers collect problems as values and raise them all at once, so that nobody mends a file one error at a time.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass


class Refused(Exception):
    """Bad input or a wish that cannot be met: the message is one clear line for a person."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong: file, line (1 = the first, 0 = the whole file), column name, what was expected and found.

    ``cell`` is the place in a spreadsheet, as in D7, where the file's program shows it so.
    """

    file: str
    line: int
    column: str
    expected: str
    found: str = ""
    cell: str = ""

    def __str__(self) -> str:
        place = f"{self.file}, cell {self.cell}" if self.cell else self.file + (f":{self.line}" if self.line else "")
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
        super().__init__("\n".join(_said(self.problems)))


_MANY, _FIRST = 8, 3  # more than so many alike are one slip of a whole column; then the first few show it


def _said(problems: Sequence[Problem]) -> Iterator[str]:
    """A line each; of many that expect the same in one column only the first few, and how many more lines have it."""
    alike: dict[tuple[str, str, str], list[Problem]] = {}
    for problem in problems:
        alike.setdefault(_asked(problem), []).append(problem)
    for problem in problems:
        same = alike[_asked(problem)]
        if len(same) <= _MANY or problem in same[: _FIRST - 1]:
            yield str(problem)
        elif problem is same[_FIRST - 1]:
            lines = [other.line for other in same[_FIRST:]]
            yield f"{problem}, and so in {len(lines)} more lines, {min(lines)} to {max(lines)}"


def _asked(problem: Problem) -> tuple[str, str, str]:
    return problem.file, problem.column, problem.expected
