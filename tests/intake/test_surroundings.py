"""Board files: clearance, tolerances, legs, keep-outs; footprints with the middle of their body."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.boards.board import KeepOut
from bom.intake.board_file import take_board
from bom.intake.drawings import pins_in
from bom.intake.rows import Report
from bom.relays.footprint import Footprint
from bom.values.problem import ProblemsFound

HOLES = "pattern,hole,x_mm,y_mm,drill_mm,net,view\np,a,0,0,1.3,,component\n"


def board_file(folder: Path, board: str = "", keep_out: str = "") -> Path:
    (folder / "holes.csv").write_text(HOLES)
    text = f'[board]\nname = "b"\nholes = "holes.csv"\n{board}\n[[position]]\nref = "K1"\npattern = "p"\n{keep_out}'
    (folder / "b.toml").write_text(text)
    return folder / "b.toml"


def test_a_board_states_how_tight_its_holes_may_be(tmp_path: Path) -> None:
    asked = 'hole_clearance = "B"\nhole_tolerances = "worst case"\ndrill_tolerance_mm = 0.1\nleg_dressing_mm = 0.2'
    board = take_board(board_file(tmp_path, asked)).value
    assert (board.hole_clearance, board.hole_tolerances, board.drill_tolerance_mm) == ("B", "worst case", 0.1)
    assert board.leg_dressing_mm == 0.2 and board.hole_position_tolerance_mm is None


def test_a_position_states_what_stands_round_it(tmp_path: Path) -> None:
    rib = '[[position.keep_out]]\nname = "rib"\nx_mm = 4\ny_mm = -2\nlength_mm = 10\nwidth_mm = 1.5\nfrom_mm = 12\n'
    (position,) = take_board(board_file(tmp_path, keep_out=rib)).value.positions
    assert position.keep_outs == (KeepOut("rib", 4.0, -2.0, 10.0, 1.5, 0.0, 12.0),)


@pytest.mark.parametrize(
    ("board", "keep_out", "column"),
    [
        ('hole_clearance = "D"', "", "hole_clearance"),
        ('hole_tolerances = "often"', "", "hole_tolerances"),
        ("", '[[position.keep_out]]\nname = "rib"\nx_mm = 4\ny_mm = -2\nlength_mm = 10\n', "width_mm"),
    ],
)
def test_what_cannot_be_read_is_named(tmp_path: Path, board: str, keep_out: str, column: str) -> None:
    with pytest.raises(ProblemsFound, match=column):
        take_board(board_file(tmp_path, board, keep_out))


def read_pins(path: Path) -> Footprint:
    report = Report()
    return report.taken(pins_in(path, report)).value


def pins_file(folder: Path, *bodies: str) -> Path:
    rows = "".join(f"{n},{n * 5},0,0.8,component,{body}\n" for n, body in enumerate(bodies))
    (folder / "pins.csv").write_text(f"pin,x_mm,y_mm,lead_mm,view,body_x_mm,body_y_mm\n{rows}")
    return folder / "pins.csv"


def test_a_footprint_states_the_middle_of_its_body_once_or_in_every_row(tmp_path: Path) -> None:
    assert read_pins(pins_file(tmp_path, "2.5,1", ",")).body_mm == (2.5, 1.0)
    assert read_pins(pins_file(tmp_path, "2.5,1", "2.5,1")).body_mm == (2.5, 1.0)
    assert read_pins(pins_file(tmp_path, ",", ",")).body_mm is None


@pytest.mark.parametrize("bodies", [("2.5,1", "2.5,2"), ("2.5,", ",")])
def test_two_middles_or_half_of_one_are_a_problem(tmp_path: Path, bodies: tuple[str, str]) -> None:
    with pytest.raises(ProblemsFound, match="body_"):
        read_pins(pins_file(tmp_path, *bodies))
