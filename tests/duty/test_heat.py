"""Amps over temperature: a table of small worlds, the reason worked by hand.

The figures are invented. Between two published temperatures amps lie on a straight line, above the hottest nothing is
read: common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import OLD, design, place, rating

from bom.boards.board import Load
from bom.duty.check import contact_findings
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
