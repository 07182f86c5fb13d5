"""Loose drawings, the shelf's files and stand-alone problems."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest

from bom.boards.board import HolePattern
from bom.intake.drawings import holes_in, pins_in, wirings_in
from bom.intake.problem_file import json_mapping
from bom.intake.rows import Report
from bom.intake.shelf_files import read_levels, read_opening_stock, read_usage
from bom.relays.footprint import Footprint, View
from bom.values.money import Money
from bom.values.problem import Refused


def saved(folder: Path, text: str) -> Path:
    path = folder / "file.csv"
    path.write_text(text, encoding="utf-8")
    return path


def read_pins(path: Path) -> Footprint:
    report = Report()
    return report.taken(pins_in(path, report)).value


def read_holes(path: Path, pattern: str | None = None) -> HolePattern:
    report = Report()
    return report.taken(holes_in(path, report, pattern)).value


def test_pins_need_no_footprint_name_and_an_unstated_side_is_unknown(tmp_path: Path) -> None:
    footprint = read_pins(saved(tmp_path, "pin,x_mm,y_mm\n1,0,0\n2,5,0\n"))
    assert (footprint.name, len(footprint.pins), footprint.view) == ("", 2, View.UNKNOWN)


def test_holes_and_wirings_are_read_alone(tmp_path: Path) -> None:
    holes = read_holes(saved(tmp_path, "pattern,hole,x_mm,y_mm,drill_mm,net,view\np,a,0,0,1.3,V,component\n"))
    assert {h.name: h.net for h in holes.holes}["a"] == "V"
    wirings = wirings_in(saved(tmp_path, "wiring,unit,pole,element,from_pin,to_pin\nw,A,,coil,1,2\n"), Report())
    assert wirings["w"].coils[0].pins == ("1", "2")


def test_one_of_several_patterns_is_chosen_by_name(tmp_path: Path) -> None:
    file = saved(tmp_path, "pattern,hole,x_mm,y_mm\np,a,0,0\nq,b,0,0\n")
    assert [h.name for h in read_holes(file, "q").holes] == ["b"]
    with pytest.raises(Refused, match=r"p \| q, found 'r'"):
        read_holes(file, "r")


def test_opening_stock_usage_and_levels_are_read(tmp_path: Path) -> None:
    (lot,) = read_opening_stock(saved(tmp_path, "part_number,quantity,unit_cost,currency\nTW2,20,3.90,USD\n")).value
    assert (lot.quantity, lot.unit_cost, lot.received) == (Decimal(20), Money.of("3.90", "USD"), None)
    used = read_usage(saved(tmp_path, "date,part_number,quantity\n2026-02-01,B,2.5\n2026-01-01,A,1\n")).value
    assert [u.part_number for u in used] == ["A", "B"]
    (level,) = read_levels(saved(tmp_path, "part_number,reorder_point,order_up_to\nTW2,4,10\n")).value
    assert level.order_up_to == Decimal(10)


def test_an_amount_carries_its_unit_as_on_the_command_line(tmp_path: Path) -> None:
    lots = read_opening_stock(saved(tmp_path, "part_number;quantity\nTIN;0,25 kg\nBRAID;1,5 m\nTW2;20\n")).value
    stated = [(lot.quantity, lot.unit) for lot in lots]
    assert stated == [(Decimal(250), "g"), (Decimal(1500), "mm"), (Decimal(20), "piece")]
    (level,) = read_levels(saved(tmp_path, "part_number,reorder_point,order_up_to\nTIN,100 g,1 kg\n")).value
    assert (level.reorder_point, level.order_up_to) == (100, 1000)


def test_a_problem_file_keeps_its_numbers_exact(tmp_path: Path) -> None:
    assert json_mapping(saved(tmp_path, '{"id": "t1", "price": 1.0734}')) == {
        "id": "t1",
        "price": Decimal("1.0734"),
    }


@pytest.mark.parametrize(
    ("reader", "text", "said"),
    [
        (read_pins, "footprint,pin,x_mm,y_mm\na,1,0,0\nb,1,0,0\n", "one footprint in the file, found 'a, b'"),
        (read_pins, "pin,x_mm,y_mm\n", "one footprint in the file, found 'none'"),
        (read_holes, "hole,x_mm\na,0\n", r"a column named y_mm"),
        (read_holes, "pattern,hole,x_mm,y_mm\np,a,0,0\nq,a,0,0\n", "--pattern NAME chooses one, found 'p, q'"),
        (
            read_holes,
            "hole,x_mm,y_mm,drill_mm,slot_mm\na,0,0,1.2,1\n",
            r"slot_mm\]: expected no less than drill_mm, the slot's width, which is 1.2, found '1'",
        ),
        (read_holes, "hole,x_mm,y_mm,slot_mm\na,0,0,2\n", r"drill_mm\]: expected the slot's width, found 'nothing'"),
        (read_holes, "hole,x_mm,y_mm,slot_angle_deg\na,0,0,90\n", r"slot_angle_deg\]: expected slot_mm beside it"),
        (read_holes, "hole,x_mm,y_mm,drill_mm,slot_mm\na,0,0,1.2,-2\n", r"slot_mm\]: expected a number above 0"),
        (read_holes, "hole,x_mm,y_mm,slot_mn\na,0,0,2\n", "slot_mm"),
        (read_holes, "hole,x_mm,y_mm,view\na,0,0,bottom\n", r"\(bottom: solder\), found 'bottom'"),
        (read_pins, "pin,x_mm,y_mm,view\n1,0,0,Top\n", r"\(top: component\), found 'Top'"),
        (read_opening_stock, "part_number,quantity,unit_cost\nTW2,2,3\nTW3,2,3\n", "a column named currency"),
        (read_opening_stock, "part_number,quantity,unit_cost,currency\nTW2,2,3,\n", "ISO 4217"),
        (read_opening_stock, "part_number,quantity\nTW2,0\n", "above 0"),
        (read_opening_stock, "part_number,quantity\nTIN,5 stone\n", "an amount with its unit, as in 250 g"),
        (read_usage, "date,part_number,quantity\n1.2.2026,A,1\n", "a date such as 2026-11-25 .give the column"),
        (read_levels, "part_number,reorder_point,order_up_to\nA,9,4\n", "not below the reorder point"),
        (json_mapping, '{"id":\n  oops}', r"file.csv:2 \[column 3\]: expected JSON"),
        (json_mapping, "[]", "one problem in braces"),
        (json_mapping, '{"a": NaN}', "found NaN"),
    ],
)
def test_a_wrong_file_is_refused(tmp_path: Path, reader: Callable[[Path], object], text: str, said: str) -> None:
    with pytest.raises(Refused, match=said):
        reader(saved(tmp_path, text))
