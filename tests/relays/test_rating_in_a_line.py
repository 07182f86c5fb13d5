"""Ratings in a line are read whole or refused with what is missing, and every line that is written reads back."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from bom.intake.catalogue import read_catalogue
from bom.relays.rating_in_a_line import rating_in, rating_line
from bom.relays.relay import Rating, SupplyKind
from bom.values.problem import Problem

DC, AC = SupplyKind.DC, SupplyKind.AC


def line_for(
    contact: str, load: str, supply: SupplyKind, volts: float, amps: float | None = None, **more: Any
) -> Rating:
    return Rating("X", contact, load, supply, volts, amps, **more)


@pytest.mark.parametrize(
    ("line", "rating"),
    [
        ("make resistive 14 V dc 20 A", line_for("make", "resistive", DC, 14, 20)),
        ("20 A 14VDC resistive NO", line_for("make", "resistive", DC, 14, 20)),
        (
            "CO resistive 250 V ac, 16 A; cos φ 0.4; 70 °C",
            line_for("both", "resistive", AC, 250, 16, power_factor=0.4, temp_c=70),
        ),
        ("break inductive 24 V dc, 500 mA, L/R 40 ms", line_for("break", "inductive", DC, 24, 0.5, lr_ms=40)),
        (
            "make lamp load 14 V dc, 5 A, inrush 70 A, 1e5 ops",
            line_for("make", "lamp", DC, 14, 5, inrush_amps=70, operations=1e5),
        ),
        ("make AC-15 230 V ac 3 A", line_for("make", "AC-15", AC, 230, 3)),
        (
            "make motor 14 V dc, 8 A, carry 35 A for 3 s",
            line_for("make", "motor", DC, 14, 8, carry_amps=35, carry_seconds=3),
        ),
        (
            "make resistive 14 V dc, carry 35 A for 500 ms",
            line_for("make", "resistive", DC, 14, carry_amps=35, carry_seconds=0.5),
        ),
    ],
)
def test_a_line_is_read(line: str, rating: Rating) -> None:
    problems: list[Problem] = []
    assert rating_in(line, "X", problems) == rating and not problems


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("", "contact, load, supply, volts missing"),
        ("make 14 V", "load, supply missing"),
        ("make resistive 14 V dc 8 A 9 A", "found '9 A'"),
        ("make resistive 14 V dc 8 A or so", "found 'or so'"),
        ("make resistive 14 dc 8 A", "found '14 dc'"),
        ("make resistive 14 V dc -8 A", "a number above 0 A"),
        ("make AC-15 230 V dc 3 A", "ac, which AC-15 is for"),
        ("make lamp 14 V dc 5 A, inrush 2 A", "at least amps, which is 5"),
        ("make make resistive 14 V dc", "found 'make resistive'"),
    ],
)
def test_a_line_that_says_too_little_or_too_much_is_refused(line: str, said: str) -> None:
    problems: list[Problem] = []
    assert rating_in(line, "X", problems) is None
    assert len(problems) == 1 and said in str(problems[0])


def test_every_rating_of_the_demo_is_written_and_read_back(demo_folder: Path) -> None:
    for rating in read_catalogue(demo_folder).value.ratings:
        assert rating_in(rating_line(rating), rating.applies_to, []) == replace(rating, source="")
