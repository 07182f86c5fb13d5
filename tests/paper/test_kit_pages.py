"""The kit sheet, the pick list and the pictures: whole, safe, and saying what was picked."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from xml.etree import ElementTree

import pytest

from bom.answers.kits import CostedKit, InBag, KitLotMade, MadeKits, Pick, SoldAt
from bom.boards.board import Hole, HolePattern
from bom.duty.changing_a_relay import ChangeStep
from bom.kits.kit import Proviso
from bom.paper.pages.kit_papers import Item, KitSheet, pick_list, sheet_page
from bom.paper.pictures.fit_drawing import position_picture
from bom.paper.pictures.money_bars import CUTS, cost_bars
from bom.values.finding import Outcome
from bom.values.money import Money

EVIL = "<b onclick='x'>&\x07"
SVG = "{http://www.w3.org/2000/svg}"


def sold(kit: str = "OS-3 valve drive", **figures: str) -> CostedKit:
    usual = {"cost": "6.47", "packing": "0.38", "labour": "0", "postage": "3.10", "fee": "3.10", "tax": "3.92"}
    shares = {k: Money.of(v, "GBP") for k, v in {**usual, "profit": "6.53", "price": "23.50", **figures}.items()}
    sale = SoldAt(**shares, margin_pct=Decimal("33.4"), margin_on="", markup_pct=None, markup_on="")
    lists = dict.fromkeys(("lines", "unknown", "notes", "conditions", "cautions"), ())
    return CostedKit(kit, "", "", 1, "average", Decimal(0), **lists, per_kit=None, sale=sale, no_price="",
                     changed=None, can_make_now=0)  # fmt: skip


def test_a_sheet_lists_what_is_in_the_bag_by_name_and_position() -> None:
    items = (
        Item("K2R-12S", "Kithmar relay", Decimal(2), positions=("K1", "K2")),
        Item("WIRE", "Solder", Decimal("1.20"), "g"),
    )
    sheet = KitSheet(
        "valve",
        "OS-3",
        "valve drive",
        items,
        ("fuse",),
        ("live",),
        ("unplug",),
        cautions=("hot",),
        notes=("lead-free",),
        kit_lot="K00003",
    )
    page = sheet_page(sheet)
    rows = [re.findall(r">([^<>]+)<", row) for row in re.findall(r"<tr>(.*?)</tr>", page)[1:]]
    assert rows == [["2", "K2R-12S", "Kithmar relay", "K1, K2"], ["1.2 g", "WIRE", "Solder"]]
    for text in ("K00003", "fuse", "unplug", "hot", "lead-free", "size: A4"):
        assert text in page


def test_without_a_kit_lot_the_sheet_says_so() -> None:
    page = sheet_page(KitSheet("valve", "", "", ()))
    assert "not packed yet" in page and "Keep this sheet" not in page


def test_nothing_from_outside_becomes_markup() -> None:
    proviso = Proviso((EVIL,), EVIL, Outcome.CONDITION, EVIL, EVIL)
    items = (Item(EVIL, EVIL, Decimal(1), EVIL, (EVIL,)),)
    told = dict.fromkeys(("first_check", "live", "cautions", "notes"), (EVIL,))
    steps = ((EVIL,), ()), ((), (ChangeStep(EVIL, EVIL),))
    sheets = [
        KitSheet(EVIL, EVIL, EVIL, items, steps=own, changing=usual, kit_lot=EVIL, provisos=(proviso,), **told)
        for own, usual in steps
    ]
    pick = Pick(EVIL, EVIL, EVIL, EVIL, Decimal(1), EVIL, EVIL, None, EVIL)
    made = MadeKits(EVIL, 1, "made up", (), EVIL, (KitLotMade(EVIL, 1, ()),), (pick,), (proviso,), ())
    bars = cost_bars([sold(EVIL), replace(sold(EVIL), sale=None)])
    for page in (*map(sheet_page, sheets), pick_list(made, "2026-11-25", EVIL), bars):
        assert "<b onclick" not in page and "\x07" not in page
    ElementTree.fromstring(bars)


def test_pages_refer_to_nothing_outside() -> None:
    picture = position_picture(HolePattern("p", (Hole("a", 0, 0, 1.0), Hole("b", 5, 5))), {"1": "a"}, "K1")
    page = sheet_page(KitSheet("valve", "OS-3", "x", (), pictures=(picture,)))
    assert re.findall(r'(?:src|href)="([^"]{5})', page) == ["data:"]


def test_a_pick_list_goes_by_drawer_and_says_which_bags_differ() -> None:
    held = {part: (InBag("K1", part, "relay", Decimal(1), "piece", ""),) for part in ("new", "old")}
    lots = (KitLotMade("K1", 2, held["new"]), KitLotMade("K2", 2, held["old"]))
    picks = tuple(
        Pick(drawer, part, "relay", lot, Decimal(quantity), "piece", "", None, None)
        for drawer, part, lot, quantity in (("B2", "old", "L2", 2), ("A1", "new", "L1", 1), ("A1", "new", "L1", 1))
    )
    page = pick_list(MadeKits("pair", 4, None, (), None, lots, picks, (), ()), "today")
    assert page.index("A1") < page.index("B2") and page.count("A1") == 1
    assert "not all alike" in page and "nothing is booked yet" in page


def widths(picture: str) -> list[float]:
    cuts = ElementTree.fromstring(picture).iter(f"{SVG}rect")
    return [float(cut.get("width", "0")) for cut in cuts if cut.get("class") == "cut"]


def test_the_cuts_of_a_price_are_as_wide_as_their_shares() -> None:
    drawn = widths(cost_bars([sold()]))
    shares = [6.47, 0.38, 3.10, 3.10, 3.92, 6.53]
    assert [w / sum(drawn) for w in drawn] == pytest.approx([s / sum(shares) for s in shares], abs=1e-4)
    assert sum(drawn) == pytest.approx(150, abs=0.1)


def test_all_kits_are_drawn_to_one_scale() -> None:
    drawn = widths(cost_bars([sold(), sold(profit="30.03", price="47.00")]))
    assert drawn[0] == drawn[6] and sum(drawn[6:]) == pytest.approx(2 * sum(drawn[:6]), rel=1e-3)


def test_a_loss_is_framed_and_said() -> None:
    picture = cost_bars([sold(price="9.00", fee="1.37", tax="1.50", profit="-3.82")])
    assert "loses 3.82" in picture and picture.count('class="loss"') == 1


def test_every_cut_is_named_with_its_amount() -> None:
    texts = [t.text for t in ElementTree.fromstring(cost_bars([sold()])).iter(f"{SVG}text")]
    assert {cut.word for cut in CUTS} <= set(texts) and {"6.47", "6.53"} <= set(texts)


def test_a_position_is_drawn_from_both_sides_with_its_pins_named() -> None:
    holes = tuple(Hole(n, x, y, 1.0) for n, x, y in (("a", 0, 0), ("b", 10, 0), ("c", 0, 5)))
    root = ElementTree.fromstring(position_picture(HolePattern("p", holes), {"11": "a", "12": "b"}, "K1: X"))
    names = [(t.text, float(t.get("x", "0"))) for t in root.iter(f"{SVG}text") if t.text in ("11", "12")]
    assert names == [("11", 5.0), ("12", 25.0), ("11", 25.0), ("12", 5.0)]
    assert sum(c.get("class") == "empty" for c in root.iter(f"{SVG}circle")) == 2
