"""Problems as a person reads them: each with its place; a slip of a whole column is told once, not once a cell."""

from __future__ import annotations

from bom.values.problem import Problem, ProblemsFound


def days(count: int) -> list[Problem]:
    return [Problem("u.csv", line, "date", "a date such as 2026-11-25", f"{line}/1/26") for line in range(2, count + 2)]


def test_a_few_problems_are_told_one_by_one_in_their_order() -> None:
    other = Problem("u.csv", 3, "quantity", "a number")
    few = [*days(2), other, *days(4)[2:]]
    assert str(ProblemsFound(few)).splitlines() == [str(problem) for problem in few]


def test_a_slip_of_a_whole_column_is_told_in_three_lines_and_all_of_it_is_kept() -> None:
    found = ProblemsFound([*days(139), Problem("u.csv", 7, "quantity", "a number")])
    lines = str(found).splitlines()
    assert len(lines) == 4 and len(found.problems) == 140
    assert lines[2].endswith("found '4/1/26', and so in 136 more lines, 5 to 140")
    assert lines[3] == "u.csv:7 [quantity]: expected a number"
