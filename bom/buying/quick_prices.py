"""Knows what pieces of an offer and a supplier's order come to, reckoned fast in floats, each answer remembered."""

from __future__ import annotations

from dataclasses import dataclass

from bom.buying.problem import PlanOffer, PlanSupplier

INFINITE = float("inf")
A_HAIR = 1e-9


@dataclass(slots=True)
class Priced:
    """An offer's price steps as floats, (from, listed fixed part, listed unit price); what one listed unit costs."""

    offer: PlanOffer
    steps: tuple[tuple[int, float, float], ...]
    factor: float
    surplus: float
    most: float
    known: dict[int, tuple[int, float, float]]

    def of(self, pieces: int) -> tuple[int, float, float]:
        """(pieces to order, listed goods, cost less surplus) so that this many can be used; buys up where cheaper."""
        if pieces not in self.known:
            self.known[pieces] = self._best(pieces)
        return self.known[pieces]

    def goods(self, ordered: int) -> float:
        """Listed goods of an ordered quantity."""
        fixed, unit = next((f, u) for start, f, u in reversed(self.steps) if start <= ordered or start <= 1)
        return fixed + unit * ordered

    def _best(self, pieces: int) -> tuple[int, float, float]:
        if not pieces:
            return 0, 0.0, 0.0
        starts = [pieces, *(start for start, _, _ in self.steps if start > pieces)]
        ordered = [q for start in starts if (q := self.offer.rounded_up(start)) <= self.most]
        rows = ((q, goods := self.goods(q), goods * self.factor - self.surplus * (q - pieces)) for q in ordered)
        return min(rows, key=lambda row: row[2], default=(0, 0.0, INFINITE))


def priced(offer: PlanOffer, supplier: PlanSupplier) -> Priced:
    """The offer's prices as this supplier's order pays for them."""
    steps = [(start if k else 1, float(offer.offset(k)), float(unit)) for k, (start, unit) in enumerate(offer.breaks)]
    factor, most = float(supplier.goods_factor), INFINITE if offer.most is None else offer.most
    return Priced(offer, tuple(steps), factor, float(offer.surplus_value), most, {})


class Terms:
    """What a supplier's order costs besides goods: fees, and goods of no use that reach a threshold."""

    def __init__(self, supplier: PlanSupplier) -> None:
        self.factor = float(supplier.goods_factor)
        self.fee = float(supplier.shipping_fee * supplier.shipping_factor)
        self.fixed = float(supplier.import_fee * supplier.fx_to_base + supplier.reluctance)
        self.free_from = INFINITE if supplier.free_shipping_from is None else float(supplier.free_shipping_from)
        self.minimum = float(supplier.min_order_value)

    def cost(self, goods: float) -> float:
        """Beyond the goods, for this much of them as listed; nothing where nothing is ordered."""
        if goods <= A_HAIR:
            return 0.0
        extra, lacking = self.fixed, self.minimum - goods
        if lacking > 0.0:
            extra, goods = extra + lacking * self.factor, self.minimum
        short = (self.free_from - goods) * self.factor
        if short > 0.0:
            extra += short if short < self.fee else self.fee
        return extra

    def worth_reaching(self, goods: float) -> float:
        """The threshold that is to be filled up to; 0 where none is."""
        filled = max(goods, self.minimum)
        if filled < self.free_from and (self.free_from - filled) * self.factor < self.fee:
            return self.free_from
        return self.minimum if goods < self.minimum else 0.0
