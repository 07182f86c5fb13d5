"""A day at the shelf: goods in by hand, label and file; sampled, held, promised, moved, undone; traced both ways."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from bom.answers.shelf import LotLevel, StockOfPart
from bom.jobs.kits.making import make_kits, undo_kits
from bom.jobs.shelf.day import (
    count_by_weight,
    enter_count,
    goods_out,
    hold_lot,
    put_elsewhere,
    release_lot,
    reserve,
    undo,
    unreserve,
)
from bom.jobs.shelf.files import goods_in_file, goods_out_file, levels_file, past_usage_file
from bom.jobs.shelf.goods_in import GoodsIn, goods_in, inspect_lot
from bom.jobs.shelf.ordering import call_off, list_ordered, order_part
from bom.jobs.shelf.shown import show_stock, trace_lot, worth
from bom.paper.terminal.shelf import stock_table
from bom.store.unit_of_work import Session
from bom.values.problem import ProblemsFound, Refused

GS, RS, EOT = "\x1d", "\x1e", "\x04"
LABEL = f"[)>{RS}06{GS}1PTW2-12S{GS}Q250{GS}1T4711-A{GS}10D2541{RS}{EOT}"
KIT = "OS-3 valve drive"


def row(shop: Session, part: str) -> StockOfPart:
    return show_stock(shop, part)[0]


def came(shop: Session, **asked: Any) -> list[str]:
    given = {"part": "TW2-12S", "quantity": "20", "cost": "2.10 GBP", "lot": "L-X"}
    return goods_in(shop, GoodsIn(**{**given, **asked}))


@pytest.mark.parametrize(
    ("ohms", "at", "outcome", "held"),
    [
        ("238 241 239", "22 °C", "pass", 0),
        ("262", "28 °C", "pass", 0),
        ("238, 280, 239", "22 °C", "fail", 20),
        ("240; 215", "20 °C", "fail", 20),
    ],
)
def test_a_sample_outside_the_coils_limits_holds_the_lot(
    shop: Session, ohms: str, at: str, outcome: str, held: int
) -> None:
    """TW2-12S: 240 Ω ±10 %; 262 Ω at 28 °C is 254 Ω at 20 °C."""
    said = came(shop, ohms=ohms, at=at)
    assert f"inspected, {outcome}" in said[-1]
    traced = trace_lot(shop, "L-X")
    assert traced.level == LotLevel(Decimal(20), Decimal(held), Decimal(0))
    assert any(str(m.kind) == "inspect" and m.reason.startswith(outcome) for m in traced.moves)


def test_goods_that_cost_nothing_are_told_in_their_own_currency(shop: Session) -> None:
    assert came(shop, cost="0 USD")[0].endswith("at 0.00 USD each, 0.00 USD in all")


def test_a_sample_of_what_has_no_coil_is_refused(shop: Session) -> None:
    with pytest.raises(Refused, match="no relay"):
        came(shop, part="FUSE-10", cost="0.1 GBP", ohms="240")


def test_a_lot_on_the_shelf_is_held_by_a_later_sample_and_let_go_by_hand(shop: Session) -> None:
    came(shop)
    assert "20 of lot L-X are held" in inspect_lot(shop, "l-x", "300", "20 °C")
    assert "let go" in release_lot(shop, "L-X", "", "measured again")
    assert trace_lot(shop, "L-X").level.held == 0


@pytest.mark.parametrize("asked", [{"part": "", "quantity": ""}, {"part": "tw2 12s", "quantity": "250"}])
def test_a_scanned_label_fills_in_what_was_not_typed(shop: Session, asked: dict[str, str]) -> None:
    came(shop, label=LABEL, **asked)
    lot = trace_lot(shop, "4711-A").lot
    assert (lot.part_number, lot.maker_lot, lot.date_code) == ("TW2-12S", "4711-A", "2541")
    assert trace_lot(shop, "L-X").level.on_hand == 250


@pytest.mark.parametrize(
    ("asked", "why"),
    [
        ({"part": "K2R-12S"}, "not for K2R-12S"),
        ({"quantity": "240"}, "count them"),
        ({"part": "", "label": "Q5"}, "part"),
    ],
)
def test_a_label_that_says_something_else_is_refused(shop: Session, asked: dict[str, str], why: str) -> None:
    with pytest.raises(Refused, match=why):
        came(shop, **{"label": LABEL, "quantity": "", **asked})


@pytest.mark.parametrize(
    ("part", "quantity", "cost", "said"),
    [
        ("SAC305-1.0", "1 kg", "0.1 GBP", "1000 g of SAC305-1.0 at 0.10 GBP per g, 100.00 GBP in all"),
        ("SAC305-1.0", "1 kg", "46 GBP in all", "0.046 GBP per g, 46.00 GBP in all"),
        ("SAC305-1.0", "500 g", "92 GBP/kg", "0.092 GBP per g, 46.00 GBP in all"),
        ("TW2-12S", "1e3", "2.10 gbp", "1000 TW2-12S at 2.10 GBP each, 2100.00 GBP in all"),
    ],
)
def test_the_echo_says_what_one_cost_and_all_of_it(
    shop: Session, part: str, quantity: str, cost: str, said: str
) -> None:
    assert said in came(shop, part=part, quantity=quantity, cost=cost)[0]


@pytest.mark.parametrize(
    ("asked", "why"),
    [
        ({"part": ""}, "expected a part number, typed or on the bag's label"),
        ({"cost": "2.10 XYZ"}, "no exchange rate from XYZ to GBP"),
        ({"cost": "2,10 EUR"}, "decimal sign as a point"),
        ({"cost": "-1 EUR"}, "0 or more"),
        ({"cost": "1e30 EUR"}, "somebody can pay"),
        ({"cost": "2 GBP/kg"}, "kept in piece"),
        ({"cost": ""}, "what one piece"),
        ({"quantity": "1" + "0" * 21}, "at most 1,000,000,000,000"),
        ({"quantity": "abc"}, "how much of TW2-12S, such as 20, found 'abc'"),
        ({"quantity": "abc", "part": "SAC305-1.0"}, "such as 250 or '250 g'"),
        ({"expires": "soon"}, "the last day as in"),
    ],
)
def test_what_would_spoil_the_books_is_refused(shop: Session, asked: dict[str, str], why: str) -> None:
    before = row(shop, "TW2-12S")
    with pytest.raises(Refused, match=why):
        came(shop, **asked)
    assert row(shop, "TW2-12S") == before


def test_an_order_that_is_not_open_is_refused(shop: Session) -> None:
    with pytest.raises(Refused, match="there is no order O00009"):
        came(shop, order="O00009")
    with pytest.raises(Refused, match="there is no order O00009; bom stock ordered lists"):
        call_off(shop, "O00009")


def test_a_supplier_nobody_set_up_is_noted(shop: Session) -> None:
    assert "no supplier Nobody is set up" in came(shop, supplier="Nobody")[-1]
    came(shop, lot="L-Y", supplier="osmere")
    assert trace_lot(shop, "L-Y").lot.supplier == "Osmere"


def test_a_lot_is_counted_by_weight(shop: Session) -> None:
    came(shop)
    said = count_by_weight(shop, "L-X", "244 g", "10=103 g", "48.3 g")
    assert "20 booked, 19 counted, difference -1" in said
    assert count_by_weight(shop, "L0021", "512 g", tare="112 g").startswith(
        "lot L0021, SAC305-1.0: 70 g booked, 400 g counted"
    )
    with pytest.raises(Refused, match="--sample"):
        count_by_weight(shop, "L-X", "244 g")


@pytest.mark.parametrize(
    ("counted", "note"), [("18", ""), ("201", "more than 10 times"), ("1", "less than a tenth"), ("0", "")]
)
def test_a_count_names_the_part_and_a_far_off_one_is_noted(shop: Session, counted: str, note: str) -> None:
    came(shop)
    first, *more = enter_count(shop, "L-X", counted, "counted").splitlines()
    assert first.startswith(f"lot L-X, TW2-12S: 20 booked, {counted} counted, difference ")
    assert bool(more) == bool(note) and note in "".join(more)


def test_what_is_expired_is_on_hand_and_said_not_to_be_available(
    shop: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "140")
    before = row(shop, "TW2-12S")
    assert "expired on 2020-01-31" in came(shop, expires="2020-01-31")[-1]
    after = row(shop, "TW2-12S")
    assert (after.on_hand - before.on_hand, after.expired) == (20, 20)
    assert after.available == before.available
    shown = stock_table([after])
    assert "TW2-12S: 20 expired, so not available" in shown and "2020-01-31, expired" in shown


def test_what_lacks_for_a_kit_says_what_is_there_expired(shop: Session) -> None:
    short = make_kits(shop, KIT, 1000, dry=True).missing
    part = next(m.parts[0] for m in short if len(m.parts) == 1)
    came(shop, part=part, quantity="7", expires="2020-01-31")
    again = make_kits(shop, KIT, 1000, dry=True).missing
    assert next(m.why for m in again if m.parts == (part,)).endswith("there, expired")


def test_a_lot_put_elsewhere_is_picked_from_there(shop: Session) -> None:
    came(shop, drawer="B3")
    assert put_elsewhere(shop, "L-X", "B9") == "lot L-X: from drawer B3 to drawer B9"
    assert goods_out(shop, "TW2-12S", "1", "job 1", "L-X") == ["1 of TW2-12S from lot L-X, drawer B9"]
    assert "B9" in row(shop, "TW2-12S").drawers


def test_part_of_a_lot_may_be_held_and_the_rest_goes_out(shop: Session) -> None:
    came(shop)
    hold_lot(shop, "L-X", "18", "bent pins")
    with pytest.raises(Refused, match="2 available"):
        goods_out(shop, "TW2-12S", "3", "job 1", "L-X")
    release_lot(shop, "L-X", "1", "straightened")
    goods_out(shop, "TW2-12S", "3", "job 1", "L-X")
    with pytest.raises(Refused, match="only 17"):
        release_lot(shop, "L-X", "18", "too many")


def test_what_is_promised_to_a_job_is_kept_for_it_and_used_up_by_it(shop: Session) -> None:
    there = int(row(shop, "K2R-12S").available)
    reserve(shop, "K2R-12S", "4", "job 481")
    with pytest.raises(Refused, match="1 short"):
        goods_out(shop, "K2R-12S", str(there - 3), "job 9")
    goods_out(shop, "K2R-12S", "3", "Job 481", customer="Grove Farm")
    assert row(shop, "K2R-12S").reserved == 1
    assert unreserve(shop, "K2R-12S", "", "job 481") == "1 of K2R-12S no longer reserved for job 481"
    with pytest.raises(Refused, match="none of K2R-12S reserved"):
        unreserve(shop, "K2R-12S", "", "job 481")


def test_an_entry_is_undone_once_by_a_counter_entry_and_worth_comes_back(shop: Session) -> None:
    before = worth(shop, "average", "TW2-12S")
    came(shop, cost="9 GBP")
    entry = trace_lot(shop, "L-X").moves[0].sequence
    assert f"entry {entry} (in 20 of TW2-12S of lot L-X) undone" in undo(shop, entry, "typed twice")
    assert worth(shop, "average", "TW2-12S").stock == before.stock
    with pytest.raises(Refused, match="already"):
        undo(shop, entry)
    with pytest.raises(Refused, match="no entry 99999"):
        undo(shop, 99999)


def test_goods_that_are_gone_cannot_be_un_received(shop: Session) -> None:
    came(shop)
    goods_out(shop, "TW2-12S", "1", "job 1", "L-X")
    with pytest.raises(Refused, match="cannot be undone any more"):
        undo(shop, trace_lot(shop, "L-X").moves[0].sequence)


def test_an_order_is_settled_by_goods_in_and_open_again_when_they_did_not_come(shop: Session) -> None:
    order_part(shop, "TW2-12S", "30", "Osmere", "2099-12-31")
    assert row(shop, "TW2-12S").on_order == 30
    assert "20 came, 10 still to come" in came(shop, supplier="Osmere")[1]
    assert "20 more to come again" in undo(shop, trace_lot(shop, "L-X").moves[0].sequence)
    assert [(o.quantity, o.late_days) for o in list_ordered(shop)] == [(30, 0)]
    call_off(shop, "o00001")
    assert list_ordered(shop) == []
    with pytest.raises(Refused, match="nothing"):
        call_off(shop, "O00001")


def test_a_lot_is_traced_through_a_kit_to_its_customer_and_back(shop: Session) -> None:
    kit_lot = make_kits(shop, KIT, 2, dry=False).kit_lot
    goods_out(shop, KIT, "1", "order 55", customer="Grove Farm")
    seal = next(s.lot for s in trace_lot(shop, kit_lot).made_of if s.part_number == "SEAL-OS3")
    onward = trace_lot(shop, seal)
    assert [s.into for s in onward.onward if s.into.startswith(("K", "order"))] == [kit_lot, "order 55"]
    assert onward.customers == ("Grove Farm",)
    given = trace_lot(shop, "grove farm")
    assert [s.lot for s in given.went_out] == [kit_lot]
    assert seal in {b.lot for b in given.bought}
    assert {b.supplier for b in given.bought} <= {"Fennmoor", "Osmere", "Thaxley"}


def test_a_kit_lots_own_entries_are_undone_together_only(shop: Session) -> None:
    kit_lot = make_kits(shop, KIT, 1, dry=False).kit_lot
    entry = trace_lot(shop, kit_lot).moves[0].sequence
    with pytest.raises(Refused, match="as a whole"):
        undo(shop, entry)
    undo_kits(shop, kit_lot)
    assert trace_lot(shop, kit_lot).made_of == ()


@pytest.mark.parametrize("method", ["average", "fifo"])
def test_what_went_out_and_what_is_left_are_what_came_in(shop: Session, method: str) -> None:
    answer = worth(shop, method)
    assert answer.stock + answer.gone == answer.came_in
    assert answer.unknown == ()


def test_stock_files_are_taken_whole_and_dated(shop: Session, tmp_path: Path) -> None:
    stock = tmp_path / "stock.csv"
    stock.write_text(
        "part_number,quantity,unit_cost,currency,date,lot,maker_lot,expires\n"
        "tw2 12s,5,2.00,GBP,2025-01-02,S-1,M1,2030-01-01\nFLUX-NC,12.5,0.2,GBP,,,,\n"
    )
    assert goods_in_file(shop, stock) == ["2 lots of 2 parts taken from stock.csv"]
    lot = trace_lot(shop, "S-1").lot
    assert (lot.maker, lot.maker_lot, str(lot.received)[:10]) == ("Ostrel", "M1", "2025-01-02")
    usage = tmp_path / "usage.csv"
    usage.write_text("date,part_number,quantity\n2026-01-05,FLUX-NC,10\n2026-02-05,FLUX-NC,2.5\n")
    before = row(shop, "FLUX-NC").on_hand
    assert goods_out_file(shop, usage) == ["2 entries of 1 parts booked out from usage.csv"]
    assert row(shop, "FLUX-NC").on_hand == before - Decimal("12.5")


@pytest.mark.parametrize(
    ("take", "text", "lines"),
    [
        (
            goods_in_file,
            "part_number,quantity,unit_cost,currency,lot\nNOSUCH,5,1,GBP,A\nTW2-12S,1.5,1,GBP,B\nTW2-12S,1,1,XYZ,C\n"
            "TW2-12S,1,1,GBP,L0001\n",
            [2, 3, 4, 5],
        ),
        (goods_out_file, "date,part_number,quantity\n2026-01-05,NOSUCH,1\n2026-01-05,TW2-12S,0.5\n", [2, 3]),
        (goods_out_file, "date,part_number,quantity\n2026-01-05,TW2-12S,1\n2026-01-06,TW2-12S,99999\n", [3]),
        (past_usage_file, "date,part_number,quantity\n2020-01-05,TW2-I2S,1\n", [2]),
        (levels_file, "part_number,reorder_point,order_up_to\nNOSUCH,1,2\n", [2]),
    ],
)
def test_a_file_with_wrong_rows_names_them_all(
    shop: Session, tmp_path: Path, take: Any, text: str, lines: list[int]
) -> None:
    file = tmp_path / "rows.csv"
    file.write_text(text)
    with pytest.raises(ProblemsFound) as found:
        take(shop, file)
    assert [p.line for p in found.value.problems] == lines


def test_levels_come_from_a_file_and_half_ones_are_named(shop: Session, tmp_path: Path) -> None:
    file = tmp_path / "levels.csv"
    file.write_text("part_number,reorder_point,order_up_to\nTW2-12S,3,9\nFUSE-10,3,\n")
    said = levels_file(shop, file)
    assert said[0] == "1 levels taken from levels.csv" and "FUSE-10" in said[1]
    assert row(shop, "TW2-12S").reorder_point == 3


def test_a_file_states_amounts_in_units_of_the_kind_that_the_part_is_kept_in(shop: Session, tmp_path: Path) -> None:
    file = tmp_path / "in.csv"
    file.write_text("part_number,quantity\nSAC305-1.0,0.25 kg\n", encoding="utf-8")
    before = row(shop, "SAC305-1.0").on_hand
    goods_in_file(shop, file)
    assert row(shop, "SAC305-1.0").on_hand == before + 250
    file.write_text("part_number,quantity\nSAC305-1.0,2 m\n", encoding="utf-8")
    with pytest.raises(
        ProblemsFound, match=r"in.csv:2 \[quantity\]: expected an amount in g, which SAC305-1.0 is kept in"
    ):
        goods_in_file(shop, file)
