"""A contact that a rule of thumb alone refuses, beside the fitted part that it refuses as well."""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import OLD, design, named, place, rating

from bom.boards.board import Load
from bom.duty.check import contact_findings, duty_findings
from bom.duty.margins import held_alone
from bom.duty.rules import DEFAULT, rule_named
from bom.relays.relay import Rating
from bom.values.finding import Finding, Outcome

C, F, U = Outcome.CONDITION, Outcome.FAIL, Outcome.UNKNOWN
LAMPS = Load("lamp", 13.5, 6.2)
SHARES = Load("mixed", 13.5, mixed=(("lamp", 6.2), ("resistive", 1.0)))
PLAIN = rating("make", "resistive", 14, 20)


def start(load: Load, ours: Rating, theirs: Rating | None, rule: str = DEFAULT.name) -> Finding:
    fitted = None if theirs is None else design(ratings=(theirs,))
    return named(contact_findings(design(ratings=(ours,)), place(load=load), rule_named(rule), fitted), "start")


@pytest.mark.parametrize("load", [LAMPS, SHARES])
@pytest.mark.parametrize(
    ("why", "ours", "theirs", "expected"),
    [
        ("62 A of 20 A", PLAIN, None, F),
        ("as the fitted part", PLAIN, PLAIN, C),
        ("more than the fitted part", replace(PLAIN, amps=25), PLAIN, C),
        ("less than the fitted part", PLAIN, replace(PLAIN, amps=25), F),
        ("the rule does not refuse the fitted part", PLAIN, replace(PLAIN, amps=80), F),
    ],
)
def test_no_worse_than_the_fitted_part_is_a_condition(
    load: Load, why: str, ours: Rating, theirs: Rating | None, expected: Outcome
) -> None:
    assert start(load, ours, theirs).outcome is expected, why


def test_it_says_what_the_fitted_part_has() -> None:
    assert start(LAMPS, PLAIN, PLAIN).why.startswith(
        "no worse than the fitted part, which the rule refuses too (20.0 A)"
    )


def test_a_published_figure_refuses_whatever_was_fitted() -> None:
    lamp = rating("make", "lamp", 14, 5)
    found = contact_findings(design(ratings=(lamp,)), place(load=LAMPS), DEFAULT, design(ratings=(lamp,)))
    assert named(found, "running").outcome is F


def test_the_fitted_part_is_no_measure_of_itself() -> None:
    weak = replace(OLD, operate_volts=9.9)
    at = place(supply=(10, 14.4), load=LAMPS)
    found = duty_findings(design(weak, (PLAIN,)), at, design(weak, (PLAIN,)))
    for check in ("pull-in when hot", "start"):
        condition = named(found, check)
        alone = held_alone(condition)
        assert (condition.outcome, alone.outcome) == (C, F)
        assert "fitted part" not in alone.why and alone.why in condition.why
    assert held_alone(named(found, "coil supply")) == named(found, "coil supply")
