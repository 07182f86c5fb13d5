"""Which published ratings of a contact may be used for a load, and how many amps they give at its volts.

An AC figure never serves DC, nor DC AC; make and break are read apart; between two published DC points the amps
lie on a straight line in log-log, and beyond the highest published volts there is nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import exp, log

from bom.boards.board import Function, Load
from bom.relays.relay import Rating, SupplyKind


@dataclass(frozen=True, slots=True)
class Offer:
    """The amps published for one kind of load at the load's volts, and the line (or two lines) they come from."""

    kind: str
    amps: float
    rating: Rating
    interpolated: bool = False

    @property
    def source(self) -> str:
        """The published line, and that it was read between two points where it was."""
        line = self.rating.source or f"rating of {self.rating.applies_to}"
        return f"{line}, log-log between two published DC points" if self.interpolated else line

    @property
    def words(self) -> str:
        return f"{self.amps:.3g} A {self.kind} at {self.rating.volts:g} V {self.rating.supply.upper()}"


def usable(ratings: Iterable[Rating], function: Function) -> tuple[Rating, ...]:
    """The ratings for this function's contact and kind of supply, whatever their load and volts."""
    return tuple(r for r in ratings if r.covers(function.contact) and r.supply is function.load.supply)


def offer_for(ratings: Iterable[Rating], kind: str, load: Load) -> Offer | None:
    """The most amps published for this kind of load at the load's volts or above, or None."""
    lines = [r for r in ratings if r.load == kind and r.amps is not None and _as_hard(r, load)]
    return max(_offers(lines, kind, load), key=lambda offer: offer.amps, default=None)


def _offers(lines: list[Rating], kind: str, load: Load) -> list[Offer]:
    at_least = [r for r in lines if load.volts is not None and r.volts >= load.volts]
    direct = [Offer(kind, r.amps or 0.0, r) for r in at_least]
    return direct + (_between(lines, at_least, kind, load) if load.supply is SupplyKind.DC else [])


def _between(lines: list[Rating], at_least: list[Rating], kind: str, load: Load) -> list[Offer]:
    """One read between the nearest published volts below and above; the lower of the amps where a point repeats."""
    below = [r for r in lines if load.volts is not None and r.volts < load.volts]
    if not below or not at_least or not load.volts:
        return []
    low_volts, high_volts = max(r.volts for r in below), min(r.volts for r in at_least)
    low = min((r for r in below if r.volts == low_volts), key=lambda r: r.amps or 0.0)
    high = min((r for r in at_least if r.volts == high_volts), key=lambda r: r.amps or 0.0)
    amps = amps_between((low.volts, low.amps or 0.0), (high.volts, high.amps or 0.0), load.volts)
    return [Offer(kind, amps, high, interpolated=True)] if amps else []


def amps_between(low: tuple[float, float], high: tuple[float, float], volts: float) -> float:
    """Amps at ``volts`` on the log-log line through two (volts, amps) points; nought where a point is not positive."""
    if min(*low, *high, volts) <= 0 or low[0] == high[0]:
        return 0.0
    share = (log(volts) - log(low[0])) / (log(high[0]) - log(low[0]))
    return exp(log(low[1]) + share * (log(high[1]) - log(low[1])))


def _as_hard(rating: Rating, load: Load) -> bool:
    """A line tested with a shorter time constant, or a better power factor, than the load's does not speak for it."""
    easier_dc = rating.lr_ms is not None and load.lr_ms is not None and load.lr_ms > rating.lr_ms
    easier_ac = (
        rating.power_factor is not None and load.power_factor is not None and load.power_factor < rating.power_factor
    )
    return not (easier_dc or easier_ac)


def making_amps(ratings: Iterable[Rating], load: Load) -> float:
    """The most this contact is published to make at the load's volts: for the load, its inrush, or resistive."""
    lines = [r for r in ratings if _reaches(r, load) and r.load in (load.kind, "resistive")]
    return max((max(r.amps or 0.0, r.inrush_amps or 0.0) for r in lines), default=0.0)


def carry_lines(ratings: Iterable[Rating], load: Load) -> tuple[Rating, ...]:
    """The lines that state a current the closed contact carries for a time."""
    return tuple(r for r in ratings if _reaches(r, load) and r.carry_amps is not None)


def _reaches(rating: Rating, load: Load) -> bool:
    return load.volts is not None and rating.volts >= load.volts
