"""Knows what comes out when a program is answered: values, how near proof they are, or that there is no answer."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from bom.values.problem import Refused

Status = Literal["optimal", "feasible", "infeasible"]
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

    status: Status
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

    status: Status
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
