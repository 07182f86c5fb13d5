"""Two makers of one number are two parts: on the shelf, on order, in kits, in quotes and in plans."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook
from taken_whole import take_catalogue

from bom.buying.offer import Break, Offer
from bom.jobs.buying.planning import PlanAsked, plan_asked
from bom.jobs.buying.quotes import ask_quotes, take_quote
from bom.jobs.kits.costing import cost_kits
from bom.jobs.kits.making import make_kits
from bom.jobs.kits.taking import add_kit
from bom.jobs.replacing.boards import add_board, check_board
from bom.jobs.replacing.matching import find_replacements
from bom.jobs.replacing.relays import show_relay
from bom.jobs.shelf.day import enter_count, forget_level, goods_out, reserve, set_levels, unreserve
from bom.jobs.shelf.files import goods_in_file, goods_out_file
from bom.jobs.shelf.goods_in import GoodsIn, goods_in
from bom.jobs.shelf.ordering import list_ordered, order_part, take_reorder
from bom.jobs.shelf.shown import show_stock, trace_lot
from bom.relays.catalogue import Catalogue
from bom.shop.names import part_named
from bom.shop.shop import Shop
from bom.shop.standing import standings
from bom.store.catalogue import named
from bom.store.offers import take_quotes
from bom.store.unit_of_work import Session
from bom.values.difference import Replacing
from bom.values.money import Money
from bom.values.problem import ProblemsFound, Refused

OURS, THEIRS = "Kithmar K2R-12S", "Corvane K2R-12S"


@pytest.fixture
def both(shop: Session) -> Session:
    """The demo shop, which has 60 of Kithmar's, once Corvane's of the same number is in its catalogue."""
    (relay,) = named(shop, "K2R-12S")
    take_catalogue(shop, Catalogue((replace(relay, maker="Corvane"),)))
    return shop


def on_hand(shop: Session, part: str) -> Decimal:
    return Decimal(show_stock(shop, part)[0].on_hand)


def got(shop: Session, part: str = THEIRS, quantity: str = "7", lot: str = "L-C") -> None:
    goods_in(shop, GoodsIn(part, quantity, "2.00 EUR", lot))


@pytest.mark.parametrize(
    "ask",
    [
        lambda shop: got(shop, "K2R-12S"),
        lambda shop: goods_out(shop, "k2r 12s", "1", "job"),
        lambda shop: show_stock(shop, "K2R-12S"),
        lambda shop: reserve(shop, "K2R-12S", "1", "job"),
        lambda shop: order_part(shop, "K2R-12S", "5", "Osmere", ""),
        lambda shop: set_levels(shop, "K2R-12S", "1", "5"),
        lambda shop: plan_asked(shop, PlanAsked(["K2R-12S=5"])),
        lambda shop: ask_quotes(shop, ["K2R-12S=5"], Path("never")),
        lambda shop: find_replacements(shop, like_part="K2R-12S"),
        lambda shop: show_relay(shop, "K2R12S"),
    ],
)
def test_a_bare_number_of_two_makers_is_asked_back(both: Session, ask: object) -> None:
    with pytest.raises(Refused, match="is made by Corvane and by Kithmar: write 'Corvane K2R-12S' or"):
        ask(both)  # type: ignore[operator]


@pytest.mark.parametrize("typed", ["Kithmar K2R-12S", "kithmar k2r 12s", "KITHMAR K2R-12S"])
def test_maker_and_number_name_one_part(both: Session, typed: str) -> None:
    assert part_named(Shop(both), typed) == (OURS, "Kithmar")


def test_a_number_that_one_maker_has_keeps_its_name_however_it_is_typed(both: Session) -> None:
    assert part_named(Shop(both), "Ostrel TW2-12S") == part_named(Shop(both), "tw2 12s") == ("TW2-12S", "Ostrel")
    with pytest.raises(Refused, match="no part Corvane TW2-12S in the catalogue"):
        part_named(Shop(both), "Corvane TW2-12S")


def test_what_was_booked_before_there_were_two_stays_its_makers(both: Session) -> None:
    assert on_hand(both, OURS) > 0
    with pytest.raises(Refused, match="Corvane K2R-12S was never in stock"):
        show_stock(both, THEIRS)


def test_pieces_come_in_go_out_and_are_counted_apart(both: Session) -> None:
    before = on_hand(both, OURS)
    got(both)
    goods_out(both, THEIRS, "2", "job 9")
    enter_count(both, "L-C", "4", "one lost")
    assert (on_hand(both, THEIRS), on_hand(both, OURS)) == (4, before)
    with pytest.raises(Refused, match="short"):
        goods_out(both, THEIRS, "5", "job 9")


def test_a_lots_story_says_whose_part_it_is(both: Session) -> None:
    got(both)
    traced = trace_lot(both, "L-C")
    assert (traced.lot.part_number, traced.lot.maker) == (THEIRS, "Corvane")


def test_a_promise_without_a_lot_is_kept_to_one_maker(both: Session) -> None:
    got(both)
    reserve(both, THEIRS, "3", "job 9")
    assert show_stock(both, THEIRS)[0].reserved == 3 and show_stock(both, OURS)[0].reserved == 0
    with pytest.raises(Refused, match="none of Kithmar K2R-12S reserved"):
        unreserve(both, OURS, "", "job 9")


def test_orders_and_levels_are_one_makers(both: Session) -> None:
    order_part(both, THEIRS, "5", "Osmere", "")
    set_levels(both, THEIRS, "1", "9")
    assert [row.part_number for row in list_ordered(both, THEIRS)] == [THEIRS]
    levels = {s.part: s.level for s in standings(Shop(both))}
    assert levels[THEIRS] == (1, 9) and levels[OURS] == (16, 40)
    forget_level(both, THEIRS)
    assert {s.part for s in standings(Shop(both)) if s.set_level} >= {OURS}


@pytest.mark.parametrize(
    ("part", "maker", "said"),
    [
        ("K2R-12S", "", "made by Corvane and by Kithmar"),
        ("K2R-12S", "Ostrel", "K2R-12S of Ostrel is not in the catalogue"),
        ("K2R-12S", "corvane", None),
        ("Corvane K2R-12S", "", None),
    ],
)
def test_a_stock_file_says_whose_part_came(
    both: Session, tmp_path: Path, part: str, maker: str, said: str | None
) -> None:
    file = tmp_path / "stock.csv"
    file.write_text(f"part_number,maker,quantity\n{part},{maker},5\n")
    if said is not None:
        with pytest.raises(ProblemsFound, match=said):
            goods_in_file(both, file)
    else:
        goods_in_file(both, file)
        assert on_hand(both, THEIRS) == 5


def test_a_usage_file_takes_from_the_maker_it_names(both: Session, tmp_path: Path) -> None:
    got(both)
    file = tmp_path / "usage.csv"
    file.write_text(f"date,part_number,quantity\n{date.today()},{THEIRS},2\n")
    goods_out_file(both, file)
    assert on_hand(both, THEIRS) == 5


KIT = """[kit]
name = "two"
currency = "GBP"
[[line]]
part = "{part}"
quantity = 3
"""


def kit_of(shop: Session, tmp_path: Path, part: str) -> None:
    (tmp_path / "two.toml").write_text(KIT.format(part=part))
    add_kit(shop, tmp_path / "two.toml")


def test_a_kit_takes_the_maker_it_names_and_no_other(both: Session, tmp_path: Path) -> None:
    with pytest.raises(Refused, match="made by Corvane and by Kithmar"):
        kit_of(both, tmp_path, "K2R-12S")
    got(both)
    kit_of(both, tmp_path, THEIRS)
    assert make_kits(both, "two", 3, dry=True).missing[0].parts == (THEIRS,)
    assert {p.lot for p in make_kits(both, "two", 2, dry=False).picks} == {"L-C"}


def test_a_kit_that_was_clear_before_there_were_two_makes_nothing_up_and_says_why(
    shop: Session, tmp_path: Path
) -> None:
    kit_of(shop, tmp_path, "K2R-12S")
    take_catalogue(shop, Catalogue((replace(named(shop, "K2R-12S")[0], maker="Corvane"),)))
    assert "made by Corvane and by Kithmar" in make_kits(shop, "two", 1, dry=True).missing[0].why
    assert cost_kits(shop, "two", None)[0].per_kit is None


def quoted(shop: Session, maker: str) -> None:
    price = (Break(1, Money.of("0.50", "EUR")),)
    until = date.today() + timedelta(days=9)
    quote = Offer("Osmere", "K2R-12S", maker=maker, stock=500, breaks=price, valid_until=until)
    take_quotes(shop, "Osmere", [quote], datetime.now(UTC))


def test_a_plan_buys_of_the_maker_asked_for(both: Session) -> None:
    quoted(both, "Corvane")
    dear = plan_asked(both, PlanAsked([f"{OURS}=5"]))
    cheap = plan_asked(both, PlanAsked([f"{THEIRS}=5"]))
    assert [line.part_number for line in cheap.lines] == [THEIRS]
    assert (cheap.cost or 0) < (dear.cost or 0) and "0.5" not in str(dear.lines[0].unit_price)


def test_an_offer_that_does_not_say_whose_is_nobodys_and_is_named(both: Session) -> None:
    quoted(both, "")
    answer = plan_asked(both, PlanAsked([f"{OURS}=5"]))
    assert any("the offer does not say whose it is" in why for why in answer.left_out)


def test_one_makers_quote_leaves_the_others_in_place(both: Session) -> None:
    quoted(both, "Kithmar")
    quoted(both, "Corvane")
    assert plan_asked(both, PlanAsked([f"{OURS}=5"])).cost == plan_asked(both, PlanAsked([f"{THEIRS}=5"])).cost


def test_a_quote_asked_for_names_the_maker_and_is_read_back_as_its_part(both: Session, tmp_path: Path) -> None:
    file = next(f for f in ask_quotes(both, [f"{THEIRS}=5"], tmp_path).files if "osmere" in f.name)
    sheet = load_workbook(file).active
    assert sheet is not None
    assert {"K2R-12S", "Corvane"} <= {cell.value for line in sheet.iter_rows() for cell in line}


def test_a_board_says_whose_part_is_fitted(both: Session, demo_folder: Path, tmp_path: Path) -> None:
    text = (demo_folder / "boards" / "os-3.toml").read_text()
    fitted = text.replace('fitted = "TW2-12S"', 'fitted = "K2R-12S"')
    for hole_file in (demo_folder / "boards").glob("*.csv"):
        (tmp_path / hole_file.name).write_text(hole_file.read_text())
    (tmp_path / "os-3.toml").write_text(fitted)
    with pytest.raises(Refused, match="made by Corvane and by Kithmar"):
        add_board(both, tmp_path / "os-3.toml")
    (tmp_path / "os-3.toml").write_text(fitted.replace('"K2R-12S"', f'"{THEIRS}"'))
    add_board(both, tmp_path / "os-3.toml", Replacing(True))
    assert "K2R-12S" in {p.fitted for p in check_board(both, "OS-3").positions}


def test_taking_a_quote_without_a_maker_says_that_no_plan_chooses_it(both: Session, tmp_path: Path) -> None:
    book, until = Workbook(), date.today() + timedelta(days=9)
    assert book.active is not None
    for row in (("Part number", "Unit price", "Currency"), ("K2R-12S", 2.10, "EUR")):
        book.active.append(row)
    book.save(tmp_path / "quote.xlsx")
    notes = take_quote(both, tmp_path / "quote.xlsx", "Osmere", str(until)).notes
    assert any("the quote does not say by whom" in note for note in notes)


def test_an_order_book_says_whose_part_each_line_is(both: Session, tmp_path: Path) -> None:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row in (["Order to Osmere"], ["Part number", "Maker", "Quantity", "Unit price"], ["K2R-12S", "Corvane", 5, 2]):
        sheet.append(row)
    book.save(tmp_path / "order.xlsx")
    take_reorder(both, tmp_path / "order.xlsx")
    assert [(row.part_number, row.quantity) for row in list_ordered(both)] == [(THEIRS, 5)]
