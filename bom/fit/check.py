"""What the fit room answers: does this part go in here, has it room, does it connect alike, may it stand in at all.

Every placement that goes in is tried with the wiring, and the one that connects with the most play is kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache

from bom.boards.board import Hole, HolePattern, Place
from bom.fit.connects import CHECK as CONNECTS
from bom.fit.connects import ONE_WAY, coil_polarity, connects_alike
from bom.fit.registration import Placement, closest, mirrored, place
from bom.fit.room import room_findings
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.relay import CoilSystem, Design, Guided, Relay, Sealing
from bom.relays.wiring import Wiring
from bom.values.finding import Finding, Outcome, worst_first

GOES_IN = "goes in"
# Play below this is narrow. Source: usual board makers' hole-to-hole tolerance of +-0.05 mm (published capability
# tables, read second-hand): with less play than that a board within its own tolerance may refuse the part.
NARROW_MM = 0.05
MISS_MM = 1.0  # a pin further off than this is not a near miss but another pattern; common practice, no source
_SAME_MM = 1e-5  # placements are certified to this: less than it is nought
_SEVERITY = (Outcome.FAIL, Outcome.UNKNOWN, Outcome.CONDITION, Outcome.PASS)

# What a process asks of the sealing. Wash: sealing categories of IEC 61810-1 (RT III is wash tight).
# Coating: common practice, no source.
PROCESS_NEEDS: Mapping[str, tuple[Sealing, str]] = {
    "wash": (Sealing.RT_III, "sealing categories of IEC 61810-1"),
    "coating": (Sealing.RT_III, "common practice, no source"),
}


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


@dataclass(frozen=True, slots=True)
class Question:
    """All that one part in one pattern is asked about besides geometry. None and empty = not stated."""

    wiring: Wiring | None = None
    expected: Wiring | None = None
    driver_polarity: str = ""
    dressing_mm: float = 0.0
    narrow_mm: float = NARROW_MM
    wired: bool = field(default=True)  # False: only geometry is asked


def fit(
    footprint: Footprint,
    pattern: HolePattern,
    *,
    wiring: Wiring | None = None,
    expected: Wiring | None = None,
    driver_polarity: str = "",
    coil_system: CoilSystem | None = None,
    expected_system: CoilSystem | None = None,
    dressing_mm: float = 0.0,
    narrow_mm: float = NARROW_MM,
) -> FitAnswer:
    """Goes in, connects alike, coil polarity and coil system; geometry alone where neither wiring is given.

    The pins of ``expected`` are hole names. ``dressing_mm`` is how far a leg may be bent.
    """
    wired = wiring is not None or expected is not None
    question = Question(wiring, expected, driver_polarity, dressing_mm, narrow_mm, wired)
    answer = _from_a_known_side(footprint, pattern, question)
    if coil_system is None and expected_system is None:
        return answer
    return _with(answer, (coil_system_finding(coil_system, expected_system, driver_polarity, expected),))


def fit_findings(
    design: Design, place: Place, original: Design | None = None, *, dressing_mm: float = 0.0
) -> tuple[tuple[Finding, ...], FitAnswer]:
    """Every fit check of one relay in one place, the worst first, and the answer with its position for drawing."""
    polarity = place.position.driver.polarity if place.position.driver else ""
    question = Question(design.wiring, place.wiring, polarity, dressing_mm)
    answer = (
        _no_drawing() if design.footprint is None else _from_a_known_side(design.footprint, place.pattern, question)
    )
    theirs = None if original is None else original.relay
    answer = _with(answer, _standing_in(design.relay, place, theirs, polarity))
    return answer.findings, answer


def _standing_in(relay: Relay, place: Place, original: Relay | None, polarity: str) -> tuple[Finding, ...]:
    """All that does not depend on the position: coil system, room, sealing, guided contacts."""
    wanted = None if original is None else original.coil_system
    return (
        coil_system_finding(relay.coil_system, wanted, polarity, place.wiring),
        *room_findings(relay, place.board, original),
        *sealing_findings(relay, place.board.process),
        *guided_findings(relay, original),
    )


def coil_system_finding(
    offered: CoilSystem | None,
    wanted: CoilSystem | None,
    driver_polarity: str = "",
    expected: Wiring | None = None,
) -> Finding:
    """A latching part is not a monostable one, and a one-way driver cannot reset a single latching coil."""
    wanted = wanted or _system_of(expected, driver_polarity)
    asked, given = (s.value if s else "" for s in (wanted, offered))
    outcome, why = _system_answer(offered, wanted, driver_polarity)
    return Finding("coil system", outcome, why, asked, given)


def _system_answer(offered: CoilSystem | None, wanted: CoilSystem | None, polarity: str) -> tuple[Outcome, str]:
    if offered is None:
        return Outcome.UNKNOWN, "look up whether the relay is monostable or latching"
    if offered is CoilSystem.LATCHING_1_COIL and polarity in ONE_WAY:
        return (
            Outcome.FAIL,
            f"a latching relay with one coil needs both polarities; the driver only works one way ({polarity})",
        )
    if wanted is None:
        return Outcome.UNKNOWN, "find out whether the board expects a monostable or a latching relay"
    if offered is not wanted:
        return Outcome.FAIL, f"the board expects {wanted.value}, the relay is {offered.value}"
    return Outcome.PASS, f"both are {wanted.value}"


def _system_of(expected: Wiring | None, driver_polarity: str) -> CoilSystem | None:
    """One coil a unit and a driver that only works one way leave nothing but a monostable relay."""
    if expected is None or driver_polarity not in ONE_WAY or not expected.coils:
        return None
    units = [c.unit for c in expected.coils]
    return CoilSystem.MONOSTABLE if len(set(units)) == len(units) else None


def sealing_findings(relay: Relay, process: tuple[str, ...]) -> tuple[Finding, ...]:
    """One finding for each thing the finished board goes through that asks for a tight relay."""
    return tuple(_sealing(relay, name) for name in process if name in PROCESS_NEEDS)


def _sealing(relay: Relay, process: str) -> Finding:
    need, source = PROCESS_NEEDS[process]
    asked = f"{need.value} or tighter for {process}"
    if relay.sealing is None:
        return Finding("sealing", Outcome.UNKNOWN, "look up the sealing category", asked, source=source)
    tight = relay.sealing.rank >= need.rank
    why = f"{relay.sealing.value} {'stands' if tight else 'does not stand'} {process}"
    return Finding("sealing", Outcome.PASS if tight else Outcome.FAIL, why, asked, relay.sealing.value, source=source)


def guided_findings(relay: Relay, original: Relay | None) -> tuple[Finding, ...]:
    """Guided contacts are replaced only by guided ones of the same kind (IEC 61810-3 types A and B)."""
    if original is None or original.guided in (None, Guided.NO):
        return ()
    asked, given = original.guided, relay.guided
    return (_guided(f"type {asked.value}" if asked else "", asked, given),)


def _guided(words: str, asked: Guided | None, given: Guided | None) -> Finding:
    check, source = "guided contacts", "IEC 61810-3 types"
    if given is None:
        return Finding(check, Outcome.UNKNOWN, "look up whether the contacts are guided", words, source=source)
    if given is asked:
        return Finding(check, Outcome.PASS, f"guided alike, {words}", words, given.value, source=source)
    why = f"the original has guided contacts of {words}, this relay {given.value}"
    return Finding(check, Outcome.FAIL, why, words, given.value, source=source)


def _from_a_known_side(footprint: Footprint, pattern: HolePattern, question: Question) -> FitAnswer:
    """Both drawings seen from the component side, or both readings where one of the sides is not known."""
    if View.UNKNOWN in (footprint.view, pattern.view):
        return _from_either_side(footprint, pattern, question)
    return _answer(footprint.from_component_side(), pattern.from_component_side(), question)


def _from_either_side(footprint: Footprint, pattern: HolePattern, question: Question) -> FitAnswer:
    """Never a pass: a fail if neither reading will do, else unknown, telling what each would give."""
    pins = replace(footprint, view=_known(footprint.view)).from_component_side()
    holes = replace(pattern, view=_known(pattern.view)).from_component_side()
    plain = _answer(pins, holes, question)
    turned = _answer(replace(pins, pins=mirrored(pins.pins)), holes, question)
    neither = plain.outcome is Outcome.FAIL and turned.outcome is Outcome.FAIL
    better = max((plain, turned), key=lambda a: _SEVERITY.index(a.outcome))
    drawing = "pins" if footprint.view is View.UNKNOWN else "holes"
    why = (
        f"look up from which side the {drawing} were drawn; from the component side: {_reading(plain)}; "
        f"from the solder side: {_reading(turned)}"
    )
    side = Finding("side of the drawing", Outcome.FAIL if neither else Outcome.UNKNOWN, why)
    return replace(better, outcome=side.outcome, why=why, findings=worst_first((side, *better.findings)))


def _known(view: View) -> View:
    return View.COMPONENT if view is View.UNKNOWN else view


def _reading(answer: FitAnswer) -> str:
    return f"{answer.outcome.value} ({answer.why})"


def _answer(footprint: Footprint, pattern: HolePattern, question: Question) -> FitAnswer:
    """The best placement with its findings; both drawings from the component side."""
    ways = _placements(footprint, pattern, question.dressing_mm)
    if not ways:
        return _misfit(footprint, pattern, question)
    tried = [(way, _findings(way, footprint, pattern, question)) for way in ways]
    way, findings = max(tried, key=lambda t: (_rank(t[1]), t[0].play_mm))
    answer = _told(way, findings, _mirrored_fits(footprint, pattern, question.dressing_mm))
    if _is_certain(way, footprint, pattern):
        return _mirror_hint(answer, footprint, pattern, question)
    return _mirror_hint(replace(answer, play_mm=None), footprint, pattern, question)


def _told(way: Placement, findings: tuple[Finding, ...], mirrored_fits: bool) -> FitAnswer:
    ordered = worst_first(findings)
    return FitAnswer(
        ordered[0].outcome,
        round(way.play_mm, 6) + 0.0,
        way.rotation_deg,
        way.shift_mm,
        dict(way.assignment),
        mirrored_fits,
        _why(ordered),
        ordered,
    )


def _why(ordered: tuple[Finding, ...]) -> str:
    """The worst reason; where all is well, how it goes in."""
    if ordered[0].outcome is Outcome.PASS:
        return next((f.why for f in ordered if f.check == GOES_IN), ordered[0].why)
    return ordered[0].why


def _rank(findings: tuple[Finding, ...]) -> int:
    return min(_SEVERITY.index(f.outcome) for f in findings if f.check != GOES_IN) if len(findings) > 1 else 0


def _findings(way: Placement, footprint: Footprint, pattern: HolePattern, question: Question) -> tuple[Finding, ...]:
    found = [_goes_in(way, footprint, pattern, question)]
    if not question.wired:
        return tuple(found)
    if question.wiring is None or question.expected is None:
        whose = "the relay's wiring" if question.wiring is None else "the wiring the board expects"
        return (*found, Finding(CONNECTS, Outcome.UNKNOWN, f"look up or trace {whose}"))
    found.append(connects_alike(way.assignment, question.wiring, question.expected, pattern))
    polarity = coil_polarity(way.assignment, question.wiring, question.expected, pattern, question.driver_polarity)
    return (*found, polarity) if polarity else tuple(found)


def _goes_in(way: Placement, footprint: Footprint, pattern: HolePattern, question: Question) -> Finding:
    """What the play comes to. Sizes that nobody stated are named."""
    tight = f"pin {way.tightest} in hole {way.assignment[way.tightest]}"
    if unstated := _unstated(way, footprint, pattern):
        why = f"measure {unstated}; centres agree within {way.deviation_mm:.3f} mm"
        return Finding(GOES_IN, Outcome.UNKNOWN, why)
    offered = f"{way.play_mm:.3f} mm play"
    asked = f"play of 0 mm, {question.narrow_mm:g} mm to be easy"
    if way.play_mm < -_SAME_MM:
        why = f"legs must be dressed by {-way.play_mm:.3f} mm: {tight}"
        return Finding(GOES_IN, Outcome.CONDITION, why, f"dressing of at most {question.dressing_mm:g} mm", offered)
    narrow = way.play_mm < question.narrow_mm - 1e-9
    why = f"{'narrow, ' if narrow else ''}{max(way.play_mm, 0.0):.3f} mm play at {tight}"
    return Finding(GOES_IN, Outcome.CONDITION if narrow else Outcome.PASS, why, asked, offered)


def _is_certain(way: Placement, footprint: Footprint, pattern: HolePattern) -> bool:
    """Whether every lead and drill of the placement is stated."""
    return not _unstated(way, footprint, pattern)


def _unstated(way: Placement, footprint: Footprint, pattern: HolePattern) -> str:
    """The leads and drills to measure, in words, or nothing."""
    leads = [p.name for p in footprint.pins if p.lead_mm is None]
    taken = frozenset(way.assignment.values())
    drills = [h.name for h in pattern.holes if h.drill_mm is None and h.name in taken]
    words = [_of("the lead of pin", leads), _of("the drill of hole", drills)]
    return " and ".join(filter(None, words))


def _of(thing: str, names: list[str]) -> str:
    return f"{thing}{'s' if len(names) > 1 else ''} {', '.join(names)}" if names else ""


def _kindest_room(pin: Pin, hole: Hole) -> float:
    """Radial room with the kindest guess for what is not stated: a lead as thin as air, a hole 1 mm too wide all round.

    A part that does not go in even so certainly does not; where it does, the answer stays unknown.
    """
    lead = pin.lead_diameter_mm
    if hole.drill_mm is None:
        return MISS_MM
    return (hole.drill_mm - (lead or 0.0)) / 2


@lru_cache(maxsize=8192)
def _placements(footprint: Footprint, pattern: HolePattern, dressing_mm: float) -> tuple[Placement, ...]:
    """Few footprints serve many relays, so each is placed once per pattern and the answer kept."""
    return place(footprint.pins, pattern.holes, dressing_mm, room=_kindest_room)


@lru_cache(maxsize=8192)
def _near_miss(footprint: Footprint, pattern: HolePattern) -> Placement | None:
    return closest(footprint.pins, pattern.holes, MISS_MM, room=_kindest_room)


def _turned_over(footprint: Footprint) -> Footprint:
    return replace(footprint, pins=mirrored(footprint.pins))


def _mirrored_fits(footprint: Footprint, pattern: HolePattern, dressing_mm: float) -> bool:
    return bool(_placements(_turned_over(footprint), pattern, dressing_mm))


def _misfit(footprint: Footprint, pattern: HolePattern, question: Question) -> FitAnswer:
    """Why it does not go in, with the nearest miss where one is near."""
    over = _mirrored_fits(footprint, pattern, question.dressing_mm)
    near = _near_miss(footprint, pattern)
    finding = Finding(GOES_IN, Outcome.FAIL, _misfit_words(footprint, pattern, near, over))
    if near is None:
        return FitAnswer(Outcome.FAIL, None, None, None, {}, over, finding.why, (finding,))
    finding = replace(finding, required="play of 0 mm", offered=f"{near.play_mm:.3f} mm play")
    return _told(near, (finding,), over)


def _misfit_words(footprint: Footprint, pattern: HolePattern, near: Placement | None, over: bool) -> str:
    if over:
        return "goes in only mirrored: one drawing was probably read from the other side"
    if len(footprint.pins) > len(pattern.holes):
        return f"{len(footprint.pins)} pins for {len(pattern.holes)} holes"
    if near is None:
        return f"no way of putting the pins in the holes comes within {MISS_MM:g} mm"
    return f"pin {near.tightest} misses hole {near.assignment[near.tightest]} by {-near.play_mm:.3f} mm"


def _mirror_hint(answer: FitAnswer, footprint: Footprint, pattern: HolePattern, question: Question) -> FitAnswer:
    """A part that goes in but connects only mirrored: say that a drawing was probably read from the other side."""
    failing = any(f.outcome is Outcome.FAIL and f.check == CONNECTS for f in answer.findings)
    if not failing or not answer.mirrored_fits:
        return answer
    other = _turned_over(footprint)
    ways = _placements(other, pattern, question.dressing_mm)
    if not any(_connects(way, question, pattern) for way in ways):
        return answer
    hint = f"{answer.why}; mirrored it would connect alike: one drawing was probably read from the other side"
    return replace(answer, why=hint)


def _connects(way: Placement, question: Question, pattern: HolePattern) -> bool:
    if question.wiring is None or question.expected is None:
        return False
    found = connects_alike(way.assignment, question.wiring, question.expected, pattern)
    return found.outcome is Outcome.PASS


def _with(answer: FitAnswer, more: tuple[Finding, ...]) -> FitAnswer:
    """The answer with further findings; its reason changes only where one of them is worse."""
    findings = worst_first((*answer.findings, *more))
    worst = findings[0].outcome
    why = answer.why if worst is answer.outcome else findings[0].why
    return replace(answer, outcome=worst, findings=findings, why=why)


def _no_drawing() -> FitAnswer:
    finding = Finding(GOES_IN, Outcome.UNKNOWN, "look up or measure the pin positions: no footprint is known")
    return FitAnswer(Outcome.UNKNOWN, None, None, None, {}, False, finding.why, (finding,))
