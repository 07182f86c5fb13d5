"""The solver's small face."""

from __future__ import annotations

import math
import subprocess
import sys

import pytest

from bom.solver.program import Program
from bom.solver.statement import gap_between
from bom.values.problem import Refused


def test_a_knapsack_is_filled_best_and_integers_come_back_as_integers() -> None:
    program = Program()
    for value in (10.0, 13.0, 7.0):
        program.yes_no(cost=value)
    program.row(-math.inf, 8.0, {0: 4.0, 1: 6.0, 2: 4.0})
    answer = program.maximise()
    assert (answer.status, answer.objective, answer.gap) == ("optimal", 17.0, 0.0)
    assert answer.values == (1, 0, 1) and all(isinstance(v, int) for v in answer.values)


def test_a_linear_program_needs_no_integers() -> None:
    program = Program()
    x, y = program.variable(cost=2.0), program.variable(cost=3.0)
    program.row(4.0, math.inf, {x: 1.0, y: 1.0})
    program.row(-math.inf, 3.0, {x: 1.0})
    answer = program.minimise()
    assert (answer.objective, answer.bound, answer.values) == (9.0, 9.0, (3.0, 1.0))


def test_rows_that_contradict_each_other_are_infeasible() -> None:
    program = Program()
    x = program.variable(0, 10, integer=True)
    program.row(3.2, 3.8, {x: 1.0})
    answer = program.minimise()
    assert answer.status == "infeasible" and math.isnan(answer.objective) and answer.values == ()


def test_an_objective_without_an_end_is_refused() -> None:
    program = Program()
    program.variable(integer=True, cost=1.0)
    with pytest.raises(Refused, match="for ever"):
        program.maximise()


def test_a_program_without_variables_is_optimal_at_nothing() -> None:
    assert Program().minimise().status == "optimal"


@pytest.mark.parametrize(("cost", "bound", "gap"), [(10, 10, 0), (10, 9, 0.1), (0, 0, 0), (0, -1, math.inf)])
def test_the_gap_is_a_share_of_the_cost(cost: float, bound: float, gap: float) -> None:
    assert gap_between(cost, bound) == pytest.approx(gap)


def test_the_solver_is_loaded_only_when_it_is_used() -> None:
    code = "import sys, bom.solver.program; sys.exit('highspy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_the_solver_prints_nothing() -> None:
    code = "from bom.solver.program import Program; p = Program(); p.yes_no(cost=1.0); p.maximise()"
    said = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True)
    assert (said.stdout, said.stderr) == (b"", b"")
