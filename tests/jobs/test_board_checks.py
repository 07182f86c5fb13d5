"""Boards checked under a chosen rule, what to check before parts, and an unknown relay named."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from bom.answers.catalogue import RuleListed
from bom.boards.board import Net, NetIs
from bom.jobs.kits.taking import forget_kit
from bom.jobs.replacing.boards import board_named, check_board, draw_board, forget_board, list_boards, show_board
from bom.jobs.replacing.matching import find_replacements, list_rules, rule_asked
from bom.jobs.replacing.relays import Reading, identify_relay, show_relay
from bom.paper.terminal.boards import board_check_table, board_table, rules_table
from bom.paper.terminal.relays import identified_table
from bom.store.boards_and_kits import take_board as keep_board
from bom.store.unit_of_work import Session
from bom.values.problem import Refused

OWN = '[rule]\nname = "bench lamps"\nsource = "bench log 2026"\ninrush_times = { lamp = [8, 11], motor = 6 }\n'


@pytest.fixture
def own(tmp_path: Path) -> str:
    file = tmp_path / "lamps.toml"
    file.write_text(OWN, encoding="utf-8")
    return str(file)


def test_every_rule_is_listed_with_its_source_and_those_who_differ_stand_together(own: str) -> None:
    rules = list_rules(own)
    assert all(r.source and r.prints for r in rules)
    own_one = next(r for r in rules if r.name == "bench lamps")
    assert isinstance(own_one, RuleListed) and own_one.times["12 V"]["lamp"] == (8, 11)
    assert sum(isinstance(r, RuleListed) and r.used_unless_chosen for r in rules) == 1


@pytest.mark.parametrize(
    "words",
    [
        "10 to 15 (relay output module)",
        "its durability test makes at power factor 0.7",
        "makes 30 A and breaks 3 A at 120 V",
        "some catalogues print 0.1 A",
    ],
)
def test_where_sources_differ_both_are_shown(words: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "400")
    shown = rules_table(list_rules())
    assert words in " ".join(shown.split())


def test_a_shops_own_rule_is_chosen_by_its_file_and_joined_by_name(own: str) -> None:
    assert rule_asked(own).inrush("lamp") == 11
    both = rule_asked(f"{own} + warm coil")
    assert (both.inrush("lamp"), both.coil_kelvin_per_watt) == (11, 50)
    assert rule_asked("warm coil").inrush("motor") == 6


@pytest.mark.parametrize("text", ["no such rule", "missing.toml"])
def test_a_rule_that_is_not_there_is_refused(text: str) -> None:
    with pytest.raises(Refused, match=text):
        rule_asked(text)


def test_a_board_is_checked_by_the_rule_that_was_chosen(shop: Session, own: str) -> None:
    answer = check_board(shop, "LV-7", own)
    assert answer.rule == "bench lamps"
    assert answer.cautions
    assert "Before a part is blamed" in board_check_table(answer)


def test_every_position_is_drawn(shop: Session, tmp_path: Path) -> None:
    files = draw_board(shop, "LV-7", tmp_path / "pictures", None)
    assert {Path(f).name.rsplit("-", 1)[0] for f in files} == {"LV-7-K1", "LV-7-K2", "LV-7-K3", "LV-7-K4"}
    assert all(Path(f).read_text(encoding="utf-8").startswith("<svg") for f in files)


def test_a_board_shows_what_to_check_before_parts_and_what_its_loads_need(shop: Session) -> None:
    shown = board_table(show_board(shop, "OS-3"))
    assert "stuck on?" in shown
    assert "To add at the load, one of these: K1 left boom valve opens" in shown


def test_nothing_is_added_at_the_load_of_a_safety_function(shop: Session) -> None:
    board = board_named(shop, "HT-24")
    spindle, enable = board.positions
    bare = tuple(replace(f, safety=False, load=replace(f.load, suppression="none")) for f in enable.functions)
    keep_board(shop, replace(board, positions=(spindle, replace(enable, functions=bare))))
    assert {p.position for p in show_board(shop, "HT-24").protection} == {"K1"}


def test_a_match_at_a_position_says_what_to_check_before(shop: Session) -> None:
    answer = find_replacements(shop, position="OS-3:K1")
    assert [s.what for s in answer.before_parts[0].steps][:2] == ["stuck on?", "as the board says"]
    assert find_replacements(shop, like_part="TW2-12S").before_parts == ()


def test_an_unknown_relay_is_named_by_all_that_was_measured(shop: Session) -> None:
    answer = identify_relay(shop, Reading("240R", size="18 x 17 x 14", pins=10, text="TW2-12?"))
    assert answer.candidates[0].fits == ("coil", "body", "height", "pins", "print")
    assert answer.cautions
    assert "Measure next" in identified_table(answer)


@pytest.mark.parametrize(
    "reading",
    [
        Reading("1,2k"),
        Reading("0"),
        Reading("-5"),
        Reading("262R", at="-300"),
        Reading("262R", size="1 x 2 x 3 x 4"),
        Reading("262R", grid="0,0"),
        Reading("262R", click="4,5"),
        Reading("262R", other_way="0"),
    ],
)
def test_what_is_no_measurement_is_refused(shop: Session, reading: Reading) -> None:
    with pytest.raises(Refused):
        identify_relay(shop, reading)


def test_a_relay_shows_its_coil_over_temperature(shop: Session) -> None:
    rows = {r.temp_c: r for r in show_relay(shop, "TW2-12S").coil_over_temperature}
    assert (rows[20.0].least_ohms, rows[20.0].most_ohms, rows[20.0].operate_volts) == (216.0, 264.0, 8.4)
    assert rows[85.0].operate_volts == 10.55


def test_a_relay_shows_what_suppression_does_to_its_release(shop: Session) -> None:
    rows = show_relay(shop, "TW2-12S").release_by_suppression
    assert [r.suppression.value for r in rows] == ["none", "resistor", "diode", "diode+zener"]
    assert rows[2].decay_in_l_over_r > rows[3].decay_in_l_over_r > 0
    assert rows[2].decay_ms > rows[3].decay_ms > 0
    assert "coil inductance" in show_relay(shop, "TW2-24S").release_by_suppression[2].not_stated


@pytest.mark.parametrize(("name", "said"), [("os-3", "is the board of OS-3 pump feed"), ("nosuch", "there are AW-12")])
def test_a_board_in_use_or_unknown_is_not_forgotten(shop: Session, name: str, said: str) -> None:
    with pytest.raises(Refused, match=said):
        forget_board(shop, name)
    assert "OS-3" in {b.name for b in list_boards(shop)}


def test_a_board_no_kit_is_for_is_forgotten(shop: Session) -> None:
    for kit in ("OS-3 pump feed", "OS-3 valve drive"):
        forget_kit(shop, kit)
    assert forget_board(shop, "os3") == "OS-3"
    assert "OS-3" not in {b.name for b in list_boards(shop)}


def test_the_fitted_part_is_held_to_the_board_and_not_to_itself(shop: Session) -> None:
    """At 9 V the fitted twins are not sure to pull in; a like part would change nothing for the worse."""
    board = board_named(shop, "OS-3")
    keep_board(shop, replace(board, supply=replace(board.supply, min_volts=9.0)))
    assert "K1" in check_board(shop, "OS-3").fails
    found = find_replacements(shop, position="OS-3:K1")
    like = next(c for c in found.candidates if c.part_number == "TW2-12S")
    assert (like.verdict, "no worse than the fitted part" in like.findings[0].why) == ("conditional", True)


def test_a_state_that_shorts_the_supply_is_cautioned_first_when_a_board_is_checked(shop: Session) -> None:
    board = board_named(shop, "OS-3")
    assert not check_board(shop, "OS-3").cautions[0].startswith("With")
    keep_board(shop, replace(board, nets=(*board.nets, Net("MOT_LP", NetIs.GROUND))))
    said = "With K1.A on the supply is shorted through K1.A make"
    assert check_board(shop, "OS-3").cautions[0].startswith(said)
