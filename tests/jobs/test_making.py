"""Kits made up: which lots go in, promises, undoing, and what a kit lot is worth."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from bom.answers.kits import MadeKits
from bom.jobs.bench import bench
from bom.jobs.kits.costing import cost_kits
from bom.jobs.kits.how_many import HowMany, possible_kits
from bom.jobs.kits.making import finish_kits, make_kits, undo_kits
from bom.kits.kit import Kit, Line, Market
from bom.shop.kit_needs import missing_parts
from bom.shop.shop import Shop
from bom.shop.sourcing import Sourcing
from bom.shop.standing import planned_uses
from bom.stock.ledger import Level, Lot, Move, MoveKind
from bom.store.boards_and_kits import made_up, plan_kits, planned_kits, take_kit
from bom.store.shelf import add_lot, add_moves, lots, moves, shelf
from bom.store.unit_of_work import Session
from bom.values.money import Money
from bom.values.problem import Refused

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
TODAY = date.today()
KIT = Kit("pair", "GBP", lines=(Line(part="A", quantity=Decimal(2)), Line(part="WIRE", quantity=Decimal("0.5"))))


def bring(session: Session, number: str, part: str, quantity: str, days: int = 0, expires: date | None = None) -> None:
    when = NOON + timedelta(days=days)
    lot = Lot(number, part, drawer="D1", unit_cost=Money.of("1.50", "GBP"), received=when, expires=expires)
    add_lot(session, lot, Decimal(quantity), when, "goods in")


@pytest.fixture(scope="module")
def small_shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Ten of A in three lots, 20 of WIRE in one, and a kit that takes 2 and 0.5."""
    file = tmp_path_factory.mktemp("small") / "bom.db"
    with bench(f"sqlite:///{file}") as session:
        take_kit(session, KIT)
        bring(session, "L1", "A", "4", 1)
        bring(session, "L2", "A", "3", 2, TODAY + timedelta(days=90))
        bring(session, "L3", "A", "3", 0)
        bring(session, "LW", "WIRE", "20")
    return file


@pytest.fixture
def shop(small_shop: Path, tmp_path: Path) -> Iterator[Session]:
    shutil.copy(small_shop, tmp_path / "bom.db")
    with bench(f"sqlite:///{tmp_path / 'bom.db'}") as session:
        yield session


def level(shop: Session, part: str) -> Level:
    return shelf(shop).parts.get(part, Level())


def picked(made: MadeKits, part: str = "A") -> list[tuple[str, int]]:
    return [(p.lot, int(p.quantity)) for p in made.picks if p.part_number == part]


def test_what_expires_goes_first_then_what_came_first(shop: Session) -> None:
    assert picked(make_kits(shop, "pair", 4, dry=False)) == [("L2", 3), ("L3", 3), ("L1", 2)]


@pytest.mark.parametrize("what", ["held", "over", "promised"])
def test_held_promised_and_expired_pieces_are_never_picked(shop: Session, what: str) -> None:
    if what == "over":
        bring(shop, "L0", "A", "9", -9, TODAY - timedelta(days=1))
    else:
        bring(shop, "L0", "A", "9", -9)
        kind = MoveKind.HOLD if what == "held" else MoveKind.RESERVE
        add_moves(shop, [Move(0, NOON, kind, "A", "L0", Decimal(9), "because")])
    assert "L0" not in dict(picked(make_kits(shop, "pair", 5, dry=False)))
    assert make_kits(shop, "pair", 1, dry=False).missing[0].quantity == 2


def test_a_kit_lot_costs_what_its_parts_did_and_lasts_as_long_as_the_first_of_them(shop: Session) -> None:
    number = make_kits(shop, "pair", 4, dry=False, drawer="K9").kit_lot
    (lot,) = lots(shop, [number])
    assert (lot.part_number, lot.drawer, lot.unit_cost) == ("pair", "K9", Money.of("3.75", "GBP"))
    assert lot.expires == TODAY + timedelta(days=90)
    assert level(shop, "pair").available == 4


def test_kits_of_the_last_pieces_have_their_cost_too(shop: Session) -> None:
    number = make_kits(shop, "pair", 5, dry=False).kit_lot
    assert level(shop, "A").on_hand == 0 and lots(shop, [number])[0].unit_cost == Money.of("3.75", "GBP")


def test_a_kit_lot_remembers_its_lots_and_they_remember_it(shop: Session) -> None:
    number = make_kits(shop, "pair", 2, dry=False).kit_lot
    went_in = {(m.lot, m.quantity) for m in moves(shop, reference=number) if m.kind is MoveKind.OUT}
    assert went_in == {("L2", Decimal(-3)), ("L3", Decimal(-1)), ("LW", Decimal(-1))}
    made = made_up(shop, number)
    assert made is not None and [(c.part_number, c.quantity) for c in made.contents] == [
        ("A", 2),
        ("WIRE", Decimal("0.5")),
    ]


def test_a_promise_keeps_the_pieces_until_the_kits_are_finished(shop: Session) -> None:
    number = make_kits(shop, "pair", 4, dry=False, reserve=True).kit_lot
    assert (level(shop, "A").on_hand, level(shop, "A").available, level(shop, "pair").on_hand) == (10, 2, 0)
    assert make_kits(shop, "pair", 2, dry=False).missing
    assert finish_kits(shop, number).count == 4
    assert (level(shop, "A").on_hand, level(shop, "A").reserved, level(shop, "pair").on_hand) == (2, 0, 4)
    with pytest.raises(Refused, match="nothing is promised"):
        finish_kits(shop, number)


@pytest.mark.parametrize("reserve", [True, False])
def test_undone_everything_is_as_it_was_but_the_ledger_remembers(shop: Session, reserve: bool) -> None:
    before = shelf(shop)
    number = make_kits(shop, "pair", 3, dry=False, reserve=reserve).kit_lot
    back = undo_kits(shop, number.lower()).back
    assert {(b.lot, b.quantity) for b in back} == {("L2", 3), ("L3", 3), ("LW", Decimal("1.5"))}
    after = shelf(shop)
    assert all(after.parts[part] == there for part, there in before.parts.items())
    assert after.parts.get("pair", Level()) == Level()
    with pytest.raises(Refused, match="already"):
        undo_kits(shop, number)
    assert make_kits(shop, "pair", 1, dry=False).kit_lot != number


def test_a_kit_that_has_gone_cannot_be_taken_apart(shop: Session) -> None:
    number = make_kits(shop, "pair", 3, dry=False).kit_lot
    add_moves(shop, [Move(0, NOON, MoveKind.OUT, "pair", number, Decimal(-1), "sold")])
    with pytest.raises(Refused, match="1 of the 3 kits"):
        undo_kits(shop, number)


def test_kits_made_up_are_planned_no_more(shop: Session) -> None:
    plan_kits(shop, "pair", 5, NOON)
    make_kits(shop, "pair", 2, dry=True)
    number = make_kits(shop, "pair", 2, dry=False).kit_lot
    assert planned_kits(shop) == {"pair": 3}
    undo_kits(shop, number)
    assert planned_kits(shop) == {"pair": 5}


def test_a_kit_inside_that_lies_there_made_up_is_taken_before_it_is_opened(shop: Session) -> None:
    bring(shop, "LB", "B", "9")
    inner = Kit("inner", "GBP", lines=(Line(part="B"),))
    outer = Kit("outer", "GBP", lines=(Line(part="A"), Line(kit="inner", quantity=Decimal(2))))
    for kit in (inner, outer):
        take_kit(shop, kit)
    first = make_kits(shop, "inner", 5, dry=False).kit_lot
    bench_now = Sourcing(Shop(shop))
    assert missing_parts(bench_now, {"outer": 6}) == ((("B",), Decimal(3)),)
    plan_kits(shop, "outer", 6, NOON)
    assert planned_uses(Shop(shop)) == {"A": 6, "B": 7}  # five of the twelve inside lie there made up
    assert make_kits(shop, "outer", 5, dry=True).missing[0].quantity == 2
    lots_made = make_kits(shop, "outer", 4, dry=False).kit_lots
    assert [[(c.part_number, c.quantity) for c in lot.contents] for lot in lots_made] == [
        [("A", 1), ("inner", 2)],
        [("A", 1), ("B", 2)],
    ]
    assert (level(shop, "inner").on_hand, level(shop, "B").on_hand) == (1, 0)
    assert {m.lot for m in moves(shop, reference=lots_made[0].kit_lot)} >= {first}
    undo_kits(shop, lots_made[0].kit_lot)
    assert level(shop, "inner").on_hand == 5


def test_how_many_counts_kits_inside_made_up_and_opened(shop: Session) -> None:
    bring(shop, "LB", "B", "9")
    take_kit(shop, Kit("inner", "GBP", lines=(Line(part="B"),)))
    market = Market(False, Decimal(0), Decimal(0), Money.of("0", "GBP"), price=Money.of("5", "GBP"))
    outer = Kit("outer", "GBP", lines=(Line(part="A"), Line(kit="inner", quantity=Decimal(2))), market=market)
    take_kit(shop, outer)
    make_kits(shop, "inner", 4, dry=False)
    (row,) = possible_kits(shop, HowMany()).kits
    assert (row.alone, row.together) == (4, 4) == (cost_kits(shop, "outer", None)[0].can_make_now, 4)
    assert make_kits(shop, "outer", 4, dry=True).missing == ()


def test_a_kit_without_lines_cannot_be_made_up(shop: Session) -> None:
    take_kit(shop, Kit("empty", "GBP"))
    with pytest.raises(Refused, match="has no lines"):
        make_kits(shop, "empty", 1, dry=False)


def test_bags_that_differ_make_kit_lots_of_their_own(shop: Session) -> None:
    bring(shop, "LB", "B", "3")
    either = Kit("either", "GBP", lines=(Line(part="A", quantity=Decimal(4)), Line(kit="inner")))
    take_kit(shop, either)
    take_kit(shop, Kit("inner", "GBP", lines=(Line(part="B"),)))
    answer = make_kits(shop, "either", 2, dry=False)
    (row,) = answer.kit_lots
    assert [(c.part_number, c.inside) for c in row.contents] == [("A", ""), ("B", "inner")]


@pytest.mark.parametrize(("count", "said"), [(0, "at least one"), (-1, "at least one")])
def test_none_cannot_be_made_up(shop: Session, count: int, said: str) -> None:
    with pytest.raises(Refused, match=said):
        make_kits(shop, "pair", count, dry=False)


def test_an_unknown_kit_lot_is_refused(shop: Session) -> None:
    with pytest.raises(Refused, match="no kit lot K77"):
        undo_kits(shop, "K77")
