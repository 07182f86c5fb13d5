"""What having a piece later is taken to cost, by hand."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from bom.buying.plan_problem import PlanNeed, PlanOffer, PlanProblem, PlanSupplier
from bom.buying.shortage import Later, Open, plan_what_can_be_had
from bom.buying.waiting import Waiting, alone, waiting


def offer(supplier: str = "S", price: str = "2", **more: Any) -> PlanOffer:
    return PlanOffer(f"{supplier} A", supplier, "A", ((1, Decimal(price)),), **more)


def problem(wanted: int, *offers: PlanOffer, **supplier: Any) -> PlanProblem:
    names = dict.fromkeys(o.supplier for o in offers)
    suppliers = tuple(PlanSupplier(n, "EUR", **{"shipping_fee": Decimal(6), **supplier}) for n in names)
    return PlanProblem("EUR", (PlanNeed("P", wanted, ("A",)),), suppliers, offers)


@pytest.mark.parametrize(
    ("wanted", "per_day", "offers", "expected"),
    [
        (30, 1.0, (offer(),), Waiting(Decimal("2.42"))),  # (60 + 6) / 30, and a tenth
        (30, 1.0, (offer(), offer("T", "1")), Waiting(Decimal("1.32"))),  # the cheaper supplier
        (9, 0.01, (offer(multiple=10),), Waiting(Decimal("3.18"))),  # 26 / 9: a piece left over is not too many
        (4, 0.1, (offer(moq=20),), Waiting(Decimal("12.65"))),  # 46 / 4: 20 are 200 days of use
        (4, 0.01, (offer(moq=20),), Waiting(Decimal("2.53"), 20, 2000.0)),  # 46 / 20: five years of use
        (4, 0.0, (offer(moq=20),), Waiting(Decimal("2.53"), 20, None)),  # nothing used: as long as can be
        (4, -1.0, (offer(moq=20),), Waiting(Decimal("2.53"), 20, None)),
        (4, 0.01, (offer(moq=20), offer("T", "9")), Waiting(Decimal("11.55"))),  # 42 / 4: dear, and not too many
        (4, 1.0, (), Waiting(Decimal(0))),
        (0, 1.0, (offer(),), Waiting(Decimal(0))),
    ],
)
def test_a_piece_later_comes_to_its_share_of_an_order_of_its_own(
    wanted: int, per_day: float, offers: tuple[PlanOffer, ...], expected: Waiting
) -> None:
    asked = problem(wanted, *offers)
    assert waiting(asked, asked.needs[0], per_day) == expected


def test_an_order_of_its_own_pays_what_any_order_pays() -> None:
    supplier = PlanSupplier(
        "S", "USD", Decimal("0.5"), Decimal(6), Decimal(50), Decimal(20), Decimal("0.2"), import_fee=Decimal(4)
    )
    assert alone(offer(), supplier, 5) == (20 + 6) * Decimal("0.6") + 2  # filled up to the minimum order
    assert alone(offer(), supplier, 25) == 50 * Decimal("0.6") + 2  # sent free


def test_a_piece_later_is_never_cheaper_than_a_piece_left_over_is_worth() -> None:
    asked = problem(1, offer(surplus_value=Decimal("9.001")), shipping_fee=Decimal(0))
    assert waiting(asked, asked.needs[0], 1.0).each == Decimal("9.01")


def plan_with_waiting(asked: PlanProblem, may: int, per_day: float) -> tuple[dict[str, int], tuple[Open, ...]]:
    found = plan_what_can_be_had(asked, {"P": Later(may, waiting(asked, asked.needs[0], per_day).each)})
    return found.plan.quantities, found.open


def test_no_second_parcel_is_paid_for_one_last_piece() -> None:
    asked = problem(31, offer(stock=30), offer("T", stock=5))
    assert plan_with_waiting(asked, 20, 1.0) == ({"S A": 30}, (Open("P", 0, 1),))
    assert plan_with_waiting(asked, 0, 1.0)[0] == {"S A": 30, "T A": 1}


def test_no_years_of_use_are_bought_for_a_few_pieces_that_can_wait() -> None:
    asked = problem(4, offer(moq=20))
    assert plan_with_waiting(asked, 4, 0.01) == ({}, (Open("P", 0, 4),))
    assert plan_with_waiting(asked, 3, 0.01) == ({"S A": 20}, ())  # one is needed: the others come with it
    assert plan_with_waiting(asked, 4, 0.1) == ({"S A": 20}, ())


def test_what_one_order_of_its_own_brings_is_ordered_though_all_of_it_can_wait() -> None:
    assert plan_with_waiting(problem(30, offer()), 30, 1.0) == ({"S A": 30}, ())
