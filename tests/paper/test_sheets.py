"""The reorder workbook: totals that recalculate, part numbers that stay text, and nothing that runs."""

import shutil
import subprocess
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from bom.intake.reorder_sheet import read_reorder
from bom.paper.workbooks.order_sheet import PartDue, ReorderBook, ReorderLine, SupplierOrder, Terms
from bom.paper.workbooks.reorder_workbook import sheet_names, write_reorder
from bom.paper.workbooks.sheet import money_format
from bom.values.money import Money
from bom.values.problem import ProblemsFound, Refused

HOSTILE = ("22E1", "0503", "6-10", "=5V", "-T12", "3/4", "+A1", "@B")


def eur(amount: str) -> Money:
    return Money.of(amount, "EUR")


def line(part: str = "OT-1", quantity: int = 3, price: str = "1.115") -> ReorderLine:
    return ReorderLine(part, part, part, part, quantity, eur(price), part, part)


def order(*lines: ReorderLine, supplier: str = "Fennmoor") -> SupplierOrder:
    notes = ("=HYPERLINK(1)",)
    return SupplierOrder(supplier, "EUR", lines, eur("12"), eur("3.5"), Decimal("19"), notes, rate=Decimal("0.87"))


def book(*orders: SupplierOrder) -> ReorderBook:
    checks = (
        ("unranked offers", 2),
        ("correction", -3),
        ("worth", eur("0.0125")),
        ("@who", "=1+1"),
        ("none", None),
    )
    some = map(Decimal, (4, 0, 2, 5, 20, 18))
    parts = (PartDue("=OT-1", "g", *some, "=by hand", "+why", "@day"),)
    day = date(2025, 3, 1)
    return ReorderBook(day, orders, ("=cmd: no offer",), checks, parts, "B-1", "GBP", day)


@pytest.fixture
def written(tmp_path: Path) -> Path:
    return hostile(tmp_path / "reorder.xlsx")


def hostile(path: Path, negative: int = -3) -> Path:
    write_reorder(path, book(order(*map(line, HOSTILE), line("neg", negative)), order(line(), supplier="Osmere")))
    return path


def same_texts_and_numbers(path: Path) -> None:
    sheet = load_workbook(path)["Fennmoor"]
    for row, text in enumerate(HOSTILE, 6):
        cells = [sheet.cell(row, column) for column in (1, 2, 3, 4, 9, 11)]
        assert [c.value for c in cells] == [text] * 6
        assert {c.data_type for c in cells} == {"s"}
    quantity = sheet.cell(6 + len(HOSTILE), 5)
    assert (quantity.value, quantity.data_type) == (-3, "n")


def test_part_numbers_stay_text_and_a_negative_quantity_a_number(written: Path) -> None:
    same_texts_and_numbers(written)


def test_part_number_cells_are_formatted_and_prefixed_as_text(written: Path) -> None:
    cell = load_workbook(written)["Fennmoor"]["B6"]
    assert cell.number_format == "@"
    assert cell.quotePrefix


def test_every_formula_is_one_of_ours(written: Path) -> None:
    ours = (
        "=ROUND(",
        "=SUM(",
        "=SUMIF(",
        "=COUNTIF(",
        "=IF(ABS(",
        "=IF(E",
        "=IF(SUM(E",
        "=ROWS(",
        "='Fennmoor'!",
        "='Osmere'!",
    )
    workbook = load_workbook(written)
    formulas = [c.value for s in workbook for row in s.iter_rows() for c in row if c.data_type == "f"]
    assert formulas
    assert all(f.startswith(ours) for f in formulas)


def test_a_line_total_is_a_live_formula_rounded_to_the_currency(written: Path) -> None:
    assert load_workbook(written)["Fennmoor"]["H6"].value == "=ROUND(E6*G6,2)"


def test_the_sheet_is_ready_to_print_and_the_header_stays(written: Path) -> None:
    sheet = load_workbook(written)["Fennmoor"]
    assert sheet.freeze_panes == "A6"
    assert sheet.page_setup.orientation == "landscape"
    assert (sheet.page_setup.fitToWidth, sheet.sheet_properties.pageSetUpPr.fitToPage) == (1, True)
    assert sheet.print_area


BREAKS = ((1, eur("2.90")), (10, eur("2.205")), (25, eur("2.01")))
OFFERS = [Terms(BREAKS, False, 5, 5, 40), Terms(BREAKS, True), Terms(((1, eur("0.0019")),), False, 1, 500)]


def priced(*quantities: int, supplier: str = "Fennmoor") -> SupplierOrder:
    """An order whose lines are priced by their breaks, free of shipping from 60 EUR, 1.20 EUR for importing it."""
    lines = tuple(_by_terms(terms, quantity) for terms, quantity in zip(OFFERS, quantities, strict=True))
    return SupplierOrder(supplier, "EUR", lines, eur("6.50"), eur("1.2"), Decimal(20), (), eur("60"), eur("15"))


def _by_terms(terms: Terms, quantity: int) -> ReorderLine:
    each = max(((start, price) for start, price in terms.breaks if start <= quantity), default=terms.breaks[0])[1]
    return ReorderLine("c", "p", "m", "d", quantity, each, "", "", "piece", terms)


EDITED = [(10, 12, 500), (9, 30, 1000), (25, 25, 0), (5, 1, 500), (0, 9, 500), (0, 0, 0)]
CHECKED = [(10, "ok"), (0, "not ordered"), (3, "below minimum 5"), (12, "not a multiple of 5"), (45, "40 in stock")]
REACHED = [(9, None), (10, "10+"), (24, "10+"), (25, "25+")]
WANTED = [*EDITED, *((quantity, 1, 500) for quantity, _ in (*CHECKED, *REACHED))]


@pytest.fixture(scope="module")
def saved(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder where all books of these tests lie as LibreOffice saved them, in one run."""
    program = shutil.which("soffice")
    if program is None:
        pytest.skip("LibreOffice is not installed")
    folder = tmp_path_factory.mktemp("books")
    books = [hostile(folder / "hostile.xlsx"), hostile(folder / "back.xlsx", 0), _edited(folder / "edited.xlsx")]
    profile = f"-env:UserInstallation=file://{folder}/profile"
    call = [program, profile, "--headless", "--convert-to", "xlsx", "--outdir", str(folder / "again")]
    subprocess.run([*call, *map(str, books)], check=True, capture_output=True, timeout=120)
    return folder / "again"


def _edited(path: Path) -> Path:
    """An order sheet for each of the quantities wanted, all made with others."""
    write_reorder(path, book(*(priced(20, 20, 2000, supplier=f"S{n}") for n in range(len(WANTED)))))
    workbook = load_workbook(path)
    for n, quantities in enumerate(WANTED):
        for row, quantity in enumerate(quantities, 6):
            workbook[f"S{n}"].cell(row, 5).value = quantity
    workbook.save(path)
    return path


def test_a_spreadsheet_program_keeps_the_texts_and_reckons_our_totals(saved: Path) -> None:
    again = saved / "hostile.xlsx"
    same_texts_and_numbers(again)
    values = load_workbook(again, data_only=True)
    expected = order(*map(line, HOSTILE), line("neg", -3))
    assert values["Summary"]["H6"].value == pytest.approx(float(expected.grand_total.amount), abs=1e-9)
    assert values["Summary"]["C6"].value == 8  # lines of more than nothing
    assert values["Summary"]["J6"].value == float(expected.grand_total.times("0.87").rounded().amount)
    same = [values["Checks"][f"D{row}"].value for row in range(6, 12)]
    assert same == ["yes", "yes", "CHANGED", "yes", "yes", "yes"]  # one line is below nothing


@pytest.fixture(scope="module")
def edited(saved: Path) -> Workbook:
    return load_workbook(saved / "edited.xlsx", data_only=True)


@pytest.mark.parametrize("case", range(len(EDITED)))
def test_a_quantity_edited_in_a_spreadsheet_program_is_priced_anew_to_the_cent(edited: Workbook, case: int) -> None:
    """Another price break, shipping that becomes free or not, tax; an order emptied costs nothing at all."""
    expected, sheet = priced(*EDITED[case]), edited[f"S{case}"]
    assert [sheet[f"H{row}"].value for row in (6, 7, 8)] == [float(x.line_total.amount) for x in expected.lines]
    wanted = [expected.goods, expected.shipping_due, expected.tax, expected.grand_total]
    assert [round(sheet[f"H{row}"].value, 9) for row in (10, 11, 13, 14)] == [float(m.amount) for m in wanted]
    assert round(edited["Summary"][f"H{6 + case}"].value, 9) == float(expected.grand_total.amount)
    assert expected.grand_total.millionths > 0 or not any(EDITED[case])


@pytest.mark.parametrize(("case", "said"), list(enumerate([s for _, s in CHECKED], len(EDITED))))
def test_a_quantity_that_the_supplier_does_not_take_is_said_so(edited: Workbook, case: int, said: str) -> None:
    assert edited[f"S{case}"]["J6"].value == said


@pytest.mark.parametrize(("case", "reached"), list(enumerate([r for _, r in REACHED], len(EDITED) + len(CHECKED))))
def test_the_price_break_named_is_that_of_the_quantity_now(edited: Workbook, case: int, reached: str | None) -> None:
    assert (edited[f"S{case}"]["I6"].value or None) == reached


def test_what_is_to_be_read_back_survives_a_spreadsheet_program(saved: Path) -> None:
    number, orders = read_reorder(saved / "back.xlsx")
    assert (number, [o.supplier for o in orders]) == ("B-1", ["Fennmoor", "Osmere"])
    assert [line.part_number for line in orders[0].lines] == list(HOSTILE)
    assert {line.quantity for line in orders[0].lines} == {3}


@pytest.mark.parametrize(
    ("cell", "value", "said"),
    [("E6", "many", "a number, 0 or more"), ("E6", -2, "a number, 0 or more"), ("B6", "5.03E+02", "an exponent")],
)
def test_a_book_with_a_wrong_cell_is_not_taken(tmp_path: Path, cell: str, value: object, said: str) -> None:
    path = tmp_path / "r.xlsx"
    write_reorder(path, book(order(line())))
    workbook = load_workbook(path)
    workbook["Fennmoor"][cell].value = value
    workbook.save(path)
    with pytest.raises(ProblemsFound, match=said):
        read_reorder(path)


def test_a_book_without_an_order_is_not_taken(tmp_path: Path) -> None:
    write_reorder(tmp_path / "r.xlsx", book())
    with pytest.raises(ProblemsFound, match="quantity above 0"):
        read_reorder(tmp_path / "r.xlsx")


def test_a_name_that_is_no_spreadsheets_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Refused, match=r"ends in \.xlsx"):
        write_reorder(tmp_path / "r.txt", book())


def test_what_was_left_out_is_listed_as_text(written: Path) -> None:
    cells = [c for (c,) in load_workbook(written)["Checks"].iter_rows(max_col=1) if c.value == "=cmd: no offer"]
    assert [c.data_type for c in cells] == ["s"]


def test_shipping_not_stated_is_said_and_not_taken_as_free(tmp_path: Path) -> None:
    path = tmp_path / "r.xlsx"
    write_reorder(path, book(SupplierOrder("Thaxley", "EUR", (line(),))))
    sheet = load_workbook(path)["Thaxley"]
    assert sheet["H9"].value == "not stated"
    assert sheet["D12"].value == "Total to pay, without shipping and import fee (not stated)"


@pytest.mark.parametrize(
    ("suppliers", "names"),
    [
        (["a/b:c"], ["a b c"]),
        (["Osmere", "OSMERE"], ["Osmere", "OSMERE 2"]),
        (["Summary", "'History'", "parts"], ["Summary 2", "History 2", "parts 2"]),
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
    assert workbook["Summary"]["H6"].value == "='O''Mere & <Söhne>\ufffd'!H12"


def test_mixed_currencies_are_refused_and_the_old_file_stays(written: Path) -> None:
    before = written.read_bytes()
    with pytest.raises(Refused, match="holds an amount in USD"):
        write_reorder(written, book(SupplierOrder("Osmere", "EUR", (line(),), Money.of(1, "USD"))))
    assert written.read_bytes() == before


def test_a_missing_folder_is_one_clear_line_and_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="cannot write"):
        write_reorder(tmp_path / "no" / "r.xlsx", book())
    assert list(tmp_path.iterdir()) == []
