"""What it is taken to cost to have pieces later, for those above a part's reorder point, which can wait.

A piece that is not ordered now comes with a later order of the part. That is taken to come to what the part costs from
the supplier who is cheapest for all of it, with that order's shipping and fee, for each piece wanted; and a tenth more,
for the nuisance of a level that is not filled. Where an offer's minimum or packs give more than the part uses up
sensibly, only the share of the pieces wanted counts, so that nobody fills a drawer for years to fill a level today.
Source: common practice, no source; the tenth and the limits are own choice.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from bom.buying.plan_problem import ZERO, PlanNeed, PlanOffer, PlanProblem, PlanSupplier, fills

A_TENTH_MORE = Decimal("1.1")
TOO_LONG_DAYS = 365  # pieces that last no longer are not too many
TOO_MANY = 2  # nor are so many times what is wanted, however long they last
CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Waiting:
    """A piece later comes to ``each``, in the base currency. ``least`` is how many the offer that says so gives, and
    ``days`` how long they last; 0 pieces where they are not too many, None days where nothing is used."""

    each: Decimal
    least: int = 0
    days: float | None = None


def waiting(problem: PlanProblem, need: PlanNeed, per_day: float) -> Waiting:
    """For a need whose part is used so much a day; without an offer a piece later costs nothing."""
    if not need.demand:
        return Waiting(ZERO)
    suppliers = {s.id: s for s in problem.suppliers}
    ways = [_way(o, suppliers[o.supplier], need.demand, per_day) for o in problem.offers if fills(o, need)]
    if not ways:
        return Waiting(ZERO)
    # the best way that does not give too many, if there is one
    best = min(ways, key=lambda way: (bool(way.least), way.each))
    worth = max(
        (o.surplus_value for o in problem.offers if fills(o, need)), default=ZERO
    )  # no piece left over is dearer
    each = max(best.each * A_TENTH_MORE, worth).quantize(CENT, ROUND_CEILING)
    return Waiting(each, best.least, best.days)


def _way(offer: PlanOffer, supplier: PlanSupplier, wanted: int, per_day: float) -> Waiting:
    pieces = offer.rounded_up(wanted)
    cost = alone(offer, supplier, pieces)
    days = pieces / per_day if per_day > 0 else None
    if pieces <= TOO_MANY * wanted or (days is not None and days <= TOO_LONG_DAYS):
        return Waiting(cost / wanted)
    return Waiting(cost / pieces, pieces, days)


def alone(offer: PlanOffer, supplier: PlanSupplier, pieces: int) -> Decimal:
    """What an order of so many pieces and nothing else costs, filled up to the minimum order, in the base currency."""
    goods = max(offer.goods(pieces), supplier.min_order_value)
    free = supplier.free_shipping_from is not None and goods >= supplier.free_shipping_from
    shipping = ZERO if free else supplier.shipping_fee
    fees = shipping * supplier.shipping_factor + supplier.import_fee * supplier.fx_to_base
    return goods * supplier.goods_factor + fees
