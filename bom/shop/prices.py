"""What things cost the shop: its offers, which of them look like slips, the cheapest piece, amounts converted."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import partial
from math import inf
from operator import attrgetter
from typing import TYPE_CHECKING

from bom.buying.doubtful_prices import FAR_OFF, Trusted, WorthOf, all_near, doubt, shown
from bom.buying.offer import Offer, Rates, Supplier
from bom.shop.shop import ByName
from bom.store import offers as kept_offers
from bom.store.catalogue import made_under
from bom.store.offers import Kept
from bom.store.shelf import costs_ever, last_costs
from bom.values.money import Money
from bom.values.part_number import normal

if TYPE_CHECKING:
    from bom.shop.shop import Shop
    from bom.store.part_names import PartNames


def cheapest(shop: Shop, *, with_tax: bool = False) -> ByName[Money]:
    """Each part to the lowest price per piece at the smallest order, in the shop's currency, without tax.

    ``with_tax`` is for a shop that does not get purchase tax back. It is asked for parts, spelled the shop's way; a
    long price list holds many more.
    """
    return shop.kept(("cheapest pieces", with_tax), lambda: ByName(lambda parts: _cheapest(shop, parts, with_tax)))


def _cheapest(shop: Shop, parts: Collection[str], with_tax: bool) -> dict[str, Money]:
    rates = shop.rates_to(shop.currency)
    tax = tax_inside(shop)
    more = {s.name: 1 + s.tax_pct / 100 for s in shop.suppliers if with_tax}
    answer: dict[str, Money] = {}
    for offer in offers_for(shop, parts):
        price = piece_price(offer, rates, tax.get(offer.supplier, Decimal(0)))
        price = price.times(more.get(offer.supplier, Decimal(1))) if price is not None else None
        if price is not None and (offer.part_number not in answer or price < answer[offer.part_number]):
            answer[offer.part_number] = price
    return answer


def tax_inside(shop: Shop) -> dict[str, Decimal]:
    """Supplier to the percentage of tax that its prices include."""
    return {s.name: s.tax_pct for s in shop.suppliers if s.prices_include_tax}


def offers_for(shop: Shop, parts: Iterable[str]) -> tuple[Offer, ...]:
    """Offers and quotes for these parts, in the order taken, with the name that a part goes by here as their part
    number, those in doubt saying why.

    What the supplier calls it, such as TW2-12S/TR on tape, stays the supplier's code where it states no other. An offer
    of a number that two makers share is for the maker's part that it states, else for nobody's.
    """
    found = offers_by_part(shop).among(tuple(dict.fromkeys(parts)))
    return tuple(one.offer for one in sorted((o for some in found.values() for o in some), key=attrgetter("number")))


def offers_by_part(shop: Shop) -> ByName[list[Kept]]:
    """Each part to its offers and quotes, as above; all are read at once where the catalogue is not long."""
    return shop.kept(
        "offers by part", lambda: ByName(partial(_offers_by_part, shop), () if shop.is_long else shop.parts)
    )


def _offers_by_part(shop: Shop, parts: Collection[str]) -> dict[str, list[Kept]]:
    asked, names = dict.fromkeys(parts), shop.names
    spelled = {normal(names.part(part)[0]): part for part in reversed(tuple(asked))}
    found: dict[str, list[Kept]] = {}
    for one in kept_offers.offers_of(shop.session, spelled):
        part = _name_here(one, spelled, names)
        if part in asked:
            found.setdefault(part, []).append(one._replace(offer=_as_here(one.offer, part)))
    return with_doubts(shop, found)


def _name_here(one: Kept, spelled: Mapping[str, str], names: PartNames) -> str:
    if names.makers(one.offer.part_number):
        return names.name(one.offer.part_number, one.offer.maker)
    return spelled[one.normal_number]


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


def with_doubts(shop: Shop, offers: Mapping[str, list[Kept]]) -> dict[str, list[Kept]]:
    """Each part to its offers, those whose price looks like a slip saying why; they are all there are for the parts."""
    rates = shop.rates_to(shop.currency)
    worth = _worths(shop, rates)
    trusted = _trusted(shop, rates, worth, offers)
    return {part: _looked_at(some, trusted.get(normal(part), ()), worth) for part, some in offers.items()}


def _looked_at(kept: list[Kept], trusted: Sequence[Trusted], worth: WorthOf) -> list[Kept]:
    if all_near([one.offer for one in kept], trusted, worth):
        return kept
    today = date.today()
    valid = [one.offer for one in kept if one.offer.valid_until is None or one.offer.valid_until >= today]
    answer = []
    for one in kept:
        why = doubt(one.offer, [o for o in valid if o is not one.offer], trusted, worth)
        answer.append(one._replace(offer=replace(one.offer, doubt=why)) if why else one)
    return answer


def offers_in_doubt(shop: Shop) -> tuple[Offer, ...]:
    """Every offer and quote for a part that the shop knows whose price looks like a slip."""
    wanted = _far_apart(shop)
    names = {shop.names.name(number, maker) for number, maker in made_under(shop.session, wanted)}
    names |= {line.part for kit in shop.kits.values() for line in kit.lines if normal(line.part) in wanted}
    return tuple(offer for offer in offers_for(shop, names) if offer.doubt)


_NEARLY = 0.999999  # of the limit: sums in floating point leave no price out that is beyond it


def _far_apart(shop: Shop) -> set[str]:
    """The normal numbers of the parts whose prices, with all that was ever paid, are so far apart that one may be a
    slip: of a long price list nearly none, and only they are looked at beside what was paid last."""
    rates, tax = shop.rates_to(shop.currency), tax_inside(shop)
    worth: dict[tuple[str, str], float] = {}
    lowest, highest = dict[str, float](), dict[str, float]()
    for number, supplier, currency, low, high in kept_offers.every_price(shop.session):
        if (each := worth.get((supplier, currency))) is None:
            each = float((rates.to_base(currency) or Decimal(0)) / (1 + tax.get(supplier, Decimal(0)) / 100))
            worth[supplier, currency] = each
        if low * each < lowest.get(number, inf):
            lowest[number] = low * each
        if high * each > highest.get(number, 0.0):
            highest[number] = high * each
    paid_in = {currency: float(rate) for currency, rate in (*rates.worth, (rates.base, Decimal(1)))}
    for part, currency, low, high in costs_ever(shop.session):
        if (each := paid_in.get(currency)) and (number := normal(part)) in lowest:
            lowest[number] = min(low * each, lowest[number])
            highest[number] = max(high * each, highest[number])
    apart = {number for number, low in lowest.items() if not low or highest.get(number, 0.0) / low > FAR_OFF * _NEARLY}
    return apart | {one.normal_number for one in shop.confirmed_prices}


def _worths(shop: Shop, rates: Rates) -> WorthOf:
    """What one unit of an offer's currency comes to without the tax in it."""
    tax = tax_inside(shop)

    def worth(offer: Offer) -> Decimal | None:
        rate = rates.to_base(offer.breaks[0].price.currency) if offer.breaks else None
        return None if rate is None else rate / (1 + tax.get(offer.supplier, Decimal(0)) / 100)

    return worth


def _trusted(shop: Shop, rates: Rates, worth: WorthOf, parts: Collection[str]) -> dict[str, list[Trusted]]:
    """Normal part number to what was last paid a piece, and the prices that somebody confirmed."""
    answer = {part: [paid] for part, paid in _last_paid(shop, rates, parts).items()}
    for one in shop.confirmed_prices:
        if rate := worth(Offer(one.supplier, one.normal_number, one.breaks)):
            price = one.breaks[0].price
            said = f"{one.supplier}'s {shown(price)} was confirmed on {one.day}"
            known = Trusted(price.amount * rate, said, one.supplier, one.breaks)
            answer.setdefault(one.normal_number, []).append(known)
    return answer


def _last_paid(shop: Shop, rates: Rates, parts: Collection[str]) -> dict[str, Trusted]:
    """Normal part number to the unit cost of the lot that came last, where it is known."""
    answer: dict[str, Trusted] = {}
    for part, cost in last_costs(shop.session, parts):
        if rate := rates.to_base(cost.currency):
            answer[normal(part)] = Trusted(cost.amount * rate, f"{shown(cost)} was last paid")
    return answer
