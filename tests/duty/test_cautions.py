"""The cautions beside a verdict."""

from __future__ import annotations

from dataclasses import replace

import pytest
from duty_cases import OLD, design, place

from bom.boards.board import Load
from bom.duty.cautions import BATTERY, GUIDED, MAINS, MOVES, REVERSES, SAFETY, SOLDER, UNSEALED, cautions_for
from bom.relays.relay import Guided, SupplyKind

MOTOR = Load("motor", 14, 2, reversing=True)
MAINS_LAMP = Load("lamp", 230, 1, supply=SupplyKind.AC)


def test_the_usual_cautions_stand_beside_every_part() -> None:
    assert {BATTERY, SOLDER, SAFETY} <= set(cautions_for(None, design()))


@pytest.mark.parametrize(("load", "said"), [(MOTOR, MOVES), (MOTOR, REVERSES), (MAINS_LAMP, MAINS)])
def test_a_load_brings_its_own(load: Load, said: str) -> None:
    assert said in cautions_for(place(load=load), design())
    assert said not in cautions_for(None, design())


def test_a_guided_part_and_a_washed_board_bring_theirs() -> None:
    washed = place()
    washed = replace(washed, board=replace(washed.board, process=("wash",), cautions=("Keep clear.",)))
    said = cautions_for(washed, design(replace(OLD, guided=Guided.A)))
    assert {GUIDED, UNSEALED} <= set(said)
    assert said[0] == "Keep clear."
