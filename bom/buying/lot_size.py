"""Knows the lot that costs least in a year where the price falls with the quantity: what is worth buying at a time.

An order costs ``fixed`` each time; holding one piece for a year costs ``rate`` of its price, or ``holding`` in money.
Formulas: textbook (Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd edition, section 3.4; Hadley and Whitin,
1963; both from memory), held to printed answers and to scipy. Units: pieces, pieces a year, one currency throughout.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf

from bom.buying.reorder import economic_order_quantity
from bom.values.problem import Refused

Breaks = Sequence[tuple[float, float]]  # (from pieces, price each), rising; the first from 0 or 1


@dataclass(frozen=True, slots=True)
class PriceSteps:
    """What one offer asks: ``breaks``, whose price holds for every piece, or where ``incremental`` for those beyond."""

    breaks: tuple[tuple[float, float], ...]
    incremental: bool = False


@dataclass(frozen=True, slots=True)
class YearlyUse:
    """``demand`` pieces a year. Exactly one of ``rate`` (a share of the price a year) and ``holding`` is above 0."""

    demand: float
    fixed: float
    rate: float = 0.0
    holding: float = 0.0

    def __post_init__(self) -> None:
        if min(self.demand, self.fixed) <= 0 or (self.rate > 0) == (self.holding > 0):
            raise Refused("a lot size needs a demand, a cost of ordering, and either a rate or a cost of holding")

    def holding_at(self, price: float) -> float:
        return self.holding or self.rate * price


@dataclass(frozen=True, slots=True)
class Lot:
    """``pieces`` at a time, and what the year then costs: goods, ordering and holding."""

    pieces: float
    yearly_cost: float


def best_lot(use: YearlyUse, offers: Iterable[PriceSteps], most: float = inf) -> Lot | None:
    """The lot that costs least a year over several offers, of at most ``most`` pieces; None where none is so small."""
    lots = (
        lot for offer in offers for lot in (_incremental if offer.incremental else _all_units)(use, offer.breaks, most)
    )
    return min(lots, key=lambda lot: lot.yearly_cost, default=None)


def _all_units(use: YearlyUse, breaks: Breaks, most: float) -> Iterator[Lot]:
    """A lot for each break, the price reached holding for every piece.

    Within a break the free optimum sqrt(2 K D / h), brought up to the break; beyond its end the next break is better.
    """
    for (start, price), end in zip(breaks, _ends(breaks), strict=True):
        free = economic_order_quantity(use.fixed, use.demand, use.holding_at(price))
        pieces = max(min(free, most), start)
        if pieces < end and pieces <= most:
            yield Lot(pieces, yearly_cost(use, pieces, price))


def yearly_cost(use: YearlyUse, pieces: float, price: float) -> float:
    """Goods at one price, an order for every lot, and half a lot held all year."""
    return use.demand * price + use.fixed * use.demand / pieces + use.holding_at(price) * pieces / 2


def _incremental(use: YearlyUse, breaks: Breaks, most: float) -> Iterator[Lot]:
    """A lot for each break whose free optimum sqrt(2 (K + F) D / (i c)) lies in it.

    F is what the pieces before the break cost more, like a higher cost of ordering; ``rate`` must be given.
    """
    more = 0.0
    prices = [price for _, price in breaks]
    for n, ((start, price), end) in enumerate(zip(breaks, _ends(breaks), strict=True)):
        more += (prices[n - 1] - price) * start if n else 0.0
        pieces = min(economic_order_quantity(use.fixed + more, use.demand, use.rate * price), most)
        if start <= pieces < end:
            each = (more + price * pieces) / pieces
            yield Lot(pieces, yearly_cost(use, pieces, each))


def _ends(breaks: Breaks) -> list[float]:
    return [*(after for _, (after, _) in pairwise(breaks)), inf]
