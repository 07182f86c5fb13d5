"""Loads of several kinds, and rules beside stated peaks: a table of small worlds, the reason worked by hand.

The figures are invented.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import OLD, design, named, place, rating

from bom.boards.board import Function, Load
from bom.duty.check import contact_findings
from bom.duty.mixed_load import as_dominant, peak_by_rule, rest_of
from bom.duty.rules import DEFAULT, rule_named
from bom.relays.relay import Rating
from bom.relays.wiring import Kind
from bom.values.finding import Finding, Outcome, Verdict, verdict_of

DROP_IN, NO, UNKNOWN = Verdict.DROP_IN, Verdict.NO, Verdict.UNKNOWN
RELAY = replace(OLD, min_load_volts=5, min_load_milliamps=100)


def found_for(load: Load, *lines: Rating, rule: str = DEFAULT.name) -> tuple[Finding, ...]:
    return contact_findings(design(RELAY, lines), place(load=load, units=1), rule_named(rule))


PLAIN = rating("make", "resistive", 14, 20)
LAMP = rating("make", "lamp", 14, 10, inrush_amps=100)
ONE, TWO = (PLAIN,), (PLAIN, LAMP)
USUAL, BY_KIND, DERATED = DEFAULT.name, "relay output module", "aircraft switch derating"
SHARES = Load("mixed", 14, operations_per_day=20)


@pytest.mark.parametrize(
    ("why", "shares", "lines", "rule", "verdict"),
    [
        ("10 and 5 A of 20 A", {"lamp": 1, "resistive": 5}, ONE, USUAL, DROP_IN),
        ("10 and 11 A of 20 A", {"lamp": 1, "resistive": 11}, ONE, USUAL, NO),
        ("nothing is said of a capacitive share", {"lamp": 1, "capacitive": 1}, ONE, USUAL, UNKNOWN),
        ("nor where a lamp line takes in the lamps", {"lamp": 1, "capacitive": 0.5}, TWO, USUAL, UNKNOWN),
        ("nor where it is the larger share", {"lamp": 0.5, "capacitive": 4}, TWO, USUAL, UNKNOWN),
        ("each has its own line", {"lamp": 2, "resistive": 5}, TWO, USUAL, DROP_IN),
        ("the resistive share has no line", {"lamp": 2, "resistive": 5}, (LAMP,), USUAL, UNKNOWN),
        ("a winding, and the rule is silent", {"resistive": 5, "inductive": 1}, ONE, USUAL, UNKNOWN),
        ("by the multiples 20 and 40 A", {"lamp": 1, "capacitive": 1}, ONE, BY_KIND, NO),
        ("by the multiples 7.5 and 12 A", {"lamp": 0.5, "capacitive": 0.3}, ONE, BY_KIND, DROP_IN),
        ("60 % of one line, 60 % of another", {"lamp": 6, "resistive": 12}, TWO, USUAL, NO),
        ("20 A of lamps alone refuse it, whatever the rest makes", {"lamp": 2.1, "capacitive": 1}, ONE, USUAL, NO),
        ("shares of nothing", {"lamp": 0, "resistive": 5}, ONE, USUAL, DROP_IN),
    ],
)
def test_every_share_of_a_mixed_load_is_asked(
    why: str, shares: dict[str, float], lines: tuple[Rating, ...], rule: str, verdict: Verdict
) -> None:
    load = replace(SHARES, mixed=tuple(shares.items()))
    assert verdict_of(found_for(load, *lines, rule=rule)) is verdict, why


@pytest.mark.parametrize(
    ("why", "load", "rule", "verdict"),
    [
        ("4 A of lamps need 20 A", Load("lamp", 14, 4), DERATED, DROP_IN),
        ("5 A of lamps need 25 A", Load("lamp", 14, 5), DERATED, NO),
        ("and no less for a stated inrush", Load("lamp", 14, 5, inrush_amps=15), DERATED, NO),
        ("a chosen rule of fifteen, 30 A", Load("lamp", 14, 2), BY_KIND, NO),
        ("is not eased by what somebody states", Load("lamp", 14, 2, inrush_amps=15), BY_KIND, NO),
        ("the usual rule gives way to a measurement", Load("lamp", 14, 3, inrush_amps=15), USUAL, DROP_IN),
        (
            "a stall is the most that a motor draws",
            Load("motor", 14, 3, stall_amps=15, stall_seconds=1),
            BY_KIND,
            DROP_IN,
        ),
        ("half stress, 11 A of 20 A", Load("resistive", 14, 11, inrush_amps=11), "half stress", NO),
    ],
)
def test_a_stated_inrush_never_loosens_a_chosen_rule(why: str, load: Load, rule: str, verdict: Verdict) -> None:
    assert (
        verdict_of(found_for(replace(load, suppression="diode", operations_per_day=20), PLAIN, rule=rule)) is verdict
    ), why


def test_the_silent_share_is_named() -> None:
    found = found_for(replace(SHARES, mixed=(("lamp", 1), ("capacitive", 0.5))), PLAIN, LAMP)
    assert any("capacitive" in f.why and f.outcome is Outcome.UNKNOWN for f in found)
    assert named(found, "running").outcome is Outcome.PASS


@pytest.mark.parametrize(("shares", "verdict"), [({"lamp": 3, "resistive": 3}, NO), ({"lamp": 6}, DROP_IN)])
def test_a_stated_peak_of_several_kinds_is_held_against_the_least_that_is_made_of_any(
    shares: dict[str, float], verdict: Verdict
) -> None:
    """60 A: the lamp line makes 100 A, the resistive one 20 A."""
    load = replace(SHARES, mixed=tuple(shares.items()), inrush_amps=60)
    assert verdict_of(found_for(load, *TWO)) is verdict


@pytest.mark.parametrize(
    ("shares", "lines", "why", "required", "offered"),
    [
        (
            {"lamp": 1, "resistive": 5},
            ONE,
            "lamp 1 A times 10 of 20 A resistive at 14 V DC, resistive 5 A of 20 A resistive at 14 V DC: 15 A together",
            "15.00 A",
            "20.0 A",
        ),
        (
            {"lamp": 6, "resistive": 12},
            TWO,
            "lamp 6 A of 10 A lamp at 14 V DC, resistive 12 A of 20 A resistive at 14 V DC: "
            "together 120 % of what they bear",
            "120.0 %",
            "100.0 %",
        ),
    ],
)
def test_what_all_shares_make_is_said_in_amps_of_one_line_or_in_percent_of_several(
    shares: dict[str, float], lines: tuple[Rating, ...], why: str, required: str, offered: str
) -> None:
    start = named(found_for(replace(SHARES, mixed=tuple(shares.items())), *lines), "start")
    assert (start.why, start.required, start.offered) == (why, required, offered)


@pytest.mark.parametrize(
    ("whole", "shares", "missing"),
    [
        (10.19, {"lamp": 4, "resistive": 6}, False),
        (10.21, {"lamp": 4, "resistive": 6}, True),
        (None, {"lamp": 0.02, "resistive": 0.03}, False),
    ],
)
def test_more_than_a_fiftieth_that_no_share_accounts_for_is_asked_for(
    whole: float | None, shares: dict[str, float], missing: bool
) -> None:
    load = replace(SHARES, amps=whole, mixed=tuple(shares.items()))
    assert bool(tuple(rest_of(Function("f", "A", Kind.MAKE, load)))) is missing


def test_lamps_of_5_a_and_a_heater_of_3_a_draw_53_a_at_switching_on() -> None:
    """Lamps ten times, a resistance once."""
    assert peak_by_rule(replace(SHARES, mixed=(("lamp", 5), ("resistive", 3))), DEFAULT) == pytest.approx(53)


@pytest.mark.parametrize(
    ("shares", "kind", "amps"),
    [
        ({"lamp": 4, "resistive": 5}, "lamp", 9),
        ({"lamp": 0.4, "resistive": 5}, "resistive", 5.4),
        ({"capacitive": 4, "resistive": 4.2}, "resistive", 8.2),
    ],
)
def test_the_kind_that_draws_most_at_switching_on_stands_for_all(
    shares: dict[str, float], kind: str, amps: float
) -> None:
    """Lamps ten times, a resistance once; a kind that the rule is silent on as it is."""
    load = as_dominant(replace(SHARES, mixed=tuple(shares.items())), DEFAULT)
    assert (load.kind, load.amps) == (kind, pytest.approx(amps))
