"""The plan over the demo shop's offers: what is asked, what is said, what is written down."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from openpyxl import load_workbook

from bom.answers.buying import PlannedLine, ShopPlan
from bom.jobs.buying.planning import PlanAsked, plan_asked, write_plan_book, write_plan_picture
from bom.paper.terminal.buying import plan_table
from bom.shop.plan import plan_needs
from bom.shop.shop import Shop
from bom.store.unit_of_work import Session
from bom.values.problem import Refused

KITS = ("OS-3 valve drive=40", "AW-12 winch direction=10", "LV-7 lamp circuits=30")


def lines(answer: ShopPlan) -> list[PlannedLine]:
    return list(answer.lines)


def test_only_the_part_itself_is_bought_unless_substitutes_are_allowed(shop: Session) -> None:
    alone = plan_asked(shop, PlanAsked(["TW2-12S=10"]))
    free = plan_asked(shop, PlanAsked(["TW2-12S=5"], substitutes="drop-in"))
    assert {line.part_number for line in lines(alone)} == {"TW2-12S"}
    assert {line.part_number for line in lines(free)} == {"K2R-12S"} and (free.cost or 0) < (alone.cost or 0)
    assert lines(free)[0].why.startswith("in place of TW2-12S; ")


def test_what_lacks_for_kits_is_bought_together(shop: Session) -> None:
    answer = plan_asked(shop, PlanAsked(kits=KITS))
    assert answer.status == "optimal"
    assert sum(line.part_number == "SAC305-1.0" for line in lines(answer)) == 1
    assert all(line.spare + sum(f.pieces for f in line.for_) == line.quantity for line in lines(answer))


def test_a_kit_that_lacks_nothing_buys_nothing(shop: Session) -> None:
    answer = plan_asked(shop, PlanAsked(kits=["OS-3 valve drive=1"]))
    assert answer.order == {} and plan_table(answer) == "Nothing needs to be bought.\n"


def test_landed_costs_of_all_pieces_add_up_to_the_plan(shop: Session) -> None:
    answer = plan_asked(shop, PlanAsked(kits=KITS))
    landed = sum(float(line.landed_each.amount if line.landed_each else 0) * line.quantity for line in lines(answer))
    assert landed == pytest.approx(answer.cost, abs=0.03)  # each is to a millionth, of 18 000 mm of braid too
    assert answer.made_of and answer.made_of.total == pytest.approx(answer.cost, abs=1e-5)


def test_no_habit_is_cheaper_and_each_is_made_of_its_cost(shop: Session) -> None:
    answer = plan_asked(shop, PlanAsked(kits=KITS))
    assert [h.name.split(" (")[0] for h in answer.habits] == [
        "lowest unit price on every line",
        "one main supplier",
    ]
    for habit in answer.habits:
        assert habit.made_of and (habit.more or 0) >= 0 and habit.made_of.total == pytest.approx(habit.cost, abs=1e-5)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (PlanAsked(["TW2-12S=5"], avoid=["Osmere", "Fennmoor", "Thaxley"]), "TW2-12S: 5 wanted, nobody else offers"),
        (PlanAsked(["K2R-12S=20"], by=str(date.today())), "K2R-12S: 20 wanted, nothing within 0 days: "),
    ],
)
def test_a_plan_that_cannot_be_names_the_part_in_the_way(shop: Session, asked: PlanAsked, said: str) -> None:
    answer = plan_asked(shop, asked)
    assert answer.status == "infeasible" and answer.blocked[0].startswith(said)
    assert f"in the way: {said}" in plan_table(answer)


def test_a_part_that_nobody_can_deliver_in_full_does_not_stop_the_others(
    shop: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    answer = plan_asked(shop, PlanAsked(["K2R-12S=20000", "TW2-12S=20"]))
    bought = {line.part_number: 0 for line in lines(answer)}
    for line in lines(answer):
        bought[line.part_number] += line.quantity
    assert bought == {"K2R-12S": 560, "TW2-12S": 15} and answer.status == "optimal"
    assert answer.proof == "proved the cheapest, for what can be had" and not answer.is_whole
    short, other = answer.short
    assert (other.part_number, other.short, other.drop_ins) == ("TW2-12S", 5, ("K2R-12S",))
    assert (short.part_number, short.wanted, short.short) == ("K2R-12S", 20000, 19440)
    assert short.why == "20000 wanted, 560 to be had (Fennmoor 160, Osmere 400)"
    assert short.earliest and short.earliest >= date.today() and short.promised == "Fennmoor"
    said = plan_table(answer)
    assert "Not to be had" in said and "19440" in said and f"ask {short.promised}" in " ".join(said.split())


def test_a_plans_workbook_says_what_is_not_ordered(shop: Session, tmp_path: Path) -> None:
    asked = PlanAsked(["TW2-12S=20"], ["OS-3 valve drive=300"])
    write_plan_book(tmp_path / "plan.xlsx", plan_asked(shop, asked))
    rows = load_workbook(tmp_path / "plan.xlsx")["Remarks"].iter_rows(min_row=6, values_only=True)
    told = [str(row[1]) for row in rows if row[0] == "Not ordered"]
    assert told[0].startswith("OS-3 valve drive: ") and " of 300 can be completed; " in told[0]
    assert told[1].startswith("TW2-12S: 5 of 20 not ordered, 20 wanted, 15 to be had (Thaxley 15); earliest ")
    assert told[1].endswith("if Thaxley takes the order; in its place may serve: K2R-12S")


def test_what_one_supplier_cannot_deliver_is_short_where_one_is_the_most(shop: Session) -> None:
    answer = plan_asked(shop, PlanAsked(["SAC305-1.0=250", "TW2-12S=300"], most=1, avoid=["Thaxley"]))
    assert len(answer.orders) == 1 and [row.part_number for row in answer.short] == ["TW2-12S"]
    assert answer.blocked and answer.blocked[0].startswith("TW2-12S: 300 wanted, ")


def test_parts_are_bought_for_the_kits_that_can_be_completed(shop: Session) -> None:
    answer = plan_asked(shop, PlanAsked(kits=["OS-3 valve drive=300"]))
    (kits,) = answer.kits_short
    assert 0 < kits.planned < 300 == kits.wanted and not answer.short and not answer.is_whole
    assert kits.why.startswith("K2R-12S: ") and "to be had (Fennmoor 160, Osmere 400" in kits.why
    assert f"OS-3 valve drive: {kits.planned} of 300 can be completed; K2R-12S: " in plan_table(answer)
    assert plan_asked(shop, PlanAsked(kits=[f"OS-3 valve drive={kits.planned}"])).orders == answer.orders
    assert plan_asked(shop, PlanAsked(kits=[f"OS-3 valve drive={kits.planned + 1}"])).kits_short


def test_kits_that_the_shelf_alone_completes_need_no_order(shop: Session) -> None:
    answer = plan_asked(shop, PlanAsked(["SAC305-1.0=250"], ["OS-3 valve drive=40"], by=str(date.today())))
    assert not answer.orders and answer.status == "infeasible" and [k.planned for k in answer.kits_short] == [6]


@pytest.mark.parametrize(
    ("wish", "suppliers"),
    [
        ({}, {"Osmere"}),
        ({"avoid": ["osmere"]}, {"Fennmoor"}),
        ({"avoid": ["Osmere=0.01"]}, {"Osmere"}),
        ({"prefer": ["Fennmoor=500"]}, {"Fennmoor"}),
        ({"by": str(date.today() + timedelta(days=3))}, {"Fennmoor"}),
    ],
)
def test_wishes_decide_who_is_ordered_from(shop: Session, wish: dict[str, Any], suppliers: set[str]) -> None:
    answer = plan_asked(shop, PlanAsked(["K2R-12S=20"], **wish))
    assert {order.supplier for order in answer.orders} == suppliers


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (PlanAsked(), "expected --problem FILE, or"),
        (PlanAsked(["K2R-12S"]), "expected PART=QTY"),
        (PlanAsked(["K2R-12S=0"]), "expected PART=QTY"),
        (PlanAsked(["K2R-12S=2"], by="3/4/2027"), "expected a day such as"),
        (PlanAsked(["K2R-12S=2"], by="2020-01-01"), "is over"),
        (PlanAsked(["K2R-12S=2"], avoid=["Nobody"]), "no supplier Nobody"),
        (PlanAsked(["K2R-12S=2"], avoid=["Osmere=5,50"]), "decimal point"),
        (PlanAsked(["K2R-12S=2"], prefer=["Osmere"]), "expected NAME=SAVING"),
        (PlanAsked(["K2R-12S=2"], substitutes="any"), "expected substitutes"),
        (PlanAsked(["K2R-12S=2"], surplus_pct=100), "below 100 %"),
    ],
)
def test_what_cannot_be_read_is_refused(shop: Session, asked: PlanAsked, said: str) -> None:
    with pytest.raises(Refused, match=said):
        plan_asked(shop, asked)


def test_nothing_wanted_is_an_order_of_nothing(shop: Session) -> None:
    answer, _ = plan_needs(Shop(shop), [], None, 5.0)
    assert (answer.status, answer.cost, answer.orders) == ("optimal", 0.0, ())


def test_the_table_names_both_currencies_and_what_is_reached(shop: Session) -> None:
    shown = plan_table(plan_asked(shop, PlanAsked(["K2R-12S=20"])))
    assert "goods 45.40 EUR + shipping 6.50 EUR = 51.90 EUR = 45.15 GBP at 0.87 GBP a EUR" in shown
    assert "shipping is free from 60.00 EUR: 14.60 EUR short" in shown
    assert "proved the cheapest" in shown


def test_the_workbook_holds_the_lines_as_text_and_the_sums_as_formulas(shop: Session, tmp_path: Path) -> None:
    write_plan_book(tmp_path / "plan.xlsx", plan_asked(shop, PlanAsked(kits=KITS)))
    book = load_workbook(tmp_path / "plan.xlsx")
    assert book.sheetnames == ["Lines", "Suppliers", "Compared", "Remarks"]
    assert book["Lines"]["C6"].data_type == "s" and book["Lines"]["G6"].value == "=ROUND(E6*F6,2)"
    assert book["Suppliers"]["C6"].value.startswith("=SUM(Lines!G6:")
    assert book["Compared"]["A6"].value == "this plan"


def test_the_picture_is_svg_with_a_bar_for_the_plan_and_each_habit(shop: Session, tmp_path: Path) -> None:
    write_plan_picture(tmp_path / "plan.svg", plan_asked(shop, PlanAsked(kits=KITS)))
    text = (tmp_path / "plan.svg").read_text()
    ElementTree.fromstring(text)
    assert text.count(">this plan<") == 1 and "one main supplier" in text and "lowest unit price" in text


@pytest.mark.parametrize("write", [write_plan_book, write_plan_picture])
def test_no_paper_with_another_ending_or_without_an_order(shop: Session, tmp_path: Path, write: Any) -> None:
    answer = plan_asked(shop, PlanAsked(["K2R-12S=20"]))
    with pytest.raises(Refused, match="expected a name ending in"):
        write(tmp_path / "plan.txt", answer)
    ending = ".xlsx" if write is write_plan_book else ".svg"
    with pytest.raises(Refused, match="orders nothing"):
        write(tmp_path / f"plan{ending}", replace(answer, orders=()))
    assert list(tmp_path.glob("plan*")) == []
