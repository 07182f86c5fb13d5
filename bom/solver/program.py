"""Knows mixed-integer programs: variables with bounds and costs, rows with bounds, and who solves them (HiGHS).

The rest of the product states a program and reads values; nothing outside this file knows the solver.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from time import monotonic
from typing import Any, Literal

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


@dataclass(slots=True)
class Program:
    """A mixed-integer program being written down; columns and rows are numbered from 0 in the order they are added."""

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

    def minimise(self, *, gap: float = 0.0, seconds: float = 60.0, start: Sequence[float] = ()) -> Solution:
        """The least cost, stopping at a relative ``gap`` from proof or after ``seconds`` of wall clock.

        ``start`` is an answer known beforehand, a value for every variable; one that breaks a row is passed over.
        Raises OutOfTime when nothing was found in time, Refused when the cost has no lower end.
        """
        until = monotonic() + seconds
        found = self._solve(1.0, gap, seconds, start)
        if not start or self._is_worth(found):
            return found
        # Seen with HiGHS 1.16: after a start the objective may be stated lower than the values come to. The bound is
        # then safe but never closes, so what is left of the time goes to solving without the start.
        try:
            return self._solve(1.0, gap, max(0.0, until - monotonic()), ())
        except OutOfTime:
            return replace(found, status="feasible")

    def _is_worth(self, found: Solution) -> bool:
        """Whether the values come to the objective stated."""
        worth = sum(cost * value for cost, value in zip(self.cost, found.values, strict=False))
        return not found.values or abs(worth - found.objective) <= PROVEN * max(1.0, abs(worth))

    def relax(self, *, seconds: float = 60.0) -> Relaxation:
        """The least cost where integer variables may take any value between their bounds."""
        if not self.cost:
            return Relaxation(self._without_variables().status, 0.0)
        import highspy

        solver = _quiet(highspy, 0.0, seconds)
        solver.setOptionValue("presolve", "off")  # a quarter faster on the plans measured
        solver.passModel(self._model(highspy, 1.0, whole=False))
        solver.run()
        status, kinds = solver.getModelStatus(), highspy.HighsModelStatus
        if status == kinds.kInfeasible:
            return Relaxation("infeasible", math.nan)
        if status != kinds.kOptimal:
            return Relaxation("feasible", -INFINITY)
        found = solver.getSolution()
        objective = float(solver.getInfo().objective_function_value)
        return Relaxation("optimal", objective, tuple(found.col_value), tuple(found.col_dual), tuple(found.row_dual))

    def part(self, columns: Sequence[int], rows: Sequence[int], costs: Sequence[float]) -> Program:
        """Some columns at other costs, in the order given, with some rows that hold no others."""
        places = {column: n for n, column in enumerate(columns)}
        part = Program()
        for column, cost in zip(columns, costs, strict=True):
            part.variable(self.lower[column], self.upper[column], integer=self.integer[column], cost=cost)
        for row in rows:
            cells = range(self.starts[row], self.starts[row + 1])
            terms = {places[self.indices[k]]: self.coefficients[k] for k in cells}
            part.row(self.row_lower[row], self.row_upper[row], terms)
        return part

    def narrowed(self, relaxation: Relaxation, slack: float) -> Program:
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

    def maximise(self, *, gap: float = 0.0, seconds: float = 60.0) -> Solution:
        """The most cost; else as ``minimise``."""
        return self._solve(-1.0, gap, seconds, ())

    def _solve(self, sign: float, gap: float, seconds: float, start: Sequence[float]) -> Solution:
        if not self.cost:
            return self._without_variables()
        import highspy

        solver = _quiet(highspy, gap, seconds)
        solver.passModel(self._model(highspy, sign))
        if start:
            known = highspy.HighsSolution()
            known.col_value = list(start)
            solver.setSolution(known)
        solver.run()
        if solver.getModelStatus() == highspy.HighsModelStatus.kUnboundedOrInfeasible:
            solver.setOptionValue("presolve", "off")  # only then does the solver tell the two apart
            solver.run()
        return self._answer(highspy, solver, sign, seconds)

    def _without_variables(self) -> Solution:
        held = all(low <= 0 <= high for low, high in zip(self.row_lower, self.row_upper, strict=True))
        return Solution("optimal", 0.0, 0.0, 0.0) if held else _infeasible()

    def _model(self, highspy: Any, sign: float, *, whole: bool = True) -> Any:
        model = highspy.HighsLp()
        model.num_col_, model.num_row_ = len(self.cost), len(self.row_lower)
        model.col_cost_ = [sign * c for c in self.cost]
        model.col_lower_, model.col_upper_ = self.lower, self.upper
        model.row_lower_, model.row_upper_ = self.row_lower, self.row_upper
        if whole and any(self.integer):
            kinds = highspy.HighsVarType
            model.integrality_ = [kinds.kInteger if i else kinds.kContinuous for i in self.integer]
        matrix = model.a_matrix_
        matrix.format_ = highspy.MatrixFormat.kRowwise
        matrix.num_col_, matrix.num_row_ = model.num_col_, model.num_row_
        matrix.start_, matrix.index_, matrix.value_ = self.starts, self.indices, self.coefficients
        return model

    def _answer(self, highspy: Any, solver: Any, sign: float, seconds: float) -> Solution:
        status, info = solver.getModelStatus(), solver.getInfo()
        kinds = highspy.HighsModelStatus
        if status == kinds.kInfeasible:
            return _infeasible()
        if status == kinds.kUnbounded:
            raise Refused("the programme has no best answer: its objective can go on improving for ever")
        if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
            raise OutOfTime(f"no answer found in {seconds:g} s; allow more seconds")
        return self._found(solver, info, sign, status == kinds.kOptimal)

    def _found(self, solver: Any, info: Any, sign: float, finished: bool) -> Solution:
        objective = float(info.objective_function_value)
        bound = float(info.mip_dual_bound) if any(self.integer) else (objective if finished else -INFINITY)
        gap = gap_between(objective, bound)
        found = zip(solver.getSolution().col_value, self.integer, strict=True)
        values = tuple(round(v) if whole else float(v) for v, whole in found)
        status: Status = "optimal" if gap <= PROVEN else "feasible"
        return Solution(status, sign * objective, sign * bound, gap, values)


def gap_between(cost: float, bound: float) -> float:
    """How far a cost may be from the best, as a share of the cost: 0 where the bound meets it."""
    short = abs(cost - bound)
    if short <= TOLERANCE:
        return 0.0
    return short / abs(cost) if cost else INFINITY


def _infeasible() -> Solution:
    return Solution("infeasible", math.nan, math.nan, math.nan)


def _quiet(highspy: Any, gap: float, seconds: float) -> Any:
    solver = _silent_kind(highspy)()
    for name, value in (
        ("output_flag", False),
        ("time_limit", float(seconds)),
        ("mip_rel_gap", float(gap)),
        ("mip_abs_gap", TOLERANCE),
        ("mip_feasibility_tolerance", TOLERANCE),
        ("primal_feasibility_tolerance", TOLERANCE),
    ):
        solver.setOptionValue(name, value)
    return solver


def _silent_kind(highspy: Any) -> Any:
    """The solver's class, silenced before its constructor prints a banner into our standard output."""

    def silenced(self: Any) -> None:
        self.setOptionValue("output_flag", False)
        highspy.Highs.enableCallbacks(self)

    return type("Silent", (highspy.Highs,), {"enableCallbacks": silenced})
