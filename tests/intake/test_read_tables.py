"""Board, kit, supplier, rates and spec files: TOML taken by the contract's keys, and refused with the line and key."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest

from bom.boards.board import PROCESSES
from bom.fit.check import PROCESS_NEEDS
from bom.intake.board_file import take_board
from bom.intake.kit_file import take_kit
from bom.intake.spec_file import read_spec
from bom.intake.supplier_file import read_dated_rates, take_supplier
from bom.relays.relay import Sealing, SupplyKind
from bom.relays.wiring import Kind
from bom.values.money import Money
from bom.values.problem import ProblemsFound

BOARD = """
[board]
name = "OS-3"
supply = { code = "C" }
lid_clearance_mm = 14.8
holes = "holes.csv"
process = ["wash"]

[[position]]
ref = "K1"
pattern = "twin"
driver = { channel_milliamps = 80, polarity = "low side" }

[[position.function]]
name = "valve opens"
unit = "A"
contact = "make"
load = { kind = "motor", volts = 14, amps = 2.1, reversing = true }

[[position.function]]
name = "valve closes"
unit = "B"
contact = "break"
load = { kind = "motor" }

[[repair]]
name = "valve drive"
positions = ["K1"]
"""
HOLES = "pattern,hole,x_mm,y_mm,drill_mm,net,view\ntwin,a1,0,0,1.3,DRV,component\ntwin,a2,0,10,1.3,VBAT,component\n"
KIT = """
[kit]
name = "valve kit"
board = "OS-3"
currency = "GBP"
batch = 10
attrition_pct = 2
[[line]]
position = "K1"
[[line]]
part = "SAC"
quantity = "0.6 g"
[packing]
cost = 0.45
postage = 3.35
[market]
tax_registered = true
fee_pct = 12.8
fee_fixed = 0.30
price = 14.90
"""
SUPPLIER = """
[supplier]
name = "Osmere"
currency = "EUR"
shipping = { fee = 6.50, free_from = 60.00 }
[feed]
url = "https://example.invalid/list.csv"
delimiter = ";"
decimal = ","
columns = { part_number = "Typ" }
breaks = [ { from = 10, column = "Preis 10" }, { from = 1, column = "Preis 1" } ]
"""
RATES = """
[[rate]]
base = "GBP"
date = 2026-11-02
rates = { EUR = 0.87 }
[[rate]]
base = "GBP"
date = "2026-10-05"
rates = { EUR = 0.866 }
"""
SPEC = '[spec]\ncoil_volts = "12 V"\nmin_operate_ms = 3\nsealing_at_least = "RT III"\nunits = 2\n'


def saved(folder: Path, text: str) -> Path:
    (folder / "holes.csv").write_text(HOLES)
    path = folder / "file.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_board_is_read_with_its_holes(tmp_path: Path) -> None:
    board = take_board(saved(tmp_path, BOARD)).value
    assert (board.supply.min_volts, board.supply.max_volts, board.lid_clearance_mm) == (9.0, 16.0, 14.8)
    position = board.position("K1")
    assert position is not None and position.driver is not None
    assert position.driver.channel_milliamps == 80
    assert [f.contact for f in position.functions] == [Kind.MAKE, Kind.BREAK]
    assert position.functions[0].load.stall_amps is None
    pattern = board.pattern_of(position)
    assert pattern is not None and {h.name: h.net for h in pattern.holes}["a2"] == "VBAT"


@pytest.mark.parametrize(("line", "process"), [('process = ["wash"]', ("wash",)), ("process = []", ()), ("", None)])
def test_an_empty_list_says_that_a_board_goes_through_nothing(
    tmp_path: Path, line: str, process: tuple[str, ...] | None
) -> None:
    assert take_board(saved(tmp_path, BOARD.replace('process = ["wash"]', line))).value.process == process


def test_stated_volts_take_the_place_of_a_codes(tmp_path: Path) -> None:
    text = BOARD.replace('{ code = "C" }', '{ code = "C", max_volts = 14.4 }')
    supply = take_board(saved(tmp_path, text)).value.supply
    assert (supply.min_volts, supply.max_volts, supply.code) == (9.0, 14.4, "C")


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("amps = 2.1", "amps = 2.1, power_factor = 7", "up to 1"),
        ("amps = 2.1", "amps = 1e400", "a number"),
        ("amps = 2.1", "amps = 32, stall_amps = 14", "no less than the running amps, which are 32, found '14'"),
        ("amps = 2.1", "amps = 2.1, mixed = { lamp = 2 }", 'kind = "mixed"'),
        ('kind = "motor"', 'kind = "AC-15", supply = "dc"', "ac, which AC-15 is for"),
        ("lid_clearance_mm = 14.8", "ambient_min_c = -300", "not below -100 °C"),
    ],
)
def test_what_no_load_or_place_can_be_is_refused(tmp_path: Path, old: str, new: str, expected: str) -> None:
    assert old in BOARD
    with pytest.raises(ProblemsFound, match=expected):
        take_board(saved(tmp_path, BOARD.replace(old, new)))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("lid_clearance_mm = 14.8", 'ambient_min_c = "-20"'),
        ("amps = 2.1", "amps = 32, stall_amps = 14"),
        ('name = "valve opens"', "name = 0"),
    ],
)
def test_one_slip_is_one_problem(tmp_path: Path, old: str, new: str) -> None:
    with pytest.raises(ProblemsFound) as refused:
        take_board(saved(tmp_path, BOARD.replace(old, new)))
    assert len(refused.value.problems) == 1


def test_a_loads_category_tells_its_supply(tmp_path: Path) -> None:
    board = take_board(saved(tmp_path, BOARD.replace('kind = "motor"', 'kind = "AC-15"'))).value
    assert board.positions[0].functions[0].load.supply is SupplyKind.AC


def test_an_unknown_key_is_refused_with_its_line_and_the_nearest_known_one(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound) as refused:
        take_board(saved(tmp_path, BOARD.replace("amps = 2.1", "ampere = 2.1")))
    (told,) = map(str, refused.value.problems)
    assert told.startswith(
        "file.toml:18 [position[1].function[1].load.ampere]: expected a key that is read here (is 'amps"
    )


def test_a_key_that_begins_with_note_is_free_text(tmp_path: Path) -> None:
    noted = BOARD.replace("amps = 2.1", 'amps = 2.1, note_amps = "by clamp meter"')
    assert take_board(saved(tmp_path, noted)).value == take_board(saved(tmp_path, BOARD)).value
    with pytest.raises(ProblemsFound, match="free text in quotes"):
        take_board(saved(tmp_path, BOARD.replace("amps = 2.1", "note_amps = 2.1")))


def test_keys_and_columns_of_ones_own_are_left_out_by_naming_them(tmp_path: Path) -> None:
    own = 'leave_out = ["colour", "Rack", "pad"]\n' + BOARD.replace(
        'name = "OS-3"', 'name = "OS-3"\ncolour = 1\nrack = "B"'
    )
    file = saved(tmp_path, own)
    (tmp_path / "holes.csv").write_text(HOLES.replace("net,view", "net,view,pad").replace("component", "component,x"))
    assert take_board(file).value.name == "OS-3"


@pytest.mark.parametrize("name", ["lid_clearance_mm", "colour"])
def test_what_is_read_or_not_there_cannot_be_left_out(tmp_path: Path, name: str) -> None:
    text = BOARD.replace('name = "OS-3"', f'leave_out = ["{name}"]\nname = "OS-3"')
    with pytest.raises(
        ProblemsFound, match=f"file.toml:3: expected a column or key of your own that is there, found '{name}'"
    ):
        take_board(saved(tmp_path, text))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('["wash"]', '["Washing"]'),
        ('"break"', '"NC"'),
        ('"make"', '"Normally Open"'),
        ('"low side"', '"Low-Side"'),
        ('kind = "motor"', 'kind = "Motor"'),
        ('code = "C"', 'code = "c"'),
    ],
)
def test_the_trades_other_names_are_read(tmp_path: Path, old: str, new: str) -> None:
    assert old in BOARD
    assert take_board(saved(tmp_path, BOARD.replace(old, new))).value == take_board(saved(tmp_path, BOARD)).value


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ('[kit]\nname = "a"\ncurrency = "GBP"\n\n[extra]\nx = 1\n', 5),
        ('top = 1\n[kit]\nname = "a"\ncurrency = "GBP"\n', 1),
        ('[kit]\nname = "a"\ncurrency = "GBP"\n[[extra]]\nx = 1\n', 4),
        ('[kit]\nname = "a"\ncurrency = "GBP"\n[kit.extra.deep]\nx = 1\n', 4),
        ('[kit]\nname = "a"\ncurrency = "GBP"\nextra = 1\n', 4),
    ],
)
def test_an_unknown_table_or_key_is_refused_where_it_stands(tmp_path: Path, text: str, line: int) -> None:
    file = tmp_path / "t.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(ProblemsFound) as refused:
        take_kit(file)
    assert [problem.line for problem in refused.value.problems] == [line]


def test_a_kit_carries_units_and_money(tmp_path: Path) -> None:
    kit = take_kit(saved(tmp_path, KIT)).value
    assert [(line.quantity, line.unit) for line in kit.lines] == [(1, "piece"), (Decimal("0.6"), "g")]
    assert kit.market is not None and kit.market.price == Money.of("14.90", "GBP")
    assert kit.packing is not None and kit.packing.postage == Money.of("3.35", "GBP")


def test_a_supplier_may_have_a_feed(tmp_path: Path) -> None:
    supplier, feed = take_supplier(saved(tmp_path, SUPPLIER)).value
    assert supplier.free_from == Money.of(60, "EUR")
    assert feed is not None and feed.break_columns == ((1, "Preis 1"), (10, "Preis 10"))
    assert take_supplier(saved(tmp_path, SUPPLIER.split("[feed]")[0])).value[1] is None


def test_a_feed_file_lies_beside_the_supplier_file(tmp_path: Path) -> None:
    text = SUPPLIER.replace('url = "https://example.invalid/list.csv"', 'file = "list.csv"')
    feed = take_supplier(saved(tmp_path, text)).value[1]
    assert feed is not None and feed.file == str((tmp_path / "list.csv").resolve())


def test_the_newest_rates_count(tmp_path: Path) -> None:
    path = saved(tmp_path, RATES)
    assert read_dated_rates(path)[-1].to_base("EUR") == Decimal("0.87")
    assert [r.day.month for r in read_dated_rates(path)] == [10, 11]


def test_a_single_table_of_rates_needs_no_heading(tmp_path: Path) -> None:
    path = saved(tmp_path, 'base = "GBP"\ndate = 2026-11-02\nrates = { EUR = 0.87 }\n')
    assert read_dated_rates(path)[-1].to_base("USD") is None


def test_a_spec_may_name_the_supply_and_what_callipers_find(tmp_path: Path) -> None:
    text = '[spec]\nload_supply = "ac"\npin_pitch_mm = "0.1 in"\npins_long_mm = 17.8\npitch_tolerance_mm = 0.3\n'
    bounds = read_spec(saved(tmp_path, text))
    assert bounds["load_supply"] is SupplyKind.AC and bounds["pins_long_mm"] == 17.8
    assert bounds["pin_pitch_mm"] == pytest.approx(2.54) and bounds["pitch_tolerance_mm"] == 0.3


def test_a_spec_gives_typed_bounds(tmp_path: Path) -> None:
    assert read_spec(saved(tmp_path, SPEC)) == {
        "coil_volts": 12.0,
        "min_operate_ms": 3.0,
        "sealing_at_least": Sealing.RT_III,
        "units": 2,
    }


@pytest.mark.parametrize(
    ("reader", "text", "old", "new", "said"),
    [
        (take_board, BOARD, 'name = "OS-3"', "name = OS-3", "file.toml:3 [column 8]: expected TOML"),
        (take_board, BOARD, 'code = "C"', 'code = "J"', "file.toml:4 [board.supply.code]"),
        (take_board, BOARD, "14.8", '"14,8"', "[board.lid_clearance_mm]: expected a number without quotes"),
        (take_board, BOARD, "14.8", "nan", "[board.lid_clearance_mm]: expected a number"),
        (take_board, BOARD, '["wash"]', '"wash"', "[board.process]: expected a list of texts"),
        (take_board, BOARD, 'pattern = "twin"', 'pattern = "trio"', "file.toml:11 [position[1].pattern]"),
        (take_board, BOARD, '"low side"', '"sideways"', "low side | high side | both ways"),
        (take_board, BOARD, '"break"', '"open"', "file.toml:23 [position[1].function[2].contact]"),
        (take_board, BOARD, '["K1"]', '["K1", "K9"]', "[repair[1].positions]"),
        (take_board, BOARD, '"holes.csv"', '"../holes.csv"', "beside the board file"),
        (take_board, BOARD, '"holes.csv"', '"none.csv"', "none.csv: expected a file that can be read"),
        (take_kit, KIT, '"0.6 g"', '"0.6 V"', "file.toml:12 [line[2].quantity]"),
        (take_kit, KIT, 'part = "SAC"', 'part = "SAC"\nkit = "x"', "exactly one of position, part, kit"),
        (take_kit, KIT, 'part = "SAC', 'parts = "SAC', "[line] 2: expected exactly one of position, part, kit"),
        (take_kit, KIT, '"GBP"', '"pounds"', "file.toml:5 [kit.currency]: expected an ISO 4217"),
        (take_kit, KIT, "price = 14.90", "price = 14.90\nmargin_pct = 25", "either price or margin_pct"),
        (take_kit, KIT, "batch = 10", "batch = 0", "not below 1"),
        (take_kit, KIT, 'board = "OS-3"', "", "a board under [kit]"),
        (take_supplier, SUPPLIER, "https://", "http://", "[feed.url]: expected an https address"),
        (take_supplier, SUPPLIER, 'decimal = ","', 'decimal = "x"', ". | ,"),
        (take_supplier, SUPPLIER, 'delimiter = ";"', 'encoding = "klingon"', "a text encoding"),
        (take_supplier, SUPPLIER, "part_number", "maker", "the header of the part number column"),
        (take_supplier, SUPPLIER, "fee = 6.50", "fee = -1", "[supplier.shipping.fee]"),
        (read_dated_rates, RATES, "0.87", "0", "[rate[1].rates.EUR]: expected a number above 0"),
        (read_dated_rates, RATES, "2026-11-02", '"soon"', "expected a date"),
        (read_dated_rates, RATES, "2026-11-02", "2999-01-01", "[rate[1].date]: expected a day that has come"),
        (read_spec, SPEC, "min_operate_ms", "min_operate_time", "(is 'min_operate_ms' meant?)"),
        (read_spec, SPEC, '"12 V"', '"12 A"', "[spec.coil_volts]"),
        (read_spec, SPEC, "units = 2", "units = 1.5", "a whole number"),
    ],
)
def test_a_wrong_value_is_refused_with_its_key(
    tmp_path: Path, reader: Callable[[Path], object], text: str, old: str, new: str, said: str
) -> None:
    assert old in text
    with pytest.raises(ProblemsFound) as caught:
        reader(saved(tmp_path, text.replace(old, new, 1)))
    assert said in str(caught.value)


def test_every_process_that_a_board_may_name_is_judged() -> None:
    assert set(PROCESSES.words) == set(PROCESS_NEEDS)
