"""Findings and what they come to."""

from __future__ import annotations

import pytest

from bom.values.finding import Finding, Outcome, Verdict, narrowest_margin, verdict_of, worst_first


def found(outcome: Outcome, margin: float | None = None) -> Finding:
    return Finding("coil", outcome, "because", margin=margin)


@pytest.mark.parametrize(
    ("outcomes", "verdict"),
    [
        ([Outcome.PASS], Verdict.DROP_IN),
        ([Outcome.PASS, Outcome.CONDITION], Verdict.CONDITIONAL),
        ([Outcome.CONDITION, Outcome.UNKNOWN, Outcome.PASS], Verdict.UNKNOWN),
        ([Outcome.UNKNOWN, Outcome.FAIL], Verdict.NO),
        ([], Verdict.UNKNOWN),
    ],
)
def test_the_worst_outcome_decides(outcomes: list[Outcome], verdict: Verdict) -> None:
    assert verdict_of([found(o) for o in outcomes]) is verdict


def test_the_worst_reason_comes_first_and_then_the_smallest_margin() -> None:
    listed = [found(Outcome.PASS, 0.5), found(Outcome.PASS, 0.1), found(Outcome.FAIL), found(Outcome.PASS)]
    assert [f.margin for f in worst_first(listed)] == [None, 0.1, 0.5, None]


def test_the_narrowest_margin_leaves_out_checks_without_one() -> None:
    assert narrowest_margin([found(Outcome.PASS), found(Outcome.PASS, 0.2)]) == 0.2
    assert narrowest_margin([found(Outcome.PASS)]) is None


def test_a_verdict_is_said_with_a_hyphen() -> None:
    assert Verdict.DROP_IN.words == "drop-in"
