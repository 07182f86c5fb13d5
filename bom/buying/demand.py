"""Knows how a part is used: how often and how much, of which kind that makes it, and what to expect of it.

Usage comes as one number a period (a week), 0 where nothing went. Forecasts: J. D. Croston, 1972; the correction by
A. A. Syntetos and J. E. Boylan, 2005 (SBA); R. H. Teunter, A. A. Syntetos and M. Z. Babai, 2011 (TSB). Kinds and their
limits: A. A. Syntetos, J. E. Boylan and J. D. Croston, 2005. All from memory; tests hold the forecasts to scipy.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from bom.values.problem import Refused

Kind = Literal["none", "smooth", "erratic", "intermittent", "lumpy"]

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
    def kind(self) -> Kind:
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
