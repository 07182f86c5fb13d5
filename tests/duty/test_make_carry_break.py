"""Make, carry and break are kept apart, each with its time: a table of small worlds, the reason worked by hand.

The figures are invented. What a world shows beyond arithmetic is common practice, no source: an inrush is over in a
moment, a stall is not; an overload test of fifty operations (UL 508's, source 20) promises no service.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import OLD, design, named, outcome, place, rating

from bom.boards.board import ContactAmps, Load, Place
from bom.duty.check import contact_findings
from bom.relays.relay import Rating
from bom.relays.wiring import Kind
from bom.values.finding import Finding, Outcome, Verdict, verdict_of

DROP_IN, CONDITIONAL, NO, UNKNOWN = Verdict.DROP_IN, Verdict.CONDITIONAL, Verdict.NO, Verdict.UNKNOWN
RELAY = replace(OLD, min_load_volts=5, min_load_milliamps=100)
PLAIN = rating("make", "resistive", 14, 20)
MOTOR = rating("make", "motor", 14, 8, inrush_amps=40)
CARRIED = replace(MOTOR, carry_amps=35, carry_seconds=3)
CARRYING = replace(PLAIN, carry_amps=35, carry_seconds=3)
WINCH = Load("motor", 14, 6, stall_amps=28, stall_seconds=2, suppression="diode", operations_per_day=20)
VALVE = Load(
    "motor", 14, 2.1, stall_amps=9, stall_seconds=0.4, reversing=True, suppression="diode", operations_per_day=20
)


def found_for(load: Load, *lines: Rating, contact: Kind = Kind.MAKE) -> tuple[Finding, ...]:
    return contact_findings(design(RELAY, lines), here(load, contact))


def here(load: Load, contact: Kind = Kind.MAKE) -> Place:
    return place(load=load, contact=contact, units=1)


def solved_for(solved: ContactAmps, *lines: Rating, load: Load = WINCH) -> tuple[Finding, ...]:
    """The findings where the board was solved as a circuit, and this is what its contact bears."""
    at = here(load)
    function = replace(at.position.functions[0], solved=solved)
    return contact_findings(design(RELAY, lines), replace(at, position=replace(at.position, functions=(function,))))


COOL_AND_HOT = MOTOR, replace(CARRYING, temp_c=23, carry_seconds=9), replace(CARRYING, carry_amps=30, carry_seconds=2)
SHORT = replace(CARRIED, carry_amps=40, carry_seconds=1)
HOT_AND_TIMED = replace(CARRIED, carry_seconds=None), replace(CARRYING, temp_c=23)
HALF_COOL = MOTOR, replace(PLAIN, amps=40, temp_c=23)


def stalled(amps: float = 28, seconds: float | None = 2) -> Load:
    return replace(WINCH, stall_amps=amps, stall_seconds=seconds)


@pytest.mark.parametrize(
    ("why", "load", "lines", "verdict"),
    [
        ("only an inrush of 40 A is printed", stalled(), (MOTOR,), UNKNOWN),
        ("35 A are carried for 3 s, and 40 A made", stalled(), (CARRIED,), DROP_IN),
        ("35 A are carried for 1 s", stalled(), (replace(CARRIED, carry_seconds=1),), NO),
        ("25 A are carried", stalled(), (replace(CARRIED, carry_amps=25),), NO),
        ("35 A are carried, nobody says how long", stalled(), (replace(CARRIED, carry_seconds=None),), UNKNOWN),
        ("how long it stalls is not stated", stalled(seconds=None), (CARRIED,), CONDITIONAL),
        ("20 A are carried for good", stalled(20), (MOTOR, PLAIN), DROP_IN),
        ("but what ends it, nobody says", stalled(20, None), (MOTOR, PLAIN), CONDITIONAL),
        ("21 A are not", stalled(21), (MOTOR, PLAIN), UNKNOWN),
        ("28 A are carried, but 20 A published to be made", stalled(), (CARRYING,), CONDITIONAL),
        ("it is as short as a start, by no published line", stalled(seconds=0.5), (MOTOR,), CONDITIONAL),
        ("it is longer than a start", stalled(seconds=0.52), (MOTOR,), UNKNOWN),
        ("35 A for 3 s, whatever is carried for 1 s", stalled(), (SHORT, CARRIED), DROP_IN),
        ("35 A where it is hot: how long? for 3 s at 23 °C only", stalled(seconds=None), HOT_AND_TIMED, UNKNOWN),
        ("35 A for 9 s at 23 °C, and 30 A for 2 s where it is hot", stalled(), COOL_AND_HOT, DROP_IN),
        ("40 A at 23 °C are twice the 20 A, whatever the motor line says", stalled(20), HALF_COOL, DROP_IN),
        ("what is carried was read at 23 °C", stalled(), (MOTOR, replace(CARRYING, temp_c=23)), CONDITIONAL),
    ],
)
def test_an_inrush_is_made_and_a_stall_is_carried(
    why: str, load: Load, lines: tuple[Rating, ...], verdict: Verdict
) -> None:
    assert verdict_of(found_for(load, *lines)) is verdict, why


SMALL = rating("make", "motor", 14, 0.06)


@pytest.mark.parametrize(
    ("why", "lines", "expected"),
    [
        ("60 mA of its own kind alone", (SMALL,), Outcome.FAIL),
        ("the resistive line gives no amps", (SMALL, replace(PLAIN, amps=None)), Outcome.FAIL),
        ("79 mA resistive", (SMALL, replace(PLAIN, amps=0.079)), Outcome.FAIL),
        ("80 mA resistive", (SMALL, replace(PLAIN, amps=0.08)), Outcome.CONDITION),
    ],
)
def test_a_small_held_motor_is_broken_by_what_a_line_states_and_no_more(
    why: str, lines: tuple[Rating, ...], expected: Outcome
) -> None:
    """Switched off at 80 mA, it runs with 50 mA."""
    load = Load("motor", 14, 0.05, stall_amps=0.08, stall_seconds=0.4, stops_at_end=True)
    assert outcome(found_for(load, *lines), "stop at its end") is expected, why


@pytest.mark.parametrize(
    ("why", "load", "verdict"),
    [
        ("9 A for 0.4 s on 20 A", VALVE, DROP_IN),
        ("a drive that is reversed at its ends stalls there: by how much?", replace(VALVE, stall_amps=None), UNKNOWN),
        ("above its motor line, for a time that nobody states", replace(VALVE, stall_seconds=None), CONDITIONAL),
        ("within its motor line for good", replace(VALVE, stall_amps=8, stall_seconds=None), DROP_IN),
    ],
)
def test_a_reversing_drive_states_its_stall(why: str, load: Load, verdict: Verdict) -> None:
    lines = (replace(line, volts=16) for line in (MOTOR, PLAIN, rating("break", "resistive", 14, 10)))
    assert verdict_of(found_for(load, *lines)) is verdict, why


@pytest.mark.parametrize(
    ("why", "amps", "lines", "expected"),
    [
        ("its own line comes before one for both", 15, ("break 10", "both 20"), Outcome.FAIL),
        ("both says less than its own", 12, ("break 20", "both 10"), Outcome.PASS),
        ("only both speaks for it", 15, ("make 10", "both 20"), Outcome.PASS),
        ("its own speaks", 15, ("break 20",), Outcome.PASS),
    ],
)
def test_a_line_for_both_never_overrules_the_contacts_own(
    why: str, amps: float, lines: tuple[str, ...], expected: Outcome
) -> None:
    made = [rating(line.split()[0], "resistive", 14, float(line.split()[1])) for line in lines]
    assert outcome(found_for(Load("resistive", 14, amps), *made, contact=Kind.BREAK), "running") is expected, why


def test_nor_does_its_inrush_its_operations_or_what_it_carries() -> None:
    own = rating("make", "motor", 14, 8, inrush_amps=25, carry_amps=26, carry_seconds=2)
    both = rating("both", "motor", 14, 8, inrush_amps=60, carry_amps=50, carry_seconds=9, operations=1e7)
    found = found_for(replace(WINCH, stall_amps=30, operations_per_day=100, life_years=50), own, both)
    assert [outcome(found, check) for check in ("start", "stall", "life")] == [Outcome.FAIL] * 3


def test_a_line_for_both_at_more_volts_still_serves_where_the_own_line_ends() -> None:
    lines = rating("make", "resistive", 14, 16), rating("both", "resistive", 28, 10)
    assert outcome(found_for(Load("resistive", 28, 9), *lines), "running") is Outcome.PASS
    assert outcome(found_for(Load("resistive", 14, 15), *lines), "running") is Outcome.PASS


OVERLOAD = rating("make", "motor", 14, 20, operations=50)


@pytest.mark.parametrize(
    ("why", "lines", "expected"),
    [
        ("fifty operations are an overload test", (OVERLOAD,), Outcome.UNKNOWN),
        ("its working line says 8 A", (OVERLOAD, MOTOR), Outcome.FAIL),
        ("nobody says how many operations, as usual", (replace(OVERLOAD, operations=None),), Outcome.PASS),
        ("six thousand are an endurance test", (replace(OVERLOAD, operations=6000),), Outcome.PASS),
    ],
)
def test_an_overload_test_is_no_working_rating(why: str, lines: tuple[Rating, ...], expected: Outcome) -> None:
    assert outcome(found_for(Load("motor", 14, 10), *lines), "running") is expected, why


def test_and_says_so_where_there_is_nothing_else() -> None:
    assert "50 operations" in named(found_for(Load("motor", 14, 10), OVERLOAD), "running").why


@pytest.mark.parametrize(
    ("why", "a_day", "years", "expected"),
    [
        ("100 000 are 54.8 a day for five years: is it used less?", None, None, Outcome.CONDITION),
        ("it is never switched", 0, None, None),
        ("100 000 are 13.7 years", 20, None, Outcome.PASS),
        ("2.3 to 6.6 years, and five are taken", 120, None, Outcome.CONDITION),
        ("0.5 to 1.3 years, and five are taken", 600, None, Outcome.CONDITION),
        ("0.5 to 1.3 years, and five are asked", 600, 5, Outcome.FAIL),
        ("0.5 to 1.3 years, and a quarter is asked", 600, 0.25, Outcome.PASS),
    ],
)
def test_life_is_asked_for_five_years_where_nobody_says(
    why: str, a_day: float | None, years: float | None, expected: Outcome | None
) -> None:
    load = Load("resistive", 14, 10, operations_per_day=a_day, life_years=years)
    found = [f.outcome for f in found_for(load, PLAIN) if f.check.startswith("life")]
    assert found == ([expected] if expected else []), why


@pytest.mark.parametrize(
    ("why", "solved", "lines", "verdict"),
    [
        (
            "it is switched off stalled, 9 A of 8 A, or of 20 A resistive",
            ContactAmps(2.1, 9, 9, 9, 0.4),
            (MOTOR, PLAIN),
            CONDITIONAL,
        ),
        ("9 A of 8 A", ContactAmps(2.1, 9, 9, 9, 0.4), (CARRIED,), NO),
        ("9 A of 10 A", ContactAmps(2.1, 9, 9, 9, 0.4), (replace(MOTOR, amps=10), PLAIN), DROP_IN),
        ("no line says that it breaks a held motor", ContactAmps(2.1, 9, 9, 9, 0.4), (PLAIN,), CONDITIONAL),
        ("it only carries, and is never switched under current", ContactAmps(19, 0, 0, 0), (PLAIN,), DROP_IN),
        ("it only carries, more than 20 A", ContactAmps(21, 0, 0, 0), (PLAIN,), NO),
        ("what it breaks is not known", ContactAmps(2.1, 9, None, 9, 0.4), (MOTOR, PLAIN), UNKNOWN),
        ("what it carries is not known", ContactAmps(None, 9, 2.1, 9, 0.4), (MOTOR, PLAIN), UNKNOWN),
        ("it makes more than is published to be made", ContactAmps(2.1, 41, 2.1, 0), (MOTOR, PLAIN), UNKNOWN),
    ],
)
def test_what_the_solved_board_gives_is_what_is_asked(
    why: str, solved: ContactAmps, lines: tuple[Rating, ...], verdict: Verdict
) -> None:
    load = Load("motor", 14, 2.1, suppression="diode", operations_per_day=20)
    assert verdict_of(solved_for(solved, *lines, load=load)) is verdict, why


@pytest.mark.parametrize(
    ("makes", "breaks", "switches"),
    [(0, 0, False), (1, 0, True), (0, 1, True), (None, 0, True), (0, None, True)],
)
def test_only_a_contact_that_neither_makes_nor_breaks_any_current_has_but_to_carry_it(
    makes: float | None, breaks: float | None, switches: bool
) -> None:
    """19 A: the motor line says 8 A, the resistive one 20 A. Where the motor line ends at 12 V it still says that 8 A
    is all."""
    solved = ContactAmps(19, makes, breaks, 0)
    ran = outcome(solved_for(solved, MOTOR, PLAIN), "running")
    assert ran is (Outcome.FAIL if switches else Outcome.PASS)
    too_few = [f.outcome for f in solved_for(solved, replace(MOTOR, volts=12), PLAIN) if f.check == "published amps, f"]
    assert too_few == ([Outcome.FAIL] if switches else [])


@pytest.mark.parametrize(("breaks", "asked"), [(0, False), (1, True), (None, True)])
def test_how_it_lets_go_is_asked_of_a_contact_that_breaks_or_may_break_something(
    breaks: float | None, asked: bool
) -> None:
    found = solved_for(ContactAmps(5, 5, breaks, 0), MOTOR, load=Load("motor", 14, 5))
    assert any(f.check == "release, f" for f in found) is asked
