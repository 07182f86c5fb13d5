"""The answer of the fit room: what was asked, what came of it, and its reasons, the worst first."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from bom.fit.coil_polarity import UNTOLD, CoilFeed
from bom.fit.hole_clearance import Tolerance
from bom.relays.wiring import Wiring
from bom.values.finding import Finding, Outcome, worst_first

GOES_IN = "goes in"
# Less play than this is narrow: a board within its own tolerance may then refuse the part. Source: board makers' usual
# hole-to-hole tolerance of +-0.05 mm, as in ``hole_clearance``.
NARROW_MM = 0.05


@dataclass(frozen=True, slots=True)
class FitAnswer:
    """The answer for one part in one pattern: the outcome, the best position and the reasons.

    Lengths in mm, degrees clockwise as seen from the component side; ``rotation_deg`` and ``shift_mm`` take the pins,
    seen from that side, to the holes. Nothing within 1 mm: they are None and ``assignment`` is empty.
    ``mirrored_fits`` says whether the pins would also (or only) go in seen from the other side.
    """

    outcome: Outcome
    play_mm: float | None
    rotation_deg: float | None
    shift_mm: tuple[float, float] | None
    assignment: dict[str, str]
    mirrored_fits: bool
    why: str
    findings: tuple[Finding, ...]

    def with_findings(self, more: tuple[Finding, ...]) -> FitAnswer:
        """The answer with further findings; its reason changes only where one of them is worse."""
        findings = worst_first((*self.findings, *more))
        worst = findings[0].outcome
        why = self.why if worst is self.outcome else findings[0].why
        return replace(self, outcome=worst, findings=findings, why=why)


@dataclass(frozen=True, slots=True)
class Question:
    """All that is asked of one part in one pattern besides whether its pins go in. None and empty mean not stated.

    ``dressing_mm`` is how far a leg may be bent, ``level`` of hole clearance A, B or C, ``wired`` False where only
    geometry is asked. ``awaited`` names an ``expected`` wiring that is referred to and not in the catalogue.
    """

    wiring: Wiring | None = None
    expected: Wiring | None = None
    feed: CoilFeed = UNTOLD
    dressing_mm: float = 0.0
    narrow_mm: float = NARROW_MM
    wired: bool = field(default=True)
    level: str = ""
    tolerance: Tolerance | None = None
    awaited: str = ""


def reason(ordered: tuple[Finding, ...]) -> str:
    """The worst reason; where all is well, how it goes in."""
    if ordered[0].outcome is Outcome.PASS:
        return next((f.why for f in ordered if f.check == GOES_IN), ordered[0].why)
    return ordered[0].why


def no_drawing() -> FitAnswer:
    finding = Finding(GOES_IN, Outcome.UNKNOWN, "look up or measure the pin positions: no footprint is known")
    return FitAnswer(Outcome.UNKNOWN, None, None, None, {}, False, finding.why, (finding,))
