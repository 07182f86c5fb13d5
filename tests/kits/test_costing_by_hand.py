"""Costing against figures worked by hand from the definitions: self-consistency, no printed table."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal

import pytest

from bom.kits.cost import gross, order_quantity
from bom.kits.kit import Market, Packing
from bom.kits.price import exact_price, markup_of_margin, profit, tax_inside
from bom.stock.ledger import Move, MoveKind
from bom.stock.valuation import value
from bom.values.money import Money, apportion


def eur(amount: str) -> Money:
    return Money.of(amount, "EUR")


# In 10 at 2.00, in 10 at 2.60, out 12, in 5 at 3.00, out 6.
# IAS 2.25 allows both formulas; figures worked by hand.
COSTS = {"A": eur("2.00"), "B": eur("2.60"), "C": eur("3.00")}
NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
ENTRIES = [
    Move(n, NOON, MoveKind.IN if quantity > 0 else MoveKind.OUT, "P", lot, Decimal(quantity))
    for n, (lot, quantity) in enumerate([("A", 10), ("B", 10), ("A", -12), ("C", 5), ("B", -6)], 1)
]


def test_moving_average_after_two_issues() -> None:
    worth = value(ENTRIES, COSTS, "EUR", "average").worth
    assert worth.gone is not None and worth.stock is not None
    assert (round(worth.gone.amount, 4), round(worth.stock.amount, 4)) == (
        Decimal("43.0154"),
        Decimal("17.9846"),
    )
    assert worth.gone + worth.stock == eur("61.00")


def test_first_in_first_out_after_two_issues() -> None:
    worth = value(ENTRIES, COSTS, "EUR", "fifo").worth
    assert (worth.gone, worth.stock, worth.on_hand) == (eur("40.80"), eur("20.20"), Decimal(7))


@pytest.mark.parametrize(
    ("whole", "currency", "weights", "shares"),
    [
        ("7.95", "EUR", ["10", "20", "3.33"], ["2.39", "4.77", "0.79"]),
        ("10.00", "EUR", ["1", "1", "1"], ["3.34", "3.33", "3.33"]),
        ("100", "JPY", ["1", "1", "1"], ["34", "33", "33"]),
    ],
)
def test_apportionment_by_largest_remainder(whole: str, currency: str, weights: list[str], shares: list[str]) -> None:
    """Largest remainder (Hamilton's method); figures worked by hand."""
    answer = apportion(Money.of(whole, currency), [Decimal(w) for w in weights])
    assert answer == tuple(Money.of(s, currency) for s in shares)


def test_markup_and_margin() -> None:
    """u = m / (1 - m): a 40 % margin is a 66.667 % markup. A textbook identity."""
    assert round(markup_of_margin(40), 3) == Decimal("66.667")


@pytest.mark.parametrize(("pct", "inside"), [(20, "1.67"), (21, "1.73"), (19, "1.60")])
def test_tax_inside_a_price_of_9_99(pct: int, inside: str) -> None:
    """P·r / (100 + r): the fraction by which tax authorities take tax out of a price that includes it."""
    assert tax_inside(eur("9.99"), pct).rounded() == eur(inside)


def test_the_price_for_a_quarter_of_the_net_price() -> None:
    """P = (cost + ship + b + e) / ((1 - m)/(1 + v) - a - c); 12, 3.50, 12 % + 0.35, 2.9 % + 0.30, 21 %, 25 %.

    Derived from the definitions; the rates only illustrate.
    """
    market = Market(True, Decimal(21), Decimal("14.9"), eur("0.65"))
    packing = Packing(eur("0"), eur("3.50"))
    priced = replace(market, price=exact_price(market, packing, eur("12"), "25"))
    sale = profit(priced, packing, eur("12"), rounded=False)
    figures = [m.amount for m in (sale.price, sale.net, sale.tax, sale.fee, sale.profit)]
    expected = ("34.3008", "28.3478", "5.9530", "5.7608", "7.0869")
    assert [float(f) for f in figures] == pytest.approx([float(e) for e in expected], abs=6e-5)


def test_scrap_grosses_up_by_division() -> None:
    """need / (1 - s): 100 at 5 % is 105.263, so 106 pieces and not 105."""
    grossed = gross(Decimal(100), Decimal(5))
    assert round(grossed, 3) == Decimal("105.263")
    assert order_quantity(grossed, "piece") == 106


def test_tax_by_line_and_on_the_total_differ() -> None:
    """Ten lines of 0.07 net at 21 %: 0.10 when each is rounded, 0.15 on the total; hence one rounding, on the kit."""
    line, every = eur("0.07").times(Decimal("0.21")), eur("0.70").times(Decimal("0.21"))
    assert (line.rounded().times(10), every.rounded()) == (eur("0.10"), eur("0.15"))


@pytest.mark.parametrize(("registered", "left"), [(False, "3.99"), (True, "1.51")])
def test_a_kit_at_14_90_post_free(registered: bool, left: str) -> None:
    """12.8 % and 0.30 in fees, postage 3.35, bag 0.45, parts 2 x 2.10 + 0.60 + 0.10; worked by hand, in either tax
    position; parts alone would claim 10.00."""
    market = Market(registered, Decimal(20), Decimal("12.8"), eur("0.30"), price=eur("14.90"))
    sale = profit(market, Packing(eur("0.45"), eur("3.35")), eur("4.90"))
    assert (sale.profit, sale.price - sale.cost) == (eur(left), eur("10.00"))
