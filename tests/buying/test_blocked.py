"""Why no order can serve: the part is named."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from bom.buying.order_lines import blocked
from bom.buying.plan import plan
from bom.buying.plan_problem import PlanNeed, PlanOffer, PlanProblem, PlanSupplier


def offer(supplier: str, part: str = "A", **more: Any) -> PlanOffer:
    return PlanOffer(f"{supplier} {part}", supplier, part, ((1, Decimal(1)),), **{"stock": 8, "lead_days": 4, **more})


def problem(*offers: PlanOffer, **more: Any) -> PlanProblem:
    suppliers = tuple(PlanSupplier(name, "EUR") for name in dict.fromkeys(o.supplier for o in offers))
    return PlanProblem(
        "EUR", **{"needs": (PlanNeed("KM-7", 10, ("A",)),), "suppliers": suppliers, **more}, offers=offers
    )


TWO = (PlanNeed("KM-7", 6, ("A",)), PlanNeed("KM-8", 6, ("A", "B")))


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (problem(), "KM-7: 10 wanted, nobody offers it"),
        (
            problem(avoided=(offer("T"), offer("U", part="B"))),
            "KM-7: 10 wanted, nobody else offers it; T, who is to be avoided, would",
        ),
        (
            problem(offer("S"), avoided=(offer("T"), offer("U"))),
            "KM-7: 10 wanted, 8 to be had (S 8); T and U, who are to be avoided, would",
        ),
        (problem(offer("S"), offer("T", stock=1)), "KM-7: 10 wanted, 9 to be had (S 8, T 1)"),
        (problem(offer("S", multiple=5)), "KM-7: 10 wanted, 5 to be had (S 5 of 8, multiple of 5)"),
        (problem(offer("S", moq=9)), "KM-7: 10 wanted, 0 to be had (S 0 of 8, minimum 9)"),
        (problem(offer("S", stock=1, moq=2)), "KM-7: 10 wanted, 0 to be had (S 0 of 1, minimum 2)"),
        (
            problem(offer("S", stock=20), needs=(PlanNeed("KM-7", 10, ("A",), 1),)),
            "KM-7: 10 wanted, nothing within 1 day: S takes 4 days",
        ),
        (
            problem(offer("S"), offer("T", lead_days=None), needs=(PlanNeed("KM-7", 10, ("A",), 9),)),
            "KM-7: 10 wanted, 8 to be had (S 8); nothing within 9 days: T states no lead time",
        ),
        (
            problem(offer("S"), needs=TWO),
            "KM-8: 4 lacking, because the same pieces are wanted for other parts too",
        ),
        (
            problem(offer("S"), offer("T"), max_suppliers=1),
            "at most 1 suppliers wanted: KM-7 need 2 (S, T)",
        ),
        (
            problem(offer("S", stock=12), suppliers=(PlanSupplier("S", "EUR", min_order_value=Decimal(50)),)),
            "S: its minimum order of 50.00 EUR cannot be reached",
        ),
        (
            problem(offer("S", stock=9, multiple=9), offer("T", stock=8, moq=8), max_suppliers=2),
            "",
        ),
    ],
)
def test_what_is_in_the_way_is_named(asked: PlanProblem, said: str) -> None:
    if not said:
        assert plan(asked).status == "optimal"
        return
    assert plan(asked).status == "infeasible"
    assert blocked(asked) == (said,)


def test_a_minimum_order_is_met_by_buying_more() -> None:
    asked = problem(offer("S", stock=60), suppliers=(PlanSupplier("S", "EUR", min_order_value=Decimal(50)),))
    assert plan(asked).quantities == {"S A": 50}


def test_every_need_that_lacks_is_named() -> None:
    asked = replace(problem(), needs=(PlanNeed("KM-7", 1, ("A",)), PlanNeed("KM-9", 2, ("C",))))
    assert [line.split(":")[0] for line in blocked(asked)] == ["KM-7", "KM-9"]


def test_the_fewest_suppliers_are_named_not_the_cheapest() -> None:
    """A few pieces of U would cost next to nothing, and would make it three suppliers."""
    cheap = PlanOffer("U A", "U", "A", ((1, Decimal("0.01")),), stock=1)
    asked = problem(offer("S"), offer("T"), cheap, max_suppliers=1)
    assert blocked(asked) == ("at most 1 suppliers wanted: KM-7 need 2 (S, T)",)


def test_of_many_needs_the_first_six_are_named() -> None:
    needs = tuple(PlanNeed(f"KM-{n}", 2, ("A",)) for n in range(8))
    said = blocked(problem(offer("S", stock=8), offer("T"), needs=needs, max_suppliers=1))
    assert said == ("at most 1 suppliers wanted: KM-0, KM-1, KM-2, KM-3, KM-4, KM-5 and 2 more need 2 (S, T)",)


def test_of_seven_needs_one_is_not_named() -> None:
    needs = tuple(PlanNeed(f"KM-{n}", 2, ("A",)) for n in range(7))
    said = blocked(problem(offer("S", stock=8), offer("T"), needs=needs, max_suppliers=1))
    assert said == ("at most 1 suppliers wanted: KM-0, KM-1, KM-2, KM-3, KM-4, KM-5 and 1 more need 2 (S, T)",)
