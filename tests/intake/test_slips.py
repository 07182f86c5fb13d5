"""Slips of the pen in a user's own files: each is refused where it stands, and what is blank is only not stated."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from bom.intake.board_file import BOARD, BOARD_KEYS, DRIVER, FUNCTION, LOAD, POSITION, REPAIR, SUPPLY, take_board
from bom.intake.catalogue import read_catalogue
from bom.intake.kit_file import KIT, LINE, MARKET, take_kit
from bom.intake.problem_file import json_mapping
from bom.intake.rule_file import read_rule
from bom.intake.shelf_files import read_levels, read_opening_stock, read_usage
from bom.intake.spec_file import read_spec
from bom.intake.supplier_file import FEED, SUPPLIER, read_dated_rates, take_supplier
from bom.values.column import Column, Holds
from bom.values.problem import ProblemsFound, Refused

HOLES = "pattern,hole,x_mm,y_mm,drill_mm,net,view\ntwin,a1,0,0,1.3,DRV,component\ntwin,a2,0,10,1.3,VBAT,component\n"
BOARD_FILE = """
[board]
name = "B-1"
supply = { min_volts = 9, max_volts = 16 }
holes = "holes.csv"
process = ["wash"]
[[position]]
ref = "K1"
pattern = "twin"
driver = { channel_milliamps = 80, polarity = "low side", suppression = "diode" }
[[position.function]]
name = "up"
unit = "A"
contact = "make"
load = { kind = "motor", volts = 14, amps = 2.1, reversing = true, suppression = "none" }
[[repair]]
name = "valve"
positions = ["K1"]
"""
KIT_FILE = """
[kit]
name = "valve"
board = "B-1"
currency = "GBP"
batch = 10
[[line]]
position = "K1"
accept = ["drop-in"]
[[line]]
part = "WIRE-1"
quantity = "0.6 g"
[market]
tax_registered = true
fee_on = "price"
price = 14.90
"""
SUPPLIER_FILE = """
[supplier]
name = "Osmere"
currency = "EUR"
tax_pct = 20
[feed]
file = "list.csv"
columns = { part_number = "Typ" }
breaks = [ { from = 1, column = "Preis" } ]
break_kind = "all units"
"""
RATES_FILE = 'base = "GBP"\ndate = 2025-01-02\nrates = { EUR = 0.87 }\n'
RULE_FILE = '[rule]\nname = "mine"\nsource = "bench log"\ninrush_times = { lamp = [8, 11] }\n'
SPEC_FILE = '[spec]\ncoil_volts = 12\nsealing_at_least = "RT III"\n'
STOCK = "part_number,quantity,unit_cost,currency,date\nTW2,20,3.90,USD,2025-11-04\n"
PROBLEM = '{"id": "t", "price": 1.5, "stock": 10}'
DEEP = "[" * 100_000
SECOND = '[[position]]\nref = "k1"\npattern = "twin"\n'

Reader = Callable[[Path], object]


def saved(folder: Path, text: str) -> Path:
    (folder / "holes.csv").write_text(HOLES, encoding="utf-8")
    file = folder / "file.toml"
    file.write_text(text, encoding="utf-8")
    return file


@pytest.mark.parametrize(
    ("read", "whole", "old", "new", "said"),
    [
        (take_board, BOARD_FILE, '["wash"]', '["wsh"]', "is 'wash' meant?"),
        (take_board, BOARD_FILE, '"diode"', '"dioed"', "is 'diode' meant?"),
        (take_board, BOARD_FILE, '"none"', '"nonne"', "is 'none' meant?"),
        (take_board, BOARD_FILE, '"motor"', '"moter"', "is 'motor' meant?"),
        (take_board, BOARD_FILE, '"make"', '"mak"', "is 'make' meant?"),
        (take_board, BOARD_FILE, '"low side"', '"low sied"', "is 'low side' meant?"),
        (take_board, BOARD_FILE, "reversing", "reversng", "is 'reversing' meant?"),
        (take_board, BOARD_FILE, "process =", "proces =", "is 'process' meant?"),
        (take_board, BOARD_FILE, "amps = 2.1", "amps = 2.1, stall_amps = 2", "no less than the running amps"),
        (take_board, BOARD_FILE, "amps = 2.1", "amps = 2.1, inrush_amps = 0.2", "no less than the running amps"),
        (take_board, BOARD_FILE, 'suppression = "none"', 'suppression = "diode"', "a reversing load shorts through"),
        (take_board, BOARD_FILE, "min_volts = 9", "min_volts = 19", "at most max_volts, which is 16"),
        (
            take_board,
            BOARD_FILE,
            "[[repair]]",
            '[[position]]\nref = "k1"\npattern = "twin"\n[[repair]]',
            "each ref once",
        ),
        (take_board, BOARD_FILE, '"B-1"', '"B:1"', "a name without ':' or '='"),
        (take_board, BOARD_FILE, '"K1"\npattern', '"K=1"\npattern', "a name without ':' or '='"),
        (take_board, BOARD_FILE, '"B-1"', '"-B1"', "without '-' before it"),
        (take_board, BOARD_FILE, "amps = 2.1", "amps = 1e-308", "of a likely size"),
        (take_board, BOARD_FILE, "amps = 2.1", "amps = 1e25", "of a likely size"),
        (take_board, BOARD_FILE, "amps = 2.1", "amps = 1e9999999", "of a likely size"),
        (take_board, BOARD_FILE, "amps = 2.1", "amps = 1e99999999999999999999", "a number"),
        (take_board, BOARD_FILE, "amps = 2.1", "amps = 99999999999999999999", "of a likely size"),
        (take_board, BOARD_FILE, "amps = 2.1", f"amps = {'9' * 5000}", "TOML numbers"),
        (take_board, BOARD_FILE, "amps = 2.1", "amps = inf", "a number"),
        (take_board, BOARD_FILE, "amps = 2.1", "amps = nan", "a number"),
        (take_board, BOARD_FILE, "amps = 2.1", 'amps = "2.1 V"', "a current"),
        (take_board, BOARD_FILE, '["K1"]', DEEP, "TOML"),
        (take_kit, KIT_FILE, '["drop-in"]', '["dropn"]', "is 'drop-in' meant?"),
        (take_kit, KIT_FILE, '"valve"', '"X=9"', "a name without ':' or '='"),
        (take_kit, KIT_FILE, '"price"', '"prise"', "is 'price' meant?"),
        (take_kit, KIT_FILE, "batch = 10", "batch = 99999999999999999999", "of a likely size"),
        (take_kit, KIT_FILE, '"0.6 g"', '"1e25 g"', "of a likely size"),
        (take_kit, KIT_FILE, "14.90", "1e25", "of a likely size"),
        (take_kit, KIT_FILE, "price = 14.90", "prise = 14.90", "is 'price' meant?"),
        (take_supplier, SUPPLIER_FILE, '"Osmere"', '"Os=mere"', "a name without ':' or '='"),
        (take_supplier, SUPPLIER_FILE, '"all units"', '"al units"', "is 'all units' meant?"),
        (take_supplier, SUPPLIER_FILE, "tax_pct = 20", "tax_pct = 2000", "up to 100"),
        (take_supplier, SUPPLIER_FILE, "part_number", "part_nuber", "is 'part_number' meant?"),
        (read_dated_rates, RATES_FILE, "2025-01-02", "2999-01-02", "a day that has come"),
        (read_dated_rates, RATES_FILE, "EUR", "EUX", "is EUR meant?"),
        (read_dated_rates, RATES_FILE, "0.87", "1e-308", "of a likely size"),
        (read_rule, RULE_FILE, "lamp =", "lapm =", "is 'lamp' meant?"),
        (read_rule, RULE_FILE, "[8, 11]", "[8, 1e25]", "of a likely size"),
        (read_spec, SPEC_FILE, "coil_volts", "coil_vlts", "coil_volts"),
        (read_spec, SPEC_FILE, "= 12", "= 1e25", "of a likely size"),
        (read_opening_stock, STOCK, "20", "1e25", "of a likely size"),
        (read_opening_stock, STOCK, "20", "1e99999999999999999999", "a number"),
        (read_opening_stock, STOCK, "3.90", "nan", "a number"),
        (read_opening_stock, STOCK, "unit_cost", "unit_csot", "is 'unit_cost' meant?"),
        (read_opening_stock, STOCK, "USD", "US", "an ISO 4217 currency code"),
        (json_mapping, PROBLEM, "1.5", "1e-308", "of a likely size"),
        (json_mapping, PROBLEM, "1.5", "1e99999999999999999999", "of a likely size"),
        (json_mapping, PROBLEM, "10", "9" * 5000, "of a likely size"),
        (json_mapping, PROBLEM, "10", DEEP, "a few deep"),
    ],
)
def test_a_slip_is_refused(tmp_path: Path, read: Reader, whole: str, old: str, new: str, said: str) -> None:
    assert old in whole and read(saved(tmp_path, whole))
    with pytest.raises(Refused) as refused:
        read(saved(tmp_path, whole.replace(old, new, 1)))
    assert said in str(refused.value)
    assert all(len(line) < 400 for line in str(refused.value).splitlines())


RELAYS = "maker,part_number,coil_volts,coil_ohms,sealing\nOstrel,TW2,12,240,RT III\n"


@pytest.mark.parametrize("cell", ["1e25", "1e-308", "9" * 20, "nan", "inf"])
def test_a_figure_of_no_likely_size_is_refused_in_a_catalogue(tmp_path: Path, cell: str) -> None:
    for name, text in (
        ("relays.csv", RELAYS.replace("240", cell)),
        ("ratings.csv", "applies_to,contact,load,supply,volts\n"),
    ):
        (tmp_path / name).write_text(text, encoding="utf-8")
    with pytest.raises(ProblemsFound) as refused:
        read_catalogue(tmp_path)
    assert "relays.csv:2 [coil_ohms]: expected a number" in str(refused.value)


TABLES: Mapping[str, tuple[Reader, str, Mapping[str, Column]]] = {
    "[board]": (take_board, BOARD_FILE, BOARD),
    "supply = {": (take_board, BOARD_FILE, SUPPLY),
    "[[position]]": (take_board, BOARD_FILE, POSITION),
    "driver = {": (take_board, BOARD_FILE, DRIVER),
    "[[position.function]]": (take_board, BOARD_FILE, FUNCTION),
    "load = {": (take_board, BOARD_FILE, LOAD),
    "[[repair]]": (take_board, BOARD_FILE, REPAIR),
    "[kit]": (take_kit, KIT_FILE, KIT),
    "[[line]]": (take_kit, KIT_FILE, LINE),
    "[market]": (take_kit, KIT_FILE, MARKET),
    "[supplier]": (take_supplier, SUPPLIER_FILE, SUPPLIER),
    "[feed]": (take_supplier, SUPPLIER_FILE, FEED),
}


@pytest.mark.parametrize("head", TABLES)
def test_a_text_left_blank_is_not_stated_and_one_that_is_needed_is_asked_for(tmp_path: Path, head: str) -> None:
    read, whole, keys = TABLES[head]
    for key, column in keys.items():
        if column.holds in (Holds.TEXT, Holds.NAME, Holds.WORD) and f"{key} = " not in whole:
            blank = f'{head} {key} = "",' if head.endswith("{") else f'{head}\n{key} = ""'
            assert read(saved(tmp_path, whole.replace(head, blank, 1))), key
        elif column.needed:
            lost = whole.replace(f"{key} = ", f"note_{key} = ", 1)
            with pytest.raises(ProblemsFound, match=key):
                read(saved(tmp_path, lost))


@pytest.mark.parametrize(
    ("read", "text"),
    [
        (read_usage, "date,part_number,quantity,reason\n2025-11-07,TW2,2,\n"),
        (read_opening_stock, "part_number,quantity,maker,drawer,lot,unit_cost,currency,date,expires\nTW2,2,,,,,,,\n"),
        (read_levels, "part_number,reorder_point,order_up_to\nTW2,,\n"),
    ],
)
def test_an_empty_cell_of_the_shelf_is_not_stated(tmp_path: Path, read: Reader, text: str) -> None:
    assert read(saved(tmp_path, text))


def test_every_key_of_a_board_is_explained_with_an_example_that_it_takes() -> None:
    for path, column in BOARD_KEYS.items():
        assert column.meaning.endswith(".") and column.example, path
        if column.holds in (Holds.NUMBER, Holds.WHOLE, Holds.WORD, Holds.NAME):
            assert column.read(column.example) is not None, path
