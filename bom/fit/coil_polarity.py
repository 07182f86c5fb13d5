"""Coil polarity: a coil with a diode or a magnet inside has a + end, which must land on the board's +.

Which end of the part's coil is + only its wiring says, and only where it says that the coil is polarised. Which net is
the board's + is told by its own wiring, by the fitted part where that has a diode, or by the nets themselves; the order
in which a wiring happens to name a coil's two pins tells nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bom.boards.board import HolePattern
from bom.fit.connects import Nets, WiringInHoles, in_holes, in_its_holes
from bom.relays.wiring import Element, Wiring
from bom.values.finding import Finding, Outcome

POLARITY = "coil polarity"
ONE_WAY = ("low side", "high side")  # drivers that always leave the same coil end positive


@dataclass(frozen=True, slots=True)
class CoilFeed:
    """What tells which end of the board's coils is +: how it drives them, and pairs of nets, + first, known from
    elsewhere, as from a fitted part with a diode.

    ``supplies`` and ``grounds`` are the nets that the board file states to be so. ``one_way`` is whether something in
    the part across its coil conducts one way only; None = nobody states it.
    """

    driver: str = ""
    known: frozenset[tuple[str, str]] = frozenset()
    one_way: bool | None = False
    supplies: frozenset[str] = frozenset()
    grounds: frozenset[str] = frozenset()

    def between(self, first: str, second: str) -> bool | None:
        """Whether the first net is + against the second, by what the board file states of them; None = not told.

        A coil on a supply can only be pulled lower, one on the ground only be fed; a driver that works both ways
        would have the supply of its own.
        """
        if self.driver == "both ways":
            return None
        if (first in self.supplies) is not (second in self.supplies):
            return first in self.supplies
        return second in self.grounds if (first in self.grounds) is not (second in self.grounds) else None


UNTOLD = CoilFeed()
"""Nothing is known of how the board feeds its coils."""


def coil_polarity(
    assignment: Mapping[str, str], candidate: Wiring, expected: Wiring, pattern: HolePattern, feed: CoilFeed
) -> Finding | None:
    """Does the + end of each coil that has one land on the board's +; None where no coil of the candidate has one."""
    nets = Nets.of(pattern)
    asked = [c for c in candidate.coils if c.polarised or feed.one_way is not False]
    if not asked or _missing(candidate, assignment, expected, nets):
        return None
    board = _Board(in_its_holes(expected, nets), nets, feed)
    ours = in_holes(candidate, assignment, nets)
    return max((_polarity_of(c, ours, board) for c in asked), key=lambda f: f.outcome.gravity)


def plus_first(assignment: Mapping[str, str], wiring: Wiring, pattern: HolePattern) -> frozenset[tuple[str, str]]:
    """The nets of each polarised coil of a part in its holes, + first."""
    nets = Nets.of(pattern)
    if wiring.pins - assignment.keys():
        return frozenset()
    placed = in_holes(wiring, assignment, nets)
    return frozenset(placed.nodes(c) for c in wiring.coils if c.polarised)


@dataclass(frozen=True, slots=True)
class _Board:
    """The wiring that the board expects, in its nets, and what else tells of its coils' + ends."""

    wired: WiringInHoles
    nets: Nets
    feed: CoilFeed

    def stated(self, ends: tuple[str, str]) -> bool | None:
        """Whether the first of the two nets is surely +; None where nobody says so."""
        coils = [c for c in self.wired.wiring.coils if c.polarised]
        pairs = {*map(self.wired.nodes, coils), *self.feed.known}
        if ends in pairs or ends[::-1] in pairs:
            return ends in pairs
        return self.feed.between(*ends)

    def likely(self, ends: tuple[str, str]) -> bool | None:
        """A one-way driver switches the end that serves nothing but the coil: the other is + where it pulls low.

        Common practice, no source: a contact that holds its own coil would mislead it.
        """
        first, second = (self._serves_more(end, ends) for end in ends)
        if self.feed.driver not in ONE_WAY or first is second:
            return None
        return first if self.feed.driver == "low side" else second

    def _serves_more(self, end: str, ends: tuple[str, str]) -> bool:
        """Whether the net also has a contact, or a coil that lies between other nets."""
        if not self.nets.counts(end):
            return False
        elements = (e for e in self.wired.wiring.elements if end in self.wired.nodes(e))
        return any(e not in self.wired.wiring.coils or {*self.wired.nodes(e)} != {*ends} for e in elements)


def _polarity_of(coil: Element, ours: WiringInHoles, board: _Board) -> Finding:
    if not coil.polarised:
        return Finding(POLARITY, Outcome.UNKNOWN, _which_end(coil, board.feed))
    ends, nets = ours.nodes(coil), board.nets
    where = nets.say(ends[0])
    lands = f"the + end of the coil of unit {coil.unit} lands on {where}"
    if (stated := board.stated(ends)) is not None:
        outcome = Outcome.PASS if stated else Outcome.FAIL
        return Finding(POLARITY, outcome, lands if stated else f"{lands}{_switched(board)}")
    likely = board.likely(ends)
    if likely is None:
        both = " and ".join(map(nets.say, ends))
        return Finding(POLARITY, Outcome.UNKNOWN, f"measure which of {both} is positive while the coil is on")
    if likely:
        why = f"{lands}, which serves more than the coil and so is + as it seems: measure it once"
        return Finding(POLARITY, Outcome.CONDITION, why, source=LIKELY_SOURCE)
    return Finding(POLARITY, Outcome.FAIL, f"{lands}{_switched(board)}", source=LIKELY_SOURCE)


LIKELY_SOURCE = "the switched end of a coil serves nothing else: common practice, no source"


def _which_end(coil: Element, feed: CoilFeed) -> str:
    pins = " or ".join(coil.pins)
    if feed.one_way is None:
        return f"look up what lies across the coil inside; with a diode, which pin is its + end, {pins}"
    return f"a diode or a magnet inside minds which way round it is fed: look up which pin is its + end, {pins}"


def _switched(board: _Board) -> str:
    return ", which is switched low" if board.feed.driver == "low side" else ", the board's - end"


def _missing(candidate: Wiring, assignment: Mapping[str, str], expected: Wiring, nets: Nets) -> bool:
    return bool(candidate.pins - assignment.keys() or expected.pins - nets.of_hole.keys())
