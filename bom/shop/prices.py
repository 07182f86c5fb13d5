"""What things cost the shop: the cheapest piece anyone offers, and rates between currencies."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from bom.buying.offer import Offer, Rates, Supplier
from bom.shop.doubtful import with_doubts
from bom.shop.settings import settings_of
from bom.values.money import Money
from bom.values.part_number import normal

if TYPE_CHECKING:
    from bom.buying.levels import PriceSteps
    from bom.store.part_names import PartNames
    from bom.store.unit_of_work import Session


def rates_to(session: Session, base: str) -> Rates:
    """The newest rates to this currency, crossed through the shop's own where there are none to it directly.

    Without any, only amounts in the currency itself can be compared.
    """
    from bom.store.offers import rates

    direct, own = rates(session, base), rates(session, settings_of(session).currency)
    crossed = own.in_terms_of(base) if own else None
    return direct or crossed or Rates(base, date.today())


def cheapest_pieces(
    session: Session, parts: Iterable[str] | None = None, *, with_tax: bool = False
) -> dict[str, Money]:
    """Part number to the lowest price per piece at the smallest order, in the shop's currency, without tax.

    ``with_tax`` is for a shop that does not get purchase tax back. For the parts the shop knows, or for
    these, spelled its way; a long price list holds many more.
    """
    from bom.store.offers import suppliers

    rates = rates_to(session, settings_of(session).counts_in)
    tax = {s.name: s.tax_pct if s.prices_include_tax else Decimal(0) for s in suppliers(session)}
    more = {s.name: 1 + s.tax_pct / 100 for s in suppliers(session) if with_tax}
    answer: dict[str, Money] = {}
    for offer in known_offers(session) if parts is None else offers_for(session, parts):
        price = piece_price(offer, rates, tax.get(offer.supplier, Decimal(0)))
        price = price.times(more.get(offer.supplier, Decimal(1))) if price is not None else None
        if price is not None and (offer.part_number not in answer or price < answer[offer.part_number]):
            answer[offer.part_number] = price
    return answer


def price_steps(session: Session) -> dict[str, tuple[PriceSteps, ...]]:
    """Part number to the price steps of its offers, in the shop's currency and without tax, where there is a rate."""
    from bom.buying.levels import PriceSteps
    from bom.store.offers import suppliers

    rates = rates_to(session, settings_of(session).counts_in)
    tax = {s.name: s.tax_pct if s.prices_include_tax else Decimal(0) for s in suppliers(session)}
    answer: dict[str, tuple[PriceSteps, ...]] = {}
    for offer in known_offers(session):
        if worth := _worth(offer, rates, tax.get(offer.supplier, Decimal(0))):
            steps = tuple((float(b.from_quantity), float(b.price.amount * worth)) for b in offer.breaks)
            answer[offer.part_number] = (*answer.get(offer.part_number, ()), PriceSteps(steps, offer.incremental))
    return answer


def known_offers(session: Session) -> tuple[Offer, ...]:
    """The offers and quotes for parts that the shop knows, spelled its way."""
    return offers_for(session, _known_parts(session))


def _known_parts(session: Session) -> Iterator[str]:
    """The names of parts of the catalogue, the kits and the shelf."""
    from bom.store.boards_and_kits import kits
    from bom.store.catalogue import makers
    from bom.store.part_names import part_names
    from bom.store.shelf import lots

    name = part_names(session).name
    yield from (name(number, maker) for number, maker in makers(session))
    yield from (line.part for kit in kits(session) for line in kit.lines if line.part)
    yield from (lot.part_number for lot in lots(session))


def offers_for(session: Session, parts: Iterable[str]) -> tuple[Offer, ...]:
    """Offers and quotes for these parts, with the name that a part goes by here as their part number, those in doubt
    saying why.

    What the supplier calls it, such as TW2-12S/TR on tape, stays the supplier's code where it states no other. An offer
    of a number that two makers share is for the maker's part that it states, else for nobody's.
    """
    from bom.store.offers import offers
    from bom.store.part_names import part_names

    names, asked = part_names(session), dict.fromkeys(parts)
    spelled = {normal(names.part(part)[0]): part for part in reversed(asked)}
    named = ((offer, _name_here(offer, spelled, names)) for offer in offers(session, spelled))
    found = [_as_here(offer, part) for offer, part in named if part in asked]
    return with_doubts(session, found, rates_to(session, settings_of(session).counts_in))


def _name_here(offer: Offer, spelled: Mapping[str, str], names: PartNames) -> str:
    if names.makers(offer.part_number):
        return names.name(offer.part_number, offer.maker)
    return spelled[normal(offer.part_number)]


def whose_not_stated(session: Session, parts: Iterable[str]) -> list[str]:
    """A sentence for each offer that cannot be told to be for one of these parts or for another maker's."""
    from bom.store.offers import offers
    from bom.store.part_names import part_names

    names = part_names(session)
    numbers = {number for number, maker in map(names.part, parts) if maker}
    unclear = [o for o in offers(session, numbers) if not names.part(names.name(o.part_number, o.maker))[1]]
    return [
        f"{o.supplier} {o.supplier_code or o.part_number}: {' and '.join(names.makers(o.part_number))} make "
        f"{o.part_number}, and the offer does not say whose it is"
        for o in unclear
    ]


def _as_here(offer: Offer, part: str) -> Offer:
    if offer.part_number == part:
        return offer
    return replace(offer, part_number=part, supplier_code=offer.supplier_code or offer.part_number)


def in_own_currency(
    offers: Iterable[Offer], suppliers: Iterable[Supplier], rates: Rates
) -> tuple[tuple[Offer, ...], tuple[str, ...]]:
    """Offers priced in another currency than their supplier's, converted to that one, and a sentence for each.

    Without a rate for both currencies an offer stays as it is: then it is shown, never ranked.
    """
    own = {s.name: s.currency for s in suppliers}
    converted = [(offer, _converted(offer, own.get(offer.supplier, ""), rates)) for offer in offers]
    told = tuple(_told(old, new, rates) for old, new in converted if new is not old)
    return tuple(new for _, new in converted), told


def _converted(offer: Offer, currency: str, rates: Rates) -> Offer:
    codes = {b.price.currency for b in offer.breaks}
    to = rates.to_base(currency) if currency else None
    if codes <= {currency} or not to or not all(rates.to_base(code) for code in codes):
        return offer
    steps = (replace(b, price=_crossed(b.price, currency, rates)) for b in offer.breaks)
    return replace(offer, breaks=tuple(steps))


def _crossed(price: Money, currency: str, rates: Rates) -> Money:
    worth = (rates.to_base(price.currency) or Decimal(0)) / (rates.to_base(currency) or Decimal(1))
    return Money.of(price.amount * worth, currency)


def _told(old: Offer, new: Offer, rates: Rates) -> str:
    was, now = old.breaks[0].price, new.breaks[0].price
    said = f"{old.part_number} is priced at {was.amount:f} {was.currency} there, which is {now.amount:f}"
    return f"{old.supplier} {old.supplier_code}: {said} {now.currency} by the rates of {rates.day}".replace(" :", ":")


def piece_price(offer: Offer, rates: Rates, tax_inside_pct: Decimal) -> Money | None:
    """The unit price at the smallest order, without tax, in the rates' base.

    None without a rate, out of date or in doubt.
    """
    if (worth := _worth(offer, rates, tax_inside_pct)) is None:
        return None
    least = max(offer.moq, offer.multiple)
    price = max((b for b in offer.breaks if b.from_quantity <= least), key=lambda b: b.from_quantity, default=None)
    chosen = (price or offer.breaks[0]).price
    return Money.of(chosen.amount * worth, rates.base)


def _worth(offer: Offer, rates: Rates, tax_inside_pct: Decimal) -> Decimal | None:
    """What one unit of the offer's currency comes to without tax; None without a rate, out of date or in doubt."""
    worth = rates.to_base(offer.breaks[0].price.currency) if offer.breaks else None
    if worth is None or offer.doubt or (offer.valid_until is not None and offer.valid_until < date.today()):
        return None
    return worth / (1 + tax_inside_pct / 100)
