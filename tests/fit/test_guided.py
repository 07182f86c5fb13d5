"""Guided contacts: which may stand for which, and that a stated safety function asks for them whatever was fitted."""

from __future__ import annotations

import pytest

from bom.boards.board import Board, Function, HolePattern, Load, Place, Position
from bom.fit.check import guided_findings
from bom.relays.relay import Guided, Relay
from bom.relays.wiring import Kind
from bom.values.finding import Outcome

P, C, F, U = Outcome.PASS, Outcome.CONDITION, Outcome.FAIL, Outcome.UNKNOWN
A, B, NO = Guided.A, Guided.B, Guided.NO
SILENT = Relay("Ostrel", "GS")


def fitted(guided: Guided | None) -> Relay:
    return Relay("Ostrel", "GS", guided=guided)


def asked(given: Guided | None, original: Relay | None, safety: str = "") -> list[Outcome]:
    guard = Function("guard", "A", Kind.MAKE, Load("resistive", 24, 1), safety=safety == "function")
    board, position = Board("b", safety=safety == "board"), Position("K1", "p", functions=(guard,))
    place = Place(board, position, HolePattern("p", ()), None)
    return [f.outcome for f in guided_findings(Relay("Kithmar", "KG", guided=given), original, place)]


@pytest.mark.parametrize(
    ("given", "was", "expected"),
    [(A, A, P), (B, A, F), (NO, A, F), (None, A, U), (B, B, P), (A, B, C), (NO, B, F), (None, B, U)],
)
def test_type_a_does_what_type_b_did_and_never_the_other_way_round(
    given: Guided | None, was: Guided, expected: Outcome
) -> None:
    assert asked(given, fitted(was)) == [expected]


@pytest.mark.parametrize("safety", ["board", "function"])
@pytest.mark.parametrize("original", [SILENT, None])
@pytest.mark.parametrize("given", [A, B, NO, None])
def test_a_stated_safety_function_is_unknown_where_nobody_says_what_served_it(
    given: Guided | None, original: Relay | None, safety: str
) -> None:
    assert asked(given, original, safety) == [U]


@pytest.mark.parametrize(
    ("given", "original", "safety", "expected"),
    [
        (None, fitted(NO), "board", []),
        (NO, fitted(NO), "", []),
        (None, SILENT, "", []),
        (A, SILENT, "", [U]),
        (NO, None, "", []),
    ],
)
def test_an_ordinary_relay_is_not_asked_for_guided_contacts(
    given: Guided | None, original: Relay | None, safety: str, expected: list[Outcome]
) -> None:
    assert asked(given, original, safety) == expected
