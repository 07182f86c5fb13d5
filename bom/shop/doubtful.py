"""Which offers are in doubt beside what the shop knows of a part's price: what was paid, what was confirmed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from bom.buying.doubtful_prices import Trusted, Worth, doubt, shown
from bom.buying.offer import Offer, Rates
from bom.values.part_number import normal

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def with_doubts(session: Session, offers: Sequence[Offer], rates: Rates) -> tuple[Offer, ...]:
    """The offers, those whose price looks like a slip saying why; ``offers`` are all there are for their parts."""
    worth, today = _worth(session, rates), date.today()
    trusted = _trusted(session, rates, worth)
    of_part: dict[str, list[Offer]] = {}
    for offer in offers:
        if offer.valid_until is None or offer.valid_until >= today:
            of_part.setdefault(normal(offer.part_number), []).append(offer)

    def looked_at(offer: Offer) -> Offer:
        number = normal(offer.part_number)
        others = [o for o in of_part.get(number, ()) if o is not offer]
        why = doubt(offer, others, trusted.get(number, ()), worth)
        return replace(offer, doubt=why) if why else offer

    return tuple(map(looked_at, offers))


def _worth(session: Session, rates: Rates) -> Worth:
    """What one unit of an offer's currency comes to without the tax in it."""
    from bom.store.offers import suppliers

    tax = {s.name: s.tax_pct for s in suppliers(session) if s.prices_include_tax}

    def worth(offer: Offer) -> Decimal | None:
        rate = rates.to_base(offer.breaks[0].price.currency) if offer.breaks else None
        return None if rate is None else rate / (1 + tax.get(offer.supplier, Decimal(0)) / 100)

    return worth


def _trusted(session: Session, rates: Rates, worth: Worth) -> dict[str, list[Trusted]]:
    """Normal part number to what was last paid a piece, and the prices that somebody confirmed."""
    from bom.store.offers import confirmed_prices

    answer = {part: [paid] for part, paid in _last_paid(session, rates).items()}
    for one in confirmed_prices(session):
        if rate := worth(Offer(one.supplier, one.normal_number, one.breaks)):
            price = one.breaks[0].price
            said = f"{one.supplier}'s {shown(price)} was confirmed on {one.day}"
            known = Trusted(price.amount * rate, said, one.supplier, one.breaks)
            answer.setdefault(one.normal_number, []).append(known)
    return answer


def _last_paid(session: Session, rates: Rates) -> dict[str, Trusted]:
    """Normal part number to the unit cost of the lot that came last, where it is known."""
    from bom.store.shelf import lots

    answer: dict[str, Trusted] = {}
    for lot in sorted(lots(session), key=lambda lot: str(lot.received or "")):
        cost = lot.unit_cost
        if cost and (rate := rates.to_base(cost.currency)):
            answer[normal(lot.part_number)] = Trusted(cost.amount * rate, f"{shown(cost)} was last paid")
    return answer
