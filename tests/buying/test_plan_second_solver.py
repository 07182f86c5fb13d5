"""The same program by another solver (GLPK, branch and bound), on markets too large to search."""

from __future__ import annotations

import importlib.util
import sys
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from bom.buying.model import Model
from bom.buying.order import faults
from bom.buying.plan import plan
from bom.buying.plan_problem import PlanProblem
from bom.buying.shortage import Later, not_to_be_had, plan_what_can_be_had, widened
from bom.solver.program import Program
from bom.solver.statement import INFINITY

glpk = pytest.importorskip("swiglpk", reason="the second solver is not installed")


def bench(name: str) -> ModuleType:
    """A file of scripts/bench, which is no package."""
    path = Path(__file__).parents[2] / "scripts" / "bench" / f"{name}.py"
    spec = importlib.util.spec_from_file_location(name, path)
    assert spec and spec.loader
    module = sys.modules[name] = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def glpk_least(program: Program) -> float:
    """The program's least cost, to GLPK's own gap of 0."""
    problem = glpk.glp_create_prob()
    glpk.glp_add_cols(problem, len(program.cost))
    glpk.glp_add_rows(problem, len(program.row_lower))
    for n, cost in enumerate(program.cost):
        glpk.glp_set_obj_coef(problem, n + 1, cost)
        glpk.glp_set_col_kind(problem, n + 1, glpk.GLP_IV if program.integer[n] else glpk.GLP_CV)
        glpk.glp_set_col_bnds(problem, n + 1, *_bounds(program.lower[n], program.upper[n]))
    for n in range(len(program.row_lower)):
        glpk.glp_set_row_bnds(problem, n + 1, *_bounds(program.row_lower[n], program.row_upper[n]))
        glpk.glp_set_mat_row(problem, n + 1, *_row(program, n))
    return _solved(problem)


def _bounds(low: float, high: float) -> tuple[int, float, float]:
    if low == high:
        return glpk.GLP_FX, low, high
    if high == INFINITY:
        return glpk.GLP_LO, low, 0.0
    return (glpk.GLP_UP, 0.0, high) if low == -INFINITY else (glpk.GLP_DB, low, high)


def _row(program: Program, n: int) -> tuple[int, Any, Any]:
    first, end = program.starts[n], program.starts[n + 1]
    columns, values = glpk.intArray(end - first + 1), glpk.doubleArray(end - first + 1)
    for place, k in enumerate(range(first, end), 1):  # its arrays count from 1
        columns[place], values[place] = program.indices[k] + 1, program.coefficients[k]
    return end - first, columns, values


def _solved(problem: Any) -> float:
    glpk.glp_term_out(glpk.GLP_OFF)
    settings = glpk.glp_iocp()
    glpk.glp_init_iocp(settings)
    settings.presolve = settings.mir_cuts = settings.gmi_cuts = settings.cov_cuts = glpk.GLP_ON
    assert glpk.glp_intopt(problem, settings) == 0
    assert glpk.glp_mip_status(problem) == glpk.GLP_OPT
    return float(glpk.glp_mip_obj_val(problem))


@pytest.mark.parametrize(("lines", "suppliers", "seed"), [(8, 4, 1), (10, 5, 2), (15, 5, 1), (20, 6, 1), (30, 8, 2)])
def test_another_solver_finds_the_same_cost(lines: int, suppliers: int, seed: int) -> None:
    problem = bench("plan_market").market(lines, suppliers, seed)
    found = plan(problem)
    assert found.status == "optimal" and found.cost is not None
    assert float(found.cost) == pytest.approx(glpk_least(Model(problem).program), abs=1e-5)
    assert faults(problem, found.quantities) == ()


@pytest.mark.parametrize(("lines", "suppliers", "seed"), [(8, 4, 1), (15, 5, 1), (20, 6, 1)])
def test_another_solver_leaves_open_what_costs_as_much(lines: int, suppliers: int, seed: int) -> None:
    """Every third need is scarce, with more wanted than there is; half of every need can wait."""
    market: PlanProblem = bench("plan_market").market(lines, suppliers, seed)
    offers = tuple(replace(o, stock=min(o.most or 20, 20)) for o in market.offers)
    needs = tuple(replace(n, demand=500 if k % 3 == 0 else n.demand) for k, n in enumerate(market.needs))
    problem = replace(market, needs=needs, offers=offers)
    later = {n.id: Later(n.demand // 2, Decimal("1.5")) for n in needs}
    found = plan_what_can_be_had(problem, later)
    assert not_to_be_had(problem) and found.plan.cost is not None
    assert found.plan.status == "optimal" and faults(found.served, found.plan.quantities) == ()
    least = glpk_least(Model(widened(problem, later)).program)
    assert float(found.plan.cost + found.waits) == pytest.approx(least, abs=1e-5)
