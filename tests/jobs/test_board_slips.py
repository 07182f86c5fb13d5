"""Slips in a board file that leave it readable: said when it is taken, and nothing is proved by them."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from bom.jobs.replacing.boards import add_board, check_board
from bom.jobs.replacing.matching import find_replacements
from bom.store.unit_of_work import Session
from bom.values.difference import Replacing
from bom.values.finding import Outcome, Verdict
from bom.values.problem import ProblemsFound

VALVE = 'name = "left boom valve closes"\nunit = "B"'
PUMP = 'name = "agitator pump"\nunit = "A"\ncontact = "make"'


def test_a_column_of_ones_own_in_the_holes_is_left_out_by_name(
    shop: Session, demo_folder: Path, tmp_path: Path
) -> None:
    shutil.copytree(demo_folder / "boards", tmp_path / "boards")
    holes = tmp_path / "boards" / "os-3-holes.csv"
    holes.write_text("".join(f"{line},mine\n" for line in holes.read_text(encoding="utf-8").splitlines()))
    with pytest.raises(ProblemsFound, match="--leave-out mine"):
        add_board(shop, tmp_path / "boards" / "os-3.toml")
    assert add_board(shop, tmp_path / "boards" / "os-3.toml", leave_out=["mine"]) == [
        "board OS-3: 3 positions, unchanged"
    ]


@pytest.mark.parametrize(
    ("ref", "old", "new", "said"),
    [
        ("K1", VALVE, VALVE.replace('"B"', '"C"'), "unit C is not in wiring board-twin, which has units A, B"),
        ("K3", PUMP, PUMP.replace('"A"', '"B"'), "unit B is not in wiring board-single, which has unit A only"),
        ("K1", VALVE, VALVE.replace('"B"', '"A"'), "already serves 'left boom valve opens'"),
        ("K3", PUMP, PUMP.replace("make", 'make"\npole = "7'), "no such contact: unit A, pole 7, make"),
        ("K3", 'wiring = "board-single"', 'wiring = "bord-single"', "bord-single"),
    ],
)
def test_a_slip_is_noted_when_taken_and_proves_nothing(
    shop: Session, demo_folder: Path, tmp_path: Path, ref: str, old: str, new: str, said: str
) -> None:
    notes = add_board(shop, _with(demo_folder, tmp_path, old, new), Replacing(True))
    assert any(note.startswith("note: ") and said in note for note in notes)
    checked = next(p for p in check_board(shop, "OS-3").positions if p.ref == ref)
    assert checked.verdict is Verdict.UNKNOWN
    assert any(said in f.why for f in checked.findings if f.outcome is Outcome.UNKNOWN)
    candidates = find_replacements(shop, position=f"OS-3:{ref}").candidates
    assert {c.verdict for c in candidates} <= {Verdict.UNKNOWN, Verdict.NO}


def test_a_wiring_that_nobody_has_is_suggested_and_named(shop: Session, demo_folder: Path, tmp_path: Path) -> None:
    notes = add_board(
        shop, _with(demo_folder, tmp_path, 'wiring = "board-single"', 'wiring = "bord-single"'), Replacing(True)
    )
    assert "note: K3: wiring bord-single is not in the catalogue; did you mean board-single?" in notes


def test_one_position_is_said_in_the_singular(shop: Session, demo_folder: Path, tmp_path: Path) -> None:
    board = _with(demo_folder, tmp_path, "OS-3", "PC-1")
    kept, _, _ = board.read_text(encoding="utf-8").partition('[[position]]\nref = "K2"')
    board.write_text(kept, encoding="utf-8")
    assert add_board(shop, board)[0] == "board PC-1: 1 position"


def test_a_position_with_nothing_fitted_says_so(shop: Session, demo_folder: Path, tmp_path: Path) -> None:
    add_board(shop, _with(demo_folder, tmp_path, 'fitted = "SLM-12S"\n', ""), Replacing(True))
    assert check_board(shop, "OS-3").positions[2].findings[0].why == "the board file states no fitted part"


def _with(demo_folder: Path, folder: Path, old: str, new: str) -> Path:
    for file in (demo_folder / "boards").glob("os-3*"):
        shutil.copy(file, folder)
    board = folder / "os-3.toml"
    text = board.read_text(encoding="utf-8")
    assert old in text
    board.write_text(text.replace(old, new), encoding="utf-8")
    return board
