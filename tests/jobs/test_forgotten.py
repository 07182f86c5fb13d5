"""Relays, suppliers and quotes taken by mistake go again, unless something rests on them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from taken_whole import take_catalogue

from bom.buying.offer import Break, Offer
from bom.jobs.buying.quotes import forget_quotes
from bom.jobs.buying.suppliers import forget_supplier, show_suppliers
from bom.jobs.catalogue import forget_relay
from bom.jobs.replacing.finding import Sought, find_relays
from bom.jobs.shelf.ordering import order_part
from bom.relays.catalogue import Catalogue
from bom.store.catalogue import named
from bom.store.marks import marked
from bom.store.offers import offers, quotes_until, take_quotes
from bom.store.unit_of_work import Session
from bom.values.money import Money
from bom.values.problem import Refused


def quoted(shop: Session, part: str) -> None:
    price = (Break(1, Money.of("2.10", "EUR")),)
    quote = Offer("Osmere", part, breaks=price, stock=9, valid_until=date.today() + timedelta(days=9))
    take_quotes(shop, "Osmere", [quote], datetime.now(UTC))


def test_a_relay_that_nothing_rests_on_goes_and_is_found_no_more(shop: Session) -> None:
    before = marked(shop, "relays")
    (relay,) = named(shop, "K2R-12S")
    take_catalogue(shop, Catalogue((replace(relay, part_number="K2R-99S"),)))
    assert forget_relay(shop, "k2r 99s") == "Kithmar K2R-99S"
    assert marked(shop, "relays") == before and not named(shop, "K2R-99S")
    take_catalogue(shop, Catalogue((replace(relay, part_number="ZZZ-1"),)))  # may get the number of the row that went
    assert find_relays(shop, Sought("K2R-99"), 9).relays == ()
    assert [r.part_number for r in find_relays(shop, Sought("ZZZ"), 9).relays] == ["ZZZ-1"]


def test_of_two_makers_one_goes_and_the_number_is_the_others_again(shop: Session) -> None:
    take_catalogue(shop, Catalogue((replace(named(shop, "K2R-12S")[0], maker="Corvane"),)))
    with pytest.raises(Refused, match="made by Corvane and by Kithmar"):
        forget_relay(shop, "K2R-12S")
    forget_relay(shop, "Corvane K2R-12S")
    assert [r.maker for r in named(shop, "K2R-12S")] == ["Kithmar"]


def test_a_relay_in_use_stays_and_says_by_what(shop: Session) -> None:
    with pytest.raises(Refused, match=r"Ostrel TW2-12S stays: 2 positions: OS-3:K1.* lots: L0001"):
        forget_relay(shop, "TW2-12S")


def test_a_supplier_goes_with_its_list_unless_an_order_or_a_quote_rests_on_it(shop: Session) -> None:
    order_part(shop, "TW2-12S", "5", "Osmere", "")
    quoted(shop, "TW2-12S")
    with pytest.raises(Refused, match=r"Osmere stays: 1 order: O00001; 1 quote \(bom quote forget 'Osmere'"):
        forget_supplier(shop, "osmere")
    assert forget_supplier(shop, "fennmoor") == "Fennmoor"
    assert "Fennmoor" not in {o.supplier for o in offers(shop)} | {s.supplier for s in show_suppliers(shop)}


def test_quotes_go_one_by_one_or_all(shop: Session) -> None:
    quoted(shop, "TW2-12S")
    quoted(shop, "K2R-12S")
    assert forget_quotes(shop, "osmere", ["tw2 12s"]) == ["Osmere's quote for TW2-12S forgotten"]
    assert len(quotes_until(shop, "Osmere")) == 1
    forget_quotes(shop, "Osmere", [])
    with pytest.raises(Refused, match="Osmere has no quote"):
        forget_quotes(shop, "Osmere", [])


def test_a_quote_that_was_ordered_on_stays(shop: Session) -> None:
    quoted(shop, "TW2-12S")
    order_part(shop, "TW2-12S", "5", "Osmere", "")
    with pytest.raises(Refused, match="order O00001 of TW2-12S is still to come"):
        forget_quotes(shop, "Osmere", [])


@pytest.mark.parametrize(
    ("forget", "said"),
    [
        (lambda shop: forget_relay(shop, "nosuch"), "no relay nosuch"),
        (lambda shop: forget_supplier(shop, "Osmer"), "did you mean Osmere?"),
        (lambda shop: forget_quotes(shop, "nosuch", []), "no supplier nosuch"),
    ],
)
def test_what_is_not_there_cannot_be_forgotten(shop: Session, forget: Callable[[Session], object], said: str) -> None:
    with pytest.raises(Refused, match=said.replace("?", r"\?")):
        forget(shop)
