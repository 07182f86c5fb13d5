"""Amps over temperature: a table of small worlds, the reason worked by hand.

The figures are invented. Between two published temperatures amps lie on a straight line, above the hottest nothing is
read: common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from duty_cases import OLD, design, place, rating

from bom.boards.board import Load
from bom.duty.check import contact_findings
from bom.duty.published_ratings import carried_for_good, may_say_less_hotter, says_less_hotter
from bom.relays.relay import Rating
from bom.values.finding import Finding, Verdict, verdict_of

DROP_IN, CONDITIONAL, NO, UNKNOWN = Verdict.DROP_IN, Verdict.CONDITIONAL, Verdict.NO, Verdict.UNKNOWN
RELAY = replace(OLD, temp_max_c=105, min_load_volts=5, min_load_milliamps=100)


def at(temp_c: float | None, amps: float, **more: object) -> Rating:
    return rating("make", "resistive", 14, amps, temp_c=temp_c, **more)


def found_for(load: Load, *lines: Rating, hottest: float = 70) -> tuple[Finding, ...]:
    return contact_findings(design(RELAY, lines), place(ambient=(-20, hottest), load=load, units=1))


@pytest.mark.parametrize(
    ("why", "amps", "hottest", "lines", "verdict"),
    [
        ("12 A of 20 A at 85 °C", 12, 70, (at(85, 20),), DROP_IN),
        ("12 A, read at 20 °C only", 12, 70, (at(20, 20),), UNKNOWN),
        ("9 A are less than half of what is read at 20 °C", 9, 70, (at(20, 20),), DROP_IN),
        ("9 A, and 5 A are read at 85 °C: 10.8 A at 60 °C", 9, 60, (at(20, 20), at(85, 5)), DROP_IN),
        ("11 A, and 10.8 A are read at 60 °C", 11, 60, (at(20, 20), at(85, 5)), NO),
        ("9 A at 90 °C, and above 85 °C nothing is read but that 5 A were all", 9, 90, (at(20, 20), at(85, 5)), NO),
        ("4 A at 90 °C, more than half of 5 A", 4, 90, (at(20, 20), at(85, 5)), UNKNOWN),
        ("2 A at 90 °C, less than half of 5 A", 2, 90, (at(20, 20), at(85, 5)), DROP_IN),
        (
            "9 A of 20 A at a heat that nobody states, and 5 A are read at 85 °C",
            9,
            70,
            (at(None, 20), at(85, 5)),
            UNKNOWN,
        ),
        (
            "a hotter line at fewer volts states less too, so the cooler says nothing, and 5 A were all",
            9,
            90,
            (at(20, 20), replace(at(85, 5), volts=13)),
            NO,
        ),
        (
            "between two temperatures, a line between them states less",
            *(8, 60, (at(25, 20), at(40, 6), at(85, 6)), NO),
        ),
        (
            "5 A at 13 V are stated at 20 °C too, so they refuse nothing for heat; nor do they promise anything",
            *(9, 60, (at(20, 20), replace(at(20, 5), volts=13), replace(at(40, 5), volts=13)), UNKNOWN),
        ),
        ("a hotter line that states no less takes nothing away", 9, 70, (at(20, 10), at(85, 20)), DROP_IN),
        ("9 A at a heat that nobody states, half of 20 A", 9, 70, (at(None, 20),), DROP_IN),
        ("8 A, and 5 A are read at a heat that nobody states", 8, 70, (at(20, 20), at(None, 5)), UNKNOWN),
        ("5 A are for three times as many operations", 8, 70, (at(20, 20), at(None, 5, operations=3e5)), DROP_IN),
        ("12 A at a heat that nobody states", 12, 70, (at(None, 20),), UNKNOWN),
    ],
)
def test_above_the_hottest_published_line_nothing_is_read(
    why: str, amps: float, hottest: float, lines: tuple[Rating, ...], verdict: Verdict
) -> None:
    found = found_for(Load("resistive", 14, amps, operations_per_day=20), *lines, hottest=hottest)
    assert verdict_of(found) is verdict, why


WINDING = rating("make", "inductive", 28, 10, lr_ms=7, temp_c=20)
ON_AC = replace(WINDING, lr_ms=None, power_factor=0.7)


@pytest.mark.parametrize(
    ("why", "cool", "hot", "less"),
    [
        ("6 A at 85 °C, and 10 A at 20 °C", WINDING, {"amps": 6}, True),
        ("no fewer amps", WINDING, {}, False),
        ("amps that nobody states", WINDING, {"amps": None}, False),
        ("no hotter", WINDING, {"amps": 6, "temp_c": 20}, False),
        ("at fewer volts 6 A explain themselves the less", WINDING, {"amps": 6, "volts": 14}, True),
        ("more volts explain them", WINDING, {"amps": 6, "volts": 30}, False),
        ("so does a longer time constant", WINDING, {"amps": 6, "lr_ms": 15}, False),
        ("and any at all where the cooler line has none", replace(WINDING, lr_ms=None), {"amps": 6, "lr_ms": 7}, False),
        ("50 µs against nothing", replace(WINDING, lr_ms=None), {"amps": 6, "lr_ms": 0.05}, False),
        ("nothing against 50 µs", replace(WINDING, lr_ms=0.05), {"amps": 6, "lr_ms": None}, True),
        ("the same power factor", ON_AC, {"amps": 6}, True),
        ("a power factor of 1 where none is stated", ON_AC, {"amps": 6, "power_factor": None}, True),
        ("a poorer one explains them", ON_AC, {"amps": 6, "power_factor": 0.4}, False),
    ],
)
def test_fewer_amps_are_for_heat_where_nothing_else_explains_them(
    why: str, cool: Rating, hot: dict[str, Any], less: bool
) -> None:
    assert says_less_hotter(replace(cool, **({"temp_c": 85} | hot)), cool) is less, why


@pytest.mark.parametrize(
    ("why", "cool", "unheated", "less"),
    [
        ("as many operations", 1e5, 1e5, True),
        ("fewer of them", 1e5, 3e4, True),
        ("more of them explain 6 A", 1e5, 3e5, False),
        ("operations stated by neither", None, None, True),
        ("any at all where the cooler line states none", None, 0.05, False),
    ],
)
def test_fewer_amps_at_a_heat_that_nobody_states_may_be_for_heat(
    why: str, cool: float | None, unheated: float | None, less: bool
) -> None:
    line = replace(WINDING, operations=cool)
    assert may_say_less_hotter(replace(line, amps=6, temp_c=None, operations=unheated), line) is less, why


@pytest.mark.parametrize(
    ("why", "amps", "line"),
    [
        ("within the line that is read there", 20, 20),
        ("above it, and half of the cooler one or less", 21, 50),
        ("just half of the cooler one", 25, 50),
        ("too much for either, so the hot one says how far", 30, 20),
    ],
)
def test_a_carried_current_is_read_hot_or_at_half_of_a_cooler_line(why: str, amps: float, line: float) -> None:
    """20 A of a resistive load are read at 85 °C, 50 A of lamps at 20 °C; it gets 70 °C."""
    lines = (at(85, 20), rating("make", "lamp", 14, 50, temp_c=20))
    offer = carried_for_good(lines, Load("resistive", 14), 70, amps)
    assert offer is not None
    assert offer.rating.amps == line, why
