"""What a part cost and costs: landed as a bill would say it, by hand; offers that cannot be ranked say why."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from xml.etree import ElementTree

import pytest

from bom.buying.offer import Break, Offer, Supplier
from bom.jobs.settings import set_shop
from bom.jobs.shelf.part_prices import part_prices
from bom.paper.pictures.price_picture import price_picture
from bom.paper.terminal.shelf import prices_table
from bom.stock.ledger import Lot
from bom.store.offers import take_quotes, take_supplier
from bom.store.shelf import add_lot, lots_of_part
from bom.store.unit_of_work import Session
from bom.values.money import Money
from bom.values.problem import Refused

DEAR = Supplier(
    "Dear Isle", "GBP", tax_pct=Decimal(20), shipping_fee=Money.of(6, "GBP"), free_from=Money.of(100, "GBP"),
    import_fee=Money.of(4, "GBP"), minimum_order=Money.of(30, "GBP"), lead_days=3,
)  # fmt: skip
BREAKS = (Break(1, Money.of(3, "GBP")), Break(50, Money.of(2, "GBP")))


def quoted(shop: Session, registered: bool, until: date | None = None, moq: int = 5) -> None:
    set_shop(shop, [("tax_registered", "yes" if registered else "no")])
    take_supplier(shop, DEAR)
    until = until or date.today() + timedelta(days=30)
    quote = Offer("Dear Isle", "K2R-12S", BREAKS, supplier_code="D1", moq=moq, multiple=5, valid_until=until)
    take_quotes(shop, "Dear Isle", [quote], datetime.now(UTC))


@pytest.mark.parametrize(
    ("wanted", "pieces", "listed", "in_all", "against"),
    [
        (1, 5, 3, 15 + 6 + 4, "minimum"),  # rounded up to the multiple
        (12, 15, 3, 45 + 6 + 4, ""),
        (50, 50, 2, 100 + 4, ""),  # ships free
    ],
)
@pytest.mark.parametrize("registered", [True, False])
def test_landed_is_the_whole_bill_over_the_pieces(
    shop: Session, wanted: int, pieces: int, listed: int, in_all: int, against: str, registered: bool
) -> None:
    quoted(shop, registered)
    row = next(one for one in part_prices(shop, "K2R-12S", wanted).asked if one.supplier == "Dear Isle")
    tax = Decimal(0) if registered else (in_all - 4) * Decimal("0.2")  # on goods and shipping, not on the fee
    assert row.pieces == pieces and row.listed == Money.of(listed, "GBP")
    assert row.landed == Money.of((in_all + tax) / pieces, "GBP")
    assert against in row.against and bool(against) == bool(row.against)


def test_the_cheapest_stands_first_and_what_cannot_be_ranked_says_why(shop: Session) -> None:
    quoted(shop, True, date.today() - timedelta(days=1))
    answer = part_prices(shop, "k2r 12s", 20)
    landed = [one.landed.amount for one in answer.asked if one.landed is not None]
    assert landed == sorted(landed) and len(landed) == len(answer.asked) - 1
    last = answer.asked[-1]
    assert (last.supplier, last.landed) == ("Dear Isle", None) and "expired" in last.against
    assert "expired" in prices_table(answer)


def test_what_was_paid_is_every_lot_and_no_cost_is_no_price(shop: Session) -> None:
    add_lot(shop, Lot("L9003", "K2R-12S", received=datetime.now(UTC)), Decimal(3), datetime.now(UTC))
    answer = part_prices(shop, "K2R-12S")
    assert {one.lot for one in answer.paid} == {lot.number for lot in lots_of_part(shop, "K2R-12S")}
    days = [one.day for one in answer.paid if one.day is not None]
    assert days == sorted(days)
    assert next((one.unit_cost, one.in_ours) for one in answer.paid if one.lot == "L9003") == (None, None)
    drawn = price_picture(answer)
    ElementTree.fromstring(drawn)
    for one in answer.asked:
        assert f"{one.supplier} asks" in drawn


def test_nothing_known_is_refused_and_not_drawn(shop: Session) -> None:
    with pytest.raises(Refused, match="1 piece or more"):
        part_prices(shop, "K2R-12S", 0)
    with pytest.raises(Refused, match="no part"):
        part_prices(shop, "NOPE-1")
    nothing = replace(part_prices(shop, "K2R-12S"), asked=(), paid=())
    assert "Nobody asks anything" in prices_table(nothing)
    with pytest.raises(Refused, match="nothing to draw"):
        price_picture(nothing)
