"""Whole baskets: shipping, minimums and tax decide, not the unit price."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from bom.buying.buying_habits import best_single_supplier, lowest_unit_price_habit
from bom.buying.from_offers import Need, problem_from
from bom.buying.offer import Break, Offer, Rates, Supplier
from bom.buying.order import faults
from bom.buying.order_lines import OrderLine, lines_of
from bom.buying.plan import plan
from bom.buying.plan_problem import PlanNeed, PlanOffer, PlanProblem, PlanSupplier
from bom.intake.problem_file import stated_problem
from bom.values.money import Money

TODAY = date(2026, 3, 2)
EURO = Rates("EUR", TODAY, (("USD", Decimal("0.92")),), "made up")


def eur(amount: str) -> Money:
    return Money.of(amount, "EUR")


def breaks(*rows: tuple[int, str]) -> tuple[Break, ...]:
    return tuple(Break(start, eur(price)) for start, price in rows)


SUPPLIERS = (
    Supplier("Fennmoor", "EUR", shipping_fee=eur("12.00")),
    Supplier("Osmere", "EUR", shipping_fee=eur("6.50")),
    Supplier("Thaxley", "EUR", shipping_fee=eur("4.00"), import_fee=eur("9.00")),
)
OFFERS = (
    Offer("Fennmoor", "KM-7", breaks((1, "2.90"), (10, "2.20")), "Kithmar", "F1", stock=500),
    Offer("Osmere", "KM-7", breaks((1, "1.60")), "Kithmar", "O1", stock=500, moq=10, multiple=10),
    Offer("Thaxley", "KM-7", breaks((1, "1.10")), "Kithmar", "T1", stock=500, multiple=25),
)


def eight(
    offers: tuple[Offer, ...] = OFFERS, suppliers: tuple[Supplier, ...] = SUPPLIERS
) -> tuple[PlanProblem, tuple[str, ...]]:
    return problem_from([Need("KM-7", 8)], suppliers, offers, EURO, tax_registered=False, today=TODAY)


@pytest.mark.parametrize(
    ("supplier", "cost", "pieces"), [("Fennmoor", "34.00", 10), ("Osmere", "22.50", 10), ("Thaxley", "40.50", 25)]
)
def test_each_supplier_alone_costs_its_whole_basket(supplier: str, cost: str, pieces: int) -> None:
    found = plan(eight(tuple(o for o in OFFERS if o.supplier == supplier))[0])
    assert found.cost == Decimal(cost)
    assert list(found.quantities.values()) == [pieces]


def test_the_plan_takes_the_cheapest_basket_not_the_lowest_unit_price() -> None:
    problem, left_out = eight()
    found, habit, main = plan(problem), lowest_unit_price_habit(problem), best_single_supplier(problem)
    assert left_out == ()
    assert habit is not None and main is not None
    assert (found.status, found.cost) == ("optimal", Decimal("22.50"))
    assert (habit.cost, main.cost, main.main) == (Decimal("40.50"), Decimal("22.50"), "Osmere")


def test_shipping_is_paid_once_per_order() -> None:
    needs = [Need("KM-7", 8), Need("KM-8", 10)]
    second = replace(OFFERS[1], part_number="KM-8", supplier_code="O2")
    problem, _ = problem_from(needs, SUPPLIERS, (OFFERS[1], second), EURO, tax_registered=False, today=TODAY)
    assert plan(problem).cost == Decimal("38.50")  # 16 + 16 + 6.50


def only_line(offer: Offer) -> OrderLine:
    problem, _ = eight((offer,))
    (line,) = lines_of(plan(problem), problem, (offer,))
    return line


@pytest.mark.parametrize(
    ("offer", "quantity", "unit", "total", "why"),
    [
        (OFFERS[0], 10, "2.20", "22.00", "10+ price makes 10 cheaper than 8"),
        (OFFERS[1], 10, "1.60", "16.00", "minimum 10"),
        (OFFERS[2], 25, "1.10", "27.50", "multiple of 25"),
        (replace(OFFERS[1], moq=1, multiple=2), 8, "1.60", "12.80", "as needed"),
        (replace(OFFERS[0], incremental=True), 8, "2.90", "23.20", "as needed"),
    ],
)
def test_a_line_says_why_its_quantity(offer: Offer, quantity: int, unit: str, total: str, why: str) -> None:
    line = only_line(offer)
    assert (line.quantity, line.unit_price, line.line_total) == (quantity, eur(unit), eur(total))
    assert (line.why, line.covers, line.spare) == (why, (("KM-7", 8),), quantity - 8)


@pytest.mark.parametrize(
    ("offer", "reason"),
    [
        (replace(OFFERS[0], valid_until=date(2026, 3, 1)), "the quote expired on 2026-03-01"),
        (replace(OFFERS[0], stock=None), "neither stock nor lead time is stated"),
        (replace(OFFERS[0], stock=0), "none in stock"),
        (replace(OFFERS[0], breaks=()), "no price is stated"),
        (replace(OFFERS[0], supplier="Hollowmere Bench"), "no supplier named 'Hollowmere Bench'"),
        (replace(OFFERS[0], breaks=(Break(1, Money.of(1, "GBP")),)), "priced in GBP"),
    ],
)
def test_an_offer_that_cannot_be_ranked_is_left_out_and_named(offer: Offer, reason: str) -> None:
    problem, left_out = eight((offer,))
    assert problem.offers == () and len(left_out) == 1 and reason in left_out[0]
    assert left_out[0].startswith(offer.supplier)
    assert plan(problem).status == "infeasible"


def test_an_offer_without_a_rate_is_left_out_and_named() -> None:
    abroad = Supplier("Osmere", "GBP")
    _, left_out = eight((replace(OFFERS[1], breaks=(Break(1, Money.of(1, "GBP")),)),), (abroad,))
    assert left_out == ("Osmere O1 (KM-7): no rate from GBP to EUR",)


def test_an_offer_in_another_currency_is_ranked_at_its_rate() -> None:
    abroad = Supplier("Osmere", "USD", shipping_fee=Money.of(5, "USD"))
    offer = replace(OFFERS[1], breaks=(Break(1, Money.of(1, "USD")),))
    assert plan(eight((offer,), (abroad,))[0]).cost == Decimal("13.80")  # 0.92 x (10 + 5)


@pytest.mark.parametrize("whose", ["offer", "supplier"])
def test_a_stated_lead_time_stands_in_for_a_stock_that_is_not_stated(whose: str) -> None:
    until = None if whose == "offer" else TODAY  # lists are read with the usual days in them, quotes as they came
    offer = replace(OFFERS[0], stock=None, lead_days=9 if whose == "offer" else None, valid_until=until)
    supplier = replace(SUPPLIERS[0], lead_days=9 if whose == "supplier" else None)
    problem, left_out = eight((offer,), (supplier,))
    assert left_out == () and plan(problem).cost == Decimal(34)


def test_a_quote_is_good_on_its_last_day() -> None:
    assert eight((replace(OFFERS[0], valid_until=TODAY),))[1] == ()


def test_the_first_break_is_the_least_that_can_be_ordered() -> None:
    problem, _ = eight((replace(OFFERS[0], breaks=breaks((20, "1.00"))),))
    assert [q for _, q in plan(problem).order] == [20]


@pytest.mark.parametrize(("registered", "cost"), [(True, "18.50"), (False, "22.20")])
def test_prices_with_and_without_tax_are_compared_in_the_same_position(registered: bool, cost: str) -> None:
    twenty = Decimal(20)
    suppliers = (
        Supplier("Fennmoor", "EUR", tax_pct=twenty),
        Supplier("Osmere", "EUR", tax_pct=twenty, prices_include_tax=True),
    )
    offers = (
        Offer("Fennmoor", "KM-7", breaks((1, "19.00")), stock=1),
        Offer("Osmere", "KM-7", breaks((1, "22.20")), stock=1),
    )
    problem, _ = problem_from([Need("KM-7", 1)], suppliers, offers, EURO, tax_registered=registered, today=TODAY)
    found = plan(problem)
    assert found.cost is not None and round(found.cost, 6) == Decimal(cost)
    assert found.quantities == {"Osmere KM-7": 1}
    other, _ = problem_from([Need("KM-7", 1)], suppliers, offers[:1], EURO, tax_registered=registered, today=TODAY)
    assert plan(other).cost == Decimal("19.00" if registered else "22.80")


def two_needs() -> PlanProblem:
    return stated_problem(
        {
            "base_currency": "EUR",
            "parts": [
                {"id": "P", "demand": 4, "fillable_by": ["A"]},
                {"id": "Q", "demand": 4, "fillable_by": ["B"]},
            ],
            "suppliers": [
                {"id": "S", "currency": "EUR", "shipping_fee": 5},
                {"id": "T", "currency": "EUR", "shipping_fee": 6, "min_order_value": 20},
            ],
            "offers": [
                {"id": "SA", "supplier": "S", "part_number": "A", "stock": 9, "breaks": [[1, 3]]},
                {"id": "TA", "supplier": "T", "part_number": "A", "stock": 9, "breaks": [[1, 2]]},
                {"id": "TB", "supplier": "T", "part_number": "B", "stock": 9, "breaks": [[1, 2]]},
            ],
        }
    )


def test_what_fills_up_a_minimum_order_counts_as_wasted() -> None:
    habit = lowest_unit_price_habit(two_needs())
    assert habit is not None
    assert (habit.wasted, habit.cost) == (Decimal(4), Decimal(26))  # 16 of goods, filled up to 20, and 6


def test_what_is_wasted_is_told_in_the_base_currency() -> None:
    abroad = replace(two_needs(), suppliers=tuple(replace(s, fx_to_base=Decimal("0.5")) for s in two_needs().suppliers))
    habit = lowest_unit_price_habit(abroad)
    assert habit is not None and (habit.wasted, habit.cost) == (Decimal(2), Decimal(13))


def test_the_best_single_supplier_fills_what_it_can_and_leaves_the_rest_to_others() -> None:
    problem = two_needs()
    main, found = best_single_supplier(problem), plan(problem)
    assert main is not None and found.cost is not None
    assert (main.main, main.cost) == ("T", Decimal(26))
    assert found.cost <= main.cost and faults(problem, found.quantities) == ()


def test_a_habit_that_cannot_cover_the_needs_has_no_basket() -> None:
    problem = replace(two_needs(), offers=two_needs().offers[:1])
    assert lowest_unit_price_habit(problem) is None and best_single_supplier(problem) is None


def one_need(*offers: PlanOffer, minimum: str = "0") -> PlanProblem:
    suppliers = tuple(PlanSupplier(o.supplier, "EUR", min_order_value=Decimal(minimum)) for o in offers)
    return PlanProblem("EUR", (PlanNeed("P", 10, ("A",)),), suppliers, offers)


def at(price: str, **more: Any) -> PlanOffer:
    return PlanOffer("S A", "S", "A", ((1, Decimal(price)),), **more)


def habit_of(problem: PlanProblem) -> dict[str, int] | None:
    found = lowest_unit_price_habit(problem)
    return None if found is None else dict(found.order)


def test_the_habit_looks_at_the_price_that_is_reached_with_what_it_has_taken_already() -> None:
    two = PlanProblem(
        "EUR",
        (PlanNeed("P", 6, ("A",)), PlanNeed("Q", 6, ("A", "B"))),
        (PlanSupplier("T", "EUR"), PlanSupplier("S", "EUR")),
        (
            PlanOffer("T A", "T", "A", ((1, Decimal(2)), (10, Decimal(1)))),
            PlanOffer("S B", "S", "B", ((1, Decimal("1.9")),)),
        ),
    )
    assert habit_of(two) == {"T A": 12}


@pytest.mark.parametrize(
    ("offer", "minimum", "order"),
    [
        (at("0.95"), "10", {"S A": 11}),
        (at("0.95", multiple=5), "10", {"S A": 15}),
        (at("1.00"), "10", {"S A": 10}),
        (at("0.95", stock=10), "10", None),
        (at("0.50", stock=12), "100", None),
        (at("0.00"), "5", None),
    ],
)
def test_the_habit_fills_up_to_the_minimum_order_where_it_can(
    offer: PlanOffer, minimum: str, order: dict[str, int] | None
) -> None:
    assert habit_of(one_need(offer, minimum=minimum)) == order


def b(name: str, part: str, each: str, stock: int | None = None, multiple: int = 1) -> PlanOffer:
    return PlanOffer(f"{name}{part}", name, part, ((1, Decimal(each)),), stock, multiple=multiple)


@pytest.mark.parametrize(
    ("offers", "minimum", "order"),
    [
        # A single piece where that is all there is; all of the cheapest, counting what was taken for the other need.
        ((b("S", "A", "1", 9), b("T", "A", "2", 1), b("S", "B", "1")), "0", {"SA": 9, "TA": 1, "SB": 10}),
        ((b("S", "A", "1"), b("S", "B", "2", 9), b("T", "B", "3")), "0", {"SA": 10, "SB": 9, "TB": 1}),
        # 30 of goods, filled up to 33 with B at 2 a piece, not A at 5 a pack.
        ((b("S", "A", "1", multiple=5), b("S", "B", "2")), "33", {"SA": 10, "SB": 12}),
    ],
)
def test_the_habit_takes_what_there_is_and_fills_up_with_the_cheapest_pack(
    offers: tuple[PlanOffer, ...], minimum: str, order: dict[str, int]
) -> None:
    needs = (PlanNeed("P", 10, ("A",)), PlanNeed("Q", 10, ("B",)))
    suppliers = tuple(PlanSupplier(n, "EUR", min_order_value=Decimal(minimum)) for n in ("S", "T"))
    assert habit_of(PlanProblem("EUR", needs, suppliers, offers)) == order


def test_what_one_need_has_taken_the_other_does_not_find() -> None:
    needs = (PlanNeed("P", 6, ("A",)), PlanNeed("Q", 6, ("A",)))
    offers = (b("S", "A", "1", 8), b("T", "A", "2"))
    suppliers = (PlanSupplier("S", "EUR"), PlanSupplier("T", "EUR"))
    assert habit_of(PlanProblem("EUR", needs, suppliers, offers)) == {"SA": 8, "TA": 4}


@pytest.mark.parametrize(("parts", "most", "is_found"), [("AB", 2, True), ("AB", 1, False), ("ABC", 2, False)])
def test_the_main_supplier_counts_among_the_most(parts: str, most: int, is_found: bool) -> None:
    """Each part is sold by one supplier alone."""
    needs = tuple(PlanNeed(part, 4, (part,)) for part in parts)
    suppliers = tuple(PlanSupplier(f"of {part}", "EUR") for part in parts)
    offers = tuple(b(f"of {part}", part, "1") for part in parts)
    assert (best_single_supplier(PlanProblem("EUR", needs, suppliers, offers, most)) is not None) is is_found
