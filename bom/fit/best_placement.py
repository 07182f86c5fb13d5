"""Best placement: of every way in, the one that connects alike with the most play.

Rotation and the pairing of pins with holes are found, not assumed, and wiring and polarity are looked at again for each
way in. A part that goes in, or connects, only seen from the other side says so; where nobody knows from which side one
of the drawings was made, both readings are tried.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain

from bom.boards.board import Hole, HolePattern
from bom.fit.answer import (
    GOES_IN,
    FitAnswer,
    Question,
    goes_in,
    misfit_finding,
    only_by_error,
    reason,
    too_many_finding,
    unstated,
)
from bom.fit.coil_polarity import coil_polarity, plus_first
from bom.fit.connects import CONNECTS, connects_alike, listed
from bom.fit.hole_clearance import hole_finding, loose_finding, tolerance_finding
from bom.fit.measured_drawings import as_drawn, doubt_at, is_measured, widened
from bom.fit.placement import Placement, mirrored
from bom.fit.placement_cache import CACHE, NumberedPlacement, Placements, by_name
from bom.fit.slots import along_slots, circles_about, slots_in
from bom.relays.footprint import Footprint, View
from bom.values.finding import Finding, Outcome, worst_first

SIDE = "side of the drawing"


def from_a_known_side(footprint: Footprint, pattern: HolePattern, question: Question) -> FitAnswer:
    """The answer seen from the component side, or what both readings come to."""
    if View.UNKNOWN in (footprint.view, pattern.view):
        return _from_either_side(footprint, pattern, question)
    return Case(footprint.from_component_side(), pattern.from_component_side(), question).answer()


def goes_nowhere(footprint: Footprint, pattern: HolePattern, dressing_mm: float) -> bool:
    """Whether the part goes in no way at all, found without asking how near it comes. True is certain; False leaves it
    to the answer, as always where a side is not known, a hole is a slot or something was measured."""
    if View.UNKNOWN in (footprint.view, pattern.view) or slots_in(pattern) or is_measured(footprint, pattern):
        return False
    pins, holes = footprint.from_component_side().pins, pattern.from_component_side().holes
    found = CACHE.ways(pins, holes, dressing_mm)
    return found.whole and not found.ways


def _from_either_side(footprint: Footprint, pattern: HolePattern, question: Question) -> FitAnswer:
    """Never a pass: a fail if neither reading will do, else unknown, telling what each would give."""
    pins = replace(footprint, view=_known(footprint.view)).from_component_side()
    holes = replace(pattern, view=_known(pattern.view)).from_component_side()
    plain = Case(pins, holes, question).answer()
    turned = Case(replace(pins, pins=mirrored(pins.pins)), holes, question).answer()
    neither = plain.outcome is Outcome.FAIL and turned.outcome is Outcome.FAIL
    better = min((plain, turned), key=lambda a: a.outcome.gravity)
    side = Finding(SIDE, Outcome.FAIL if neither else Outcome.UNKNOWN, _words(footprint, plain, turned))
    return replace(better, outcome=side.outcome, why=side.why, findings=worst_first((side, *better.findings)))


def _known(view: View) -> View:
    return View.COMPONENT if view is View.UNKNOWN else view


def _words(footprint: Footprint, plain: FitAnswer, turned: FitAnswer) -> str:
    drawing = "pins" if footprint.view is View.UNKNOWN else "holes"
    return (
        f"look up from which side the {drawing} were drawn; from the component side: {_reading(plain)}; "
        f"from the solder side: {_reading(turned)}"
    )


def _reading(answer: FitAnswer) -> str:
    return f"{answer.outcome.value} ({answer.why})"


@dataclass(frozen=True, slots=True)
class Case:
    """One part in one pattern, both seen from the component side, and what is asked of them."""

    footprint: Footprint
    pattern: HolePattern
    question: Question

    def answer(self) -> FitAnswer:
        """The best placement with its findings."""
        ways = [*self._named(self._tried.ways), *self._along_slots()]
        ways += self._by_error(ways)
        if not ways:
            return self._not_proved() or self._misfit()
        way, findings = min(((way, self._findings(way)) for way in ways), key=self._rank)
        if not self._all_tried and any(f.outcome is Outcome.FAIL for f in findings):
            return self._cut_short(way)
        answer = self._with_mirror_words(self._told(way, findings))
        return answer if self._is_certain(way) else replace(answer, play_mm=None)

    def _along_slots(self) -> Iterator[Placement]:
        """The ways in that only slots give: not found by the circle inside each, proved in the position found."""
        if not (about := self._about_slots()):
            return
        known = [way.assignment for way in self._named(self._tried.ways)]
        for way in about:
            found = along_slots(way, self.footprint, self.pattern)
            if found and found.play_mm >= -self.question.dressing_mm and way.assignment not in known:
                yield found

    def _about_slots(self) -> list[Placement]:
        """The ways in where each slot is taken by the circle about it; nothing without slots."""
        if not slots_in(self.pattern):
            return []
        holes = circles_about(self.pattern).holes
        return self._named(CACHE.look_up(self.footprint.pins, holes, self.question.dressing_mm).ways)

    def _by_error(self, known: Sequence[Placement]) -> Iterator[Placement]:
        """The ways in that are there only if pins and holes lie otherwise than they were measured, by less than the
        error, with the play that they have as measured."""
        there = [way.assignment for way in known]
        for way in self._named(self._wide.ways):
            if way.assignment not in there:
                yield as_drawn(way, self.footprint, self.pattern)

    @property
    def _wide(self) -> Placements:
        """What goes in where every hole is wider by the errors; nothing where nothing was measured."""
        if not is_measured(self.footprint, self.pattern):
            return Placements()
        holes = widened(self.footprint, self.pattern)
        return CACHE.look_up(self.footprint.pins, holes, self.question.dressing_mm)

    def _rank(self, tried: tuple[Placement, tuple[Finding, ...]]) -> tuple[int, bool, float]:
        """What the best way in comes first by: how bad it is, its play aside, whether it is in doubt, its play."""
        return _gravity(*tried, self.question), self._in_doubt(tried[0]), -tried[0].play_mm

    def _in_doubt(self, way: Placement) -> bool:
        """Whether it goes in by less than pins and holes were measured to; never where nothing was measured."""
        if not is_measured(self.footprint, self.pattern):
            return False
        doubt = doubt_at(way, self.footprint, self.pattern)
        return doubt is not None and doubt.sure_mm < 0

    def _not_proved(self) -> FitAnswer | None:
        """No way in was proved, but one may be found along the slots: unknown."""
        if not (ways := self._about_slots()):
            return None
        taken = frozenset(ways[0].assignment.values())
        slots = [h for h in slots_in(self.pattern) if h.name in taken]
        why = f"may go in along {listed('the slot of hole', [h.name for h in slots])}: try it in the board"
        why += "" if self._angles_stated(slots) else ", or state each slot's angle and each flat lead's"
        return self._told(ways[0], (Finding(GOES_IN, Outcome.UNKNOWN, why),))

    def _angles_stated(self, slots: list[Hole]) -> bool:
        flat = (p for p in self.footprint.pins if p.lead_width_mm is not None)
        return all(h.slot_angle_deg is not None for h in slots) and all(p.lead_angle_deg is not None for p in flat)

    def _cut_short(self, way: Placement) -> FitAnswer:
        """No way that was tried will do, but not every way was tried: unknown."""
        found = len(self._tried.ways)
        return self._told(way, (too_many_finding(self.footprint, self.pattern, found, self.question.wired),))

    @property
    def _tried(self) -> Placements:
        return CACHE.look_up(self.footprint.pins, self.pattern.holes, self.question.dressing_mm)

    @property
    def _all_tried(self) -> bool:
        """Whether no way in was left untried."""
        return self._tried.whole and self._wide.whole

    def _named(self, ways: tuple[NumberedPlacement, ...]) -> list[Placement]:
        return [by_name(way, self.footprint.pins, self.pattern.holes) for way in ways]

    def _told(self, way: Placement, findings: tuple[Finding, ...]) -> FitAnswer:
        ordered = worst_first(findings)
        position = _rounded(way.play_mm), way.rotation_deg, way.shift_mm, dict(way.assignment)
        return FitAnswer(ordered[0].outcome, *position, bool(self._tried.over), reason(ordered), ordered)

    def _misfit(self) -> FitAnswer:
        """Why it does not go in, with the nearest miss where one is near."""
        near, over = self._tried.near, bool(self._tried.over)
        named = self._named((near,))[0] if near else None
        if self._all_tried:
            finding = misfit_finding(self.footprint, self.pattern, named, over)
        else:
            finding = too_many_finding(self.footprint, self.pattern, 0, self.question.wired)
        if named is None:
            return FitAnswer(finding.outcome, None, None, None, {}, over, finding.why, (finding,))
        return self._told(named, (finding,))

    def _findings(self, way: Placement) -> tuple[Finding, ...]:
        found = (goes_in(way, self.footprint, self.pattern, self.question), *self._clearances(way))
        return (*found, *self._connections(way)) if self.question.wired else found

    def _clearances(self, way: Placement) -> Iterator[Finding]:
        """The published hole clearance and the board's tolerances, where they are asked for."""
        question = self.question
        if (loose := loose_finding(way, self.footprint, self.pattern)) is not None:
            yield loose
        if question.level:
            yield hole_finding(way, self.footprint, self.pattern, question.level, question.tolerance)
        if question.tolerance is not None and self._is_certain(way):
            yield tolerance_finding(way, question.tolerance)

    def _connections(self, way: Placement) -> Iterator[Finding]:
        question = self.question
        if question.expected is None and question.awaited:
            why = f"{question.awaited} is not in the catalogue: take it in, or correct its name"
            yield Finding(CONNECTS, Outcome.UNKNOWN, why)
            return
        if question.wiring is None or question.expected is None:
            whose = "the relay's wiring" if question.wiring is None else "the wiring the board expects"
            yield Finding(CONNECTS, Outcome.UNKNOWN, f"look up or trace {whose}")
            return
        wirings = question.wiring, question.expected, self.pattern
        yield connects_alike(way.assignment, *wirings)
        if polarity := coil_polarity(way.assignment, *wirings, question.feed):
            yield polarity

    def _is_certain(self, way: Placement) -> bool:
        """Whether every lead and drill of the placement is stated."""
        return not unstated(way, self.footprint, self.pattern)

    def _with_mirror_words(self, answer: FitAnswer) -> FitAnswer:
        """Where the pins go in mirrored too, only the wiring shows from which side the part was drawn."""
        if not answer.mirrored_fits:
            return answer
        if not self.question.wired:
            return replace(answer, why=f"{answer.why}; {_ONLY_WIRING_TELLS}")
        failing = any(f.outcome is Outcome.FAIL and f.check == CONNECTS for f in answer.findings)
        if failing and any(map(self._connects, self._named(self._tried.over))):
            return replace(answer, why=f"{answer.why}; {_READ_FROM_THE_OTHER_SIDE}")
        return answer

    def plus_ends(self) -> frozenset[tuple[str, str]]:
        """The nets of the part's polarised coils, + first, as far as every way that connects alike agrees on them."""
        wiring = self.question.wiring
        if wiring is None or not any(c.polarised for c in wiring.coils):
            return frozenset()
        ways = filter(self._connects, self._named((*self._tried.ways, *self._wide.ways)))
        found = frozenset(chain.from_iterable(plus_first(w.assignment, wiring, self.pattern) for w in ways))
        return frozenset(ends for ends in found if ends[::-1] not in found)

    def _connects(self, way: Placement) -> bool:
        question = self.question
        if question.wiring is None or question.expected is None:
            return False
        found = connects_alike(way.assignment, question.wiring, question.expected, self.pattern)
        return found.outcome is Outcome.PASS


_ONLY_WIRING_TELLS = "mirrored it goes in too, so that only wirings tell from which side it was drawn"
_READ_FROM_THE_OTHER_SIDE = "mirrored it would connect alike: one drawing was probably read from the other side"


def _gravity(way: Placement, findings: tuple[Finding, ...], question: Question) -> int:
    """How bad a way in is, its play aside; one that is there only by the errors is no better than unknown."""
    least = Outcome.UNKNOWN if only_by_error(way, question) else Outcome.PASS
    return max(least.gravity, *(f.outcome.gravity for f in findings if f.check != GOES_IN), 0)


def _rounded(play_mm: float) -> float:
    """To about the digits that are certified, and 0 rather than -0."""
    # how many digits, and which way a play of 0 was rounded, no test can tell
    return round(play_mm, 6) + 0.0
