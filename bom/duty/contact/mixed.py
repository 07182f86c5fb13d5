"""A load of several kinds on one contact: which kind counts, and what they draw together at switching on.

Source: Caltrans, electrical quality standard 8: for mixed loads use the dominant load type. Dominant is taken here as
the share that draws most at switching on by the rule in use: common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

from bom.boards.board import Load
from bom.duty.figures.rule import Rule
from bom.duty.margins import known

SOURCE = "mixed loads by the dominant kind: Caltrans, electrical quality standard 8"


def as_dominant(load: Load, rule: Rule) -> Load:
    """The load under its dominant kind, with the amps of all its shares; a load of one kind as it is."""
    if not load.mixed:
        return load
    kind, _ = max(load.mixed, key=lambda share: share[1] * (_times(rule, share[0], load) or 1.0))
    shares = sum(amps for _, amps in load.mixed)
    return replace(load, kind=kind, amps=shares if load.amps is None else max(load.amps, shares))


def peak_by_rule(load: Load, rule: Rule) -> float | None:
    """All shares at switching on together, in amps; None where the rule is silent on one of them."""
    times = [(amps, _times(rule, kind, load)) for kind, amps in load.mixed]
    return None if any(t is None for _, t in times) else sum(amps * known(t) for amps, t in times)


def _times(rule: Rule, kind: str, load: Load) -> float | None:
    # Volts that nobody states are taken as 0; no test can tell that from 0.1 V, both being a 12 V system.
    return rule.times(kind, load.volts or 0.0, supply=load.supply)
