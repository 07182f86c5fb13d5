"""Which prices look like slips."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from bom.buying.doubtful_prices import Trusted, doubt, kept_out
from bom.buying.offer import Break, Offer
from bom.values.money import Money


def offer(supplier: str, *prices: str, moq: int = 1, until: date | None = None) -> Offer:
    breaks = tuple(Break(10**n, Money.of(price, "EUR")) for n, price in enumerate(prices))
    return Offer(supplier, "K2R-12S", breaks, moq=moq, valid_until=until)


def one_to_one(_: Offer) -> Decimal:
    return Decimal(1)


def paid(each: str) -> Trusted:
    return Trusted(Decimal(each), f"{each} EUR was last paid")


def why(mine: Offer, *others: Offer, trusted: tuple[Trusted, ...] = ()) -> str:
    return doubt(mine, others, trusted, one_to_one)


@pytest.mark.parametrize(
    ("price", "said"),
    [
        ("0.58", "0.58 EUR, where 3.00 EUR was last paid: less than a fifth of it"),
        ("0.60", ""),
        ("15.00", ""),
        ("15.30", "15.3 EUR, where 3.00 EUR was last paid: more than 5 times as much"),
    ],
)
def test_five_times_and_a_fifth_of_what_was_last_paid_are_the_limits(price: str, said: str) -> None:
    assert why(offer("A", price), trusted=(paid("3.00"),)) == said


def test_what_was_paid_counts_more_than_what_others_ask() -> None:
    assert not why(offer("A", "3.00"), offer("B", "30"), offer("C", "31"), trusted=(paid("3.10"),))
    assert "last paid" in why(offer("A", "30"), offer("B", "30"), trusted=(paid("3.10"),))


@pytest.mark.parametrize(
    ("mine", "others", "in_doubt"),
    [
        ("0.30", (), False),
        ("0.30", ("3.00",), True),
        ("3.00", ("0.30",), True),
        ("3.00", ("3.20", "0.30"), False),
        ("0.30", ("3.20", "3.00"), True),
        ("3.00", ("0.30", "0.31", "3.10"), True),
        ("3.00", ("0.30", "0.31", "0.32"), True),
    ],
)
def test_without_anything_paid_most_of_the_others_decide(mine: str, others: tuple[str, ...], in_doubt: bool) -> None:
    asked = [offer(f"S{n}", price) for n, price in enumerate(others)]
    assert bool(why(offer("A", mine), *asked)) is in_doubt


def test_others_are_compared_for_the_fewest_pieces_that_both_sell() -> None:
    assert not why(offer("A", "0.50", moq=100), offer("B", "3.00", "2.00", "0.60"))
    assert why(offer("A", "0.50", moq=10), offer("B", "3.00", "2.60", "0.60"))


def test_the_other_is_named_with_its_list_or_quote() -> None:
    assert "B's list asks 3 EUR" in why(offer("A", "0.3"), offer("B", "3.00"))
    assert "B's quote asks 3 EUR" in why(offer("A", "0.3"), offer("B", "3.00", until=date(2099, 1, 1)))


def test_a_step_between_price_breaks_that_is_too_high_is_a_slip_too() -> None:
    assert why(offer("A", "3.10", "0.28")) == "0.28 EUR from 10 on, after 3.1 EUR from 1 on: less than a fifth of it"
    assert "more than 5 times" in why(offer("A", "3.10", "28.0"))
    assert not why(offer("A", "3.10", "0.70", "0.20"))


def test_what_was_confirmed_stands_and_so_does_a_price_near_it() -> None:
    slip = offer("A", "3.10", "0.28")
    told = Trusted(Decimal("3.10"), "A's 3.1 EUR was confirmed", "A", slip.breaks)
    assert not why(slip, offer("B", "40"), trusted=(told,))
    assert not why(offer("A", "3.30"), offer("B", "40"), trusted=(told,))
    assert why(offer("A", "3.10", "0.27"), trusted=(told,))


def test_what_another_supplier_had_confirmed_counts_while_it_is_asked() -> None:
    other = offer("B", "30")
    told = Trusted(Decimal(30), "B's 30 EUR was confirmed", "B", other.breaks)
    assert "was confirmed" in why(offer("A", "3.00"), other, trusted=(told,))
    assert not why(offer("A", "3.00"), offer("B", "3.10"), trusted=(told,))


def test_without_a_rate_or_a_price_nothing_is_compared() -> None:
    assert not doubt(offer("A", "0.3"), [offer("B", "3.00")], (), lambda _: None)
    assert not why(offer("A"), offer("B", "3.00"))


def test_the_way_out_is_named_with_its_names_quoted() -> None:
    mine = Offer("Hollow Mere", "KM 12", (), doubt="0.3 EUR, where B's list asks 3 EUR: less than a fifth of it")
    assert kept_out(mine).endswith('; kept out of plans until bom supplier confirm "Hollow Mere" "KM 12"')


def test_of_two_others_the_nearer_one_decides() -> None:
    assert not why(offer("A", "3.00"), offer("B", "10.00"), offer("C", "0.545"))


def test_prices_are_compared_in_the_shops_currency() -> None:
    """In one where a unit of A's currency is worth a tenth of B's."""

    def worth(one: Offer) -> Decimal:
        return Decimal("0.1") if one.supplier == "A" else Decimal(1)

    assert not doubt(offer("A", "30"), [offer("B", "3.00")], (), worth)
    assert not doubt(offer("B", "3.00"), [offer("A", "30")], (), worth)
    assert doubt(offer("A", "3.00"), [offer("B", "3.00")], (), worth)
    assert not doubt(offer("A", "30"), [], (paid("3.00"),), worth)
    assert doubt(offer("A", "3.00"), [], (paid("3.00"),), worth)
