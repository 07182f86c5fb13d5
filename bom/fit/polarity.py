"""Polarity: whether the + end of a coil with a diode or a magnet lands on the board's +."""

from __future__ import annotations

from collections.abc import Mapping

from bom.boards.board import HolePattern
from bom.fit.nets import Nets, Seated, seated, seated_in_holes
from bom.relays.wiring import Element, Wiring
from bom.values.finding import Finding, Outcome

POLARITY = "coil polarity"
ONE_WAY = ("low side", "high side")  # drivers that always leave the same coil end positive


def coil_polarity(
    assignment: Mapping[str, str],
    candidate: Wiring,
    expected: Wiring,
    pattern: HolePattern,
    driver_polarity: str = "",
) -> Finding | None:
    """For coils with a + end: does it land on the board's +. None where no coil of the candidate is polarised.

    The board's + is the expected coil's ``from_pin`` where that coil is polarised, or where the driver only works one
    way (low side: supply on +, the - end pulled low; high side: + fed, - on ground). Otherwise it is not known.
    """
    nets = Nets.of(pattern)
    if not any(c.polarised for c in candidate.coils) or _missing(candidate, assignment, expected, nets):
        return None
    ours, theirs = seated(candidate, assignment, nets), seated_in_holes(expected, nets)
    answers = [_polarity_of(c, ours, theirs, nets, driver_polarity) for c in candidate.coils if c.polarised]
    order = (Outcome.FAIL, Outcome.UNKNOWN, Outcome.PASS)
    return min(answers, key=lambda f: order.index(f.outcome))


def _polarity_of(coil: Element, ours: Seated, theirs: Seated, nets: Nets, driver_polarity: str) -> Finding:
    plus, minus = ours.nodes(coil)
    facing = [c for c in theirs.wiring.coils if frozenset(theirs.nodes(c)) == {plus, minus}]
    known = [c for c in facing if c.polarised or driver_polarity in ONE_WAY]
    if not known:
        ends = f"{nets.say(plus)} and {nets.say(minus)}"
        return Finding(POLARITY, Outcome.UNKNOWN, f"measure which of {ends} is positive while the coil is on")
    if any(theirs.nodes(c)[0] == plus for c in known):
        return Finding(POLARITY, Outcome.PASS, f"the + end of the coil of unit {coil.unit} lands on {nets.say(plus)}")
    return Finding(POLARITY, Outcome.FAIL, _reversed_words(coil, nets.say(plus), driver_polarity))


def _reversed_words(coil: Element, where: str, driver_polarity: str) -> str:
    switched = ", which is switched low" if driver_polarity == "low side" else ", the board's - end"
    return f"the + end of the coil of unit {coil.unit} lands on {where}{switched}"


def _missing(candidate: Wiring, assignment: Mapping[str, str], expected: Wiring, nets: Nets) -> bool:
    return bool(candidate.pins - assignment.keys() or expected.pins - nets.of_hole.keys())
