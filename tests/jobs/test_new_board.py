"""A new board's file reads as it is, asks for what is missing, and takes nothing for known that nobody stated."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.intake.board_file import take_board
from bom.jobs.replacing.board_file import check_board_file
from bom.jobs.replacing.boards import add_board, check_board
from bom.jobs.replacing.new_board import BoardAnswers, fitted_at, new_board
from bom.paper.writing import write_new
from bom.store.unit_of_work import Session
from bom.values.finding import Verdict
from bom.values.problem import ProblemsFound, Refused

ANSWERS = BoardAnswers(
    title="Winch box",
    supply="11.8..12..14.4",
    ambient="-20..70",
    thickness="1.6",
    lid="14.8 mm",
    positions=("K1=TW2-12S",),
    does=("K1.A make: boom valve, left, motor, 14 V, 2.1 A", "K1.B make: horn, inductive"),
)


def test_a_new_file_is_taken_as_it_is(shop: Session, tmp_path: Path) -> None:
    written = new_board(shop, "WW-1", ANSWERS, tmp_path / "ww.toml")
    assert [file.name for file in written] == ["ww.toml", "ww-holes.csv"]
    add_board(shop, written[0])
    assert {p.verdict for p in check_board(shop, "WW-1").positions} == {Verdict.UNKNOWN}


def test_what_was_answered_is_stated_and_nothing_else(shop: Session, tmp_path: Path) -> None:
    file, _ = new_board(shop, "WW-1", ANSWERS, tmp_path / "ww.toml")
    board = take_board(file).value
    assert (board.title, board.ambient_min_c, board.ambient_max_c) == ("Winch box", -20, 70)
    assert (board.supply.min_volts, board.supply.nominal_volts, board.supply.max_volts) == (11.8, 12, 14.4)
    assert (board.board_thickness_mm, board.lid_clearance_mm, board.process) == (1.6, 14.8, None)
    first, second = board.positions[0].functions
    assert (first.name, first.unit, first.load.kind, first.load.amps) == ("boom valve, left", "A", "motor", 2.1)
    assert (second.unit, second.load.volts, second.load.amps) == ("B", None, None)


def test_holes_lie_as_the_part_has_its_pins_of_no_drill_and_on_nets_of_their_own(shop: Session, tmp_path: Path) -> None:
    file, _ = new_board(shop, "WW-1", ANSWERS, tmp_path / "ww.toml")
    (pattern,) = (take_board(file).value.patterns or {}).values()
    assert len(pattern.holes) == 10 and len({hole.net for hole in pattern.holes}) == 10
    assert all(hole.drill_mm is None for hole in pattern.holes)
    assert "holes drill_mm" in [one.where for one in check_board_file(shop, file).next]


def test_figures_filled_in_as_asked_make_the_fitted_part_a_drop_in(shop: Session, tmp_path: Path) -> None:
    file, holes = new_board(shop, "WW-1", ANSWERS, tmp_path / "ww.toml")
    text = file.read_text(encoding="utf-8")
    for commented in ("channel_milliamps", "package_milliamps", "drop_volts", "units_on_together", "process"):
        text = text.replace(f"# {commented}", commented)
    file.write_text(text.replace('"inductive"', '"motor"\nvolts = 14\namps = 1'), encoding="utf-8")
    holes.write_text(holes.read_text(encoding="utf-8").replace(",,K1", ",1.3,K1"), encoding="utf-8")
    found = check_board_file(shop, file)
    assert found.checked is not None and not [one for one in found.next if one.where in ("holes drill_mm", "load amps")]
    assert found.checked.positions[0].verdict in (Verdict.DROP_IN, Verdict.CONDITIONAL)


def test_a_part_that_nobody_knows_gets_its_line_to_fill_in(tmp_path: Path) -> None:
    file, _ = new_board(None, "WW-1", BoardAnswers(positions=("K7=ZZ-1",)), tmp_path / "ww.toml")
    (problem,) = check_board_file(None, file).problems
    assert (problem.column, problem.found) == ("position[1].pattern", "K7") and problem.line
    assert "No hole of K7 is known" in file.read_text(encoding="utf-8")


def test_holes_that_are_there_are_used_and_not_touched(shop: Session, tmp_path: Path) -> None:
    holes = tmp_path / "mine.csv"
    holes.write_text("pattern,hole,x_mm,y_mm,drill_mm,net,view\nk1,a,0,0,1.1,N1,component\n", encoding="utf-8")
    answers = BoardAnswers(positions=("K1=TW2-12S",), holes=holes)
    assert new_board(shop, "WW-1", answers, tmp_path / "ww.toml") == (tmp_path / "ww.toml",)
    board = take_board(tmp_path / "ww.toml").value
    assert (board.positions[0].pattern, board.positions[0].wiring) == ("k1", "")


@pytest.mark.parametrize("there", ["ww.toml", "ww-holes.csv"])
def test_nothing_is_written_over(shop: Session, tmp_path: Path, there: str) -> None:
    (tmp_path / there).write_text("mine", encoding="utf-8")
    with pytest.raises(Refused, match=there):
        new_board(shop, "WW-1", ANSWERS, tmp_path / "ww.toml")
    assert [(file.name, file.read_text(encoding="utf-8")) for file in tmp_path.glob("ww*")] == [(there, "mine")]


@pytest.mark.parametrize(
    ("answers", "said"),
    [
        (BoardAnswers(), "--position REF=PART"),
        (BoardAnswers(positions=("=TW2-12S",)), "--position: expected REF=PART"),
        (BoardAnswers(positions=("",)), "--position: expected REF=PART"),
        (BoardAnswers(positions=("K1=A", "k1=B")), "--position: expected k1 once"),
        (BoardAnswers(positions=("K:1=A",)), "--position: expected a name"),
        (BoardAnswers(positions=("K1=A",), supply="Q"), "--supply: expected one of: A"),
        (BoardAnswers(positions=("K1=A",), supply="14..9"), "--supply: expected the lowest first"),
        (BoardAnswers(positions=("K1=A",), supply="9.."), "--supply: expected MIN..NOMINAL..MAX"),
        (BoardAnswers(positions=("K1=A",), supply="9..-1"), "--supply: expected a number above 0"),
        (BoardAnswers(positions=("K1=A",), ambient="70..-20"), "--ambient: expected the lowest first"),
        (BoardAnswers(positions=("K1=A",), ambient="warm"), "--ambient: expected a number"),
        (BoardAnswers(positions=("K1=A",), thickness="0"), "--thickness: expected a number above 0"),
        (BoardAnswers(positions=("K1=A",), lid="3 kg"), "--lid: expected a length"),
        (BoardAnswers(positions=("K1=A",), does=("K1 pump",)), "--does: expected REF.UNIT CONTACT: NAME"),
        (BoardAnswers(positions=("K1=A",), does=("K1: pump",)), "--does: expected REF.UNIT CONTACT: NAME"),
        (BoardAnswers(positions=("K1=A",), does=("K2: pump, motor",)), "--does: expected one of the positions K1"),
        (BoardAnswers(positions=("K1=A",), does=("K1 maek: pump, motor",)), "is 'make' meant"),
        (BoardAnswers(positions=("K1=A",), does=("K1: pump, moter",)), "is 'motor' meant"),
        (BoardAnswers(positions=("K1=A",), does=("K1: pump, motor, 0 V",)), "--does: expected a number above 0"),
        (BoardAnswers(positions=("K1=TW2-12S",), does=("K1: pump, motor",)), "K1 has units A, B: say K1.A"),
        (BoardAnswers(positions=("K1=TW2-12S",), does=("K1.C: pump, motor",)), "expected a unit of TW2-12S, A or B"),
    ],
)
def test_an_answer_that_cannot_be_is_one_clear_error_and_writes_nothing(
    shop: Session, tmp_path: Path, answers: BoardAnswers, said: str
) -> None:
    before = {*tmp_path.iterdir()}
    with pytest.raises(Refused) as refused:
        new_board(shop, "WW-1", answers, tmp_path / "ww.toml")
    assert said in str(refused.value) and "\n" not in str(refused.value)
    assert {*tmp_path.iterdir()} == before


@pytest.mark.parametrize(("name", "out"), [("", "ww.toml"), ("a:b", "ww.toml"), ("-a", "ww.toml"), ("WW-1", "ww.txt")])
def test_a_name_or_a_file_that_cannot_be_is_refused(shop: Session, tmp_path: Path, name: str, out: str) -> None:
    with pytest.raises(Refused, match="expected"):
        new_board(shop, name, ANSWERS, tmp_path / out)


def test_a_file_of_holes_elsewhere_or_with_problems_is_refused(shop: Session, tmp_path: Path) -> None:
    (tmp_path / "below").mkdir()
    far, bad = tmp_path / "below" / "holes.csv", tmp_path / "holes.csv"
    for file in (far, bad):
        file.write_text("pattern,hole,x_mm\nk1,a,0\n", encoding="utf-8")
    with pytest.raises(Refused, match="--holes: expected a file beside"):
        new_board(shop, "WW-1", BoardAnswers(positions=("K1=A",), holes=far), tmp_path / "ww.toml")
    with pytest.raises(ProblemsFound):
        new_board(shop, "WW-1", BoardAnswers(positions=("K1=A",), holes=bad), tmp_path / "ww.toml")


def test_the_contacts_to_ask_about_are_the_parts_own(shop: Session) -> None:
    (place,) = fitted_at(shop, ["K1=TW2-12S"])
    assert place.contacts[:2] == ("K1.A make", "K1.A break")


def test_where_the_second_file_cannot_be_written_the_first_is_gone_too(tmp_path: Path) -> None:
    with pytest.raises(Refused):
        write_new({tmp_path / "a.toml": "a", tmp_path / "none" / "b.csv": "b"})
    assert not [*tmp_path.iterdir()]
