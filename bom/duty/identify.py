"""Which relays an unmarked one on the bench may be, from its coil's ohms and whatever else was measured.

A coil's ohms leave several candidates, since tolerances overlap; all are named, nearest first, then those that miss in
one thing only, then the measurement that would leave the fewest of them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass, replace
from math import dist
from operator import eq
from typing import Any, NamedTuple

from bom.duty.bench_pins import Grid, joined_at_rest
from bom.duty.bench_reading import (
    LEAST_CLICK_SHARE,
    USUAL_REFERENCE_C,
    USUAL_TOLERANCE_PCT,
    Compared,
    Seen,
    centres,
    coil_reading,
    compare,
    grids_alike,
    near,
    off_by,
    pin_count,
    tolerance,
)
from bom.duty.coil_heat import ohms_at
from bom.duty.margins import ROUNDING
from bom.relays.relay import Design, Relay, Suppression

NEAR_TIMES = 2.0
"""Times its tolerance by which a coil may be off and still be named as a near miss: common practice, no source."""

NEAR_MISSES = 5

TYPICAL_CLICK_SHARE = 0.7
"""Where a sound relay usually clicks, as a share of its stated highest operate volts: common practice, no source."""

COMPARED_AT_MOST = 150  # no test can: any number of candidates that many tells which measurement is best
"""Candidates, the nearest, among which the next measurement is weighed."""


@dataclass(frozen=True, slots=True)
class Possibility:
    """One relay it may be: how far its coil is off the reading (share; None = the coil told nothing), what fits, and
    what had to be assumed."""

    design: Design
    off: float | None
    assumed: tuple[str, ...] = ()
    compared: tuple[Compared, ...] = ()

    @property
    def relay(self) -> Relay:
        return self.design.relay

    @property
    def misses(self) -> tuple[Compared, ...]:
        return tuple(c for c in self.compared if c.fits is False)

    @property
    def fits(self) -> tuple[Compared, ...]:
        return tuple(c for c in self.compared if c.fits)


@dataclass(frozen=True, slots=True)
class Telling:
    """A measurement not yet made, and how many candidates it would leave on average."""

    ask: str
    left: float


@dataclass(frozen=True, slots=True)
class Identification:
    """The reading at 20 °C, every candidate with the best first, those that miss in one thing, what to measure next."""

    ohms_at_20: float | None
    candidates: tuple[Possibility, ...]
    measure_next: str
    near_misses: tuple[Possibility, ...] = ()
    telling: tuple[Telling, ...] = ()


def identify(
    ohms: float | None, at_c: float, relays: Iterable[Design | Relay], seen: Seen | None = None
) -> Identification:
    """Every relay whose coil may read ``ohms`` at ``at_c`` degrees Celsius and that agrees with what else was seen.

    Ohms None = the coil is open or was not measured: then every relay that agrees with the rest. ValueError where
    copper's line ends.
    """
    others = replace(seen or Seen(), coil_silent=ohms is None)
    designs = (r if isinstance(r, Design) else Design(r, None, None) for r in relays)
    weighed = [c for d in designs if (c := _candidate(d, ohms, at_c, others))]
    good = tuple(sorted((c for c in weighed if not c.misses), key=_rank))
    missed = sorted((c for c in weighed if len(c.misses) == 1 and c.misses[0].near), key=_rank)[:NEAR_MISSES]
    asks = telling(good, others)
    reading = None if ohms is None else ohms_at(coil_reading(ohms, others.ohms_other_way), at_c, 20.0)
    return Identification(reading, good, measure_next(good, asks), tuple(missed), asks)


def _rank(candidate: Possibility) -> tuple[object, ...]:
    """Most that fits first, then the nearest coil."""
    return -len(candidate.fits), abs(candidate.off or 0.0), candidate.relay.part_number, candidate.relay.maker


def _candidate(design: Design, ohms: float | None, at_c: float, seen: Seen) -> Possibility | None:
    """The relay with every comparison; None where its coil is not stated, or too far off even for a near miss."""
    relay = design.relay
    if ohms is None:
        return Possibility(design, None, (), compare(design, None, at_c, seen))
    off = off_by(relay, coil_reading(ohms, seen.ohms_other_way), at_c)
    if off is None or abs(off) > NEAR_TIMES * tolerance(relay) + ROUNDING:
        return None
    return Possibility(design, off, _assumed(relay), compare(design, ohms, at_c, seen))


def _assumed(relay: Relay) -> tuple[str, ...]:
    said = []
    if relay.coil_ref_temp_c is None:
        said.append(f"coil data taken at {USUAL_REFERENCE_C:g} °C")
    if relay.coil_ohms_tol_pct is None:
        said.append(f"coil tolerance taken as {USUAL_TOLERANCE_PCT:g} %")
    return tuple(said)


def measure_next(candidates: tuple[Possibility, ...], asks: tuple[Telling, ...]) -> str:
    """The most telling measurement not yet made; the print where none tells, nothing where there is nothing to tell."""
    if len(candidates) < 2:
        return ""
    return asks[0].ask if asks else "what is printed on it, or what else the board's other relays are"


def telling(candidates: tuple[Possibility, ...], seen: Seen) -> tuple[Telling, ...]:
    """The measurements that would leave fewer candidates, best first; of near equals the easier to make."""
    few = [c.design for c in candidates[:COMPARED_AT_MOST]]
    left = [Telling(m.ask, _left(few, m)) for m in _MEASUREMENTS if not m.made(seen)]
    return tuple(sorted((t for t in left if t.left < len(few)), key=lambda t: round(t.left)))


class _Measurement(NamedTuple):
    """What to ask, whether that was done, what it would show of a relay (None = not known), and whether two showings
    would be taken for one another: the true relay's first."""

    ask: str
    made: Callable[[Seen], bool]
    shown: Callable[[Design], Hashable]
    alike: Callable[[Any, Any], bool] = eq


def _left(designs: Iterable[Design], measurement: _Measurement) -> float:
    """Were each in turn the true one: how many would still agree, on average. What is not known agrees with all."""
    times = Counter(map(measurement.shown, designs))
    alike = (n * m for a, n in times.items() for b, m in times.items() if None in (a, b) or measurement.alike(a, b))
    return sum(alike) / max(1, times.total())


def _grid(design: Design) -> Grid | None:
    return None if design.footprint is None else centres(design.footprint)


def _clicks_alike(true: float, other: float) -> bool:
    """Would the other, too, be thought of by its operate volts, where the true one clicks as it usually does?"""
    return LEAST_CLICK_SHARE * other <= TYPICAL_CLICK_SHARE * true <= other


def _rest_joins(design: Design) -> tuple[tuple[int, ...], ...] | None:
    """How many pins the wiring joins at rest, group by group; a relay that latches may answer either way."""
    stated = joined_at_rest(design)
    return None if stated is None or len(stated) > 1 else (tuple(sorted(map(len, stated[0]))),)


def _coils_alike(ours: tuple[float, ...], theirs: tuple[float, ...]) -> bool:
    """Whether the coils of the two lie between pins as far apart."""
    return len(ours) == len(theirs) and all(near(a, b) for a, b in zip(ours, theirs, strict=True))


def _coil_spans(design: Design) -> tuple[float, ...] | None:
    if design.footprint is None or design.wiring is None:
        return None
    places = {p.name: (p.x_mm, p.y_mm) for p in design.footprint.pins}
    coils = (c for c in design.wiring.coils if {*c.pins} <= places.keys())
    return tuple(sorted(dist(places[c.from_pin], places[c.to_pin]) for c in coils))


def _has_diode(design: Design) -> bool | None:
    own = design.relay.coil_suppression
    return None if own is None else own is Suppression.DIODE


_MEASUREMENTS = (
    _Measurement("the number of pins", lambda s: s.pins is not None, pin_count),
    _Measurement("the body's height, mm", lambda s: s.height_mm is not None, lambda d: d.relay.body_height_mm, near),
    _Measurement("the body's length, mm", lambda s: s.length_mm is not None, lambda d: d.relay.body_length_mm, near),
    _Measurement("the body's width, mm", lambda s: s.width_mm is not None, lambda d: d.relay.body_width_mm, near),
    _Measurement(
        "the coil's ohms with the meter's leads exchanged",
        lambda s: s.coil_silent or s.ohms_other_way is not None,
        _has_diode,
    ),
    _Measurement(
        "the volts at which it clicks",
        lambda s: s.coil_silent or s.click_volts is not None,
        lambda d: d.relay.operate_volts,
        _clicks_alike,
    ),
    _Measurement("where its pins are, mm", lambda s: bool(s.grid), _grid, grids_alike),
    _Measurement("which pins are joined at rest", lambda s: s.joined is not None, _rest_joins),
    _Measurement(
        "which two pins the coil lies between",
        lambda s: s.coil_silent or s.coil_pins is not None,
        _coil_spans,
        _coils_alike,
    ),
)
"""The easier to make come first."""
