"""Amounts and costs as people type them, understood in the unit that a part is kept in; and written again."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from bom.shop.settings import settle
from bom.stock.ledger import Lot, Move, MoveKind
from bom.values.money import Money
from bom.values.problem import Refused
from bom.values.quantity import read_amount

if TYPE_CHECKING:
    from datetime import datetime

    from bom.shop.shop import Shop

MOST = Decimal(10**12)
"""More than any shelf holds, in any unit: a slip of the finger."""


def amount_of(shop: Shop, part: str, text: str) -> Decimal:
    """How much of this part, in its own unit; a bare number is in that unit. Refuses another unit and split pieces."""
    own = shop.unit(part)
    try:
        amount, unit = read_amount(text)
    except Refused as refused:
        raise Refused(
            str(refused).replace("a quantity such as '12 V'", f"how much of {part}, {_such_as(own)}")
        ) from None
    if unit not in ("piece", own):
        raise Refused(f"{part} is kept in {own}, found {text!r}")
    if own == "piece" and amount != amount.to_integral_value():
        raise Refused(f"expected whole pieces of {part}, found {text!r}")
    if amount > MOST:
        raise Refused(f"expected at most {MOST:,f} of {part}, found {text!r}")
    return amount


def _such_as(unit: str) -> str:
    return "such as 20" if unit == "piece" else f"such as 250 or '250 {unit}'"


def plain(amount: Decimal, unit: str = "") -> str:
    """An amount as people write it, never 1E+3; with its unit unless that is the piece."""
    text = f"{amount:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text if unit in ("", "piece") else f"{text} {unit}"


def money(text: str) -> Money:
    """Money as typed: an amount and its currency, as in 2.10 GBP."""
    match text.split():
        case [amount, currency] | [currency, amount] if currency.isalpha():
            if "," in amount:
                raise Refused(
                    f"write the decimal sign as a point and no thousands mark, as in 2.10 GBP, found {text!r}"
                )
            found = Money.of(amount, currency.upper())
            if not 0 <= found.amount <= MOST:
                raise Refused(f"expected a cost of 0 or more that somebody can pay, found {text!r}")
            return found
    raise Refused(f"expected an amount and its currency, as in 2.10 GBP, found {text!r}")


def cost_of(shop: Shop, text: str) -> Money:
    """A cost as typed; refused in a currency that the shop cannot convert, since it would spoil every average."""
    cost = money(text)
    settle(shop.session, currency=cost.currency)
    if why := no_rate(shop, cost.currency):
        raise Refused(why)
    return cost


def no_rate(shop: Shop, currency: str) -> str:
    """Why an amount in this currency cannot be converted; empty where it can."""
    base = shop.settings.currency or currency
    rates = shop.rates_to(base)
    if rates.to_base(currency) is not None:
        return ""
    known = ", ".join(dict.fromkeys([base, *(code for code, _ in rates.worth)]))
    return f"no exchange rate from {currency} to {base}, which the shop counts in; rates are known for {known}"


def entry(when: datetime, kind: MoveKind, lot: Lot, quantity: Decimal, reason: str, **more: str) -> Move:
    """A move yet to be entered: the ledger gives it its place. ``more``: reference, drawer or customer."""
    return Move(0, when, kind, lot.part_number, lot.number, quantity, reason, **more)  # type: ignore[arg-type]
