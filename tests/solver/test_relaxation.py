"""The relaxed program, and what it rules out."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bom.solver.highs import SolveOptions
from bom.solver.program import Program
from bom.solver.statement import INFINITY, Relaxation, Solution


def cheap_or_dear() -> Program:
    """Three pieces in twos at 2.0 a pack, or singly at 1.5, 9.0 and 1.5 with one yes/no to begin with."""
    program = Program()
    packs = program.variable(0, 5, integer=True, cost=2.0)
    single = program.variable(0, 5, integer=True, cost=1.5)
    dear = program.variable(0, 5, integer=True, cost=9.0)
    program.row(3.0, INFINITY, {packs: 2.0, single: 1.0, dear: 1.0})
    return program


def test_the_relaxation_bounds_the_whole_answer_and_prices_what_it_leaves_out() -> None:
    relaxed = cheap_or_dear().relax()
    assert (relaxed.status, relaxed.objective, relaxed.values) == ("optimal", 3.0, (1.5, 0.0, 0.0))
    assert relaxed.reduced_costs == pytest.approx((0.0, 0.5, 8.0))
    assert relaxed.objective <= cheap_or_dear().minimise().objective == 3.5


def test_answers_dearer_than_the_slack_are_left_out_and_the_best_one_stays() -> None:
    program = cheap_or_dear()
    narrowed = program.narrowed(program.relax(), 0.5)
    assert narrowed.upper == [5, 1, 0]
    assert narrowed.minimise().objective == 3.5
    assert program.upper == [5, 5, 5]


def test_a_variable_that_rests_on_its_upper_bound_may_not_leave_it_either() -> None:
    program = Program()
    rests = program.variable(0, 3, integer=True, cost=-4.0)
    program.row(-INFINITY, 9.0, {rests: 1.0})
    assert program.narrowed(program.relax(), 5.0).lower == [2]


@pytest.mark.parametrize("relaxed", [Relaxation("feasible", -INFINITY), Relaxation("infeasible", math.nan)])
def test_nothing_is_left_out_where_the_relaxation_says_nothing(relaxed: Relaxation) -> None:
    program = cheap_or_dear()
    assert program.narrowed(relaxed, 0.5) is program


def test_nothing_is_left_out_where_any_cost_will_do() -> None:
    program = cheap_or_dear()
    assert program.narrowed(program.relax(), INFINITY) is program


def test_rows_that_contradict_each_other_have_no_relaxed_answer() -> None:
    program = Program()
    x = program.variable(0, 1, cost=1.0)
    program.row(2.0, INFINITY, {x: 1.0})
    assert program.relax().status == "infeasible"


def test_a_known_answer_is_not_lost_when_the_time_is_short() -> None:
    program = cheap_or_dear()
    assert program.minimise(start=(1, 1, 0), seconds=0.0).objective <= 3.5


def test_an_objective_that_the_values_do_not_come_to_is_not_believed(monkeypatch: pytest.MonkeyPatch) -> None:
    truly = Program._answered

    def misstated(self: Program, asked: SolveOptions) -> Solution:
        found = truly(self, asked)
        return replace(found, objective=3.0, bound=3.0) if asked.start else found

    monkeypatch.setattr(Program, "_answered", misstated)
    assert cheap_or_dear().minimise(start=(1, 1, 0)).objective == 3.5


def test_some_columns_and_the_rows_that_hold_no_others_are_a_program_of_their_own() -> None:
    program = cheap_or_dear()
    other = program.variable(0, 9, cost=1.0)
    program.row(4.0, INFINITY, {other: 1.0})
    part = program.part([other], [1], [2.0])
    assert (part.minimise().objective, len(part.row_lower)) == (8.0, 1)


def test_the_price_of_a_row_is_what_one_more_of_it_costs() -> None:
    assert cheap_or_dear().relax().prices == pytest.approx((1.0,))
