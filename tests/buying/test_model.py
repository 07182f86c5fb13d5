"""The program of a plan problem: its tiers, what it relaxes to, and the best way to cover one need, by hand."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from bom.buying.lagrangian_bound import cheapest_cover
from bom.buying.model import Model, Tier, tiers
from bom.buying.order import price, surplus_credit
from bom.buying.plan import plan
from bom.buying.plan_problem import PlanNeed, PlanOffer, PlanProblem, PlanSupplier
from bom.intake.problem_file import stated_problem
from bom.values.problem import Refused

CASES = json.loads((Path(__file__).parent.parent / "data" / "plan_cases.json").read_text())["instances"]
THREE_OR_TWO = ((1, "3"), (10, "2"))
TAXED = {"fx_to_base": "0.5", "tax_rate": "0.25", "tax_on_shipping": False}  # goods at 0.625, shipping at 0.5


def supplier(name: str = "S", **terms: Any) -> PlanSupplier:
    return PlanSupplier(name, "EUR", **{k: v if isinstance(v, bool) else Decimal(v) for k, v in terms.items()})


def offer(name: str, *prices: tuple[int, str], of: str = "S", part: str = "A", **more: Any) -> PlanOffer:
    return PlanOffer(name, of, part, tuple((start, Decimal(p)) for start, p in prices), **more)


@pytest.mark.parametrize(
    ("terms", "more", "wanted", "found"),
    [
        # Ten for 20 are of no use where six cost 18, and are where seven cost 21.
        ({}, {}, 6, [(1, 6, 0, 3)]),
        ({}, {}, 7, [(1, 7, 0, 3), (10, 10, 0, 2)]),
        ({}, {}, 9, [(1, 9, 0, 3), (10, 10, 0, 2)]),
        ({}, {}, 10, [(1, 9, 0, 3), (10, 10, 0, 2)]),
        ({}, {}, 12, [(1, 9, 0, 3), (10, 12, 0, 2)]),
        # 2 for shipping with six make 20 too; 3 make 21, which ten might save.
        ({"shipping_fee": "2"}, {}, 6, [(1, 6, 0, 3)]),
        ({"shipping_fee": "3"}, {}, 6, [(1, 6, 0, 3), (10, 10, 0, 2)]),
        # Untaxed shipping counts for four fifths against taxed goods: 2.5 as 2, 3 as 2.4.
        ({**TAXED, "shipping_fee": "2.5"}, {}, 6, [(1, 6, 0, 3)]),
        ({**TAXED, "shipping_fee": "3"}, {}, 6, [(1, 6, 0, 3), (10, 10, 0, 2)]),
        # Up to a threshold: 7 x 3 and 10 x 2 reach 19; 20 x 2 reach 40.
        ({"min_order_value": "18"}, {}, 6, [(1, 6, 0, 3)]),
        ({"min_order_value": "19"}, {}, 6, [(1, 7, 0, 3), (10, 10, 0, 2)]),
        ({"free_shipping_from": "40"}, {}, 6, [(1, 9, 0, 3)]),
        ({"free_shipping_from": "40"}, {}, 7, [(1, 9, 0, 3), (10, 20, 0, 2)]),
        # 9 more for the first nine: (40 - 9) / 2 = 15.5.
        ({"free_shipping_from": "40"}, {"incremental": True}, 12, [(1, 9, 0, 3), (10, 16, 9, 2)]),
        ({"free_shipping_from": "8"}, {"incremental": True}, 12, [(1, 9, 0, 3), (10, 12, 9, 2)]),
        # Stock, minimum and packs.
        ({}, {"stock": 11}, 12, [(1, 9, 0, 3), (10, 11, 0, 2)]),
        ({}, {"stock": 9}, 12, [(1, 9, 0, 3)]),
        ({}, {"moq": 4}, 2, [(4, 4, 0, 3)]),
        ({}, {"multiple": 4}, 12, [(4, 8, 0, 3), (12, 12, 0, 2)]),
        ({}, {"multiple": 4, "stock": 21}, 30, [(4, 8, 0, 3), (12, 20, 0, 2)]),
        # Leftovers: a tier is never left out; worth as much as they cost, there is no end but stock.
        ({}, {"surplus_value": Decimal("1.99")}, 6, [(1, 6, 0, 3), (10, 10, 0, 2)]),
        ({}, {"surplus_value": Decimal(2), "stock": 50}, 6, [(1, 9, 0, 3), (10, 50, 0, 2)]),
        ({"fx_to_base": "0.5"}, {"surplus_value": Decimal(1), "stock": 50}, 6, [(1, 9, 0, 3), (10, 50, 0, 2)]),
        ({"fx_to_base": "0.5"}, {"surplus_value": Decimal("0.99")}, 6, [(1, 6, 0, 3), (10, 10, 0, 2)]),
    ],
)
def test_the_tiers_of_an_offer_are_cut_to_what_can_be_of_use(
    terms: dict[str, Any], more: dict[str, Any], wanted: int, found: list[tuple[int, int, int, int]]
) -> None:
    expected = tuple(Tier(low, high, Decimal(fixed), Decimal(unit)) for low, high, fixed, unit in found)
    assert tiers(offer("O", *THREE_OR_TWO, **more), supplier(**terms), wanted) == expected


def test_what_is_free_is_not_bought_to_reach_a_threshold() -> None:
    assert tiers(offer("O", (1, "0")), supplier(min_order_value="9"), 6) == (Tier(1, 6, Decimal(0), Decimal(0)),)


def test_leftovers_that_earn_without_end_are_refused() -> None:
    with pytest.raises(Refused, match="O: surplus is worth more than it costs and stock has no limit"):
        tiers(offer("O", *THREE_OR_TWO, surplus_value=Decimal(2)), supplier(), 6)


def needs(*demands: int, parts: str = "AAA") -> tuple[PlanNeed, ...]:
    return tuple(PlanNeed(f"P{n}", d, (part,)) for n, (d, part) in enumerate(zip(demands, parts, strict=False)))


ONES, TENS = offer("ones", (1, "1")), offer("tens", (1, "1"), multiple=10)
BIG = PlanProblem("EUR", needs(100), (supplier(), supplier("T")), (ONES, offer("T", (1, "0.5"), of="T", stock=50)))
FREE = supplier(shipping_fee="7", free_shipping_from="40")


@pytest.mark.parametrize(
    ("problem", "cost"),
    [
        # Singles and a fee; a minimum quantity; a minimum order.
        (PlanProblem("EUR", needs(33), (supplier(shipping_fee="7"),), (ONES,)), 40),
        (PlanProblem("EUR", needs(33), (supplier(import_fee="7", fx_to_base="0.5"),), (ONES,)), 20),
        (PlanProblem("EUR", needs(33), (supplier(reluctance="7"),), (ONES,)), 40),
        (PlanProblem("EUR", needs(33), (supplier(),), (offer("O", (1, "1"), moq=50),)), 50),
        (PlanProblem("EUR", needs(33), (supplier(min_order_value="60"),), (ONES,)), 60),
        # The part pack is paid whole, for one need of 33 and for 13 and 20 together; twice where they are apart.
        (PlanProblem("EUR", needs(33), (supplier(),), (TENS,)), 40),
        (PlanProblem("EUR", needs(13, 20), (supplier(),), (TENS,)), 40),
        (PlanProblem("EUR", needs(13, 20, 5), (supplier(),), (TENS,)), 40),
        (PlanProblem("EUR", needs(13, 17, parts="AB"), (supplier(),), (TENS, offer("B", (1, "1"), part="B"))), 37),
        # Pieces for two needs cannot be used twice.
        (PlanProblem("EUR", needs(4, 9), (supplier(),), (ONES,)), 13),
        # Free shipping for 33 of 40 is had to 33/40; a supplier half ordered from ships half free at most.
        (PlanProblem("EUR", needs(33), (FREE,), (ONES,)), 33 + 7 - 7 * 33 / 40),
        (PlanProblem("EUR", needs(50), (FREE,), (ONES,)), 50),
        (PlanProblem("EUR", needs(100), (FREE, supplier("T")), BIG.offers), 75),
        # Every piece there is, as leftovers are worth more than they cost: 40 less 7 x 1.5.
        (
            PlanProblem(
                "EUR", needs(33), (supplier(),), (offer("O", (1, "1"), stock=40, surplus_value=Decimal("1.5")),)
            ),
            29.5,
        ),
        # Nine for 27, or ten for 29: 9 x 3 + 2.
        (PlanProblem("EUR", needs(9), (supplier(),), (offer("O", *THREE_OR_TWO, incremental=True),)), 27),
        (PlanProblem("EUR", needs(10), (supplier(),), (offer("O", *THREE_OR_TWO, incremental=True, moq=10),)), 29),
    ],
)
def test_the_program_relaxed_is_as_near_as_its_rows_make_it(problem: PlanProblem, cost: float) -> None:
    assert Model(problem).program.relax().objective == pytest.approx(cost)


@pytest.mark.parametrize("case", [c for c in CASES if "order" in c["answer"]], ids=lambda c: str(c["id"]))
def test_a_known_order_keeps_every_row_and_costs_what_it_costs(case: dict[str, Any]) -> None:
    problem, order = stated_problem(case), {name: q for name, q in case["answer"]["order"].items() if q}
    model = Model(problem)
    program, values = model.program, model.values(order)
    assert values is not None
    assert all(low <= v <= high for v, low, high in zip(values, program.lower, program.upper, strict=True))
    for row, (low, high) in enumerate(zip(program.row_lower, program.row_upper, strict=True)):
        terms = range(program.starts[row], program.starts[row + 1])
        total = sum(program.coefficients[k] * values[program.indices[k]] for k in terms)
        assert low - 1e-9 <= total <= high + 1e-9
    cost = sum(c * v for c, v in zip(program.cost, values, strict=True))
    assert cost == pytest.approx(float(price(problem, order)), abs=1e-6)
    assert surplus_credit(problem, order) >= 0


def test_an_order_of_what_was_cut_away_has_no_values() -> None:
    assert Model(PlanProblem("EUR", needs(6), (supplier(),), (ONES,))).values({"ones": 7}) is None


@pytest.mark.parametrize(("most", "status"), [(2, "optimal"), (1, "infeasible")])
def test_no_more_suppliers_than_wanted(most: int, status: str) -> None:
    dear = PlanProblem("EUR", BIG.needs, BIG.suppliers, (offer("S", (1, "1"), stock=50), BIG.offers[1]), most)
    assert plan(dear).status == status


@pytest.mark.parametrize(
    ("demand", "cost", "packs"),
    [
        (1, 2.0, [0, 1]),
        (4, 8.0, [0, 4]),
        (6, 10.0, [1, 0]),
        (10, 10.0, [1, 0]),
        (11, 12.0, [1, 1]),
        (33, 36.0, [3, 3]),
        (36, 40.0, [4, 0]),
        (94, 98.0, [9, 4]),
        (97, 104.0, [9, 7]),
    ],
)
def test_one_need_is_covered_as_cheaply_as_can_be(demand: int, cost: float, packs: list[int]) -> None:
    """Tens at 10 a pack, as far as 95 in stock go; single ones at 2, eight of them."""
    offers = (offer("tens", (1, "1"), multiple=10, stock=95), offer("ones", (1, "2"), stock=8))
    model = Model(PlanProblem("EUR", needs(demand), (supplier(),), offers))
    assert cheapest_cover(model.columns, demand, model.program.cost) == (pytest.approx(cost), packs)


def test_nobody_covers_more_than_there_is() -> None:
    model = Model(PlanProblem("EUR", needs(9), (supplier(),), (offer("O", (1, "2"), stock=8),)))
    assert cheapest_cover(model.columns, 9, model.program.cost) is None


@pytest.mark.parametrize(
    ("more", "demand", "cost", "packs"),
    [
        ({}, 6, 18.0, [6]),
        ({}, 7, 20.0, [0, 10]),
        ({}, 12, 24.0, [0, 12]),
        ({"incremental": True}, 12, 33.0, [0, 12]),
        ({"multiple": 4}, 7, 24.0, [2]),  # two packs of four at 3; three at 2 cost as much
        ({"moq": 6}, 2, 18.0, [6]),
        # Worth 2.50 a piece when left over: all 50 at 2, less what 44 are worth.
        ({"surplus_value": Decimal("2.5"), "stock": 50}, 6, 100 - 44 * 2.5, [0, 50]),
    ],
)
def test_one_of_an_offers_tiers_covers_a_need(more: dict[str, Any], demand: int, cost: float, packs: list[int]) -> None:
    model = Model(PlanProblem("EUR", needs(demand), (supplier(),), (offer("O", *THREE_OR_TWO, **more),)))
    assert cheapest_cover(model.columns, demand, model.program.cost) == (pytest.approx(cost), packs)


def test_no_more_packs_are_taken_for_a_threshold_than_pay() -> None:
    """Up to nine at 0.50 might help to reach 40; six cost 3."""
    problem = PlanProblem("EUR", needs(6), (supplier(free_shipping_from="40"),), (offer("O", (1, "0.5"), (10, "0.4")),))
    model = Model(problem)
    assert cheapest_cover(model.columns, 6, model.program.cost) == (pytest.approx(3.0), [6])


def test_an_order_is_whole_packs_of_what_the_program_takes() -> None:
    model = Model(PlanProblem("EUR", needs(33), (supplier(),), (TENS,)))
    assert model.order(model.program.minimise()) == {"tens": 40}
