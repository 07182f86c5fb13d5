"""What level a part's past use asks for: the rate, the method that fits it, the reorder point, and how much on top.

What is worth buying at a time, where the price falls with the quantity, is the lot that costs least in a year. An
order costs ``fixed`` each time; holding one piece for a year costs ``rate`` of its price, or ``holding`` in money.
Formulas: textbook (Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd edition, section 3.4; Hadley and Whitin,
1963; both from memory), held to printed answers and to scipy. Units: pieces, pieces a year, one currency throughout.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import inf
from statistics import fmean

from bom.buying.reorder_points import (
    Method,
    Pattern,
    Usage,
    economic_order_quantity,
    method_for,
    pattern,
    reorder_point,
    sba,
    smoothed_chance,
    tsb,
)
from bom.values.problem import Refused

LEAST_LEAD_SPREAD = 0.2
"""Share of the lead time that its spread is taken to be at least. Common practice, no source."""

SHORT_HISTORY_WEEKS = 8
"""Below this many weeks a level is marked as a guess. Own choice."""

ENOUGH_DELIVERIES = 3
"""From so many deliveries on, what they took counts for more than what is promised. Own choice."""


@dataclass(frozen=True, slots=True)
class Lead:
    """Days from ordering to having it, and their spread (standard deviation); ``known_by`` says from where."""

    days: float
    spread: float
    known_by: str


@dataclass(frozen=True, slots=True)
class Wish:
    """What the shop wants: the share of lead times without running out, days between looks, days that an order is to
    last, and, where ``order_cost`` is given, lots by what an order and holding cost instead."""

    service: float = 0.95
    review_days: float = 7.0
    cover_days: float = 60.0
    order_cost: float | None = None
    holding_pct: float = 25.0


@dataclass(frozen=True, slots=True)
class LevelFromUse:
    """A level with everything that it follows from; quantities in the part's own unit."""

    point: int
    up_to: int
    method: Method
    usage: Usage
    seen: Pattern
    lead: Lead
    why: str


def lead_of(promised: Sequence[float], took: Sequence[float], usual: float) -> Lead:
    """The lead time from deliveries where there are enough, else from what suppliers state, else the ``usual`` days."""
    if len(took) >= ENOUGH_DELIVERIES:
        return _lead(took, f"{len(took)} deliveries")
    if promised:
        return _lead(promised, f"{len(promised)} offer{'s' if len(promised) > 1 else ''}")
    return _lead([usual], "no offer: the usual days")


def _lead(days: Sequence[float], known_by: str) -> Lead:
    mean = fmean(days)
    return Lead(mean, max(math.sqrt(_squares(days) / len(days)), LEAST_LEAD_SPREAD * mean), known_by)


def level_for(
    series: Sequence[float], lead: Lead, wish: Wish, *, by_piece: bool = True, offers: Sequence[PriceSteps] = ()
) -> LevelFromUse:
    """The level that this use asks for; ``series`` is use per week, oldest first; ``offers`` are for lots by cost."""
    seen = pattern(series)
    plain = Usage(_mean(series) / 7, lead.days, _spread(series), lead.spread, wish.review_days)
    method = method_for(plain, seen, by_piece)
    usage = _usage(method, plain, series, seen)
    point = reorder_point(method, usage, wish.service)
    up_to = point if method == "none" else point + lot_for(usage.per_day, wish, offers)
    return LevelFromUse(
        point, up_to, method, usage, seen, lead, _why((point, up_to), method, usage, seen, wish.service, lead)
    )


def lot_for(per_day: float, wish: Wish, offers: Sequence[PriceSteps] = ()) -> int:
    """What comes on top of the point: use of the days to cover, or the lot that costs least a year (at most a year).

    That lot weighs what an order costs against holding, and may go up to a price break.

    >>> lot_for(0.5, Wish(cover_days=60))
    30
    """
    if not wish.order_cost or not offers or per_day <= 0:
        # A whole number that floats miss by a hair stays that number; no test can tell one hair from another.
        return max(1, math.ceil(per_day * wish.cover_days - 1e-9))
    yearly = per_day * 365
    lot = best_lot(YearlyUse(yearly, wish.order_cost, wish.holding_pct / 100), offers, most=yearly)
    return max(1, round(lot.pieces if lot else yearly))


def _mean(series: Sequence[float]) -> float:
    return fmean(series) if series else 0.0


def _spread(series: Sequence[float]) -> float:
    """Per day, from weeks: days are taken as independent."""
    return math.sqrt(_squares(series) / (len(series) - 1) / 7) if len(series) > 1 else 0.0


def _squares(values: Sequence[float]) -> float:
    """The squared distances from the mean, summed: by floats, which many parts need, rounded once."""
    mean = fmean(values)
    return math.fsum((value - mean) ** 2 for value in values)


def _usage(method: Method, plain: Usage, series: Sequence[float], seen: Pattern) -> Usage:
    """Rate and spread as the method sees them."""
    if method not in ("sba", "tsb") or seen.size is None or seen.variation is None:
        return plain
    chance = smoothed_chance(series) if method == "tsb" else seen.uses / seen.periods
    weekly = tsb(series) if method == "tsb" else sba(series)
    # A week brings a use with this chance, of this size and spread: the variance of such a sum (textbook).
    spread = chance * seen.variation * seen.size**2 + chance * (1 - chance) * seen.size**2
    return replace(plain, per_day=weekly / 7, spread_per_day=math.sqrt(spread / 7))


_NAMES = {
    "none": "no use",
    "poisson": "Poisson (slow)",
    "normal": "normal (fast)",
    "sba": "Croston SBA (rare or lumpy)",
    "tsb": "TSB (falling silent)",
}


def method_name(method: Method) -> str:
    return _NAMES[method]


def _why(level: tuple[int, int], method: Method, usage: Usage, seen: Pattern, service: float, lead: Lead) -> str:
    """In plain words first, how it was worked out after them."""
    if method == "none":
        return f"nothing used in {seen.periods} weeks"
    look = f" and a look every {usage.review_days:.3g}" if usage.review_days else ""
    said = f"used about {_figure(usage.expected)} in {usage.covered:.3g} days, lead {lead.days:.3g} days{look}"
    said += f": order at {level[0]}, up to {level[1]}; {method_name(method)}, {service:.0%} without running out"
    said += f", lead ±{lead.spread:.2g} days ({lead.known_by})"
    return said + (f"; only {seen.periods} weeks known" if seen.periods < SHORT_HISTORY_WEEKS else "")


def _figure(value: float) -> str:
    # From 10 to 100 both print alike, so no test can tell where between the one ends.
    return f"{value:.0f}" if value >= 10 else f"{value:.2g}"


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
class LotSize:
    """``pieces`` at a time, and what the year then costs: goods, ordering and holding."""

    pieces: float
    yearly_cost: float


def best_lot(use: YearlyUse, offers: Iterable[PriceSteps], most: float = inf) -> LotSize | None:
    """The lot that costs least a year over several offers, of at most ``most`` pieces; None where none is so small."""
    lots = (
        lot for offer in offers for lot in (_incremental if offer.incremental else _all_units)(use, offer.breaks, most)
    )
    return min(lots, key=lambda lot: lot.yearly_cost, default=None)


def _all_units(use: YearlyUse, breaks: Breaks, most: float) -> Iterator[LotSize]:
    """A lot for each break, the price reached holding for every piece.

    Within a break the free optimum sqrt(2 K D / h), brought up to the break; beyond its end the next break is better.
    """
    for (start, price), end in zip(breaks, _ends(breaks), strict=True):
        free = economic_order_quantity(use.fixed, use.demand, use.holding_at(price))
        pieces = max(min(free, most), start)
        if pieces < end and pieces <= most:
            yield LotSize(pieces, yearly_cost(use, pieces, price))


def yearly_cost(use: YearlyUse, pieces: float, price: float) -> float:
    """Goods at one price, an order for every lot, and half a lot held all year."""
    return use.demand * price + use.fixed * use.demand / pieces + use.holding_at(price) * pieces / 2


def _incremental(use: YearlyUse, breaks: Breaks, most: float) -> Iterator[LotSize]:
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
            yield LotSize(pieces, yearly_cost(use, pieces, each))


def _ends(breaks: Breaks) -> list[float]:
    return [*(after for _, (after, _) in pairwise(breaks)), inf]
