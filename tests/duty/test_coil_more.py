"""The coil beyond its window: warm, released, boosted, AC, latching."""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import DRIVER, OLD, design, named, outcome, place

from bom.boards.board import Driver, Place
from bom.duty.check import coil_findings
from bom.duty.coil_drive import current_ma
from bom.duty.coil_heat import balanced_rise, rise_at
from bom.duty.rules import DEFAULT, rule_named, with_loads
from bom.relays.relay import CoilSystem, Relay, SupplyKind, Suppression
from bom.values.finding import Finding, Outcome

P, C, F, U = Outcome.PASS, Outcome.CONDITION, Outcome.FAIL, Outcome.UNKNOWN
WARM = with_loads(rule_named("warm coil"))


def at(driver: Driver = DRIVER, rise_k: float | None = None, jump: float | None = None) -> Place:
    here = place((10.0, 14.4), (-20, 50))
    supply = replace(here.board.supply, jump_volts=jump, jump_seconds=60)
    board = replace(here.board, supply=supply)
    return replace(here, board=board, position=replace(here.position, driver=driver, coil_rise_k=rise_k))


def checks(found: tuple[Finding, ...]) -> set[str]:
    return {f.check for f in found}


@pytest.mark.parametrize(("rise", "expected"), [(0, P), (4, P), (10, F)])
def test_a_stated_rise_moves_the_operate_volts(rise: float, expected: Outcome) -> None:
    """8.0 V at 20 °C is 8.94 V at 50 °C, 9.07 V at 54 °C; 9.1 V is there."""
    found = coil_findings(design(replace(OLD, operate_volts=8.0)), at(rise_k=rise))
    assert outcome(found, "pull-in again") is expected
    assert f"{8.0 * (234.5 + 50 + rise) / 254.5:.2f} V" in named(found, "pull-in again").why


def test_a_rise_makes_the_heat_that_makes_it() -> None:
    rise = balanced_rise(240, 20, 13.5, 70, 50)
    watts = 13.5**2 / (240 * (234.5 + 70 + rise) / 254.5)
    assert rise == pytest.approx(50 * watts)


def test_the_boards_own_rise_comes_before_the_rules() -> None:
    found = rise_at(design(), at(rise_k=12), WARM, 50)
    assert found is not None
    assert (found.kelvin, "stated for K1" in found.source) == (12, True)
    assert rise_at(design(), at(), DEFAULT, 50) is None


def test_an_unfinished_data_sheet_leaves_the_warm_coil_unknown() -> None:
    found = coil_findings(design(replace(OLD, operate_volts=8.0, coil_ohms=None)), at(), rule=WARM)
    assert "coil ohms" in named(found, "pull-in again").why
    assert outcome(found, "pull-in again") is U


@pytest.mark.parametrize(("left", "expected"), [(0.5, P), (1.1, F), (0, P)])
def test_leakage_may_hold_a_cold_coil(left: float, expected: Outcome) -> None:
    """1.2 V at 20 °C is 1.01 V at -20 °C."""
    found = coil_findings(design(replace(OLD, release_volts=1.2)), at(replace(DRIVER, off_volts=left)))
    assert outcome(found, "release when off") is expected


@pytest.mark.parametrize(("ours", "expected"), [(1.2, P), (1.0, C), (None, U)])
def test_without_stated_leakage_the_fitted_part_is_the_measure(ours: float | None, expected: Outcome) -> None:
    fitted = design(replace(OLD, release_volts=1.2))
    found = coil_findings(design(replace(OLD, release_volts=ours)), at(), fitted)
    assert outcome(found, "release when off") is expected


def test_without_leakage_and_fitted_part_it_is_to_be_measured_but_of_a_latching_coil() -> None:
    assert outcome(coil_findings(design(OLD), at()), "release when off") is U
    latching = coil_findings(design(replace(OLD, coil_system=CoilSystem.LATCHING_2_COIL)), at())
    assert not [f for f in latching if f.check == "release when off"]


def test_a_coil_that_states_no_rated_volts_is_unknown() -> None:
    assert outcome(coil_findings(design(replace(OLD, coil_volts=None)), at()), "coil volts") is U


@pytest.mark.parametrize(
    ("most", "fitted", "expected"), [(25, None, P), (18, None, U), (18, OLD, C), (18, replace(OLD, coil_ohms=300), U)]
)
def test_a_boost_start_is_allowed_for(most: float, fitted: Relay | None, expected: Outcome) -> None:
    original = None if fitted is None else design(fitted)
    found = coil_findings(design(replace(OLD, coil_max_volts=most)), at(jump=24), original)
    assert outcome(found, "boost start") is expected
    assert "60 s" in named(found, "boost start").why


@pytest.mark.parametrize(("resistor", "milliamps"), [(680, 79.1 + 21.2), (None, None)])
def test_a_suppression_resistor_takes_its_share_of_the_drivers_current(
    resistor: float | None, milliamps: float | None
) -> None:
    part = replace(OLD, coil_suppression=Suppression.RESISTOR, suppression_ohms=resistor)
    found = current_ma(part, 14.4, -20)
    assert found is None if milliamps is None else found == pytest.approx(milliamps, abs=0.1)
    assert outcome(coil_findings(design(part), place()), "coil current") is (U if resistor is None else F)


@pytest.mark.parametrize(("ohms", "expected"), [(240, F), (420, P)])
def test_a_boost_start_on_a_cold_morning_loads_the_driver(ohms: float, expected: Outcome) -> None:
    found = coil_findings(design(replace(OLD, coil_ohms=ohms, coil_max_volts=30)), at(jump=24))
    assert outcome(found, "coil current at boost start") is expected


AC = replace(OLD, coil_supply=SupplyKind.AC, coil_volts=24, coil_ohms=180, operate_volts=19.2)


@pytest.mark.parametrize(
    ("supply", "pull_in", "most"),
    [((24, 26.4), P, P), ((21.6, 26.4), C, P), ((19, 26), F, P), ((24, 28), P, F)],
)
def test_an_ac_coil_is_judged_apart(supply: tuple[float, float], pull_in: Outcome, most: Outcome) -> None:
    original = design(replace(AC, operate_volts=10, coil_max_volts=40))
    found = coil_findings(design(AC), place(supply), original)
    assert (outcome(found, "pull-in, AC coil"), outcome(found, "highest coil volts")) == (pull_in, most)
    assert "coil current when cold" not in checks(found)


@pytest.mark.parametrize(("lowest", "expected"), [(24.9, P), (22, U), (19, F)])
def test_an_ac_coil_without_operate_volts_surely_operates_at_its_rated_ones(lowest: float, expected: Outcome) -> None:
    found = coil_findings(design(replace(AC, operate_volts=None)), place((lowest, 26)), design(AC))
    assert outcome(found, "pull-in, AC coil") is expected


def test_what_an_unknown_board_drives_its_coils_with_is_not_guessed() -> None:
    here = place()
    bare = replace(here, position=replace(here.position, driver=None))
    assert outcome(coil_findings(design(), bare), "coil supply") is U
    assert outcome(coil_findings(design(), bare, design()), "coil supply") is P
    vehicle = replace(bare, board=replace(bare.board, supply=replace(bare.board.supply, code="C")))
    assert outcome(coil_findings(design(), vehicle), "coil supply") is P


@pytest.mark.parametrize(
    ("other", "expected"),
    [(AC, P), (replace(AC, part_number="other"), C), (replace(AC, coil_ohms=300), U)],
)
def test_an_ac_coils_current_is_the_fitted_ones_where_it_is_that_part(other: Relay, expected: Outcome) -> None:
    assert outcome(coil_findings(design(other), place((21.6, 26)), design(AC)), "coil current, AC") is expected


LATCH = replace(OLD, coil_system=CoilSystem.LATCHING_2_COIL, operate_ms=5)


@pytest.mark.parametrize(
    ("pulse", "fitted", "expected"),
    [(20, None, P), (10, None, F), (None, None, U), (None, LATCH, P), (None, replace(LATCH, operate_ms=3), U)],
)
def test_a_latching_coil_is_driven_three_times_as_long_as_it_takes(
    pulse: float | None, fitted: Relay | None, expected: Outcome
) -> None:
    original = None if fitted is None else design(fitted)
    found = coil_findings(design(LATCH), at(replace(DRIVER, pulse_ms=pulse)), original)
    assert outcome(found, "latching pulse") is expected
