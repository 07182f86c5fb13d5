"""How many kits can be made up, when they share parts."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from bom.kits.possible import KitNeed, Missing, WantedKit, lacking, picks, possible
from bom.shop.names import few_enough
from bom.stock.ledger import Level
from bom.values.problem import Refused

CASES = json.loads((Path(__file__).parent.parent / "data" / "kit_cases.json").read_text())["instances"]


def kit(name: str, *lines: tuple[int | str, tuple[str, ...]], cap: int | None = None) -> WantedKit:
    return WantedKit(name, tuple(KitNeed(Decimal(need), allowed) for need, allowed in lines), cap=cap)


def wanted(row: dict[str, Any]) -> WantedKit:
    lines = tuple(KitNeed(Decimal(line["need"]), tuple(line["allowed"])) for line in row["lines"])
    return WantedKit(row["name"] if "name" in row else row["id"], lines, Decimal(str(row["value"])), row["cap"])


@pytest.mark.parametrize("case", CASES, ids=lambda c: str(c["id"]))
def test_the_joint_plan_is_worth_what_exhaustive_search_found(case: dict[str, Any]) -> None:
    kits = [wanted(row) for row in case["kits"]]
    plan = possible(case["stock"], kits)
    assert plan.value == Decimal(str(case["answer"]["best_value"])) and plan.proven
    for k in kits:
        for n, line in enumerate(k.lines):
            used = sum(q for (name, at, _), q in plan.uses.items() if (name, at) == (k.name, n))
            assert used == line.need * plan.kits[k.name]
    for part, there in case["stock"].items():
        assert sum(q for (_, _, p), q in plan.uses.items() if p == part) <= there


def test_taking_kits_in_turn_would_have_made_less_in_two_of_them() -> None:
    better = {c["id"]: (c["answer"]["naive_in_order"], c["answer"]["best_value"]) for c in CASES}
    assert [k for k, (in_turn, best) in better.items() if in_turn < best] == ["k00", "k03"]


def test_the_worth_of_a_plan_is_that_of_its_kits_alone_however_many_pieces_they_take() -> None:
    """One case for either: a kit of ten pieces worth 1, or one of a single piece worth 1.5."""
    many, single = kit("many", (1, ("case",)), (10, ("X",))), kit("single", (1, ("case",)))
    plan = possible({"case": 1, "X": 10}, [many, replace(single, value=Decimal("1.5"))])
    assert (plan.kits, plan.value) == ({"many": 0, "single": 1}, Decimal("1.5"))


def test_kits_are_worth_one_each_unless_somebody_says_more() -> None:
    assert possible({"K": 3}, [kit("A", (1, ("K",)))]).value == 3


def test_the_one_better_part_goes_where_the_second_choice_is_worse() -> None:
    """Second of three is nearer to the best than second of two."""
    uses, _ = picks({"x": 1, "y": 1, "z": 1}, [kit("A", (1, ("x", "y")), (1, ("x", "z", "w")))], {"A": 1})
    assert set(uses) == {("A", 0, "x")} | {("A", 1, "z")}


def test_what_lacks_is_summed_over_the_lines_that_the_same_parts_may_serve() -> None:
    short = [Missing(name, 0, parts, Decimal(n)) for name, parts, n in [("A", ("K", "L"), 2), ("B", ("L", "K"), 3)]]
    assert lacking([*short, Missing("B", 1, ("C",), Decimal(1))]) == ((("K", "L"), 5), (("C",), 1))


def test_reserved_pieces_make_no_kits() -> None:
    level = Level(on_hand=Decimal(12), reserved=Decimal(10))
    assert possible({"K": level.available}, [kit("A", (2, ("K",)))]).kits == {"A": 1}


def test_one_at_a_time_numbers_do_not_add_up() -> None:
    plan = possible({"K": 4}, [kit("A", (2, ("K",))), kit("B", (1, ("K",)))])
    assert plan.alone == {"A": 2, "B": 4} and plan.kits == {"A": 0, "B": 4}


def test_more_promised_than_there_is_makes_nothing() -> None:
    assert possible({"K": -3}, [kit("A", (1, ("K",)))]).kits == {"A": 0}


def test_the_preferred_part_is_used_up_first() -> None:
    uses, missing = picks({"K": 3, "L": 9}, [kit("A", (1, ("K", "L")))], {"A": 5})
    assert uses == {("A", 0, "K"): 3, ("A", 0, "L"): 2} and missing == ()


def test_solder_is_shared_by_weight() -> None:
    plan = possible({"wire": Decimal("0.3")}, [kit("A", ("0.1", ("wire",)))])
    assert plan.kits == {"A": 3} and plan.uses == {("A", 0, "wire"): Decimal("0.3")}


def test_what_lacks_for_more_kits_is_named_line_by_line() -> None:
    kits = [kit("A", (2, ("K", "L")), (1, ("C",)))]
    stock = {"K": 3, "L": 1, "C": 9}
    assert possible(stock, kits).kits == {"A": 2}
    assert picks(stock, kits, {"A": 5})[1] == (Missing("A", 0, ("K", "L"), Decimal(6)),)
    assert picks(stock, kits, {"A": 2})[1] == ()


def test_more_than_a_hundred_thousand_kits_are_a_slip_of_the_finger() -> None:
    assert few_enough("100000") == 100_000
    with pytest.raises(Refused, match="at most 100,000 kits"):
        few_enough(100_001)


def test_a_kit_without_an_end_is_refused() -> None:
    with pytest.raises(Refused, match="kit A"):
        possible({}, [kit("A")])
    assert possible({}, [kit("A", cap=3)]).kits == {"A": 3}
