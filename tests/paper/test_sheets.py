"""The reorder workbook: totals that recalculate, part numbers that stay text, and nothing that runs."""

import shutil
import subprocess
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from openpyxl import load_workbook

from bom.paper.sheets import ReorderBook, ReorderLine, SupplierOrder, money_format, sheet_names, write_reorder
from bom.values.money import Money
from bom.values.problem import Refused

HOSTILE = ("22E1", "0503", "6-10", "=5V", "-T12", "3/4", "+A1", "@B")


def eur(amount: str) -> Money:
    return Money.of(amount, "EUR")


def line(part: str = "OT-1", quantity: int = 3, price: str = "1.115") -> ReorderLine:
    return ReorderLine(part, part, part, part, quantity, eur(price), part, part)


def order(*lines: ReorderLine, supplier: str = "Fennmoor") -> SupplierOrder:
    notes = ("=HYPERLINK(1)",)
    return SupplierOrder(supplier, "EUR", lines, eur("12"), eur("3.5"), Decimal("19"), notes)


def book(*orders: SupplierOrder) -> ReorderBook:
    checks = (
        ("unranked offers", 2),
        ("correction", -3),
        ("worth", eur("0.0125")),
        ("@who", "=1+1"),
        ("none", None),
    )
    return ReorderBook(date(2025, 3, 1), orders, ("=cmd: no offer",), checks)


@pytest.fixture
def written(tmp_path: Path) -> Path:
    path = tmp_path / "reorder.xlsx"
    write_reorder(path, book(order(*map(line, HOSTILE), line("neg", -3)), order(line(), supplier="Osmere")))
    return path


def saved_by_a_spreadsheet_program(path: Path) -> Path:
    program = shutil.which("soffice")
    if program is None:
        pytest.skip("LibreOffice is not installed")
    out = path.parent / "again"
    profile = f"-env:UserInstallation=file://{path.parent}/profile"
    call = [program, profile, "--headless", "--convert-to", "xlsx", "--outdir", str(out), str(path)]
    subprocess.run(call, check=True, capture_output=True, timeout=120)
    return out / path.name


def same_texts_and_numbers(path: Path) -> None:
    sheet = load_workbook(path)["Fennmoor"]
    for row, text in enumerate(HOSTILE, 5):
        cells = [sheet.cell(row, column) for column in (1, 2, 3, 4, 8, 9)]
        assert [c.value for c in cells] == [text] * 6
        assert {c.data_type for c in cells} == {"s"}
    quantity = sheet.cell(5 + len(HOSTILE), 5)
    assert (quantity.value, quantity.data_type) == (-3, "n")


def test_part_numbers_stay_text_and_a_negative_quantity_a_number(written: Path) -> None:
    same_texts_and_numbers(written)


def test_part_number_cells_are_formatted_and_prefixed_as_text(written: Path) -> None:
    cell = load_workbook(written)["Fennmoor"]["B5"]
    assert cell.number_format == "@"
    assert cell.quotePrefix


def test_a_spreadsheet_program_keeps_the_texts_and_reckons_our_totals(written: Path) -> None:
    again = saved_by_a_spreadsheet_program(written)
    same_texts_and_numbers(again)
    values = load_workbook(again, data_only=True)
    expected = order(*map(line, HOSTILE), line("neg", -3))
    assert values["Summary"]["I5"].value == pytest.approx(float(expected.grand_total.amount), abs=1e-9)
    assert [values["Summary"][f"{c}5"].value for c in "CD"] == [9, 21]
    assert [values["Checks"][f"D{row}"].value for row in range(5, 9)] == ["yes"] * 4


def test_every_formula_is_one_of_ours(written: Path) -> None:
    ours = ("=ROUND(", "=SUM(", "=SUMIF(", "=COUNT(", "=IF(ABS(", "='Fennmoor'!", "='Osmere'!")
    workbook = load_workbook(written)
    formulas = [c.value for s in workbook for row in s.iter_rows() for c in row if c.data_type == "f"]
    assert formulas
    assert all(f.startswith(ours) for f in formulas)


def test_a_line_total_is_a_live_formula_rounded_to_the_currency(written: Path) -> None:
    assert load_workbook(written)["Fennmoor"]["G5"].value == "=ROUND(E5*F5,2)"


def test_the_sheet_is_ready_to_print_and_the_header_stays(written: Path) -> None:
    sheet = load_workbook(written)["Fennmoor"]
    assert sheet.freeze_panes == "A5"
    assert sheet.page_setup.orientation == "landscape"
    assert (sheet.page_setup.fitToWidth, sheet.sheet_properties.pageSetUpPr.fitToPage) == (1, True)
    assert sheet.print_area


def test_what_was_left_out_is_listed_as_text(written: Path) -> None:
    cells = [c for (c,) in load_workbook(written)["Checks"].iter_rows(max_col=1) if c.value == "=cmd: no offer"]
    assert [c.data_type for c in cells] == ["s"]


def test_shipping_not_stated_is_said_and_not_taken_as_free(tmp_path: Path) -> None:
    path = tmp_path / "r.xlsx"
    write_reorder(path, book(SupplierOrder("Thaxley", "EUR", (line(),))))
    sheet = load_workbook(path)["Thaxley"]
    assert sheet["G8"].value == "not stated"
    assert sheet["D11"].value == "Total to pay, without shipping and import fee (not stated)"


@pytest.mark.parametrize(
    ("suppliers", "names"),
    [
        (["a/b:c"], ["a b c"]),
        (["Osmere", "OSMERE"], ["Osmere", "OSMERE 2"]),
        (["Summary", "'History'"], ["Summary 2", "History 2"]),
        (["x" * 40, "x" * 40], ["x" * 31, "x" * 29 + " 2"]),
        (["", "[]"], ["Supplier", "Supplier 2"]),
    ],
)
def test_sheet_names_are_legal_and_unique(suppliers: list[str], names: list[str]) -> None:
    assert list(sheet_names(suppliers)) == names


@pytest.mark.parametrize(
    ("currency", "form"),
    [
        ("EUR", '#,##0.00\\ "EUR"'),
        ("JPY", '#,##0\\ "JPY"'),
        ("KWD", '#,##0.000\\ "KWD"'),
        ('A"B', '#,##0.00\\ "AB"'),
    ],
)
def test_money_has_its_currencys_digits(currency: str, form: str) -> None:
    assert money_format(currency) == form


def test_odd_supplier_names_make_a_book_that_opens(tmp_path: Path) -> None:
    path = tmp_path / "r.xlsx"
    write_reorder(path, book(order(line("a\x07b\ud800"), supplier="O'Mere & <Söhne>\x00"), order()))
    workbook = load_workbook(path)
    assert workbook.sheetnames[1:3] == ["O'Mere & <Söhne>\ufffd", "Fennmoor"]
    assert workbook["Summary"]["I5"].value == "='O''Mere & <Söhne>\ufffd'!G11"


def test_mixed_currencies_are_refused_and_the_old_file_stays(written: Path) -> None:
    before = written.read_bytes()
    with pytest.raises(Refused, match="holds an amount in USD"):
        write_reorder(written, book(SupplierOrder("Osmere", "EUR", (line(),), Money.of(1, "USD"))))
    assert written.read_bytes() == before


def test_a_missing_folder_is_one_clear_line_and_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="cannot write"):
        write_reorder(tmp_path / "no" / "r.xlsx", book())
    assert list(tmp_path.iterdir()) == []
