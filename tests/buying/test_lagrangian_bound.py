"""A problem taken apart: its bound holds, each group is decided to the piece, and its rows hold for the best order."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from time import monotonic
from typing import Any

import pytest

import bom.buying.lagrangian_bound as parts
import bom.buying.plan as planning
from bom.buying.first_order import better_order
from bom.buying.lagrangian_bound import Apart, Effort, as_relaxed, quick_bound, taken_apart
from bom.buying.model import Model
from bom.buying.order import covering, faults, price
from bom.buying.plan import plan
from bom.buying.plan_problem import PlanNeed, PlanOffer, PlanProblem, PlanSupplier, SoFar, Watcher
from bom.intake.problem_file import stated_problem
from bom.solver.highs import Watch
from bom.solver.program import Program
from bom.solver.statement import INFINITY, Relaxation, Solution, infeasible

CASES = json.loads((Path(__file__).parent.parent / "data" / "plan_cases.json").read_text())["instances"]
SOLVED = [c for c in CASES if c["answer"]["status"] == "optimal"]


@pytest.mark.parametrize("case", SOLVED, ids=lambda c: str(c["id"]))
def test_the_bound_lies_between_the_relaxation_and_the_best(case: dict[str, Any]) -> None:
    model = Model(stated_problem(case))
    relaxed = model.program.relax()
    apart = taken_apart(model, relaxed)
    assert relaxed.objective - 1e-9 <= apart.bound <= case["answer"]["cost"] + 1e-6


@pytest.mark.parametrize("case", CASES, ids=lambda c: str(c["id"]))
def test_a_plan_made_through_its_parts_costs_the_same(case: dict[str, Any], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(planning, "SMALL", 0)
    found = plan(stated_problem(case))
    assert found.status == case["answer"]["status"]
    if found.cost is not None:
        assert float(found.cost) == pytest.approx(case["answer"]["cost"], abs=1e-6)


def offer(name: str, supplier: str, part: str, *prices: tuple[int, str], **more: Any) -> PlanOffer:
    return PlanOffer(name, supplier, part, tuple((start, Decimal(p)) for start, p in prices), stock=90, **more)


def packs(**fees: Decimal) -> PlanProblem:
    """33 pieces in tens at 1.00 or singly at 2.00; 5 of another part; the relaxation pays for 3.3 packs."""
    return PlanProblem(
        "EUR",
        (PlanNeed("P", 33, ("A",)), PlanNeed("Q", 5, ("B",))),
        (PlanSupplier("S", "EUR", **fees), PlanSupplier("T", "EUR")),
        (
            offer("tens", "S", "A", (1, "1"), multiple=10),
            offer("single", "T", "A", (1, "2")),
            offer("B", "S", "B", (1, "4"), (6, "3")),
        ),
    )


@pytest.mark.parametrize("case", SOLVED, ids=lambda c: str(c["id"]))
def test_the_quick_bound_is_below_the_best(case: dict[str, Any]) -> None:
    problem = stated_problem(case)
    quick = quick_bound(Model(problem), case["answer"]["order"], seconds=10.0)
    assert quick is None or quick.bound <= case["answer"]["cost"] + 1e-6  # None: all needs share offers


def test_the_quick_bound_counts_the_fees_of_who_is_ordered_from() -> None:
    model = Model(packs(shipping_fee=Decimal(7)))
    quick = quick_bound(model, {"tens": 30, "single": 3, "B": 6}, seconds=10.0)
    assert quick is not None and quick.order["tens"] == 30 and quick.bound == pytest.approx(36 + 18 + 7)


def test_each_group_is_decided_to_the_piece() -> None:
    model = Model(packs())
    apart = taken_apart(model, model.program.relax())
    assert apart.order == {"tens": 30, "single": 3, "B": 6}
    assert apart.bound == pytest.approx(36 + 18)


def test_a_faulty_choice_of_the_groups_is_mended() -> None:
    problem = packs(min_order_value=Decimal(60))
    mended = better_order(problem, covering(problem, {"tens": 30, "single": 3, "B": 6}))
    assert mended is not None and faults(problem, mended) == ()
    assert price(problem, mended) >= Decimal(str(plan(problem).bound)) - Decimal("0.000001")


def test_without_time_the_relaxation_is_what_is_known() -> None:
    model = Model(packs(shipping_fee=Decimal(7)))
    relaxed = model.program.relax()
    assert taken_apart(model, relaxed, Effort(until=monotonic() - 1)).bound == pytest.approx(relaxed.objective)


def test_no_group_is_decided_once_the_bound_is_enough() -> None:
    model = Model(packs(shipping_fee=Decimal(7)))
    relaxed = model.program.relax()
    assert taken_apart(model, relaxed, Effort(enough=relaxed.objective - 1)).order == {}


def test_rows_hold_for_the_best_order() -> None:
    model = Model(packs(shipping_fee=Decimal(7)))
    best = model.program.minimise()
    for terms, lower in taken_apart(model, model.program.relax()).rows:
        assert sum(c * best.values[n] for n, c in terms.items()) >= lower - 1e-6


def test_a_group_that_lifts_the_bound_brings_a_row() -> None:
    """7 pieces in packs of 3 or 5, 8.00 each: 56 if packs could be cut, but 3 + 5 are the fewest: 64."""
    threes, fives = offer("threes", "S", "A", (1, "8"), multiple=3), offer("fives", "S", "A", (1, "8"), multiple=5)
    model = Model(PlanProblem("EUR", (PlanNeed("P", 7, ("A",)),), (PlanSupplier("S", "EUR"),), (threes, fives)))
    relaxed = model.program.relax()
    apart = taken_apart(model, relaxed)
    assert (relaxed.objective, apart.bound) == (pytest.approx(56), pytest.approx(64))
    packs = [at.packs for at in model.columns]
    assert apart.rows == ((dict(zip(packs, (24.0, 40.0), strict=True)), pytest.approx(64)),)


def test_a_group_that_lifts_nothing_brings_none() -> None:
    model = Model(packs())
    assert taken_apart(model, model.program.relax()).rows == ()


def joined(**terms: Decimal) -> PlanProblem:
    """Q may be filled with P's part, or with one of its own at T; R shares no offer with them."""
    return PlanProblem(
        "EUR",
        (PlanNeed("P", 3, ("A",)), PlanNeed("Q", 2, ("A", "B")), PlanNeed("R", 7, ("C",))),
        (PlanSupplier("S", "EUR", shipping_fee=Decimal(4), **terms), PlanSupplier("T", "EUR", shipping_fee=Decimal(3))),
        (
            offer("A", "S", "A", (1, "2")),
            offer("B", "T", "B", (1, "1")),
            offer("C", "S", "C", (1, "5"), (5, "4"), (10, "3")),
            offer("C at T", "T", "C", (1, "6"), (5, "5"), (10, "4")),
            offer("more C", "T", "C", (1, "6"), (5, "4.5"), (10, "4")),
        ),
    )


FREE = {"free_shipping_from": Decimal(50)}


@pytest.mark.parametrize(
    ("terms", "order", "bound"),
    [
        # 3 at 2 for P, 2 at 1 for Q, 7 at 4 for R; S's 4 shared by A and C, T ordered from for nothing.
        ({}, {"A": 5, "C": 7}, 6 + 2 + 28 + 4),
        # T's 3 on B make Q cheaper with A; nothing is ordered from T.
        ({}, {"A": 3, "B": 2, "C": 7}, 6 + 4 + 28 + 4),
        # Shipping of S may be free: A and C bear none of it, and the bound takes the 4 as saved.
        (FREE, {"A": 5, "C": 7}, 6 + 2 + 28 - 4),
        (FREE, {"A": 3, "B": 2, "C": 7}, 6 + 4 + 28 - 4),
    ],
)
def test_the_quick_bound_by_hand(terms: dict[str, Decimal], order: dict[str, int], bound: float) -> None:
    quick = quick_bound(Model(joined(**terms)), order, seconds=10.0)
    assert quick is not None
    assert (quick.bound, quick.order) == (pytest.approx(bound), {"C": 7})
    assert quick.cover[("A", "P")] == 3 and sum(quick.cover.values()) == 5


@pytest.mark.parametrize(("table", "alone"), [(4, None), (5, {"B": 6}), (33, {"tens": 30, "single": 3, "B": 6})])
def test_a_need_beyond_the_table_is_left_to_the_relaxation(
    table: int, alone: dict[str, int] | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """33 of P, 5 of Q; where nobody is decided alone there is no quick bound."""
    monkeypatch.setattr(parts, "TABLE", table)
    quick = quick_bound(Model(packs(shipping_fee=Decimal(7))), {"tens": 30, "single": 3, "B": 6}, seconds=10.0)
    assert (None if quick is None else quick.order) == alone
    assert quick is None or quick.bound == pytest.approx(36 + 18 + 7)


@pytest.mark.parametrize(
    ("shares", "cover"),
    [
        ({("tens", 1): 31.45, ("single", 1): 1.55}, {("tens", "P"): 31, ("single", "P"): 2}),
        ({("tens", 1): 31.55, ("single", 1): 1.45}, {("tens", "P"): 32, ("single", "P"): 1}),
        ({("single", 1): 33.0, ("tens", 1): 1e-9}, {("single", "P"): 33}),
        ({("B", 1): 3.0, ("B", 6): 2.0}, {("B", "Q"): 5}),
    ],
)
def test_a_relaxed_cover_is_rounded_to_whole_pieces(
    shares: dict[tuple[str, int], float], cover: dict[tuple[str, str], int]
) -> None:
    """Shares by offer and the first quantity of its price; the running sum is rounded, the largest share first."""
    model = Model(packs())
    values = [0.0] * len(model.program.cost)
    for at in model.columns:
        for column in at.used.values():
            values[column] = shares.get((at.offer.id, at.tier.low // at.offer.multiple or 1), 0.0)
    assert as_relaxed(model, Relaxation("optimal", 54.0, tuple(values))).cover == cover


def sharing(*others: PlanOffer) -> PlanProblem:
    """4 of P and 3 of Q from packs of 3 or 5, 8.00 each: 56 if packs could be cut, else 64; R of others."""
    threes, fives = offer("threes", "S", "A", (1, "8"), multiple=3), offer("fives", "S", "A", (1, "8"), multiple=5)
    needs = [PlanNeed("P", 4, ("A",)), PlanNeed("Q", 3, ("A",)), *[PlanNeed("R", 2, ("C",))][: len(others)]]
    return PlanProblem("EUR", tuple(needs), (PlanSupplier("S", "EUR"),), (threes, fives, *others))


def test_needs_that_are_the_whole_problem_are_left_to_the_solver() -> None:
    model = Model(sharing())
    apart = taken_apart(model, model.program.relax())
    assert (apart.bound, apart.order, sum(apart.cover.values())) == (pytest.approx(56), {}, 7)


def test_needs_that_share_offers_are_decided_together_beside_others() -> None:
    model = Model(sharing(*(offer(f"C{n}", "S", "C", (1, "5"), (2, "4")) for n in range(6))))
    apart = taken_apart(model, model.program.relax())
    assert apart.bound == pytest.approx(64 + 8)
    assert (apart.order["threes"], apart.order["fives"]) == (3, 5)


def test_what_the_relaxation_has_whole_needs_no_time() -> None:
    model = Model(packs())
    apart = taken_apart(model, model.program.relax(), Effort(until=monotonic() - 1))
    assert apart.order == {"B": 6}


def cheap_packs() -> PlanProblem:
    """7 pieces in packs of 3 or 5, 0.008 each: 0.056 if packs could be cut, else 3 + 5 for 0.064."""
    threes, fives = (
        offer("threes", "S", "A", (1, "0.008"), multiple=3),
        offer("fives", "S", "A", (1, "0.008"), multiple=5),
    )
    return PlanProblem("EUR", (PlanNeed("P", 7, ("A",)),), (PlanSupplier("S", "EUR"),), (threes, fives))


@pytest.mark.parametrize(("gap", "enough"), [(0.0, INFINITY), (0.1, 0.9 * 0.064)])
def test_groups_are_decided_until_the_bound_is_as_near_as_was_asked(
    gap: float, enough: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Effort] = []

    def taken_apart_watched(model: Model, relaxed: Relaxation, effort: Effort) -> Apart:
        asked.append(effort)
        return taken_apart(model, relaxed, effort)

    monkeypatch.setattr(planning, "SMALL", 0)
    monkeypatch.setattr(planning, "quick_bound", lambda *_, **__: None)
    monkeypatch.setattr(planning, "taken_apart", taken_apart_watched)
    plan(cheap_packs(), gap=gap)
    assert [effort.enough for effort in asked] == [pytest.approx(enough)]


def test_the_solver_is_spared_only_what_costs_more_than_the_order_there_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """Found at once: 0.064; the relaxation: 0.056. Whatever lifts it by more than 0.008 is of no use."""
    slacks: list[float] = []

    def narrowed(program: Program, relaxed: Relaxation, slack: float) -> Program:
        slacks.append(slack)
        return program

    monkeypatch.setattr(Program, "narrowed", narrowed)
    assert plan(cheap_packs()).cost == Decimal("0.064")
    assert slacks == [pytest.approx(0.008)]


def test_where_the_solver_finds_nothing_cheaper_the_order_there_is_is_the_cheapest(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(Program, "minimise", lambda *_, **__: infeasible())
    found = plan(cheap_packs())
    assert (found.status, found.cost, found.bound) == ("optimal", Decimal("0.064"), pytest.approx(0.064))


def test_what_is_told_as_proved_holds_for_what_the_solver_was_spared_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of the orders that it may look at it says none is below 0.09; those it may not cost 0.064 at least."""
    heard: list[SoFar] = []
    meanwhile: list[float | None] = []

    def minimise(*_: object, watch: Watch, **__: object) -> Solution:
        watch.heard(0.09, 0.09)
        meanwhile.append(heard[-1].bound)
        return infeasible()

    monkeypatch.setattr(Program, "minimise", minimise)
    plan(cheap_packs(), watcher=Watcher(heard.append))
    assert meanwhile == [pytest.approx(0.064)]


def test_without_time_nothing_is_proved() -> None:
    found = plan(cheap_packs(), seconds=0.0)
    assert (found.status, found.bound) == ("feasible", 0.0)


def test_needs_left_undecided_are_bound_by_one_price_of_each_offer() -> None:
    """6 pieces, at 3.00 up to 4 and at 4.00 from 5: of one price alone all 6 come at 4.00; 7 of C at 4.00."""
    dearer = replace(offer("A", "S", "A", (1, "3"), (5, "4")), stock=8)
    more = tuple(offer(f"C{n}", "S", "C", (1, "9"), (5, "8"), (10, "7")) for n in range(3))
    needs = (PlanNeed("P", 4, ("A",)), PlanNeed("Q", 2, ("A",)), PlanNeed("R", 7, ("C",)))
    problem = PlanProblem("EUR", needs, (PlanSupplier("S", "EUR"),), (dearer, *joined().offers[2:3], *more))
    quick = quick_bound(Model(problem), {"A": 6, "C": 7}, seconds=10.0)
    assert quick is not None and quick.bound == pytest.approx(6 * 4 + 7 * 4)


def test_the_quick_bound_counts_all_that_earns_though_nobody_needs_it() -> None:
    """One piece is wanted, for 1.00; 3 of F at 2.00 earn 3.00 each, which lowers any order by 3.00."""
    earning = replace(offer("F", "S", "F", (1, "2"), surplus_value=Decimal(3)), stock=3)
    offers = (offer("P", "S", "A", (1, "1")), earning)
    problem = PlanProblem("EUR", (PlanNeed("P", 1, ("A",)),), (PlanSupplier("S", "EUR"),), offers)
    quick = quick_bound(Model(problem), {"P": 1}, seconds=10.0)
    assert quick is not None and quick.bound == pytest.approx(1 - 3)
