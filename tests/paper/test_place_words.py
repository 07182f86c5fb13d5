"""A board, a place and a load in words: units, minus signs, and what nobody stated."""

from __future__ import annotations

import pytest

from bom.boards.board import Board, Driver, Function, HolePattern, Load, Place, Position, Supply
from bom.paper.pages.match_page import board_facts, function_words, place_facts
from bom.relays.relay import SupplyKind
from bom.relays.wiring import Kind

AC = SupplyKind.AC
BOARD = Board("OS-3", supply=Supply(11, 12, 14.4, "C"), ambient_min_c=-20, ambient_max_c=70, process=("wash",))


def place(driver: Driver | None) -> Place:
    return Place(BOARD, Position("K1", "p", "TW2-12S", driver=driver), HolePattern("p", ()), None)


def test_a_board_says_its_supply_and_ambient_and_what_is_not_stated() -> None:
    said = dict(board_facts(BOARD))
    assert said["supply"] == "11 to 14.4 V, nominal 12 V (code C)" and said["ambient"] == "−20 to 70 °C"
    assert said["room under the lid"] == "not stated" and said["the finished board gets"] == "wash"
    assert dict(board_facts(Board("X")))["supply"] == "not stated"


@pytest.mark.parametrize(
    ("driver", "said"),
    [
        (None, "not stated"),
        (
            Driver(80, 350, 0.9, "low side", "diode"),
            "80 mA a channel, 350 mA in all, 0.9 V drop, low side, suppression: diode",
        ),
    ],
)
def test_a_place_says_its_driver(driver: Driver | None, said: str) -> None:
    assert dict(place_facts(place(driver)))["driver"] == said


@pytest.mark.parametrize(
    ("load", "said"),
    [
        (Load("motor", 14, 2.1, 9, 0.4, reversing=True), "motor, DC, 14 V, 2.1 A, stalled 9 A for 0.4 s, reversing"),
        (Load("lamp", 14), "lamp, DC, 14 V, A not stated"),
        (
            Load("inductive", 230, 1, power_factor=0.4, supply=SupplyKind.AC),
            "inductive, AC, 230 V, 1 A, power factor 0.4",
        ),
    ],
)
def test_a_load_says_what_is_stated(load: Load, said: str) -> None:
    assert function_words(Function("valve", "A", Kind.MAKE, load, "2")) == ("valve", "unit A, pole 2, make", said)
