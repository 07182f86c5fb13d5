"""Boards, kits, suppliers with feeds, offers and rates: kept and given back exactly."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from sqlalchemy import Engine

from bom.boards.board import Board, Driver, Function, Hole, HolePattern, Load, Position, Repair, Supply
from bom.buying.offer import Break, Feed, Offer, Rates, Supplier
from bom.kits.kit import Kit, Line, Market, Packing
from bom.relays.footprint import View
from bom.relays.relay import SupplyKind
from bom.relays.wiring import Kind
from bom.store.boards_and_kits import board, boards, kit, kits, take_board, take_kit
from bom.store.catalogue import Changes
from bom.store.documents import decode, encode
from bom.store.offers import (
    feed_of,
    list_failed,
    list_seen,
    list_state,
    offers,
    quotes_until,
    rates,
    supplier,
    suppliers,
    take_offers,
    take_quotes,
    take_rates,
    take_supplier,
)
from bom.store.unit_of_work import work
from bom.values.money import Money
from bom.values.problem import Refused

NOON = datetime(2025, 3, 1, 12, tzinfo=UTC)
BOARD = Board(
    "sprayer",
    "Sprayer box",
    Supply(9.0, 12.0, 16.0, "B"),
    -30.0,
    process=("wave",),
    patterns={"twin": HolePattern("twin", (Hole("a", 0.0, 2.54, 1.0, "GND"),), View.SOLDER)},
    positions=(
        Position("K1", "twin", "OT-2", driver=Driver(500.0), functions=(
            Function("pump", "1", Kind.BREAK, Load("motor", 12.0, 8.0, supply=SupplyKind.AC, reversing=True)),
        )),
    ),
    repairs=(Repair("no pump", ("dead",), ("K1",)),),
)  # fmt: skip
KIT = Kit(
    "pump kit",
    "EUR",
    lines=(Line(position="sprayer:K1", quantity=Decimal("1.50")), Line(part="FLUX-5", unit="ml")),
    packing=Packing(Money.of("0.35", "EUR"), Money.of(2, "EUR"), Decimal("4"), None),
    market=Market(True, Decimal(20), Decimal("12.8"), Money.of("0.30", "EUR"), margin_pct=Decimal(30)),
)
OSMERE = Supplier("Osmere", "EUR", True, Decimal(20), Money.of("6.5", "EUR"), lead_days=4)
FEED = Feed("list.csv", columns=(("part_number", "Typ"),), break_columns=((1, "Preis 1"), (10, "Preis 10")))
OFFER = Offer("Osmere", "KM 12", (Break(1, Money(1_234_567, "EUR")), Break(10, Money(999, "EUR"))), stock=7, line=3)
QUOTE = replace(OFFER, valid_until=date(2025, 4, 1), seen=NOON)


@pytest.mark.parametrize("thing", [BOARD, KIT, OSMERE, FEED, QUOTE, Rates("EUR", date(2025, 3, 1))])
def test_a_document_reads_back_as_what_was_written(thing: object) -> None:
    assert decode(type(thing), encode(thing)) == thing


@pytest.mark.parametrize("document", ['{"name": "x", "wheels": 4}', "{}", "[1]", "torn"])
def test_a_document_that_is_no_board_is_refused(document: str) -> None:
    with pytest.raises(Refused, match="stored board"):
        decode(Board, document)


def test_boards_and_kits_are_kept_by_name(engine: Engine) -> None:
    with work(engine) as session:
        assert take_board(session, BOARD, "d1") == Changes(added=1)
        assert take_board(session, BOARD, "d1") == Changes(unchanged=1)
        assert take_board(session, replace(BOARD, title="New"), "d2") == Changes(updated=1)
        take_kit(session, KIT)
        assert boards(session) == (replace(BOARD, title="New"),) and kits(session) == (KIT,)
        assert board(session, "other") is None and kit(session, "pump kit") == KIT


def test_a_supplier_is_kept_with_how_to_read_its_list(engine: Engine) -> None:
    with work(engine) as session:
        take_supplier(session, OSMERE, FEED)
        assert take_supplier(session, OSMERE) == Changes(updated=1)
        assert feed_of(session, "Osmere") is None
        take_supplier(session, OSMERE, FEED)
        assert supplier(session, "Osmere") == OSMERE and suppliers(session) == (OSMERE,)
        assert feed_of(session, "Osmere") == FEED


def test_a_new_list_replaces_the_old_one_and_quotes_stay(engine: Engine) -> None:
    with work(engine) as session:
        take_supplier(session, OSMERE)
        take_offers(session, "Osmere", [OFFER, replace(OFFER, part_number="KM 24")], NOON)
        take_quotes(session, "Osmere", [QUOTE], NOON)
        take_quotes(session, "Osmere", [replace(QUOTE, moq=5)], NOON)
        take_offers(session, "Osmere", [replace(OFFER, stock=1)], NOON)
        assert offers(session) == (replace(QUOTE, moq=5), replace(OFFER, stock=1, seen=NOON))
        assert list_seen(session, "Osmere") == NOON


def test_offers_are_asked_for_by_part_however_it_is_spelled(engine: Engine) -> None:
    with work(engine) as session:
        take_supplier(session, OSMERE)
        take_offers(session, "Osmere", [OFFER, replace(OFFER, part_number="KM 24")], NOON)
        assert [o.part_number for o in offers(session, ["km-12"])] == ["KM 12"]


@pytest.mark.parametrize("wrong", [replace(OFFER, supplier="Thaxley"), QUOTE])
def test_offers_that_are_not_of_the_list_are_refused(engine: Engine, wrong: Offer) -> None:
    with pytest.raises(Refused), work(engine) as session:
        take_supplier(session, OSMERE)
        take_offers(session, "Osmere", [wrong], NOON)


def test_offers_of_a_supplier_that_nobody_added_are_refused(engine: Engine) -> None:
    with pytest.raises(Refused, match="no supplier"), work(engine) as session:
        take_offers(session, "Osmere", [OFFER], NOON)


def test_the_newest_rates_up_to_a_day_serve(engine: Engine) -> None:
    old = Rates("EUR", date(2025, 3, 1), (("USD", Decimal("0.9200")),), "bank")
    new = replace(old, day=date(2025, 3, 8), worth=(("GBP", Decimal("1.2")), ("USD", Decimal("0.93"))))
    with work(engine) as session:
        for taken in (old, new, new):
            take_rates(session, taken)
        assert rates(session, "EUR") == new
        assert rates(session, "EUR", date(2025, 3, 5)) == old
        assert rates(session, "EUR", date(2025, 2, 1)) is None and rates(session, "USD") is None


def test_a_lists_offers_share_its_file_and_moment(engine: Engine) -> None:
    of_list = replace(OFFER, seen=NOON, file="list.csv", line=7)
    with work(engine) as session:
        take_supplier(session, OSMERE)
        take_offers(session, "Osmere", iter([of_list, replace(of_list, file="other.csv", line=8)]), NOON, "list.csv")
        assert [(o.file, o.seen, o.line) for o in offers(session)] == [
            ("list.csv", NOON, 7),
            ("other.csv", NOON, 8),
        ]
        state = list_state(session, "Osmere")
    assert state is not None and (state.file, state.seen, state.offers) == ("list.csv", NOON, 2)


def test_a_list_that_failed_is_remembered_until_it_is_taken(engine: Engine) -> None:
    with work(engine) as session:
        take_supplier(session, OSMERE)
        assert list_state(session, "Osmere") is None
        list_failed(session, "Osmere", NOON, "it answers 500")
        failed = list_state(session, "Osmere")
        take_offers(session, "Osmere", [OFFER], NOON, "list.csv")
        taken = list_state(session, "Osmere")
    assert failed is not None and (failed.failed, failed.why, failed.seen) == (NOON, "it answers 500", None)
    assert taken is not None and (taken.failed, taken.offers) == (None, 1)


def test_more_offers_than_are_written_at_once_are_all_taken_and_asked_for(engine: Engine) -> None:
    many = [replace(OFFER, part_number=f"P{n}", line=n) for n in range(4500)]
    with work(engine) as session:
        take_supplier(session, OSMERE)
        assert take_offers(session, "Osmere", iter(many), NOON) == 4500
        assert len(offers(session)) == len(offers(session, [f"P{n}" for n in range(4500)])) == 4500


def test_quotes_know_their_last_days(engine: Engine) -> None:
    with work(engine) as session:
        take_supplier(session, OSMERE)
        take_quotes(session, "Osmere", [QUOTE, replace(QUOTE, part_number="KM 24")], NOON)
        assert quotes_until(session, "Osmere") == (QUOTE.valid_until,) * 2
