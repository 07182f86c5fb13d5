"""The plan against exhaustive search on tiny problems."""

from __future__ import annotations

from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import bom.buying.plan as planning
from bom.buying.buying_habits import best_single_supplier, lowest_unit_price_habit
from bom.buying.order import faults, price
from bom.buying.plan import plan
from bom.buying.plan_problem import PlanNeed, PlanOffer, PlanProblem, PlanSupplier
from bom.values.problem import Refused

CENTS = st.integers(100, 400).map(lambda c: Decimal(c) / 100)
FEES = st.sampled_from([Decimal(0), Decimal(2), Decimal(5)])


@st.composite
def suppliers(draw: st.DrawFn, name: str) -> PlanSupplier:
    return PlanSupplier(
        name,
        "EUR",
        fx_to_base=draw(st.sampled_from([Decimal(1), Decimal("0.9")])),
        shipping_fee=draw(FEES),
        free_shipping_from=draw(st.sampled_from([None, Decimal(6), Decimal(9)])),
        min_order_value=draw(st.sampled_from([Decimal(0), Decimal(5)])),
        tax_rate=Decimal("0.2"),
        tax_recoverable=draw(st.booleans()),
        import_fee=draw(FEES),
        prices_include_tax=draw(st.booleans()),
    )


@st.composite
def offers(draw: st.DrawFn, name: str) -> PlanOffer:
    first = draw(CENTS)
    return PlanOffer(
        name,
        draw(st.sampled_from(["S", "T"])),
        draw(st.sampled_from(["A", "B"])),
        ((1, first), (draw(st.integers(2, 4)), first * draw(st.sampled_from([Decimal("0.6"), Decimal("0.9")])))),
        stock=draw(st.integers(1, 6)),
        moq=draw(st.integers(1, 2)),
        multiple=draw(st.integers(1, 3)),
        incremental=draw(st.booleans()),
        surplus_value=draw(st.sampled_from([Decimal(0), Decimal("0.3")])),
    )


@st.composite
def problems(draw: st.DrawFn) -> PlanProblem:
    return PlanProblem(
        "EUR",
        (
            PlanNeed("P", draw(st.integers(0, 3)), ("A",)),
            PlanNeed("Q", draw(st.integers(1, 3)), ("A", "B")),
        ),
        (draw(suppliers("S")), draw(suppliers("T"))),
        tuple(draw(offers(name)) for name in "XYZ"),
        draw(st.sampled_from([None, 1])),
    )


def cheapest_by_search(problem: PlanProblem) -> Decimal | None:
    """Every quantity of every offer up to its stock."""
    costs = []
    for quantities in product(*(range((o.stock or 0) + 1) for o in problem.offers)):
        order = {o.id: q for o, q in zip(problem.offers, quantities, strict=True) if q}
        if not faults(problem, order) and (cost := cost_of(problem, order)) is not None:
            costs.append(cost)
    return min(costs, default=None)


def cost_of(problem: PlanProblem, order: dict[str, int]) -> Decimal | None:
    """Reckoned anew from the rules: P takes A only, Q takes A or B; None where they are not covered."""
    credit = credit_of(problem, order)
    if credit is None:
        return None
    cost = -credit
    for s in problem.suppliers:
        mine = [o for o in problem.offers if o.supplier == s.id and o.id in order]
        goods = sum((paid(o, order[o.id]) for o in mine), Decimal(0))
        free = s.free_shipping_from is not None and goods >= s.free_shipping_from
        listed = goods + (Decimal(0) if free or not mine else s.shipping_fee)
        net = listed / (1 + s.tax_rate) if s.prices_include_tax else listed
        cost += s.fx_to_base * net * (1 if s.tax_recoverable else 1 + s.tax_rate)
        cost += s.fx_to_base * s.import_fee if mine else 0
    return cost


def paid(offer: PlanOffer, quantity: int) -> Decimal:
    (_, first), (start, second) = offer.breaks
    if offer.incremental:
        return sum((first if n < start else second for n in range(1, quantity + 1)), Decimal(0))
    return quantity * (second if quantity >= start else first)


def credit_of(problem: PlanProblem, order: dict[str, int]) -> Decimal | None:
    """The most that the pieces left over are worth, over every way of using pieces up."""
    bought = [o for o in problem.offers if o.id in order]
    only_a, either = (n.demand for n in problem.needs)
    best = None
    for used in product(*(range(order[o.id] + 1) for o in bought)):
        of_a = sum(u for o, u in zip(bought, used, strict=True) if o.part_number == "A")
        if sum(used) == only_a + either and of_a >= only_a:
            left = zip(bought, used, strict=True)
            worth = sum((o.surplus_value * (order[o.id] - u) for o, u in left), Decimal(0))
            best = worth if best is None else max(best, worth)
    return best


@pytest.mark.parametrize("small", [0, 1000])
@settings(max_examples=20, deadline=None)
@given(problems())
def test_no_order_is_cheaper_than_the_plan(small: int, problem: PlanProblem) -> None:
    """Solved whole, as such small ones are, and taken apart first, as large ones are."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(planning, "SMALL", small)
        found, searched = plan(problem), cheapest_by_search(problem)
    if searched is None:
        assert found.status == "infeasible"
        return
    assert found.status == "optimal" and found.cost is not None
    assert float(found.cost) == pytest.approx(float(searched), abs=1e-6)
    assert faults(problem, found.quantities) == ()


@settings(max_examples=25, deadline=None)
@given(problems(), st.lists(st.integers(0, 6), min_size=3, max_size=3))
def test_any_order_is_priced_as_reckoned_anew(problem: PlanProblem, quantities: list[int]) -> None:
    order = {o.id: q for o, q in zip(problem.offers, quantities, strict=True) if q}
    expected = cost_of(problem, order)
    if expected is None:
        with pytest.raises(Refused):
            price(problem, order)
    else:
        assert float(price(problem, order)) == pytest.approx(float(expected), abs=1e-12)


@settings(max_examples=25, deadline=None)
@given(problems())
def test_no_habit_beats_the_plan(problem: PlanProblem) -> None:
    found, main = plan(problem), best_single_supplier(problem)
    if main is not None:
        assert found.cost is not None and float(found.cost) <= float(main.cost) + 1e-6
    habit = lowest_unit_price_habit(problem)
    if habit is not None and problem.max_suppliers is None and found.cost is not None:
        assert float(found.cost) <= float(habit.cost) + 1e-6
