"""Stated peaks against what a line prints of starts, and which of joined rules is used.

Nothing here is held to the outside world; the figures are invented.
"""

from __future__ import annotations

import pytest
from duty_cases import design, named, outcome, place, rating

from bom.boards.board import Load
from bom.duty.categories import CATEGORIES
from bom.duty.check import contact_findings
from bom.duty.rules import DEFAULT, rule_named
from bom.relays.relay import Rating, SupplyKind
from bom.values.finding import Finding, Outcome

P, C, F, U = Outcome.PASS, Outcome.CONDITION, Outcome.FAIL, Outcome.UNKNOWN
AC = SupplyKind.AC


def found_for(load: Load, *lines: Rating, rule: str = DEFAULT.name) -> tuple[Finding, ...]:
    return contact_findings(design(ratings=lines), place(load=load), rule_named(rule))


@pytest.mark.parametrize(
    ("load", "line", "expected"),
    [
        (Load("AC-15", 240, 2, inrush_amps=29, supply=AC), rating("make", "AC-15", 240, 3, supply=AC), P),
        (Load("AC-15", 240, 2, inrush_amps=31, supply=AC), rating("make", "AC-15", 240, 3, supply=AC), F),
        (Load("AC-15", 120, 2, inrush_amps=61, supply=AC), Rating("x", "make", "A300", AC, 300), F),
        (Load("motor", 240, 4, stall_amps=24, supply=AC), rating("make", "AC-3", 240, 4, supply=AC), P),
        (Load("motor", 240, 4, stall_amps=39, supply=AC), rating("make", "AC-3", 240, 4, supply=AC), U),
        (Load("DC-1", 24, 10, inrush_amps=14), rating("make", "DC-1", 24, 10), F),
        (Load("lamp", 14, 6, inrush_amps=62), rating("make", "lamp", 14, 10), P),
        (Load("lamp", 14, 6, inrush_amps=120), rating("make", "lamp", 14, 10), U),
        (Load("capacitive", 14, 5, inrush_amps=300), rating("make", "capacitive", 14, 10), U),
        (Load("DC-13", 24, 2, inrush_amps=4), rating("make", "DC-13", 24, 3), F),
        (Load("inductive", 14, 2, inrush_amps=40, lr_ms=5), rating("make", "inductive", 14, 3, lr_ms=7), U),
    ],
)
def test_a_stated_peak_passes_only_what_is_printed(load: Load, line: Rating, expected: Outcome) -> None:
    assert outcome(found_for(load, line), "start") is expected


def test_a_lines_own_inrush_comes_before_a_higher_resistive_line() -> None:
    lines = rating("make", "lamp", 14, 5, inrush_amps=50), rating("make", "resistive", 14, 60)
    assert outcome(found_for(Load("lamp", 14, 4, inrush_amps=55), *lines), "start") is F


def test_a_contactors_capacity_test_is_no_every_day_start() -> None:
    assert (CATEGORIES["AC-3"].make_times, CATEGORIES["AC-3"].start_times) == (10, 6)
    assert CATEGORIES["AC-15"].start_times == 10


@pytest.mark.parametrize(("lr_ms", "expected"), [(48, P), (80, U)])
def test_a_pilot_duty_line_was_tested_with_the_magnet_of_the_loads_volts(lr_ms: float, expected: Outcome) -> None:
    """R300 at 24 V gives 1 A: 24 W, 144 ms to 95 %, 48 ms of L/R; not the 300 ms of its highest volts."""
    line = Rating("x", "make", "R300", SupplyKind.DC, 300)
    assert outcome(found_for(Load("inductive", 24, 0.5, lr_ms=lr_ms), line), "running") is expected


def test_a_designation_for_ac_written_in_a_dc_line_serves_neither() -> None:
    line = Rating("x", "make", "A300", SupplyKind.DC, 300)
    assert outcome(found_for(Load("resistive", 24, 5), line), "running") is U


@pytest.mark.parametrize(
    ("rule", "asked"),
    [
        ("aircraft switch derating + times ten lamp, times six motor", "5.00 A"),
        ("times ten lamp, times six motor + aircraft switch derating", "10.0 A"),
    ],
)
def test_of_joined_rules_the_first_that_speaks_is_used_and_named_alone(rule: str, asked: str) -> None:
    start = named(found_for(Load("lamp", 14, 1), rating("make", "resistive", 14, 20), rule=rule), "start")
    assert start.required.removesuffix(" A") in (asked.removesuffix(" A"), f"{float(asked[:-2]):.2f}")
    assert rule.split(" + ")[0] in start.source
    assert rule.split(" + ")[1] not in start.source


def test_a_dc_table_says_nothing_of_ac() -> None:
    load, line = Load("lamp", 24, 1, supply=AC), rating("make", "resistive", 24, 20, supply=AC)
    assert outcome(found_for(load, line, rule="aircraft switch derating"), "start") is U


def test_a_mixed_load_draws_no_less_than_its_shares() -> None:
    load = Load("mixed", 14, 2, mixed=(("resistive", 15.0), ("lamp", 6.0)))
    assert outcome(found_for(load, rating("make", "resistive", 14, 20)), "running") is F


@pytest.mark.parametrize(("kind", "expected"), [("resistive", P), ("motor", C)])
def test_years_wanted_are_not_promised_by_another_loads_line(kind: str, expected: Outcome) -> None:
    load = Load(kind, 14, 2, stall_amps=8, operations_per_day=10, life_years=5)
    assert outcome(found_for(load, rating("make", "resistive", 14, 20)), "life") is expected


@pytest.mark.parametrize(
    ("load", "rule", "expected"),
    [
        (Load("inductive", 14, 2, inrush_amps=3, lr_ms=5), DEFAULT.name, U),
        (Load("inductive", 14, 2, inrush_amps=3, lr_ms=5), "forty percent inductive", P),
        (Load("inductive", 14, 9, inrush_amps=9, lr_ms=5), "forty percent inductive", F),
        (Load("inductive", 14, 2, inrush_amps=3, lr_ms=40), "forty percent inductive", U),
        (Load("electromagnet", 14, 1, inrush_amps=1), DEFAULT.name, U),
        (Load("solenoid", 14, 1, inrush_amps=10), "relay output module", U),
        (Load("motor", 14, 2, stall_amps=9), DEFAULT.name, P),
        (Load("lamp", 14, 1, inrush_amps=9), DEFAULT.name, P),
    ],
)
def test_a_winding_whose_peak_is_made_is_still_to_be_broken(load: Load, rule: str, expected: Outcome) -> None:
    assert outcome(found_for(load, rating("make", "resistive", 14, 20), rule=rule), "start") is expected


@pytest.mark.parametrize(("load", "expected"), [(Load("motor", 230, 2, power_factor=0.7, supply=AC), P)])
def test_a_rule_goes_on_from_a_resistive_line_however_that_was_tested(load: Load, expected: Outcome) -> None:
    line = rating("make", "general", 250, 16, power_factor=1.0, supply=AC)
    assert outcome(found_for(load, line), "start") is expected
    assert outcome(found_for(Load("resistive", 230, 2, power_factor=0.7, supply=AC), line), "running") is U


def test_where_no_line_speaks_for_the_load_those_there_are_are_named() -> None:
    found = named(found_for(Load("resistive", 14, 2), rating("make", "lamp", 14, 5)), "running")
    assert "line TW2 make lamp 5 A 14 V DC" in found.why
    assert "an inductive" in named(found_for(Load("inductive", 14, 2), rating("make", "lamp", 14, 5)), "running").why


def test_a_mixed_loads_shares_may_each_have_their_rule() -> None:
    load = Load("mixed", 14, mixed=(("lamp", 1.0), ("capacitive", 0.1)))
    rule = f"{DEFAULT.name} + relay output module"
    start = named(found_for(load, rating("make", "resistive", 14, 20), rule=rule), "start")
    assert (start.outcome, start.required) == (P, "14.00 A")
