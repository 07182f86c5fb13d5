"""Measures the plan: against a general solver on the same program, and how it grows.

    python scripts/bench/plan.py            # everything, some minutes
    python scripts/bench/plan.py 200x10     # one size

Seconds are wall clock, and processor time of all threads in brackets, which counts on a busy machine. The ratio to the
baseline, run just before on the same program at the same gap, is what to look at.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter, process_time
from typing import Any, TypeVar

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from plan_market import market

from bom.buying.model import Model
from bom.buying.plan import plan
from bom.buying.plan_problem import PlanProblem
from bom.solver.program import Program

T = TypeVar("T")
AGAINST = ((50, 8, 1), (200, 10, 1), (200, 10, 2), (200, 10, 3))
GROWTH = ((50, 8), (100, 10), (200, 10), (500, 20), (1000, 20))
WANTED = 0.01


def main() -> None:
    only = set(sys.argv[1:])
    print(f"same program, to {WANTED:.0%}: scipy.optimize.milp against plan")
    for lines, suppliers, seed in AGAINST:
        if not only or f"{lines}x{suppliers}" in only:
            compare(market(lines, suppliers, seed))
    print("\ngrowth: seconds to 2 %, to 1 %, and the gap after 10 s")
    for lines, suppliers in GROWTH:
        if not only or f"{lines}x{suppliers}" in only:
            grow(market(lines, suppliers))


def compare(problem: PlanProblem) -> None:
    cost, baseline = clocked(lambda: general(Model(problem).program))
    found, ours = clocked(lambda: plan(problem, gap=WANTED, seconds=300))
    assert found.cost is not None and found.gap is not None and found.gap <= WANTED
    print(
        f"{problem.id:12} {len(problem.offers):6} offers  milp {baseline} cost {cost:10.2f}   "
        f"plan {ours} cost {found.cost:10.2f} gap {found.gap:.2%}   "
        f"ratio {ours.wall / baseline.wall:.2f} ({ours.busy / baseline.busy:.2f})"
    )


@dataclass(frozen=True, slots=True)
class Clock:
    wall: float
    busy: float

    def __str__(self) -> str:
        return f"{self.wall:6.2f} s ({self.busy:5.2f})"


def clocked(work: Callable[[], T]) -> tuple[T, Clock]:
    """(what came out, how long it took)."""
    wall, busy = perf_counter(), process_time()
    answer = work()
    return answer, Clock(perf_counter() - wall, process_time() - busy)


def general(program: Program) -> float:
    """The program by scipy's face to a solver, at the wanted gap; its cost."""
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    shape = (len(program.row_lower), len(program.cost))
    rows = csr_array((program.coefficients, program.indices, program.starts), shape=shape)
    answer: Any = milp(
        program.cost,
        integrality=np.array(program.integer, dtype=int),
        bounds=Bounds(program.lower, program.upper),
        constraints=LinearConstraint(rows, program.row_lower, program.row_upper),
        options={"mip_rel_gap": WANTED, "time_limit": 300.0},
    )
    return float(answer.fun)


def grow(problem: PlanProblem) -> None:
    two, after_two = timed(problem, 0.02, 60.0)
    one, after_one = timed(problem, WANTED, 60.0)
    _, short = timed(problem, 0.0, 10.0)
    print(
        f"{problem.id:12} {len(problem.offers):6} offers  2 % in {two} (gap {after_two:.2%})"
        f"   1 % in {one} (gap {after_one:.2%})   after 10 s {short:.2%}"
    )


def timed(problem: PlanProblem, gap: float, seconds: float) -> tuple[Clock, float]:
    """(how long it took, gap reached)."""
    found, clock = clocked(lambda: plan(problem, gap=gap, seconds=seconds))
    return clock, found.gap or 0.0


if __name__ == "__main__":
    main()
