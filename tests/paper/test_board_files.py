"""What is written of a board or a kit reads as the same board and the same kit, whatever it states."""

from __future__ import annotations

import sys
from decimal import Decimal
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "audit"))

from worlds import World, all_worlds

from bom.boards.board import Board
from bom.intake.board_file import take_board
from bom.intake.kit_file import take_kit
from bom.kits.kit import Kit
from bom.paper.board_files import board_text, kit_text
from bom.paper.csv_out import holes_text
from bom.paper.toml_out import literal
from bom.values.difference import changes_between

DEMO = Path(__file__).resolve().parents[2] / "catalogs" / "demo"


def read_again(board: Board, folder: Path) -> Board:
    (folder / "b.toml").write_text(board_text(board, "h.csv"), encoding="utf-8")
    (folder / "h.csv").write_text(holes_text((board.patterns or {}).values()), encoding="utf-8")
    return take_board(folder / "b.toml").value


@pytest.mark.parametrize("name", [file.stem for file in sorted((DEMO / "boards").glob("*.toml"))])
def test_the_demos_boards_come_back(name: str, tmp_path: Path) -> None:
    board = take_board(DEMO / "boards" / f"{name}.toml").value
    assert read_again(board, tmp_path) == board


@pytest.mark.parametrize("world", all_worlds(), ids=lambda w: w.name)
def test_a_board_that_states_all_that_one_can_comes_back(world: World, tmp_path: Path) -> None:
    assert [str(c) for c in changes_between(world.board, read_again(world.board, tmp_path))] == []


@pytest.mark.parametrize("process", [None, (), ("wash",)])
def test_nothing_stated_is_not_the_same_as_stating_nothing(process: tuple[str, ...] | None, tmp_path: Path) -> None:
    assert read_again(Board("B", process=process, patterns={}), tmp_path).process == process


@pytest.mark.parametrize("name", [file.stem for file in sorted((DEMO / "kits").glob("*.toml"))])
def test_the_demos_kits_come_back(name: str, tmp_path: Path) -> None:
    kit = take_kit(DEMO / "kits" / f"{name}.toml").value
    (tmp_path / "k.toml").write_text(kit_text(kit), encoding="utf-8")
    assert take_kit(tmp_path / "k.toml").value == kit


def kit_of(text: str, folder: Path) -> Kit:
    (folder / "k.toml").write_text(f'[kit]\nname = "K"\ncurrency = "GBP"\n{text}', encoding="utf-8")
    return take_kit(folder / "k.toml").value


def test_solder_by_joints_comes_back_with_its_alloy_and_how_it_was_found(tmp_path: Path) -> None:
    joints = "{ count = 8, hole_mm = 1.5, pin_mm = 1, pad_mm = 3, board_mm = 1.6 }"
    solder = f'solder = {{ alloy = "SAC305", joints = [{joints}] }}'
    kit = kit_of(f'[[line]]\npart = "S-1"\ncost = 0.25\n{solder}\n', tmp_path)
    assert kit.lines[0].how and kit.lines[0].alloy == "SAC305"
    (tmp_path / "again.toml").write_text(kit_text(kit), encoding="utf-8")
    assert take_kit(tmp_path / "again.toml").value == kit


def test_without_its_terms_no_amount_of_money_is_in_it() -> None:
    kit = take_kit(DEMO / "kits" / "os-3-valve-drive.toml").value
    text = kit_text(kit, terms=False)
    assert not [word for word in ("market", "packing", "price", "cost", "fee", "23.5", "3.1") if word in text]


@pytest.mark.parametrize(
    ("value", "written"),
    [
        ('a "b" \\ c', '"a \\"b\\" \\\\ c"'), ("ü Ω", '"ü Ω"'), ("\x7f", '"\\u007f"'), (2.0, "2"), (0.1, "0.1"),
        (Decimal("1E+2"), "100"), (True, "true"), (("a", 1), '["a", 1]'), ({}, "{}"), ({"a b": 1}, '{ "a b" = 1 }'),
    ],
)  # fmt: skip
def test_a_value_is_written_as_toml_reads_it(value: object, written: str) -> None:
    assert literal(value) == written
