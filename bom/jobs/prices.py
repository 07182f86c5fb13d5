"""What things cost the shop: the cheapest piece anyone offers, and rates between currencies."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from bom.buying.offer import Offer, Rates
from bom.values.money import Money

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def rates_to(session: Session, base: str) -> Rates:
    """The newest rates to this currency; without any, only the currency itself can be reckoned."""
    from bom.store.suppliers import rates

    return rates(session, base) or Rates(base, date.today())


def usual_currency(session: Session) -> str:
    """The currency the shop reckons in: the first kit's, else the first supplier's, else EUR."""
    from bom.store.kits import kits
    from bom.store.suppliers import suppliers

    known = [kit.currency for kit in kits(session)] + [supplier.currency for supplier in suppliers(session)]
    return next(iter(known), "EUR")


def cheapest_pieces(session: Session) -> dict[str, Money]:
    """Part number to the lowest price per piece at the smallest order, in the usual currency, without tax."""
    from bom.store.suppliers import offers, suppliers

    rates = rates_to(session, usual_currency(session))
    tax = {s.name: s.tax_pct if s.prices_include_tax else Decimal(0) for s in suppliers(session)}
    answer: dict[str, Money] = {}
    for offer in offers(session):
        price = piece_price(offer, rates, tax.get(offer.supplier, Decimal(0)))
        if price is not None and (offer.part_number not in answer or price < answer[offer.part_number]):
            answer[offer.part_number] = price
    return answer


def piece_price(offer: Offer, rates: Rates, tax_inside_pct: Decimal) -> Money | None:
    """The unit price at the smallest order, without tax, in the rates' base; None without a rate or out of date."""
    worth = rates.to_base(offer.breaks[0].price.currency) if offer.breaks else None
    if worth is None or (offer.valid_until is not None and offer.valid_until < date.today()):
        return None
    least = max(offer.moq, offer.multiple)
    price = max((b for b in offer.breaks if b.from_quantity <= least), key=lambda b: b.from_quantity, default=None)
    chosen = (price or offer.breaks[0]).price
    return Money.of(chosen.amount * worth / (1 + tax_inside_pct / 100), rates.base)
