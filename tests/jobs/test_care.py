"""Nothing is bought without what whoever fits it must know: conditions of stand-ins, and what can hurt."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from bom.answers.buying import PlannedLine, ShopPlan
from bom.jobs.buying.planning import PlanAsked, plan_asked, write_plan_book
from bom.jobs.buying.quotes import ask_quotes
from bom.jobs.buying.reordering import plan_reorder, write_reorder_book
from bom.paper.terminal.buying import plan_table
from bom.store.unit_of_work import Session

PAUSE = "HT-24:K1: K2R-24S serves on condition: "
GUIDED = "guided contacts: only the same kind"
RATED = "rated for mains: where it switches them, licensed hands only"


def planned(shop: Session, **asked: Any) -> ShopPlan:
    return plan_asked(shop, PlanAsked(seconds=20.0, **asked))


def lines(answer: ShopPlan) -> dict[str, PlannedLine]:
    return {line.part_number: line for line in answer.lines}


def words_in(path: Path) -> str:
    cells = (cell.value for sheet in load_workbook(path).worksheets for row in sheet.iter_rows() for cell in row)
    return "\n".join(str(value) for value in cells if value is not None)


def test_a_stand_ins_condition_stands_beside_it_in_plan_and_workbook(shop: Session, tmp_path: Path) -> None:
    answer = planned(shop, parts=["TW2-24S=20"], substitutes="conditional")
    (said,) = lines(answer)["K2R-24S"].conditions
    assert said.startswith(PAUSE) and "pause between directions" in said
    assert f"! {said}" in plan_table(answer)
    write_plan_book(tmp_path / "plan.xlsx", answer)
    written = words_in(tmp_path / "plan.xlsx")
    assert said in written and answer.caution in written and answer.cautions[-1] in written


def test_a_kits_condition_stands_beside_the_part_bought_for_it(shop: Session) -> None:
    found = lines(planned(shop, kits=["HT-24 hitch lift=9"]))
    (said,) = found["K2R-24S"].conditions
    assert said.startswith("K1: K2R-24S serves on condition: ")
    assert not any("does not serve" in words for line in found.values() for words in line.conditions)


def test_a_part_that_is_bought_as_asked_has_no_condition(shop: Session) -> None:
    assert lines(planned(shop, parts=["K2R-12S=20"]))["K2R-12S"].conditions == ()


def test_a_stand_in_for_a_guided_relay_is_never_bought_without_the_line(shop: Session, tmp_path: Path) -> None:
    answer = planned(shop, parts=["GS-24=5"], substitutes="drop-in")
    shown = plan_table(answer)
    for part, line in lines(answer).items():
        assert any(words.startswith(GUIDED) for words in line.cautions)
        assert f"! {part}: {GUIDED}" in shown
    assert GUIDED in answer.caution and answer.caution in shown
    write_plan_book(tmp_path / "plan.xlsx", answer)
    assert GUIDED in words_in(tmp_path / "plan.xlsx")


@pytest.mark.parametrize(
    ("part", "said"),
    [
        ("GS-24", ("guided contacts: only the same kind, fitted by those entitled to", RATED)),
        ("OTM-24A", (RATED,)),
        ("OC1-12", ()),
    ],
)
def test_a_relay_bought_as_itself_says_what_it_is_rated_for(shop: Session, part: str, said: tuple[str, ...]) -> None:
    assert lines(planned(shop, parts=[f"{part}=5"]))[part].cautions == said


def test_the_cautions_of_a_workbook_wrap_over_its_columns(shop: Session, tmp_path: Path) -> None:
    write_reorder_book(tmp_path / "reorder.xlsx", plan_reorder(shop, None, 20.0)[1])
    for sheet in load_workbook(tmp_path / "reorder.xlsx").worksheets[:-1]:
        assert sheet["A4"].alignment.wrap_text and sheet.row_dimensions[4].height >= 15
        assert any("A4" in merged and merged.size["columns"] > 9 for merged in sheet.merged_cells.ranges)


def test_every_sheet_of_the_reorder_workbook_carries_the_cautions(shop: Session, tmp_path: Path) -> None:
    answer, book = plan_reorder(shop, None, 20.0)
    write_reorder_book(tmp_path / "reorder.xlsx", book)
    sheets = load_workbook(tmp_path / "reorder.xlsx").worksheets
    assert [s.title for s in sheets if s["A4"].value == answer.caution] == [s.title for s in sheets[:-1]]
    assert f"in place of GS-24; as needed; {GUIDED}" in words_in(tmp_path / "reorder.xlsx")


@pytest.mark.parametrize(("part", "said"), [("GS-24=4", True), ("SAC305-1.0=4", False)])
def test_a_supplier_is_told_what_a_substitute_could_do(shop: Session, tmp_path: Path, part: str, said: bool) -> None:
    files, caution = ask_quotes(shop, [part], tmp_path)
    assert bool(caution) is said
    assert all((GUIDED in words_in(file)) is said for file in files)
