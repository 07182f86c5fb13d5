"""Whatever nobody stated: every check answers, none stops the program, and none passes for want of a figure."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import pytest
from duty_cases import OLD, TWIN_RATINGS, design, place, rating

from bom.boards.board import Load
from bom.duty.before_parts import before_parts
from bom.duty.cautions import cautions_for
from bom.duty.check import duty_findings
from bom.duty.coil_window import coil_window
from bom.duty.contact_picture import contact_pictures
from bom.duty.load_protection import protection_for
from bom.duty.rules import DEFAULT, rule_named
from bom.relays.relay import CoilSystem, Rating, Relay, SupplyKind, Suppression

FULL = replace(
    OLD, release_volts=1.2, coil_max_volts=18, coil_suppression=Suppression.RESISTOR, suppression_ohms=680,
    coil_henries=1.0, coil_system=CoilSystem.LATCHING_1_COIL, operate_ms=5, release_ms=4,
)  # fmt: skip
LINES: tuple[Rating, ...] = (
    *TWIN_RATINGS,
    rating("make", "resistive", 30, 5, temp_c=20, carry_amps=40, carry_seconds=None),
    Rating("TW2", "make", "motor", SupplyKind.DC, 30),
    Rating("TW2", "make", "R300", SupplyKind.DC, 300),
    Rating("TW2", "make", "AC-15", SupplyKind.AC, 250, None, inrush_amps=20),
)
STATED = Load(
    "motor", 14, 2, stall_amps=9, stall_seconds=0.4, inrush_amps=9, lr_ms=5, power_factor=0.5, temp_c=60,
    operations_per_day=100, reversing=True, brake_amps=3, life_years=5,
)  # fmt: skip
LOADS = [
    *(replace(STATED, kind=kind) for kind in ("motor", "lamp", "inductive", "capacitive", "DC-13", "electromagnet")),
    Load("mixed", 14, mixed=(("lamp", 1.0), ("capacitive", 0.5))),
    Load("AC-15", 230, 1, inrush_amps=9, supply=SupplyKind.AC, operations_per_day=10),
]
RULES = [DEFAULT, rule_named("warm coil"), rule_named("relay output module"), rule_named("forty percent inductive")]


def bare(thing: Any) -> list[Any]:
    """The thing with each figure in turn not stated."""
    gaps = [f.name for f in fields(thing) if isinstance(getattr(thing, f.name), int | float)]
    return [thing, *(replace(thing, **{name: None}) for name in gaps if name not in ("reversing",))]


def answers(relay: Relay, load: Load) -> None:
    here, part = place(load=load), design(relay, LINES)
    here = replace(here, position=replace(here.position, functions=here.position.functions * 2))
    for rule in RULES:
        assert duty_findings(part, here, design(FULL), rule)
        assert coil_window(part, here, rule) and contact_pictures(part, here, rule) is not None
    assert before_parts(here, part) and cautions_for(here, part)
    protection_for(here.position.functions[0])


@pytest.mark.parametrize("load", [gap for load in LOADS for gap in bare(load)])
def test_a_load_may_leave_any_figure_out(load: Load) -> None:
    answers(FULL, load)


@pytest.mark.parametrize("supply", list(SupplyKind))
@pytest.mark.parametrize("relay", bare(FULL), ids=lambda r: "stated" if r is FULL else "gap")
def test_a_relay_may_leave_any_figure_out(relay: Relay, supply: SupplyKind) -> None:
    answers(replace(relay, coil_supply=supply), STATED)


def test_a_place_may_leave_everything_out() -> None:
    here = place(load=Load("motor"))
    empty = replace(here, board=replace(here.board, supply=type(here.board.supply)(), ambient_min_c=None))
    empty = replace(empty, board=replace(empty.board, ambient_max_c=None))
    empty = replace(empty, position=replace(empty.position, driver=None, units_on_together=None))
    assert duty_findings(design(FULL, LINES), empty, design(FULL))
    assert coil_window(design(FULL), empty) and before_parts(empty)
