"""The order of checks before the relay is blamed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import OLD, design, place

from bom.boards.board import Function, Load, Repair
from bom.duty.before_parts import LIVE, LIVE_MAINS, BeforeParts, Step, before_parts
from bom.duty.cautions import GUARDED
from bom.relays.relay import CoilSystem, Guided, SupplyKind
from bom.relays.wiring import Kind

VALVE = Load("motor", 14, 6.1, stall_amps=9)


def checks(load: Load = VALVE) -> BeforeParts:
    here = place(load=load)
    repair = Repair("valve", positions=("K1",), first_check=("the boom fuse",))
    here = replace(here, board=replace(here.board, repairs=(repair, replace(repair, positions=("K9",)))))
    return before_parts(here, design(replace(OLD, release_volts=1.2)))[0]


def step(of: BeforeParts, what: str) -> Step:
    return next(s for s in of.steps if s.what == what)


@pytest.mark.parametrize(
    ("amps", "said"),
    [(2.0, "no drop worth measuring (car manual: 0 V), and"), (6.1, "0.1 V (car manual) at most, and")],
)
def test_the_drop_over_a_joint_is_said_in_figures_that_can_be_measured(amps: float, said: str) -> None:
    assert said in step(checks(replace(VALVE, amps=amps)), "joints").right


def test_stuck_on_comes_first_then_the_board_file_then_outside_in() -> None:
    assert [s.what for s in checks().steps] == [
        *("stuck on?", "as the board says", "load", "fuse", "supply under load", "joints"),
        *("driver", "relay, coil", "relay, contact"),
    ]


def test_figures_come_from_the_board_and_the_sheet() -> None:
    found = checks()
    assert "1.2 V it releases at" in step(found, "stuck on?").right
    assert step(found, "as the board says").do == "the boom fuse"
    assert "6.1 A" in step(found, "load").right
    assert "9 A" in step(found, "load").right
    assert "11 V or more" in step(found, "supply under load").right
    assert "10.1 V or more" in step(found, "driver").right
    assert "216 to 264 Ω at 20 °C" in step(found, "relay, coil").right


def test_a_limit_of_volts_lost_says_who_sets_it() -> None:
    assert "0.5 V (FAA)" in step(checks(), "supply under load").right
    assert "0.3 V (car manual)" in step(checks(), "relay, contact").right
    assert all(s.source for s in checks().steps)


def test_the_other_half_of_a_twin_is_tried_too() -> None:
    here = place(load=VALVE)
    both = (*here.position.functions, Function("g", "B", Kind.MAKE, VALVE))
    here = replace(here, position=replace(here.position, functions=both))
    (found,) = before_parts(here)
    assert found.functions == ("f", "g")
    assert step(found, "the other units").do == "switch each function of this relay by itself"


def test_functions_with_unlike_loads_have_checks_of_their_own() -> None:
    here = place(load=VALVE)
    both = (*here.position.functions, Function("g", "B", Kind.BREAK, Load("lamp", 12, 1)))
    here = replace(here, position=replace(here.position, functions=both))
    assert [b.functions for b in before_parts(here)] == [("f",), ("g",)]


def test_live_work_brings_its_caution() -> None:
    assert checks().caution == LIVE
    assert checks(Load("lamp", 48, 1, supply=SupplyKind.AC)).caution == LIVE


@pytest.mark.parametrize("load", [Load("lamp", 120, 1, supply=SupplyKind.AC), Load("lamp", 110, 1)])
def test_dangerous_volts_are_never_checked_live(load: Load) -> None:
    assert checks(load).caution == LIVE_MAINS


def test_a_mains_load_is_checked_dead_and_by_no_vehicles_limits() -> None:
    found = checks(Load("motor", 230, 2, supply=SupplyKind.AC))
    for what in ("load", "fuse", "joints", "relay, contact"):
        assert "isolated" in step(found, what).do
    told = " ".join(f"{s.do} {s.right} {s.source}" for s in found.steps if s.what != "supply under load")
    assert "car manual" not in told
    assert "fused lead at 230 V" not in told


def test_a_load_on_a_break_contact_goes_off_when_the_coil_is_driven() -> None:
    here = place(load=VALVE)
    here = replace(here, position=replace(here.position, functions=(Function("rest", "A", Kind.BREAK, VALVE),)))
    (found,) = before_parts(here, design(replace(OLD, release_volts=1.2)))
    assert step(found, "stuck on?").right.startswith("the coil's volts, and the load off. None: the driver")
    assert "yet the break contact is closed: it is welded" in step(found, "stuck on?").right


@pytest.mark.parametrize("system", [CoilSystem.LATCHING_1_COIL, CoilSystem.LATCHING_2_COIL])
def test_a_latching_contact_that_stays_closed_without_volts_is_not_called_welded(system: CoilSystem) -> None:
    (found,) = before_parts(place(load=VALVE), design(replace(OLD, coil_system=system)))
    right = step(found, "stuck on?").right
    assert "None, yet" not in right and "it releases at" not in right
    assert "One, yet the make contact is closed: it is welded" in right


def test_an_ac_coils_supply_is_no_battery() -> None:
    here = place(load=VALVE)
    (found,) = before_parts(here, design(replace(OLD, coil_supply=SupplyKind.AC)))
    assert "battery" not in step(found, "supply under load").do
    assert "11 V AC or more" in step(found, "supply under load").right


GUIDED = design(replace(OLD, guided=Guided.B))


def of_safety(load: Load, how: str) -> BeforeParts:
    here = place(load=load)
    if how == "board":
        here = replace(here, board=replace(here.board, safety=True))
    if how == "function":
        functions = tuple(replace(f, safety=True) for f in here.position.functions)
        here = replace(here, position=replace(here.position, functions=functions))
    return before_parts(here, GUIDED if how == "guided part" else design())[0]


@pytest.mark.parametrize("how", ["guided part", "board", "function"])
@pytest.mark.parametrize("load", [VALVE, Load("motor", 230, 2, supply=SupplyKind.AC)])
def test_a_safety_function_is_never_fed_past_its_box(load: Load, how: str) -> None:
    found = of_safety(load, how)
    assert found.caution.startswith(GUARDED)
    assert step(found, "load").do.startswith("do not feed it past the box")
    assert not [s for s in found.steps if "fused lead" in s.do or "straight" in s.do]


def test_a_plain_function_is_fed_by_a_fused_lead() -> None:
    assert "fused lead" in step(of_safety(VALVE, ""), "load").do


@pytest.mark.parametrize(
    ("kind", "said"), [("motor", "find the short or the stall first"), ("lamp", "find the short first")]
)
@pytest.mark.parametrize(("volts", "supply"), [(14, SupplyKind.DC), (230, SupplyKind.AC)])
def test_a_blown_fuse_has_its_cause_and_a_motor_two(kind: str, said: str, volts: float, supply: SupplyKind) -> None:
    assert step(checks(Load(kind, volts, 2, supply=supply)), "fuse").right.endswith(f"blown: {said}")


def test_a_new_contact_is_100_milliohms_measured_dead() -> None:
    found = step(checks(Load("motor", 230, 2, supply=SupplyKind.AC)), "relay, contact")
    assert found.right == "0.1 V at most, which is 100 mΩ; more: the contact is worn"


@pytest.mark.parametrize(("amps", "stretch"), [(4.9, "a small wire connection"), (5.0, "a high-current connection")])
def test_a_joint_of_5_a_or_more_is_a_high_current_one(amps: float, stretch: str) -> None:
    """Where the two part is common practice, no source."""
    assert step(checks(replace(VALVE, amps=amps)), "joints").right.startswith(stretch)


@pytest.mark.parametrize(("tolerance", "said"), [(5.0, "228 to 252 Ω"), (None, "216 to 264 Ω")])
def test_a_coils_ohms_have_their_tolerance_and_a_tenth_where_none_is_stated(tolerance: float | None, said: str) -> None:
    (found,) = before_parts(place(load=VALVE), design(replace(OLD, coil_ohms_tol_pct=tolerance)))
    assert said in step(found, "relay, coil").right


def test_a_coil_stated_at_another_temperature_is_told_at_the_benchs() -> None:
    """254.5 / 264.5 times of 216 and 264."""
    (found,) = before_parts(place(load=VALVE), design(replace(OLD, coil_ref_temp_c=30)))
    assert "208 to 254 Ω at 20 °C" in step(found, "relay, coil").right


def test_what_nobody_states_is_said_and_no_figure_is_made_up() -> None:
    (found,) = before_parts(place(load=Load("motor")), None)
    assert "its running amps are not stated" in step(found, "load").right
    assert "at its own volts" in step(found, "load").do
    assert "its current" in step(found, "relay, contact").do
    assert "Ω" not in step(found, "relay, coil").right
    assert "releases at" not in step(found, "stuck on?").right


def test_a_loads_start_is_said_where_it_is_stated() -> None:
    assert "after a start of no more than 30 A" in step(checks(replace(VALVE, inrush_amps=30)), "load").right
    assert "start" not in step(checks(), "load").right


@pytest.mark.parametrize("contact", [Kind.MAKE, Kind.BREAK])
def test_a_welded_contact_is_the_one_that_did_not_open(contact: Kind) -> None:
    (found,) = before_parts(place(load=VALVE, contact=contact))
    assert f"yet the {contact} contact is closed: it is welded" in step(found, "stuck on?").right
