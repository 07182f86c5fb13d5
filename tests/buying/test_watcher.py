"""A plan that somebody waits for: told as it gets better, ended when they have seen enough."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bom.buying.plan import plan
from bom.buying.plan_problem import PlanProblem, SoFar, Watcher
from bom.intake.problem_file import stated_problem
from bom.jobs.buying.planning import in_words
from bom.solver.statement import OutOfTime

CASES = json.loads((Path(__file__).parent.parent / "data" / "plan_cases.json").read_text())["instances"]


def problem(name: str) -> PlanProblem:
    return stated_problem(next(c for c in CASES if c["id"] == name))


def test_costs_fall_and_bounds_rise_until_the_plan_is_there() -> None:
    heard: list[SoFar] = []
    found = plan(problem("t0135"), watcher=Watcher(heard.append))
    assert found.cost is not None and heard
    costs, bounds = [s.cost for s in heard], [s.bound for s in heard if s.bound is not None]
    assert costs == sorted(costs, reverse=True) and bounds == sorted(bounds)
    assert costs[-1] == pytest.approx(float(found.cost)) and not found.was_enough


def test_a_plan_that_is_good_enough_ends_with_its_best_order_and_says_how_near_that_is() -> None:
    watcher = Watcher()
    watcher.hear = lambda _: setattr(watcher, "enough", True)
    found, best = plan(problem("t0135"), watcher=watcher), plan(problem("t0135"))
    assert found.was_enough and found.order
    assert found.cost is not None and best.cost is not None and found.bound is not None
    assert found.bound <= best.cost <= found.cost


def test_where_no_first_order_is_found_enough_is_too_soon() -> None:
    with pytest.raises(OutOfTime, match="no order was found yet"):
        plan(problem("t0281"), watcher=Watcher(enough=True))


def test_where_no_first_order_is_found_no_time_is_too_little() -> None:
    with pytest.raises(OutOfTime, match="no order found in 0 s; allow more seconds"):
        plan(problem("t0281"), seconds=0.0)


@pytest.mark.parametrize(
    ("so_far", "words"),
    [
        (
            SoFar(470.881, None, "GBP", counts_waiting=True),
            "470.88 GBP with what can wait; how near the cheapest is not known yet",
        ),
        (SoFar(470.881, None, "GBP"), "470.88 GBP; how near the cheapest is not known yet"),
        (SoFar(200.0, 199.0, "EUR"), "200.00 EUR; none can be cheaper than 199.00 EUR (0.50 % less)"),
        (SoFar(200.0, 200.1, "EUR"), "200.00 EUR; none can be cheaper than 200.00 EUR (0.00 % less)"),
    ],
)
def test_the_one_who_waits_is_told_in_words(so_far: SoFar, words: str) -> None:
    assert in_words(so_far) == words
