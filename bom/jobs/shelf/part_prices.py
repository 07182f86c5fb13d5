"""What a part cost over the years, lot by lot, and what each supplier asks for it today, landed, side by side."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.shelf import PartPrices, PriceAsked, PricePaid
from bom.buying.doubtful_prices import price_at
from bom.buying.from_offers import Need, offer_ids, problem_from
from bom.buying.offer import Rates
from bom.buying.order import faults, supplier_costs
from bom.shop.names import stocked_named
from bom.shop.prices import in_own_currency, offers_for
from bom.shop.shop import Shop
from bom.stock.ledger import Lot
from bom.store.shelf import lots_of_part
from bom.values.money import Money
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def part_prices(session: Session, text: str, quantity: int = 1) -> PartPrices:
    """A part's lots by the day they came, and its offers by what one piece costs landed, were so many ordered alone."""
    if quantity < 1:
        raise Refused(f"expected 1 piece or more, found {quantity}")
    shop = Shop(session)
    part = stocked_named(shop, text)
    rates = shop.rates_to(shop.currency)
    lots = sorted(lots_of_part(session, part), key=lambda lot: (_day(lot), lot.number))
    asked = sorted(_asked(shop, part, quantity, rates), key=_landed_first)
    return PartPrices(
        part_number=part,
        unit=shop.unit(part),
        currency=rates.base,
        rates_of=rates.day,
        wanted=quantity,
        paid=tuple(_paid(lot, rates) for lot in lots),
        asked=tuple(asked),
    )


def _day(lot: Lot) -> str:
    return lot.received.isoformat() if lot.received else ""


def _paid(lot: Lot, rates: Rates) -> PricePaid:
    cost, worth = lot.unit_cost, rates.to_base(lot.unit_cost.currency) if lot.unit_cost else None
    ours = None if cost is None or worth is None else Money.of(cost.amount * worth, rates.base)
    return PricePaid(lot.received.date() if lot.received else None, lot.supplier, lot.number, cost, ours)


def _asked(shop: Shop, part: str, quantity: int, rates: Rates) -> Iterator[PriceAsked]:
    """Each offer ordered alone: with shipping, import fee and the tax that is not got back. One that cannot be ranked
    says why, and has no price landed."""
    offers, _ = in_own_currency(offers_for(shop, [part]), shop.suppliers, rates)
    names, left_out = offer_ids(offers), dict[str, str]()
    problem, sentences = problem_from(
        [Need(part, quantity)], shop.suppliers, offers, rates,
        tax_registered=shop.settings.tax_registered, today=shop.today,
    )  # fmt: skip
    for sentence in sentences:
        name = max((n for n in names if sentence.startswith(n)), key=len, default="")
        left_out[name] = sentence.removeprefix(name).lstrip(": ")
    usable = {one.id: one for one in problem.offers}
    for name, offer in names.items():
        landed, pieces, against = None, offer.fewest, [left_out.get(name, "")]
        if (one := usable.get(name)) is not None:
            pieces = one.rounded_up(quantity)
            (cost,) = supplier_costs(problem, {name: pieces})
            landed = Money.of(cost.total / pieces, rates.base)
            against = [_alone(said, name, offer.supplier) for said in faults(problem, {name: pieces})]
        yield PriceAsked(
            supplier=offer.supplier,
            supplier_code=offer.supplier_code,
            pieces=pieces,
            listed=price_at(offer, pieces) if offer.breaks else None,
            landed=landed,
            stock=offer.stock,
            lead_days=offer.lead_days,
            valid_until=offer.valid_until,
            against="; ".join(filter(None, against)),
        )


def _alone(said: str, name: str, supplier: str) -> str:
    """What stands against an order, without the offer's or supplier's name before it: both stand in its row."""
    return said.removeprefix(f"{name}: ").removeprefix(f"{supplier}: ")


def _landed_first(one: PriceAsked) -> tuple[bool, int, str]:
    """The cheapest first, those without a price landed last."""
    return one.landed is None, one.landed.millionths if one.landed else 0, one.supplier


def draw_prices(answer: PartPrices, path: Path) -> None:
    """Write the picture of what was paid and what is asked."""
    from bom.paper.pictures.price_picture import price_picture
    from bom.paper.writing import write_text

    write_text(path, price_picture(answer))
