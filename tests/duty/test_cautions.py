"""The cautions beside a verdict."""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import OLD, design, place

from bom.boards.board import Load
from bom.duty.cautions import (
    BATTERY,
    GUIDED,
    MAINS,
    MOVES,
    REVERSES,
    SAFETY,
    SOLDER,
    UNSEALED,
    WARM_COIL,
    cautions_for,
)
from bom.duty.figures.rules import DEFAULT, rule_named
from bom.relays.relay import Guided, SupplyKind

MOTOR = Load("motor", 14, 2, reversing=True)
MAINS_LAMP = Load("lamp", 230, 1, supply=SupplyKind.AC)


def test_the_usual_cautions_stand_beside_every_part() -> None:
    assert {BATTERY, SOLDER, SAFETY} <= set(cautions_for(None, design()))


@pytest.mark.parametrize(("load", "said"), [(MOTOR, MOVES), (MOTOR, REVERSES), (MAINS_LAMP, MAINS)])
def test_a_load_brings_its_own(load: Load, said: str) -> None:
    assert said in cautions_for(place(load=load), design())
    assert said not in cautions_for(None, design())


@pytest.mark.parametrize(
    ("rise", "rule", "said"),
    [(None, DEFAULT.name, True), (30.0, DEFAULT.name, False), (None, "warm coil", False), (None, None, False)],
)
def test_a_coil_reckoned_at_ambient_is_said_beside_the_verdict(
    rise: float | None, rule: str | None, said: bool
) -> None:
    there = place()
    there = replace(there, position=replace(there.position, coil_rise_k=rise))
    assert (WARM_COIL in cautions_for(there, design(), rule_named(rule) if rule else None)) is said


def test_a_guided_part_and_a_washed_board_bring_theirs() -> None:
    washed = place()
    washed = replace(washed, board=replace(washed.board, process=("wash",), cautions=("Keep clear.",)))
    said = cautions_for(washed, design(replace(OLD, guided=Guided.A)))
    assert {GUIDED, UNSEALED} <= set(said)
    assert said[0] == "Keep clear."
