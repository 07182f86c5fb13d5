"""Any spreadsheet is read to the values that it holds; what the program that wrote it made of them is kept beside."""

from __future__ import annotations

import csv
import os
import shutil
import subprocess
import tracemalloc
import zipfile
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

import pytest
from openpyxl import Workbook

from bom.intake.catalogue import read_catalogue
from bom.intake.shelf_files import read_opening_stock, read_usage
from bom.intake.spreadsheets import bounds
from bom.intake.spreadsheets.book import book_in
from bom.intake.spreadsheets.sheet import AsShown, Broken, MergedInto
from bom.values.problem import ProblemsFound, Refused

DEMO = Path(__file__).resolve().parents[2] / "catalogs" / "demo"
FORMATS = ("xlsx", "ods", "xls")
LISTS = ("relays", "footprints", "wirings", "ratings", "supplies")


def odd(path: Path) -> Path:
    """A workbook with all that a spreadsheet program makes of what is typed."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Relays"
    sheet["A1"] = "Our relays"
    sheet.merge_cells("A1:C1")
    sheet.append(["part", "number", "day"])
    sheet.append(["0503", 100000, date(2026, 12, 3)])
    sheet["B3"].number_format = "0.00E+00"
    sheet.append([503, 2.85, datetime(2026, 12, 3, 5, 6)])
    sheet["A4"].number_format = "00000"
    sheet.append(["same", 0.12, True])
    sheet["B5"].number_format = "0%"
    sheet.append([None, "=1/0", "=B3*2"])
    sheet.merge_cells("A5:A6")
    sheet.row_dimensions[5].hidden = True
    hidden = book.create_sheet("Old")
    hidden.sheet_state = "hidden"
    hidden["A1"] = 1
    book.save(path)
    return path


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str, str], Path]:
    """A file of this name in this format, as LibreOffice wrote it: the demo's lists and the odd workbook."""
    program = shutil.which("soffice")
    if program is None:
        pytest.skip("LibreOffice is not installed")
    folder = tmp_path_factory.mktemp("sheets")
    files = [str(odd(folder / "odd.xlsx")), *(str(DEMO / f"{name}.csv") for name in (*LISTS, "stock", "usage"))]
    profile = f"-env:UserInstallation=file://{folder}/profile"
    for form in FORMATS:
        call = [program, profile, "--headless", "--convert-to", form, "--outdir", str(folder / form), *files]
        subprocess.run(call, check=True, capture_output=True, timeout=180)
    return lambda name, form: folder / form / f"{name}.{form}"


@pytest.mark.parametrize("form", FORMATS)
def test_a_catalogue_that_libreoffice_wrote_is_the_same_in_every_format(
    form: str, written: Callable[[str, str], Path], tmp_path: Path
) -> None:
    for name in LISTS:
        shutil.copy(written(name, form), tmp_path)
    assert read_catalogue(tmp_path).value == read_catalogue(DEMO).value


@pytest.mark.parametrize("form", FORMATS)
def test_the_shelf_that_libreoffice_wrote_is_the_same_in_every_format(
    form: str, written: Callable[[str, str], Path]
) -> None:
    assert read_opening_stock(written("stock", form)).value == read_opening_stock(DEMO / "stock.csv").value
    assert read_usage(written("usage", form)).value == read_usage(DEMO / "usage.csv").value


@pytest.mark.parametrize("form", FORMATS)
def test_what_a_program_made_of_what_was_typed_is_kept_beside_the_value(
    form: str, written: Callable[[str, str], Path]
) -> None:
    relays, old = book_in(written("odd", form)).sheets
    rows = dict(relays.rows)
    assert rows[3] == ["0503", AsShown(100000, "1.00E+05"), date(2026, 12, 3)]
    assert rows[4] == [AsShown(503, "00503"), 2.85, datetime(2026, 12, 3, 5, 6)]
    assert rows[5][:2] == ["same", AsShown(0.12, "12%")]
    assert rows[6][:2] == [MergedInto("same", "A5"), Broken("#DIV/0!")]
    assert (relays.hidden, relays.hidden_rows, old.hidden) == (False, {5}, True)


def test_a_formula_whose_result_was_not_saved_is_never_0(tmp_path: Path) -> None:
    rows = dict(book_in(odd(tmp_path / "odd.xlsx")).sheets[0].rows)
    assert rows[6][2] == Broken("a formula whose result was not saved")


def test_one_workbook_holds_a_whole_catalogue(tmp_path: Path) -> None:
    book = Workbook()
    book.active.title = "read me"
    for name in LISTS:
        sheet = book.create_sheet(name.capitalize())
        for row in csv.reader((DEMO / f"{name}.csv").open(encoding="utf-8")):
            sheet.append(row)
    book.save(tmp_path / "everything.xlsx")
    assert read_catalogue(tmp_path).value == read_catalogue(DEMO).value
    assert read_catalogue(tmp_path / "everything.xlsx").value == read_catalogue(DEMO).value


# --- bounds ---

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
SHEET = f'<worksheet xmlns="{MAIN}"><sheetData>{{}}</sheetData></worksheet>'


def hand_made(path: Path, sheet: str, **others: str) -> Path:
    """An XLSX of these XML texts, as no program would write it."""
    links = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(
            "xl/workbook.xml",
            f'<workbook xmlns="{MAIN}" xmlns:r="{links}"><sheets><sheet name="S" r:id="r1"/></sheets></workbook>',
        )
        archive.writestr(
            "xl/_rels/workbook.xml.rels",
            '<Relationships><Relationship Id="r1" Type="worksheet" Target="worksheets/sheet1.xml"/></Relationships>',
        )
        archive.writestr("xl/worksheets/sheet1.xml", sheet)
        for name, text in others.items():
            archive.writestr(f"xl/{name}.xml", text)
    return path


TOO_LARGE = [
    (SHEET.format(" " * 200_000_000), "at most 160 MB unpacked"),
    (SHEET.format(" " * 20_000_000), "more than 150 times its size"),
    (SHEET.format('<row r="1"><c r="XFD1"><v>1</v></c></row>'), "at most 1000 columns"),
    (
        SHEET.format('<row r="1"><c r="A1"><v>1</v></c></row><row r="1048576"><c r="CV1048576"><v>1</v></c></row>'),
        "at most 4,000,000 cells",
    ),
    ('<!DOCTYPE x [<!ENTITY a "aa"><!ENTITY b "&a;&a;">]>' + SHEET.format(""), "without a document type"),
    (SHEET.format('<row r="1"><c r="A1"><v>1</v></c>'), "sheet S is whole"),
]


@pytest.mark.parametrize(("sheet", "said"), TOO_LARGE, ids=[said for _, said in TOO_LARGE])
def test_what_would_unfold_beyond_a_bound_is_refused_before_it_does(sheet: str, said: str, tmp_path: Path) -> None:
    path = hand_made(tmp_path / "bomb.xlsx", sheet)
    assert path.stat().st_size < 1_000_000
    del sheet
    tracemalloc.start()
    with pytest.raises(Refused, match=said):
        book_in(path)
    assert tracemalloc.get_traced_memory()[1] < 100_000_000
    tracemalloc.stop()


def test_a_long_text_that_many_cells_share_is_counted_for_each(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("bom.intake.spreadsheets.xlsx_marks.MOST_TEXT", 1_000_000)
    cells = "".join(f'<row r="{n}"><c r="A{n}" t="s"><v>0</v></c></row>' for n in range(1, 51))
    texts = f'<sst xmlns="{MAIN}"><si><t>{"x" * 30_000}</t></si></sst>'
    with pytest.raises(Refused, match="at most 1,000,000 characters"):
        book_in(hand_made(tmp_path / "texts.xlsx", SHEET.format(cells), sharedStrings=texts))


def test_a_repeated_cell_of_an_ods_counts_as_often_as_it_stands_there(tmp_path: Path) -> None:
    spaces = " ".join(
        f'xmlns:{short}="urn:oasis:names:tc:opendocument:xmlns:{short}:1.0"' for short in ("office", "table", "text")
    )
    cell = '<table:table-cell table:number-columns-repeated="500" office:value-type="float" office:value="1"/>'
    row = f'<table:table-row table:number-rows-repeated="1000000">{cell}</table:table-row>'
    with zipfile.ZipFile(tmp_path / "bomb.ods", "w") as archive:
        archive.writestr("content.xml", f"<office:document {spaces}><table:table>{row}</table:table></office:document>")
    with pytest.raises(Refused, match="at most 4,000,000 cells"):
        book_in(tmp_path / "bomb.ods")


@pytest.mark.parametrize("kind", ["xlsx", "xls"])
@pytest.mark.parametrize("bytes_after", [b"", b"junk" * 500, os.urandom(4096)])
def test_a_broken_file_is_one_problem_that_names_it(kind: str, bytes_after: bytes, tmp_path: Path) -> None:
    start = {"xlsx": b"PK\x03\x04", "xls": b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"}[kind]
    path = tmp_path / f"stock.{kind}"
    path.write_bytes(start + bytes_after)
    with pytest.raises(ProblemsFound) as found:
        read_opening_stock(path)
    assert [p.file for p in found.value.problems] == [path.name]


def test_a_file_cut_short_anywhere_is_refused(tmp_path: Path) -> None:
    whole = odd(tmp_path / "odd.xlsx").read_bytes()
    for size in range(100, len(whole), 700):
        (tmp_path / "cut.xlsx").write_bytes(whole[:size])
        with pytest.raises(Refused):
            book_in(tmp_path / "cut.xlsx")


def test_a_file_larger_than_any_is_not_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("bom.intake.spreadsheets.book.MOST_BYTES", 1000)
    with pytest.raises(Refused, match="at most"):
        book_in(odd(tmp_path / "odd.xlsx"))
    assert bounds.MOST_BYTES == 50 * 1024 * 1024
