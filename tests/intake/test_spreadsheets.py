"""Any spreadsheet is read to the values that it holds; what the program that wrote it made of them is kept beside."""

from __future__ import annotations

import csv
import io
import os
import shutil
import subprocess
import tracemalloc
import zipfile
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from random import Random

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.comments import Comment
from taken_whole import take_price_list

from bom.buying.offer import Feed, Offer, Supplier
from bom.intake.catalogue import read_catalogue
from bom.intake.quote_sheet import read_quote
from bom.intake.reorder_sheet import read_reorder
from bom.intake.shelf_files import read_opening_stock, read_usage
from bom.intake.spreadsheets import bounds
from bom.intake.spreadsheets.book import book_in, book_of
from bom.intake.spreadsheets.sheet import AsShown, Broken, MergedInto
from bom.intake.supplier_file import take_supplier
from bom.values.problem import ProblemsFound, Refused

DEMO = Path(__file__).resolve().parents[2] / "catalogs" / "demo"
QUOTE = DEMO / "bench" / "osmere-quote.xlsx"
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
    sheet["B5"].comment = Comment("only until Friday", "them")
    hidden = book.create_sheet("Old")
    hidden.sheet_state = "hidden"
    hidden["A1"] = 1
    book.save(path)
    return path


def order_book(path: Path) -> Path:
    """An order to one supplier, as somebody edited it."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Osmere"
    sheet["A1"] = "Order to Osmere"
    sheet.append(["Part number", "Maker", "Quantity", "Unit price", "Line total"])
    sheet.append(["K2R-12S", "Kithmar", 20, 2.01, "=C3*D3"])
    sheet.append(["22E1", "Ostrel", "=2*3", 1.5, "=C4*D4"])
    book.save(path)
    return path


def as_workbook(supplier: str, path: Path) -> Path:
    """A demo supplier's price list with its numbers as numbers, as a shop would be sent it."""
    feed, decimal = read_demo(supplier)[1], {"osmere": ",", "thaxley": ".", "fennmoor": "."}[supplier]
    text = Path(feed.file).read_text(encoding=feed.encoding).removeprefix("\ufeff")
    book = Workbook()
    for row in csv.reader(text.splitlines(), delimiter=feed.delimiter or ","):
        book.active.append([as_number(cell, decimal) if place > 2 else cell for place, cell in enumerate(row)])
    book.save(path)
    return path


def as_number(cell: str, decimal: str) -> float | str:
    try:
        return float(cell.replace(decimal, "."))
    except ValueError:
        return cell


def read_demo(supplier: str) -> tuple[Supplier, Feed]:
    sold_by, feed = take_supplier(DEMO / "suppliers" / f"{supplier}.toml").value
    assert feed is not None
    return sold_by, feed


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str, str], Path]:
    """A file of this name in this format, as LibreOffice wrote it: the demo's lists and the odd workbook."""
    program = shutil.which("soffice")
    if program is None:
        pytest.skip("LibreOffice is not installed")
    folder = tmp_path_factory.mktemp("sheets")
    lists = [DEMO / f"{name}.csv" for name in (*LISTS, "stock", "usage")]
    books = [odd(folder / "odd.xlsx"), order_book(folder / "order.xlsx"), as_workbook("osmere", folder / "osmere.xlsx")]
    files = [*map(str, lists), *map(str, books), str(QUOTE)]
    profile = f"-env:UserInstallation=file://{folder}/profile"
    for form in FORMATS:
        call = [program, profile, "--headless", "--convert-to", form, "--outdir", str(folder / form), *files]
        subprocess.run(call, check=True, capture_output=True, timeout=180)
    text = [program, profile, "--headless", "--convert-to", "csv", "--outdir", str(folder / "csv")]
    subprocess.run([*text, str(QUOTE), str(books[1])], check=True, capture_output=True, timeout=180)
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


# --- what suppliers send ---


def offers_in(supplier: str, path: Path) -> list[Offer]:
    """The offers of a list, without where each stood."""
    sold_by, feed = read_demo(supplier)
    found = take_price_list(feed, sold_by, path.read_bytes(), path.name)
    assert not found.problems
    return [replace(offer, file="", line=0) for offer in found.offers]


@pytest.mark.parametrize("supplier", ["osmere", "thaxley", "fennmoor"])
def test_a_price_list_in_a_workbook_is_the_same_as_in_csv(supplier: str, tmp_path: Path) -> None:
    book = as_workbook(supplier, tmp_path / "list.xlsx")
    assert offers_in(supplier, book) == offers_in(supplier, Path(read_demo(supplier)[1].file))


@pytest.mark.parametrize("form", FORMATS)
def test_a_price_list_that_libreoffice_wrote_is_the_same_in_every_format(
    form: str, written: Callable[[str, str], Path]
) -> None:
    assert offers_in("osmere", written("osmere", form)) == offers_in("osmere", Path(read_demo("osmere")[1].file))


def test_a_code_that_a_price_list_lost_is_told_with_its_cell(tmp_path: Path) -> None:
    path = as_workbook("osmere", tmp_path / "list.xlsx")
    book = load_workbook(path)
    sheet = book.active
    sheet["A2"], sheet["B3"] = 25000.0, date(2026, 3, 5)
    sheet["A2"].number_format = "0.00E+00"
    book.save(path)
    sold_by, feed = read_demo("osmere")
    said = [str(p) for p in take_price_list(feed, sold_by, path.read_bytes(), path.name).problems]
    assert [("in A2" in one, "in B3" in one) for one in said] == [(True, False), (False, True)]


@pytest.mark.parametrize(
    ("sheet", "said"), [("Prices", ""), ("Price", "one of the sheets Prices, Old"), ("", "one sheet")]
)
def test_the_sheet_of_a_price_list_is_chosen_by_its_supplier_file(sheet: str, said: str, tmp_path: Path) -> None:
    path = as_workbook("osmere", tmp_path / "list.xlsx")
    book = load_workbook(path)
    book.active.title = "Prices"
    book.copy_worksheet(book.active).title = "Old"
    book.save(path)
    sold_by, feed = read_demo("osmere")
    found = take_price_list(replace(feed, sheet=sheet), sold_by, path.read_bytes(), path.name)
    assert bool(found.offers) == (not said)
    assert said in "".join(map(str, found.problems))


@pytest.mark.parametrize("form", ["ods", "xls", "csv"])
def test_a_quote_may_come_back_in_any_format(form: str, written: Callable[[str, str], Path]) -> None:
    def offers(path: Path) -> list[Offer]:
        taken = read_quote(path, Supplier("Osmere", "EUR"), date(2026, 11, 25), day_told=True)
        return [replace(offer, file="", line=0) for offer in taken.offers]

    assert offers(written(QUOTE.stem, form)) == offers(QUOTE)


@pytest.mark.parametrize("form", ["xlsx", "ods"])
def test_what_is_pinned_to_a_cell_is_kept_beside_it(form: str, written: Callable[[str, str], Path]) -> None:
    (sheet, _) = book_in(written("odd", form)).sheets
    assert dict(sheet.remarks) == {(5, 1): "only until Friday"}


def test_what_a_supplier_pins_to_a_line_of_a_quote_is_told(tmp_path: Path) -> None:
    book = load_workbook(QUOTE)
    sheet = book["Quote"]
    row = next(cell.row for cell in sheet["B"] if cell.value == "Part number") + 1
    sheet.cell(row, 5).comment = Comment("only until Friday", "them")
    book.save(tmp_path / "back.xlsx")
    taken = read_quote(tmp_path / "back.xlsx", Supplier("Osmere", "EUR"), date(2026, 11, 25), day_told=True)
    assert f"line {row}: pinned to E{row}: 'only until Friday'" in taken.notes


@pytest.mark.parametrize("form", [*FORMATS, "csv"])
def test_an_order_book_may_be_saved_in_any_format(form: str, written: Callable[[str, str], Path]) -> None:
    _, (order,) = read_reorder(written("order", form))
    lines = [(line.part_number, line.maker, line.quantity) for line in order.lines]
    assert (order.supplier, lines) == ("Osmere", [("K2R-12S", "Kithmar", 20), ("22E1", "Ostrel", 6)])


def test_a_quantity_without_a_saved_result_orders_nothing_and_is_told(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match=r"sheet Osmere, cell C4 \[Quantity\].*result was not saved"):
        read_reorder(order_book(tmp_path / "order.xlsx"))


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


def mutated(data: bytes, rng: Random) -> bytes:
    """A few bytes changed, taken out, doubled, or put in where they claim most."""
    changed = bytearray(data)
    for _ in range(rng.choice((1, 1, 2, 5, 20))):
        at = rng.randrange(len(changed))
        match rng.randrange(4):
            case 0:
                changed[at] = rng.randrange(256)
            case 1:
                del changed[at : at + rng.randrange(1, 30)]
            case 2:
                changed[at:at] = changed[at : at + rng.randrange(1, 60)]
            case _:
                changed[at:at] = rng.choice(
                    [b"9999999999", b'"', b"<", b"1048576", b"\xff\xff\xff\xff", b' r="ZZZZ99"']
                )
    return bytes(changed)


@pytest.mark.parametrize("form", FORMATS)
def test_a_mangled_file_is_read_or_refused_and_never_more(
    form: str, written: Callable[[str, str], Path], capfd: pytest.CaptureFixture[str]
) -> None:
    rng, whole = Random(4), written("odd", form).read_bytes()
    for _ in range(150):
        data = mutated(whole, rng) if form == "xls" else with_a_part_mutated(whole, rng)
        with suppress(Refused):
            book_of("odd", data)
    assert capfd.readouterr().err == ""  # a library that panics says so past Python


def with_a_part_mutated(data: bytes, rng: Random) -> bytes:
    """The archive with one of its XML texts mangled: mangled as a whole it would only ever be a broken archive."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    name = rng.choice([name for name in parts if name.endswith((".xml", ".rels"))])
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for other, part in (parts | {name: mutated(parts[name], rng)}).items():
            archive.writestr(other, part)
    return out.getvalue()


def test_a_file_larger_than_any_is_not_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("bom.intake.spreadsheets.book.MOST_BYTES", 1000)
    with pytest.raises(Refused, match="at most"):
        book_in(odd(tmp_path / "odd.xlsx"))
    assert bounds.MOST_BYTES == 50 * 1024 * 1024
