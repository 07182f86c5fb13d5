"""What an order comes to at one supplier, and what stands against placing it, by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from bom.buying.order import SupplierCost, best_assignment, faults, leftovers, supplier_costs, uncovered
from bom.buying.plan_problem import PlanNeed, PlanOffer, PlanProblem, PlanSupplier

ABROAD = PlanSupplier(
    "S", "USD", fx_to_base=Decimal("0.5"), shipping_fee=Decimal(10), import_fee=Decimal(4), tax_rate=Decimal("0.25")
)
OFFER = PlanOffer("O", "S", "A", ((1, Decimal(2)),))
FIFTY = PlanProblem("EUR", (PlanNeed("P", 40, ("A",)),), (ABROAD,), (OFFER,))


@pytest.mark.parametrize(
    ("terms", "goods", "shipping", "tax"),
    [
        # 100 of goods and 10 of shipping as listed, at a half: 50 and 5, and a quarter of tax on top.
        ({}, "50", "5", "13.75"),
        ({"tax_on_shipping": False}, "50", "5", "12.5"),
        ({"tax_recoverable": True}, "50", "5", "0"),
        # 50 and 5 hold the tax: 40 and 4 without it.
        ({"prices_include_tax": True}, "40", "4", "11"),
        ({"prices_include_tax": True, "tax_recoverable": True}, "40", "4", "0"),
        # Shipping that is not taxed holds none.
        ({"prices_include_tax": True, "tax_on_shipping": False}, "40", "5", "10"),
        ({"free_shipping_from": Decimal(100)}, "50", "0", "12.5"),
        ({"free_shipping_from": Decimal(101)}, "50", "5", "13.75"),
    ],
)
def test_an_order_is_goods_shipping_import_fee_and_tax(
    terms: dict[str, Any], goods: str, shipping: str, tax: str
) -> None:
    asked = replace(FIFTY, suppliers=(replace(ABROAD, **terms),))
    (cost,) = supplier_costs(asked, {"O": 50})
    assert cost == SupplierCost("S", Decimal(goods), Decimal(shipping), Decimal(2), Decimal(tax))
    assert cost.total == Decimal(goods) + Decimal(shipping) + 2 + Decimal(tax)


def test_leftovers_are_a_part_of_the_goods_without_tax() -> None:
    """50 pieces for 100 as listed, 50 in the base currency, 40 of it without tax: 10 pieces of 50 are 8."""
    asked = replace(FIFTY, suppliers=(replace(ABROAD, prices_include_tax=True),))
    assert leftovers(asked, {"O": 50}) == 8
    assert leftovers(asked, {"O": 40}) == 0


@pytest.mark.parametrize(
    ("offer", "supplier", "pieces", "said"),
    [
        ({"stock": 50}, {}, 50, ()),
        ({"stock": 49}, {}, 50, ("O: 50 wanted, 49 in stock",)),
        ({"moq": 50}, {}, 50, ()),
        ({"moq": 51}, {}, 50, ("O: 50 is below the minimum of 51",)),
        ({"multiple": 7}, {}, 50, ("O: 50 is not a multiple of 7",)),
        ({"multiple": 7}, {}, 49, ()),
        ({}, {"min_order_value": Decimal(100)}, 50, ()),
        ({}, {"min_order_value": Decimal(101)}, 50, ("S: below the minimum order of 101",)),
    ],
)
def test_what_stands_against_an_order_is_said(
    offer: dict[str, Any], supplier: dict[str, Any], pieces: int, said: tuple[str, ...]
) -> None:
    asked = replace(FIFTY, offers=(replace(OFFER, **offer),), suppliers=(replace(ABROAD, **supplier),))
    assert faults(asked, {"O": pieces}) == said


def test_more_suppliers_than_wanted_stand_against_it() -> None:
    two = replace(
        FIFTY, suppliers=(ABROAD, PlanSupplier("T", "EUR")), offers=(OFFER, replace(OFFER, id="X", supplier="T"))
    )
    assert faults(replace(two, max_suppliers=2), {"O": 20, "X": 20}) == ()
    assert faults(replace(two, max_suppliers=1), {"O": 20, "X": 20}) == ("2 suppliers, at most 1 wanted",)
    assert faults(replace(two, max_suppliers=1), {"O": 40, "X": 0}) == ()


def flows(*fillable: str) -> PlanProblem:
    """Needs of 4 pieces each, by the letters of the parts that fill them; an offer of each part, A the least worth."""
    letters = sorted(set("".join(fillable)))
    return PlanProblem(
        "EUR",
        tuple(PlanNeed(name, 4, tuple(parts)) for name, parts in zip("PQR", fillable, strict=False)),
        (ABROAD,),
        tuple(
            PlanOffer(name, "S", name, ((1, Decimal(9)),), surplus_value=Decimal(worth))
            for worth, name in enumerate(letters)
        ),
    )


def test_pieces_that_fit_more_needs_give_way_along_a_chain() -> None:
    """A fills P first; B can only take P, so A goes over to Q; C can only take Q, so A goes on to R."""
    asked = flows("AB", "AC", "A")
    assert best_assignment(asked, {"A": 4, "B": 4, "C": 4}) == {("B", "P"): 4, ("C", "Q"): 4, ("A", "R"): 4}
    assert best_assignment(asked, {"A": 6, "B": 3, "C": 3}) == {
        ("A", "P"): 1,
        ("B", "P"): 3,
        ("A", "Q"): 1,
        ("C", "Q"): 3,
        ("A", "R"): 4,
    }
    assert uncovered(asked, {"A": 3, "B": 9, "C": 9}) == {"R": 1}
