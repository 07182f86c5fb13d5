"""Circuits made up at random keep Kirchhoff's laws, and are what they are whatever their parts are called."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import numpy as np
import pytest

from bom.boards.board import Load, NetLoad
from bom.circuit.duty import contact_duties, running_amps
from bom.circuit.net_list import Contact, NetList
from bom.circuit.nodal import potentials
from bom.circuit.states import CONTACT_OHMS, Part, Solved, Way, solve
from bom.relays.wiring import Kind
from tests.circuit.worlds import RAILS, VOLTS, made_up

SEEDS = range(60)
TURNED = {Way.FORWARD: Way.REVERSE, Way.REVERSE: Way.FORWARD}


def sound(circuit: NetList) -> list[tuple[Part, Solved]]:
    return [(part, s) for part in solve(circuit).parts for s in part.states.values() if not s.short]


def close(amps: float) -> object:
    return pytest.approx(amps, rel=1e-6, abs=1e-7)


@pytest.mark.parametrize("seed", SEEDS)
def test_what_flows_into_a_net_flows_out_of_it(seed: int) -> None:
    for part, state in sound(made_up(seed)):
        into = dict.fromkeys(state.volts, 0.0)
        flows = [(c.ends, state.through[c.name]) for c in part.contacts if c.name in state.through]
        flows += [((x.plus, x.minus), state.amps[x.name]) for x in part.loads]
        for (a, b), amps in flows:
            into[a] = into.get(a, 0.0) - amps
            into[b] = into.get(b, 0.0) + amps
        assert all(amps == close(0.0) for net, amps in into.items() if net not in part.held)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_general_solver_of_equations_finds_the_same_volts(seed: int) -> None:
    for part, state in sound(made_up(seed)):
        joins = [(*c.ends, 1 / CONTACT_OHMS) for c in part.contacts if c.closed(state.on)]
        joins += [(x.plus, x.minus, part.siemens[x.name]) for x in part.loads]
        free = sorted(state.volts.keys() - part.held.keys())
        matrix, right = np.zeros((len(free), len(free))), np.zeros(len(free))
        for a, b, siemens in joins:
            for one, other in ((a, b), (b, a)):
                if one in free:
                    matrix[free.index(one), free.index(one)] += siemens
                    if other in free:
                        matrix[free.index(one), free.index(other)] -= siemens
                    else:
                        right[free.index(one)] += siemens * state.volts[other]
        found = np.linalg.solve(matrix, right) if free else []
        assert [state.volts[net] for net in free] == pytest.approx(list(found), rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_two_sources_add(seed: int) -> None:
    random = Random(seed)
    nets = [f"N{n}" for n in range(6)]
    mesh = [(*random.sample([*nets, "A", "B", "GND"], 2), random.uniform(0.1, 9.0)) for _ in range(12)]
    first = potentials({"A": 12.0, "B": 0.0, "GND": 0.0}, mesh)
    second = potentials({"A": 0.0, "B": 5.0, "GND": 0.0}, mesh)
    both = potentials({"A": 12.0, "B": 5.0, "GND": 0.0}, mesh)
    assert both == {net: close(first[net] + second[net]) for net in first}


def at(circuit: NetList, times: float) -> NetList:
    """Every volt and every amp so many times."""
    loads = tuple(
        replace(x, load=replace(x.load, volts=VOLTS * times, amps=(x.load.amps or 0) * times)) for x in circuit.loads
    )
    return replace(circuit, rails=(("VB", VOLTS * times), ("GND", 0.0)), loads=loads)


@pytest.mark.parametrize("seed", SEEDS)
def test_twice_the_volts_are_twice_the_amps_and_the_same_words(seed: int) -> None:
    for (_, once), (_, twice) in zip(sound(made_up(seed)), sound(at(made_up(seed), 2.0)), strict=True):
        assert twice.ways == once.ways
        assert twice.amps == {name: close(2 * amps) for name, amps in once.amps.items()}


def renamed(circuit: NetList, random: Random) -> tuple[NetList, dict[str, str]]:
    """Other names for nets and units, in another order; and the other name of each contact."""
    nets = {end for c in circuit.contacts for end in c.ends} | {e for x in circuit.loads for e in (x.plus, x.minus)}
    new = {net: f"{random.random():.9f}" for net in nets - {"VB", "GND"}} | {"VB": "VB", "GND": "GND"}
    units = {unit: f"U{random.random():.9f}" for unit in circuit.units}
    called = {c.name: c.name.replace(c.unit, units[c.unit]) for c in circuit.contacts}
    contacts = [
        Contact(called[c.name], units[c.unit], units[c.unit], "", c.kind, (new[c.ends[0]], new[c.ends[1]]))
        for c in circuit.contacts
    ]
    loads = [replace(x, plus=new[x.plus], minus=new[x.minus]) for x in circuit.loads]
    random.shuffle(contacts)
    random.shuffle(loads)
    return replace(circuit, contacts=tuple(contacts), loads=tuple(loads)), called


@pytest.mark.parametrize("seed", SEEDS)
def test_other_names_change_no_duty(seed: int) -> None:
    circuit = made_up(seed)
    other, called = renamed(circuit, Random(seed))
    was, now = running_amps(solve(circuit)), running_amps(solve(other))
    assert {called[name] for name in was} == set(now)
    for name, asked in was.items():
        assert now[called[name]].carries == close(asked.carries)
        assert now[called[name]].makes == close(asked.makes)


def turned(circuit: NetList) -> NetList:
    return replace(circuit, loads=tuple(replace(x, plus=x.minus, minus=x.plus) for x in circuit.loads))


@pytest.mark.parametrize("seed", SEEDS)
def test_loads_turned_round_run_the_other_way(seed: int) -> None:
    for (_, once), (_, other) in zip(sound(made_up(seed)), sound(turned(made_up(seed))), strict=True):
        assert other.ways == {name: TURNED.get(way, way) for name, way in once.ways.items()}
        assert other.through == {name: close(amps) for name, amps in once.through.items()}


@pytest.mark.parametrize("seed", SEEDS)
def test_the_supply_turned_round_turns_every_load(seed: int) -> None:
    rails = (("VB", 0.0), ("GND", VOLTS))
    for (_, once), (_, other) in zip(sound(made_up(seed)), sound(replace(made_up(seed), rails=rails)), strict=True):
        assert other.ways == {name: TURNED.get(way, way) for name, way in once.ways.items()}


@pytest.mark.parametrize("seed", SEEDS)
def test_a_contact_that_carries_has_a_load_and_no_other_has(seed: int) -> None:
    circuit = made_up(seed)
    least = solve(circuit).least_amps
    for duty in contact_duties(circuit):
        if duty.running.carries > 2 * least:
            assert duty.serves
        if not duty.serves:
            assert duty.running.carries <= 2 * least


def pair(n: int) -> tuple[tuple[Contact, ...], NetLoad]:
    """A reversing pair of its own."""
    contacts = tuple(
        Contact(f"K{n}.{half} {kind}", f"K{n}", f"K{n}.{half}", "", kind, (f"M{n}{half}", rail))
        for half in "AB"
        for kind, rail in ((Kind.MAKE, "VB"), (Kind.BREAK, "GND"))
    )
    return contacts, NetLoad(f"motor {n}", f"M{n}A", f"M{n}B", Load("motor", VOLTS, 2.0, 9.0))


def test_twelve_units_in_six_pairs_are_six_small_circuits() -> None:
    pairs = [pair(n) for n in range(6)]
    contacts = tuple(c for of, _ in pairs for c in of)
    loads = tuple(load for _, load in pairs)
    solution = solve(NetList("six pairs", RAILS, frozenset(), contacts, (), loads, ()))
    assert (len(solution.parts), solution.count) == (6, 4096)
    assert [len(part.states) for part in solution.parts] == [4] * 6
    assert all(asked.carries == pytest.approx(2.0, rel=1e-3) for asked in running_amps(solution).values())
