"""What is told of a board's circuit: shorts and sneaks first, too many states part by part, and what is not solved."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bom.answers.circuit import NotSolved, ShortState, Sneak
from bom.boards.board import Load, NetLoad
from bom.circuit.net_list import Contact, NetList, Unread
from bom.jobs.replacing.circuits import circuit_answer
from bom.paper.terminal.circuit_tables import circuit_table
from bom.relays.wiring import Kind
from tests.circuit.test_circuit_cases import CASES, net_list_of

RAILS = (("VB", 12.0), ("GND", 0.0))
LAMP = Load("lamp", 12.0, 2.0)


def make(n: int, a: str, b: str) -> Contact:
    return Contact(f"K{n}.A make", f"K{n}", f"K{n}.A", "", Kind.MAKE, (a, b))


def circuit(*contacts: Contact, loads: tuple[NetLoad, ...] = (), never: tuple[frozenset[str], ...] = ()) -> NetList:
    return NetList("B", RAILS, frozenset(), contacts, (), loads, never)


def lamps(many: int) -> NetList:
    loads = tuple(NetLoad(f"lamp {n}", f"N{n}", "GND", LAMP) for n in range(many))
    return circuit(*(make(n, "VB", f"N{n}") for n in range(many)), loads=loads)


SHORTING = circuit(make(1, "VB", "M"), make(2, "M", "GND"), loads=(NetLoad("lamp", "M", "GND", LAMP),))


def test_a_permitted_short_is_told_with_its_units_and_contacts_and_cautioned_first() -> None:
    answer = circuit_answer("", SHORTING, ["mind the step"])
    assert answer.shorts == (ShortState(("K1.A", "K2.A"), ("K1.A make", "K2.A make")),)
    assert answer.cautions[0].startswith("With K1.A and K2.A on the supply is shorted")
    assert answer.cautions[-1] == "mind the step"
    shorted = answer.states[-1]
    assert (shorted.on, shorted.short, shorted.loads, shorted.carries) == (
        ("K1.A", "K2.A"),
        True,
        {"lamp": "held"},
        {},
    )
    assert "✗" in circuit_table(answer)


def test_a_short_that_never_is_is_not_told() -> None:
    answer = circuit_answer("", replace(SHORTING, never=(frozenset(("K1.A", "K2.A")),)))
    assert answer.shorts == () and len(answer.states) == 3
    assert answer.duty["K1.A make"].makes == pytest.approx(2.0, rel=1e-3)


def test_a_short_in_one_part_leaves_every_other_part_dead() -> None:
    other = NetLoad("fan", "F", "GND", LAMP)
    both = replace(SHORTING, contacts=(*SHORTING.contacts, make(3, "VB", "F")), loads=(*SHORTING.loads, other))
    last = circuit_answer("", both).states[-1]
    assert last.short and last.loads["fan"] == "held" and last.carries == {}


def test_a_load_that_runs_through_another_is_told_with_its_share() -> None:
    answer = circuit_answer("", net_list_of(CASES[3]))
    assert Sneak(("K1.B",), "fan", 0.5, ("dropper",)) in answer.sneaks
    assert "fan runs at 50% through dropper" in circuit_table(answer)


def test_too_many_states_are_told_part_by_part() -> None:
    answer = circuit_answer("", lamps(13))
    assert (answer.whole, answer.count, len(answer.states), len(answer.parts)) == (False, 8192, 26, 13)
    assert len(circuit_answer("", lamps(12)).states) == 4096


def test_more_units_on_one_circuit_than_can_be_tried_are_refused_by_name() -> None:
    contacts = [make(n, "VB", "M") for n in range(13)]
    answer = circuit_answer("", circuit(*contacts, loads=(NetLoad("lamp", "M", "GND", LAMP),)))
    (refused,) = answer.not_solved
    assert "13 units act on one circuit" in refused.why and refused.loads == ("lamp",)
    assert "?" in circuit_table(answer)


def test_what_is_not_stated_is_named() -> None:
    silent = circuit(make(1, "VB", "M"), loads=(NetLoad("lamp", "M", "GND", Load("lamp", 12.0)),))
    answer = circuit_answer("", replace(silent, unread=(Unread("K2", "its holes state no nets", frozenset()),)))
    lacking = NotSolved(("K1.A make",), ("lamp",), "volts or amps not stated: lamp; measure them")
    assert answer.not_solved == (lacking, NotSolved(("K2",), (), "its holes state no nets"))
