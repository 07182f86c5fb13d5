"""A mixed-integer program as it is written down (variables with bounds and costs, rows with bounds), and its answers.

An answer is the values and how near proof they are, or that there is none.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal, Self

from bom.values.problem import Refused

SolveStatus = Literal["optimal", "feasible", "infeasible"]
INFINITY = math.inf

# Relative distance between objective and bound below which an answer is called optimal. Own choice: far below a cent.
PROVEN = 1e-7
# Primal and integrality tolerance, the tightest the solver takes for integrality (1e-10) times ten. Own choice.
TOLERANCE = 1e-9


class OutOfTime(Refused):
    """The time ran out before any answer was found."""


@dataclass(frozen=True, slots=True)
class Solution:
    """What came out: *optimal* (proven), *feasible* (best found, ``gap`` away from proof at most) or *infeasible*.

    ``values`` are in the order of the variables; integer variables come rounded to ``int``. ``gap`` is a share of the
    objective. An infeasible program has no values, and NaN for its objective and bound.
    """

    status: SolveStatus
    objective: float
    bound: float
    gap: float
    values: tuple[float, ...] = ()

    def whole(self, variable: int) -> int:
        """An integer variable's value."""
        return round(self.values[variable])


@dataclass(frozen=True, slots=True)
class Relaxation:
    """The program answered as if nothing had to be whole: ``objective`` bounds every whole answer from below.

    ``reduced_costs`` say what one more unit of a variable costs at least, ``prices`` what one more unit of a row's
    bound does. *feasible*: it was not finished in time, and then the bound is minus infinity and nothing is known of
    the variables.
    """

    status: SolveStatus
    objective: float
    values: tuple[float, ...] = ()
    reduced_costs: tuple[float, ...] = ()
    prices: tuple[float, ...] = ()


def gap_between(cost: float, bound: float) -> float:
    """How far a cost may be from the best, as a share of the cost: 0 where the bound meets it."""
    short = abs(cost - bound)
    if short <= TOLERANCE:
        return 0.0
    return short / abs(cost) if cost else INFINITY


def infeasible() -> Solution:
    """That no values keep to every row."""
    return Solution("infeasible", math.nan, math.nan, math.nan)


@dataclass(slots=True)
class Statement:
    """A program being written down; columns and rows are numbered from 0 in the order they are added."""

    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    cost: list[float] = field(default_factory=list)
    integer: list[bool] = field(default_factory=list)
    row_lower: list[float] = field(default_factory=list)
    row_upper: list[float] = field(default_factory=list)
    starts: list[int] = field(default_factory=lambda: [0])
    indices: list[int] = field(default_factory=list)
    coefficients: list[float] = field(default_factory=list)

    def variable(self, lower: float = 0.0, upper: float = INFINITY, *, integer: bool = False, cost: float = 0.0) -> int:
        """A new variable's number."""
        self.lower.append(lower)
        self.upper.append(upper)
        self.integer.append(integer)
        self.cost.append(cost)
        return len(self.cost) - 1

    def yes_no(self, *, cost: float = 0.0) -> int:
        """A new variable that is 0 or 1."""
        return self.variable(0.0, 1.0, integer=True, cost=cost)

    def row(self, lower: float, upper: float, terms: Mapping[int, float]) -> None:
        """lower <= sum of coefficient times variable <= upper; infinite bounds are open."""
        self.row_lower.append(lower)
        self.row_upper.append(upper)
        self.indices.extend(terms.keys())
        self.coefficients.extend(terms.values())
        self.starts.append(len(self.indices))

    def part(self, columns: Sequence[int], rows: Sequence[int], costs: Sequence[float]) -> Self:
        """Some columns at other costs, in the order given, with some rows that hold no others."""
        places = {column: n for n, column in enumerate(columns)}
        part = type(self)()
        for column, cost in zip(columns, costs, strict=True):
            part.variable(self.lower[column], self.upper[column], integer=self.integer[column], cost=cost)
        for row in rows:
            cells = range(self.starts[row], self.starts[row + 1])
            terms = {places[self.indices[k]]: self.coefficients[k] for k in cells}
            part.row(self.row_lower[row], self.row_upper[row], terms)
        return part

    def narrowed(self, relaxation: Relaxation, slack: float) -> Self:
        """This program (minimised) without the answers that must cost more than the relaxation and ``slack``.

        Each integer variable that rests on a bound may leave it only as far as its reduced cost allows (reduced-cost
        fixing: textbook, Wolsey, Integer Programming, from memory). Rows are shared with this program, not copied.
        """
        if relaxation.status != "optimal" or math.isinf(slack):
            return self
        lower, upper = list(self.lower), list(self.upper)
        for n, (cost, value, whole) in enumerate(
            zip(relaxation.reduced_costs, relaxation.values, self.integer, strict=True)
        ):
            if whole and cost > TOLERANCE and value <= lower[n] + TOLERANCE:
                upper[n] = min(upper[n], lower[n] + math.floor(slack / cost + TOLERANCE))
            elif whole and cost < -TOLERANCE and value >= upper[n] - TOLERANCE:
                lower[n] = max(lower[n], upper[n] - math.floor(slack / -cost + TOLERANCE))
        return replace(self, lower=lower, upper=upper)
