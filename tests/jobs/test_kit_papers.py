"""The papers of the demo shop's kits say what was picked, by name, and for which kit lot."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

import pytest

from bom.jobs.kits.costing import cost_kits
from bom.jobs.kits.labels import LabelAsked, LabelPaper, drawer_labels, kit_label
from bom.jobs.kits.making import make_kits, undo_kits
from bom.jobs.kits.papers import cost_picture, kit_sheet, pick_list_page
from bom.kits.kit import Kit, Line
from bom.paper.terminal.kits import kits_table, pick_table
from bom.store.boards_and_kits import kit, take_kit
from bom.store.unit_of_work import Session
from bom.values.problem import Refused

KIT = "OS-3 valve drive"


def listed(page: str) -> list[list[str]]:
    """The rows of the first table, as their words."""
    body = page[page.index("<tbody>") : page.index("</tbody>")]
    return [re.findall(r">([^<>]+)<", row) for row in body.split("</tr>")[:-1]]


def test_a_sheet_of_a_kit_lot_lists_what_was_picked(shop: Session) -> None:
    lots = make_kits(shop, KIT, 6, dry=False).kit_lots
    assert [(lot.kit_lot, lot.count) for lot in lots] == [("K00001", 4), ("K00002", 2)]
    assert [listed(kit_sheet(shop, lot.kit_lot))[0] for lot in lots] == [
        ["2", "K2R-12S", "Kithmar relay, 12 V coil", "K1, K2"],
        ["2", "TW2-12S", "Ostrel relay, 12 V coil", "K1, K2"],
    ]
    assert kit_sheet(shop, KIT, "k00002") == kit_sheet(shop, "K00002")


def test_a_kit_that_went_in_made_up_is_listed_by_what_is_in_it(shop: Session) -> None:
    before = listed(kit_sheet(shop, KIT))
    make_kits(shop, "bench consumables", 2, dry=False)
    number = make_kits(shop, KIT, 1, dry=False).kit_lot
    assert sorted(listed(kit_sheet(shop, number))) == sorted(before)


def test_bags_and_print_are_no_contents_to_tick_off(shop: Session) -> None:
    parts = [row[1] for row in listed(kit_sheet(shop, KIT))]
    assert parts == ["K2R-12S", "SEAL-OS3", "SAC305-1.0", "BRAID-2.5", "IPA-99", "FLUX-NC"]


def test_a_sheet_has_the_boards_steps_cautions_pictures_and_the_alloy(shop: Session) -> None:
    page = kit_sheet(shop, KIT)
    for text in (
        "boom fuse",
        "prop them first",
        "These checks are made on a live machine",
        "Wash only with a wash-tight relay",
        "There may be a second battery",
        "Mains near the box",
        "eye protection",
        "Solder with lead is poisonous",
        "no iron, flame or live contact near them",
        "ask the carrier before a bag",
        "IPA-99, FLUX-NC: take it for flammable",
        "SAC305-1.0 (SAC305) is lead-free",
        "not packed yet",
    ):
        assert text in page
    assert page.count("data:image/svg+xml") == 3


def test_the_whole_board_stands_on_the_sheet_where_its_places_are_known(shop: Session) -> None:
    assert "Where it goes on the board" in kit_sheet(shop, KIT)
    assert "Where it goes on the board" not in kit_sheet(shop, "LV-7 lamp circuits")


def test_a_kits_own_steps_and_alloy_come_before_the_usual(shop: Session) -> None:
    known = kit(shop, KIT)
    assert known is not None
    leaded = Line(part="WIRE-X", quantity=Decimal(2), unit="g", alloy="Sn60Pb40")
    take_kit(shop, replace(known, steps=("Read this twice.",), lines=(*known.lines, leaded)))
    page = kit_sheet(shop, KIT)
    assert "Read this twice." in page and "Melt each joint" not in page and "eye protection" in page
    assert "WIRE-X (Sn60Pb40) holds lead" in page


def test_a_bag_of_consumables_prints_no_steps_for_relays(shop: Session) -> None:
    page = kit_sheet(shop, "bench consumables")
    assert "Change the relay" not in page and "Check first" not in page and "second battery" not in page
    assert "take it for flammable" in page and "ask the carrier" in page and "eye protection" in page


def test_a_bag_without_liquids_is_not_sent_to_the_carrier(shop: Session) -> None:
    take_kit(shop, Kit("wire", "GBP", lines=(Line(part="BRAID-2.5", quantity=Decimal(40), unit="mm"),)))
    assert "carrier" not in kit_sheet(shop, "wire")
    for unknown in ("PEN-1", "SPRAY-X"):
        take_kit(shop, Kit("wire", "GBP", lines=(Line(part=unknown),)))
        assert "ask the carrier" in kit_sheet(shop, "wire")


def test_a_safety_function_is_said_so_and_proved_by_others(shop: Session) -> None:
    page = kit_sheet(shop, "HT-24 hitch lift")
    assert "never bypass or bridge it" in page and "a licensed person proves it before" in page
    assert page.index("Take care") < page.index("Check first") < page.index("Change the relay")


@pytest.mark.parametrize("name", ["HT-24 hitch lift", "OS-3 valve drive", "bench consumables"])
def test_every_screen_of_a_kit_names_its_gravest_caution_and_where_the_rest_are(shop: Session, name: str) -> None:
    screens = (
        kits_table(cost_kits(shop, name, None)),
        pick_table(make_kits(shop, name, 1, dry=True)),
    )
    for screen in (*screens, pick_list_page(make_kits(shop, name, 1, dry=True))):
        said = " ".join(screen.split())
        assert "⚠" in said and "bom kit sheet" in said


def test_papers_of_another_kits_lot_or_of_none_are_refused(shop: Session) -> None:
    make_kits(shop, "OS-3 pump feed", 1, dry=False)
    with pytest.raises(Refused, match="kit lot K00001 is of OS-3 pump feed, not of OS-3 valve drive"):
        kit_sheet(shop, KIT, "K00001")
    undo_kits(shop, "K00001")
    with pytest.raises(Refused, match="kit lot K00001 is taken apart"):
        kit_sheet(shop, "K00001")
    with pytest.raises(Refused, match="no kit lot K77"):
        kit_label(shop, LabelAsked(KIT, "K77"), pages=False)
    with pytest.raises(Refused, match="a bag or a box, found 'mug'"):
        kit_label(shop, LabelAsked(KIT, kind="mug"), pages=False)


@pytest.mark.parametrize(("kind", "copies", "labels"), [("bag", None, 3), ("bag", 5, 5), ("box", None, 1)])
@pytest.mark.parametrize("paper", [LabelPaper(), LabelPaper(size="60x40")])
def test_there_is_a_label_for_every_bag(
    shop: Session, kind: str, copies: int | None, labels: int, paper: LabelPaper
) -> None:
    number = make_kits(shop, KIT, 3, dry=False).kit_lot
    page = kit_label(shop, LabelAsked(number, "", kind, copies, paper), pages=True)
    assert page.count(f"kit lot {number}") == labels and "Read the sheet" in page
    assert ("@page{size:60mm 40mm" in page) is bool(paper.size) and ("@page{size:A4" in page) is not bool(paper.size)


@pytest.mark.parametrize(
    ("paper", "said"),
    [
        (LabelPaper("60x40", "3x8"), "found both"),
        (LabelPaper("60x40", skip=2), "found both"),
        (LabelPaper("60 mm"), "width and height in mm, such as 60x40"),
        (LabelPaper("0x40"), "from 10 to 300 mm"),
        (LabelPaper("9999x40"), "from 10 to 300 mm"),
        (LabelPaper("20x12"), "a label of 20 x 12 mm has no room"),
        (LabelPaper(sheet="3"), "across and down"),
        (LabelPaper(sheet="0x8"), "as whole labels across"),
        (LabelPaper(sheet="2.5x8"), "as whole labels across"),
        (LabelPaper(sheet="20x60"), "has no room"),
        (LabelPaper(edge=-1), "an edge from 0 to 40 mm"),
        (LabelPaper(edge=41), "an edge from 0 to 40 mm"),
        (LabelPaper(skip=24), "fewer than the 24 labels"),
        (LabelPaper(skip=-1), "fewer than the 24 labels"),
    ],
)
def test_paper_that_cannot_be_is_refused(shop: Session, paper: LabelPaper, said: str) -> None:
    with pytest.raises(Refused, match=said):
        kit_label(shop, LabelAsked(KIT, paper=paper), pages=True)


def test_drawers_are_labelled_with_what_lies_in_them(shop: Session) -> None:
    page, count = drawer_labels(shop, ["P3", "tw2 12s"])
    assert count == 2 and all(word in page for word in ("A1", "TW2-12S", "P3", "SEAL-OS3"))
    assert drawer_labels(shop, [])[1] > 20
    with pytest.raises(Refused, match="Z9 is no drawer"):
        drawer_labels(shop, ["Z9"])


def test_a_pick_list_and_a_picture_come_from_what_is_printed(shop: Session) -> None:
    page = pick_list_page(make_kits(shop, KIT, 6, dry=True))
    assert [row[0] for row in listed(page)][:3] == ["A1", "A2", "P3"] and "nothing is booked yet" in page
    assert "leaves 6.53" in cost_picture(cost_kits(shop, KIT, None))
