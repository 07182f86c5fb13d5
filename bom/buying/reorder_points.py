"""When to reorder and how much: reorder points with the method named, order-up-to levels, how long stock lasts.

How a part is used, how often and how much, decides the method. Usage comes as one number a period (a week), 0 where
nothing went. Forecasts: J. D. Croston, 1972; the correction by A. A. Syntetos and J. E. Boylan, 2005 (SBA); R. H.
Teunter, A. A. Syntetos and M. Z. Babai, 2011 (TSB). Kinds and their limits: A. A. Syntetos, J. E. Boylan and J. D.
Croston, 2005. All from memory; tests hold the forecasts to scipy.

Source of the other formulas: the usual textbook ones (Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd
edition; Stevenson, Operations Management, 14th edition; from memory). Tests hold them to printed examples and to
scipy.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from statistics import NormalDist
from typing import Literal

from bom.values.problem import Refused

Method = Literal["none", "poisson", "normal", "sba", "tsb"]

# Expected pieces during the lead time below which demand is counted piece by piece. Common practice, no source.
SLOW_BELOW = 10.0

# A use of this many pieces on average is not a piece at a time any more. Own choice.
SINGLE_BELOW = 1.5

# Silent for so many usual intervals, a part may have fallen out of use. Own choice.
SILENT_INTERVALS = 3.0


@dataclass(frozen=True, slots=True)
class Usage:
    """How a part is used and fetched: pieces a day and their spread, lead time in days and its spread.

    ``review_days`` is how long until somebody looks again (0 = every move is watched). Spreads are standard deviations.
    """

    per_day: float
    lead_days: float
    spread_per_day: float = 0.0
    spread_lead_days: float = 0.0
    review_days: float = 0.0

    @property
    def covered(self) -> float:
        """The days that stock must last once the point is passed: lead time and review time together."""
        return self.lead_days + self.review_days

    @property
    def expected(self) -> float:
        return self.per_day * self.covered

    @property
    def variance(self) -> float:
        """L s_d^2 + d^2 s_L^2 over the days covered; the textbook sum for independent days and lead times."""
        return float(self.covered * self.spread_per_day**2 + self.per_day**2 * self.spread_lead_days**2)


def method_for(usage: Usage, seen: Pattern, by_piece: bool = True) -> Method:
    """The method that fits how a part is used.

    *tsb* where it has fallen silent; *normal* where it goes often, and ten or more in a lead time; *poisson* where it
    goes piece by piece; *sba* for all else. Source of often and steady: Syntetos, Boylan and Croston, 2005; of ten, and
    of normal for fast and Poisson for slow movers: common practice, no source.
    """
    if seen.interval is None or seen.size is None:
        return "none"
    if seen.silent > SILENT_INTERVALS * seen.interval:
        return "tsb"
    if seen.kind in ("smooth", "erratic") and (usage.expected >= SLOW_BELOW or not by_piece):
        return "normal"
    return "poisson" if by_piece and seen.size < SINGLE_BELOW else "sba"


def reorder_point(method: Method, usage: Usage, service_level: float) -> int:
    """Pieces at which to order so that ``service_level`` (0.95) of the lead times pass without running out.

    The time covered is lead time and review time together. Rounded up to a whole piece.

    >>> reorder_point("poisson", Usage(per_day=0.5, lead_days=10), 0.95)
    9
    """
    if method == "none":
        return 0
    if method == "poisson":
        spread = usage.per_day**2 * usage.spread_lead_days**2
        return lumpy_reorder_point(usage.expected, usage.expected + spread, service_level)
    if method in ("sba", "tsb"):
        return lumpy_reorder_point(usage.expected, usage.variance, service_level)
    level = normal_reorder_point(
        usage.per_day, usage.spread_per_day, usage.covered, usage.spread_lead_days, service_level
    )
    # A whole number that floats miss by a hair stays that number; no test can tell one hair from another.
    return math.ceil(level - 1e-9)


def lumpy_reorder_point(mean: float, variance: float, service_level: float) -> int:
    """The least r with P(demand <= r) >= service level, for negative binomial demand.

    Poisson where the variance is no larger than the mean. Poisson demand over a gamma-distributed lead time is exactly
    this (textbook result); for lumpy demand it is the usual choice (Syntetos and Boylan, 2006). Both from memory.
    """
    _check_level(service_level)
    if mean <= 0 or variance <= mean * (1 + 1e-9):
        return poisson_reorder_point(mean, service_level)
    if mean > _MANY:  # counted in handfuls, so that the sum stays short
        handful = mean / _MANY
        return math.ceil(handful * lumpy_reorder_point(_MANY, max(variance / handful**2, _MANY * 1.01), service_level))
    size, chance = mean**2 / (variance - mean), mean / variance
    log_term = size * math.log(chance)
    pieces, reached = 0, math.exp(log_term)
    while reached < service_level and pieces < _LONGEST:
        log_term += math.log((pieces + size) / (pieces + 1)) + math.log1p(-chance)
        pieces += 1
        reached += math.exp(log_term)
    return pieces


_MANY, _LONGEST = 1000.0, 1_000_000


def poisson_reorder_point(mean: float, service_level: float) -> int:
    """The least r with P(demand <= r) >= service level, for Poisson demand of this mean in the lead time.

    >>> poisson_reorder_point(2, 0.95)
    5
    """
    _check_level(service_level)
    if mean < 0:
        raise Refused(f"expected a usage of 0 or more, found {mean}")
    pieces, chance = 0, _poisson(0, mean)
    reached = chance
    while reached < service_level and (pieces < mean or reached + chance > reached):  # floats stop adding some time
        pieces += 1
        chance = _poisson(pieces, mean)
        reached += chance
    return pieces


def normal_reorder_point(demand: float, spread: float, lead: float, lead_spread: float, service_level: float) -> float:
    """d L + z sqrt(L s_d^2 + d^2 s_L^2), unrounded; demand and spread per the unit of time of the lead."""
    _check_level(service_level)
    return demand * lead + safety_stock(demand, spread, lead, lead_spread, service_level)


def safety_stock(demand: float, spread: float, lead: float, lead_spread: float, service_level: float) -> float:
    """The part of the reorder point that is there for bad luck: z sqrt(L s_d^2 + d^2 s_L^2)."""
    z = NormalDist().inv_cdf(service_level)
    return z * math.sqrt(lead * spread**2 + demand**2 * lead_spread**2)


def order_up_to(method: Method, usage: Usage, service_level: float, lot: int = 1) -> int:
    """The level to order up to: the reorder point and a lot on top (a lot of 1 = piece for piece)."""
    return reorder_point(method, usage, service_level) + max(lot, 1)


def due(part: str, available: Decimal | int, on_order: Decimal | int, reorder_point: int, order_up_to: int) -> int:
    """Pieces to order now: 0 above the reorder point, else what lacks to the level, rounded up.

    ``available`` is on hand less reserved and held, and may be negative. Raises Refused for a level below the point.

    >>> due("TW2-12S", 4, 0, 5, 20), due("TW2-12S", 4, 2, 5, 20)
    (16, 0)
    """
    if order_up_to < reorder_point:
        raise Refused(f"{part}: expected to order up to {reorder_point} or more, found {order_up_to}")
    position = available + on_order
    return 0 if position > reorder_point else max(0, math.ceil(order_up_to - position))


def days_left(quantity: float, per_day: float) -> float | None:
    """How many days so much lasts at this use; None where nothing is used.

    >>> days_left(9, 0.5)
    18.0
    """
    return max(quantity, 0.0) / per_day if per_day > 0 else None


def economic_order_quantity(fixed_cost: float, demand: float, holding_cost: float) -> float:
    """sqrt(2 K D / h): fixed cost of an order, demand per year, cost of holding one piece for a year.

    >>> round(economic_order_quantity(8, 1200, 0.3))
    253
    """
    if fixed_cost < 0 or demand < 0 or holding_cost <= 0:
        raise Refused("expected a fixed cost and a demand of 0 or more, and a holding cost above 0")
    return math.sqrt(2 * fixed_cost * demand / holding_cost)


def _poisson(pieces: int, mean: float) -> float:
    if mean == 0:
        return 1.0 if pieces == 0 else 0.0
    return math.exp(pieces * math.log(mean) - mean - math.lgamma(pieces + 1))


def _check_level(service_level: float) -> None:
    if not 0 < service_level < 1:
        raise Refused(f"expected a service level between 0 and 1 such as 0.95, found {service_level}")


UseKind = Literal["none", "smooth", "erratic", "intermittent", "lumpy"]

INTERVAL_LIMIT, VARIATION_LIMIT = 1.32, 0.49
"""Up to 1.32 periods between uses is often; up to 0.49 squared variation of the size is steady. Source: Syntetos,
Boylan and Croston, 2005."""

SMOOTHING = 0.1
"""How much the newest use counts for. Usual between 0.05 and 0.2 for rare use (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """How a part is used: ``interval`` periods between uses on average, mean ``size`` of a use and its squared
    coefficient of variation, and periods since the last use. None where nothing was used."""

    periods: int
    uses: int
    interval: float | None
    size: float | None
    variation: float | None
    silent: int

    @property
    def kind(self) -> UseKind:
        if self.interval is None or self.variation is None:
            return "none"
        often, steady = self.interval < INTERVAL_LIMIT, self.variation < VARIATION_LIMIT
        return ("smooth" if steady else "erratic") if often else ("intermittent" if steady else "lumpy")


def pattern(series: Sequence[float]) -> Pattern:
    """What kind of usage this is; ``series`` is oldest first.

    >>> pattern([0, 0, 1, 0] * 10).kind
    'intermittent'
    """
    sizes = [used for used in series if used > 0]
    if not sizes:
        return Pattern(len(series), 0, None, None, None, len(series))
    size = sum(sizes) / len(sizes)
    spread = sum((used - size) ** 2 for used in sizes) / len(sizes)
    silent = next(n for n, used in enumerate(reversed(series)) if used > 0)
    return Pattern(len(series), len(sizes), len(series) / len(sizes), size, spread / size**2, silent)


def croston(series: Sequence[float], smoothing: float = SMOOTHING) -> float:
    """Use per period: mean size over mean interval, each smoothed only when something is used; 0 without any use."""
    size = gap = None
    since = 0
    for used in series:
        since += 1
        if used > 0:  # the first use sets the size and, counted from the start, the gap
            size = used if size is None else size + smoothing * (used - size)
            gap = float(since) if gap is None else gap + smoothing * (since - gap)
            since = 0
    return 0.0 if size is None or gap is None else size / gap


def sba(series: Sequence[float], smoothing: float = SMOOTHING) -> float:
    """Croston's forecast times 1 - smoothing/2, which takes its bias out (Syntetos and Boylan, 2005)."""
    return croston(series, smoothing) * (1 - smoothing / 2)


def tsb(series: Sequence[float], smoothing: float = SMOOTHING, chance_smoothing: float = SMOOTHING) -> float:
    """Mean size times the chance of a use, the chance smoothed every period, so that it falls while nothing is used."""
    size = None
    for used in series:
        if used > 0:
            size = used if size is None else size + smoothing * (used - size)
    return 0.0 if size is None else size * smoothed_chance(series, chance_smoothing)


def smoothed_chance(series: Sequence[float], smoothing: float = SMOOTHING) -> float:
    """The chance of a use in a period, smoothed every period; the first sets it: 1 where something was used, else 0."""
    chance = None
    for used in series:
        there = 1.0 if used > 0 else 0.0
        chance = there if chance is None else chance + smoothing * (there - chance)
    return chance or 0.0


def weeks(used: Iterable[tuple[date, Decimal]], since: date, until: date) -> tuple[float, ...]:
    """Use per whole week, oldest first, ending with the day ``until``; days before the first whole week are left out.

    Refused where the time ends before it begins.
    """
    if until < since:
        raise Refused(f"expected a time from {since} to a later day, found {until}")
    count = ((until - since).days + 1) // 7
    sums = [Decimal(0)] * count
    for day, quantity in used:
        back = (until - day).days // 7
        if day <= until and back < count:
            sums[count - 1 - back] += quantity
    return tuple(map(float, sums))
