"""The quick first order: complete, without faults, and near the cheapest."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from decimal import Decimal
from itertools import count
from pathlib import Path
from typing import Any

import pytest

import bom.buying.first_order as searching
from bom.buying.first_order import INFINITE, SupplierTerms, better_order, first_order, priced
from bom.buying.order import faults, price
from bom.buying.plan_problem import PlanNeed, PlanOffer, PlanProblem, PlanSupplier
from bom.intake.problem_file import stated_problem

CASES = json.loads((Path(__file__).parent.parent / "data" / "plan_cases.json").read_text())["instances"]
SOLVED = [c for c in CASES if c["answer"]["status"] == "optimal"]


@pytest.mark.parametrize("case", SOLVED, ids=lambda c: str(c["id"]))
def test_a_first_order_can_be_placed_and_never_beats_exhaustive_search(case: dict[str, Any]) -> None:
    problem = stated_problem(case)
    order = first_order(problem)
    if order is not None:
        assert faults(problem, order) == ()
        assert float(price(problem, order)) >= case["answer"]["cost"] - 1e-6


def test_first_orders_are_found_for_most_problems_and_nearly_the_cheapest() -> None:
    """33 of 36, 31 of them the best there is, and all together 0.31 % above it."""
    found = [(c, order) for c in SOLVED if (order := first_order(stated_problem(c))) is not None]
    best = sum(c["answer"]["cost"] for c, _ in found)
    assert len(found) >= 33
    assert sum(float(price(stated_problem(c), order)) for c, order in found) < 1.0032 * best


@pytest.mark.parametrize("case", [c for c in CASES if c["answer"]["status"] != "optimal"], ids=lambda c: str(c["id"]))
def test_no_first_order_where_none_can_serve(case: dict[str, Any]) -> None:
    assert first_order(stated_problem(case)) is None


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


AB = ("A", "B")
ALONE = (PlanNeed("P", 8, ("A",)),)
TWICE = (PlanNeed("P", 6, ("A",)), PlanNeed("Q", 6, ("A",)))


def sells(supplier: str, each: str, stock: int | None = None, part: str = "A", **more: Any) -> PlanOffer:
    """An offer that goes by its supplier and part."""
    return PlanOffer(f"{supplier}{part}", supplier, part, ((1, Decimal(each)),), stock, **more)


def market(needs: tuple[PlanNeed, ...], *offers: PlanOffer, most: int | None = None, **terms: Any) -> PlanProblem:
    """Terms of a supplier: its shipping fee, or all of them."""
    names = dict.fromkeys(o.supplier for o in offers)
    stated = {n: t if isinstance(t, dict) else {"shipping_fee": t} for n, t in terms.items()}
    suppliers = tuple(PlanSupplier(n, "EUR", **{k: Decimal(v) for k, v in stated.get(n, {}).items()}) for n in names)
    return PlanProblem("EUR", needs, suppliers, offers, most)


@pytest.mark.parametrize(
    ("problem", "order"),
    [
        # All there is, though somebody else has as many.
        (market(ALONE, sells("S", "1", 8), sells("T", "2")), {"SA": 8}),
        # The second need finds 2 of 8 left where the first took 6, and goes where there are 6.
        (market(TWICE, sells("S", "1", 8), sells("T", "2", 6)), {"SA": 6, "TA": 6}),
        # Nobody has 6 left: what is left of the cheapest, then the rest.
        (market(TWICE, sells("S", "1", 8), sells("T", "2", 5)), {"SA": 8, "TA": 4}),
        # A single piece counts; the cheapest first, however few it has.
        (market(ALONE, sells("S", "1", 7), sells("T", "2", 1)), {"SA": 7, "TA": 1}),
        (market(ALONE, sells("S", "2", 2), sells("T", "1", 7)), {"TA": 7, "SA": 1}),
        # Too few of all.
        (market(ALONE, sells("S", "1", 4), sells("T", "2", 3)), None),
        # Who has least choice chooses first.
        (
            market((PlanNeed("P", 6, AB), PlanNeed("Q", 6, ("A",))), sells("S", "1", 6), sells("S", "2", 6, "B")),
            {"SA": 6, "SB": 6},
        ),
        # Too late is no choice.
        (market((PlanNeed("P", 8, ("A",), 3),), sells("S", "1", lead_days=4), sells("T", "2", lead_days=3)), {"TA": 8}),
    ],
)
def test_without_time_each_need_is_covered_as_cheaply_as_goods_can_be_had(
    problem: PlanProblem, order: dict[str, int] | None
) -> None:
    assert first_order(problem, seconds=0) == order


LOOKS = 300


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Iterator[int]:
    """A second goes by whenever the search looks at the clock; what ends by itself ends long before its time."""
    looks = count()
    monkeypatch.setattr(searching, "monotonic", lambda: next(looks))
    return looks


BOTH = (PlanNeed("P", 8, ("A",)), PlanNeed("Q", 8, ("B",)))
DEAR = (sells("S", "1"), sells("S", "1", part="B"), sells("T", "2"), sells("T", "2", part="B"))
THREE = (*BOTH, PlanNeed("R", 8, ("C",)))
EACH = tuple(sells(s, "2", part=p) for s in "STU" for p in "ABC" if (s, p) not in ("SA", "TB", "UC"))


@pytest.mark.parametrize(
    ("problem", "order"),
    [
        # Neither need saves alone by moving (8 to T, 8 + 20 to S); closing S saves 4 of 36.
        (market(BOTH, *DEAR, S=20), {"TA": 8, "TB": 8}),
        (market(BOTH, *DEAR, S=15), {"SA": 8, "SB": 8}),
        # One supplier at most: U would ask 9 less for one of three parts, S has the lowest sum.
        (
            market(THREE, *(sells(s, "2", part=p) for s in "STU" for p in "ABC"), U=1, T=1, most=1),
            {"SA": 8, "SB": 8, "SC": 8},
        ),
        (market(BOTH, sells("S", "1"), sells("T", "2"), sells("T", "2", part="B"), most=1), {"TA": 8, "TB": 8}),
        (market(ALONE, sells("S", "1"), most=0), None),
    ],
)
def test_suppliers_are_closed_while_that_saves_or_there_are_too_many(
    problem: PlanProblem, order: dict[str, int] | None, clock: Iterator[int]
) -> None:
    assert first_order(problem, seconds=LOOKS) == order
    assert next(clock) < LOOKS


HALF = PlanNeed("P", 4, AB)


@pytest.mark.parametrize(
    ("problem", "cover", "order"),
    [
        # 8 cents saved; the same price is no reason to move; nothing covered yet is.
        (market(ALONE, sells("S", "1"), sells("T", "0.99")), {("SA", "P"): 8}, {"TA": 8}),
        (market(ALONE, sells("S", "1"), sells("T", "1")), {("TA", "P"): 8}, {"TA": 8}),
        (market(ALONE, sells("S", "1"), sells("T", "2")), {}, {"SA": 8}),
        # More than there is stays open until it is moved.
        (market(ALONE, sells("S", "1", 8), sells("T", "2")), {("SA", "P"): 9}, {"SA": 8}),
        (market(TWICE, sells("S", "1", 8), sells("T", "2")), {("SA", "P"): 6, ("SA", "Q"): 6}, {"SA": 8, "TA": 4}),
        # All eight there are, though only seven might be taken with one from the other.
        (market(ALONE, sells("S", "1"), sells("T", "0.5", 8)), {("SA", "P"): 8}, {"TA": 8}),
        # As many as one has, the rest from another; a single one too.
        (market(ALONE, sells("S", "1"), sells("T", "0.5", 5)), {("SA", "P"): 8}, {"TA": 5, "SA": 3}),
        (market(ALONE, sells("S", "1"), sells("T", "0.5", 1)), {("SA", "P"): 8}, {"TA": 1, "SA": 7}),
        # Eight cheap ones for twelve; the four more from the other.
        (market(TWICE, sells("S", "1"), sells("T", "0.5", 8)), {("SA", "P"): 6, ("SA", "Q"): 6}, {"TA": 8, "SA": 4}),
        # A whole pack of 5 at 4.50, and singles at 1: 8 = 7.50 (10 of T: 9.00); 6 = 5.50; 4 = 4.00 (a pack 4.50).
        (market(ALONE, sells("S", "1"), sells("T", "0.9", multiple=5)), {("SA", "P"): 8}, {"TA": 5, "SA": 3}),
        (
            market((PlanNeed("P", 6, ("A",)),), sells("S", "1"), sells("T", "0.9", multiple=5)),
            {("SA", "P"): 6},
            {"TA": 5, "SA": 1},
        ),
        (
            market((HALF, PlanNeed("Q", 6, ("A",))), sells("S", "1"), sells("T", "0.9", part="B", multiple=5)),
            {("SA", "P"): 4, ("SA", "Q"): 6},
            {"SA": 10},
        ),
        # The price of ten holds for both needs once both are there: 12 in all, against 12 and 9.
        (
            market(
                (PlanNeed("P", 6, ("A",)), PlanNeed("Q", 6, AB)),
                offer("SA", "S", (1, "2"), (10, "1")),
                sells("T", "1.5", part="B"),
            ),
            {("SA", "P"): 6, ("TB", "Q"): 6},
            {"SA": 12},
        ),
        # A fee is paid once: P moves to where Q is bought already, or Q to where P is.
        (market(BOTH, *DEAR, S=20), {("SA", "P"): 8, ("TB", "Q"): 8}, {"TA": 8, "TB": 8}),
        (market(BOTH, *DEAR, S=7), {("TA", "P"): 8, ("SB", "Q"): 8}, {"SA": 8, "SB": 8}),
        # Where one supplier is the most, a need may move only when it is the last one there.
        (
            market(BOTH, sells("S", "2"), sells("S", "2", part="B"), sells("T", "1"), most=1),
            {("SA", "P"): 8, ("SB", "Q"): 8},
            {"SA": 8, "SB": 8},
        ),
        (market(ALONE, sells("S", "2"), sells("T", "1"), most=1), {("SA", "P"): 8}, {"TA": 8}),
    ],
)
def test_needs_move_one_by_one_to_where_they_cost_less(
    problem: PlanProblem, cover: Mapping[tuple[str, str], int], order: dict[str, int], clock: Iterator[int]
) -> None:
    assert better_order(problem, cover, seconds=LOOKS) == order
    assert next(clock) < LOOKS


def test_what_is_given_stands_where_there_is_no_time_to_better_it() -> None:
    asked = market(ALONE, sells("S", "1"), sells("T", "2", 8))
    assert better_order(asked, {("TA", "P"): 8}, seconds=0) == {"TA": 8}
    assert better_order(asked, {("TA", "P"): 7}, seconds=0) is None


SIX = (PlanNeed("P", 6, ("A",)),)
PAIR = (PlanNeed("P", 6, ("A",)), PlanNeed("Q", 6, ("B",)))


@pytest.mark.parametrize(
    ("problem", "order"),
    [
        # 9.95 of goods, free from 10 instead of a fee of 5: one more piece.
        (
            market((PlanNeed("P", 5, ("A",)),), sells("S", "1.99"), S={"shipping_fee": 5, "free_shipping_from": 10}),
            {"SA": 6},
        ),
        # 6 pieces at 2 = 12; up to 21 lack 9: 4 whole ones (20), then one more. To 20 exactly 4, to 12 none.
        (market(SIX, sells("S", "2"), S={"min_order_value": 21}), {"SA": 11}),
        (market(SIX, sells("S", "2"), S={"min_order_value": 20}), {"SA": 10}),
        (market(SIX, sells("S", "2"), S={"min_order_value": 12}), {"SA": 6}),
        # Packs of 3: 12, then 18, 24.
        (market(SIX, sells("S", "2", multiple=3), S={"min_order_value": 19}), {"SA": 12}),
        # The finest pack first, 2 of B against 5 of A, as far as its stock goes; then the other.
        (
            market(PAIR, sells("S", "1", multiple=5), sells("S", "2", part="B"), S={"min_order_value": 24}),
            {"SA": 10, "SB": 7},
        ),
        (
            market(PAIR, sells("S", "1", multiple=5), sells("S", "2", 8, "B"), S={"min_order_value": 30}),
            {"SA": 15, "SB": 8},
        ),
        # Packs as far as there are any, then singles: 6 + 24 of 40, a pack for 3, two pieces for 4 each.
        (
            market(PAIR, sells("S", "1", 9, multiple=3), sells("S", "4", part="B"), S={"min_order_value": 40}),
            {"SA": 9, "SB": 8},
        ),
        # Every piece there is, and not one more.
        (market(SIX, sells("S", "2", 11), S={"min_order_value": 22}), {"SA": 11}),
        (market(SIX, sells("S", "2", 10), S={"min_order_value": 22}), None),
        # What is free fills up nothing; the other supplier's goods do not count.
        (market(PAIR, sells("S", "0"), sells("S", "1", part="B"), S={"min_order_value": 7}), {"SA": 6, "SB": 7}),
        (market(PAIR, sells("S", "2"), sells("T", "5", part="B"), S={"min_order_value": 15}), {"SA": 8, "TB": 6}),
    ],
)
def test_an_order_is_filled_up_with_what_wastes_least(problem: PlanProblem, order: dict[str, int] | None) -> None:
    assert first_order(problem, seconds=0) == order


@pytest.mark.parametrize(
    ("asked", "rate", "pieces", "found"),
    [
        (offer("O", "S", (1, "2")), "1", 0, (0, 0.0, 0.0)),
        (offer("O", "S", (1, "2")), "1", 1, (1, 2.0, 2.0)),
        (offer("O", "S", (5, "2")), "1", 1, (1, 2.0, 2.0)),  # the first price holds below its quantity
        (offer("O", "S", (1, "3"), (10, "2")), "1", 6, (6, 18.0, 18.0)),
        (offer("O", "S", (1, "3"), (10, "2")), "1", 7, (10, 20.0, 20.0)),  # 21 for seven
        (offer("O", "S", (1, "3"), (10, "2")), "1", 10, (10, 20.0, 20.0)),
        (offer("O", "S", (1, "3"), (10, "2")), "1", 11, (11, 22.0, 22.0)),
        (offer("O", "S", (1, "3"), (10, "2"), incremental=True), "1", 12, (12, 33.0, 33.0)),  # 9 x 3 + 3 x 2
        (offer("O", "S", (1, "3"), (10, "2")), "0.5", 4, (4, 12.0, 6.0)),
        # Two left, worth 1.
        (offer("O", "S", (1, "2"), multiple=4, surplus_value=Decimal("0.5")), "1", 6, (8, 16.0, 15.0)),
        (offer("O", "S", (1, "2"), stock=7), "1", 7, (7, 14.0, 14.0)),
        (offer("O", "S", (1, "2"), stock=7), "1", 8, (0, 0.0, INFINITE)),
        (offer("O", "S", (1, "3"), (10, "2"), stock=9), "1", 9, (9, 27.0, 27.0)),
    ],
)
def test_so_many_pieces_of_an_offer_cost(
    asked: PlanOffer, rate: str, pieces: int, found: tuple[int, float, float]
) -> None:
    assert priced(asked, PlanSupplier("S", "EUR", fx_to_base=Decimal(rate))).of(pieces) == found


def terms(**stated: str) -> PlanSupplier:
    return PlanSupplier("S", "EUR", **{k: Decimal(v) for k, v in stated.items()})


HALVES = {"fx_to_base": "0.5", "shipping_fee": "6", "import_fee": "4", "reluctance": "1"}  # 3, 2 and 1 in all


@pytest.mark.parametrize(
    ("asked", "goods", "beyond", "threshold"),
    [
        (terms(**HALVES), 0.0, 0.0, 0.0),
        (terms(**HALVES), 10.0, 6.0, 0.0),
        (terms(**HALVES, min_order_value="20"), 20.0, 6.0, 0.0),
        (terms(**HALVES, min_order_value="20"), 14.0, 9.0, 20.0),  # 6 lacking, at a half
        (terms(**HALVES, min_order_value="20"), 19.95, 6.025, 20.0),
        (terms(**HALVES, free_shipping_from="30"), 30.0, 3.0, 0.0),
        (terms(**HALVES, free_shipping_from="30"), 28.0, 4.0, 30.0),  # 2 more pieces' worth for 1, not 3 for shipping
        (terms(**HALVES, free_shipping_from="30"), 29.95, 3.025, 30.0),
        (terms(**HALVES, free_shipping_from="30"), 24.0, 6.0, 0.0),  # 3 for goods of no use, or 3 for shipping
        (terms(**HALVES, free_shipping_from="30"), 20.0, 6.0, 0.0),
        (terms(**HALVES, free_shipping_from="30", min_order_value="26"), 20.0, 8.0, 30.0),  # 3 up to 26, 2 up to 30
        (terms(**HALVES, free_shipping_from="40", min_order_value="26"), 20.0, 9.0, 26.0),
    ],
)
def test_a_suppliers_terms_cost(asked: PlanSupplier, goods: float, beyond: float, threshold: float) -> None:
    assert SupplierTerms(asked).cost(goods) == pytest.approx(beyond)
    assert SupplierTerms(asked).worth_reaching(goods) == threshold
