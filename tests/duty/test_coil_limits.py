"""Each limit of the coil bites where it stands: just inside it and just outside."""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import DRIVER, OLD, design, named, outcome, place

from bom.boards.board import Load, Place, Supply
from bom.duty.check import coil_findings
from bom.duty.coil_heat import contact_rise, heating_volts
from bom.duty.release import decay, release, release_amps
from bom.relays.relay import CoilSystem, Relay, SupplyKind, Suppression
from bom.values.finding import Finding, Outcome

P, C, F, U = Outcome.PASS, Outcome.CONDITION, Outcome.FAIL, Outcome.UNKNOWN


@pytest.mark.parametrize(("supply", "expected"), [(13.19, P), (13.21, U), (14.0, U), (16.9, U), (17.1, F), (17.7, F)])
def test_a_coil_without_a_maximum_bears_a_tenth_more_and_burns_at_twice_its_power(
    supply: float, expected: Outcome
) -> None:
    """Rated 12 V: 13.2 V is a tenth more; 16.97 V makes twice the power."""
    assert outcome(coil_findings(design(), place((9, supply))), "highest coil volts") is expected


@pytest.mark.parametrize(("jump", "expected"), [(13.1, P), (13.3, U), (14.0, U)])
def test_a_boost_start_is_borne_to_a_tenth_above_rated(jump: float, expected: Outcome) -> None:
    here = place()
    here = replace(here, board=replace(here.board, supply=replace(here.board.supply, jump_volts=jump)))
    assert outcome(coil_findings(design(), here), "boost start") is expected


@pytest.mark.parametrize(("ohms", "expected"), [(240, P), (219, P), (217, C), (200, C), (121, C), (119, F), (110, F)])
def test_a_coils_heat_is_a_word_above_a_tenth_more_and_refused_above_twice(ohms: float, expected: Outcome) -> None:
    found = named(coil_findings(design(replace(OLD, coil_ohms=ohms)), place(), design(OLD)), "coil power")
    assert found.outcome is expected
    assert found.margin == pytest.approx(ohms / 240 - 1)


@pytest.mark.parametrize(("ours", "fitted", "expected"), [(240, 240, C), (250, 240, C), (239, 240, U)])
def test_no_hotter_than_the_fitted_part_is_as_many_ohms_and_volts(
    ours: float, fitted: float, expected: Outcome
) -> None:
    found = coil_findings(design(replace(OLD, coil_ohms=ours)), place(), design(replace(OLD, coil_ohms=fitted)))
    assert outcome(found, "highest coil volts") is expected


@pytest.mark.parametrize(("volts", "expected"), [(12.0, C), (11.9, U)])
def test_fewer_rated_volts_than_the_fitted_part_are_not_compared(volts: float, expected: Outcome) -> None:
    found = coil_findings(design(replace(OLD, coil_volts=volts)), place(), design(OLD))
    assert outcome(found, "highest coil volts") is expected


@pytest.mark.parametrize(
    ("most", "fitted", "hottest", "expected"),
    [(16, 16, 70, P), (16, 17, 70, C), (16, None, 20, P), (16, None, 21, C), (14.4, None, 20, P), (14.3, None, 20, F)],
)
def test_a_stated_maximum_holds_at_its_temperature_or_where_the_fitted_part_bore_no_more(
    most: float, fitted: float | None, hottest: float, expected: Outcome
) -> None:
    original = None if fitted is None else design(replace(OLD, coil_max_volts=fitted))
    found = coil_findings(design(replace(OLD, coil_max_volts=most)), place(ambient=(-20, hottest)), original)
    assert outcome(found, "highest coil volts") is expected


@pytest.mark.parametrize(("operate", "expected"), [(13.4, F), (13.6, F)])
def test_more_than_the_highest_supply_leaves_is_not_sure_to_pull_in(operate: float, expected: Outcome) -> None:
    """14.4 V less 0.9 V is 13.5 V."""
    found = named(coil_findings(design(replace(OLD, operate_volts=operate)), place()), "pull-in")
    assert found.outcome is expected
    assert found.why.startswith("not sure to pull in") is (operate > 13.5)


def test_what_is_missing_for_a_short_supply_is_its_share_of_the_operate_volts() -> None:
    found = named(coil_findings(design(replace(OLD, operate_volts=15)), place()), "pull-in")
    assert found.margin == pytest.approx(13.5 / 15 - 1)
    assert "leaves 13.5 V" in found.why


BARE = replace(OLD, coil_ohms=275, coil_henries=2.29, release_volts=None)


def test_a_coil_that_states_no_release_volts_lets_go_at_a_tenth_of_its_rated() -> None:
    assert release_amps(BARE, 14) == pytest.approx(1.2 / 275)
    assert release_amps(replace(BARE, coil_volts=None), 14) == pytest.approx(1.4 / 275)
    assert release_amps(replace(BARE, release_volts=2), 14) == pytest.approx(2 / 275)


@pytest.mark.parametrize(
    ("kind", "peak"),
    [(Suppression.DIODE, 12.7), (Suppression.DIODE_ZENER, 24.7), (Suppression.RESISTOR, 12 + 12 / 275 * 680)],
)
def test_what_the_driver_sees_when_it_opens(kind: Suppression, peak: float) -> None:
    assert decay(replace(BARE, suppression_ohms=680), kind, 12).peak_volts == pytest.approx(peak)


def test_a_stated_zener_clamps_at_its_own_volts() -> None:
    found = decay(replace(BARE, suppression_volts=24), Suppression.DIODE_ZENER, 12)
    assert found.peak_volts == pytest.approx(36.7)


def test_the_mechanism_takes_its_time_besides_the_current() -> None:
    found = decay(replace(BARE, release_ms=4), Suppression.DIODE, 12)
    assert found.milliseconds is not None
    assert found.with_mechanism_ms == pytest.approx(found.milliseconds + 4)


def released(load: Load, part: Relay) -> tuple[Finding, ...]:
    here: Place = place(load=load)
    here = replace(here, position=replace(here.position, driver=replace(DRIVER, suppression="none")))
    return release(part, here, here.position.functions[0])


def test_through_a_resistor_quick_is_half_the_time_of_a_diode() -> None:
    """275 ohm, 12 V to 1.2 V: a diode takes 1.90 L/R; a resistor ln 10 / (1 + r / 275), 0.95 L/R at r = 392 ohm."""
    for ohms, expected in ((385, C), (400, P)):
        part = replace(BARE, coil_suppression=Suppression.RESISTOR, suppression_ohms=ohms, release_volts=1.2)
        (found,) = released(Load("motor", 14, 2), part)
        assert (found.outcome, found.required) == (expected, "0.9 L/R or less"), ohms
        assert found.margin is not None and (found.margin >= 0) is (expected is P)


@pytest.mark.parametrize(
    ("kind", "asked"),
    [
        *((kind, True) for kind in ("motor", "inductive", "solenoid", "transformer", "electromagnet")),
        *((kind, True) for kind in ("DC-3", "DC-5", "DC-13", "DC-14")),
        *((kind, False) for kind in ("resistive", "lamp", "capacitive", "DC-1", "DC-6", "DC-12")),
    ],
)
def test_slow_opening_matters_to_every_inductive_dc_load_and_to_no_other(kind: str, asked: bool) -> None:
    part = replace(OLD, coil_suppression=Suppression.DIODE)
    assert bool(released(Load(kind, 14, 2), part)) is asked
    assert not released(Load(kind, 14, 2, suppression="diode"), part)
    assert not released(Load(kind, 14, 2, supply=SupplyKind.AC), part)


AC = replace(OLD, coil_supply=SupplyKind.AC, coil_volts=24, coil_ohms=180, operate_volts=None, coil_ref_temp_c=20)
STURDY = design(replace(AC, coil_max_volts=40))


@pytest.mark.parametrize(("lowest", "expected"), [(24.9, P), (24.8, U), (20.2, U), (20.0, F)])
def test_an_ac_coil_works_usually_from_eight_tenths_of_its_volts(lowest: float, expected: Outcome) -> None:
    """0.8 of 24 V is 19.2 V; the driver drops 0.9 V."""
    assert outcome(coil_findings(design(AC), place((lowest, 26)), STURDY), "pull-in, AC coil") is expected


@pytest.mark.parametrize(("highest", "expected"), [(26.3, P), (26.5, F), (28, F)])
def test_an_ac_coil_bears_a_tenth_above_its_volts(highest: float, expected: Outcome) -> None:
    assert outcome(coil_findings(design(AC), place((24.9, highest)), STURDY), "highest coil volts") is expected


@pytest.mark.parametrize(("ohms", "tolerance", "expected"), [(197, None, C), (199, None, U), (188, 5, C), (190, 5, U)])
def test_an_ac_winding_is_alike_within_the_fitted_ones_tolerance(
    ohms: float, tolerance: float | None, expected: Outcome
) -> None:
    fitted = design(replace(AC, coil_ohms_tol_pct=tolerance))
    found = coil_findings(design(replace(AC, coil_ohms=ohms)), place((24.9, 26)), fitted)
    assert outcome(found, "coil current, AC") is expected


@pytest.mark.parametrize(("pulse", "expected"), [(15, P), (14.9, F)])
def test_a_pulse_is_three_operate_times(pulse: float, expected: Outcome) -> None:
    latch = replace(OLD, coil_system=CoilSystem.LATCHING_1_COIL, operate_ms=5)
    here = place()
    here = replace(here, position=replace(here.position, driver=replace(DRIVER, pulse_ms=pulse)))
    assert outcome(coil_findings(design(latch), here), "latching pulse") is expected


@pytest.mark.parametrize(("operate", "short"), [(14.35, False), (14.45, True)])
def test_a_driver_that_states_no_drop_is_taken_at_none_where_even_that_is_too_much(operate: float, short: bool) -> None:
    here = place()
    here = replace(here, position=replace(here.position, driver=replace(DRIVER, drop_volts=None)))
    found = named(coil_findings(design(replace(OLD, operate_volts=operate)), here), "pull-in")
    assert (found.outcome, "highest supply leaves 14.4 V" in found.why) == ((F, True) if short else (U, False))


def test_a_coil_is_heated_by_the_highest_supply_less_the_drop_or_by_all_of_it() -> None:
    here = place()
    assert heating_volts(here) == pytest.approx(13.5)
    bare = replace(here, position=replace(here.position, driver=None))
    assert heating_volts(bare) == pytest.approx(14.4)
    assert heating_volts(replace(bare, board=replace(bare.board, supply=Supply()))) is None


def test_cold_is_not_counted_on_to_lower_an_ac_coils_operate_volts() -> None:
    part = replace(AC, operate_volts=19.2)
    found = named(coil_findings(design(part), place((20.5, 26), (-20, 10)), STURDY), "pull-in, AC coil")
    assert (found.outcome, found.required) == (P, "19.20 V")


def test_an_ac_coil_gets_the_lowest_supply_less_the_drivers_drop() -> None:
    found = named(coil_findings(design(replace(AC, operate_volts=19.2)), place((24.9, 26)), STURDY), "pull-in, AC coil")
    assert "gets 24 V" in found.why


@pytest.mark.parametrize(("lowest", "expected"), [(23.9, P), (23.8, C)])
def test_an_ac_coil_hot_needs_at_most_what_copper_grows_by(lowest: float, expected: Outcome) -> None:
    """19.2 V at 20 °C is 22.97 V at most at 70 °C; the driver drops 0.9 V."""
    found = coil_findings(design(replace(AC, operate_volts=19.2)), place((lowest, 26)), STURDY)
    assert outcome(found, "pull-in, AC coil") is expected


def test_an_ac_coil_that_gets_too_little_is_no_worse_than_the_fitted_one_that_gets_as_little() -> None:
    part = design(replace(AC, operate_volts=19.2))
    found = named(coil_findings(part, place((19, 26)), part), "pull-in, AC coil")
    assert (found.outcome, "(19.20 V against 18.10 V)" in found.why) == (C, True)


@pytest.mark.parametrize(("units", "limit", "expected"), [(1, 70, P), (1, 60, F), (2, 130, P), (2, 125, F)])
def test_a_drivers_package_carries_as_many_coils_as_are_on_together(
    units: int, limit: float, expected: Outcome
) -> None:
    """14.4 V over 240 ohm less 5 % is 63.2 mA at 20 °C, where its figures hold; two take 126.3 mA."""
    here = place(ambient=(20, 70), units=units)
    here = replace(here, position=replace(here.position, driver=replace(DRIVER, package_milliamps=limit)))
    part = design(replace(OLD, coil_ohms_tol_pct=5))
    assert outcome(coil_findings(part, here), "package current when cold") is expected


@pytest.mark.parametrize("check", ["coil current when cold", "package current when cold"])
@pytest.mark.parametrize(("ohms", "expected"), [(240, C), (241, C), (239, F), (160, F)])
def test_coils_beyond_the_drivers_limit_are_held_to_the_fitted_ones(ohms: float, expected: Outcome, check: str) -> None:
    """At -20 °C the fitted one takes 79 mA where the channel carries 70, and four 316 mA where the package carries 250;
    what takes more is worse."""
    here = place()
    driver = replace(DRIVER, channel_milliamps=70, package_milliamps=250)
    here = replace(here, position=replace(here.position, driver=driver))
    found = coil_findings(design(replace(OLD, coil_ohms=ohms)), here, design())
    assert outcome(found, check) is expected


def test_a_bare_coils_current_ends_at_once() -> None:
    found = decay(replace(OLD, release_ms=3), Suppression.NONE, 12.0)
    assert (found.times_lr, found.milliseconds, found.with_mechanism_ms, found.peak_volts) == (0, 0, 3, None)


@pytest.mark.parametrize(
    ("load", "kelvin"), [(Load("resistive", 14, 5), 5.0), (Load("resistive", 14, 20), 80.0), (None, 0)]
)
def test_contacts_warm_the_coil_by_the_square_of_what_they_carry(load: Load | None, kelvin: float) -> None:
    """20 K at 10 A: a quarter of it at half the amps; a sheet that states nothing adds nothing."""
    part = replace(OLD, contact_rise_k=20, contact_rise_amps=10)
    assert contact_rise(part, place(load=load)) == pytest.approx(kelvin)
    assert contact_rise(OLD, place(load=load)) == 0
