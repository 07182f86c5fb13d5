"""A Shop reads each thing once, and never says what was so before the job wrote."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import pytest
from sqlalchemy import Engine, event

from bom.buying.offer import Rates, Supplier
from bom.kits.kit import Kit
from bom.shop.settings import change_setting
from bom.shop.shop import Shop
from bom.stock.ledger import Lot
from bom.store.boards_and_kits import take_kit
from bom.store.engine import ready_engine
from bom.store.offers import take_rates, take_supplier
from bom.store.shelf import add_lot
from bom.store.unit_of_work import look, work

NOW = datetime(2026, 3, 2, 9, tzinfo=UTC)


@pytest.fixture
def engine(tmp_path: Path) -> Engine:
    return ready_engine(f"sqlite:///{tmp_path / 'bom.db'}")


def add_one_lot(shop: Shop) -> None:
    add_lot(shop.session, Lot("L0001", "TW2-12S"), Decimal(5), NOW)


CHANGES = {
    "a setting": (lambda s: change_setting(s.session, "currency", "GBP"), lambda s: s.currency),
    "a lot": (add_one_lot, lambda s: (s.lots, s.shelf.parts)),
    "a supplier": (lambda s: take_supplier(s.session, Supplier("Osmere", "GBP")), lambda s: s.suppliers),
    "a kit": (lambda s: take_kit(s.session, Kit("spare", "GBP")), lambda s: tuple(s.kits)),
    "rates": (
        lambda s: take_rates(s.session, Rates("GBP", NOW.date(), (("EUR", Decimal("0.85")),))),
        lambda s: s.rates_to("GBP").to_base("EUR"),
    ),
}


@pytest.mark.parametrize("what", CHANGES)
def test_what_the_job_changed_is_read_anew(engine: Engine, what: str) -> None:
    change, read = CHANGES[what]
    with work(engine) as session:
        shop = Shop(session)
        before = read(shop)
        change(shop)
        assert read(shop) != before
        assert read(shop) == read(Shop(session))


def test_what_was_taken_back_is_read_anew(engine: Engine) -> None:
    with work(engine) as session:
        shop = Shop(session)
        try:
            with session.begin_nested():
                add_one_lot(shop)
                assert shop.lots
                raise KeyError
        except KeyError:
            assert not shop.lots


def everything(shop: Shop) -> tuple[object, ...]:
    return (
        shop.settings, shop.catalogue, shop.parts, shop.units, shop.boards, shop.kits, shop.planned_kits,
        shop.suppliers, shop.lots, shop.shelf, shop.levels_wanted, shop.on_order,
        shop.confirmed_prices, shop.rates_to("GBP"), shop.rates_to("EUR"),
    )  # fmt: skip


def test_nothing_is_read_twice(engine: Engine) -> None:
    statements: list[str] = []
    event.listen(engine, "before_cursor_execute", lambda *said: statements.append(said[2]))
    with look(engine) as session:
        shop = Shop(session)
        first = everything(shop)
        read = len(statements)
        assert everything(shop) == first
    assert len(statements) == read
