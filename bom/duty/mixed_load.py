"""A load of several kinds on one contact: the whole of it as its dominant kind, and every kind by itself.

Source of the whole: Caltrans, electrical quality standard 8: for mixed loads use the dominant load type. Dominant is
taken here as the kind that draws most at switching on by the rule in use: common practice, no source. A kind that no
line is published for and that the rule is silent on is unknown, however small.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from bom.boards.board import Function, Load
from bom.duty.margins import held, known, unknown
from bom.duty.published_ratings import PublishedAmps, best_offer
from bom.duty.rules import Rule
from bom.relays.relay import Rating
from bom.values.finding import Finding, Outcome

MIXED_SOURCE = "mixed loads by the dominant kind: Caltrans, electrical quality standard 8"
ROUNDED = 0.02
"""How far shares as they are read off a meter may add up to less than the whole."""


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
    return rule.times(kind, load.volts or 0.0, load.power_factor, load.supply)


def shares_of(function: Function) -> Iterator[Function]:
    """Each kind of the load by itself, at its own amps. What the whole starts and stalls with is not any share's."""
    load = function.load
    if not load.mixed:
        return
    alone = replace(
        load, mixed=(), stall_amps=None, stall_seconds=None, inrush_amps=None, reversing=False, stops_at_end=False
    )
    for kind, amps in load.mixed:
        if amps > 0:
            own = replace(alone, kind=kind, amps=amps)
            yield replace(function, name=f"{function.name}, {kind} share", load=own, solved=None)


def rest_of(function: Function) -> Iterator[Finding]:
    """Amps of the whole that none of its shares accounts for."""
    load = function.load
    shares, whole = sum(amps for _, amps in load.mixed), load.amps or 0.0
    if load.mixed and whole > shares * (1 + ROUNDED):
        why = f"its shares add up to {shares:.3g} A of {whole:.3g} A"
        yield unknown(f"shares, {function.name}", {"the kind of the rest": None}, why)


@dataclass(frozen=True, slots=True)
class Share:
    """One kind with its amps, what they are multiplied by (None = the rule is silent), and the line that bears them."""

    kind: str
    amps: float
    times: float | None
    line: PublishedAmps

    @property
    def part(self) -> float:
        """The part that it takes of what its line gives."""
        return self.amps * known(self.times) / self.line.amps

    @property
    def words(self) -> str:
        times = "" if self.times == 1 else f" times {self.times:g}"
        return f"{self.kind} {self.amps:g} A{times} of {self.line.words}"


def start_of_all(
    function: Function, lines: tuple[Rating, ...], offer: PublishedAmps, hottest: float | None, rule: Rule
) -> Finding:
    """All shares at once: each takes its part of what its own line gives, together no more than all of it.

    What those that are known take already may refuse it. That parts of several lines add is common practice, no source.
    """
    check = f"start, {function.name}"
    shares = [_share(share, lines, hottest, rule) for share in shares_of(function)]
    silent, stated = [s for s in shares if isinstance(s, str)], [s for s in shares if isinstance(s, Share)]
    if stated:
        together = _together(check, stated, offer, f"{rule.cited}; {MIXED_SOURCE}; {offer.source}")
        if not silent or together.outcome is Outcome.FAIL:
            return together
    why = f"neither a line nor the {rule.cited} speaks of {' and '.join(silent)} at {function.load.volts:g} V"
    return unknown(check, {f"{silent[0]} rating, or the measured inrush": None}, why)


def _share(share: Function, lines: tuple[Rating, ...], hottest: float | None, rule: Rule) -> Share | str:
    load = share.load
    line = best_offer(lines, load, hottest)
    times = 1.0 if line is not None and line.covers else _times(rule, load.kind, load)
    return load.kind if line is None or times is None else Share(load.kind, known(load.amps), times, line)


def _together(check: str, shares: Sequence[Share], offer: PublishedAmps, source: str) -> Finding:
    used = sum(share.part for share in shares)
    said = ", ".join(share.words for share in shares)
    if len({share.line.amps for share in shares}) == 1:
        why = f"{said}: {used * offer.amps:.3g} A together"
        return held(check, used * offer.amps, offer.amps, "A", why, source)
    return held(check, 100 * used, 100.0, "%", f"{said}: together {100 * used:.0f} % of what they bear", source)
