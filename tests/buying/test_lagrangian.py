"""A problem taken apart: its bound holds, each group is decided to the piece, and its rows hold for the best order."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from time import monotonic
from typing import Any

import pytest

import bom.buying.plan as planning
from bom.buying.first_order import better_order
from bom.buying.lagrangian import Effort, quick_bound, taken_apart
from bom.buying.model import Model
from bom.buying.order import covering, faults, price
from bom.buying.plan import plan
from bom.buying.problem import PlanNeed, PlanOffer, PlanProblem, PlanSupplier
from bom.buying.read_problem import read_problem

CASES = json.loads((Path(__file__).parent.parent / "data" / "plan_cases.json").read_text())["instances"]
SOLVED = [c for c in CASES if c["answer"]["status"] == "optimal"]


@pytest.mark.parametrize("case", SOLVED, ids=lambda c: str(c["id"]))
def test_the_bound_lies_between_the_relaxation_and_the_best(case: dict[str, Any]) -> None:
    model = Model(read_problem(case))
    relaxed = model.program.relax()
    apart = taken_apart(model, relaxed)
    assert relaxed.objective - 1e-9 <= apart.bound <= case["answer"]["cost"] + 1e-6


@pytest.mark.parametrize("case", CASES, ids=lambda c: str(c["id"]))
def test_a_plan_made_through_its_parts_costs_the_same(case: dict[str, Any], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(planning, "SMALL", 0)
    found = plan(read_problem(case))
    assert found.status == case["answer"]["status"]
    if found.cost is not None:
        assert float(found.cost) == pytest.approx(case["answer"]["cost"], abs=1e-6)


def offer(name: str, supplier: str, part: str, *prices: tuple[int, str], **more: int) -> PlanOffer:
    return PlanOffer(name, supplier, part, tuple((start, Decimal(p)) for start, p in prices), stock=90, **more)


def packs(**fees: Decimal) -> PlanProblem:
    """33 pieces in tens at 1.00 or singly at 2.00; 5 of another part; the relaxation pays for 3.3 packs."""
    return PlanProblem(
        "EUR",
        (PlanNeed("P", 33, ("A",)), PlanNeed("Q", 5, ("B",))),
        (PlanSupplier("S", "EUR", **fees), PlanSupplier("T", "EUR")),
        (
            offer("tens", "S", "A", (1, "1"), multiple=10),
            offer("single", "T", "A", (1, "2")),
            offer("B", "S", "B", (1, "4"), (6, "3")),
        ),
    )


@pytest.mark.parametrize("case", SOLVED, ids=lambda c: str(c["id"]))
def test_the_quick_bound_is_below_the_best(case: dict[str, Any]) -> None:
    problem = read_problem(case)
    quick = quick_bound(Model(problem), case["answer"]["order"], seconds=10.0)
    assert quick is None or quick.bound <= case["answer"]["cost"] + 1e-6  # None: all needs share offers


def test_the_quick_bound_counts_the_fees_of_who_is_ordered_from() -> None:
    model = Model(packs(shipping_fee=Decimal(7)))
    quick = quick_bound(model, {"tens": 30, "single": 3, "B": 6}, seconds=10.0)
    assert quick is not None and quick.order["tens"] == 30 and quick.bound == pytest.approx(36 + 18 + 7)


def test_each_group_is_decided_to_the_piece() -> None:
    model = Model(packs())
    apart = taken_apart(model, model.program.relax())
    assert apart.order == {"tens": 30, "single": 3, "B": 6}
    assert apart.bound == pytest.approx(36 + 18)


def test_a_faulty_choice_of_the_groups_is_mended() -> None:
    problem = packs(min_order_value=Decimal(60))
    mended = better_order(problem, covering(problem, {"tens": 30, "single": 3, "B": 6}))
    assert mended is not None and faults(problem, mended) == ()
    assert price(problem, mended) >= Decimal(str(plan(problem).bound)) - Decimal("0.000001")


def test_without_time_the_relaxation_is_what_is_known() -> None:
    model = Model(packs(shipping_fee=Decimal(7)))
    relaxed = model.program.relax()
    assert taken_apart(model, relaxed, Effort(until=monotonic() - 1)).bound == pytest.approx(relaxed.objective)


def test_no_group_is_decided_once_the_bound_is_enough() -> None:
    model = Model(packs(shipping_fee=Decimal(7)))
    relaxed = model.program.relax()
    assert taken_apart(model, relaxed, Effort(enough=relaxed.objective - 1)).order == {}


def test_rows_hold_for_the_best_order() -> None:
    model = Model(packs(shipping_fee=Decimal(7)))
    best = model.program.minimise()
    for terms, lower in taken_apart(model, model.program.relax()).rows:
        assert sum(c * best.values[n] for n, c in terms.items()) >= lower - 1e-6
