"""Knows how to say why so many pieces are bought, and which of a supplier's thresholds an order reaches."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from bom.buying.problem import PlanOffer, PlanSupplier


def why_so_many(offer: PlanOffer, quantity: int, spare: int, supplier: PlanSupplier, goods: Decimal) -> str:
    """Why this quantity: the price reached, and what made it more than is needed.

    ``goods`` is what the whole order from this supplier lists, in its currency, this line included.
    """
    reasons = [*_reached(offer, quantity, spare), *_more(offer, quantity, spare, supplier, goods)]
    return ", ".join(reasons) or ("as needed" if not spare else f"{spare} to spare")


def _reached(offer: PlanOffer, quantity: int, spare: int) -> Iterator[str]:
    """The price break, and that it was bought up to where fewer would have cost as much or more."""
    reached = offer.reached(quantity)
    start, each = offer.breaks[reached]
    if start <= 1 or not reached or offer.breaks[reached - 1][1] == each:
        return
    fewer = offer.rounded_up(quantity - spare)
    bought_up = offer.reached(fewer) < offer.reached(quantity) and offer.goods(fewer) >= offer.goods(quantity)
    yield f"{start}+ price" + (f" makes {quantity} cheaper than {fewer}" if bought_up else "")


def _more(offer: PlanOffer, quantity: int, spare: int, supplier: PlanSupplier, goods: Decimal) -> Iterator[str]:
    needed = quantity - spare
    fewer = offer.rounded_up(needed)
    if not spare:
        return
    if needed < offer.moq:
        yield f"minimum {offer.moq}"
    if max(needed, offer.moq) % offer.multiple:
        yield f"multiple of {offer.multiple}"
    if quantity > fewer and offer.goods(fewer) < offer.goods(quantity):
        without = goods - offer.goods(quantity) + offer.goods(fewer)
        yield f"{quantity - fewer} more {_filled_up(supplier, without, goods)}"


def _filled_up(supplier: PlanSupplier, without: Decimal, goods: Decimal) -> str:
    """What the goods beyond ``without`` are good for."""
    if without < supplier.min_order_value <= goods:
        return f"reach the minimum order of {listed(supplier.min_order_value, supplier)}"
    free = supplier.free_shipping_from
    if free is not None and without < free <= goods:
        return f"reach free shipping from {listed(free, supplier)}"
    return "fill up the order"


def thresholds(supplier: PlanSupplier, goods: Decimal) -> tuple[str, ...]:
    """What an order of so much goods (as listed) reaches or misses at this supplier, in plain words."""
    return tuple(_thresholds(supplier, goods))


def _thresholds(supplier: PlanSupplier, goods: Decimal) -> Iterator[str]:
    free = supplier.free_shipping_from
    if free is not None and goods >= free:
        yield f"shipping is free from {listed(free, supplier)}: reached"
    elif free is not None:
        yield f"shipping is free from {listed(free, supplier)}: {listed(free - goods, supplier)} short"
    if supplier.min_order_value:
        yield f"minimum order {listed(supplier.min_order_value, supplier)}: reached"


def listed(amount: Decimal, supplier: PlanSupplier) -> str:
    """An amount in the supplier's currency, for the eye."""
    return f"{amount:.2f} {supplier.currency}"
