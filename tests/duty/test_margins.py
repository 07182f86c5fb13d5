"""How a number is held against its limit."""

from __future__ import annotations

import pytest

from bom.duty.margins import a, amount, held, room, unknown
from bom.values.finding import Outcome

P, C, F = Outcome.PASS, Outcome.CONDITION, Outcome.FAIL


@pytest.mark.parametrize(("need", "limit", "left"), [(10, 12, 0.2), (10, 10, 0.0), (8, 4, -0.5)])
def test_room_is_a_share_of_what_is_needed(need: float, limit: float, left: float) -> None:
    assert room(need, limit) == pytest.approx(left)


@pytest.mark.parametrize(
    ("need", "limit", "fitted", "expected"),
    [
        (10, 10, None, P),
        (10, 9.99, None, F),
        (10, 9, (10, 8.9), C),
        (10, 9, (10, 9), C),
        (10, 9, (10, 9.1), F),
        (10, 11, (10, 20), P),
    ],
)
def test_outside_the_window_no_worse_than_the_fitted_part_is_a_condition(
    need: float, limit: float, fitted: tuple[float, float] | None, expected: Outcome
) -> None:
    assert held("x", need, limit, "A", "why", fitted=fitted).outcome is expected


def test_a_rounding_does_not_decide() -> None:
    assert held("x", 0.1 + 0.2, 0.3, "A", "why").outcome is P
    assert held("x", 1.0, 1.0 - 1e-8, "A", "why").outcome is F


@pytest.mark.parametrize(
    ("value", "said"),
    [(0.5, "0.50 A"), (19.99, "19.99 A"), (20, "20.0 A"), (199.94, "199.9 A"), (200, "200 A"), (-25, "-25.0 A")],
)
def test_a_number_has_as_many_places_as_the_bench_can_use(value: float, said: str) -> None:
    assert amount(value, "A") == said


@pytest.mark.parametrize(
    ("words", "said"), [("motor", "a motor"), ("inductive", "an inductive"), ("AC-15", "an AC-15")]
)
def test_words_take_their_article(words: str, said: str) -> None:
    assert a(words) == said


def test_an_unknown_names_what_is_missing_alone() -> None:
    found = unknown("x", {"volts": None, "amps": 2.0, "ohms": None}, "because")
    assert found.why == "because; not stated: volts, ohms; measure it or look it up"
