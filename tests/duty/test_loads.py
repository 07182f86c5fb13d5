"""Every kind of load on a contact."""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import OLD, TWIN_RATINGS, design, named, outcome, place, rating

from bom.boards.board import Load
from bom.duty.check import contact_findings, duty_findings
from bom.duty.rules import DEFAULT, Rule, rule_named
from bom.relays.relay import Guided, Rating, SupplyKind
from bom.relays.wiring import Element, Kind, Transfer, Wiring
from bom.values.finding import Finding, Outcome

P, C, F, U = Outcome.PASS, Outcome.CONDITION, Outcome.FAIL, Outcome.UNKNOWN
AC = SupplyKind.AC


def found_for(
    load: Load, ratings: tuple[Rating, ...] = TWIN_RATINGS, rule: Rule = DEFAULT, units: int = 1
) -> tuple[Finding, ...]:
    return contact_findings(design(OLD, ratings), place(load=load, units=units), rule)


@pytest.mark.parametrize(
    ("load", "line", "expected"),
    [
        (Load("AC-15", 24, 4, supply=AC), ("B300", 300, AC), P),
        (Load("AC-15", 24, 6, supply=AC), ("B300", 300, AC), F),
        (Load("AC-15", 240, 1.4, supply=AC), ("B300", 300, AC), P),
        (Load("electromagnet", 240, 0.2, supply=AC), ("AC-15", 240, AC), P),
        (Load("electromagnet", 24, 1), ("DC-13", 24, SupplyKind.DC), P),
        (Load("electromagnet", 24, 1), ("R300", 300, SupplyKind.DC), P),
        (Load("electromagnet", 48, 1), ("R300", 300, SupplyKind.DC), F),
        (Load("solenoid", 24, 1, lr_ms=40), ("DC-13", 24, SupplyKind.DC), P),
        (Load("AC-15", 400, 1, supply=AC), ("B300", 300, AC), U),
        (Load("DC-1", 24, 1), ("resistive", 24, SupplyKind.DC), P),
        (Load("general", 230, 1, supply=AC), ("resistive", 250, AC), P),
    ],
)
def test_electromagnets_by_category_and_by_designation(
    load: Load, line: tuple[str, float, SupplyKind], expected: Outcome
) -> None:
    kind, volts, supply = line
    amps = None if kind[0] in "BR" else 2.0
    lines = (Rating("TW2", "both", kind, supply, volts, amps, temp_c=85, source="sheet"),)
    assert outcome(found_for(load, lines), "running") is expected


def test_a_designation_names_its_table_in_the_source() -> None:
    lines = (Rating("TW2", "both", "B300", AC, 300, source="sheet"),)
    assert "B300 by IEC 60947-5-1" in named(found_for(Load("AC-15", 24, 4, supply=AC), lines), "running").source


def test_an_electromagnet_on_a_resistive_line_is_unknown_and_asks_for_its_rating() -> None:
    found = named(found_for(Load("electromagnet", 14, 1)), "start")
    assert found.outcome is U
    assert "DC-13 or pilot duty rating" in found.why


@pytest.mark.parametrize(("lr_ms", "running", "inductance"), [(5, P, P), (20, U, None), (None, P, U)])
def test_an_inductive_line_speaks_up_to_its_l_r(lr_ms: float | None, running: Outcome, inductance: object) -> None:
    lines = (rating("both", "inductive", 30, 3, lr_ms=7),)
    found = found_for(Load("inductive", 24, 2, lr_ms=lr_ms), lines)
    assert outcome(found, "running") is running
    if inductance is None:
        assert "tested with L/R 7 ms, the load has 20 ms" in named(found, "running").why
    else:
        assert outcome(found, "inductance") is inductance


@pytest.mark.parametrize(("lr_ms", "expected"), [(5, P), (7, P), (20, U), (None, U)])
def test_a_rule_for_inductive_loads_has_its_own_limit(lr_ms: float | None, expected: Outcome) -> None:
    rule = rule_named("forty percent inductive")
    assert outcome(found_for(Load("inductive", 14, 5, lr_ms=lr_ms), rule=rule), "start") is expected


@pytest.mark.parametrize(
    ("kind", "amps", "rule", "expected"),
    [
        ("capacitive", 0.5, "relay output module", P),
        ("capacitive", 0.6, "relay output module", F),
        ("led supply", 0.6, "relay output module", F),
        ("solenoid", 1.1, "relay output module", F),
        ("capacitive", 0.5, "times ten lamp, times six motor", U),
        ("lamp", 4, "aircraft switch derating", P),
        ("motor", 10, "aircraft switch derating", P),
        ("lamp", 1.6, "twelve-fold lamp test", P),
        ("resistive", 11, "half stress", F),
    ],
)
def test_rules_by_name_on_a_20_a_contact(kind: str, amps: float, rule: str, expected: Outcome) -> None:
    assert outcome(found_for(Load(kind, 14, amps), rule=rule_named(rule)), "start") is expected


def test_a_mixed_load_goes_by_its_dominant_kind_and_all_its_peaks() -> None:
    load = Load("mixed", 14, 6, mixed=(("lamp", 1.0), ("resistive", 5.0)))
    found = found_for(load)
    assert "taken as lamp" in named(found, "running").why
    assert (outcome(found, "start"), named(found, "start").required) == (P, "15.00 A")
    assert "Caltrans" in named(found, "start").source


def test_contacts_in_parallel_do_not_add() -> None:
    found = named(found_for(Load("resistive", 14, 25, in_parallel=2)), "running")
    assert (found.outcome, found.offered) == (F, "20.0 A")
    assert "do not add" in found.why


@pytest.mark.parametrize(("brake", "stall", "expected"), [(9, None, P), (12, None, F), (None, 9, P), (None, 15, C)])
def test_a_reversed_motor_brakes_through_the_break_contact(
    brake: float | None, stall: float | None, expected: Outcome
) -> None:
    load = Load("motor", 14, 2, stall_amps=stall, brake_amps=brake, reversing=True)
    assert outcome(found_for(load), "braking") is expected


def test_a_part_without_a_break_contact_brakes_nothing() -> None:
    wiring = Wiring("w", (Element("A", "1", Kind.MAKE, "c", "m"),))
    load = Load("motor", 14, 2, stall_amps=15, reversing=True)
    found = contact_findings(replace(design(), wiring=wiring), place(load=load))
    assert not [f for f in found if f.check.startswith("braking")]


def test_amps_read_from_a_table_are_told_at_the_loads_volts() -> None:
    lines = (rating("both", "resistive", 30, 10), rating("both", "resistive", 110, 0.4))
    assert "3.12 A resistive at 48 V DC" in named(found_for(Load("resistive", 48, 1), lines), "running").why


@pytest.mark.parametrize(("units", "expected"), [(1, P), (2, C)])
def test_both_directions_at_once(units: int, expected: Outcome) -> None:
    assert outcome(found_for(Load("motor", 14, 2, reversing=True), units=units), "both on at once") is expected


@pytest.mark.parametrize(("way", "expected"), [(Transfer.MAKE_FIRST, F), (Transfer.BREAK_FIRST, P), (None, P)])
def test_a_make_first_changeover_shorts_a_reversing_pair(way: Transfer | None, expected: Outcome) -> None:
    contacts = (Element("A", "1", Kind.MAKE, "c", "m", transfer=way), Element("A", "1", Kind.BREAK, "c", "b"))
    part = replace(design(), wiring=Wiring("w", contacts))
    found = contact_findings(part, place(load=Load("motor", 14, 2, reversing=True)))
    assert outcome(found, "transfer") is expected


def test_a_hotter_line_is_used_where_one_is_published_and_between_two_it_is_read() -> None:
    lines = (rating("make", "resistive", 14, 20, temp_c=20), rating("make", "resistive", 14, 10, temp_c=90))
    found = found_for(Load("resistive", 14, 12), lines)
    assert named(found, "running").offered == "12.86 A"
    assert outcome(found, "rating temperature") is P


def test_every_finding_on_a_published_line_names_it() -> None:
    found = found_for(Load("motor", 14, 2, stall_amps=9, operations_per_day=10))
    named_lines = [f for f in found if f.check.split(",")[0] in ("running current", "start", "life")]
    assert all("line TW2 make resistive 20 A 14 V DC" in f.source for f in named_lines)


@pytest.mark.parametrize(("years", "expected"), [(None, C), (2, P), (5, C), (10, F)])
def test_life_is_held_against_the_years_wanted(years: float | None, expected: Outcome) -> None:
    load = Load("resistive", 14, 10, operations_per_day=120, life_years=years)
    found = named(found_for(load), "life")
    assert found.outcome is expected
    assert "2.3 to 6.6 years" in found.why


@pytest.mark.parametrize(("heavy", "amps", "light"), [(20, 10, 5), (2, 1, 0.5)])
def test_life_is_read_from_a_published_curve(heavy: float, amps: float, light: float) -> None:
    """Halfway in log-log between 100 000 and a million: the root of their product."""
    lines = tuple(rating("make", "resistive", 14, a, operations=n) for a, n in ((heavy, 1e5), (light, 1e6)))
    found = named(found_for(Load("resistive", 14, amps, operations_per_day=100), lines), "life")
    assert "between the published points" in found.why
    assert "100,000 to 316,000 operations" in found.why


def test_a_line_for_more_volts_speaks_for_life_too() -> None:
    """At more volts and more amps it lasts as long at least; the line used states no operations."""
    lines = (
        rating("make", "resistive", 14, 20, operations=None),
        rating("make", "resistive", 28, 15, operations=5e5),
    )
    found = named(found_for(Load("resistive", 14, 10, operations_per_day=100), lines), "life")
    assert "500,000 to" in found.why


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ((rating("make", "inductive", 14, 3, lr_ms=5), rating("make", "resistive", 14, 20)), F),
        ((rating("make", "inductive", 14, 5, lr_ms=5), rating("make", "resistive", 14, 20)), None),
        ((rating("make", "resistive", 12, 3),), F),
    ],
)
def test_lines_that_give_too_little_refuse_however_easily_they_were_tested(
    lines: tuple[Rating, ...], expected: Outcome | None
) -> None:
    """4 A with L/R 20 ms, where no line was tested as hard."""
    found = found_for(Load("inductive", 14, 4, lr_ms=20, operations_per_day=10), lines)
    assert next((f.outcome for f in found if f.check.startswith("published amps")), None) is expected


def test_operations_nobody_published_are_a_condition() -> None:
    lines = (rating("make", "resistive", 14, 20, operations=None),)
    found = named(found_for(Load("resistive", 14, 20, operations_per_day=100), lines), "life")
    assert (found.outcome, found.offered) == (C, "not stated")


@pytest.mark.parametrize(
    ("functions", "expected"), [((("1", Kind.MAKE), ("2", Kind.BREAK)), P), ((("1", Kind.MAKE), ("1", Kind.BREAK)), C)]
)
def test_a_type_b_part_proves_crosswise(functions: tuple[tuple[str, Kind], ...], expected: Outcome) -> None:
    here = place(load=Load("resistive", 14, 1))
    first = here.position.functions[0]
    used = tuple(replace(first, name=p + k, pole=p, contact=k) for p, k in functions)
    here = replace(here, position=replace(here.position, functions=used))
    part = design(replace(OLD, guided=Guided.B))
    assert outcome(duty_findings(part, here, part), "guided pair") is expected
    assert not [f for f in duty_findings(part, here, design()) if f.check == "guided pair"]
