"""Derating factors: self-consistency.

The factors are those copied from FAA AC 43.13-1B (change 1, 2001), table 11-4, page 11-17, which prints no worked
example; so these tests only hold the copy, and the sums made from it, together.
"""

from __future__ import annotations

import pytest

from bom.duty.published_ratings import amps_between
from bom.duty.rules import joined, rule_named, span_words

AIRCRAFT = rule_named("aircraft switch derating")


@pytest.mark.parametrize(
    ("load", "at_12", "at_28"), [("lamp", 5, 8), ("inductive", 2, 4), ("resistive", 1, 2), ("motor", 2, 3)]
)
def test_the_factors_are_the_printed_ones(load: str, at_12: float, at_28: float) -> None:
    assert (AIRCRAFT.size(load, 12), AIRCRAFT.size(load, 28)) == (at_12, at_28)


def test_joined_rules_print_what_each_of_them_prints() -> None:
    several = joined((rule_named("up to five"), AIRCRAFT))
    assert several.size_times == AIRCRAFT.size_times
    assert several.prints.startswith("inrush of resistive 1, inductive 2, lamp 5, motor 5; rating over running current")


def test_a_span_is_printed_with_both_its_ends_where_they_differ() -> None:
    assert [span_words(span) for span in ((6, 6), (10, 15))] == ["6", "10 to 15"]


@pytest.mark.parametrize(("load", "volts", "amps", "rated"), [("lamp", 28, 1, 8), ("motor", 12, 4, 8)])
def test_a_load_needs_a_contact_of_this_size(load: str, volts: float, amps: float, rated: float) -> None:
    assert amps * (AIRCRAFT.size(load, volts) or 0) == rated


@pytest.mark.parametrize(("load", "volts", "percent"), [("lamp", 28, 12.5), ("motor", 28, 33.3), ("motor", 12, 50.0)])
def test_the_share_of_the_rating_is_the_factor_turned_round(load: str, volts: float, percent: float) -> None:
    assert 100 / (AIRCRAFT.size(load, volts) or 0) == pytest.approx(percent, abs=0.05)


def test_log_log_goes_through_both_printed_points_and_stays_below_proportion() -> None:
    """10 A at 30 V and 0.4 A at 110 V; simple proportion would claim 2.7 A at 110 V."""
    low, high = (30.0, 10.0), (110.0, 0.4)
    assert amps_between(low, high, 30) == pytest.approx(10.0)
    assert amps_between(low, high, 110) == pytest.approx(0.4)
    assert amps_between(low, high, 60) < 10 * 30 / 60
