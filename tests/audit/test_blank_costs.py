"""What a blank costs is found by judging, and agrees with what the audit of absence finds in whole worlds."""

from __future__ import annotations

import pytest
from blanks import blanks
from worlds import World, coil_with_resistor, mains_resistive, resistive, supply_events

from bom.match.blank_costs import LEADS, RATED, RATINGS, RELAY, SIDE, Blanks, blank_columns, costs
from bom.relays.relay import Design, Relay
from bom.values.finding import Outcome, Verdict

UNSAID = Design(Relay("Ostrel", "X-1"), None, None)
"""A part of which nothing is said but its name."""


@pytest.mark.parametrize(
    "world", [resistive(), mains_resistive(), coil_with_resistor(), supply_events()], ids=lambda world: world.name
)
def test_every_blank_that_takes_a_drop_in_away_is_charged(world: World) -> None:
    of_part = (blank for blank in blanks(world) if blank.where == "candidate" and blank.field in RELAY)
    taken = {blank.field for blank in of_part if blank.world.verdict() is not Verdict.DROP_IN}
    part = Blanks(world.candidate)
    assert taken and not {column for column in taken if part.without(column) is None}


@pytest.mark.parametrize(
    ("column", "check", "where"),
    [
        ("operate_volts", "pull-in when hot", "on any board"),
        ("coil_ohms", "coil current when cold", "on any board"),
        ("temp_max_c", "hottest ambient", "on any board"),
        ("hold_volts", "hold while cranking", "where the supply dips, or the driver saves current"),
        ("dielectric_volts", "load dump on the open contact", "where a load dump comes"),
        ("most_per_minute", "switching rate", "where it switches often"),
        ("contact_material", "contact material", "in place of any part"),
        ("contact_polarity", "current direction", "in place of a part that states it"),
        ("guided", "guided contacts", "in place of guided contacts"),
        (SIDE, "side of the drawing", "on any board"),
        (RATINGS, "running current", "on any board"),
        (RATED + "temp_c", "rating temperature", "on any board"),
        (LEADS, "goes in", "on any board"),
        ("footprint", "goes in", "on any board"),
        ("wiring", "connects alike", "on any board"),
    ],
)
def test_a_blank_is_charged_with_the_checks_that_ask_for_it(column: str, check: str, where: str) -> None:
    cost = Blanks(UNSAID).without(column)
    assert cost is not None and check in cost.checks
    assert (cost.outcome, cost.where) == (Outcome.UNKNOWN, where)


def test_a_blank_may_cost_a_condition_alone() -> None:
    cost = Blanks(UNSAID).without(RATED + "operations")
    assert cost is not None and (cost.checks, cost.outcome) == (("life",), Outcome.CONDITION)


@pytest.mark.parametrize("column", ["series", "status", "source", "coil_henries", "coil_hertz"])
def test_what_decides_no_verdict_costs_nothing(column: str) -> None:
    assert Blanks(UNSAID).without(column) is None


def test_what_another_value_stands_for_costs_something_where_both_are_blank() -> None:
    """The volts or the milliamps of a least load may be left out, not both and the milliwatts too."""
    last = Blanks(UNSAID, frozenset({"min_load_volts", "min_load_milliamps"})).without("min_load_milliwatts")
    assert last is not None and last.checks == ("minimum load",)


def test_a_part_without_any_figure_is_told_of_each() -> None:
    charged = dict(costs(UNSAID))
    assert {"coil_volts", "operate_volts", "footprint", "wiring", RATINGS} <= charged.keys() <= {*RELAY, RATINGS}
    assert not {"series", "source", "status"} & charged.keys()


def test_a_whole_sheet_leaves_little_blank() -> None:
    world = resistive()
    assert not {"operate_volts", RATINGS, LEADS} & set(blank_columns(world.candidate))
