"""Mixed-integer programs: written down here, answered at the least or the most cost within a time.

The rest of the product states a program and reads values; only ``bom.solver.highs`` knows the solver.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from time import monotonic

from bom.solver import highs
from bom.solver.highs import SolveOptions, Watch
from bom.solver.statement import (
    PROVEN,
    OutOfTime,
    Relaxation,
    Solution,
    Statement,
    infeasible,
)


@dataclass(slots=True)
class Program(Statement):
    """A mixed-integer program that can be answered."""

    def minimise(
        self, *, gap: float = 0.0, seconds: float = 60.0, start: Sequence[float] = (), watch: Watch | None = None
    ) -> Solution:
        """The least cost, stopping at a relative ``gap`` from proof, after ``seconds`` of wall clock, or when watched
        by somebody who has seen enough.

        ``start`` is an answer known beforehand, a value for every variable; one that breaks a row is passed over.
        Raises OutOfTime when nothing was found in time, Refused when the cost has no lower end.
        """
        until = monotonic() + seconds
        found = self._answered(SolveOptions(1.0, gap, seconds, start, watch))
        if not start or self._is_worth(found) or (watch is not None and watch.enough()):
            return found
        # Seen with HiGHS 1.16: after a start the objective may be stated lower than the values come to. The bound is
        # then safe but never closes, so what is left of the time goes to solving without the start.
        try:
            return self._answered(SolveOptions(1.0, gap, max(0.0, until - monotonic()), (), watch))
        except OutOfTime:
            return replace(found, status="feasible")

    def maximise(self, *, gap: float = 0.0, seconds: float = 60.0) -> Solution:
        """The most cost; else as ``minimise``."""
        return self._answered(SolveOptions(-1.0, gap, seconds))

    def relax(self, *, seconds: float = 60.0) -> Relaxation:
        """The least cost where integer variables may take any value between their bounds."""
        if not self.cost:
            return Relaxation(self._without_variables().status, 0.0)
        return highs.relaxed(self, seconds)

    def _answered(self, asked: SolveOptions) -> Solution:
        return highs.answered(self, asked) if self.cost else self._without_variables()

    def _is_worth(self, found: Solution) -> bool:
        """Whether the values come to the objective stated."""
        worth = sum(cost * value for cost, value in zip(self.cost, found.values, strict=False))
        return not found.values or abs(worth - found.objective) <= PROVEN * max(1.0, abs(worth))

    def _without_variables(self) -> Solution:
        held = all(low <= 0 <= high for low, high in zip(self.row_lower, self.row_upper, strict=True))
        return Solution("optimal", 0.0, 0.0, 0.0) if held else infeasible()
