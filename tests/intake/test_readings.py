"""A spreadsheet as a shop has it is read by a reading that was proposed and looked through; nothing is guessed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook

from bom.intake.kinds_of_list import kind_of_list
from bom.intake.proposed_reading import Proposal, propose
from bom.intake.reading_file import read_reading
from bom.intake.shelf_files import OpeningLot, read_opening_stock
from bom.intake.trade_words import meanings
from bom.paper.reading_toml import reading_toml
from bom.values.money import Money
from bom.values.problem import ProblemsFound, Refused
from bom.values.reading import LISTS, PLAIN, HowRead, Reading

HEADS = ("Fach", "Artikel-Nr.", "Hersteller", "Bestand", "EK netto €", "Kaufdatum", "Bemerkung")


def book(path: Path, *rows: Sequence[Any], heads: Sequence[str] = HEADS, title: str = "Lager") -> Path:
    workbook = Workbook()
    sheet = workbook.active
    sheet.title = title
    for row in (heads, *rows):
        sheet.append(row)
    workbook.save(path)
    return path


def shelf(path: Path) -> Path:
    """60 relays as a shop lists them: titles above, sections, totals, blanks, signs and words beside numbers."""
    workbook = Workbook()
    sheet = workbook.active
    sheet.title = "Lager"
    sheet["A1"] = "Our relays, as counted"
    sheet.merge_cells("A1:G1")
    sheet["A2"], sheet["B2"] = "on", date(2026, 11, 2)
    sheet.append([])
    sheet.append(HEADS)
    for section in range(4):
        sheet.append([f"Section {section + 1}, 12 and 24 V"])
        sheet.merge_cells(start_row=sheet.max_row, start_column=1, end_row=sheet.max_row, end_column=7)
        for nth in range(15):
            sheet.append(one_lot(section, nth))
        if section == 1:
            sheet.append(["B16", None, None, None])
            sheet.append(["B17", None, None, 0])
        sheet.append([None, "Summe", None, f"=SUM(D6:D{sheet.max_row})"])
        sheet.append([None])
    workbook.save(path)
    return path


def one_lot(section: int, nth: int) -> list[Any]:
    quantity = (f"{nth + 1} pcs", nth + 1, f"{nth + 1} Stk", f"{nth + 1}")[nth % 4]
    cents = 285 + nth
    cost = (f"€ {cents / 100:.2f}".replace(".", ","), cents / 100, f"{cents / 100:.2f} €".replace(".", ","))[nth % 3]
    day = (date(2026, 3, nth + 1), f"{nth + 1}.3.2026")[nth % 2]
    return ["ABCD"[section] + str(nth + 1), f"TW{section}-{nth}S", "Ostrel", quantity, cost, day, "old stock"]


def proposed(path: Path, of: str = "stock") -> Proposal:
    return propose(path, kind_of_list(of), PLAIN)


def read_so(path: Path, text: str, tmp_path: Path) -> tuple[OpeningLot, ...]:
    (tmp_path / "reading.toml").write_text(text, encoding="utf-8")
    return read_opening_stock(path, (), HowRead((read_reading(tmp_path / "reading.toml"),))).value


def said(path: Path, text: str, tmp_path: Path) -> list[str]:
    with pytest.raises(ProblemsFound) as found:
        read_so(path, text, tmp_path)
    return [str(problem) for problem in found.value.problems]


# --- a shelf with no hand edit ---


def test_a_shelf_of_60_relays_is_taken_as_it_is(tmp_path: Path) -> None:
    path = shelf(tmp_path / "shelf.xlsx")
    proposal = proposed(path)
    assert proposal.doubts == 0
    lots = read_so(path, reading_toml(proposal.reading, proposal.remarks), tmp_path)
    assert [(lot.part_number, lot.drawer) for lot in lots] == [
        (f"TW{section}-{nth}S", f"{'ABCD'[section]}{nth + 1}") for section in range(4) for nth in range(15)
    ]
    assert [lot.quantity for lot in lots[:15]] == [Decimal(n) for n in range(1, 16)]
    assert [lot.unit_cost for lot in lots[:15]] == [Money.of(f"{2.85 + n / 100:.2f}", "EUR") for n in range(15)]
    assert [lot.received for lot in lots[:15]] == [date(2026, 3, n) for n in range(1, 16)]


def test_what_is_taken_and_left_out_is_counted_to_the_row(tmp_path: Path) -> None:
    (note, *_) = proposed(shelf(tmp_path / "shelf.xlsx")).notes
    assert note == (
        "shelf.xlsx, sheet Lager: 73 rows under the headings in row 4: 60 taken, 4 titles of sections (5, 23, 43, 61), "
        "4 totals (21, 41, 59, 77), 2 empty drawers (39-40), 3 blank (22, 42, 60)"
    )
    assert 60 + 4 + 4 + 2 + 3 == 73


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_the_same_shelf_as_text_is_read_alike(separator: str, tmp_path: Path) -> None:
    lines = [["Our relays, as counted"], [], list(HEADS), ["12 V relays"], *(one_lot(0, n) for n in range(15))]
    quoted = [[f'"{cell}"' for cell in line] for line in lines]
    path = tmp_path / "shelf.csv"
    path.write_text("\n".join(separator.join(line) for line in quoted), encoding="utf-8")
    proposal = proposed(path)
    # Nothing here is a number to the file: 2.85 and 2,85 stand beside each other, and each shows its sign.
    lots = read_so(path, reading_toml(proposal.reading), tmp_path)
    assert [lot.unit_cost for lot in lots] == [Money.of(f"{2.85 + n / 100:.2f}", "EUR") for n in range(15)]
    assert [lot.received for lot in lots] == [date(2026, 3, n) for n in range(1, 16)]


def test_the_next_file_with_these_headings_is_read_as_the_last(tmp_path: Path) -> None:
    reading = proposed(shelf(tmp_path / "shelf.xlsx")).reading
    again = book(tmp_path / "again.xlsx", one_lot(0, 3), title="elsewhere")
    kept = Reading(reading.of, reading.columns, every_row=reading.every_row)
    how = HowRead(remembered=lambda of, heads: kept if (of, heads) == ("stock", kept.headings) else None)
    lots, notes = read_opening_stock(again, (), how)
    assert [lot.part_number for lot in lots] == ["TW0-3S"]
    assert "read as remembered" in notes[0]


# --- what is in doubt ---


def test_a_doubtful_column_waits_for_a_person(tmp_path: Path) -> None:
    heads = ("Regal hinten", "Relais-Bezeichnung alt", "Menge gesamt")
    path = book(tmp_path / "old.xlsx", ("A1", "TW2-12S", 3), ("A2", "TW2-24S", 4), heads=heads)
    proposal = proposed(path)
    assert proposal.reading.columns["Menge gesamt"] == "? quantity"
    found = said(path, reading_toml(proposal.reading, proposal.remarks), tmp_path)
    assert 'expected "quantity", where that is what it means, or "" to leave it out' in found[-1]


def test_two_headings_that_may_mean_one_column_are_both_in_doubt(tmp_path: Path) -> None:
    path = book(tmp_path / "two.xlsx", ("TW2-12S", 3, 4), heads=("Part no.", "Menge", "Bestand"))
    columns = proposed(path).reading.columns
    assert [columns["Menge"], columns["Bestand"]] == ["? quantity", "? quantity"]


def test_a_heading_over_cells_that_its_column_cannot_hold_is_not_that_column(tmp_path: Path) -> None:
    path = book(tmp_path / "odd.xlsx", ("TW2-12S", "many", 3), heads=("Part no.", "Stock", "Qty"))
    assert proposed(path).reading.columns == {"Part no.": "part_number", "Stock": "", "Qty": "quantity"}


def test_a_heading_that_is_a_columns_name_over_some_odd_cells_is_asked_about_not_left_out(tmp_path: Path) -> None:
    rows = [("TW2-12S", 12), ("TW2-24S", "see drawing"), ("TW2-48S", "see drawing")]
    path = book(tmp_path / "odd.xlsx", *rows, heads=("Part no.", "Qty"))
    proposal = proposed(path)
    assert proposal.reading.columns["Qty"] == "? quantity"
    assert proposal.headings[1].doubt == "2 of 3 cells are no amount"


def test_what_no_heading_states_is_asked_for(tmp_path: Path) -> None:
    path = book(tmp_path / "bare.xlsx", ("TW2-12S", 1.5), heads=("Part no.", "Price"))
    proposal = proposed(path)
    assert proposal.asked == ("quantity", "currency")
    found = said(path, reading_toml(proposal.reading), tmp_path)
    assert any("[reading.every_row.quantity]" in line for line in found)


@pytest.mark.parametrize("of", LISTS)
def test_a_list_headed_by_its_columns_own_names_leaves_no_doubt(of: str, tmp_path: Path) -> None:
    kind = kind_of_list(of)
    row = [column.example for column in kind.columns.values()]
    path = book(tmp_path / "own.xlsx", row, row, heads=tuple(kind.columns))
    proposal = proposed(path, of)
    assert proposal.reading.columns == {name: name for name in kind.columns}


@pytest.mark.parametrize(
    ("heading", "of", "column"),
    [
        ("Coil voltage [V]", "relays", "coil_volts"),
        ("Spulenwiderstand", "relays", "coil_ohms"),
        ("Part No.", "stock", "part_number"),
        ("Réf.", "stock", "part_number"),
        ("Cantidad", "stock", "quantity"),
        ("Mindestbestand", "levels", "reorder_point"),
        ("Location", "stock", "drawer"),
        ("Prix unitaire", "stock", "unit_cost"),
        ("Pull-in V", "relays", "operate_volts"),
        ("Length mm", "relays", "body_length_mm"),
    ],
)
def test_a_trade_word_means_its_column(heading: str, of: str, column: str) -> None:
    assert meanings(heading, kind_of_list(of).columns)[0] == (column, True)


# --- what a spreadsheet program made of it ---

CODES = [
    (100000, "0.00E+00", "shown as 1.00E\\+05"),
    (date(2026, 12, 3), "dd-mmm", "turned it into a date"),
    (5.1, "General", "lost an end of zeros"),
    (1234567890123456789, "0", "lost its last digits"),
    (12, '"TW2-"0', 'in the format "TW2-"0'),
    (True, "General", "expected a part number"),
    ("#N/A", "General", "found '#N/A'"),
    ("=B1", "General", "whose result was not saved"),
]


@pytest.mark.parametrize(("value", "form", "expected"), CODES, ids=[str(value) for value, _, _ in CODES])
def test_a_part_number_that_a_program_changed_is_never_taken_as_another(
    value: object, form: str, expected: str, tmp_path: Path
) -> None:
    workbook = Workbook()
    sheet = workbook.active
    sheet.title = "S"
    sheet.append(["part_number", "quantity"])
    sheet.append([value, 3])
    sheet["A2"].number_format = form
    workbook.save(tmp_path / "stock.xlsx")
    with pytest.raises(ProblemsFound, match=expected) as found:
        read_opening_stock(tmp_path / "stock.xlsx")
    (problem,) = found.value.problems
    assert str(problem).startswith("stock.xlsx, sheet S, cell A2 [part_number]")


def test_zeros_in_front_stay_where_the_cell_shows_them(tmp_path: Path) -> None:
    workbook = Workbook()
    sheet = workbook.active
    for row in (["part_number", "quantity"], [503, 1], ["0504", 1], [505, 1]):
        sheet.append(row)
    sheet["A2"].number_format = "00000"
    workbook.save(tmp_path / "stock.xlsx")
    lots, notes = read_opening_stock(tmp_path / "stock.xlsx")
    assert [lot.part_number for lot in lots] == ["00503", "0504", "505"]
    assert "1 part numbers are numbers to the spreadsheet (A4)" in notes[-1]


def test_a_quantity_merged_over_two_rows_is_asked_about_and_a_drawer_holds_for_both(tmp_path: Path) -> None:
    workbook = Workbook()
    sheet = workbook.active
    for row in (["part_number", "quantity", "drawer"], ["TW2", 1, "A1"], ["TW3", 2, None]):
        sheet.append(row)
    sheet.merge_cells("C2:C3")
    workbook.save(tmp_path / "stock.xlsx")
    assert [lot.drawer for lot in read_opening_stock(tmp_path / "stock.xlsx").value] == ["A1", "A1"]
    sheet["B3"] = None
    sheet.merge_cells("B2:B3")
    workbook.save(tmp_path / "stock.xlsx")
    with pytest.raises(ProblemsFound, match=r"cell B3 \[quantity\].*one with B2"):
        read_opening_stock(tmp_path / "stock.xlsx")


@pytest.mark.parametrize(
    ("typed", "days", "read"),
    [
        ("25.11.2026", "", date(2026, 11, 25)),
        ("25/11/2026", "", date(2026, 11, 25)),
        ("11/25/2026", "", date(2026, 11, 25)),
        ("3 Apr 2026", "", date(2026, 4, 3)),
        ("3/4/2026", "d/m/y", date(2026, 4, 3)),
        ("3/4/2026", "m/d/y", date(2026, 3, 4)),
        ("3/4/2026", "", None),
        ("31.2.2026", "", None),
        ("yesterday", "", None),
    ],
)
def test_a_day_is_read_where_it_can_only_be_one(typed: str, days: str, read: date | None, tmp_path: Path) -> None:
    path = book(tmp_path / "days.xlsx", ("TW2", 1, typed), heads=("part_number", "quantity", "date"))
    setting = f'days = "{days}"\n' if days else ""
    columns = '[reading.columns]\npart_number = "part_number"\nquantity = "quantity"\ndate = "date"\n'
    text = f'[reading]\nof = "stock"\n{setting}{columns}'
    if read is None:
        assert any("cell C2 [date]" in line for line in said(path, text, tmp_path))
    else:
        assert read_so(path, text, tmp_path)[0].received == read


def test_a_decimal_sign_in_doubt_is_asked_for(tmp_path: Path) -> None:
    path = book(tmp_path / "d.xlsx", ("TW2", "1.234", 1), heads=("Part no.", "Price EUR", "Qty"))
    reading = proposed(path).reading
    assert reading.decimal == "?"
    text = reading_toml(reading)
    assert any("[reading.decimal]" in line for line in said(path, text, tmp_path))
    (point,) = read_so(path, text.replace('decimal = "?"', 'decimal = "."'), tmp_path)
    (comma,) = read_so(path, text.replace('decimal = "?"', 'decimal = ","'), tmp_path)
    assert [point.unit_cost, comma.unit_cost] == [Money.of("1.234", "EUR"), Money.of("1234", "EUR")]


def test_a_sign_that_gainsays_the_currency_is_refused(tmp_path: Path) -> None:
    path = book(tmp_path / "c.xlsx", ("TW2", "$ 1.20", 1), heads=("Part no.", "Price EUR", "Qty"))
    assert any("an amount in EUR" in line for line in said(path, reading_toml(proposed(path).reading), tmp_path))


# --- each key of [reading] ---

WHOLE = """[reading]
of = "stock"
sheet = "Lager"
heading_row = 1
decimal = ","
days = "d/m/y"
sections = "maker"

[reading.columns]
"Artikel" = "part_number"
"Menge" = "quantity"
"Preis" = "unit_cost"
"Rest" = ""

[reading.every_row]
"currency" = "EUR"
"""
BAD = [
    ('of = "stock"', 'of = ""', "reading.of", "relays"),
    ('of = "stock"', 'of = "stok"', "reading.of", "is 'stock' meant"),
    ('of = "stock"\n', "", "reading.of", "found 'nothing'"),
    ('sheet = "Lager"', 'sheet = "Lagre"', "", "is 'Lager' meant"),
    ('sheet = "Lager"', "sheet = 1", "reading.sheet", "text in quotes"),
    ("heading_row = 1", "heading_row = 0", "reading.heading_row", "not below 1"),
    ("heading_row = 1", "heading_row = 9", "", "a blank row"),
    ("heading_row = 1", "heading_row = 2", "", "the heading 'Artikel'"),
    ('decimal = ","', 'decimal = ";"', "reading.decimal", "one of"),
    ('days = "d/m/y"', 'days = "y/d/m"', "reading.days", "one of"),
    ('sections = "maker"', 'sections = "makr"', "reading.sections", "is 'maker' meant"),
    ('sections = "maker"', 'sections = "? maker"', "reading.sections", "where that is so"),
    ('"Artikel" = "part_number"', '"Artikel" = "part_nmber"', "reading.columns.Artikel", "is 'part_number' meant"),
    ('"Artikel" = "part_number"', '"Artikel" = "?"', "reading.columns.Artikel", "the column it is"),
    ('"Artikel" = "part_number"', '"Artikel" = "quantity"', "reading.columns.Menge", "each column once"),
    ('"Artikel" = "part_number"', '"Artikel" = ""', "", "a heading for part_number"),
    ('"Artikel" = "part_number"', '"Artikl" = "part_number"', "", "the heading 'Artikl'"),
    ('"Rest" = ""\n', "", "", 'names; "" there leaves it out'),
    ('"currency" = "EUR"', '"currency" = ""', "reading.every_row.currency", "as in USD"),
    ('"currency" = "EUR"', '"currency" = "EURO"', "", "ISO 4217"),
    ('"currency" = "EUR"', '"curency" = "EUR"', "reading.every_row.curency", "is 'currency' meant"),
    ('"currency" = "EUR"', '"quantity" = "3"', "reading.every_row.quantity", "that no heading names"),
    ('"currency" = "EUR"', '"date" = "soon"', "reading.every_row.date", "a date such as"),
    ("[reading.every_row]", "[reading.evry_row]", "reading.evry_row", "is 'every_row' meant"),
    (
        "[reading.every_row]",
        '[reading.units]\n"Artikel" = "V"\n[reading.every_row]',
        "reading.units.Artikel",
        "no unit",
    ),
    (
        "[reading.every_row]",
        '[reading.units]\n"Artkel" = "V"\n[reading.every_row]',
        "reading.units.Artkel",
        "is 'Artikel'",
    ),
]


@pytest.mark.parametrize(("right", "wrong", "key", "expected"), BAD, ids=[wrong for _, wrong, _, _ in BAD])
def test_a_key_that_is_blank_misspelt_or_impossible_is_refused(
    right: str, wrong: str, key: str, expected: str, tmp_path: Path
) -> None:
    path = book(tmp_path / "s.xlsx", ("TW2", 3, "2,85", "x"), heads=("Artikel", "Menge", "Preis", "Rest"))
    assert len(read_so(path, WHOLE, tmp_path)) == 1
    found = said(path, WHOLE.replace(right, wrong), tmp_path)
    assert any(key in line and expected in line for line in found), found


def test_a_reading_of_another_list_is_refused_and_not_passed_over(tmp_path: Path) -> None:
    path = book(tmp_path / "s.xlsx", ("TW2", 3), heads=("part_number", "quantity"))
    text = '[reading]\nof = "levels"\n[reading.columns]\npart_number = "part_number"\n'
    assert said(path, text, tmp_path) == ["--reading: expected a reading of stock, found 'levels'"]


def test_a_sheet_asked_of_a_file_of_text_is_refused(tmp_path: Path) -> None:
    (tmp_path / "s.csv").write_text("part_number,quantity\nTW2,3\n", encoding="utf-8")
    with pytest.raises(ProblemsFound, match="a file with sheets, or no --sheet"):
        read_opening_stock(tmp_path / "s.csv", (), HowRead(sheet="Lager"))


@pytest.mark.parametrize("row", [3, 99])
def test_a_heading_row_that_is_none_is_refused(row: int, tmp_path: Path) -> None:
    path = book(tmp_path / "s.xlsx", ("TW2", 3), heads=("part_number", "quantity"))
    with pytest.raises(ProblemsFound, match=rf"s.xlsx:{row}: expected a row of headings"):
        read_opening_stock(path, (), HowRead(heading_row=row))


def test_a_hidden_sheet_is_not_read_and_told(tmp_path: Path) -> None:
    workbook = Workbook()
    for name, part in (("Now", "TW2"), ("Before", "OLD")):
        sheet = workbook.create_sheet(name)
        sheet.append(["part_number", "quantity"])
        sheet.append([part, 1])
    workbook["Before"].sheet_state = "hidden"
    workbook.save(tmp_path / "s.xlsx")
    lots, notes = read_opening_stock(tmp_path / "s.xlsx")
    assert [lot.part_number for lot in lots] == ["TW2"]
    assert "s.xlsx: not read, since hidden: Before" in notes


def test_titles_of_sections_fill_a_column_where_that_is_said(tmp_path: Path) -> None:
    path = book(tmp_path / "s.xlsx", ("Ostrel",), ("TW2", 1), ("Kithmar",), ("K2R", 2), heads=("Part no.", "Qty"))
    text = (
        '[reading]\nof = "stock"\nsections = "maker"\n[reading.columns]\n"Part no." = "part_number"\nQty = "quantity"'
    )
    assert [(lot.part_number, lot.maker) for lot in read_so(path, text, tmp_path)] == [
        ("TW2", "Ostrel"),
        ("K2R", "Kithmar"),
    ]


def test_a_heading_in_another_unit_gives_its_bare_numbers_that_unit(tmp_path: Path) -> None:
    heads = ("Maker", "Part no.", "Height (in)", "Coil V")
    path = book(tmp_path / "r.xlsx", ("Ostrel", "TW2-12S", 0.5, 12), ("Ostrel", "TW2-24S", "0,6", 24), heads=heads)
    proposal = proposed(path, "relays")
    assert dict(proposal.reading.units) == {"Height (in)": "in"}
    height = next(h for h in proposal.headings if h.heading == "Height (in)")
    assert height.understood == ("0.5 in", "0.6 in")


def test_a_file_that_nobody_said_what_it_lists_is_asked_about(tmp_path: Path) -> None:
    from bom.jobs.readings import propose_reading

    path = book(tmp_path / "things.xlsx", ("TW2", 3), heads=("part_number", "quantity"))
    with pytest.raises(Refused, match="--of relays"):
        propose_reading(path)
