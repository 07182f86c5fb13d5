"""Hole clearance: how much wider than its lead a hole must be, and what a board's tolerances take of the play."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from math import hypot, sqrt

from bom.boards.board import Hole, HolePattern
from bom.fit.placement import Placement
from bom.relays.footprint import Footprint, Pin
from bom.values.finding import Finding, Outcome

HOLE = "hole clearance"
TOLERANCE = "board tolerance"

# Smallest finished hole = largest lead + this, in mm. Source: IPC-2222, Sectional Design Standard for Rigid
# Organic Printed Boards, levels A, B, C, from memory; a flat lead counts by its corner-to-corner diagonal.
LEVELS: Mapping[str, float] = {"A": 0.25, "B": 0.20, "C": 0.15}
LEVEL_SOURCE = "IPC-2222, smallest finished hole over largest lead (from memory)"
TOLERANCE_SOURCE = "one board maker's published limits: finished hole +-0.075 mm, hole to hole +-0.05 mm"
_ROUNDING_MM = 1e-6  # forgives rounding; a tenth of it is far below what anyone measures: no test can tell
# An inch grid over a metric one: 2.54 / 2.50 (arithmetic). Half of the difference tells them from a true copy.
_INCH_OVER_METRIC = 2.54 / 2.50
_HALF_WAY = (_INCH_OVER_METRIC - 1.0) / 2


class Stacking(StrEnum):
    """How tolerances add: all at their worst together, or as independent ones do."""

    WORST_CASE = "worst case"
    ROOT_SUM_SQUARE = "root-sum-square"


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Plus-or-minus limits in mm: the finished hole's diameter, its position, the lead's diameter or diagonal.

    The defaults are those of ``TOLERANCE_SOURCE``, with leads of exactly the size stated.
    """

    stacking: Stacking = Stacking.WORST_CASE
    drill_mm: float = 0.075
    position_mm: float = 0.05
    lead_mm: float = 0.0

    @property
    def allowance_mm(self) -> float:
        """What they may take of the room round one lead, in mm: diameters count by half."""
        parts = (self.drill_mm / 2, self.position_mm, self.lead_mm / 2)
        if self.stacking is Stacking.WORST_CASE:
            return sum(parts)
        return sqrt(sum(p * p for p in parts))


def tolerance_of(stacking: str, drill_mm: float | None = None, position_mm: float | None = None) -> Tolerance | None:
    """The tolerance named so (*worst case*, *root-sum-square*), published limits standing for what is None.

    None for no name; ValueError for another.
    """
    if not stacking:
        return None
    usual = Tolerance(Stacking(stacking))
    drill = usual.drill_mm if drill_mm is None else drill_mm
    return Tolerance(usual.stacking, drill, usual.position_mm if position_mm is None else position_mm)


def hole_finding(
    way: Placement, footprint: Footprint, pattern: HolePattern, level: str, tolerance: Tolerance | None = None
) -> Finding:
    """Every hole against its lead by the published rule; the tightest pin is named.

    KeyError for a level that is not A, B or C. With a tolerance the smallest hole and the largest lead count.
    """
    asked = LEVELS[level]
    required = f"holes {asked:.2f} mm wider than leads (level {level})"
    pairs = _pairs(way, footprint, pattern)
    missing = [pin.name for pin, hole in pairs if pin.lead_diameter_mm is None or hole.drill_mm is None]
    if missing:
        why = f"measure lead and hole of pin{'s' if len(missing) > 1 else ''} {', '.join(missing)}"
        return Finding(HOLE, Outcome.UNKNOWN, why, required, source=LEVEL_SOURCE)
    taken = 0.0 if tolerance is None else tolerance.drill_mm + tolerance.lead_mm
    pin, hole = min(pairs, key=lambda pair: _wider(*pair))
    left = _wider(pin, hole) - taken
    enough = left >= asked - _ROUNDING_MM
    why = f"hole {hole.name} is {left:.3f} mm wider than the lead of pin {pin.name}" + (
        "" if enough else f", {asked - left:.3f} mm less than level {level} asks: it goes in, but solder may not rise"
    )
    outcome = Outcome.PASS if enough else Outcome.CONDITION
    return Finding(HOLE, outcome, why, required, f"{left:.3f} mm", (left - asked) / asked, LEVEL_SOURCE)


def _pairs(way: Placement, footprint: Footprint, pattern: HolePattern) -> list[tuple[Pin, Hole]]:
    holes = {h.name: h for h in pattern.holes}
    return [(p, holes[way.assignment[p.name]]) for p in footprint.pins]


def _wider(pin: Pin, hole: Hole) -> float:
    """How much wider the hole is than the lead; a slot than a lead that lies along it, where it is tightest."""
    if hole.slot_mm is None or pin.lead_mm is None or hole.drill_mm is None:
        # asked only where both are stated, so no test can reach `0.0`
        return (hole.drill_mm or 0.0) - (pin.lead_diameter_mm or 0.0)
    return min(_spares(pin.lead_mm, pin.lead_width_mm, hole.drill_mm, hole.slot_mm))


def _spares(lead_mm: float, lead_width_mm: float | None, wide_mm: float, long_mm: float) -> tuple[float, float]:
    """What a slot has to spare across and along a lead that lies along it."""
    sides = sorted((lead_mm, lead_mm if lead_width_mm is None else lead_width_mm))
    return wide_mm - sides[0], long_mm - sides[1]


# Largest finished hole = smallest lead + this, in mm: wider, the solder does not bridge the gap and the joint cracks.
# Source: IPC-2222, Sectional Design Standard for Rigid Organic Printed Boards, from memory.
LOOSE_MM = 0.7
LOOSE_SOURCE = "IPC-2222, largest finished hole over smallest lead, about 0.7 mm (from memory)"
LOOSE = "loose in its hole"


def loose_finding(way: Placement, footprint: Footprint, pattern: HolePattern) -> Finding | None:
    """A condition where a hole is far wider than its lead, the widest named; None where none is known to be."""
    pairs = [(spare, p, h) for p, h in _pairs(way, footprint, pattern) if (spare := _spare(p, h)) is not None]
    if not pairs:
        return None
    spare, pin, hole = max(pairs, key=lambda pair: pair[0])
    if spare <= LOOSE_MM + _ROUNDING_MM:
        return None
    why = f"hole {hole.name} is {spare:.2f} mm wider than the lead of pin {pin.name}: the solder joint has to fill it; "
    why += "bend the leg to the hole's wall, or use a lug or a sleeve"
    required = f"at most {LOOSE_MM:g} mm"
    return Finding(LOOSE, Outcome.CONDITION, why, required, f"{spare:.2f} mm", None, LOOSE_SOURCE)


def _spare(pin: Pin, hole: Hole) -> float | None:
    """How much wider the hole is than the lead where it is widest; a slot both ways, its lead lying along it."""
    if pin.lead_mm is None or hole.drill_mm is None:
        return None
    if hole.slot_mm is None:
        return _wider(pin, hole)
    return max(_spares(pin.lead_mm, pin.lead_width_mm, hole.drill_mm, hole.slot_mm))


def tolerance_finding(way: Placement, tolerance: Tolerance) -> Finding:
    """Whether a board at the end of its tolerance still takes the part; the tightest pin and what is left."""
    left = way.play_mm - tolerance.allowance_mm
    words = f"{tolerance.stacking.value} of {tolerance.allowance_mm:.4f} mm"
    enough = left >= -_ROUNDING_MM
    why = f"pin {way.tightest} keeps {left:.4f} mm after the board's tolerances, {words}"
    if not enough:
        why = f"a board at the end of its tolerances is {-left:.4f} mm too tight at pin {way.tightest} ({words})"
    outcome = Outcome.PASS if enough else Outcome.CONDITION
    required = f"play of {tolerance.allowance_mm:.4f} mm"
    return Finding(TOLERANCE, outcome, why, required, f"{way.play_mm:.4f} mm play", source=TOLERANCE_SOURCE)


def grids(way: Placement, footprint: Footprint, pattern: HolePattern) -> str:
    """In words where the pins are on an inch grid and the holes on a metric one, or the other way about; else nothing.

    They are where the spread of the pins over that of their holes is near 1.016 or its inverse, and scaling the pins by
    that takes away most of what they are off.
    """
    pairs = _pairs(way, footprint, pattern)
    pins, holes = _centred([(p.x_mm, p.y_mm) for p, _ in pairs]), _centred([(h.x_mm, h.y_mm) for _, h in pairs])
    ours, theirs = _spread(pins), _spread(holes)
    if not ours or not theirs or not _scaling_explains(pins, holes):
        return ""
    if abs(ours / theirs - _INCH_OVER_METRIC) < _HALF_WAY:
        return "an inch grid in metric holes (2.54 against 2.50)"
    if abs(theirs / ours - _INCH_OVER_METRIC) < _HALF_WAY:
        return "a metric grid in inch holes (2.50 against 2.54)"
    return ""


def _centred(points: list[tuple[float, float]]) -> list[complex]:
    whole = [complex(*p) for p in points]
    return [p - sum(whole) / len(whole) for p in whole]


def _spread(points: list[complex]) -> float:
    """The root of the sum of squared distances from the middle."""
    return hypot(*map(abs, points))


def _scaling_explains(pins: list[complex], holes: list[complex]) -> bool:
    """Whether the best turn with scaling leaves less than half of what the best turn alone leaves (least squares)."""
    ours, theirs = _spread(pins) ** 2, _spread(holes) ** 2
    common = abs(sum(h * p.conjugate() for p, h in zip(pins, holes, strict=True)))
    # pins that all lie in one place are told by no grid beforehand, so no test can reach `0.0`
    turned, scaled = ours + theirs - 2 * common, theirs - (common**2 / ours if ours else 0.0)
    return scaled < turned / 4
