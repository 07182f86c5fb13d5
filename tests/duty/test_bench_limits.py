"""Each limit of the bench bites where it stands: what protects a load, and what a reading on a relay tells."""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import OLD, design, place, rating

from bom.boards.board import Load
from bom.duty.bench_reading import Seen, compare, expected_ohms, off_by
from bom.duty.identify import identify
from bom.duty.load_protection import discharge_ohms, least_microfarads, protection_for, rc_peak_volts
from bom.relays.footprint import Footprint, Pin
from bom.relays.relay import Design, SupplyKind, Suppression


def rc_of(load: Load, makes: float | None = None) -> str:
    part = None if makes is None else design(ratings=(rating("make", "resistive", 24, 5, inrush_amps=makes),))
    found = protection_for(place(load=load).position.functions[0], part)
    assert found is not None
    return next(w.parts for w in found.ways if w.name == "RC")


def test_an_rc_is_bates_raised_to_preferred_values_and_bears_twice_the_volts() -> None:
    """24 V and 2 A: 0.4 µF and 0.389 ohm, so 0.47 µF and 0.47 ohm."""
    assert rc_of(Load("solenoid", 24, 2), 60) == "0.47 µF and 0.47 Ω in series across the contact, 48 V or more"


@pytest.mark.parametrize(("makes", "ohms"), [(52, "0.47"), (50, "0.68"), (20, "1.5"), (None, "15")])
def test_a_charged_capacitor_drives_no_more_than_the_contact_may_make(makes: float | None, ohms: str) -> None:
    """24 V through 0.47 ohm are 51 A, through 0.68 ohm 35 A, through 1.5 ohm 16 A, through 15 ohm less than the 2 A
    of the load."""
    assert rc_of(Load("solenoid", 24, 2), makes).startswith(f"0.47 µF and {ohms} Ω ")


def test_on_ac_the_capacitor_is_charged_to_the_peak() -> None:
    """230 V are 325 V at the peak: through 15 ohm 21.7 A, through 10 ohm 32.5 A."""
    assert discharge_ohms(230, SupplyKind.AC, 21.7) == pytest.approx(15.0, abs=0.02)
    assert discharge_ohms(230, SupplyKind.DC, 23) == pytest.approx(10.0)


def test_the_smallest_capacitor_is_a_thousandth_of_a_microfarad() -> None:
    assert rc_of(Load("solenoid", 24, 0.05)).startswith("0.001 µF and ")


def test_other_guides_are_told_with_their_spread() -> None:
    found = protection_for(place(load=Load("solenoid", 24, 2)).position.functions[0])
    assert found is not None
    assert "print 1 to 2 µF and 12 to 24 Ω; never a capacitor alone" in found.ways[-1].remark


def test_the_swing_is_held_under_300_v() -> None:
    """C = (I / 300)² L: 2 A and 0.24 H want 10.7 µF, with which the swing is 300 V."""
    assert least_microfarads(2, 0.24) == pytest.approx(10.667, abs=0.001)
    assert rc_peak_volts(24, 2, 0.47, 0.24, least_microfarads(2, 0.24)) == pytest.approx(324)
    assert rc_peak_volts(24, 2, 500, 0.24, 10.0) == pytest.approx(1000)


def test_too_small_a_capacitor_for_the_load_says_which_is_enough() -> None:
    found = protection_for(place(load=Load("solenoid", 24, 2, lr_ms=20)).position.functions[0])
    assert found is not None
    assert "too little for this load, 15 µF would keep it under 300 V" in found.ways[-1].remark


@pytest.mark.parametrize(("stall", "cut"), [(None, "2 A"), (9.0, "9 A")])
def test_a_stalled_motor_is_cut_at_its_stall(stall: float | None, cut: str) -> None:
    found = protection_for(place(load=Load("motor", 14, 2, stall_amps=stall)).position.functions[0])
    assert found is not None
    assert found.ways[0].parts == f"a diode across the load, cathode to +: 140 V reverse, {cut} or more"


def fits(seen: Seen, ohms: float | None = 240.0, **more: object) -> dict[str, bool | None]:
    part = Design(replace(OLD, **more), None, None)  # type: ignore[arg-type]
    return {row.what: row.fits for row in compare(part, ohms, 20, seen)}


@pytest.mark.parametrize(("click", "heard"), [(8.4, True), (8.5, False), (3.4, True), (3.3, False)])
def test_a_click_is_at_its_operate_volts_or_below_but_not_far(click: float, heard: bool) -> None:
    """0.4 of 8.4 V is 3.36 V."""
    assert fits(Seen(click_volts=click))["click"] is heard


@pytest.mark.parametrize(("other", "diode"), [(253.0, True), (252.0, None), (228.5, None), (227.0, True)])
def test_readings_more_than_a_twentieth_apart_tell_of_a_diode(other: float, diode: bool | None) -> None:
    found = fits(Seen(ohms_other_way=other), coil_suppression=Suppression.DIODE)
    assert found["coil both ways"] is diode


@pytest.mark.parametrize(("height", "near"), [(14.5, True), (14.54, False), (13.5, True), (13.46, False)])
def test_a_caliper_may_be_half_a_millimetre_off(height: float, near: bool) -> None:
    assert fits(Seen(height_mm=height), body_height_mm=14.0)["height"] is near


@pytest.mark.parametrize(
    ("taken", "near"),
    [((20.0, 10.0), True), ((10.0, 20.5), True), ((10.0, 20.6), False), ((None, 20.0), True), ((None, 15.0), False)],
)
def test_a_body_may_be_measured_either_way_round(taken: tuple[float | None, float], near: bool) -> None:
    found = fits(Seen(length_mm=taken[0], width_mm=taken[1]), body_length_mm=20.0, body_width_mm=10.0)
    assert found["body"] is near


def test_a_body_that_nobody_measured_is_not_compared() -> None:
    assert "body" not in fits(Seen(height_mm=14.0), body_length_mm=20.0, body_width_mm=10.0)


@pytest.mark.parametrize(("ohms", "near"), [(264, True), (264.5, False), (216, True), (215.5, False)])
def test_a_coil_that_states_no_tolerance_is_taken_at_a_tenth(ohms: float, near: bool) -> None:
    assert fits(Seen(), ohms, coil_ohms_tol_pct=None)["coil"] is near


def test_a_coil_that_states_no_temperature_is_taken_at_20_degrees() -> None:
    assert off_by(replace(OLD, coil_ref_temp_c=None), 240, 20) == pytest.approx(0)
    assert off_by(replace(OLD, coil_ref_temp_c=None), 240, 30) == pytest.approx(254.5 / 264.5 - 1)


@pytest.mark.parametrize(
    ("suppression", "beside", "ohms"),
    [(Suppression.RESISTOR, 680, 240 * 680 / 920), (Suppression.RESISTOR, None, 240), (Suppression.DIODE, 680, 240)],
)
def test_a_meter_reads_a_resistor_beside_the_winding(
    suppression: Suppression, beside: float | None, ohms: float
) -> None:
    part = replace(OLD, coil_suppression=suppression, suppression_ohms=beside)
    assert expected_ohms(part) == pytest.approx(ohms)


def test_it_lets_go_at_its_release_volts_or_above() -> None:
    assert [fits(Seen(let_go_volts=v), release_volts=1.2)["let go"] for v in (1.19, 1.2)] == [False, True]


@pytest.mark.parametrize(("ohms", "missed"), [(288, 1), (289, 0), (192, 1), (191, 0)])
def test_a_near_miss_is_off_by_no_more_than_twice_its_tolerance(ohms: float, missed: int) -> None:
    """240 ohm, 10 %: a fifth off is 288 ohm."""
    assert len(identify(ohms, 20, [OLD]).near_misses) == missed


def test_at_most_five_near_misses_are_named() -> None:
    parts = [replace(OLD, part_number=f"P{n}", body_height_mm=15.0) for n in range(8)]
    assert len(identify(240, 20, parts, Seen(height_mm=14)).near_misses) == 5


@pytest.mark.parametrize(("other", "left"), [(5.9, 1.5), (5.8, 2.0)])
def test_where_a_relay_usually_clicks_tells_it_from_one_that_cannot_click_there(other: float, left: float) -> None:
    """One of 8.4 V usually clicks at 5.88 V, 0.7 of it: one whose most is 5.8 V would not; one of 5.9 V might."""
    parts = [replace(OLD, part_number="A"), replace(OLD, part_number="B", operate_volts=other)]
    asks = {t.ask: t.left for t in identify(240, 20, parts).telling}
    assert asks.get("the volts at which it clicks", 2.0) == pytest.approx(3.5 - left)


@pytest.mark.parametrize(("most", "left"), [(14.6, 1.5), (14.8, 1.0)])
def test_a_relay_that_would_have_to_click_higher_is_told_apart_too(most: float, left: float) -> None:
    """0.4 of 14.6 V is 5.84 V, below the 5.88 V at which one of 8.4 V clicks; 0.4 of 14.8 V is 5.92 V, above it."""
    parts = [replace(OLD, part_number="A"), replace(OLD, part_number="B", operate_volts=most)]
    asks = {t.ask: t.left for t in identify(240, 20, parts).telling}
    assert asks["the volts at which it clicks"] == pytest.approx(left)


def test_two_alike_in_all_that_can_be_measured_are_told_apart_by_their_print() -> None:
    parts = [replace(OLD, part_number=name) for name in ("A", "B")]
    assert identify(240, 20, parts).measure_next.startswith("what is printed on it")


@pytest.mark.parametrize(("pins", "fits"), [(3, True), (2, False), (4, False)])
def test_a_pin_is_counted(pins: int, fits: bool) -> None:
    drawn = Footprint("f", (Pin("1", 0, 0), Pin("2", 0, 10), Pin("3", 12, 5)))
    assert bool(identify(240, 20, [Design(OLD, drawn, None)], Seen(pins=pins)).candidates) is fits


def test_the_number_of_pins_tells_one_of_two_from_two_of_three() -> None:
    """One leaves itself, two leave each other: (1 + 2 + 2) / 3."""
    two = Footprint("two", (Pin("1", 0, 0), Pin("2", 0, 10)))
    three = Footprint("three", (*two.pins, Pin("3", 12, 5)))
    parts = [Design(replace(OLD, part_number=name), f, None) for name, f in (("A", two), ("B", three), ("C", three))]
    asks = {t.ask: t.left for t in identify(240, 20, parts).telling}
    assert asks["the number of pins"] == pytest.approx(5 / 3)


@pytest.mark.parametrize(
    ("seen", "what", "near"),
    [
        # 3.36 to 8.4 V, a quarter more and as much less: 2.69 to 10.5 V
        (Seen(click_volts=2.7), "click", True),
        (Seen(click_volts=2.6), "click", False),
        (Seen(click_volts=10.4), "click", True),
        (Seen(click_volts=10.6), "click", False),
        # 1.2 V or more: 0.96 V
        (Seen(let_go_volts=0.97), "let go", True),
        (Seen(let_go_volts=0.95), "let go", False),
        # two pins
        (Seen(pins=3), "pins", True),
        (Seen(pins=4), "pins", False),
        # one character otherwise; longer than all that is printed is not one character off
        (Seen(print_text="AX"), "print", True),
        (Seen(print_text="XY"), "print", False),
        (Seen(print_text="ABC"), "print", False),
    ],
)
def test_a_miss_by_little_is_near(seen: Seen, what: str, near: bool) -> None:
    relay = replace(OLD, maker="", part_number="AB", release_volts=1.2)
    pair = Footprint("f", (Pin("1", 0, 0, 1.0), Pin("2", 5, 0, 1.0)))
    (row,) = [row for row in compare(Design(relay, pair, None), None, 20, seen) if row.what == what]
    assert (row.fits, row.near) == (False, near)


def test_a_print_longer_than_a_single_character_is_not_one_character_off() -> None:
    relay = replace(OLD, maker="", part_number="A")
    (row,) = compare(Design(relay, None, None), None, 20, Seen(print_text="AB"))
    assert not row.near
