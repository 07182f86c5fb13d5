"""What a part serves on is followed from its verdict to every paper of the kit: no condition is lost on the way."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace

import pytest
from sqlalchemy import delete

from bom.jobs.kits.costing import cost_kits
from bom.jobs.kits.making import make_kits
from bom.jobs.kits.papers import kit_sheet, pick_list_page
from bom.kits.kit import Kit, Line
from bom.paper.json_out import as_json
from bom.paper.terminal.kits import kits_table, pick_table
from bom.store.boards_and_kits import boards, kit, take_board, take_kit
from bom.store.tables import ratings
from bom.store.unit_of_work import Session
from bom.values.finding import Outcome

KIT = "OS-3 valve drive"
PAUSE = "pause between directions"


@pytest.fixture
def at_16_volts(shop: Session) -> Iterator[Session]:
    """The valve box on a supply of up to 16 V, its relays published to 14 V only; conditions accepted."""
    shop.execute(delete(ratings).where(ratings.c.volts > 14))
    board = next(b for b in boards(shop) if b.name == "OS-3")
    take_board(shop, replace(board, supply=replace(board.supply, max_volts=16.0)))
    known = kit(shop, KIT)
    assert known is not None
    accept = ("drop-in", "conditional")
    take_kit(shop, replace(known, lines=tuple(replace(x, accept=accept) if x.position else x for x in known.lines)))
    yield shop


def test_the_cost_says_on_what_the_part_serves_and_where(at_16_volts: Session) -> None:
    (answer,) = cost_kits(at_16_volts, KIT, None)
    (pause,) = [c for c in answer.conditions if PAUSE in c.why]
    assert (pause.positions, pause.outcome) == (("K1", "K2"), Outcome.CONDITION) and pause.source
    assert json.loads(as_json(answer))["conditions"][0]["positions"] == ["K1", "K2"]


@pytest.mark.parametrize("count", [1, 6])
def test_every_screen_and_paper_prints_it(at_16_volts: Session, count: int) -> None:
    made = make_kits(at_16_volts, KIT, count, dry=False)
    lot = made.kit_lots[-1].kit_lot
    screens = (kits_table(cost_kits(at_16_volts, KIT, None)), pick_table(made))
    for text in (*screens, pick_list_page(made), kit_sheet(at_16_volts, lot), kit_sheet(at_16_volts, KIT)):
        assert PAUSE in " ".join(text.split())


def test_a_kit_of_plain_drop_ins_has_no_conditions(shop: Session) -> None:
    answer = cost_kits(shop, KIT, None)
    assert answer[0].conditions == () and "on these conditions" not in kits_table(answer)
    assert "on these conditions" not in kit_sheet(shop, KIT)


def test_a_part_packed_before_that_serves_no_longer_says_so(shop: Session) -> None:
    lot = make_kits(shop, KIT, 1, dry=False).kit_lot
    board = next(b for b in boards(shop) if b.name == "OS-3")
    take_board(shop, replace(board, lid_clearance_mm=5.0))
    assert "does not serve" in kit_sheet(shop, lot)


@pytest.mark.parametrize(
    ("line", "board", "said"),
    [
        (Line(part="TW2-12S"), "OS-3", "the kit names no position for it"),
        (Line(kit="inner"), "", "OS-3:K1: "),
    ],
)
def test_what_nobody_proved_is_not_passed_over(at_16_volts: Session, line: Line, board: str, said: str) -> None:
    inner = Line(position="K1", accept=("conditional",))
    take_kit(at_16_volts, Kit("inner", "GBP", board="OS-3", lines=(inner,)))
    take_kit(at_16_volts, Kit("odd", "GBP", board=board, lines=(line,)))
    answer = make_kits(at_16_volts, "odd", 1, dry=True)
    assert any(said in proviso.words for proviso in answer.conditions)


def test_a_part_of_a_board_that_is_gone_is_not_proved(shop: Session) -> None:
    lot = make_kits(shop, KIT, 1, dry=False).kit_lot
    known = kit(shop, KIT)
    assert known is not None
    take_kit(shop, replace(known, board="ZZ-9"))
    page = kit_sheet(shop, lot)
    assert "is not proved: no board ZZ-9" in page and "nothing proves that this part serves there" in page
