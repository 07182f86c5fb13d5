"""A pattern out of spans: closed cases, what bends, what has two shapes, what contradicts, which way round."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, sqrt
from typing import Any

import numpy as np
import pytest
from made_patterns import made, off, within
from scipy.optimize import least_squares

from bom.measure.answer import Lacks, Open, Pattern
from bom.measure.network import Network
from bom.measure.pattern import find_pattern
from bom.measure.spans import Across, Jaws, Measured, Row, Span, Turn

Places = dict[str, tuple[float, float]]
SQUARE: Places = {"a": (0.0, 0.0), "b": (10.0, 0.0), "c": (10.0, 10.0), "d": (0.0, 10.0)}
ALL = ("ab", "bc", "cd", "da", "ac", "bd")
ROUND = (Turn("a", "b", "c"),)


def spans(at: Places, pairs: tuple[str, ...], error: float = 0.02, **wrong: float) -> tuple[Span, ...]:
    """Readings of these places, exact but for what is added to some."""
    return tuple(
        Span(a, b, hypot(at[a][0] - at[b][0], at[a][1] - at[b][1]) + wrong.get(a + b, 0.0), error) for a, b in pairs
    )


def found(*pairs: str, turns: tuple[Turn, ...] = ROUND, at: Places = SQUARE, **wrong: float) -> Pattern | Open:
    return find_pattern(Measured(tuple(at), spans(at, pairs, **wrong), turns=turns))


def pattern(answer: Pattern | Open) -> Pattern:
    assert isinstance(answer, Pattern), answer
    return answer


def lacking(answer: Pattern | Open) -> Open:
    assert isinstance(answer, Open), answer
    return answer


def places(answer: Pattern | Open) -> dict[str, Any]:
    return {s.name: pytest.approx((s.x_mm, s.y_mm), abs=1e-3) for s in pattern(answer).spots}


def test_a_square_measured_all_round() -> None:
    answer = found(*ALL)
    assert places(answer) == SQUARE
    assert (pattern(answer).spare, pattern(answer).mistakes) == (1, ())


def test_the_stated_turn_chooses_between_mirror_images() -> None:
    other = found(*ALL, turns=(Turn("a", "b", "c", clockwise=False),))
    assert places(other) == {name: (x, -y) for name, (x, y) in SQUARE.items()}


@pytest.mark.parametrize("base", [3.0, 10.0])
def test_a_triangle_is_the_closed_one(base: float) -> None:
    """Two circles meet at x = (b^2 - c^2 + a^2) / 2 a and y = sqrt(b^2 - x^2); own derivation."""
    a, b, c = base, 6.0, 5.0
    told = (Span("a", "b", a, 0.02), Span("a", "c", b, 0.02), Span("b", "c", c, 0.02))
    x = (b * b - c * c + a * a) / (2 * a)
    assert places(find_pattern(Measured(tuple("abc"), told, turns=ROUND)))["c"] == (x, sqrt(b * b - x * x))


def test_two_holes_have_no_other_side() -> None:
    assert places(find_pattern(Measured(("a", "b"), (Span("a", "b", 5.0, 0.02),)))) == {"a": (0, 0), "b": (5, 0)}


def test_the_error_of_one_span_is_shared_by_its_ends() -> None:
    """Half of it each; a limit of 0.03 has the standard deviation 0.03 / sqrt(3), and 5 % shared by two leave each
    sqrt(-2 ln 0.025) of these."""
    answer = pattern(find_pattern(Measured(("a", "b"), (Span("a", "b", 5.0, 0.03),))))
    assert [s.error_mm for s in answer.spots] == pytest.approx([0.03 / sqrt(3) / 2 * 2.7162] * 2, rel=1e-3)


@pytest.mark.parametrize(("pairs", "more"), [(("ab", "bc", "cd", "da"), 1), (("ab", "bc"), 3), (("ab", "cd"), 3)])
def test_what_can_bend_has_no_places(pairs: tuple[str, ...], more: int) -> None:
    answer = lacking(found(*pairs))
    assert (answer.lacks, answer.at_least, len(answer.measure)) == (Lacks.SPANS, more, more)
    assert answer.loose


def test_what_is_proposed_holds_it() -> None:
    more = tuple(f"{n.a}{n.b}" for n in lacking(found("ab", "bc", "cd", "da")).measure)
    assert lacking(found("ab", "bc", "cd", "da", *more)).lacks is Lacks.SHAPES


KITE: Places = {"a": (0.0, 0.0), "b": (10.0, 0.0), "c": (3.0, 6.0), "d": (4.0, -5.0)}
FOLDS = ("ab", "ac", "bc", "ad", "bd")


def test_two_shapes_that_agree_are_told_with_what_tells_them_apart() -> None:
    """Two triangles on one base fold over it."""
    answer = lacking(found(*FOLDS, at=KITE))
    assert answer.lacks is Lacks.SHAPES
    (span,) = answer.measure
    assert {span.a, span.b} == {"c", "d"}
    assert span.either == pytest.approx((hypot(1, 1), hypot(1, 11)), abs=0.02)


@pytest.mark.parametrize(("clockwise", "y"), [(True, 5.0), (False, -5.0)])
def test_a_second_turn_tells_two_shapes_apart(clockwise: bool, y: float) -> None:
    answer = found(*FOLDS, at=KITE, turns=(*ROUND, Turn("a", "b", "d", clockwise)))
    assert places(answer)["d"] == (4.0, y)


def test_who_says_nothing_of_the_turn_is_asked() -> None:
    answer = lacking(found(*ALL, turns=()))
    assert answer.lacks is Lacks.TURN and answer.turn is not None


def test_turns_that_contradict_each_other_leave_no_shape() -> None:
    answer = lacking(found(*ALL, turns=(Turn("a", "b", "c"), Turn("a", "b", "d", clockwise=False))))
    assert answer.lacks is Lacks.OTHER_TURN


def test_a_turn_of_three_on_a_line_is_no_answer() -> None:
    at = {"a": (0.0, 0.0), "b": (5.0, 0.0), "c": (10.0, 0.0), "d": (4.0, 9.0), "e": (6.0, -8.0)}
    everything = ("ab", "bc", "ac", "ad", "bd", "cd", "ae", "be", "ce", "de")
    assert lacking(found(*everything, at=at)).lacks is Lacks.TURN


def test_with_one_reading_to_spare_nobody_can_say_which_is_wrong() -> None:
    answer = lacking(found(*ALL, ac=0.5))
    assert answer.lacks is Lacks.AGREEMENT
    assert answer.measure and all(n.again for n in answer.measure)


def test_holes_on_a_line_are_not_held_across_it() -> None:
    at = {"a": (0.0, 0.0), "b": (5.0, 0.0), "c": (10.0, 0.0)}
    assert lacking(found("ab", "bc", "ac", at=at))


def test_a_row_is_held_by_its_line() -> None:
    at = {"a": (0.0, 0.0), "b": (5.0, 0.0), "c": (8.0, 0.0), "d": (13.0, 0.0)}
    told = Measured(tuple(at), spans(at, ("ab", "bc", "cd", "ad")), rows=(Row(tuple(at), 0.1),))
    assert places(find_pattern(told)) == at
    assert pattern(find_pattern(told)).widest_mm > 0.1 / sqrt(3) / 2


def test_a_row_ties_a_hole_as_a_second_span_does() -> None:
    at = {"a": (0.0, 0.0), "b": (5.0, 0.0), "d": (13.0, 0.0), "e": (4.0, 9.0)}
    pairs = ("ab", "ad", "ae", "de")
    assert lacking(found(*pairs, at=at, turns=(Turn("a", "d", "e"),))).lacks is Lacks.SPANS
    told = Measured(tuple(at), spans(at, pairs), turns=(Turn("a", "d", "e"),), rows=(Row(("a", "b", "d"), 0.1),))
    answer = find_pattern(told)
    assert isinstance(answer, Open) and answer.lacks is Lacks.SHAPES
    assert {"b"} < {answer.measure[0].a, answer.measure[0].b}


def test_slopes_are_the_differences_of_what_is_off() -> None:
    at = {"a": (0.0, 0.0), "b": (5.0, 1.0), "c": (8.0, -0.5), "d": (13.0, 2.0)}
    told = tuple(replace(s, jaws=j) for s, j in zip(spans(at, ("ab", "bc", "cd")), Jaws, strict=True))
    across = tuple(Across(n, 1.3, 0.01) for n in "bcd")
    network = Network(Measured(tuple(at), told, across, rows=(Row(tuple(at), 0.1),)))
    start = network.with_own(np.array([list(at.values())]))[0]
    assert network.slopes(start[None])[0] == pytest.approx(differences(network, start), abs=1e-4)


def differences(equations: Any, start: Any) -> Any:
    steps = 1e-6 * np.eye(len(start))
    return (equations.off(start + steps) - equations.off(start - steps)).T / 2e-6


@pytest.mark.parametrize("jaws", Jaws)
def test_edges_count_by_half_of_what_both_measure_across(jaws: Jaws) -> None:
    told = tuple(replace(s, mm=s.mm + jaws.halves * 1.3, jaws=jaws) for s in spans(SQUARE, ALL))
    across = tuple(Across(n, 1.3, 0.01) for n in "abcd")
    assert places(find_pattern(Measured(tuple("abcd"), told, across, ROUND)))["c"] == (10, 10)


def test_an_unsure_drill_makes_its_hole_unsure() -> None:
    told = tuple(replace(s, mm=s.mm + 1.3, jaws=Jaws.OUTSIDE) for s in spans(SQUARE, ALL))
    sure, unsure = (
        pattern(find_pattern(Measured(tuple("abcd"), told, tuple(Across(n, 1.3, e) for n in "abcd"), ROUND))).widest_mm
        for e in (0.0, 0.2)
    )
    assert unsure > 1.5 * sure


@pytest.mark.parametrize("off_mm", [-2.0, -0.4, 0.4, 2.0])
def test_a_reading_that_is_wrong_is_named_and_left_out(off_mm: float) -> None:
    case = made(np.random.default_rng(4), 7, 8, 0.03)
    wrong = replace(case.measured.spans[5], mm=case.measured.spans[5].mm + off_mm)
    told = (*case.measured.spans[:5], wrong, *case.measured.spans[6:])
    answer = pattern(find_pattern(replace(case.measured, spans=told)))
    assert [m.span for m in answer.mistakes] == [wrong]
    assert answer.mistakes[0].off_mm == pytest.approx(off_mm, abs=0.1)
    assert within(case.points, answer)


def test_one_more_span_is_proposed_where_it_sharpens_the_pattern() -> None:
    proposed = [
        pattern(a)
        for s in range(8)
        if isinstance(a := find_pattern(made(np.random.default_rng(s), 6, 4).measured), Pattern)
    ]
    better = [p for p in proposed if p.better is not None]
    assert better and all((p.better.widest_mm or 0) <= 0.75 * p.widest_mm for p in better if p.better)


@pytest.mark.parametrize("seed", range(6))
def test_places_are_those_of_a_general_optimiser(seed: int) -> None:
    """scipy.optimize.least_squares on the same spans, from the true places."""
    case = made(np.random.default_rng(seed), 7, 10, 0.04)
    answer = pattern(find_pattern(case.measured))
    names = case.measured.names

    def left(flat: Any) -> list[float]:
        at = dict(zip(names, flat.reshape(-1, 2), strict=True))
        return [float(np.hypot(*(at[s.a] - at[s.b])) - s.mm) for s in case.measured.spans]

    theirs = least_squares(left, case.points.ravel(), xtol=1e-14, ftol=1e-14, gtol=1e-14).x.reshape(-1, 2)
    assert off(theirs, answer).max() < 1e-5
