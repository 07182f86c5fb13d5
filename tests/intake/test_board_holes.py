"""Holes made for a part: one for each of its pins; what only the board knows is stated, or told to be lacking."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.boards.board import Board, Hole
from bom.intake.board_file import take_board
from bom.intake.board_holes import KnownPins
from bom.relays.footprint import Footprint, Pin, View
from bom.values.problem import Problem, ProblemsFound

BOARD = """\
[board]
name = "B"
driver = { drop_volts = 0.9 }
drills = { "0.8 x 0.5" = 1.2 }

[[position]]
ref = "K1"
fitted = "TW-12"
nets = "VBAT 1 3; DRV 2; - 4"
drills = { "0.6" = 1 }
"""
PINS = (Pin("1", 0, 0, 0.6), Pin("2", 0, 5, 0.6), Pin("3", 10, 0, 0.8, 0.5, 90), Pin("4", 10, 5, 0.8, 0.5))


def pins_of(part: str) -> KnownPins | None:
    solder = tuple(Pin(p.name, -p.x_mm, p.y_mm, p.lead_mm, p.lead_width_mm) for p in PINS)
    drawn = {
        "TW-12": Footprint("TW", PINS),
        "SOLDER": Footprint("S", solder, View.SOLDER),
        "BARE": Footprint("B", (Pin("1", 0, 0), *PINS[1:])),
    }
    return KnownPins(drawn[part], "tw") if part in drawn else None


def taken(folder: Path, text: str) -> Board:
    (folder / "b.toml").write_text(text, encoding="utf-8")
    return take_board(folder / "b.toml", pins_of=pins_of).value


def problems(folder: Path, text: str) -> list[Problem]:
    with pytest.raises(ProblemsFound) as found:
        taken(folder, text)
    return list(found.value.problems)


def test_each_pin_has_a_hole_with_the_drill_for_its_lead_and_its_net(tmp_path: Path) -> None:
    (pattern,) = (taken(tmp_path, BOARD).patterns or {}).values()
    assert pattern.name == "K1"
    assert pattern.holes == (
        Hole("1", 0, 0, 1, "VBAT"),
        Hole("2", 0, 5, 1, "DRV"),
        Hole("3", 10, 0, 1.2, "VBAT"),
        Hole("4", 10, 5, 1.2, ""),
    )


def test_the_board_expects_what_the_part_joins_unless_it_says_otherwise(tmp_path: Path) -> None:
    assert taken(tmp_path, BOARD).positions[0].wiring == "tw"
    assert taken(tmp_path, BOARD + 'wiring = "other"\n').positions[0].wiring == "other"


def test_holes_may_be_made_for_another_part_than_is_fitted(tmp_path: Path) -> None:
    text = BOARD.replace('fitted = "TW-12"', 'fitted = "ELSE"\nholes_of = "TW-12"')
    (position,) = taken(tmp_path, text).positions
    assert (position.fitted, position.pattern, position.wiring) == ("ELSE", "K1", "tw")


def test_a_part_drawn_from_the_solder_side_gives_the_same_holes(tmp_path: Path) -> None:
    (pattern,) = (taken(tmp_path, BOARD.replace("TW-12", "SOLDER")).patterns or {}).values()
    assert [(h.x_mm + 0.0, h.y_mm) for h in pattern.holes] == [(0, 0), (0, 5), (10, 0), (10, 5)]
    assert pattern.view is View.COMPONENT


def test_a_driver_of_the_board_is_that_of_every_position_that_states_none(tmp_path: Path) -> None:
    own = BOARD + "driver = { drop_volts = 0.2 }\n"
    for text, drop in ((BOARD, 0.9), (own, 0.2)):
        driver = taken(tmp_path, text).positions[0].driver
        assert driver is not None and driver.drop_volts == drop


SLIPS = [
    ('fitted = "TW-12"\n', "", "position[1].fitted", "the part whose pins the holes are made for"),
    ('"TW-12"', '"TW-13"', "position[1].fitted", "a part whose pins the catalogue knows"),
    ('fitted = "TW-12"', 'holes_of = ""', "position[1].fitted", "the part whose pins"),
    ('fitted = "TW-12"', 'fitted = "TW-12"\npattern = "x"', "position[1].pattern", "either pattern, or"),
    ("; - 4", "", "position[1].nets", "every pin of TW-12, with - where"),
    ("; - 4", "; - 5", "position[1].nets", "pins of TW-12"),
    ("; - 4", "; - 4 3", "position[1].nets", "pin 3 at one net"),
    ("; - 4", "; GND; - 4", "position[1].nets", "each net with its pins"),
    ("VBAT 1 3; DRV 2; - 4", "", "position[1].nets", "every pin of TW-12"),
    ('nets = "VBAT', 'nests = "VBAT', "position[1].nests", "is 'nets' meant?"),
    ('"0.6" = 1 ', '"0.7" = 1 ', "position[1].drills", "a drill for 0.6, the lead of pins 1, 2"),
    ('"0.6" = 1 ', '"0.6" = 0.5 ', "position[1].drills", "no less than 0.6 mm"),
    ('"0.6" = 1 ', '"0.6" = 0 ', "position[1].drills.0.6", "a number above 0"),
    ('"0.6" = 1 ', '"thin" = 1 ', "position[1].drills.thin", "a lead in mm"),
    ('"0.6" = 1 ', '"0.6" = "" ', "position[1].drills.0.6", "a number"),
    ('drills = { "0.8 x 0.5" = 1.2 }\n', "", "position[1].drills", "a drill for 0.8 x 0.5, the lead of pins 3, 4"),
    ('"0.8 x 0.5" = 1.2', '"0.8 x 0.5" = 0.9', "position[1].drills", "no less than 0.943 mm"),
    ('"TW-12"', '"BARE"', "position[1].drills", "a part whose leads are known"),
    ("drop_volts = 0.9", "drop_vols = 0.9", "board.driver.drop_vols", "is 'drop_volts' meant?"),
]


@pytest.mark.parametrize("old, new, key, expected", SLIPS, ids=[f"{key} {new[:20]}" for _, new, key, _ in SLIPS])
def test_a_slip_is_told_with_its_key(tmp_path: Path, old: str, new: str, key: str, expected: str) -> None:
    assert BOARD.count(old) == 1
    told = problems(tmp_path, BOARD.replace(old, new))
    assert any(p.column == key and expected in p.expected and p.line for p in told), [str(p) for p in told]


def test_without_a_catalogue_no_part_is_known(tmp_path: Path) -> None:
    (tmp_path / "b.toml").write_text(BOARD, encoding="utf-8")
    with pytest.raises(ProblemsFound, match="a part whose pins the catalogue knows"):
        take_board(tmp_path / "b.toml")


def test_a_position_without_pattern_and_without_nets_is_told(tmp_path: Path) -> None:
    text = BOARD[: BOARD.index("nets")]
    assert [p.column for p in problems(tmp_path, text)] == ["position[1].pattern"]


LOADS = """
[[net]]
name = "VBAT"
is = "supply"

[[net]]
name = "GND"
is = "ground"

[[load]]
name = "left"
plus = "VBAT"
minus = "GND"
kind = "mixed"
volts = 14
mixed = { lamp = 2, resistive = 8 }
operations_per_day = 120

[[load]]
name = "right"
plus = "GND"
minus = "VBAT"
operations_per_day = 10
like = "left"
"""


def test_a_load_may_have_the_figures_of_one_further_up(tmp_path: Path) -> None:
    left, right = taken(tmp_path, BOARD + LOADS).loads
    assert (right.load.kind, right.load.volts, right.load.mixed) == (left.load.kind, left.load.volts, left.load.mixed)
    assert (left.load.operations_per_day, right.load.operations_per_day) == (120, 10)
    assert (right.plus, right.minus) == ("GND", "VBAT")


@pytest.mark.parametrize("like", ["rigth", "right", "lefd"])
def test_a_load_is_like_one_further_up_only(tmp_path: Path, like: str) -> None:
    told = problems(tmp_path, BOARD + LOADS.replace('like = "left"', f'like = "{like}"'))
    assert any(p.column == "load[2].like" and "a load further up" in p.expected for p in told)


SECOND = """
[[position]]
ref = "K2"
like = "K1"
nets = "DRV2 2"
"""


def test_a_position_like_another_is_as_that_one_but_for_what_it_states(tmp_path: Path) -> None:
    board = taken(tmp_path, BOARD + "units_on_together = 1\n" + SECOND)
    first, second = board.positions
    assert (second.fitted, second.units_on_together, second.driver) == (first.fitted, 1, first.driver)
    assert (first.pattern, second.pattern) == ("K1", "K2")
    assert [hole.net for hole in (board.patterns or {})["K1"].holes] == ["VBAT", "DRV", "VBAT", ""]
    assert [hole.net for hole in (board.patterns or {})["K2"].holes] == ["VBAT", "DRV2", "VBAT", ""]


def test_a_position_like_one_that_is_like_another_has_the_nets_of_both(tmp_path: Path) -> None:
    third = SECOND.replace('"K1"', '"K2"', 1).replace('ref = "K2"', 'ref = "K3"').replace("DRV2 2", "OUT 4")
    third = third.replace('like = "K1"', 'like = "K2"')
    board = taken(tmp_path, BOARD + SECOND + third)
    assert [hole.net for hole in (board.patterns or {})["K3"].holes] == ["VBAT", "DRV2", "VBAT", "OUT"]


def test_a_position_like_another_is_nowhere_by_that(tmp_path: Path) -> None:
    first, second = taken(tmp_path, BOARD + "x_mm = 10\ny_mm = 20\n" + SECOND).positions
    assert (first.x_mm, second.x_mm) == (10, None)


@pytest.mark.parametrize("like", ["K3", "K2"])
def test_a_position_is_like_one_further_up_only(tmp_path: Path, like: str) -> None:
    told = problems(tmp_path, BOARD + SECOND.replace('like = "K1"', f'like = "{like}"'))
    assert any(p.column == "position[2].like" and "a position further up" in p.expected for p in told)


def test_more_nets_may_be_held_alike(tmp_path: Path) -> None:
    text = BOARD.replace("DRV 2; - 4", "G1 2; G2 4") + '[[net]]\nname = "G1"\nalso = ["G2"]\nis = "ground"\n'
    assert [(net.name, net.is_) for net in taken(tmp_path, text).nets] == [("G1", "ground"), ("G2", "ground")]
    for also, expected in (("G3", "a net that a hole or a load names"), ("G1", "each name once")):
        told = problems(tmp_path, text.replace('also = ["G2"]', f'also = ["{also}"]'))
        assert any(p.column == "net[1].also" and expected in p.expected for p in told)
