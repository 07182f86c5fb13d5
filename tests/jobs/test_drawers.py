"""A drawer is one drawer, however its name is typed."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from bom.jobs.kits.labels import drawer_labels
from bom.jobs.kits.making import make_kits
from bom.jobs.shelf.day import put_elsewhere
from bom.jobs.shelf.files import goods_in_file
from bom.jobs.shelf.goods_in import GoodsIn, goods_in
from bom.store.shelf import add_lot, drawers, lots
from bom.store.unit_of_work import Session
from bom.values.problem import Refused

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
IN = GoodsIn("TW2-12S", "5", "2.10 GBP", lot="N1")


@pytest.mark.parametrize("typed", ["a5", " A5 ", "A5"])
def test_goods_go_into_the_drawer_that_is_there(shop: Session, typed: str) -> None:
    assert "drawer A5" in goods_in(shop, replace(IN, drawer=typed))[0]
    assert "drawer A5 already" in put_elsewhere(shop, "N1", typed)


def test_a_lot_moved_and_kits_made_up_lie_in_the_drawer_that_is_there(shop: Session) -> None:
    goods_in(shop, replace(IN, drawer="New 1"))
    assert put_elsewhere(shop, "N1", "a6") == "lot N1: from drawer New 1 to drawer A6"
    make_kits(shop, "OS-3 pump feed", 1, dry=False, drawer="new  1")
    assert {d for d in drawers(shop) if d.casefold() == "new 1"} == {"New 1"}


def test_a_file_spells_a_drawer_once(shop: Session, tmp_path: Path) -> None:
    head = "part_number,quantity,drawer,lot,unit_cost,currency,date"
    rows = [f"TW2-12S,1,{drawer},N{n},1.00,GBP,2026-01-0{n}" for n, drawer in enumerate(("Z9", "z9", "a5"), 1)]
    (tmp_path / "s.csv").write_text("\n".join([head, *rows]) + "\n")
    goods_in_file(shop, tmp_path / "s.csv")
    assert [lot.drawer for lot in lots(shop, ["N1", "N2", "N3"])] == ["Z9", "Z9", "A5"]


def test_two_drawers_that_differ_by_capitals_from_before_are_asked_about(shop: Session) -> None:
    first = next(lot for lot in lots(shop) if lot.drawer == "A5")
    for number, drawer in (("OLD1", "Box b"), ("OLD2", "BOX B")):
        add_lot(shop, replace(first, number=number, drawer=drawer), Decimal(1), NOON)
    assert "drawer Box b" in goods_in(shop, replace(IN, drawer="Box b"))[0]
    with pytest.raises(Refused, match="drawer box b may be BOX B or Box b"):
        goods_in(shop, replace(IN, lot="N2", drawer="box b"))


def test_a_drawers_labels_are_found_in_any_capitals(shop: Session) -> None:
    assert drawer_labels(shop, ["a1"]) == drawer_labels(shop, ["A1"])
