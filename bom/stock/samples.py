"""What a sample says of a lot: how many pieces it is by its weight, and whether its coils are inside their limits.

A weight counts only where the scale tells pieces apart well enough; readings say nothing where no limits are stated.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal

from bom.values.finding import Outcome
from bom.values.problem import Refused


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


@dataclass(frozen=True, slots=True)
class Weighed:
    """A counting by weight, all in grams: ``gross`` with what it lies in (``tare``), and a counted sample.

    ``sample`` pieces weigh ``sample_grams`` (without tare); ``step`` is the scale's smallest step.
    """

    gross: Decimal
    sample: int
    sample_grams: Decimal
    tare: Decimal = Decimal(0)
    step: Decimal = Decimal("0.1")

    @property
    def net(self) -> Decimal:
        return self.gross - self.tare


def pieces(weighed: Weighed) -> int:
    """The number of pieces. Refused where half a piece more or less would weigh the same on this scale.

    A reading is off by up to half a step. That of the sample counts once for every sample in the heap, that of the
    heap once (propagation of a greatest error; worked by hand).
    """
    _must_weigh(weighed)
    each = weighed.sample_grams / weighed.sample
    count = (weighed.net / each).to_integral_value(ROUND_HALF_UP)
    if _doubt(weighed, each) + abs(weighed.net / each - count) >= Decimal("0.5"):
        raise Refused(_unsure(weighed, each))
    return int(count)


def _must_weigh(weighed: Weighed) -> None:
    if weighed.sample < 1 or weighed.sample_grams <= 0 or weighed.step <= 0:
        raise Refused("expected a sample of 1 piece or more, and weights above 0 g")
    if weighed.net < 0:
        raise Refused(f"{weighed.gross} g with its container is less than the container, {weighed.tare} g")


def _doubt(weighed: Weighed, each: Decimal) -> Decimal:
    """How many pieces the count may be off by."""
    half = weighed.step / 2
    return weighed.net / each * half / weighed.sample_grams + half / each


def _unsure(weighed: Weighed, each: Decimal) -> str:
    about = weighed.net / each
    left = Decimal("0.5") - weighed.step / 2 / each
    said = f"{about:.1f} pieces, give or take {_doubt(weighed, each):.1f}: that cannot tell one piece from the next; "
    if left <= 0:
        return said + f"one piece of {each:.3f} g is too light for a scale with steps of {weighed.step} g"
    larger = (about * weighed.step / 2 / each / left).to_integral_value(ROUND_FLOOR) + 1
    if larger <= weighed.sample:
        return said + "check the sample and the tare: the weight falls between two counts"
    return said + f"weigh a sample of {larger} pieces or more"
