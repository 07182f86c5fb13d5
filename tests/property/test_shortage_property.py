"""What is ordered where not everything can be had, against exhaustive search on tiny problems."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import bom.buying.plan as planning
from bom.buying.order import faults, price
from bom.buying.plan_problem import PlanNeed, PlanOffer, PlanProblem, PlanSupplier
from bom.buying.shortage import Later, Open, plan_what_can_be_had
from tests.property.test_plan_property import cost_of, problems

Found = tuple[int, Decimal]  # pieces open that could not wait, cost and price of waiting

WAITING = st.fixed_dictionaries(
    {}, optional={need: st.builds(Later, st.integers(1, 3), st.sampled_from([Decimal(1), Decimal(4)])) for need in "PQ"}
)


def scarce(problem: PlanProblem, demands: tuple[int, int]) -> PlanProblem:
    """The problem with more wanted than there may be."""
    needs = tuple(replace(n, demand=d) for n, d in zip(problem.needs, demands, strict=True))
    return replace(problem, needs=needs)


def least(problem: PlanProblem, later: dict[str, Later]) -> Found:
    """Every order without faults, and every way of leaving pieces open beside it."""
    return min(found for order in orders(problem) for found in left_open(problem, order, later))


def orders(problem: PlanProblem) -> Iterator[dict[str, int]]:
    for quantities in product(*(range((o.stock or 0) + 1) for o in problem.offers)):
        order = {o.id: q for o, q in zip(problem.offers, quantities, strict=True) if q}
        if not faults(problem, order):
            yield order


def left_open(problem: PlanProblem, order: dict[str, int], later: dict[str, Later]) -> Iterator[Found]:
    for open_ in product(*(range(n.demand + 1) for n in problem.needs)):
        needs = tuple(replace(n, demand=n.demand - o) for n, o in zip(problem.needs, open_, strict=True))
        if (cost := cost_of(replace(problem, needs=needs), order)) is None:
            continue
        missing = 0
        for need, pieces in zip(problem.needs, open_, strict=True):
            one = later.get(need.id, Later(0, Decimal(0)))
            can_wait = min(pieces, one.pieces)
            missing, cost = missing + pieces - can_wait, cost + can_wait * one.each
        yield missing, cost


@pytest.mark.parametrize("small", [0, 1000])
@settings(max_examples=40, deadline=None)
@given(problems(), st.tuples(st.integers(0, 7), st.integers(1, 7)), WAITING)
def test_as_few_as_can_be_stay_open_and_no_cheaper_order_leaves_so_few(
    small: int, problem: PlanProblem, demands: tuple[int, int], later: dict[str, Later]
) -> None:
    wanted = scarce(problem, demands)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(planning, "SMALL", small)
        found = plan_what_can_be_had(wanted, later)
    missing, cost = least(wanted, later)
    waiting = sum(one.pieces for one in later.values())
    left = sum(one.pieces for one in found.open)
    assert missing <= left <= missing + waiting
    if found.plan.cost is None:
        assert missing and not found.plan.order
        return
    assert found.plan.status == "optimal"
    assert float(found.plan.cost + found.waits) == pytest.approx(float(cost), abs=1e-6)
    assert faults(found.served, found.plan.quantities) == ()
    assert found.plan.cost == price(found.served, found.plan.quantities)
    assert found.plan.bound == pytest.approx(float(found.plan.cost), abs=1e-5)
    assert {n.id: n.demand for n in found.served.needs} == {
        n.id: n.demand - sum(o.pieces for o in found.open if o.need == n.id) for n in wanted.needs
    }


def test_what_can_wait_and_cannot_be_had_anyway_is_no_reason_for_no_plan() -> None:
    """All may wait, and one piece alone would cost more than that: an order of nothing is the answer."""
    supplier = PlanSupplier("S", "EUR", shipping_fee=Decimal(5))
    offer = PlanOffer("O", "S", "A", ((1, Decimal(1)),), stock=1)
    problem = PlanProblem("EUR", (PlanNeed("P", 3, ("A",)),), (supplier,), (offer,))
    found = plan_what_can_be_had(problem, {"P": Later(3, Decimal(1))})
    assert (found.plan.status, found.plan.cost, found.plan.order, found.waits) == ("optimal", 0, (), 3)
    assert found.open == (Open("P", 2, 1),)
