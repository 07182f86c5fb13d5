"""The plan against cases whose answers were found by exhaustive search."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from bom.answers.buying import BarePlan
from bom.buying.buying_habits import best_single_supplier
from bom.buying.order import best_assignment, faults, price
from bom.buying.plan import plan
from bom.intake.problem_file import stated_problem
from bom.shop.plan import bare
from bom.values.problem import Refused

CASES = json.loads((Path(__file__).parent.parent / "data" / "plan_cases.json").read_text())["instances"]


@pytest.mark.parametrize("case", CASES, ids=lambda c: str(c["id"]))
def test_a_plan_costs_what_exhaustive_search_found(case: dict[str, Any]) -> None:
    problem, answer = stated_problem(case), case["answer"]
    found = plan(problem)
    assert found.status == answer["status"]
    if found.status == "optimal":
        assert found.cost is not None and found.bound is not None
        assert float(found.cost) == pytest.approx(answer["cost"], abs=1e-6)
        assert found.bound == pytest.approx(answer["cost"], abs=1e-5)
        assert faults(problem, found.quantities) == ()


@pytest.mark.parametrize("case", [c for c in CASES if "order" in c["answer"]], ids=lambda c: str(c["id"]))
def test_a_known_order_is_priced_exactly(case: dict[str, Any]) -> None:
    cost = price(stated_problem(case), case["answer"]["order"])
    assert float(cost) == pytest.approx(case["answer"]["cost"], abs=1e-6)


def test_the_best_main_supplier_is_held_to_the_best_there_is() -> None:
    """The cheapest order of t0093, 12.51, has one; another within a tenth of it, 13.14, is found sooner."""
    case = next(c for c in CASES if c["id"] == "t0093")
    found = best_single_supplier(stated_problem(case))
    assert found is not None and float(found.cost) == pytest.approx(case["answer"]["cost"], abs=1e-6)


def small(**supplier: object) -> dict[str, Any]:
    return {
        "base_currency": "EUR",
        "parts": [{"id": "P", "demand": 3, "fillable_by": ["A"], "max_lead_days": None}],
        "suppliers": [{"id": "S", "currency": "EUR", "fx_to_base": 1, **supplier}],
        "offers": [{"id": "O", "supplier": "S", "part_number": "A", "stock": 9, "breaks": [[1, 2.5]]}],
        "max_suppliers": None,
    }


def test_no_demand_costs_nothing() -> None:
    nothing = plan(stated_problem({"base_currency": "EUR", "parts": [], "suppliers": [], "offers": []}))
    assert bare(nothing) == BarePlan("optimal", 0.0, 0.0, 0.0, {})


def test_an_infeasible_plan_has_no_cost() -> None:
    case = small()
    case["offers"][0]["stock"] = 2
    assert bare(plan(stated_problem(case))) == BarePlan("infeasible", None, None, None, {})


def test_a_supplier_is_broken_down_into_goods_shipping_fee_and_tax() -> None:
    found = plan(stated_problem(small(shipping_fee=5, import_fee=9, tax_rate=0.2)))
    (part,) = found.suppliers
    parts = (part.goods, part.shipping, part.import_fee, part.tax)
    assert parts == (Decimal("7.5"), Decimal(5), Decimal(9), Decimal("2.5"))
    assert found.cost == part.total == Decimal("24.0")


@pytest.mark.parametrize(("includes", "recoverable", "cost"), [(True, False, "7.5"), (True, True, "6.25")])
def test_prices_that_include_tax_cost_that_or_less(includes: bool, recoverable: bool, cost: str) -> None:
    case = small(tax_rate=0.2, prices_include_tax=includes, tax_recoverable=recoverable)
    found = plan(stated_problem(case)).cost
    assert found is not None and float(found) == pytest.approx(float(cost))


def test_free_shipping_is_reached_exactly_at_the_threshold() -> None:
    case = small(shipping_fee=5, free_shipping_from=7.5)
    assert plan(stated_problem(case)).cost == Decimal("7.5")


def test_an_offer_without_a_stated_lead_time_never_meets_a_limit() -> None:
    case = small()
    case["parts"][0]["max_lead_days"] = 7
    assert plan(stated_problem(case)).status == "infeasible"


def test_an_order_that_leaves_a_need_open_has_no_price() -> None:
    with pytest.raises(Refused, match="P 1"):
        price(stated_problem(small()), {"O": 2})


def test_later_offers_push_earlier_ones_to_the_needs_only_they_can_fill() -> None:
    case = small()
    case["parts"] = [
        {"id": "P", "demand": 2, "fillable_by": ["A", "B"]},
        {"id": "Q", "demand": 2, "fillable_by": ["A"]},
    ]
    other = {"id": "B", "supplier": "S", "part_number": "B", "breaks": [[1, 1]], "surplus_value": 0.5}
    case["offers"].append(other)
    used = best_assignment(stated_problem(case), {"O": 2, "B": 3})
    assert used == {("O", "Q"): 2, ("B", "P"): 2}


@pytest.mark.parametrize(
    ("path", "value", "message"),
    [
        (("parts", 0, "demand"), -1, r"parts\[0\].demand: expected a whole number, 0 or more, found -1"),
        (("parts", 0, "demand"), 1.5, r"parts\[0\].demand: expected a whole number"),
        (("offers", 0, "supplier"), "X", r"offers\[0\].supplier: expected one of the suppliers, found 'X'"),
        (("offers", 0, "multiple"), 0, r"offers\[0\].multiple: expected a whole number, 1 or more, found 0"),
        (("offers", 0, "breaks"), [], r"offers\[0\].breaks: expected a list of"),
        (("offers", 0, "breaks"), [[5, 1], [2, 1]], r"rising from-quantities"),
        (("offers", 0, "breaks"), [[1, "dear"]], r"offers\[0\].breaks\[0\].price: expected a number"),
        (("suppliers", 0, "fx_to_base"), 0, r"suppliers\[0\].fx_to_base: expected a number above 0"),
        (("suppliers", 0, "tax_recoverable"), "no", r"suppliers\[0\].tax_recoverable: expected true or false"),
        (("suppliers", 0), 4, r"suppliers\[0\]: expected keys and values, found 4"),
        (("parts",), None, r"parts: expected a list, found None"),
        (("max_supplier",), 2, r"max_supplier: expected a known key such as max_suppliers"),
        (("parts", 0, "demands"), 2, r"parts\[0\].demands: expected a known key such as demand"),
        (("suppliers", 0, "shiping_fee"), 2, r"suppliers\[0\].shiping_fee: expected a known key such as shipping_fee"),
        (("offers", 0, "lead"), 2, r"offers\[0\].lead: expected a known key"),
    ],
)
def test_bad_input_is_refused_with_its_path(path: tuple[Any, ...], value: object, message: str) -> None:
    case = small()
    place: Any = case
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    with pytest.raises(Refused, match=message):
        stated_problem(case)
