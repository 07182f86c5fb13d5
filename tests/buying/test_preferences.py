"""What a shop may prefer besides a low cost."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from bom.buying.order_lines import blocked
from bom.buying.plan import plan
from bom.buying.plan_problem import PlanNeed, PlanOffer, PlanProblem, PlanSupplier, Preferences, as_preferred
from bom.values.problem import Refused


def offer(supplier: str, price: str, days: int, **more: int) -> PlanOffer:
    return PlanOffer(supplier, supplier, "A", ((1, Decimal(price)),), 50, lead_days=days, **more)


MARKET = PlanProblem(
    "EUR",
    (PlanNeed("P", 10, ("A",)),),
    (PlanSupplier("Near", "EUR"), PlanSupplier("Far", "EUR"), PlanSupplier("Packs", "EUR")),
    (offer("Near", "1.20", 2), offer("Far", "1.00", 20), offer("Packs", "0.90", 9, multiple=12)),
)


@pytest.mark.parametrize(
    ("preferences", "supplier", "cost"),
    [
        (Preferences(), "Far", "10"),
        (Preferences(within_days=9), "Packs", "10.8"),
        (Preferences(within_days=2), "Near", "12"),
        (Preferences(avoid=(("Far", None),)), "Packs", "10.8"),
        (Preferences(avoid=(("Far", Decimal("0.80")),)), "Far", "10"),
        (Preferences(avoid=(("Far", Decimal("0.81")),)), "Packs", "10.8"),
        (Preferences(prefer=(("Near", Decimal("2.01")),)), "Near", "12"),
        (Preferences(prefer=(("Near", Decimal("1.99")),)), "Far", "10"),
        (Preferences(surplus_pct=Decimal(50)), "Packs", "9.9"),
    ],
)
def test_a_wish_changes_who_is_ordered_from(preferences: Preferences, supplier: str, cost: str) -> None:
    found = plan(as_preferred(MARKET, preferences))
    assert (list(found.quantities), found.cost) == ([supplier], Decimal(cost))


def test_who_is_avoided_is_named_where_nobody_else_offers_it() -> None:
    found = as_preferred(MARKET, Preferences(avoid=tuple((s.id, None) for s in MARKET.suppliers)))
    assert blocked(found) == (
        "P: 10 wanted, nobody else offers it; Near and Far and Packs, who are to be avoided, would",
    )


def test_reluctance_is_no_cost_and_the_bound_keeps_below_the_cost() -> None:
    found = plan(as_preferred(MARKET, Preferences(prefer=(("Near", Decimal(50)),))))
    assert found.status == "optimal" and found.cost == 12 and found.bound is not None and found.bound <= 12


def test_what_is_paid_in_reluctance_is_no_part_of_the_bound() -> None:
    found = plan(as_preferred(MARKET, Preferences(avoid=(("Far", Decimal("0.80")),))))
    assert (found.cost, found.bound) == (10, pytest.approx(10))


def test_of_two_latest_days_the_sooner_one_holds() -> None:
    hasty = replace(MARKET, needs=(PlanNeed("P", 10, ("A",), 2),))
    assert as_preferred(hasty, Preferences(within_days=9)).needs[0].max_lead_days == 2


def test_at_most_so_many_suppliers() -> None:
    short = replace(MARKET, offers=tuple(replace(o, stock=6) for o in MARKET.offers[:2]))
    assert len(plan(as_preferred(short, Preferences(most=2))).suppliers) == 2
    assert plan(as_preferred(short, Preferences(most=1))).status == "infeasible"


@pytest.mark.parametrize(
    "preferences", [Preferences(avoid=(("Nobody", None),)), Preferences(prefer=(("Nobody", Decimal(1)),))]
)
def test_a_supplier_nobody_knows_is_refused(preferences: Preferences) -> None:
    with pytest.raises(Refused, match="no supplier Nobody"):
        as_preferred(MARKET, preferences)


def test_leftovers_worth_all_they_cost_are_refused() -> None:
    with pytest.raises(Refused, match="below 100 %"):
        as_preferred(MARKET, Preferences(surplus_pct=Decimal(100)))


def test_leftovers_are_worth_a_share_of_the_lowest_price_as_it_is_paid() -> None:
    """Half of 2 listed, at 0.5: half a unit of the base currency."""
    offer = PlanOffer("O", "S", "A", ((1, Decimal(3)), (10, Decimal(2))))
    abroad = PlanProblem("EUR", (), (PlanSupplier("S", "USD", fx_to_base=Decimal("0.5")),), (offer,))
    assert as_preferred(abroad, Preferences(surplus_pct=Decimal(50))).offers[0].surplus_value == Decimal("0.5")
