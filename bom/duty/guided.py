"""Forcibly guided contacts: which of them may stand for each other.

Type A guides all contacts with each other; in type B only some are, and of two changeovers only a make of one with a
break of the other may be used as the proving pair (source 24). Source: EN 50205, now IEC 61810-3.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import permutations
from typing import TypeVar

from bom.boards.board import Place
from bom.duty.figures.sources import GUIDED_SHEET
from bom.relays.relay import Design, Guided
from bom.relays.wiring import Kind
from bom.values.finding import Finding, Outcome

T = TypeVar("T")

GUIDED_KINDS = (Guided.A, Guided.B)

SOURCE = f"EN 50205 type B; {GUIDED_SHEET.cited}: a make of one changeover with a break of the other"


def is_guarded(place: Place, fitted: Design | None = None) -> bool:
    """Whether this place serves a safety function: its board or one of its functions says so, or it was fitted with a
    guided part."""
    stated = place.board.safety or any(f.safety for f in place.position.functions)
    return stated or (fitted is not None and fitted.relay.guided in GUIDED_KINDS)


def guided_pairs(poles: Iterable[T]) -> tuple[tuple[tuple[T, Kind], tuple[T, Kind]], ...]:
    """The pairs (pole, contact) of a type B relay with changeovers that may prove each other."""
    return tuple(((make, Kind.MAKE), (broken, Kind.BREAK)) for make, broken in permutations(poles, 2))


def guided_use(design: Design, place: Place, original: Design | None = None) -> tuple[Finding, ...]:
    """Asked of type B relays in place of guided ones: whether the board uses a make and a break of different poles."""
    guarded = original is not None and original.relay.guided in GUIDED_KINDS
    if design.relay.guided is not Guided.B or not guarded:
        return ()
    used = {((f.unit, f.pole), f.contact) for f in place.position.functions}
    wanted = "a make of one pole, a break of another"
    if any(used.issuperset(pair) for pair in guided_pairs({pole for pole, _ in used})):
        why = "a make of one pole and a break of another are used, which type B guides"
        return (Finding("guided pair", Outcome.PASS, why, wanted, "such a pair", source=SOURCE),)
    why = "type B proves by a make of one pole with a break of another; the board file names no such pair: check it"
    return (Finding("guided pair", Outcome.CONDITION, why, wanted, "not named", source=SOURCE),)
