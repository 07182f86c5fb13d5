"""Each limit of the contacts bites where it stands: just inside it and just outside."""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import OLD, TWIN_RATINGS, design, named, outcome, place, rating

from bom.boards.board import Load
from bom.duty import published_ratings as ratings
from bom.duty.categories import CATEGORIES, DC_13_MOST_MS, all_designations, dc_13_t95_ms, electromagnet_category
from bom.duty.check import contact_findings
from bom.duty.contact_picture import contact_pictures
from bom.duty.rules import rule_named
from bom.relays.relay import Rating, Relay, SupplyKind
from bom.values.finding import Finding, Outcome

P, C, F, U = Outcome.PASS, Outcome.CONDITION, Outcome.FAIL, Outcome.UNKNOWN
AC = SupplyKind.AC


def found_for(load: Load, lines: tuple[Rating, ...] = TWIN_RATINGS, relay: Relay = OLD) -> tuple[Finding, ...]:
    return contact_findings(design(relay, lines), place(load=load))


@pytest.mark.parametrize(
    ("volts", "amps", "expected"), [(12, 0.5, P), (11.9, 0.5, U), (12, 0.49, U), (13, 0.52, P), (8, 0.4, U)]
)
def test_silver_keeps_itself_clean_from_12_v_and_half_an_amp(volts: float, amps: float, expected: Outcome) -> None:
    """Source 7 prints 12 V and 0.4 A, the FAA 8 V and 0.5 A: the higher of each."""
    assert outcome(found_for(Load("resistive", volts, amps)), "minimum load") is expected


@pytest.mark.parametrize(("amps", "expected"), [(10.0, P), (10.1, U), (10.9, U)])
def test_half_a_rating_holds_at_any_heat(amps: float, expected: Outcome) -> None:
    line = rating("make", "resistive", 14, 20, temp_c=None)
    assert outcome(found_for(Load("resistive", 14, amps), (line,)), "rating temperature") is expected


def test_half_a_rating_is_what_a_cool_contact_is_held_to() -> None:
    line = rating("make", "resistive", 14, 20, temp_c=None)
    found = named(found_for(Load("resistive", 14, 8), (line,)), "rating temperature")
    assert (found.required, found.offered, found.margin) == ("8 A", "10 A", pytest.approx(0.25))
    assert found.why.startswith("8 A is half or less of 20 A")


def lasting(load: Load, line: Rating, relay: Relay = OLD) -> Finding:
    return named(found_for(replace(load, operations_per_day=100), (line,), relay), "life")


def test_a_rating_without_operations_is_taken_at_a_hundred_thousand() -> None:
    found = lasting(Load("resistive", 14, 20), rating("make", "resistive", 14, 20, operations=None))
    assert found.why.startswith("100,000 operations last 2.7 years of 100 a day; at least 100,000 as usual, none")


def test_no_contact_outlasts_its_mechanism() -> None:
    """1 A of 20 A would be 20 to the 1.53, 97 times; ten times is the least a mechanism does, 3 million are stated."""
    line = rating("make", "resistive", 14, 20, operations=100_000)
    assert "100,000 to 1,000,000 operations" in lasting(Load("resistive", 14, 1), line).why
    assert (
        "100,000 to 3,000,000 operations"
        in lasting(Load("resistive", 14, 1), line, replace(OLD, mechanical_ops=3e6)).why
    )


@pytest.mark.parametrize(
    ("kind", "supply", "most"),
    [("resistive", SupplyKind.DC, "289,000"), ("resistive", AC, "248,000"), ("inductive", SupplyKind.DC, "200,000")],
)
def test_half_the_amps_last_longer_by_the_slope_for_their_kind(kind: str, supply: SupplyKind, most: str) -> None:
    """2 to the 1.53 is 2.89, to the 1.31 is 2.48, to the 1 is 2."""
    line = rating("make", kind, 30, 10, supply=supply, operations=100_000, lr_ms=7, power_factor=0.4)
    load = Load(kind, 24, 5, supply=supply, lr_ms=7, power_factor=0.4)
    assert f"100,000 to {most}" in lasting(load, line).why


@pytest.mark.parametrize(("amps", "read"), [(20, False), (10, True)])
def test_the_slope_is_cited_where_it_was_used(amps: float, read: bool) -> None:
    found = lasting(Load("resistive", 14, amps), rating("make", "resistive", 14, 20))
    assert ("slope of the life table" in found.source) is read


@pytest.mark.parametrize(("years", "expected"), [(2.7, P), (2.75, F)])
def test_a_year_has_365_days(years: float, expected: Outcome) -> None:
    """100 000 operations at 100 a day are 2.74 years."""
    load = Load("resistive", 14, 20, operations_per_day=100, life_years=years)
    found = named(found_for(load, (rating("make", "resistive", 14, 20),)), "life")
    assert found.outcome is expected
    assert found.margin == pytest.approx(100_000 / (years * 365 * 100) - 1)


@pytest.mark.parametrize(("a_day", "expected"), [(54, P), (55, C)])
def test_where_nobody_states_the_years_five_are_asked(a_day: float, expected: Outcome) -> None:
    """100 000 operations in 5 times 365 days are 54.8 a day; fewer years are a condition."""
    load = Load("resistive", 14, 20, operations_per_day=a_day)
    found = named(found_for(load, (rating("make", "resistive", 14, 20),)), "life")
    assert found.outcome is expected


@pytest.mark.parametrize(
    ("name", "make", "broken", "power_factor", "time_ms"),
    [
        ("AC-12", 1, 1, 0.9, None),
        ("AC-13", 2, 1, 0.65, None),
        ("AC-14", 6, 1, 0.3, None),
        ("AC-15", 10, 1, 0.3, None),
        ("DC-12", 1, 1, None, 1),
        ("DC-13", 1, 1, None, None),
        ("DC-14", 10, 1, None, 15),
        ("AC-1", 1.5, 1.5, 0.8, None),
        ("AC-3", 10, 8, 0.45, None),
        ("AC-4", 12, 10, 0.45, None),
        ("DC-1", 1.5, 1.5, None, 1.0),
        ("DC-3", 4, 4, None, 2.5),
        ("DC-5", 4, 4, None, 15),
        ("DC-6", 1.5, 1.5, None, None),
    ],
)
def test_a_categorys_figures_are_those_written_down(
    name: str, make: float, broken: float, power_factor: float | None, time_ms: float | None
) -> None:
    """Self-consistency of the copied table (IEC 60947-5-1 and 60947-4-1, partly from memory)."""
    row = CATEGORIES[name]
    assert (row.make_times, row.break_times, row.power_factor, row.time_ms) == (make, broken, power_factor, time_ms)


@pytest.mark.parametrize(
    ("name", "times"),
    [("AC-1", 1), ("AC-3", 6), ("AC-4", 6), ("DC-1", 1), ("DC-3", 2.5), ("DC-5", 2.5), ("DC-6", 1), ("AC-14", 6)],
)
def test_what_a_category_makes_at_every_start(name: str, times: float) -> None:
    assert CATEGORIES[name].start_times == times


@pytest.mark.parametrize(
    ("name", "printed"),
    [
        (
            "AC-15",
            "makes 10 and breaks 1 times its amps at power factor 0.3; its durability test makes at power factor ",
        ),
        ("DC-13", "; T0.95 is 6 ms for each watt, to 300 ms"),
        ("AC-3", "makes 10 and breaks 8 times its amps at power factor 0.45, and at every start 6 times"),
        (
            "DC-3",
            "makes 4 and breaks 4 times its amps at 2.5 ms, and at every start 2.5 times; defined elsewhere by L/R",
        ),
    ],
)
def test_a_category_is_said_in_a_line(name: str, printed: str) -> None:
    assert printed in CATEGORIES[name].prints


def test_the_durability_test_of_ac_15_has_power_factors_of_its_own() -> None:
    assert "makes at power factor 0.7 and breaks at 0.4, " in CATEGORIES["AC-15"].prints
    assert "defined elsewhere" not in CATEGORIES["DC-1"].prints


def test_a_magnets_category_follows_its_size() -> None:
    assert [electromagnet_category(24, amps, AC) for amps in (3.0, 3.01)] == ["AC-14", "AC-15"]
    assert electromagnet_category(24, 30, SupplyKind.DC) == "DC-13"
    assert (dc_13_t95_ms(24, 2.05), dc_13_t95_ms(24, 2.1)) == (pytest.approx(295.2), DC_13_MOST_MS)


@pytest.mark.parametrize(("volts", "expected"), [(16.0, P), (16.1, P), (28, P), (32.0, P), (32.1, U)])
def test_the_table_for_aircraft_reaches_the_highest_supply_of_each_system(volts: float, expected: Outcome) -> None:
    """A lamp of 1 A needs 5 A to 16 V and 8 A to 32 V; nothing is printed above."""
    line = rating("make", "resistive", 40, 8.5)
    found = contact_findings(design(ratings=(line,)), place(load=Load("lamp", volts, 1)), rule_named(AIRCRAFT))
    assert outcome(found, "start") is expected


AIRCRAFT = "aircraft switch derating"


@pytest.mark.parametrize(("volts", "asked"), [(12, "5.00 A"), (16, "5.00 A"), (16.1, "8.00 A"), (32, "8.00 A")])
def test_a_12_v_table_serves_to_16_v_and_a_28_v_table_to_32(volts: float, asked: str) -> None:
    line = rating("make", "resistive", 40, 20)
    found = contact_findings(design(ratings=(line,)), place(load=Load("lamp", volts, 1)), rule_named(AIRCRAFT))
    assert named(found, "start").required == asked


@pytest.mark.parametrize(
    ("rule", "kind", "size"),
    [
        ("equal stress", "resistive", 1.0),
        ("equal stress", "inductive", 2.0),
        ("equal stress", "lamp", 4.0),
        ("reliability level two", "resistive", 1 / 0.75),
        ("reliability level two", "inductive", 2.5),
        ("half stress", "resistive", 2.0),
        ("forty percent inductive", "inductive", 2.5),
        ("forty percent inductive", "resistive", 1.0),
    ],
)
def test_a_percentage_is_turned_into_a_size(rule: str, kind: str, size: float) -> None:
    assert rule_named(rule).size(kind, 14) == pytest.approx(size)


def test_a_designation_says_its_row_in_a_line() -> None:
    said = {d.name: d.prints for d in all_designations()}
    assert said["A600"] == (
        "AC, 10 A continuously; makes 60 A and breaks 6 A at 120 V, makes 30 A and breaks 3 A at 240 V, "
        "makes 15 A and breaks 1.5 A at 480 V, makes 12 A and breaks 1.2 A at 600 V"
    )
    assert said["N600"] == "DC, 10 A continuously; 2.2 A at 125 V, 1.1 A at 250 V, 0.4 A at 600 V"
    assert said["R300"].endswith("0.11 A at 250 V (some catalogues print 0.1 A at 250 V)")


def test_three_lines_are_named_where_none_speaks_for_the_load() -> None:
    lines = tuple(rating("make", "lamp", 14, amps) for amps in (1, 2, 3, 4))
    assert named(found_for(Load("resistive", 14, 2), lines), "running").why.count("line TW2") == 3


@pytest.mark.parametrize(("contacts", "said"), [(None, False), (1, False), (2, True)])
def test_contacts_in_parallel_are_spoken_of_from_two_on(contacts: int | None, said: bool) -> None:
    found = named(found_for(Load("resistive", 14, 5, in_parallel=contacts)), "running")
    assert ("do not add" in found.why, "in parallel" in found.source) == (said, said)


def drawn(line: Rating, kind: str) -> dict[str, tuple[tuple[float, float], ...]]:
    here = place(load=Load(kind, 24, 0.5, supply=line.supply))
    volts = contact_pictures(design(ratings=(line,)), here)[0]
    return {limit.moment: limit.points for limit in volts.limits}


def test_a_designation_is_drawn_at_the_volts_that_circuits_have() -> None:
    a600, n600 = Rating("x", "make", "A600", AC, 600), Rating("x", "make", "N600", SupplyKind.DC, 600)
    amps = dict(drawn(a600, "AC-15")["break"])
    assert amps == {12: 10, 24: 10, 48: 10, 72: 10, 120: 6, 125: 5.76, 240: 3, 250: 2.88, 300: 2.4, 480: 1.5, 600: 1.2}
    assert dict(drawn(n600, "DC-13")["break"])[480] == 0.4


@pytest.mark.parametrize(
    ("kind", "moments"), [("AC-15", {"break", "make"}), ("AC-13", {"break", "make"}), ("AC-12", {"break"})]
)
def test_a_category_is_drawn_as_made_only_where_it_makes_more(kind: str, moments: set[str]) -> None:
    assert set(drawn(rating("make", kind, 240, 3, supply=AC), kind)) == moments


def test_no_running_current_passes() -> None:
    assert named(found_for(Load("resistive", 14, 0.0)), "running").why == "no running current"


@pytest.mark.parametrize(("seconds", "said"), [(3.0, "35 A for 3 s"), (None, "35 A for a time that is not stated")])
def test_how_long_a_carry_lasts_is_said_or_that_nobody_states_it(seconds: float | None, said: str) -> None:
    line = rating("make", "resistive", 14, 20, carry_amps=35, carry_seconds=seconds)
    found = named(found_for(Load("motor", 14, 6, stall_amps=40), (line,)), "stall")
    assert (found.outcome, said in found.why) == (F, True)


def test_a_stall_that_is_carried_for_a_time_nobody_states_is_unknown() -> None:
    line = rating("make", "resistive", 14, 20, carry_amps=35, carry_seconds=None)
    assert outcome(found_for(Load("motor", 14, 6, stall_amps=30), (line,)), "stall") is U


@pytest.mark.parametrize(("stall", "seconds", "expected"), [(30, 5.0, P), (30, 5.1, F), (45, 2.0, P), (45, 2.1, F)])
def test_the_longest_carry_that_reaches_the_stall_is_used(stall: float, seconds: float, expected: Outcome) -> None:
    lines = tuple(
        rating("make", "resistive", 14, 20, carry_amps=amps, carry_seconds=lasts)
        for amps, lasts in ((35, 5), (35, 3), (50, 2))
    )
    load = Load("motor", 14, 6, stall_amps=stall, stall_seconds=seconds)
    assert outcome(found_for(load, lines), "stall") is expected


@pytest.mark.parametrize(
    ("milliwatts", "milliamps", "amps", "expected"),
    [(280, None, 0.0200, P), (280, None, 0.0199, F), (None, 20, 0.0200, P), (None, 20, 0.0199, F)],
)
def test_a_least_load_is_met_at_its_figure(
    milliwatts: float | None, milliamps: float | None, amps: float, expected: Outcome
) -> None:
    """14 V and 20 mA are 280 mW."""
    part = replace(OLD, min_load_milliwatts=milliwatts, min_load_milliamps=milliamps)
    assert outcome(found_for(Load("resistive", 14, amps), relay=part), "minimum load") is expected


def test_a_share_the_rule_is_silent_on_counts_once_among_the_kinds() -> None:
    """The usual rule prints nothing of capacitive loads: 0.95 A of those are less than 1 A of a resistive load."""
    load = Load("mixed", 14, mixed=(("resistive", 1.0), ("capacitive", 0.95)))
    line = rating("make", "resistive", 14, 20)
    assert "taken as resistive" in named(found_for(load, (line,)), "running").why


@pytest.mark.parametrize(("together", "expected"), [(1, P), (2, C), (None, U)])
def test_two_units_on_together_brake_a_reversing_pair(together: int | None, expected: Outcome) -> None:
    here = place(load=Load("motor", 14, 2, reversing=True))
    here = replace(here, position=replace(here.position, units_on_together=together))
    assert outcome(contact_findings(design(), here), "both on at once") is expected


@pytest.mark.parametrize(
    ("stall", "measured", "expected"), [(10, None, P), (10.1, None, C), (20, 10, P), (20, 10.1, F)]
)
def test_a_brake_current_is_held_to_what_the_break_contact_makes(
    stall: float, measured: float | None, expected: Outcome
) -> None:
    load = Load("motor", 14, 2, stall_amps=stall, brake_amps=measured, reversing=True)
    assert outcome(found_for(load), "braking") is expected


def test_a_small_current_is_cool_at_any_heat_too() -> None:
    line = rating("make", "resistive", 14, 20, temp_c=None)
    assert outcome(found_for(Load("resistive", 14, 0.5), (line,)), "rating temperature") is P


def test_a_contact_that_is_published_to_make_nothing_at_these_volts_is_unknown_to_brake() -> None:
    """R300 ends at 300 V, and a line above its own volts makes nothing there."""
    beyond = Rating("TW2", "break", "R150", SupplyKind.DC, 300)
    load = Load("DC-13", 200, 0.1, brake_amps=0.05, reversing=True)
    assert outcome(found_for(load, (beyond,)), "braking") is U


@pytest.mark.parametrize(
    ("low", "high", "volts"), [((30, 0), (110, 1), 50), ((30, 1), (30, 1), 30), ((0, 1), (9, 1), 5)]
)
def test_nothing_is_read_through_a_point_that_log_log_does_not_have(
    low: tuple[float, float], high: tuple[float, float], volts: float
) -> None:
    assert ratings.amps_between(low, high, volts) == 0


def test_a_rule_that_prints_no_power_factor_says_so_as_none() -> None:
    load = Load("inductive", 14, 2, lr_ms=20)
    found = contact_findings(design(), place(load=load), rule_named("forty percent inductive"))
    assert "to L/R 7 ms or power factor 0.4 only" in named(found, "start").why


@pytest.mark.parametrize(("load", "said"), [(Load("resistive", 14, 10), False), (Load("lamp", 14, 2, 15), True)])
def test_a_peak_counted_as_broken_each_time_is_said(load: Load, said: bool) -> None:
    line = rating("make", "resistive", 14, 20)
    assert ("as if 15 A were broken each time" in lasting(load, line).why) is said
    assert ("broken each time" in lasting(load, line).why) is said


@pytest.mark.parametrize(
    ("line", "lr_ms"),
    [
        (rating("make", "DC-13", 24, 2), 96),  # 6 ms for each of 48 W, a third of it
        (rating("make", "N300", 24, 2), 96),
        (rating("make", "DC-13", 24, 2, lr_ms=40), 40),
        (rating("make", "inductive", 24, 2), None),
        (rating("make", "DC-13", 24, None), None),  # type: ignore[arg-type]
    ],
)
def test_what_time_constant_a_line_was_tested_with(line: Rating, lr_ms: float | None) -> None:
    assert ratings.tested_lr_ms(line) == (None if lr_ms is None else pytest.approx(lr_ms))


@pytest.mark.parametrize(("power_factor", "speaks"), [(0.35, True), (0.34, False), (None, True)])
def test_a_pilot_duty_line_speaks_to_its_power_factor(power_factor: float | None, speaks: bool) -> None:
    """0.35 is what AC designations are tested at."""
    line, load = rating("make", "B300", 240, 5, supply=AC), Load("inductive", 240, 1, supply=AC)
    assert ratings.as_hard(line, replace(load, power_factor=power_factor)) is speaks


@pytest.mark.parametrize(("kind", "alike"), [("AC-15", True), ("AC-14", False), ("resistive", False)])
def test_a_load_of_a_category_is_tested_as_its_own_line_was(kind: str, alike: bool) -> None:
    """A load of 100 VA is AC-15; without figures of its own only its amps are asked."""
    assert (
        ratings.tested_as_its_kind(rating("make", kind, 240, 3, supply=AC), Load("AC-15", 230, 2, supply=AC)) is alike
    )


@pytest.mark.parametrize(("name", "differs"), [("R300", True), ("Q300", False)])
def test_only_r300_differs_between_catalogues(name: str, differs: bool) -> None:
    offer = ratings.best_offer([rating("make", name, 250, 0.1)], Load("DC-13", 125, 0.05))
    assert offer is not None and ("some catalogues print" in offer.source) is differs


def test_no_line_makes_nothing() -> None:
    assert ratings.making_amps([], Load("motor", 14, 2)) == 0


@pytest.mark.parametrize(
    ("kind", "states"), [("AC-13", True), ("AC-12", False), ("B300", True), ("resistive", False), ("DC-3", True)]
)
def test_a_line_that_prints_more_than_its_amps_states_its_start(kind: str, states: bool) -> None:
    assert ratings.states_start(rating("make", kind, 24, 2)) is states


@pytest.mark.parametrize(("power_factor", "expected"), [(0.4, P), (0.41, P), (0.39, U), (None, U)])
def test_the_rule_of_forty_percent_reaches_to_its_power_factor(power_factor: float | None, expected: Outcome) -> None:
    load = Load("inductive", 24, 2, supply=AC, power_factor=power_factor)
    line = rating("make", "resistive", 30, 10, supply=AC)
    found = contact_findings(design(ratings=(line,)), place(load=load), rule_named("forty percent inductive"))
    assert outcome(found, "start") is expected


def test_a_category_makes_a_multiple_of_the_loads_amps() -> None:
    """AC-15 makes ten times."""
    line = rating("make", "resistive", 250, 10, supply=AC)
    found = named(found_for(Load("AC-15", 230, 2, supply=AC), (line,)), "start")
    assert (found.outcome, found.why.startswith("AC-15 makes 20 A and is hard to break")) == (U, True)


@pytest.mark.parametrize(("amps", "inrush", "makes"), [(None, None, 0), (0.05, None, 0.05), (None, 0.05, 0.05)])
def test_what_a_line_does_not_state_it_does_not_make(amps: float | None, inrush: float | None, makes: float) -> None:
    line = rating("make", "resistive", 24, amps, inrush_amps=inrush)  # type: ignore[arg-type]
    assert ratings.making_amps([line], Load("motor", 14, 2)) == makes


@pytest.mark.parametrize(("operations", "works"), [(None, True), (50, False), (999, False), (1000, True)])
def test_a_line_for_fewer_than_a_thousand_operations_is_an_overload_test(operations: float | None, works: bool) -> None:
    """Where the border lies is common practice, no source."""
    assert ratings.is_working(rating("make", "resistive", 28, 20, operations=operations)) is works


@pytest.mark.parametrize(
    ("why", "own", "both", "kept"),
    [
        ("20 A for both, and 10 A for its own", {"amps": 10}, {"amps": 20}, False),
        ("as much as its own", {"amps": 20}, {"amps": 20}, True),
        ("longer at the same amps", {"amps": 20}, {"amps": 20, "operations": 2e5}, False),
        ("longer at fewer amps", {"amps": 20}, {"amps": 10, "operations": 2e5}, True),
        ("longer, and its own is for whatever amps", {"amps": None}, {"amps": 0.05, "operations": 2e5}, False),
        ("longer for no amps at all", {"amps": 0.05}, {"amps": None, "operations": 2e5}, True),
    ],
)
def test_a_line_for_both_contacts_says_no_more_than_the_contacts_own(
    why: str, own: dict[str, float | None], both: dict[str, float | None], kept: bool
) -> None:
    line = rating("make", "resistive", 28, 20)
    lines = (replace(line, **own), replace(line, contact="both", **both))  # type: ignore[arg-type]
    assert (lines[1] in ratings.own_first(lines)) is kept, why


def test_what_a_contact_carries_for_a_time_is_its_own_line_and_only_without_one_that_for_both() -> None:
    own = rating("make", "resistive", 14, 20, carry_amps=35, carry_seconds=3)
    both = replace(own, contact="both", carry_amps=60)
    assert ratings.carry_lines((own, both), Load("motor", 14, 5)) == (own,)
    assert ratings.carry_lines((both,), Load("motor", 14, 5)) == (both,)
