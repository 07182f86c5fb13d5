"""What selling one kit leaves: the profit at a price, and the price that leaves a wanted margin.

The rule, and the order of rounding. *Takings* = price + postage charged to the buyer (none when post-free).
Tax = takings · r / (100 + r) when registered, else nothing. Fee = the fixed fee + its percentage of the
takings, or of the price alone where ``fee_on`` says so; and what taking the payment costs, fixed and a percentage of
the takings. Profit = takings - tax - fee - postage paid - packing - labour - cost. Each of these is rounded once to the
currency's smallest unit by the market's rule (halves up, halves to even, or down), so that the lines
shown add up. Margin is profit as a share of the takings without tax. Costs are what they cost the
shop: without tax if it is registered and can recover it, with tax if it is not (IAS 2.11: recoverable tax is
no cost). Tax on fees: as on costs.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_DOWN, ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal

from bom.kits.kit import Market, Packing
from bom.values.money import Money
from bom.values.problem import Refused

HUNDRED = Decimal(100)
PRICE, PRICE_AND_POSTAGE = "price", "price and postage"


@dataclass(frozen=True, slots=True)
class Sale:
    """One kit sold, line by line; ``postage`` is what posting costs, ``postage_charged`` what the buyer pays
    for it."""

    price: Money
    postage_charged: Money
    tax: Money
    fee: Money
    postage: Money
    packing: Money
    labour: Money
    cost: Money

    @property
    def takings(self) -> Money:
        """What the buyer pays in all."""
        return self.price + self.postage_charged

    @property
    def net(self) -> Money:
        """The takings without tax."""
        return self.takings - self.tax

    @property
    def profit(self) -> Money:
        return self.net - self.fee - self.postage - self.packing - self.labour - self.cost

    @property
    def margin_pct(self) -> Decimal | None:
        """Profit in percent of the takings without tax; None where nothing is taken."""
        return self.profit.amount / self.net.amount * HUNDRED if self.net else None


def profit(market: Market, packing: Packing | None, cost: Money, *, rounded: bool = True) -> Sale:
    """The sale at the market's price. ``cost`` is one kit's lines, without packing, labour and postage.

    ``rounded=False`` leaves each line at a millionth, for checks. Refused where the market has no price or
    the currencies differ.
    """
    if market.price is None:
        raise Refused("expected a price to work out the profit at; the market states none")
    return _sale(market, market.price, packing or no_packing(cost.currency), cost, rounded)


def price_for(market: Market, packing: Packing | None, cost: Money, margin_pct: Decimal | int | str) -> Sale:
    """The sale at the lowest price, in whole steps of the market (its smallest unit by default), that
    leaves ``margin_pct`` or more once rounded.

    Refused where no price can: fees and tax take more of each further penny than the margin leaves.

    >>> market = Market(False, Decimal(0), Decimal(12), Money.of("0.30", "GBP"))
    >>> packing = Packing(Money.of("0.40", "GBP"), Money.of("3.20", "GBP"))
    >>> sale = price_for(market, packing, Money.of("4.10", "GBP"), 30)
    >>> print(sale.price, sale.profit)
    13.79 GBP 4.14 GBP
    """
    coin = Money.of(_coin(cost), cost.currency)
    step = market.price_step or coin
    price = _up(_below(exact_price(market, packing, cost, margin_pct), coin, market, margin_pct), step)
    sale = profit(replace(market, price=price), packing, cost)
    while sale.margin_pct is None or sale.margin_pct < Decimal(margin_pct):
        sale = profit(replace(market, price=sale.price + step), packing, cost)
    return sale


ROUNDED_LINES = 8  # no test can tell 8 from 9: the search for the price only begins a coin lower
"""Lines of a sale, each of which rounding moves by less than one smallest coin."""


def _below(exact: Money, coin: Money, market: Market, margin_pct: Decimal | int | str) -> Money:
    """A price below which no rounding of the lines can leave the margin."""
    slack = coin.amount * ROUNDED_LINES / _left_of_each(market, Decimal(margin_pct))
    return max(exact - Money.of(slack, exact.currency), Money.zero(exact.currency))


def exact_price(market: Market, packing: Packing | None, cost: Money, margin_pct: Decimal | int | str) -> Money:
    """The price that leaves exactly ``margin_pct`` before rounding, to a millionth; never below nothing.

    Takings = (cost + packing + labour + postage + fixed fee - fee percentage of what it spares) /
    ((1 - margin)/(1 + tax) - fee percentage). Derived from the rule above; agrees with the published form
    P = (cost + ship + b + e) / ((1 - m)/(1 + v) - a - c).
    """
    packing = packing or no_packing(cost.currency)
    charged = _charged(market, cost.currency)
    fee = market.fee_pct / HUNDRED
    spared = fee * charged.amount if _fee_on(market) == PRICE else Decimal(0)
    outlay = cost + packing.cost + labour(packing) + packing.postage + _fixed(market)
    takings = (outlay.amount - spared) / _left_of_each(market, Decimal(margin_pct))
    return max(Money.of(takings, cost.currency) - charged, Money.zero(cost.currency))


def labour(packing: Packing) -> Money:
    """Minutes at the hourly rate; no rate = labour is not wanted in the cost."""
    if packing.hourly_rate is None:
        return Money.zero(packing.cost.currency)
    return Money.of(packing.hourly_rate.amount * packing.minutes / 60, packing.hourly_rate.currency)


def tax_inside(gross: Money, pct: Decimal | int) -> Money:
    """The tax inside a price that includes it, to a millionth: gross · r / (100 + r).

    >>> print(tax_inside(Money.of("9.99", "GBP"), 20).rounded())
    1.67 GBP
    """
    return Money.of(gross.amount * Decimal(pct) / (HUNDRED + Decimal(pct)), gross.currency)


def markup_of_margin(margin_pct: Decimal | int) -> Decimal:
    """Markup on cost in percent, for a margin on price in percent: u = m / (1 - m).

    >>> round(markup_of_margin(40), 3)
    Decimal('66.667')
    """
    if Decimal(margin_pct) >= HUNDRED:
        raise Refused(f"no price exists: a margin of {margin_pct} % leaves nothing for the cost")
    return HUNDRED * Decimal(margin_pct) / (HUNDRED - Decimal(margin_pct))


def _sale(market: Market, price: Money, packing: Packing, cost: Money, rounded: bool) -> Sale:
    tidy = _rounder(market.rounding) if rounded else _as_it_is
    charged = _charged(market, price.currency)
    takings = price + charged
    tax = tax_inside(takings, market.tax_pct) if market.tax_registered else Money.zero(price.currency)
    base = price if _fee_on(market) == PRICE else takings
    fee = base.times(market.fee_pct / HUNDRED) + takings.times(market.payment_pct / HUNDRED) + _fixed(market)
    parts = (price, charged, tax, fee, packing.postage, packing.cost, labour(packing), cost)
    return Sale(*(tidy(part) for part in parts))


def _left_of_each(market: Market, margin_pct: Decimal) -> Decimal:
    """How much of each further unit of takings is left for the outlay once margin, tax and fees have had
    theirs."""
    tax_pct = market.tax_pct if market.tax_registered else Decimal(0)
    fees = market.fee_pct + market.payment_pct
    left = (1 - margin_pct / HUNDRED) / (1 + tax_pct / HUNDRED) - fees / HUNDRED
    if left <= 0:
        raise Refused(
            f"no price exists: a margin of {margin_pct} %, fees of {fees} % and tax of {tax_pct} % take all of it"
        )
    return left


_ROUNDING = {"half up": ROUND_HALF_UP, "half even": ROUND_HALF_EVEN, "down": ROUND_DOWN}


def _rounder(rule: str) -> Callable[[Money], Money]:
    """How one line is rounded to its currency's smallest unit."""
    if rule not in _ROUNDING:
        raise Refused(f"expected a rounding of {', '.join(_ROUNDING)}, found {rule!r}")

    def rounded(money: Money) -> Money:
        return Money.of(money.amount.quantize(_coin(money), _ROUNDING[rule]), money.currency)

    return rounded


def _coin(money: Money) -> Decimal:
    """The smallest unit of its currency."""
    return Decimal(1).scaleb(-money.exponent)


def _as_it_is(money: Money) -> Money:
    return money


def _fixed(market: Market) -> Money:
    """The fixed parts of the fee, whatever the price."""
    return market.fee_fixed + (market.payment_fixed or Money.zero(market.fee_fixed.currency))


def _up(money: Money, grain: Money) -> Money:
    steps = (Decimal(money.millionths) / grain.millionths).to_integral_value(ROUND_CEILING)
    return grain.times(steps)


def _charged(market: Market, currency: str) -> Money:
    return market.postage_charged or Money.zero(currency)


def _fee_on(market: Market) -> str:
    if market.fee_on not in (PRICE, PRICE_AND_POSTAGE):
        raise Refused(f"expected fee_on to be {PRICE!r} or {PRICE_AND_POSTAGE!r}, found {market.fee_on!r}")
    return market.fee_on


def no_packing(currency: str) -> Packing:
    return Packing(Money.zero(currency), Money.zero(currency))
