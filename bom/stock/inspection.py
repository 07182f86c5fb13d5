"""Knows what a sample's coil readings say about a lot: passed, failed, or nothing where no limits are stated."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bom.values.finding import Outcome


@dataclass(frozen=True, slots=True)
class Limits:
    """What a coil may read at the reference temperature, in ohms."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Inspection:
    """What was found. Only a *pass* lets the lot be picked; ``why`` names the readings and the limits."""

    outcome: Outcome
    why: str

    @property
    def holds(self) -> bool:
        return self.outcome is not Outcome.PASS


def limits_of(ohms: float | None, tolerance_pct: float | None) -> Limits | None:
    """The limits that a data sheet's ohms and tolerance set; None where either is not stated."""
    if ohms is None or tolerance_pct is None:
        return None
    spread = ohms * tolerance_pct / 100
    return Limits(ohms - spread, ohms + spread)


def inspect(readings: Sequence[float], limits: Limits | None, reference: str = "20 °C") -> Inspection:
    """Judge a sample's readings, in ohms, already converted to the ``reference`` temperature. One outside fails all."""
    said = f"coil {', '.join(f'{r:.4g}' for r in readings)} Ω at {reference}"
    if limits is None:
        return Inspection(Outcome.UNKNOWN, f"{said}; the catalogue states no ohms or no tolerance to hold it to")
    within = f"{limits.low:.4g} to {limits.high:.4g} Ω"
    out = [r for r in readings if not limits.low <= r <= limits.high]
    if out:
        return Inspection(Outcome.FAIL, f"{said}; {len(out)} of {len(readings)} outside {within}")
    return Inspection(Outcome.PASS, f"{said}; all within {within}")
