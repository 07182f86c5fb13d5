"""What the circuit asks of each contact: break contacts, sums, brakes, contradictions, and what is blank."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bom.boards.board import (
    Board,
    ContactAmps,
    Function,
    Hole,
    HolePattern,
    Load,
    Net,
    NetIs,
    NetLoad,
    Position,
    Supply,
)
from bom.circuit.functions import Told, told_by_circuit
from bom.relays.wiring import Element, Kind, Wiring
from bom.values.finding import Outcome

MOTOR = Load("motor", 14.0, 2.0, stall_amps=9.0, stall_seconds=0.4, operations_per_day=10)
NETS = (Net("VB", NetIs.SUPPLY), Net("GND", NetIs.GROUND))
CHANGEOVER = (Element("A", "1", Kind.MAKE, "c", "m"), Element("A", "1", Kind.BREAK, "c", "b"))
SINGLE = Wiring("single", CHANGEOVER)
TWIN = Wiring(
    "twin", tuple(replace(e, unit=u, from_pin=u + "c", to_pin=u + e.to_pin) for u in "AB" for e in CHANGEOVER)
)


def holes(**nets: str) -> HolePattern:
    return HolePattern("p", tuple(Hole(name, n, 0.0, 1.0, net) for n, (name, net) in enumerate(nets.items())))


def board(pattern: HolePattern, *loads: NetLoad, functions: tuple[Function, ...] = ()) -> Board:
    position = Position("K1", "p", functions=functions)
    return Board("B", supply=Supply(9, 12, 16), patterns={"p": pattern}, positions=(position,), nets=NETS, loads=loads)


def told(pattern: HolePattern, *loads: NetLoad, wiring: Wiring = SINGLE, functions: tuple[Function, ...] = ()) -> Told:
    return told_by_circuit(board(pattern, *loads, functions=functions), "K1", {"K1": wiring})


BRIDGE = holes(Ac="MP", Am="VB", Ab="GND", Bc="MN", Bm="VB", Bb="GND")
VALVE = NetLoad("valve", "MP", "MN", MOTOR, "valve opens", "valve shuts")
FEEDS = holes(c="VB", m="M", b="")


def test_every_half_of_a_reversing_pair_carries_the_motor_through_its_break_contact_too() -> None:
    functions = told(BRIDGE, VALVE, wiring=TWIN).functions
    named = {f"{f.unit} {f.contact}": f.name for f in functions}
    assert named == {
        "A make": "valve opens",
        "B make": "valve shuts",
        "A break": "valve shuts (A break)",
        "B break": "valve opens (B break)",
    }
    assert {(f.load.amps, f.load.stall_amps, f.load.stall_seconds) for f in functions} == {(2.0, 9.0, 0.4)}
    assert [f.load.reversing for f in functions] == [True, True, False, False]


def test_a_half_that_never_moves_while_the_other_drives_only_carries_through_its_break_contact() -> None:
    apart = replace(board(BRIDGE, VALVE), never=(("K1.A", "K1.B"),))
    functions = told_by_circuit(apart, "K1", {"K1": TWIN}).functions
    duties = {f"{f.unit} {f.contact}": f.duty for f in functions}
    assert duties["A make"] == duties["B make"] == ContactAmps(2.0, 9.0, 2.0, 9.0, 0.4)
    assert duties["A break"] == duties["B break"] == ContactAmps(2.0, 0.0, 0.0, 9.0, 0.4)


def test_a_contact_that_feeds_another_makes_the_start_of_all_behind_it() -> None:
    second = NetLoad("lamp", "M", "GND", Load("resistive", 14.0, 3.0))
    pump = NetLoad("pump", "E", "GND", MOTOR)
    pattern = holes(Ac="VB", Am="E", Ab="", Bc="E", Bm="M", Bb="")
    enable, _ = told(pattern, pump, second, wiring=TWIN).functions
    assert (enable.load.amps, enable.duty.makes) == (5.0, 12.0)


def test_a_load_counts_at_the_volts_that_its_amps_are_stated_at() -> None:
    (make,) = told(FEEDS, NetLoad("pump", "M", "GND", MOTOR)).functions
    assert (make.name, make.load.volts, make.load.amps) == ("pump", 14.0, 2.0)


def test_a_contact_that_feeds_two_loads_carries_their_sum() -> None:
    lamp = Load("lamp", 14.0, 3.0, inrush_amps=30.0)
    (make,) = told(FEEDS, NetLoad("pump", "M", "GND", MOTOR), NetLoad("lamp", "M", "GND", lamp)).functions
    assert (make.name, make.load.kind, make.load.amps) == ("pump and lamp", "mixed", 5.0)
    assert dict(make.load.mixed) == {"motor": 2.0, "lamp": 3.0}
    assert make.load.stall_amps == pytest.approx(12.0) and make.load.inrush_amps == pytest.approx(39.0)


def test_two_loads_of_a_kind_are_one_of_that_kind() -> None:
    (make,) = told(FEEDS, NetLoad("one", "M", "GND", MOTOR), NetLoad("two", "M", "GND", MOTOR)).functions
    assert (make.load.kind, make.load.amps, make.load.stall_amps, make.load.mixed) == ("motor", 4.0, 18.0, ())


def test_one_start_of_two_that_nobody_states_is_unknown() -> None:
    silent = replace(MOTOR, stall_amps=None, stall_seconds=None)
    (doubt,) = told(FEEDS, NetLoad("one", "M", "GND", MOTOR), NetLoad("two", "M", "GND", silent)).doubts
    assert (doubt.check, doubt.outcome) == ("start, one and two", Outcome.UNKNOWN)


def test_a_contact_on_nets_without_a_load_is_unknown_and_never_unasked() -> None:
    found = told(holes(c="VB", m="M", b="SPARE"), NetLoad("pump", "M", "GND", MOTOR))
    (doubt,) = found.doubts
    assert (doubt.check, doubt.outcome) == ("contact, K1.A break", Outcome.UNKNOWN)
    assert [f.contact for f in found.functions] == [Kind.MAKE]


def test_a_motor_that_its_own_break_contact_shorts_brakes_through_it() -> None:
    pattern = holes(c="M", m="VB", b="GND")
    stated = NetLoad("fan", "M", "GND", replace(MOTOR, brake_amps=6.0))
    make, brake = told(pattern, stated).functions
    assert (make.name, brake.name, brake.contact, brake.load.amps) == ("fan", "braking of fan", Kind.BREAK, 6.0)


def test_a_brake_current_that_nobody_states_is_unknown() -> None:
    found = told(holes(c="M", m="VB", b="GND"), NetLoad("fan", "M", "GND", MOTOR))
    (doubt,) = found.doubts
    assert (doubt.check, doubt.outcome) == ("braking, fan", Outcome.UNKNOWN) and "9 A" in doubt.why
    assert [f.contact for f in found.functions] == [Kind.MAKE]


HAND = Function("pump by hand", "A", Kind.MAKE, MOTOR, safety=True)


def test_a_function_that_agrees_keeps_its_name_and_what_only_it_states() -> None:
    hand = replace(HAND, load=replace(MOTOR, amps=2.1, life_years=7.0))
    found = told(FEEDS, NetLoad("pump", "M", "GND", MOTOR), functions=(hand,))
    (make,) = found.functions
    assert (make.name, make.safety, make.load.life_years, make.load.amps) == ("pump by hand", True, 7.0, 2.1)
    assert found.doubts == ()


@pytest.mark.parametrize(
    ("stated", "differing"),
    [
        (replace(MOTOR, amps=1.0), "amps 1 by hand, 2 by the circuit"),
        (replace(MOTOR, stall_amps=6.0), "stall amps 6 by hand, 9 by the circuit"),
        (replace(MOTOR, kind="resistive"), "resistive by hand, motor by the circuit"),
    ],
)
def test_a_function_that_differs_is_named(stated: Load, differing: str) -> None:
    (doubt,) = told(FEEDS, NetLoad("pump", "M", "GND", MOTOR), functions=(replace(HAND, load=stated),)).doubts
    assert (doubt.check, doubt.outcome) == ("stated function, pump by hand", Outcome.UNKNOWN)
    assert differing in doubt.why


def test_a_function_where_no_current_flows_is_named() -> None:
    hand = Function("horn", "A", Kind.BREAK, Load("resistive", 14.0, 1.0))
    pattern = holes(c="VB", m="M", b="SPARE")
    (doubt,) = told(pattern, NetLoad("pump", "M", "GND", MOTOR), functions=(hand,)).doubts
    assert "no load's current goes through it" in doubt.why


def test_a_position_that_no_load_reaches_is_as_its_file_states_it() -> None:
    other = NetLoad("lamp", "VB", "GND", Load("lamp", 14.0, 1.0))
    assert told(FEEDS, other, functions=(HAND,)) == Told((HAND,))


@pytest.mark.parametrize("blank", ["volts", "amps"])
def test_a_load_without_volts_or_amps_leaves_its_contacts_unknown(blank: str) -> None:
    load = replace(MOTOR, stall_amps=None, **{blank: None})
    found = told(FEEDS, NetLoad("pump", "M", "GND", load))
    (doubt,) = found.doubts
    assert (found.functions, doubt.outcome) == ((), Outcome.UNKNOWN)
    assert "volts or amps not stated: pump" in doubt.why


def test_supply_volts_that_nobody_states_leave_it_unknown() -> None:
    silent = replace(board(FEEDS, NetLoad("pump", "M", "GND", MOTOR)), supply=Supply())
    (doubt,) = told_by_circuit(silent, "K1", {"K1": SINGLE}).doubts
    assert "the volts of VB are not stated" in doubt.why


def test_a_board_that_is_shorted_whatever_is_on_is_unknown_and_says_so() -> None:
    bridged = Wiring("bridged", (*CHANGEOVER, Element("A", "", Kind.BRIDGE, "c", "b")))
    found = told(holes(c="VB", m="M", b="GND"), NetLoad("pump", "M", "GND", MOTOR), wiring=bridged)
    assert "every state that is permitted shorts the supply" in found.doubts[0].why


def test_a_neighbour_on_the_same_net_whose_wiring_is_not_known_leaves_it_unknown() -> None:
    known = board(FEEDS, NetLoad("pump", "M", "GND", MOTOR))
    beside = replace(known, positions=(*known.positions, Position("K2", "p")))
    (doubt,) = told_by_circuit(beside, "K1", {"K1": SINGLE, "K2": None}).doubts
    assert "K2 is on net M too, and its wiring is not known" in doubt.why


def test_a_resistor_in_line_shares_the_current_of_the_motor() -> None:
    dropper = NetLoad("dropper", "R", "M", Load("resistive", 12.0, 6.0))
    fan = NetLoad("fan", "M", "GND", Load("motor", 12.0, 6.0, stall_amps=24.0, stall_seconds=1.0))
    pattern = holes(Ac="VB", Am="M", Ab="", Bc="VB", Bm="R", Bb="")
    full, half = told(pattern, dropper, fan, wiring=TWIN).functions
    assert (full.load.kind, full.load.amps) == ("motor", 6.0)
    assert half.name == "dropper in part and fan in part"
    assert half.load.amps == pytest.approx(3.0) and half.load.stall_amps == pytest.approx(4.8)
    assert dict(half.load.mixed) == {"resistive": 1.5, "motor": 1.5}


@pytest.mark.parametrize(
    ("why", "minus", "often", "a_day"),
    [
        ("loads between the same two nets are switched together", "GND", (10, 30), 30),
        ("loads between others may be switched at other times", "GND 2", (10, 30), 40),
        ("how often one of them is switched nobody states", "GND 2", (10, None), None),
        ("one that is switched together with it tells", "GND", (10, None), 10),
    ],
)
def test_a_contact_switches_as_often_as_its_loads_ask(
    why: str, minus: str, often: tuple[float, float | None], a_day: float | None
) -> None:
    one, two = (NetLoad(f"heater {n}", "M", "GND", Load("resistive", 14.0, 2.0, operations_per_day=n)) for n in often)
    found = board(FEEDS, one, replace(two, minus=minus))
    grounds = (*NETS, Net("GND 2", NetIs.GROUND))
    (function,) = told_by_circuit(replace(found, nets=grounds), "K1", {"K1": SINGLE}).functions
    assert function.load.operations_per_day == a_day, why
