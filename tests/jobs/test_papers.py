"""Papers to suppliers: who we are and what we want stands in them, nothing of others, and nothing is written over."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from sqlalchemy.orm import Session

from bom.jobs.buying.order_papers import write_order_papers
from bom.jobs.buying.quotes import ask_quotes, forget_quotes, list_quotes, take_quote
from bom.jobs.settings import set_shop
from bom.jobs.shelf.ordering import order_part
from bom.paper.terminal.buying import quotes_table
from bom.shop.shop import Shop
from bom.values.problem import Refused

NEXT_YEAR = date.today() + timedelta(days=365)
SAID = [
    ("name", "Mill Lane Bench"),
    ("address", "2 Mill Lane, Ashby"),
    ("contact", "bench@example.org"),
    ("order_terms", "=HYPERLINK(1)"),
]


def cells(path: Path) -> dict[str, Any]:
    (sheet,) = [s for s in load_workbook(path).worksheets if s.sheet_state == "visible"]
    return {cell.coordinate: cell for row in sheet.iter_rows() for cell in row if cell.value is not None}


def texts(path: Path) -> str:
    return "\n".join(str(cell.value) for cell in cells(path).values())


@pytest.fixture
def said(shop: Session) -> Session:
    set_shop(shop, SAID)
    return shop


def ordered(shop: Session, *lines: tuple[str, str]) -> list[str]:
    """The numbers of the orders that Osmere was given."""
    return [
        order_part(shop, part, quantity, "Osmere", "2026-12-24")[0].split()[1].rstrip(":") for part, quantity in lines
    ]


def test_an_order_says_who_orders_what_by_when_at_the_price_of_its_quantity(said: Session, tmp_path: Path) -> None:
    (number,) = ordered(said, ("K2R-12S", "30"))
    (book, mail), notes = write_order_papers(said, [number.lower()], tmp_path)
    assert (book.name, mail.name, notes) == (f"{number}-osmere.xlsx", f"{number}-osmere.txt", ())
    for text in (texts(book), mail.read_text(encoding="utf-8")):
        for wanted in (
            number,
            "Mill Lane Bench",
            "2 Mill Lane, Ashby",
            "bench@example.org",
            "25K10",
            "2026-12-24",
            "2.01",
        ):
            assert wanted in text
    assert "Goods 60.30 EUR" in mail.read_text(encoding="utf-8")


def test_nothing_of_other_suppliers_or_of_our_stock_is_in_a_paper(said: Session, tmp_path: Path) -> None:
    (number,) = ordered(said, ("K2R-12S", "30"))
    papers = [*write_order_papers(said, [number], tmp_path).files]
    asked = ask_quotes(said, ["K2R-12S=20"], tmp_path / "q", of=["osmere"]).files
    papers += [*asked, *(path.with_suffix(".txt") for path in asked)]
    for path in papers:
        text = texts(path) if path.suffix == ".xlsx" else path.read_text(encoding="utf-8")
        assert not [word for word in ("Fennmoor", "Thaxley", "on hand", "order at", "available") if word in text]


def test_what_was_said_elsewhere_is_text_in_an_order_and_never_runs(said: Session, tmp_path: Path) -> None:
    (number,) = ordered(said, ("K2R-12S", "30"))
    found = cells(write_order_papers(said, [number], tmp_path).files[0])
    terms = next(cell for cell in found.values() if cell.value == "=HYPERLINK(1)")
    running = {cell.value.partition("(")[0] for cell in found.values() if cell.data_type == "f"}
    assert (terms.data_type, terms.quotePrefix, running) == ("s", True, {"=ROUND", "=SUM"})


def test_a_part_without_a_price_of_theirs_is_asked_for_and_no_sum_is_made_up(shop: Session, tmp_path: Path) -> None:
    line = order_part(shop, "K2R-12S", "3", "Nobody Yet", "")[0]
    number = line.split()[1].rstrip(":")
    set_shop(shop, [("name", ""), ("address", ""), ("contact", "")])
    (book, mail), notes = write_order_papers(shop, [number], tmp_path)
    assert "please state" in texts(book) and "as far as prices are known" in texts(book)
    assert "Goods" not in mail.read_text(encoding="utf-8")
    assert "bom shop set" in notes[0] and "price of K2R-12S" in notes[1]


@pytest.mark.parametrize("number", ["O99999", "", "K2R-12S"])
def test_a_number_that_is_no_order_is_refused_and_nothing_written(shop: Session, tmp_path: Path, number: str) -> None:
    (good,) = ordered(shop, ("K2R-12S", "30"))
    with pytest.raises(Refused, match="there is no order"):
        write_order_papers(shop, [good, number], tmp_path / "never")
    assert not (tmp_path / "never").exists()


def test_no_paper_is_written_over(said: Session, tmp_path: Path) -> None:
    (number,) = ordered(said, ("K2R-12S", "30"))
    write_order_papers(said, [number], tmp_path)
    (tmp_path / f"{number}-osmere.xlsx").unlink()
    with pytest.raises(Refused, match=rf"{number}-osmere\.txt is there already"):
        write_order_papers(said, [number], tmp_path)
    assert not (tmp_path / f"{number}-osmere.xlsx").exists()
    ask_quotes(said, ["K2R-12S=20"], tmp_path, of=["Osmere"])
    with pytest.raises(Refused, match=r"osmere\.xlsx, .*osmere\.txt are there already"):
        ask_quotes(said, ["K2R-12S=20"], tmp_path)
    assert not (tmp_path / "fennmoor.xlsx").exists()


def test_suppliers_are_chosen_by_name_and_a_misspelt_one_is_refused(shop: Session, tmp_path: Path) -> None:
    files = ask_quotes(shop, ["K2R-12S=20"], tmp_path, of=["osmere", "Thaxley"]).files
    assert [f.name for f in files] == ["osmere.xlsx", "thaxley.xlsx"]
    for wrong in ("Osmeer", ""):
        with pytest.raises(Refused, match="no supplier"):
            ask_quotes(shop, ["K2R-12S=20"], tmp_path / "x", of=[wrong])


def quoted(shop: Session, folder: Path, price: float) -> None:
    (file,) = ask_quotes(shop, ["K2R-12S=20"], folder, of=["Osmere"]).files
    book = load_workbook(file)
    sheet = book.worksheets[0]
    head = next(row for row in sheet.iter_rows() if row[0].value == "Your code")
    places: dict[Any, Any] = {cell.value: cell.column for cell in head}
    sheet.cell(head[0].row + 1, places["Unit price"]).value = price
    book.save(file)
    take_quote(shop, file, "", NEXT_YEAR.strftime("%d %b %Y"))


def test_a_request_with_our_name_in_it_is_read_back_listed_and_taken_out_again(
    said: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    assert "No quote is kept" in quotes_table(list_quotes(said))
    quoted(said, tmp_path, 2.0)
    (one,) = list_quotes(said, "osmere", ["k2r 12s"])
    assert (one.part_number, one.valid_until, one.days_left) == ("K2R-12S", NEXT_YEAR, 365)
    assert one.prices[1].amount == Decimal(2) and "365 days left" in quotes_table([one])
    forget_quotes(said, "Osmere", ["K2R-12S"])
    assert list_quotes(said) == []
    with pytest.raises(Refused, match="Osmere has no quote"):
        list_quotes(said, "Osmere")


def test_an_order_is_written_at_the_quote_that_holds(said: Session, tmp_path: Path) -> None:
    quoted(said, tmp_path / "q", 1.5)
    (number,) = ordered(said, ("K2R-12S", "30"))
    _, mail = write_order_papers(said, [number], tmp_path).files
    assert "at 1.5000 EUR" in mail.read_text(encoding="utf-8") and "Goods 45.00 EUR" in mail.read_text(encoding="utf-8")
    assert Shop(said).settings.name == "Mill Lane Bench"
