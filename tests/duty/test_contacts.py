"""The contacts: published ratings first, then a named rule, then unknown."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from duty_cases import DRIVER, OLD, TWIN_RATINGS, design, named, outcome, place, rating

from bom.boards.board import Load
from bom.duty.check import contact_findings, duty_findings
from bom.duty.rules import DEFAULT, rule_named, rule_names
from bom.relays.relay import Rating, SupplyKind, Suppression
from bom.relays.wiring import Kind
from bom.values.finding import Finding, Outcome, Verdict, verdict_of

P, C, F, U = Outcome.PASS, Outcome.CONDITION, Outcome.FAIL, Outcome.UNKNOWN
LAMPS = Load("lamp", 13.5, 6.2)
WINCH = Load("motor", 14, 6)


def found_for(load: Load, ratings: tuple[Rating, ...] = TWIN_RATINGS, contact: Kind = Kind.MAKE) -> tuple[Finding, ...]:
    return contact_findings(design(OLD, ratings), place(load=load, contact=contact))


@pytest.mark.parametrize(("contact", "expected"), [(Kind.MAKE, P), (Kind.BREAK, F)])
def test_the_break_contact_has_its_own_rating(contact: Kind, expected: Outcome) -> None:
    assert outcome(found_for(Load("resistive", 14, 15), contact=contact), "running") is expected


def test_an_ac_rating_never_serves_dc() -> None:
    ac = (rating("both", "resistive", 250, 16, supply=SupplyKind.AC),)
    found = named(found_for(Load("motor", 24, 10), ac), "running")
    assert found.outcome is U
    assert "only AC is published" in found.why


def test_nothing_is_read_beyond_the_highest_published_volts() -> None:
    assert outcome(found_for(Load("resistive", 24, 1)), "running") is U


@pytest.mark.parametrize(("volts", "offered"), [(30, "10.00 A"), (110, "0.40 A"), (48, "3.12 A"), (20, "10.00 A")])
def test_between_two_dc_points_the_line_is_log_log(volts: float, offered: str) -> None:
    lines = (rating("both", "resistive", 30, 10), rating("both", "resistive", 110, 0.4))
    assert named(found_for(Load("resistive", volts, 0.3), lines), "running").offered == offered


def test_lamps_on_a_resistive_rating_fail_by_the_rule_of_ten() -> None:
    found = named(found_for(LAMPS), "start")
    assert (found.outcome, found.required) == (F, "62.0 A")
    assert DEFAULT.name in found.source


def test_a_stated_lamp_rating_is_not_multiplied() -> None:
    found = found_for(LAMPS, (*TWIN_RATINGS, rating("make", "lamp", 14, 10)))
    assert [outcome(found, "running"), outcome(found, "start")] == [P, P]
    assert named(found, "running").offered == "10.00 A"


@pytest.mark.parametrize(
    ("stall", "seconds", "expected"),
    [(28, None, C), (28, 0.4, C), (28, 5, F), (40, None, F), (19, None, C), (19, 5, P), (None, None, U)],
)
def test_a_stall_is_carried_for_a_time_or_measured(
    stall: float | None, seconds: float | None, expected: Outcome
) -> None:
    load = replace(WINCH, stall_amps=stall, stall_seconds=seconds)
    found = [f.outcome for f in found_for(load) if f.check.startswith(("start", "stall"))]
    assert max(found, key=(P, C, U, F).index) is expected


def test_a_stated_stall_is_never_also_multiplied() -> None:
    assert "within 3 s" in named(found_for(replace(WINCH, stall_amps=28)), "stall").why
    found = named(found_for(replace(WINCH, stall_amps=28)), "start")
    assert "times" not in found.why
    assert DEFAULT.name not in found.source


def test_an_unknown_stall_above_the_rating_by_the_rule_asks_for_a_measurement() -> None:
    found = named(found_for(WINCH), "start")
    assert found.required == "36.0 A"
    assert "measure it" in found.why


@pytest.mark.parametrize(("rule", "expected"), [(name, name) for name in rule_names()])
def test_rules_are_chosen_by_name_and_named_in_the_finding(rule: str, expected: str) -> None:
    found = contact_findings(design(), place(load=LAMPS), rule_named(rule))
    start = named(found, "start")
    assert expected in start.source + start.why


def test_no_rule_has_a_name_nobody_gave_it() -> None:
    with pytest.raises(KeyError, match="there are"):
        rule_named("times a thousand")


@pytest.mark.parametrize(
    ("stated", "load", "expected"),
    [
        ({}, Load("resistive", 14, 2), P),
        ({}, Load("resistive", 5, 0.01), U),
        ({}, Load("resistive", 14, 0.45), U),  # enough for TE's 0.4 A, too little for the FAA's 0.5 A
        ({"contact_material": "W"}, Load("resistive", 14, 2), U),
        ({"contact_material": "AgSnO2"}, Load("resistive", 14, 2), P),
        ({"min_load_volts": 5}, Load("resistive", 14, 0.001), U),  # volts alone leave the current open
        ({"min_load_volts": 5}, Load("resistive", 3, 0.1), F),
        ({"min_load_milliwatts": 300}, Load("resistive", 14, 0.1), P),
        ({"min_load_milliamps": 100}, Load("resistive", 14, 0.05), F),
        ({"min_load_milliamps": 5, "min_load_volts": 5, "min_load_milliwatts": 300}, Load("resistive", 5, 0.05), F),
        ({"min_load_milliamps": 5, "min_load_volts": 5, "min_load_milliwatts": 300}, Load("resistive", 5, 0.06), P),
    ],
)
def test_each_part_of_a_minimum_load_is_a_minimum(stated: dict[str, Any], load: Load, expected: Outcome) -> None:
    relay = replace(OLD, **stated)
    assert outcome(contact_findings(design(relay), place(load=load)), "minimum load") is expected


@pytest.mark.parametrize(
    ("own", "board", "expected"),
    [
        (Suppression.DIODE, "diode", P),
        (Suppression.DIODE, "none", C),
        (Suppression.DIODE_ZENER, "none", P),
        (Suppression.NONE, "", P),
        (None, "none", U),
    ],
)
def test_a_plain_diode_in_the_part_slows_its_opening(own: Suppression | None, board: str, expected: Outcome) -> None:
    here = place(load=WINCH)
    driver = replace(here.position.driver, suppression=board)  # type: ignore[type-var]
    here = replace(here, position=replace(here.position, driver=driver))
    assert outcome(contact_findings(design(replace(OLD, coil_suppression=own)), here), "release") is expected


@pytest.mark.parametrize(("ohms", "expected"), [(2200, P), (100, C), (None, U)])
def test_a_low_resistor_over_the_coil_slows_its_opening_as_a_diode_does(ohms: float | None, expected: Outcome) -> None:
    here = place(load=WINCH)
    here = replace(here, position=replace(here.position, driver=replace(DRIVER, suppression="none")))
    part = replace(OLD, coil_suppression=Suppression.RESISTOR, suppression_ohms=ohms, release_volts=1.2)
    assert outcome(contact_findings(design(part), here), "release") is expected


def test_a_reversed_motors_amps_are_held_to_the_volts_they_are_published_at() -> None:
    lines = (rating("make", "resistive", 30, 10), rating("make", "resistive", 110, 0.3))
    load = Load("motor", 28, 5, stall_amps=9, reversing=True)
    found = contact_findings(design(ratings=lines), place((18, 32), load=load))
    assert outcome(found, "reversing") is C


@pytest.mark.parametrize(("highest", "volts", "expected"), [(14, 14, P), (16, 14, C), (32, 28, F)])
def test_a_reversing_pair_stays_within_the_rated_volts(highest: float, volts: float, expected: Outcome) -> None:
    load = Load("motor", volts, 2, stall_amps=9, reversing=True)
    found = contact_findings(design(), place((9, highest), load=load))
    assert outcome(found, "reversing") is expected


@pytest.mark.parametrize(("hottest", "expected"), [(70, P), (85, P), (90, F), (None, U)])
def test_the_ambient_stays_within_the_relays(hottest: float | None, expected: Outcome) -> None:
    found = contact_findings(design(), place(ambient=(-20, hottest), load=WINCH))  # type: ignore[arg-type]
    assert outcome(found, "hottest ambient") is expected


@pytest.mark.parametrize(("amps", "temp", "expected"), [(15, 85, P), (15, 20, U), (8, 20, P), (15, None, U)])
def test_a_rating_holds_at_its_temperature(amps: float, temp: float | None, expected: Outcome) -> None:
    lines = (rating("make", "resistive", 14, 20, temp_c=temp),)
    assert outcome(found_for(Load("resistive", 14, amps), lines), "rating temperature") is expected


def test_life_is_told_in_years() -> None:
    found = named(found_for(replace(WINCH, operations_per_day=120)), "life")
    assert "2.3 to 7.6 years of 120 a day" in found.why
    assert "slope 1 " in found.why


def test_a_position_that_says_nothing_of_its_load_is_unknown() -> None:
    assert outcome(contact_findings(design(), place()), "contacts") is U


@pytest.mark.parametrize("load", [Load("motor", None, 2), Load("motor", 14, None)])
def test_a_load_without_volts_or_amps_is_unknown(load: Load) -> None:
    assert outcome(found_for(load), "running") is U


def test_a_like_part_on_the_sprayer_box_is_conditional() -> None:
    valve = Load("motor", 14, 2.1, stall_amps=9, stall_seconds=0.4, operations_per_day=120, reversing=True)
    here = place((9, 16), (-20, 70), valve, units=1)
    relay = replace(OLD, maker="Kithmar", part_number="K2R-12S")
    assert verdict_of(duty_findings(design(relay), here, design(OLD))) is Verdict.CONDITIONAL
