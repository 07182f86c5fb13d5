"""The demo shop's day: kits made up, the shelf kept, quotes asked and taken, the reorder book written."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from bom.jobs.bench import bench, check_database
from bom.jobs.buying.planning import PlanAsked, plan_asked
from bom.jobs.buying.quotes import ask_quotes, take_quote
from bom.jobs.buying.reordering import plan_reorder, write_reorder_book
from bom.jobs.catalogue import add_catalogue, check_catalogue, export_catalogue
from bom.jobs.kits.costing import cost_kits
from bom.jobs.kits.making import make_kits
from bom.jobs.replacing.boards import check_board
from bom.jobs.replacing.matching import find_replacements
from bom.jobs.shelf.day import enter_count, goods_out
from bom.jobs.shelf.goods_in import GoodsIn, goods_in
from bom.jobs.shelf.shown import show_stock, trace_lot
from bom.store.unit_of_work import Session
from bom.values.money import total
from bom.values.problem import ProblemsFound, Refused

KIT = "OS-3 valve drive"
NEXT_YEAR = str(date.today() + timedelta(days=365))


def on_hand(shop: Session, part: str) -> Any:
    return show_stock(shop, part)[0].on_hand


def test_every_kit_that_is_sold_has_a_known_cost_and_price(shop: Session) -> None:
    answers = cost_kits(shop, "", None)
    assert {a.kit: a.unknown for a in answers if a.unknown} == {}
    assert all(a.per_kit is not None and a.sale is not None for a in answers)
    assert {a.kit for a in answers} >= {KIT}


def test_a_kits_profit_is_its_price_less_everything(shop: Session) -> None:
    (answer,) = cost_kits(shop, KIT.upper(), None)
    sale = answer.sale
    assert sale.price.amount == Decimal("23.50")
    parts = [sale.tax, sale.fee, sale.postage, sale.packing, sale.labour, sale.cost, sale.profit]
    assert (total(parts, "GBP") - sale.price).amount == pytest.approx(0, abs=Decimal("0.02"))


def test_a_kit_made_up_books_its_lots_out_under_one_number(shop: Session) -> None:
    before = on_hand(shop, "SEAL-OS3")
    made = make_kits(shop, KIT, 2, dry=False)
    assert made.missing == () and made.kit_lot
    assert on_hand(shop, "SEAL-OS3") == before - 2
    assert sum(p.quantity for p in made.picks if p.part_number in ("K2R-12S", "TW2-12S")) == 4
    seal = next(p.lot for p in made.picks if p.part_number == "SEAL-OS3")
    assert trace_lot(shop, seal).went_into == (made.kit_lot,)


def test_two_makings_have_two_numbers(shop: Session) -> None:
    assert make_kits(shop, KIT, 1, dry=False).kit_lot != make_kits(shop, KIT, 1, dry=False).kit_lot


def test_as_many_as_it_says_can_be_made_and_not_one_more(shop: Session) -> None:
    now = cost_kits(shop, KIT, None)[0].can_make_now
    assert now > 0
    assert make_kits(shop, KIT, now, dry=True).missing == ()
    assert make_kits(shop, KIT, now + 1, dry=True).missing


@pytest.mark.parametrize(("count", "dry"), [(500, False), (1, True)])
def test_short_of_anything_or_dry_nothing_is_booked(shop: Session, count: int, dry: bool) -> None:
    before = show_stock(shop, "")
    made = make_kits(shop, KIT, count, dry)
    assert (made.kit_lot, bool(made.missing)) == (None, count == 500)
    assert show_stock(shop, "") == before


def test_goods_in_out_and_counted_can_be_traced(shop: Session) -> None:
    before = on_hand(shop, "TW2-12S")
    goods_in(shop, GoodsIn("tw2 12s", "7", "2.10 GBP", "L-NEW", "B3", "Osmere", "2611", hold=False))
    goods_out(shop, "TW2-12S/TR", "2", "job 481", "L-NEW")
    enter_count(shop, "L-NEW", "4", "one lost")
    assert on_hand(shop, "TW2-12S") == before + 4
    traced = trace_lot(shop, "L-NEW")
    assert [(str(m.kind), m.quantity) for m in traced.moves] == [("in", 7), ("out", -2), ("count", -1)]
    assert traced.lot.supplier == "Osmere"


def test_a_lot_may_be_counted_empty(shop: Session) -> None:
    there = trace_lot(shop, "L0029").moves
    assert sum(m.quantity for m in there) > 0
    enter_count(shop, "L0029", "0", "drawer empty")
    assert on_hand(shop, "SEAL-OS3") == 0


@pytest.mark.parametrize(("typed", "more"), [("250 g", 250), ("0.25 kg", 250), ("250", 250)])
def test_goods_by_weight_come_in_any_unit_of_weight(shop: Session, typed: str, more: int) -> None:
    before = on_hand(shop, "SAC305-1.0")
    goods_in(shop, GoodsIn("SAC305-1.0", typed, "0.09 GBP", "L-G", "", "", "", hold=False))
    assert on_hand(shop, "SAC305-1.0") == before + more


def test_pieces_go_out_oldest_lot_first(shop: Session) -> None:
    there = int(on_hand(shop, "OC1-12"))
    said = goods_out(shop, "OC1-12", str(there), "all of it", "")
    assert [line.split("lot ")[1][:5] for line in said] == sorted(line.split("lot ")[1][:5] for line in said)
    assert on_hand(shop, "OC1-12") == 0


def test_held_goods_are_on_hand_and_never_picked(shop: Session) -> None:
    available = show_stock(shop, "TW2-12S")[0].available
    goods_in(shop, GoodsIn("TW2-12S", "100", "2.10 GBP", "L-HELD", "", "", "", hold=True))
    assert show_stock(shop, "TW2-12S")[0].available == available
    with pytest.raises(Refused):
        goods_out(shop, "TW2-12S", str(available + 1), "too many", "")


@pytest.mark.parametrize(
    ("part", "quantity", "cost", "said"),
    [
        ("TW2-I2S", "1", "2.10 GBP", "did you mean TW2-12S"),
        ("TW2-12S", "1", "2.10", "amount and its currency"),
        ("TW2-12S", "some", "2.10 GBP", "some"),
        ("TW2-12S", "-3", "2.10 GBP", "-3"),
        ("TW2-12S", "0", "2.10 GBP", "0"),
        ("TW2-12S", "1.5", "2.10 GBP", "1.5"),
        ("TW2-12S", "5 g", "2.10 GBP", "kept in piece"),
        ("SAC305-1.0", "5 mm", "2.10 GBP", "kept in g"),
    ],
)
def test_goods_that_make_no_sense_are_refused(shop: Session, part: str, quantity: str, cost: str, said: str) -> None:
    with pytest.raises(Refused, match=said):
        goods_in(shop, GoodsIn(part, quantity, cost, "L-X", "", "", "", hold=False))


def test_a_refused_job_changes_nothing(url: str) -> None:
    with pytest.raises(Refused), bench(url) as session:
        goods_in(session, GoodsIn("TW2-12S", "7", "2.10 GBP", "L-GONE", "", "", "", hold=False))
        goods_out(session, "TW2-12S", "100000", "too many", "")
    with bench(url) as session, pytest.raises(Refused, match="no lot L-GONE"):
        trace_lot(session, "L-GONE")


def test_the_reorder_book_is_written_and_read_back(shop: Session, tmp_path: Path) -> None:
    answer, book = plan_reorder(shop, None, 20.0)
    assert answer.status == "optimal" and answer.cost is not None
    assert all(cost is not None and answer.cost <= cost + 1e-6 for cost in answer.compared_with.values())
    write_reorder_book(tmp_path / "reorder.xlsx", book)
    read = load_workbook(tmp_path / "reorder.xlsx")
    suppliers = [order.supplier for order in answer.orders]
    assert [name for name in read.sheetnames if name in suppliers] == suppliers
    for order in answer.orders:
        rows = list(read[order.supplier].iter_rows(min_row=6, values_only=True))
        wanted = [(line.supplier_code, line.part_number, line.quantity) for line in order.lines]
        assert [(r[0], r[1], r[4]) for r in rows][: len(wanted)] == wanted


def filled_in(path: Path, price: Any) -> None:
    book = load_workbook(path)
    sheet = book.worksheets[0]
    head = next(row for row in sheet.iter_rows() if row[0].value == "Your code")
    places: dict[Any, Any] = {cell.value: cell.column for cell in head}
    for row in range(head[0].row + 1, sheet.max_row + 1):
        sheet.cell(row, places["Unit price"]).value = price
        sheet.cell(row, places["Multiple"]).value = 5
        sheet.cell(row, places["Lead time, days"]).value = 3
    book.save(path)


@pytest.mark.parametrize("price", [0.50, "0,50", "0.50"])
def test_a_quote_goes_out_comes_back_and_wins_the_plan(shop: Session, tmp_path: Path, price: object) -> None:
    files, _ = ask_quotes(shop, ["k2r 12s=20"], tmp_path / "quotes")
    assert sorted(f.name for f in files) == ["fennmoor.xlsx", "osmere.xlsx", "thaxley.xlsx"]
    osmere = next(f for f in files if f.stem == "osmere")
    filled_in(osmere, price)
    assert take_quote(shop, osmere, "osmere", NEXT_YEAR).quotes == 1
    (order,) = plan_asked(shop, PlanAsked(parts=["K2R-12S=20"], seconds=20.0)).orders
    assert order.supplier == "Osmere"
    assert order.lines[0].unit_price.amount == Decimal("0.5")


@pytest.mark.parametrize(
    ("name", "until", "said"),
    [
        ("Osmere", "2020-01-31", "is over"),
        ("Osmere", "3/4/2027", "a date such as"),
        ("Nobody", NEXT_YEAR, "was made for Osmere; it is no quote of Nobody"),
    ],
)
def test_a_quote_out_of_date_or_from_nobody_is_refused(
    shop: Session, tmp_path: Path, name: str, until: str, said: str
) -> None:
    file = next(f for f in ask_quotes(shop, ["K2R-12S=20"], tmp_path).files if f.stem == "osmere")
    filled_in(file, 0.5)
    with pytest.raises(Refused, match=said):
        take_quote(shop, file, name, until)


@pytest.mark.parametrize("price", ["cheap", -1, None])
def test_a_quote_with_no_usable_price_is_refused(shop: Session, tmp_path: Path, price: object) -> None:
    file = next(f for f in ask_quotes(shop, ["K2R-12S=20"], tmp_path).files if f.stem == "osmere")
    filled_in(file, price)
    with pytest.raises(ProblemsFound, match="Unit price"):
        take_quote(shop, file, "Osmere", NEXT_YEAR)


def test_the_same_catalogue_again_changes_nothing(shop: Session, demo_folder: Path) -> None:
    again = add_catalogue(shop, demo_folder)
    assert (again.added, again.updated) == (0, 0)
    assert again.unchanged > 0


def test_what_is_written_out_reads_back_without_a_problem(shop: Session, tmp_path: Path) -> None:
    count = export_catalogue(shop, tmp_path / "out")
    checked = check_catalogue(tmp_path / "out")
    assert (checked.relays, checked.problems) == (count, ())
    again = add_catalogue(shop, tmp_path / "out")
    assert (again.added, again.updated) == (0, 0)


@pytest.mark.parametrize("board", ["OS-3", "AW-12", "LV-7", "HT-24"])
def test_what_the_demo_boards_are_fitted_with_does_its_work(shop: Session, board: str) -> None:
    assert check_board(shop, board).fails == ()


def test_candidates_carry_what_the_shelf_holds(shop: Session) -> None:
    answer = find_replacements(shop, position="OS-3:K1")
    first = answer.candidates[0]
    assert first.available == show_stock(shop, first.part_number)[0].available
    assert first.landed_cost.currency == "GBP"


def test_after_all_this_the_database_is_sound(url: str) -> None:
    assert check_database(url).problems == ()
