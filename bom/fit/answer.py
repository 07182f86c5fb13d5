"""The answer about one part in one hole pattern: what was asked, what came of it, and why, in words.

The play of a placement becomes *goes in*, *narrow* or *dress the legs*; where there is no way in, the nearest miss is
named. Reasons stand the worst first.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import inf

from bom.boards.board import HolePattern
from bom.fit.coil_polarity import UNTOLD, CoilFeed
from bom.fit.connects import listed
from bom.fit.hole_clearance import Tolerance, grids
from bom.fit.measured_drawings import LAY_IT_ON, Doubt, doubt_at
from bom.fit.placement import Placement
from bom.fit.placement_cache import MISS_MM
from bom.relays.footprint import Footprint
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


_SAME_MM = 1e-5  # placements are certified to this; less is no play at all, and no test can tell a tenth of it


def goes_in(way: Placement, footprint: Footprint, pattern: HolePattern, question: Question) -> Finding:
    """Whether the play is enough, naming the tightest pin; unknown, naming them, where sizes are not stated, and where
    what was measured would have to lie otherwise than measured."""
    empty = empty_words(way, pattern, question.wired)
    if missing := unstated(way, footprint, pattern):
        why = f"measure {missing}; centres agree within {way.deviation_mm:.3f} mm{empty}"
        return Finding(GOES_IN, Outcome.UNKNOWN, why)
    offered = f"{way.play_mm:.3f} mm play"
    doubt = doubt_at(way, footprint, pattern)
    if doubt and (only_by_error(way, question) or (doubt.error_mm and doubt.sure_mm < -_SAME_MM)):
        return _doubtful(way, doubt, question, empty)
    if way.play_mm < -_SAME_MM:
        why = f"legs must be dressed by {-way.play_mm:.3f} mm: {_tight(way)}{because(way, footprint, pattern)}{empty}"
        return Finding(GOES_IN, Outcome.CONDITION, why, f"dressing of at most {question.dressing_mm:g} mm", offered)
    narrow = way.play_mm < question.narrow_mm - _SAME_MM
    grid = because(way, footprint, pattern) if narrow else ""
    why = f"{'narrow, ' if narrow else ''}{max(way.play_mm, 0.0):.3f} mm play at {_tight(way)}{grid}{empty}"
    asked = f"play of 0 mm, {question.narrow_mm:g} mm to be easy"
    return Finding(GOES_IN, Outcome.CONDITION if narrow else Outcome.PASS, why, asked, offered)


def only_by_error(way: Placement, question: Question) -> bool:
    """Whether the pins miss in this position, as drawn, by more than legs may be bent."""
    return way.play_mm < -question.dressing_mm - _SAME_MM


def _doubtful(way: Placement, doubt: Doubt, question: Question, empty: str) -> Finding:
    """What goes in as measured and may not in truth is tried first; what misses as measured and may go in: unknown."""
    pair = f"pin {doubt.pin.name} in hole {doubt.hole.name}"
    try_it = f"measured to ±{doubt.error_mm:.2f} mm: {LAY_IT_ON}, or measure {doubt.what_to_measure} "
    try_it += f"more closely{empty}"
    needed, offered = f"play of {doubt.error_mm:.3f} mm to be sure", f"{way.play_mm:.3f} mm play"
    if only_by_error(way, question):
        return Finding(GOES_IN, Outcome.UNKNOWN, f"misses by {-way.play_mm:.3f} mm, {pair} {try_it}", needed, offered)
    if way.play_mm < -_SAME_MM:
        needed = f"dressing of at most {question.dressing_mm:g} mm"
        why = f"legs must be dressed by {-way.play_mm:.3f} mm: {_tight(way)}; {pair} was {try_it}"
        return Finding(GOES_IN, Outcome.CONDITION, why, needed, offered)
    why = f"{max(doubt.play_mm, 0.0):.3f} mm play at {pair}, {try_it}"
    return Finding(GOES_IN, Outcome.CONDITION, why, needed, offered)


def _tight(way: Placement) -> str:
    return f"pin {way.tightest} in hole {way.assignment[way.tightest]}"


def empty_words(way: Placement, pattern: HolePattern, wired: bool) -> str:
    """The holes left empty; and, where only geometry is asked, that nobody proved that their nets need no pin."""
    taken = frozenset(way.assignment.values())
    empty = [h.name for h in pattern.holes if h.name not in taken]
    if not empty:
        return ""
    many = f"{len(empty)} holes stay empty ({', '.join(empty)})"
    words = f"; {many if len(empty) > 1 else f'hole {empty[0]} stays empty'}"
    if wired:
        return words
    need = "their nets need" if len(empty) > 1 else "its net needs"
    return f"{words}: whether {need} a pin is not proved without wirings"


def because(way: Placement, footprint: Footprint, pattern: HolePattern) -> str:
    """The grids, where they are why it is tight."""
    words = grids(way, footprint, pattern)
    return f"; {words}" if words else ""


def unstated(way: Placement, footprint: Footprint, pattern: HolePattern) -> str:
    """The leads and drills to measure, in words, or nothing."""
    leads = [p.name for p in footprint.pins if p.lead_mm is None]
    taken = frozenset(way.assignment.values())
    drills = [h.name for h in pattern.holes if h.drill_mm is None and h.name in taken]
    words = [listed("the lead of pin", leads), listed("the drill of hole", drills)]
    return " and ".join(filter(None, words))


def too_many_finding(footprint: Footprint, pattern: HolePattern, found: int, wired: bool) -> Finding:
    """That not every way could be tried, and what was found among those that were."""
    counts = f"{counted(len(footprint.pins), 'pin')} and {counted(len(pattern.holes), 'hole')}"
    none = "none of them connects alike" if wired else "see which of them is meant"
    tried = (
        f"{counted(found, 'way')} in {'were' if found != 1 else 'was'} found before the search was cut short; {none}"
    )
    why = f"{counts} so close together, or so many, that not every way can be tried; {tried if found else _LEAVE_OUT}"
    return Finding(GOES_IN, Outcome.UNKNOWN, why)


_LEAVE_OUT = "leave out what is not round the position, state the drills, and see that no hole is given twice"


def _thicker_than_every_hole(footprint: Footprint, pattern: HolePattern) -> str:
    """In words: a lead that goes in nowhere at all, by more than a near miss; else nothing."""
    widest = max((inf if h.drill_mm is None else h.drill_mm for h in pattern.holes), default=inf)
    leads = [(across, pin.name) for pin in footprint.pins if (across := pin.lead_diameter_mm) is not None]
    # a miss being 1 mm, no test can tell `2 * MISS_MM` from 2 over it
    if not leads or max(leads)[0] <= widest + 2 * MISS_MM:
        return ""
    across, name = max(leads)
    return f"the lead of pin {name} is {across:.3g} mm across: no hole is wider than {widest:g} mm"


def counted(number: int, thing: str) -> str:
    return f"{number} {thing}{'' if number == 1 else 's'}"


def misfit_finding(footprint: Footprint, pattern: HolePattern, near: Placement | None, mirrored_fits: bool) -> Finding:
    """Why it does not go in, with the pin that misses and by how much where it is a near miss."""
    why = _misfit_words(footprint, pattern, near, mirrored_fits)
    if near is None:
        return Finding(GOES_IN, Outcome.FAIL, why)
    return Finding(GOES_IN, Outcome.FAIL, why, "play of 0 mm", f"{near.play_mm:.3f} mm play")


def _misfit_words(footprint: Footprint, pattern: HolePattern, near: Placement | None, mirrored_fits: bool) -> str:
    if mirrored_fits:
        return "goes in only mirrored: one drawing was probably read from the other side"
    if len(footprint.pins) > len(pattern.holes):
        return f"{counted(len(footprint.pins), 'pin')} for {counted(len(pattern.holes), 'hole')}"
    if thick := _thicker_than_every_hole(footprint, pattern):
        return thick
    if near is None:
        return f"no way of putting the pins in the holes comes within {MISS_MM:g} mm"
    missed = f"pin {near.tightest} misses hole {near.assignment[near.tightest]} by {-near.play_mm:.3f} mm"
    return missed + because(near, footprint, pattern)
