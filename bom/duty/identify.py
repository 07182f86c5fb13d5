"""Which relays an unmarked one on the bench may be, from its coil's ohms and whatever else was measured.

A coil's ohms leave several candidates, since tolerances overlap; all are named, with the measurement that would
tell them apart best.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from bom.duty.copper import ohms_at, operate_volts_at
from bom.relays.relay import Design, Relay

USUAL_REFERENCE_C = 20.0
"""Where coil data state no temperature; common practice, no source (some makers use 23 or 25)."""

USUAL_TOLERANCE_PCT = 10.0
"""Where coil data state no tolerance; common practice, no source."""

SIZE_SLACK_MM = 0.5
"""How far a body measured with a caliper may be off its drawing; common practice, no source."""

LEAST_CLICK_SHARE = 0.4
"""A sound relay does not click below this share of its stated (highest) operate volts; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Seen:
    """What else was measured or read, None or empty = not: body in mm, pins, volts at which it clicked, print."""

    length_mm: float | None = None
    width_mm: float | None = None
    height_mm: float | None = None
    pins: int | None = None
    click_volts: float | None = None
    print_text: str = ""


@dataclass(frozen=True, slots=True)
class Candidate:
    """One relay it may be: how far its coil is off the reading (share), and what had to be assumed."""

    design: Design
    off: float
    assumed: tuple[str, ...] = ()

    @property
    def relay(self) -> Relay:
        return self.design.relay


@dataclass(frozen=True, slots=True)
class Identification:
    """The reading at 20 °C, every candidate with the nearest first, and what to measure next (empty = nothing)."""

    ohms_at_20: float
    candidates: tuple[Candidate, ...]
    measure_next: str


def identify(ohms: float, at_c: float, relays: Iterable[Design | Relay], seen: Seen | None = None) -> Identification:
    """Every relay whose coil may read ``ohms`` at ``at_c`` degrees Celsius and that agrees with what else was seen."""
    designs = (r if isinstance(r, Design) else Design(r, None, None) for r in relays)
    others = seen or Seen()
    found = [c for d in designs if (c := _candidate(d, ohms, at_c)) and _agrees(c.design, others, at_c)]
    ranked = tuple(sorted(found, key=lambda c: (abs(c.off), c.relay.part_number)))
    return Identification(ohms_at(ohms, at_c, 20.0), ranked, measure_next(ranked, others))


def _candidate(design: Design, ohms: float, at_c: float) -> Candidate | None:
    relay = design.relay
    if not relay.coil_ohms:
        return None
    reference = USUAL_REFERENCE_C if relay.coil_ref_temp_c is None else relay.coil_ref_temp_c
    tolerance = USUAL_TOLERANCE_PCT if relay.coil_ohms_tol_pct is None else relay.coil_ohms_tol_pct
    off = ohms_at(ohms, at_c, reference) / relay.coil_ohms - 1
    return Candidate(design, off, _assumed(relay)) if abs(off) <= tolerance / 100 + 1e-9 else None


def _assumed(relay: Relay) -> tuple[str, ...]:
    said = []
    if relay.coil_ref_temp_c is None:
        said.append(f"coil data taken at {USUAL_REFERENCE_C:g} °C")
    if relay.coil_ohms_tol_pct is None:
        said.append(f"coil tolerance taken as {USUAL_TOLERANCE_PCT:g} %")
    return tuple(said)


def _agrees(design: Design, seen: Seen, at_c: float) -> bool:
    """Only a stated value can contradict: what the catalogue leaves out keeps the candidate in."""
    relay = design.relay
    return (
        _size_agrees(relay, seen)
        and seen.pins in (None, pin_count(design) or seen.pins)
        and _click_agrees(relay, seen.click_volts, at_c)
        and _print_agrees(relay, seen.print_text)
    )


def pin_count(design: Design) -> int | None:
    return None if design.footprint is None else len(design.footprint.pins)


def _size_agrees(relay: Relay, seen: Seen) -> bool:
    """Length and width may have been taken either way round."""
    flat = _sides_agree((seen.length_mm, seen.width_mm), (relay.body_length_mm, relay.body_width_mm))
    turned = _sides_agree((seen.width_mm, seen.length_mm), (relay.body_length_mm, relay.body_width_mm))
    return (flat or turned) and _near(seen.height_mm, relay.body_height_mm)


def _sides_agree(measured: tuple[float | None, ...], stated: tuple[float | None, ...]) -> bool:
    return all(map(_near, measured, stated))


def _near(measured: float | None, stated: float | None) -> bool:
    return measured is None or stated is None or abs(measured - stated) <= SIZE_SLACK_MM


def _click_agrees(relay: Relay, click: float | None, at_c: float) -> bool:
    """It clicks at or below its stated operate volts, which are a maximum, but not far below."""
    if click is None or relay.operate_volts is None:
        return True
    reference = USUAL_REFERENCE_C if relay.coil_ref_temp_c is None else relay.coil_ref_temp_c
    most = operate_volts_at(relay.operate_volts, reference, at_c)
    return LEAST_CLICK_SHARE * most <= click <= most


def _print_agrees(relay: Relay, text: str) -> bool:
    """The characters that could be read occur in the part number, spaces and hyphens aside."""
    return _bare(text) in _bare(relay.part_number)


def _bare(text: str) -> str:
    return "".join(c for c in text.upper() if c.isalnum())


def measure_next(candidates: tuple[Candidate, ...], seen: Seen) -> str:
    """The measurement not yet made that splits the candidates into most groups; the print where none does."""
    if len(candidates) < 2:
        return ""
    asks = [
        (ask, len({of(c.design) for c in candidates} - {None})) for ask, done, of in _MEASUREMENTS if not done(seen)
    ]
    ask, groups = max(asks, key=lambda row: row[1], default=("", 0))
    return ask if groups > 1 else "what is printed on it, or what else the board's other relays are"


_MEASUREMENTS: tuple[tuple[str, Callable[[Seen], bool], Callable[[Design], object]], ...] = (
    ("the volts at which it clicks", lambda s: s.click_volts is not None, lambda d: d.relay.operate_volts),
    ("the number of pins", lambda s: s.pins is not None, pin_count),
    ("the body's height, mm", lambda s: s.height_mm is not None, lambda d: d.relay.body_height_mm),
    ("the body's length, mm", lambda s: s.length_mm is not None, lambda d: d.relay.body_length_mm),
    ("the body's width, mm", lambda s: s.width_mm is not None, lambda d: d.relay.body_width_mm),
)
