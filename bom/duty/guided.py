"""Forcibly guided contacts: which of them may stand for each other, and the gap that is kept.

Type A guides all contacts with each other; in type B only some are, and of two changeovers only a make of one with a
break of the other may be used as the proving pair (Finder 50 series). Source: EN 50205, now IEC 61810-3.
"""

from __future__ import annotations

from itertools import permutations

from bom.boards.board import Function, Place
from bom.relays.relay import Design, Guided
from bom.relays.wiring import Kind
from bom.values.finding import Finding, Outcome

SINGLE_GAP_MM, DOUBLE_GAP_MM = 0.5, 0.3
"""More than this stays open at the fellow of a welded contact; each of both gaps where the contact is double-break.
Source: Contrinex YRB manual, page 33, after EN 50205; Weidmüller, safety relays."""

SOURCE = "EN 50205 type B; Finder 50 series: a make of one changeover with a break of the other"


def guided_pairs(poles: tuple[str, ...]) -> tuple[tuple[tuple[str, Kind], tuple[str, Kind]], ...]:
    """The pairs (pole, contact) of a type B relay with changeovers that may prove each other."""
    return tuple(((make, Kind.MAKE), (broken, Kind.BREAK)) for make, broken in permutations(poles, 2))


def gap_enough(gap_mm: float, double_break: bool = False) -> bool:
    """Whether the open contact's gap (each gap, where double-break) keeps the distance."""
    return gap_mm > (DOUBLE_GAP_MM if double_break else SINGLE_GAP_MM)


def guided_use(design: Design, place: Place, original: Design | None = None) -> tuple[Finding, ...]:
    """Asked of type B relays in place of guided ones: whether the board uses a make and a break of different poles."""
    guarded = original is not None and original.relay.guided in (Guided.A, Guided.B)
    if design.relay.guided is not Guided.B or not guarded:
        return ()
    makes, breaks = (_poles(place.position.functions, kind) for kind in (Kind.MAKE, Kind.BREAK))
    wanted = "a make of one pole, a break of another"
    if any(m != b for m in makes for b in breaks):
        why = "a make of one pole and a break of another are used, which type B guides"
        return (Finding("guided pair", Outcome.PASS, why, wanted, "such a pair", source=SOURCE),)
    why = "type B proves by a make of one pole with a break of another; the board file names no such pair: check it"
    return (Finding("guided pair", Outcome.CONDITION, why, wanted, "not named", source=SOURCE),)


def _poles(functions: tuple[Function, ...], kind: Kind) -> set[tuple[str, str]]:
    return {(f.unit, f.pole) for f in functions if f.contact is kind}
