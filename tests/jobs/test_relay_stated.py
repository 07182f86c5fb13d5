"""One relay stated by a person is taken as a catalogue's row is: whole or not at all, and never over another unseen."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bom.jobs.replacing.matching import find_replacements
from bom.jobs.replacing.relay_stated import Said, beginning, said_by_options, take_relay, understood
from bom.jobs.replacing.relays import show_relay
from bom.relays.relay import Relay
from bom.store.catalogue import all_drawings, named
from bom.store.unit_of_work import Session
from bom.values.difference import Replacing, WouldReplace
from bom.values.problem import ProblemsFound, Refused

TWIN = Said(
    {"maker": "Hollowmere", "part_number": "HM2-12", "coil_volts": "12", "coil_ohms": "240"},
    "1 0/0, 2 0/5, 3 5/2.5, 4 12.5/0, 5 15/4.5, 6 0/14, 7 0/8, 8 6.5/10.5, 9 12.5/13, 10 15/8.5",
    "component",
    "0.6",
    "twin changeover: 2 1 3 4 5 7 6 8 9 10",
    ("make resistive 14 V dc 20 A, at 85 °C, 1e5 ops",),
)


def test_a_part_from_scratch_is_taken_with_its_drawing_and_ratings(shop: Session) -> None:
    answer = take_relay(shop, beginning(shop), TWIN)
    assert answer.taken and (answer.new_footprint, answer.new_wiring) == ("Hollowmere HM2-12", "")
    card = show_relay(shop, "hm2 12")
    assert (card.relay.coil_ohms, card.relay.wiring, len(card.pinout)) == (240, "twin-2c", 10)
    assert [line.applies_to for line in card.ratings] == ["HM2-12"]
    assert "Hollowmere HM2-12" in all_drawings(shop).footprints


def test_looking_takes_nothing(shop: Session) -> None:
    answer = understood(shop, beginning(shop), TWIN)
    assert not answer.taken and not named(shop, "HM2-12")
    assert "Hollowmere HM2-12" not in all_drawings(shop).footprints


def test_a_part_can_be_stated_before_there_is_any_database() -> None:
    answer = understood(None, beginning(None), TWIN)
    assert answer.new_wiring == "Hollowmere HM2-12" and answer.typed == 4 + 2 + 30 + 11 + 7
    with pytest.raises(Refused, match="no database yet"):
        beginning(None, "TW2-12S")


def test_what_is_left_blank_is_charged(shop: Session) -> None:
    charged = {blank.column: blank for blank in understood(shop, beginning(shop), TWIN).blanks}
    assert charged["operate_volts"].checks == ("pull-in when hot",)
    assert (charged["operate_volts"].outcome, charged["operate_volts"].where) == ("unknown", "on any board")
    assert not {"coil_ohms", "series", "source"} & charged.keys()


def test_a_part_like_another_serves_as_the_other_does(shop: Session) -> None:
    start = beginning(shop, "TW2-12S")
    take_relay(shop, start, Said({"part_number": "TW2-12Z", "source": "bench"}))
    matched = find_replacements(shop, position="OS-3:K1")
    verdicts = {c.part_number: c.verdict for c in matched.candidates}
    assert verdicts["TW2-12Z"] == verdicts["TW2-12S"]


def test_the_differences_to_the_other_part_are_shown(shop: Session) -> None:
    answer = understood(shop, beginning(shop, "TW2-12S"), Said({"part_number": "TW2-12Z", "sealing": "RT II"}))
    assert [str(change) for change in answer.differs] == [
        "part_number: TW2-12S → TW2-12Z",
        "status: last-time buy → not stated",
        "sealing: RT III → RT II",
    ]


def test_a_part_that_is_there_is_replaced_only_where_that_is_said(shop: Session) -> None:
    start = beginning(shop, "TW2-12S")
    said = Said({"part_number": "TW2-12S", "coil_ohms": "250", "status": "last-time buy"})
    assert [d.what for d in understood(shop, start, said).would_replace] == ["relay Ostrel TW2-12S"]
    with pytest.raises(WouldReplace, match="coil_ohms: 240 → 250"):
        take_relay(shop, start, said)
    take_relay(shop, start, said, replacing=Replacing(True))
    assert named(shop, "TW2-12S")[0].coil_ohms == 250


def test_the_same_part_again_changes_nothing(shop: Session) -> None:
    take_relay(shop, beginning(shop), TWIN)
    assert understood(shop, beginning(shop), TWIN).would_replace == ()
    take_relay(shop, beginning(shop), TWIN)
    moved = replace(TWIN, pins=TWIN.pins.replace("0/14", "0/15"))
    with pytest.raises(WouldReplace, match="footprint Hollowmere HM2-12 would change"):
        take_relay(shop, beginning(shop), moved)


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        ({"coil_ohms": "0.24"}, "--insist takes it"),
        ({"maker": "ostrel", "part_number": "tw2 12s"}, "the spelling that is there, Ostrel TW2-12S"),
        ({"part_number": ""}, "a value"),
    ],
)
def test_what_is_hardly_so_is_refused(shop: Session, cells: dict[str, str], said: str) -> None:
    with pytest.raises(ProblemsFound, match=said):
        understood(shop, beginning(shop), replace(TWIN, cells={**TWIN.cells, **cells}))


def test_a_coil_far_from_its_series_is_in_doubt_until_it_is_insisted_on(shop: Session) -> None:
    said = Said({"part_number": "TW2-12Y", "coil_ohms": "24"})
    with pytest.raises(ProblemsFound, match="of series TW2 has"):
        understood(shop, beginning(shop, "TW2-12S"), said)
    assert understood(shop, beginning(shop, "TW2-12S"), said, insist=True).relay.relay.coil_ohms == 24


def test_options_say_facts_by_column() -> None:
    said = said_by_options(["coil ohms = 240", "sealing=RT III"], [], maker="H", part_number="X")
    assert said.cells == {"maker": "H", "part_number": "X", "coil_ohms": "240", "sealing": "RT III"}


@pytest.mark.parametrize(
    ("facts", "said"),
    [(["12 V"], "COLUMN=VALUE"), (["coil_ohms=1", "coil ohms=2"], "once"), (["ohm=2"], "a column of")],
)
def test_an_option_that_is_no_fact_is_refused(facts: list[str], said: str) -> None:
    with pytest.raises(Refused, match=said):
        said_by_options(facts, [])


def test_a_relay_states_no_more_than_was_said(shop: Session) -> None:
    take_relay(shop, beginning(shop), Said({"maker": "H", "part_number": "HM9"}))
    assert named(shop, "HM9") == (Relay("H", "HM9"),)
