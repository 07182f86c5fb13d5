"""The solver (HiGHS, through its own Python interface): how a program is handed over, watched and read back.

It is loaded when first used. Nothing outside this file knows it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from bom.solver.statement import (
    INFINITY,
    PROVEN,
    TOLERANCE,
    OutOfTime,
    Relaxation,
    Solution,
    SolveStatus,
    Statement,
    gap_between,
    infeasible,
)
from bom.values.problem import Refused


@dataclass(frozen=True, slots=True)
class Watch:
    """Somebody who watches a search: ``heard`` gets every better cost and the bound, ``enough`` ends the search."""

    heard: Callable[[float, float], None]
    enough: Callable[[], bool]


@dataclass(frozen=True, slots=True)
class SolveOptions:
    """How a program is to be answered: at the least cost (``sign`` 1) or the most (-1), how near proof, how soon."""

    sign: float
    gap: float
    seconds: float
    start: Sequence[float] = ()
    watch: Watch | None = None


def answered(program: Statement, asked: SolveOptions) -> Solution:
    """The program's answer; raises OutOfTime when none was found in time, Refused when the cost has no end."""
    import highspy

    solver = _quiet(highspy, asked.gap, asked.seconds)
    solver.passModel(_model(program, highspy, asked.sign))
    if asked.start:
        known = highspy.HighsSolution()
        known.col_value = list(asked.start)
        solver.setSolution(known)
    if asked.watch is not None:
        _let_watch(highspy, solver, asked.watch)
    solver.run()
    if solver.getModelStatus() == highspy.HighsModelStatus.kUnboundedOrInfeasible:
        solver.setOptionValue("presolve", "off")  # only then does the solver tell the two apart
        solver.run()
    return _answer(program, highspy, solver, asked)


def relaxed(program: Statement, seconds: float) -> Relaxation:
    """The least cost where integer variables may take any value between their bounds."""
    import highspy

    solver = _quiet(highspy, 0.0, seconds)
    solver.setOptionValue("presolve", "off")  # a quarter faster on the plans measured
    solver.passModel(_model(program, highspy, 1.0, whole=False))
    solver.run()
    status, kinds = solver.getModelStatus(), highspy.HighsModelStatus
    if status == kinds.kInfeasible:
        return Relaxation("infeasible", math.nan)
    if status != kinds.kOptimal:
        return Relaxation("feasible", -INFINITY)
    found = solver.getSolution()
    objective = float(solver.getInfo().objective_function_value)
    return Relaxation("optimal", objective, tuple(found.col_value), tuple(found.col_dual), tuple(found.row_dual))


def _let_watch(highspy: Any, solver: Any, watch: Watch) -> None:
    """The solver calls back often while it searches, and from the thread that called it.

    So a signal that came meanwhile is dealt with in Python before it is asked whether that was enough.
    """

    def called(event: Any) -> None:
        stand = event.data_out
        watch.heard(stand.mip_primal_bound, stand.mip_dual_bound)
        if event.data_in is not None and watch.enough():
            event.data_in.user_interrupt = True

    highspy.Highs.enableCallbacks(solver)
    for moment in (solver.cbMipImprovingSolution, solver.cbMipInterrupt):
        moment.subscribe(called)


def _model(program: Statement, highspy: Any, sign: float, *, whole: bool = True) -> Any:
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(program.cost), len(program.row_lower)
    model.col_cost_ = [sign * c for c in program.cost]
    model.col_lower_, model.col_upper_ = program.lower, program.upper
    model.row_lower_, model.row_upper_ = program.row_lower, program.row_upper
    if whole and any(program.integer):
        kinds = highspy.HighsVarType
        model.integrality_ = [kinds.kInteger if i else kinds.kContinuous for i in program.integer]
    matrix = model.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.num_col_, matrix.num_row_ = model.num_col_, model.num_row_
    matrix.start_, matrix.index_, matrix.value_ = program.starts, program.indices, program.coefficients
    return model


def _answer(program: Statement, highspy: Any, solver: Any, asked: SolveOptions) -> Solution:
    status, info = solver.getModelStatus(), solver.getInfo()
    kinds = highspy.HighsModelStatus
    if status == kinds.kInfeasible:
        return infeasible()
    if status == kinds.kUnbounded:
        raise Refused("the programme has no best answer: its objective can go on improving for ever")
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        raise OutOfTime(f"no answer found in {asked.seconds:g} s; allow more seconds")
    return _found(program, solver, asked.sign, status == kinds.kOptimal)


def _found(program: Statement, solver: Any, sign: float, finished: bool) -> Solution:
    info = solver.getInfo()
    objective = float(info.objective_function_value)
    bound = float(info.mip_dual_bound) if any(program.integer) else (objective if finished else -INFINITY)
    gap = gap_between(objective, bound)
    found = zip(solver.getSolution().col_value, program.integer, strict=True)
    values = tuple(round(v) if whole else float(v) for v, whole in found)
    status: SolveStatus = "optimal" if gap <= PROVEN else "feasible"
    return Solution(status, sign * objective, sign * bound, gap, values)


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
