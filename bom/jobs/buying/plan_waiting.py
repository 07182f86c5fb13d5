"""A plan as whoever waits for it hears of it: what it costs so far, and how near the cheapest that is proved."""

from __future__ import annotations

from collections.abc import Callable

from bom.buying.plan_problem import SoFar, Watcher

__all__ = ["Watcher", "in_words", "watcher"]


def watcher(say: Callable[[str], None]) -> Watcher:
    """Somebody who is told in words."""
    return Watcher(lambda so_far: say(in_words(so_far)))


def in_words(so_far: SoFar) -> str:
    """Such as *470.88 GBP; none can be cheaper than 465.10 GBP (1.23 % less)*."""
    cost = f"{so_far.cost:.2f} {so_far.currency}"
    if so_far.gap is None or so_far.bound is None or so_far.bound <= 0:
        return f"{cost}; how near the cheapest is not known yet"
    bound = min(so_far.bound, so_far.cost)
    return f"{cost}; none can be cheaper than {bound:.2f} {so_far.currency} ({100 * so_far.gap:.2f} % less)"
