"""What things cost the shop: its offers, which of them look like slips, the cheapest piece, amounts converted."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from bom.buying.doubtful_prices import Trusted, WorthOf, doubt, shown
from bom.buying.offer import Offer, Rates, Supplier
from bom.store import offers as kept_offers
from bom.store.catalogue import makers
from bom.values.money import Money
from bom.values.part_number import normal

if TYPE_CHECKING:
    from bom.shop.shop import Shop
    from bom.store.part_names import PartNames


def cheapest_pieces(shop: Shop, parts: Iterable[str] | None = None, *, with_tax: bool = False) -> dict[str, Money]:
    """Part number to the lowest price per piece at the smallest order, in the shop's currency, without tax.

    ``with_tax`` is for a shop that does not get purchase tax back. For the parts the shop knows, or for
    these, spelled its way; a long price list holds many more.
    """
    if parts is None:
        return shop.kept(("cheapest pieces", with_tax), lambda: _cheapest(shop, known_offers(shop), with_tax))
    return _cheapest(shop, offers_for(shop, parts), with_tax)


def _cheapest(shop: Shop, offers: Iterable[Offer], with_tax: bool) -> dict[str, Money]:
    rates = shop.rates_to(shop.currency)
    tax = tax_inside(shop)
    more = {s.name: 1 + s.tax_pct / 100 for s in shop.suppliers if with_tax}
    answer: dict[str, Money] = {}
    for offer in offers:
        price = piece_price(offer, rates, tax.get(offer.supplier, Decimal(0)))
        price = price.times(more.get(offer.supplier, Decimal(1))) if price is not None else None
        if price is not None and (offer.part_number not in answer or price < answer[offer.part_number]):
            answer[offer.part_number] = price
    return answer


def tax_inside(shop: Shop) -> dict[str, Decimal]:
    """Supplier to the percentage of tax that its prices include."""
    return {s.name: s.tax_pct for s in shop.suppliers if s.prices_include_tax}


def known_offers(shop: Shop) -> tuple[Offer, ...]:
    """The offers and quotes for parts that the shop knows, spelled its way."""
    return shop.kept("known offers", lambda: _offers_for(shop, dict.fromkeys(_known_parts(shop))))


def _known_parts(shop: Shop) -> Iterator[str]:
    """The names of parts of the catalogue, the kits and the shelf."""
    if shop.is_long:
        yield from (shop.names.name(number, maker) for number, maker in makers(shop.session))
    else:
        yield from shop.parts
    yield from (line.part for kit in shop.kits.values() for line in kit.lines if line.part)
    yield from (lot.part_number for lot in shop.lots)


def offers_for(shop: Shop, parts: Iterable[str]) -> tuple[Offer, ...]:
    """Offers and quotes for these parts, with the name that a part goes by here as their part number, those in doubt
    saying why.

    What the supplier calls it, such as TW2-12S/TR on tape, stays the supplier's code where it states no other. An offer
    of a number that two makers share is for the maker's part that it states, else for nobody's.
    """
    asked = dict.fromkeys(parts)
    if not shop.is_long and asked.keys() <= set(_known_parts(shop)):
        return tuple(offer for offer in known_offers(shop) if offer.part_number in asked)
    return shop.kept(("offers for", tuple(asked)), lambda: _offers_for(shop, asked))


def _offers_for(shop: Shop, asked: Collection[str]) -> tuple[Offer, ...]:
    names = shop.names
    spelled = {normal(names.part(part)[0]): part for part in reversed(tuple(asked))}
    named = ((offer, _name_here(offer, spelled, names)) for offer in kept_offers.offers(shop.session, spelled))
    found = [_as_here(offer, part) for offer, part in named if part in asked]
    return with_doubts(shop, found, shop.rates_to(shop.currency))


def _name_here(offer: Offer, spelled: Mapping[str, str], names: PartNames) -> str:
    if names.makers(offer.part_number):
        return names.name(offer.part_number, offer.maker)
    return spelled[normal(offer.part_number)]


def whose_not_stated(shop: Shop, parts: Iterable[str]) -> list[str]:
    """A sentence for each offer that cannot be told to be for one of these parts or for another maker's."""
    names = shop.names
    numbers = {number for number, maker in map(names.part, parts) if maker}
    unclear = [
        o for o in kept_offers.offers(shop.session, numbers) if not names.part(names.name(o.part_number, o.maker))[1]
    ]
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
    if (worth := net_worth(offer, rates, tax_inside_pct)) is None:
        return None
    least = max(offer.moq, offer.multiple)
    price = max((b for b in offer.breaks if b.from_quantity <= least), key=lambda b: b.from_quantity, default=None)
    chosen = (price or offer.breaks[0]).price
    return Money.of(chosen.amount * worth, rates.base)


def net_worth(offer: Offer, rates: Rates, tax_inside_pct: Decimal) -> Decimal | None:
    """What one unit of the offer's currency comes to without tax; None without a rate, out of date or in doubt."""
    worth = rates.to_base(offer.breaks[0].price.currency) if offer.breaks else None
    if worth is None or offer.doubt or (offer.valid_until is not None and offer.valid_until < date.today()):
        return None
    return worth / (1 + tax_inside_pct / 100)


def with_doubts(shop: Shop, offers: Sequence[Offer], rates: Rates) -> tuple[Offer, ...]:
    """The offers, those whose price looks like a slip saying why; ``offers`` are all there are for their parts."""
    worth, today = _worths(shop, rates), date.today()
    trusted = _trusted(shop, rates, worth)
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


def _worths(shop: Shop, rates: Rates) -> WorthOf:
    """What one unit of an offer's currency comes to without the tax in it."""
    tax = tax_inside(shop)

    def worth(offer: Offer) -> Decimal | None:
        rate = rates.to_base(offer.breaks[0].price.currency) if offer.breaks else None
        return None if rate is None else rate / (1 + tax.get(offer.supplier, Decimal(0)) / 100)

    return worth


def _trusted(shop: Shop, rates: Rates, worth: WorthOf) -> dict[str, list[Trusted]]:
    """Normal part number to what was last paid a piece, and the prices that somebody confirmed."""
    answer = {part: [paid] for part, paid in _last_paid(shop, rates).items()}
    for one in shop.confirmed_prices:
        if rate := worth(Offer(one.supplier, one.normal_number, one.breaks)):
            price = one.breaks[0].price
            said = f"{one.supplier}'s {shown(price)} was confirmed on {one.day}"
            known = Trusted(price.amount * rate, said, one.supplier, one.breaks)
            answer.setdefault(one.normal_number, []).append(known)
    return answer


def _last_paid(shop: Shop, rates: Rates) -> dict[str, Trusted]:
    """Normal part number to the unit cost of the lot that came last, where it is known."""
    answer: dict[str, Trusted] = {}
    for lot in sorted(shop.lots, key=lambda lot: str(lot.received or "")):
        cost = lot.unit_cost
        if cost and (rate := rates.to_base(cost.currency)):
            answer[normal(lot.part_number)] = Trusted(cost.amount * rate, f"{shown(cost)} was last paid")
    return answer
