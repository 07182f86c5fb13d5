"""Nets, loads and never-states of a board file: what is read, what is refused, what comes back from the database."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.boards.board import Board, Load, Net, NetIs, NetLoad
from bom.intake.board_file import take_board
from bom.store.documents import decode, encode
from bom.values.problem import ProblemsFound

HOLES = """pattern,hole,x_mm,y_mm,drill_mm,net,view
p,c,0,0,1.3,MP,component
p,m,5,0,1.3,VB,component
p,b,0,5,1.3,GND,component
q,c,0,0,1.3,MN,component
q,m,5,0,1.3,VB,component
q,b,0,5,1.3,GND,component
"""
POSITIONS = """
[board]
name = "B"
holes = "holes.csv"
[[position]]
ref = "K1"
pattern = "p"
[[position]]
ref = "K2"
pattern = "q"
"""
SUPPLY = '[[net]]\nname = "VB"\nis = "supply"\nvolts = 14\n'
GROUND = '[[net]]\nname = "GND"\nis = "ground"\n'
ENDS = 'name = "window"\nplus = "MP"\nminus = "MN"\n'
LOAD = '[[load]]\n%skind = "motor"\nvolts = 14\namps = 2\n'
MOTOR = LOAD % ENDS


def read(folder: Path, text: str) -> Board:
    (folder / "holes.csv").write_text(HOLES)
    (folder / "b.toml").write_text(POSITIONS + text)
    return take_board(folder / "b.toml").value


def problems(folder: Path, text: str) -> list[str]:
    with pytest.raises(ProblemsFound) as refused:
        read(folder, text)
    return [str(problem) for problem in refused.value.problems]


def test_nets_loads_and_never_states_are_read(tmp_path: Path) -> None:
    ways = 'forward = "window shuts"\nreverse = "window opens"\nstops_at_end = true\n'
    never = '[[never]]\ntogether = ["K1.A", "K2.A"]\n'
    board = read(tmp_path, SUPPLY + GROUND + LOAD % (ENDS + ways) + never)
    assert board.nets == (Net("VB", NetIs.SUPPLY, 14.0), Net("GND", NetIs.GROUND))
    motor = Load("motor", 14.0, 2.0, stops_at_end=True)
    assert board.loads == (NetLoad("window", "MP", "MN", motor, "window shuts", "window opens"),)
    assert board.never == (("K1.A", "K2.A"),)


def test_a_circuit_comes_back_from_the_database_as_it_went_in(tmp_path: Path) -> None:
    board = read(tmp_path, SUPPLY + GROUND + MOTOR + '[[never]]\ntogether = ["K1.A", "K2.A"]\n')
    assert decode(Board, encode(board)) == board


def test_a_circuit_takes_units_and_the_trades_own_words(tmp_path: Path) -> None:
    ends = ENDS + 'stall_amps = "9 A"\n'
    board = read(tmp_path, '[[net]]\nname = "VB"\nis = "battery"\nvolts = "14 V"\n' + GROUND + LOAD % ends)
    assert board.nets[0] == Net("VB", NetIs.SUPPLY, 14.0)
    assert board.loads[0].load.stall_amps == 9.0


def test_a_net_that_only_loads_name_is_stated_or_shared(tmp_path: Path) -> None:
    dropper = LOAD % 'name = "dropper"\nplus = "HALF"\nminus = "MP"\n'
    fan = LOAD % 'name = "fan"\nplus = "HALF"\nminus = "GND"\n'
    assert len(read(tmp_path, SUPPLY + GROUND + dropper + fan).loads) == 2
    assert "a net of a hole" in problems(tmp_path, SUPPLY + GROUND + dropper)[0]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (SUPPLY.replace("supply", "suply") + GROUND, "is 'supply' meant?"),
        (SUPPLY.replace('is = "supply"\n', "") + GROUND, "supply | ground"),
        (SUPPLY.replace('is = "supply"', 'is = ""') + GROUND, "supply | ground"),
        (SUPPLY.replace("VB", "VP") + GROUND, "a net that a hole or a load names"),
        (SUPPLY.replace('name = "VB"\n', "") + GROUND, "name]: expected text"),
        (SUPPLY + SUPPLY, "each name once"),
        (SUPPLY.replace("14", "0"), "above 0 V"),
        (SUPPLY.replace("14", '"14 A"'), "a voltage (V, mV, kV)"),
        (GROUND + "volts = 1\n", "none, since a ground is at 0 V"),
        (SUPPLY + MOTOR, 'a [[net]] with is = "ground"'),
        (GROUND + MOTOR, 'a [[net]] with is = "supply"'),
        (SUPPLY + GROUND + MOTOR.replace('"MN"', '"MP"'), "another net than plus"),
        (SUPPLY + GROUND + MOTOR.replace('"MN"', '"mn"'), "is 'MN' meant?"),
        (SUPPLY + GROUND + MOTOR.replace('minus = "MN"\n', ""), "minus]: expected text"),
        (SUPPLY + GROUND + MOTOR.replace("minus", "minos"), "is 'minus' meant?"),
        (SUPPLY + GROUND + MOTOR.replace("motor", "moter"), "is 'motor' meant?"),
        (SUPPLY + GROUND + MOTOR.replace("amps = 2", "amps = 0"), "above 0 A"),
        (SUPPLY + GROUND + MOTOR + "stall_amps = 1\n", "no less than the running amps"),
        (SUPPLY + GROUND + MOTOR + MOTOR, "each name once"),
        (SUPPLY + GROUND + MOTOR + 'forward = "f"\nreverse = "F"\n', "no other way of a load has"),
        (SUPPLY + GROUND + MOTOR + 'stops_at_end = "yes"\n', "true or false"),
        ('[[never]]\ntogether = ["K1.A"]\n', "two units or more"),
        ('[[never]]\ntogether = ["K1.A", "K1.A"]\n', "two units or more"),
        ("[[never]]\n", "two units or more"),
        ('[[never]]\ntogether = ["K1.A", "K7.A"]\n', "POSITION.UNIT, its position being one of K1, K2"),
        ('[[never]]\ntogether = ["K1.A", "K2"]\n', "POSITION.UNIT, its position being one of K1, K2"),
        ('[[never]]\ntogether = "K1.A"\n', "list of texts"),
        ('[[never]]\ntogther = ["K1.A", "K2.A"]\n', "is 'together' meant?"),
    ],
)
def test_a_slip_is_told_once_with_its_place(tmp_path: Path, text: str, told: str) -> None:
    said = problems(tmp_path, text)
    assert any(told in line for line in said), said
    assert all(line.startswith("b.toml:") for line in said), said


def test_a_load_without_amps_is_taken_and_left_unknown(tmp_path: Path) -> None:
    board = read(tmp_path, SUPPLY + GROUND + MOTOR.replace("amps = 2\n", ""))
    assert board.loads[0].load.amps is None
