"""A board's file is checked as it grows: every problem with its place, then what to state next, in order."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from sqlalchemy import update

from bom.jobs.replacing.board_file import check_board_file
from bom.store.tables import relays
from bom.store.unit_of_work import Session
from bom.values.finding import Verdict
from bom.values.problem import Refused

OS_3 = Path(__file__).resolve().parents[2] / "catalogs" / "demo" / "boards" / "os-3.toml"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A copy of the demo's board with its holes, to spoil."""
    shutil.copy(OS_3.with_name("os-3-holes.csv"), tmp_path)
    return Path(shutil.copy(OS_3, tmp_path))


def without(file: Path, words: str) -> None:
    """The file without the key that this pattern matches, each time it stands there."""
    text = file.read_text(encoding="utf-8")
    assert re.search(words, text)
    file.write_text(re.sub(words, "", text), encoding="utf-8")


def test_a_whole_file_asks_for_nothing_more_and_is_not_taken(shop: Session) -> None:
    found = check_board_file(shop, OS_3)
    assert not found.problems and not found.next and found.checked is not None
    assert {p.verdict for p in found.checked.positions} == {Verdict.DROP_IN}


@pytest.mark.parametrize(
    ("words", "where"),
    [
        (r"ambient_max_c = 70", "board ambient_max_c"),
        (r"ambient_min_c = -20", "board ambient_min_c"),
        (r"min_volts = 11.8, ", "supply min_volts"),
        (r", max_volts = 14.4", "supply max_volts"),
        (r"lid_clearance_mm = 14.8", "board lid_clearance_mm"),
        (r"board_thickness_mm = 1.6", "board board_thickness_mm"),
        (r'process = \["wash"\]', "board process"),
        (r"drop_volts = 0.9, ", "driver drop_volts"),
        (r"channel_milliamps = 80, ", "driver channel_milliamps"),
        (r"package_milliamps = 350, ", "driver package_milliamps"),
        (r"units_on_together = 1", "position units_on_together"),
        (r"(?s)\[\[net\]\].*\[\[repair\]\].*", ""),
        (r'fitted = "TW2-12S"', "position fitted"),
    ],
)
def test_what_is_left_blank_is_named_by_its_key(shop: Session, file: Path, words: str, where: str) -> None:
    if not where:
        without(file, words)
        words, where = r" amps = 2.1,", "load amps"
    without(file, words)
    found = check_board_file(shop, file)
    assert where in [one.where for one in found.next]


def test_what_comes_first_stands_first(shop: Session, file: Path) -> None:
    without(file, r"ambient_max_c = 70")
    without(file, r'fitted = "SLM-12S"')
    assert [one.where for one in check_board_file(shop, file).next] == ["position fitted", "board ambient_max_c"]


def test_holes_of_unknown_size_are_asked_for_with_the_positions_that_wait(shop: Session, file: Path) -> None:
    holes = file.with_name("os-3-holes.csv")
    holes.write_text(holes.read_text(encoding="utf-8").replace(",1.3,DRV_L1", ",,DRV_L1"), encoding="utf-8")
    (wanted,) = check_board_file(shop, file).next
    assert (wanted.where, wanted.positions) == ("holes drill_mm", ("K1",))


def test_every_problem_is_told_with_its_place_and_nothing_judged(shop: Session, file: Path) -> None:
    text = file.read_text(encoding="utf-8").replace("fitted =", "fited =", 1).replace('"twin-right"', '"twin-rihgt"')
    file.write_text(text, encoding="utf-8")
    found = check_board_file(shop, file)
    assert len(found.problems) == 2 and all(p.line for p in found.problems)
    assert found.checked is None and found.board is None


def test_units_that_no_position_has_are_a_problem_too(shop: Session, file: Path) -> None:
    file.write_text(file.read_text(encoding="utf-8").replace('["K1.A", "K1.B"]', '["K1.A", "K1.Z"]'), encoding="utf-8")
    (problem,) = check_board_file(shop, file).problems
    assert "K1.Z" in problem.expected


def test_without_a_database_the_part_is_what_is_wanted_first(file: Path) -> None:
    found = check_board_file(None, file)
    assert {one.where for one in found.next} == {"the catalogue"}


def test_while_the_part_is_not_known_what_any_part_needs_is_asked_for(file: Path) -> None:
    for words in (r"ambient_max_c = 70", r"channel_milliamps = 80, ", r'process = \["wash"\]'):
        without(file, words)
    wanted = [one.where for one in check_board_file(None, file).next]
    assert wanted[:2] == ["the catalogue"] * 2  # of each part
    assert {*wanted[2:]} == {"board ambient_max_c", "driver channel_milliamps", "board process"}


def test_a_board_without_positions_is_told_to_have_some(shop: Session, tmp_path: Path) -> None:
    file = tmp_path / "empty.toml"
    file.write_text('[board]\nname = "WW-1"\n', encoding="utf-8")
    assert [one.where for one in check_board_file(shop, file).next] == ["[[position]]"]


def test_a_rule_that_nobody_knows_is_refused(shop: Session) -> None:
    with pytest.raises(Refused, match="rule"):
        check_board_file(shop, OS_3, "times tne")


def test_what_the_board_states_is_not_asked_for_where_the_part_leaves_its_own_figure_out(
    shop: Session, file: Path
) -> None:
    shop.execute(update(relays).where(relays.c.part_number == "TW2-12S").values(temp_max_c=None))
    asked = [(one.where, one.what) for one in check_board_file(shop, file).next]
    assert all(where != "board ambient_max_c" for where, _ in asked)
    assert any("the relay's hottest ambient" in what for _, what in asked)
