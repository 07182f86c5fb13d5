"""Every fit check of one part in one place: its pins, its size, what it connects, and what kind of relay it is.

The kind: monostable or latching, tight enough for what the board goes through, guided contacts for guided ones.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache

from bom.boards.board import Board, HolePattern, NetIs, Place
from bom.fit.answer import NARROW_MM, FitAnswer, Question, no_drawing
from bom.fit.best_placement import Case, from_a_known_side
from bom.fit.body_room import PlacedRelay, beside_finding, keep_out_finding, size_findings
from bom.fit.coil_polarity import ONE_WAY, UNTOLD, CoilFeed
from bom.fit.hole_clearance import Tolerance, tolerance_of
from bom.relays.footprint import Footprint, View
from bom.relays.relay import DIODES, CoilSystem, Design, Guided, Relay, Sealing
from bom.relays.wiring import Wiring
from bom.values.finding import Finding, Outcome

SEALING = "sealing"
SEALING_SOURCE = "sealing categories of IEC 61810-1"
# What a process asks of the sealing. Wash: sealing categories of IEC 61810-1 (RT III is wash tight).
# Coating: common practice, no source.
PROCESS_NEEDS: Mapping[str, tuple[Sealing, str]] = {
    "wash": (Sealing.RT_III, SEALING_SOURCE),
    "coating": (Sealing.RT_III, "common practice, no source"),
}


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
    level: str = "",
    tolerance: Tolerance | None = None,
) -> FitAnswer:
    """Goes in, connects alike, coil polarity and coil system; geometry alone where neither wiring is given.

    The pins of ``expected`` are hole names. ``dressing_mm`` is how far a leg may be bent; ``level`` (A, B or C) asks
    for the published hole clearance too, ``tolerance`` for what the board's tolerances leave.

    >>> from bom.boards.board import Hole
    >>> from bom.relays.footprint import Pin
    >>> pins = Footprint("pins", (Pin("A1", 0, 0, 0.8), Pin("A2", 7.62, 0, 0.8), Pin("11", 7.62, 12.7, 0.8)))
    >>> holes = HolePattern("holes", (Hole("a", 0, 0, 1.0), Hole("b", 7.5, 0, 1.0), Hole("c", 7.5, 12.5, 1.0)))
    >>> print(fit(pins, holes).why)
    pin A1 misses hole a by 0.017 mm; an inch grid in metric holes (2.54 against 2.50)
    >>> print(fit(pins, holes, dressing_mm=0.1).why)
    legs must be dressed by 0.017 mm: pin A1 in hole a; an inch grid in metric holes (2.54 against 2.50)
    """
    wired = wiring is not None or expected is not None
    feed = CoilFeed(driver_polarity, one_way=coil_system is CoilSystem.LATCHING_1_COIL)
    question = Question(wiring, expected, feed, dressing_mm, narrow_mm, wired, level, tolerance)
    answer = from_a_known_side(footprint, pattern, question)
    if coil_system is None and expected_system is None:
        return answer
    return answer.with_findings((coil_system_finding(coil_system, expected_system, driver_polarity, expected),))


def fit_findings(
    design: Design, place: Place, original: Design | None = None, *, dressing_mm: float | None = None
) -> tuple[tuple[Finding, ...], FitAnswer]:
    """Every fit check of one relay in one place, the worst first, and the answer with its position for drawing.

    ``dressing_mm`` None: as far as the board allows legs to be bent.
    """
    if design.footprint is None:
        answer = no_drawing()
    else:
        answer = _placed(design.footprint, place.pattern, _question(design, place, original, dressing_mm))
    theirs = None if original is None else original.relay
    answer = answer.with_findings(
        (*_standing_in(design.relay, place, theirs), *_bodies(design, place, answer, original))
    )
    return answer.findings, answer


@lru_cache(maxsize=2048)
def _placed(footprint: Footprint, pattern: HolePattern, question: Question) -> FitAnswer:
    """Remembered, because many part numbers share one drawing and one wiring."""
    return from_a_known_side(footprint, pattern, question)


def _question(design: Design, place: Place, original: Design | None, dressing_mm: float | None) -> Question:
    board = place.board
    return Question(
        design.wiring,
        place.wiring,
        _feed(design, place, original),
        board.leg_dressing_mm if dressing_mm is None else dressing_mm,
        level=board.hole_clearance,
        tolerance=_tolerance(board),
        awaited=_awaited(place),
    )


def _awaited(place: Place) -> str:
    """The wiring that the place names where the catalogue does not have it."""
    name = place.position.wiring
    if place.wiring is not None or not name:
        return ""
    whose = place.pattern.of_part or f"board {place.board.name}"
    return f"wiring {name}, which {whose} names,"


def _tolerance(board: Board) -> Tolerance | None:
    return tolerance_of(board.hole_tolerances, board.drill_tolerance_mm, board.hole_position_tolerance_mm)


def _polarity(place: Place) -> str:
    return place.position.driver.polarity if place.position.driver else ""


def _feed(design: Design, place: Place, original: Design | None) -> CoilFeed:
    """What tells which end of a coil is +; nothing where this part's coils have no such end."""
    one_way = _one_way(design.relay)
    polarised = design.wiring is not None and any(c.polarised for c in design.wiring.coils)
    if one_way is False and not polarised:
        return UNTOLD
    known = _fitted_plus(original, place) if original is not None else frozenset()
    supplies, grounds = (frozenset(n.name for n in place.board.nets if n.is_ is kind) for kind in NetIs)
    return CoilFeed(_polarity(place), known, one_way, supplies, grounds)


def _one_way(relay: Relay) -> bool | None:
    """Whether a diode or a latching coil's magnet makes the coil mind which way round it is fed."""
    if relay.coil_system is CoilSystem.LATCHING_1_COIL or relay.coil_suppression in DIODES:
        return True
    return None if relay.coil_suppression is None else False


def _fitted_plus(original: Design, place: Place) -> frozenset[tuple[str, str]]:
    """The coils' nets, + first, as the fitted part shows them: it has worked there with its + end on them."""
    if original.footprint is None or View.UNKNOWN in (original.footprint.view, place.pattern.view):
        return frozenset()
    return _plus_ends(original.footprint, place.pattern, Question(original.wiring, place.wiring))


@lru_cache(maxsize=64)
def _plus_ends(footprint: Footprint, pattern: HolePattern, question: Question) -> frozenset[tuple[str, str]]:
    return Case(footprint.from_component_side(), pattern.from_component_side(), question).plus_ends()


def _standing_in(relay: Relay, place: Place, original: Relay | None) -> tuple[Finding, ...]:
    """All that does not depend on how the pins are placed: coil system, size, sealing, guided contacts."""
    wanted = None if original is None else original.coil_system
    return (
        coil_system_finding(relay.coil_system, wanted, _polarity(place), place.wiring, _asker(place)),
        *size_findings(relay, place.board, original),
        *(() if place.pattern.of_part else sealing_findings(relay, place.board.process, original)),
        *guided_findings(relay, original, place),
    )


def _asker(place: Place) -> str:
    return f"{place.pattern.of_part} is" if place.pattern.of_part else "the board expects"


def _bodies(design: Design, place: Place, answer: FitAnswer, original: Design | None) -> Iterator[Finding]:
    """The body, as the relay is placed, against what stands round the position, and against the fitted part's."""
    if (over := _over(design, answer)) is None:
        return
    if found := keep_out_finding(over, place.position, place.pattern):
        yield found
    fitted = None if original is None else _fitted_over(original, place)
    if (original is None or fitted is not None) and (found := beside_finding(over, fitted, place.position)):
        yield found


def _over(design: Design, answer: FitAnswer) -> PlacedRelay | None:
    if design.footprint is None or answer.rotation_deg is None or answer.shift_mm is None:
        return None
    return PlacedRelay(design.relay, design.footprint.from_component_side(), answer.rotation_deg, answer.shift_mm)


def _fitted_over(original: Design, place: Place) -> PlacedRelay | None:
    """The fitted part in its place; None where its drawing is not known."""
    if original.footprint is None:
        return None
    return _over(original, _placed(original.footprint, place.pattern, _question(original, place, None, None)))


def coil_system_finding(
    offered: CoilSystem | None,
    wanted: CoilSystem | None,
    driver_polarity: str = "",
    expected: Wiring | None = None,
    asker: str = "the board expects",
) -> Finding:
    """A latching part is not a monostable one, and a one-way driver cannot reset a single latching coil."""
    wanted = wanted or _system_of(expected, driver_polarity)
    asked, given = (s.value if s else "" for s in (wanted, offered))
    outcome, why = _system_answer(offered, wanted, driver_polarity, asker)
    return Finding("coil system", outcome, why, asked, given)


def _system_answer(
    offered: CoilSystem | None, wanted: CoilSystem | None, polarity: str, asker: str
) -> tuple[Outcome, str]:
    if offered is None:
        return Outcome.UNKNOWN, "look up whether the relay is monostable or latching"
    if offered is CoilSystem.LATCHING_1_COIL and polarity in ONE_WAY:
        return (
            Outcome.FAIL,
            f"a latching relay with one coil needs both polarities; the driver only works one way ({polarity})",
        )
    if wanted is None:
        return Outcome.UNKNOWN, f"find out whether {asker} a monostable or a latching relay"
    if offered is not wanted:
        return Outcome.FAIL, f"{asker} {wanted.value}, the relay is {offered.value}"
    return Outcome.PASS, f"both are {wanted.value}"


def _system_of(expected: Wiring | None, driver_polarity: str) -> CoilSystem | None:
    """One coil a unit and a driver that only works one way leave nothing but a monostable relay."""
    if expected is None or driver_polarity not in ONE_WAY or not expected.coils:
        return None
    units = [c.unit for c in expected.coils]
    return CoilSystem.MONOSTABLE if len(set(units)) == len(units) else None


def sealing_findings(
    relay: Relay, process: tuple[str, ...] | None, original: Relay | None = None
) -> tuple[Finding, ...]:
    """One finding for each thing the finished board goes through that asks for a tight relay, and how tight the part
    is beside the fitted one; what the board goes through not being stated, that alone decides."""
    asked = tuple(_sealing(relay, name) for name in process or () if name in PROCESS_NEEDS)
    wanted = None if original is None else original.sealing
    if process is not None and (wanted is None or any(f.outcome is not Outcome.PASS for f in asked)):
        return asked
    if wanted is None:
        why = "say in the board file what the finished board goes through (process = [] where nothing)"
        return (Finding(SEALING, Outcome.UNKNOWN, why, "not stated", relay.sealing or "not stated"),)
    return (*asked, *_as_tight(relay.sealing, wanted, stated=process is not None))


def _as_tight(ours: Sealing | None, wanted: Sealing, *, stated: bool) -> Iterator[Finding]:
    """Beside the fitted part: a looser one serves only where somebody looks at what the board meets."""
    as_fitted = f"{wanted.value}, as the fitted part"
    if ours is None:
        why = f"the fitted part is {wanted.value}: look up the sealing category"
        yield Finding(SEALING, Outcome.UNKNOWN, why, as_fitted, "not stated", source=SEALING_SOURCE)
    elif ours.rank < wanted.rank:
        outcome = Outcome.CONDITION if stated else Outcome.UNKNOWN
        why = f"{ours.value} is less tight than the fitted {wanted.value}: "
        why += (
            "see that damp, dust or a gas does not ask for it" if stated else "say what the finished board goes through"
        )
        yield Finding(SEALING, outcome, why, as_fitted, ours.value, source=SEALING_SOURCE)
    elif not stated:
        why = f"as tight as the fitted part, {wanted.value}"
        yield Finding(SEALING, Outcome.PASS, why, as_fitted, ours.value, source=SEALING_SOURCE)


def _sealing(relay: Relay, process: str) -> Finding:
    need, source = PROCESS_NEEDS[process]
    asked = f"{need.value} or tighter for {process}"
    if relay.sealing is None:
        return Finding(SEALING, Outcome.UNKNOWN, "look up the sealing category", asked, source=source)
    tight = relay.sealing.rank >= need.rank
    why = f"{relay.sealing.value} {'stands' if tight else 'does not stand'} {process}"
    return Finding(SEALING, Outcome.PASS if tight else Outcome.FAIL, why, asked, relay.sealing.value, source=source)


GUIDED_SOURCE = "IEC 61810-3, types A and B, from memory"


def guided_findings(relay: Relay, original: Relay | None, place: Place) -> tuple[Finding, ...]:
    """Asked where guided contacts were fitted, and wherever the board states that someone's safety rests on it.

    Guided contacts are replaced only by guided ones. Type A guides all contacts with each other, type B some of them:
    A does what B did, B does not do what A did.
    """
    asked = None if original is None else original.guided
    if asked in (Guided.A, Guided.B):
        return (_guided(asked, relay.guided),)
    if place.states_safety and asked is None:
        why = "someone's safety rests on it, and nobody says whether guided contacts serve it: ask the machine's maker"
        return (_guided_finding(Outcome.UNKNOWN, why, "what was fitted", relay.guided),)
    if original is not None and asked is None and relay.guided in (Guided.A, Guided.B):
        why = "look up whether the original's contacts are guided"
        return (_guided_finding(Outcome.UNKNOWN, why, "not stated", relay.guided),)
    return ()


def _guided(asked: Guided, given: Guided | None) -> Finding:
    words = f"type {asked.value}"
    if given is None:
        return _guided_finding(Outcome.UNKNOWN, "look up whether the contacts are guided", words, given)
    if given is asked:
        return _guided_finding(Outcome.PASS, f"guided alike, {words}", words, given)
    if given is Guided.A:
        why = "type A guides all its contacts, so those of type B too: its maker or a licensed person decides"
        return _guided_finding(Outcome.CONDITION, why, words, given)
    why = f"the original has guided contacts of {words}, this relay {given.value}"
    return _guided_finding(Outcome.FAIL, why, words, given)


def _guided_finding(outcome: Outcome, why: str, asked: str, given: Guided | None) -> Finding:
    return Finding("guided contacts", outcome, why, asked, "" if given is None else given.value, source=GUIDED_SOURCE)
