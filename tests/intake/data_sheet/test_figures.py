"""A printed cell is a figure as it stands, or a doubt with its reason; nothing between."""

from __future__ import annotations

import pytest

from bom.intake.data_sheet.figures import Marks, figure_in, marks_in, plain
from bom.intake.data_sheet.headings import COIL_WORDS, CONTACT_WORDS, heading_of
from bom.relays.relay import Rating, Relay
from bom.values.column import Column, described

COLUMNS: dict[str, Column] = {**described(Rating), **described(Relay)}


@pytest.mark.parametrize(
    ("cell", "column", "unit", "value"),
    [
        ("8.4", "operate_volts", "V", "8.4"),
        ("≤ 8.4 V", "operate_volts", "", "8.4"),
        ("8.4 max.", "operate_volts", "V", "8.4"),
        ("1.2 min", "release_volts", "V", "1.2"),
        ("240 ±10 %", "coil_ohms", "Ω", "240"),
        ("4.7 kΩ", "coil_ohms", "", "4700"),
        ("1.20", "release_volts", "V", "1.20"),
        ("75 %", "operate_volts", "V", "75 %"),
        ("75", "operate_volts", "%", "75 %"),
        ("8.4 *1", "operate_volts", "V", "8.4"),
        ("8.4^1", "operate_volts", "V", "8.4"),
        ("8.4^*", "operate_volts", "V", "8.4"),
        ("8.4 1)", "operate_volts", "V", "8.4"),
        ("−40", "temp_min_c", "°C", "-40"),
        ("14 VDC", "volts", "", "14"),
        ("1×10^5", "operations", "", "100000"),
        ("10^7", "mechanical_ops", "", "1e+07"),
        ("100,000", "mechanical_ops", "", "100000"),
        ("100.000", "mechanical_ops", "", "100000"),
        ("1,000,000", "coil_ohms", "Ω", "1000000"),
        ("36.6 mA", "amps", "A", "0.0366"),
    ],
)
def test_a_figure_is_read(cell: str, column: str, unit: str, value: str) -> None:
    found = figure_in(cell, COLUMNS[column], unit, Marks.POINT)
    assert (found.value, found.doubt, found.printed) == (value, "", cell.replace("−", "-"))


@pytest.mark.parametrize("cell", ["", "-", "–", "—", "n/a", "N.A."])
def test_nothing_stated_is_neither_a_figure_nor_a_doubt(cell: str) -> None:
    found = figure_in(cell, COLUMNS["coil_ohms"], "Ω", Marks.POINT)
    assert (found.value, found.doubt) == ("", "")


@pytest.mark.parametrize(
    ("cell", "column", "unit", "doubt"),
    [
        ("≥ 8.4", "operate_volts", "V", "a limit the other way"),
        ("1.2 max.", "release_volts", "V", "a limit the other way"),
        ("240", "coil_ohms", "", "does not say that it is in Ω"),
        ("240 W", "coil_ohms", "", "not one plain figure in Ω"),
        ("8.4 … 9", "operate_volts", "V", "not one plain figure in V"),
        ("12 / 24", "coil_volts", "V", "not one plain figure in V"),
        ("12 24", "coil_volts", "V", "not one plain figure in V"),
        ("2 4 0", "coil_ohms", "Ω", "not one plain figure in Ω"),
        ("O.5", "coil_volts", "V", "no figure"),
        ("on request", "coil_volts", "V", "no figure"),
        ("(cid:23)2", "coil_volts", "V", "no figure"),
        ("approx. 240", "coil_ohms", "Ω", "no figure"),
        ("-12", "coil_volts", "V", "a number above 0"),
        ("8.4.1", "coil_volts", "V", "no plain number"),
        ("1.2.3,4", "coil_volts", "V", "no plain number"),
    ],
)
def test_what_may_mean_something_else_is_doubtful(cell: str, column: str, unit: str, doubt: str) -> None:
    found = figure_in(cell, COLUMNS[column], unit, Marks.POINT)
    assert found.value == "" and doubt in found.doubt


@pytest.mark.parametrize(
    ("number", "marks", "value"),
    [
        ("1,200", Marks.POINT, "1200"),
        ("1,200", Marks.COMMA, "1.200"),
        ("1,200", Marks.UNTOLD, ""),
        ("1.200", Marks.POINT, "1.200"),
        ("1.200", Marks.COMMA, ""),
        ("1.200", Marks.UNTOLD, ""),
        ("8,4", Marks.COMMA, "8.4"),
        ("8,4", Marks.MIXED, ""),
        ("8.4", Marks.MIXED, ""),
        ("0,5", Marks.UNTOLD, ""),
        ("1,234.5", Marks.POINT, "1234.5"),
    ],
)
def test_a_comma_is_decimal_only_where_the_table_shows_it(number: str, marks: Marks, value: str) -> None:
    read, doubt = plain(number, marks)
    assert read == value and bool(doubt) is not bool(value)


@pytest.mark.parametrize(
    ("cells", "marks"),
    [
        (["8.4", "240"], Marks.POINT),
        (["8,4", "240"], Marks.COMMA),
        (["1,200", "240"], Marks.UNTOLD),
        (["8,4", "9.6"], Marks.MIXED),
        (["0,125"], Marks.COMMA),
        (["1,234.5"], Marks.UNTOLD),
    ],
)
def test_the_table_shows_what_its_marks_mean(cells: list[str], marks: Marks) -> None:
    assert marks_in(cells) is marks


@pytest.mark.parametrize(
    ("heading", "column", "unit"),
    [
        ("Coil resistance (Ω ±10 %)", "coil_ohms", "Ω"),
        ("Coil resistance, kΩ", "coil_ohms", "kΩ"),
        ("Resistance at 20 °C, ohm", "coil_ohms", "Ω"),
        ("Must operate voltage (VDC)", "operate_volts", "V"),
        ("Pick-up voltage VDC (max.)", "operate_volts", "V"),
        ("Pull-in voltage max. (V)", "operate_volts", "V"),
        ("Drop-out voltage min. [V]", "release_volts", "V"),
        ("Release voltage (% of nominal)", "release_volts", "%"),
        ("Coil voltage (VDC) Nominal", "coil_volts", "V"),
        ("Max. voltage (V)*1", "coil_max_volts", "V"),
        ("Power consumption (mW)", "coil_milliwatts", "mW"),
        ("Order code", "code", ""),
        ("Operating voltage (V)", "", "V"),
        ("Nominal", "", ""),
        ("Weight (g)", "", ""),
        ("Coil resistance (75 % of nominal)", "", ""),
    ],
)
def test_a_heading_of_a_coil_table_is_known_by_the_trades_words(heading: str, column: str, unit: str) -> None:
    found = heading_of(heading, COIL_WORDS)
    assert (found.column, found.unit) == (column, unit)


def test_a_heading_says_more_than_its_column() -> None:
    ohms = heading_of("Coil resistance (Ω ±10 %) at 20 °C *2", COIL_WORDS)
    assert (ohms.tolerance, ohms.at_c, ohms.notes) == ("10", "20", ("*2",))
    operate = heading_of("Must operate voltage (75% of nominal)", COIL_WORDS)
    assert (operate.column, operate.share) == ("operate_volts", "75")
    assert heading_of("Rated voltage (V DC)", COIL_WORDS).supply == "dc"


@pytest.mark.parametrize(
    ("heading", "column"),
    [
        ("Contact form", "contact"),
        ("Type of load", "load"),
        ("Switching voltage (VDC)", "volts"),
        ("Rated current (A)", "amps"),
        ("Number of operations", "operations"),
        ("cos φ", "power_factor"),
        ("L/R (ms)", "lr_ms"),
    ],
)
def test_a_heading_of_a_contact_table_is_known_too(heading: str, column: str) -> None:
    assert heading_of(heading, CONTACT_WORDS).column == column
