"""``safety`` in a board file: of the whole board, or of one function."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.intake.board_file import take_board
from bom.values.problem import Refused

FUNCTION = '{ name = "f", unit = "A", contact = "make", load = { kind = "lamp" }%s }'
FILE = (
    """
[board]
name = "B"
holes = "holes.csv"
%s
[[position]]
ref = "K1"
pattern = "p"
function = ["""
    + FUNCTION
    + "]\n"
)


def taken(folder: Path, board: str = "", function: str = "") -> tuple[bool, bool]:
    (folder / "holes.csv").write_text("pattern,hole,x_mm,y_mm,drill_mm,net,view\np,1,0,0,1,n,component\n")
    file = folder / "b.toml"
    file.write_text(FILE % (board, function))
    read, _ = take_board(file)
    return read.safety, read.positions[0].functions[0].safety


@pytest.mark.parametrize(
    ("board", "function", "found"),
    [
        ("", "", (False, False)),
        ("safety = true", "", (True, False)),
        ("safety = false", ", safety = true", (False, True)),
    ],
)
def test_safety_is_what_the_file_says(board: str, function: str, found: tuple[bool, bool], tmp_path: Path) -> None:
    assert taken(tmp_path, board, function) == found


@pytest.mark.parametrize(("board", "function"), [('safety = "yes"', ""), ("safety = 1", ""), ("", ', safety = ""')])
def test_anything_but_true_or_false_is_refused(board: str, function: str, tmp_path: Path) -> None:
    with pytest.raises(Refused, match="safety"):
        taken(tmp_path, board, function)
