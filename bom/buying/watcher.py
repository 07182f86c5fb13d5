"""Knows who waits for a plan: they hear of every better order and bound, and may say that the best so far will do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bom.solver.program import gap_between


@dataclass(frozen=True, slots=True)
class SoFar:
    """How a plan stands while it is being made: its cost and what no order can be cheaper than, in ``currency``."""

    cost: float
    bound: float | None
    currency: str

    def after(self, before: SoFar | None) -> SoFar:
        """The best of both: what was found and proved before stays so."""
        if before is None:
            return self
        bounds = [b for b in (self.bound, before.bound) if b is not None]
        return SoFar(min(self.cost, before.cost), max(bounds, default=None), self.currency)

    @property
    def gap(self) -> float | None:
        """The share of the cost that a better order could save at most; None before anything is proved."""
        return None if self.bound is None else gap_between(self.cost, min(self.bound, self.cost))


def nobody(so_far: SoFar) -> None:
    """Nobody wants to hear."""


@dataclass(slots=True)
class Watcher:
    """``hear`` is told how the plan stands; once ``enough`` is set, the plan ends with the best order so far."""

    hear: Callable[[SoFar], None] = nobody
    enough: bool = False
