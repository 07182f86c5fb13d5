"""Contact figures that makers print: DC limits, power factor, parallel contacts, least load, life."""

from __future__ import annotations

from math import log

import pytest

from bom.boards.board import Board, Function, HolePattern, Load, Place, Position
from bom.duty.check import contact_findings
from bom.duty.contact_conditions import minimum_load
from bom.duty.contact_life import slope
from bom.duty.load_protection import discharge_ohms
from bom.duty.published_ratings import offer_for
from bom.duty.rules import DEFAULT, others_say, rule_named
from bom.relays.relay import Design, Rating, Relay, SupplyKind
from bom.relays.wiring import Kind
from bom.values.finding import Finding, Outcome

P, F = Outcome.PASS, Outcome.FAIL
FINDER_60 = tuple(
    Rating("60.12", "both", "DC-1", SupplyKind.DC, volts, amps, source="Finder 60 series")
    for volts, amps in ((30, 10), (110, 0.4), (220, 0.15))
)


def found_for(relay: Relay, ratings: tuple[Rating, ...], load: Load) -> tuple[Finding, ...]:
    position = Position("K1", "p", functions=(Function("f", "A", Kind.MAKE, load),))
    place = Place(Board("B"), position, HolePattern("p", ()), None)
    return contact_findings(Design(relay, None, None, ratings), place)


@pytest.mark.parametrize(("volts", "printed"), [(30, 10), (110, 0.4), (220, 0.15)])
def test_finder_60_12_at_its_printed_points(volts: float, printed: float) -> None:
    """Finder, 60 series data sheet, breaking capacity DC1, 60.12."""
    offer = offer_for(FINDER_60, "DC-1", Load("DC-1", volts, 0.1))
    assert offer is not None
    assert offer.amps == pytest.approx(printed)


@pytest.mark.parametrize("volts", [48.0, 60.0, 80.0])
def test_between_them_it_stays_far_below_proportion(volts: float) -> None:
    """10 A at 30 V in proportion would be 2.7 A at 110 V, where 0.4 A is printed (the same sheet)."""
    offer = offer_for(FINDER_60, "DC-1", Load("DC-1", volts, 0.1))
    assert offer is not None
    assert 0.4 < offer.amps < 10 * 30 / volts


@pytest.mark.parametrize(("cos_phi", "allowed"), [(0.4, 4), (0.7, 7)])
def test_inductive_ac_amps_by_the_power_factor(cos_phi: float, allowed: float) -> None:
    """Hando, Meaning of contact ratings (handouk.co.kr): 10 A at 250 V AC."""
    times = rule_named("power factor").size("inductive", 250, cos_phi)
    assert times is not None
    assert 10 / times == pytest.approx(allowed)


def test_a_small_relays_inductive_share() -> None:
    """Omron, FAQ 02771, MY2 relay: 5 A resistive, 2 A inductive."""
    times = rule_named("forty percent inductive").size("inductive", 24)
    assert times is not None
    assert 5 / times == pytest.approx(2)


def test_a_locked_motor_takes_six_times_its_running_current() -> None:
    """Panasonic, UL 508 horsepower rating (industrial.panasonic.com): 1/8 hp at 120 V, 3.8 A running, 22.8 A locked."""
    assert 3.8 * (DEFAULT.inrush("motor") or 0) == pytest.approx(22.8, abs=0.1)


def test_where_sources_differ_the_finding_says_so() -> None:
    """Lamp inrush: Omron 10; NI 10 to 15; MIL-R-5757J 12; FAA 5 on 12 V; Omron snap switches 5."""
    assert others_say(DEFAULT, "lamp", 12) == "others print 4 to 15"


@pytest.mark.parametrize(("amps", "outcome"), [(10, P), (15, F), (20, F)])
def test_two_contacts_of_10_a_in_parallel_are_10_a(amps: float, outcome: Outcome) -> None:
    """Bestact Solutions, Limit switches PSPD and PPMU, notes on parallel contacts."""
    line = Rating("x", "make", "resistive", SupplyKind.DC, 30, 10)
    found = found_for(Relay("M", "x"), (line,), Load("resistive", 24, amps, in_parallel=2))
    running = next(f for f in found if f.check == "running current, f")
    assert (running.outcome, running.offered) == (outcome, "10.00 A")


@pytest.mark.parametrize(
    ("volts", "amps", "outcome"), [(24, 0.010, F), (24, 0.0125, P), (5, 0.060, P), (5, 0.059, F), (60, 0.005, P)]
)
def test_a_minimum_of_300_mw_5_v_5_ma_is_three_minima(volts: float, amps: float, outcome: Outcome) -> None:
    """Finder's reading of its least switching load, from memory; figures worked out from 300 mW (5 V / 5 mA)."""
    relay = Relay("M", "x", min_load_milliwatts=300, min_load_volts=5, min_load_milliamps=5)
    assert minimum_load(relay, Function("f", "A", Kind.MAKE, Load("resistive", volts, amps))).outcome is outcome


def slope_between(low: tuple[float, float], high: tuple[float, float]) -> float:
    """n of the line through two (amps, operations) points in log-log."""
    return -(log(high[1]) - log(low[1])) / (log(high[0]) - log(low[0]))


GE_RESISTIVE = ((2.0, 200_000), (1.1, 500_000), (0.7, 1_000_000))


@pytest.mark.parametrize(("low", "high", "n"), [(0, 2, 1.53), (0, 1, 1.53)])
def test_dc_resistive_life_falls_with_this_slope(low: int, high: int, n: float) -> None:
    """GE, VersaMax manual GFK-1504N, page B-1, contact life: 5 to 31 V DC."""
    assert slope_between(GE_RESISTIVE[high], GE_RESISTIVE[low]) == pytest.approx(n, abs=0.01)
    assert slope(True, SupplyKind.DC) == pytest.approx(n, abs=0.01)


@pytest.mark.parametrize(
    ("few", "many", "supply", "n"),
    [
        ((0.10, 1_000_000), (2.00, 50_000), SupplyKind.DC, 1.00),
        ((0.10, 1_000_000), (1.00, 100_000), SupplyKind.AC, 1.00),
    ],
)
def test_inductive_life_times_amps_is_constant(
    few: tuple[float, float], many: tuple[float, float], supply: SupplyKind, n: float
) -> None:
    """GE, VersaMax manual GFK-1504N, page B-1, contact life: inductive, L/R 7 ms or cos phi 0.4."""
    assert slope_between(few, many) == pytest.approx(n, abs=0.01)
    assert slope(False, supply) == pytest.approx(n, abs=0.01)


def test_ac_resistive_life_falls_with_this_slope() -> None:
    """GE, VersaMax manual GFK-1504N, page B-1, contact life: 2.0 A 300 000 and 0.8 A 1 000 000 at 24 to 125 V AC."""
    assert slope_between((0.8, 1_000_000), (2.0, 300_000)) == pytest.approx(1.31, abs=0.01)
    assert slope(True, SupplyKind.AC) == pytest.approx(1.31, abs=0.01)


def bridge(volts: float, **more: float) -> set[Outcome]:
    load = Load("motor", volts, 2, stall_amps=9, stall_seconds=0.4, reversing=True, **more)
    lines = tuple(Rating("x", c, "resistive", SupplyKind.DC, 60, 20) for c in ("make", "break"))
    return {f.outcome for f in found_for(Relay("M", "x"), lines, load) if f.check.startswith("arc at the transfer")}


def test_the_arc_of_a_bridge_dies_at_14_v_and_not_at_42_v() -> None:
    """all-electronics.de, Umkehrsteuerung für DC-Motoren, relays for 42 V: the contact's arc takes 12 to 15 V, so it
    goes out by itself in a 14 V system, and joins + and - in a 42 V one unless more is done."""
    assert bridge(14) == set()
    assert bridge(42) == {Outcome.UNKNOWN}
    assert bridge(42, pause_ms=0) == {Outcome.FAIL}
    assert bridge(42, pause_ms=1000) == {Outcome.CONDITION}


@pytest.mark.parametrize(("amps", "expected"), [(6, P), (8.5, Outcome.UNKNOWN)])
def test_the_lock_and_the_free_motor_have_lines_of_their_own(amps: float, expected: Outcome) -> None:
    """Panasonic, CR relay test data, page 4: free 25 A inrush and 6 A steady; locked 22 A, 0.5 s on and 9.5 s off, to
    100 000 operations at 14 V: a lock is switched at its own line, and no inrush covers it."""
    free = Rating("CR", "make", "motor", SupplyKind.DC, 14, 6, inrush_amps=25, temp_c=85, operations=2e5)
    locked = Rating("CR", "make", "motor", SupplyKind.DC, 14, 22, temp_c=85, operations=1e5)
    held = Load("motor", 14, 5, stall_amps=amps, stall_seconds=2, temp_c=60)
    stalls = [f.outcome for f in found_for(Relay("M", "x"), (free,), held) if f.check.startswith("stall")]
    assert stalls == [expected]
    assert [f.outcome for f in found_for(Relay("M", "x"), (free, locked), held) if f.check.startswith("stall")] == [P]


@pytest.mark.parametrize(("operations", "expected"), [(50, Outcome.UNKNOWN), (6000, P)])
def test_fifty_overload_operations_are_no_rating(operations: float, expected: Outcome) -> None:
    """Panasonic, Tech Insights: what is a pilot duty rating: the overload test is 50 operations. Its endurance test of
    6000 is from memory."""
    line = Rating("x", "make", "resistive", SupplyKind.DC, 28, 20, operations=operations)
    found = found_for(Relay("M", "x"), (line,), Load("resistive", 28, 10))
    assert next(f.outcome for f in found if f.check.startswith("running")) is expected


def test_an_rc_has_no_fewer_ohms_than_its_volts_over_what_the_contact_makes() -> None:
    """Keysight, 34970A manual, page 323: R between V over the greatest amps and the load's own ohms."""
    assert discharge_ohms(24, SupplyKind.DC, 2) == pytest.approx(12.0)
