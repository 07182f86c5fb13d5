"""The numbers behind the two pictures."""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import OLD, TWIN_RATINGS, design, place, rating

from bom.boards.board import Load
from bom.duty.coil_window import coil_window
from bom.duty.contact_picture import contact_pictures, load_points
from bom.duty.rules import DEFAULT, rule_named
from bom.relays.relay import Rating, SupplyKind

FULL = replace(OLD, release_volts=1.2, coil_max_volts=18)
WINCH = Load("motor", 14, 6, stall_amps=28, stall_seconds=0.5)


def test_the_window_says_what_the_findings_say() -> None:
    window = coil_window(design(FULL), place((10.0, 14.4), (-20, 85)))
    hottest = next(p for p in window.points if p.temp_c == 85)
    assert hottest.operate_volts == pytest.approx(10.55, abs=0.01)
    assert (window.supply_volts, window.tight, window.missing) == ((9.1, 14.4), (85, 9.1), ())
    assert (hottest.operate_volts_warm, hottest.max_volts) == (None, 18)


def test_the_working_area_stays_inside_supply_and_ambient() -> None:
    window = coil_window(design(FULL), place((10.0, 14.4), (-20, 85)))
    assert all(-20 <= t <= 85 and 9.1 <= v <= 14.4 for t, v in window.working_area)
    assert max(v for t, v in window.working_area if t == 85) == 14.4
    assert min(v for t, v in window.working_area if t == 85) == pytest.approx(10.55, abs=0.01)


def test_a_warm_coil_has_a_line_of_its_own() -> None:
    window = coil_window(design(FULL), place(), rule_named("warm coil"))
    assert all((p.operate_volts_warm or 0) > (p.operate_volts or 0) for p in window.points)


def test_what_is_not_stated_is_named_and_not_drawn() -> None:
    window = coil_window(design(replace(OLD, operate_volts=None)), place())
    assert "operate volts" in window.missing
    assert window.working_area == ()


def test_an_ac_coils_window_shows_from_where_it_surely_operates() -> None:
    """19.2 V at 20 °C is at most 19.2 · 304.5 / 254.5 = 22.97 V at 70 °C, and no less is counted on when cold."""
    part = replace(OLD, coil_supply=SupplyKind.AC, operate_volts=19.2, coil_max_volts=26.4)
    window = coil_window(design(part), place((24, 26), (-20, 70)))
    by_heat = {p.temp_c: p.operate_volts for p in window.points}
    assert (by_heat[-20], by_heat[70]) == (19.2, pytest.approx(22.97, abs=0.01))
    assert all(p.operate_volts_warm is None and p.least_ohms is None for p in window.points)
    assert window.working_area
    assert not window.missing


def test_loads_and_limits_over_volts_and_over_seconds() -> None:
    volts, seconds = contact_pictures(design(), place(load=WINCH))
    assert (volts.x_unit, seconds.x_unit) == ("V", "s")
    assert [(p.moment, p.amps, p.seconds) for p in volts.loads] == [("running", 6, None), ("stall", 28, 0.5)]
    assert [(line.moment, line.points) for line in volts.limits] == [("break", ((14, 20),))]
    assert seconds.limits[0].points == ((3, 35),)


def test_a_peak_made_by_a_rule_names_it() -> None:
    function = place(load=Load("lamp", 14, 2)).position.functions[0]
    assert [(p.moment, p.amps, p.rule) for p in load_points(function)] == [
        ("running", 2, ""),
        ("start", 20, DEFAULT.name),
    ]


@pytest.mark.parametrize(
    ("load", "rule", "start"),
    [
        (Load("AC-13", 230, 2, supply=SupplyKind.AC), "", (4, "AC-13")),  # IEC 60947-5-1, table 4: twice its amps
        (Load("AC-12", 230, 2, supply=SupplyKind.AC), "", None),
        (Load("resistive", 14, 9), "reliability level two", (12, "reliability level two")),  # 75 % of its rating
        (Load("resistive", 14, 9), "forty percent inductive", None),
        (Load("solenoid", 14, 9), "forty percent inductive", None),  # of which it prints nothing
    ],
)
def test_a_start_is_drawn_where_it_is_more_than_what_runs(
    load: Load, rule: str, start: tuple[float, str] | None
) -> None:
    points = load_points(place(load=load).position.functions[0], rule_named(rule) if rule else DEFAULT)
    drawn = [(p.amps, p.rule) for p in points if p.moment == "start"]
    assert drawn == ([start] if start else [])


def test_a_designation_is_drawn_from_its_table() -> None:
    line = Rating("TW2", "both", "B300", SupplyKind.AC, 300, source="sheet")
    (picture,) = contact_pictures(design(OLD, (line,)), place(load=Load("AC-15", 24, 2, supply=SupplyKind.AC)))
    broken, made = picture.limits
    assert dict(broken.points)[240] == pytest.approx(1.5)
    assert dict(made.points)[24] == pytest.approx(30)


def test_no_published_line_is_said() -> None:
    (picture,) = contact_pictures(design(OLD, ()), place(load=Load("resistive", 14, 2)))
    assert "published DC rating" in picture.missing[0]
    assert picture.limits == ()


def test_every_limit_has_its_source() -> None:
    pictures = contact_pictures(design(OLD, TWIN_RATINGS), place(load=WINCH))
    assert all(line.source for p in pictures for line in p.limits)


def test_a_category_is_drawn_with_what_it_makes() -> None:
    line = rating("make", "AC-15", 240, 3, supply=SupplyKind.AC)
    (picture,) = contact_pictures(design(OLD, (line,)), place(load=Load("AC-15", 230, 2, supply=SupplyKind.AC)))
    assert [(p.moment, p.amps, p.rule) for p in picture.loads] == [("running", 2, ""), ("start", 20, "AC-15")]
    assert {(limit.moment, limit.points[0][1]) for limit in picture.limits} == {("break", 3), ("make", 30)}


def test_an_inrush_is_no_matter_of_seconds() -> None:
    _, seconds = contact_pictures(design(), place(load=Load("lamp", 14, 6, inrush_amps=62)))
    assert [p.moment for p in seconds.loads] == ["running"]


def test_the_temperature_axis_reaches_a_tenth_beyond_the_ambient_in_even_steps() -> None:
    """-20 to 80 °C, ten kelvin more on either side, in 24 parts of 5 K; 20 °C and the ends are among them."""
    temps = [p.temp_c for p in coil_window(design(FULL), place((10.0, 14.4), (-20, 80))).points]
    assert temps == [-30 + 5 * n for n in range(25)]


@pytest.mark.parametrize(
    ("ambient", "reaches", "among"),
    [
        ((30, 40), (25, 45), False),
        ((26, 36), (21, 41), False),
        ((-5, 16), (-10, 21), True),
        ((-10, 14), (-15, 19), False),
    ],
)
def test_20_degrees_is_drawn_where_the_axis_passes_it(
    ambient: tuple[float, float], reaches: tuple[float, float], among: bool
) -> None:
    """Five kelvin at least beyond the ambient on either side."""
    temps = [p.temp_c for p in coil_window(design(FULL), place((10.0, 14.4), ambient)).points]
    assert ((temps[0], temps[-1]), 20.0 in temps) == (reaches, among)


def test_an_ambient_that_nobody_states_is_drawn_from_minus_20_to_85() -> None:
    here = place()
    bare = replace(here, board=replace(here.board, ambient_min_c=None, ambient_max_c=None))
    temps = [p.temp_c for p in coil_window(design(FULL), bare).points]
    assert (temps[0], temps[-1]) == (-30.5, 95.5)
    assert {-20.0, 20.0, 85.0} <= set(temps)


def test_a_point_has_the_least_and_the_most_ohms_of_the_tolerance() -> None:
    """240 ohm, 10 %, at 20 °C."""
    at_20 = next(p for p in coil_window(design(FULL), place()).points if p.temp_c == 20)
    assert (at_20.least_ohms, at_20.most_ohms) == (pytest.approx(216), pytest.approx(264))
    assert (at_20.operate_volts, at_20.release_volts) == (pytest.approx(8.4), pytest.approx(1.2))
