"""Where a position lies on its board: both numbers or none, a turn only with them, and no hole over another's."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.boards.layout import laid_out
from bom.intake.board_file import take_board
from bom.values.problem import ProblemsFound

HOLES = "pattern,hole,x_mm,y_mm,drill_mm,net,view\np,1,0,0,1,,component\np,2,10,0,1,,component\n"


def board(tmp_path: Path, one: str, other: str = "", holes: str = HOLES) -> Path:
    (tmp_path / "h.csv").write_text(holes, encoding="utf-8")
    file = tmp_path / "b.toml"
    places = "".join(f'[[position]]\nref = "K{n}"\npattern = "p"\n{more}\n' for n, more in enumerate((one, other), 1))
    file.write_text(f'[board]\nname = "B"\nholes = "h.csv"\n{places}', encoding="utf-8")
    return file


@pytest.mark.parametrize(
    ("one", "other", "column", "expected"),
    [
        ("x_mm = 3", "", "position[1].y_mm", "both of x_mm and y_mm"),
        ("y_mm = 3", "", "position[1].x_mm", "both of x_mm and y_mm"),
        ("turn_deg = 90", "", "position[1].turn_deg", "x_mm and y_mm beside it"),
        ("x_mm = 3\ny_mm = 3\nturn_deg = 400", "", "position[1].turn_deg", "a number up to 360"),
        ('x_mm = "far"\ny_mm = 3', "", "position[1].x_mm", "a number"),
        ("x_mm = 3\ny_mm = 3\nturn_dge = 90", "", "position[1].turn_dge", "is 'turn_deg' meant"),
        ("x_mm = 0\ny_mm = 0", "x_mm = 10.5\ny_mm = 0", "position[2].x_mm", "no hole lies over one of K1"),
    ],
)
def test_a_place_that_cannot_be_is_a_problem(tmp_path: Path, one: str, other: str, column: str, expected: str) -> None:
    with pytest.raises(ProblemsFound) as found:
        take_board(board(tmp_path, one, other))
    told = {p.column: p for p in found.value.problems}
    assert expected in str(told[column]) and told[column].line


@pytest.mark.parametrize("blank", ["", "# x_mm = 3"])
def test_no_place_is_not_known(tmp_path: Path, blank: str) -> None:
    taken = take_board(board(tmp_path, blank)).value
    assert [p.x_mm for p in taken.positions] == [None, None]
    assert [one.placed for one in laid_out(taken)] == [False, False]


def test_holes_that_keep_clear_of_each_other_were_given_from_one_zero(tmp_path: Path) -> None:
    apart = HOLES + "q,1,0,20,1,,component\nq,2,10,20,1,,component\n"
    file = board(tmp_path, "", "", apart)
    file.write_text(file.read_text(encoding="utf-8")[::-1].replace('"p"'[::-1], '"q"'[::-1], 1)[::-1], encoding="utf-8")
    assert [one.placed for one in laid_out(take_board(file).value)] == [True, True]


def test_where_one_states_its_place_the_others_are_not_guessed(tmp_path: Path) -> None:
    lying = laid_out(take_board(board(tmp_path, "x_mm = 50\ny_mm = 5", "")).value)
    assert [one.placed for one in lying] == [True, False]


def test_a_place_changes_no_verdict_so_holes_stay_as_they_are(tmp_path: Path) -> None:
    taken = take_board(board(tmp_path, "x_mm = 50\ny_mm = 5\nturn_deg = 90", "")).value
    pattern = taken.pattern_of(taken.positions[0])
    assert pattern is not None and [(h.x_mm, h.y_mm) for h in pattern.holes] == [(0, 0), (10, 0)]
    assert [(h.x_mm, h.y_mm) for h in laid_out(taken)[0].holes] == [(50, 5), (50, 15)]
