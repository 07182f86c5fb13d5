"""Tables as pasted text: found, headed, told apart, and held against themselves where they state a thing twice."""

from __future__ import annotations

import pytest

from bom.intake.data_sheet.printed import lines_of_text, tables_in
from bom.intake.data_sheet.reading import ReadTable, SheetRead, read_tables

COILS = """
Coil data, DC (at 20 °C)

Coil   Nominal    Coil         Must operate  Must release  Power
code   voltage    resistance   voltage       voltage       (mW)
       (VDC)      (ohm) ±10 %  (VDC)         (VDC)
06     6          60           4.2           0.6           600
12     12         240          8.4           1.2           600
24     24         960          16.8          2.4           600
"""


def read(text: str) -> SheetRead:
    return read_tables(tuple(tables_in(lines_of_text(text), "pasted text")))


def coils(text: str) -> ReadTable:
    (table,) = read(text).coils
    return table


def figures(table: ReadTable, column: str) -> list[str]:
    return [row.figures[column].value for row in table.rows]


def test_a_table_of_plain_text_is_read_with_its_split_headings() -> None:
    table = coils(COILS)
    assert table.columns == ("code", "coil_volts", "coil_ohms", "operate_volts", "release_volts", "coil_milliwatts")
    assert figures(table, "code") == ["06", "12", "24"] and figures(table, "operate_volts") == ["4.2", "8.4", "16.8"]
    shared = {name: figure.value for name, figure in table.shared.items()}
    assert shared == {"coil_ohms_tol_pct": "10", "coil_ref_temp_c": "20", "coil_supply": "dc"}
    assert (table.read, table.doubtful, table.unread) == (18, 0, ())


@pytest.mark.parametrize("sign", ["\t", " | "])
def test_tabs_and_bars_part_cells_too(sign: str) -> None:
    rows = [
        ["Code", "Nominal voltage (V)", "Coil resistance (ohm)", "Weight (g)"],
        ["A", "12", "240", "9"],
        ["B", "24", "", "9"],
        ["C", "48", "3840", "9"],
    ]
    table = coils("\n".join(sign.join(row) for row in rows))
    assert figures(table, "coil_ohms") == ["240", "", "3840"] and table.unread == ("Weight (g)",)


def test_every_figure_keeps_the_pages_words_and_its_place() -> None:
    row = coils(COILS).rows[1]
    assert row.where == "pasted text, table 1, row 5"
    assert row.printed == ("12", "12", "240", "8.4", "1.2", "600") and row.figures["coil_ohms"].printed == "240"


@pytest.mark.parametrize(
    ("was", "put", "doubted", "said"),
    [
        ("240 ", "420 ", {"coil_ohms", "coil_milliwatts"}, "12 V and 420 Ω take 342.9 mW, and the page has 600 mW"),
        ("8.4 ", "0.84", {"operate_volts", "release_volts"}, "release volts 1.2 V above operate volts 0.84 V"),
        ("8.4 ", "84  ", {"operate_volts", "coil_volts"}, "operate volts 84 V above coil volts 12 V"),
        ("240 ", "24O ", {"coil_ohms"}, "not one plain figure in Ω"),
    ],
)
def test_figures_that_disagree_are_left_out_with_both_told(was: str, put: str, doubted: set[str], said: str) -> None:
    table = coils(COILS.replace(was, put))
    row = table.rows[1]
    assert {name for name, f in row.figures.items() if f.doubt} == doubted
    assert all(not row.figures[name].value for name in doubted) and any(said in doubt for doubt in row.doubts)
    assert not table.rows[0].doubts and not table.rows[2].doubts


def test_a_percentage_in_the_heading_is_held_against_the_volts() -> None:
    text = """
Code   Nominal (VDC) voltage   Resistance (ohm)   Must operate voltage (75 % of nominal)
A      12                      240                9.0
B      24                      960                18.5
C      48                      3840               -
"""
    table = coils(text)
    assert figures(table, "operate_volts") == ["9.0", "", "75 %"]
    assert "75 % of 24 V would be 18 V" in table.rows[1].figures["operate_volts"].doubt


def test_the_tolerance_beside_a_figure_is_a_column_of_its_own() -> None:
    text = """
Code   Nominal voltage (VDC)   Coil resistance (ohm)
A      12                      240 ±10 %
B      24                      960 ±15 %
"""
    assert figures(coils(text), "coil_ohms_tol_pct") == ["10", "15"]


def test_a_contact_table_is_read_with_its_words() -> None:
    text = """
Contact   Load        Voltage     Current (A)   Operations
NO        resistive   14 VDC      20            1×10^5
NC        resistive   14 VDC      10            100,000
NO        lamps       250 V AC    5             50,000
"""
    (table,) = read(text).contacts
    assert figures(table, "contact") == ["make", "break", "make"]
    assert figures(table, "supply") == ["dc", "dc", "ac"] and figures(table, "load") == [
        "resistive",
        "resistive",
        "lamp",
    ]
    assert figures(table, "operations") == ["100000", "100000", "50000"]


def test_a_word_that_is_not_known_is_doubtful() -> None:
    text = """
Contact   Load      Voltage (VDC)   Current (A)
NO        heaters   14              20
NC        motor     14              10
"""
    (table,) = read(text).contacts
    assert figures(table, "load") == ["", "motor"] and table.doubtful == 1


def test_a_table_with_its_headings_at_the_side_is_turned() -> None:
    text = """
Coil code                A     B     C
Nominal voltage (VDC)    6     12    24
Coil resistance (ohm)    60    240   960
"""
    table = coils(text)
    assert figures(table, "coil_volts") == ["6", "12", "24"] and figures(table, "coil_ohms") == ["60", "240", "960"]


@pytest.mark.parametrize(
    "text",
    [
        "Mass (g)   Length (mm)\n12   18\n13   19\n",
        "Operating voltage (V)   Resistance\n12   240\n24   960\n",
        "Voltage (V)   Current (A)\n12   2\n24   3\n",
        "Rated voltage (V)   Rated current (A)   Load   Resistance (ohm)\n12   2   motor   240\n24   3   motor   960",
        "no table here, and nothing to read",
    ],
)
def test_what_may_be_either_or_neither_is_not_read(text: str) -> None:
    found = read(text)
    assert not found.coils and not found.contacts


def test_a_cell_that_lies_over_two_columns_leaves_its_row_out() -> None:
    text = """
Code   Nominal voltage (VDC)   Coil resistance (ohm)   Must operate voltage (VDC)
A      12                      240                     8.4
B      24                      960  to  1000 as ordered, 16.8
C      48                      3840                    33.6
"""
    table = coils(text)
    assert figures(table, "coil_ohms") == ["240", "", "3840"] and figures(table, "operate_volts")[1] == ""


def test_two_headings_of_one_meaning_are_read_by_neither() -> None:
    text = """
Code   Nominal voltage (VDC)   Coil resistance (ohm)   Resistance (ohm)
A      12                      240                     250
B      24                      960                     980
"""
    table = coils(text)
    assert table.columns == ("code", "coil_volts")
    assert table.unread == ("Coil resistance (ohm)", "Resistance (ohm)")


def test_a_part_number_that_a_spreadsheet_broke_is_doubtful() -> None:
    text = """
Type      Nominal voltage (VDC)   Coil resistance (ohm)
03-Dec    12                      240
04-Dec    24                      960
"""
    assert figures(coils(text), "code") == ["", ""]
