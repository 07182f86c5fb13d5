"""The quick first order: complete, without faults, and near the cheapest."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from bom.buying.first_order import first_order
from bom.buying.order import faults, price
from bom.buying.problem import PlanNeed, PlanOffer, PlanProblem, PlanSupplier
from bom.buying.read_problem import read_problem

CASES = json.loads((Path(__file__).parent.parent / "data" / "plan_cases.json").read_text())["instances"]
SOLVED = [c for c in CASES if c["answer"]["status"] == "optimal"]


@pytest.mark.parametrize("case", SOLVED, ids=lambda c: str(c["id"]))
def test_a_first_order_can_be_placed_and_never_beats_exhaustive_search(case: dict[str, Any]) -> None:
    problem = read_problem(case)
    order = first_order(problem)
    if order is not None:
        assert faults(problem, order) == ()
        assert float(price(problem, order)) >= case["answer"]["cost"] - 1e-6


def test_a_first_order_is_found_for_most_problems() -> None:
    found = [first_order(read_problem(case)) for case in SOLVED]
    assert sum(order is not None for order in found) > 0.8 * len(found)


@pytest.mark.parametrize("case", [c for c in CASES if c["answer"]["status"] != "optimal"], ids=lambda c: str(c["id"]))
def test_no_first_order_where_none_can_serve(case: dict[str, Any]) -> None:
    assert first_order(read_problem(case)) is None


def offer(name: str, supplier: str, *prices: tuple[int, str], **more: Any) -> PlanOffer:
    return PlanOffer(name, supplier, "A", tuple((start, Decimal(p)) for start, p in prices), **more)


def eight(*offers: PlanOffer, **fees: PlanSupplier) -> PlanProblem:
    suppliers = tuple(fees.get(name, PlanSupplier(name, "EUR")) for name in sorted({o.supplier for o in offers}))
    return PlanProblem("EUR", (PlanNeed("P", 8, ("A",)),), suppliers, offers)


def test_a_first_order_buys_up_to_a_break_that_is_cheaper_in_all() -> None:
    assert first_order(eight(offer("O", "S", (1, "2.90"), (10, "2.20")))) == {"O": 10}


def test_a_first_order_is_split_where_one_offer_has_too_few() -> None:
    problem = eight(offer("O", "S", (1, "1"), stock=5), offer("X", "T", (1, "2")))
    assert first_order(problem) == {"O": 5, "X": 3}


def test_a_first_order_is_filled_up_to_free_shipping_where_that_saves() -> None:
    free = PlanSupplier("S", "EUR", shipping_fee=Decimal(5), free_shipping_from=Decimal(10))
    assert first_order(eight(offer("O", "S", (1, "1")), S=free)) == {"O": 10}


def test_a_first_order_leaves_a_supplier_whose_fees_eat_the_saving() -> None:
    dear = PlanSupplier("S", "EUR", shipping_fee=Decimal(20))
    assert first_order(eight(offer("O", "S", (1, "1")), offer("X", "T", (1, "2")), S=dear)) == {"X": 8}
