"""A quote goes out as a spreadsheet and is read back as people fill it in."""

from __future__ import annotations

from collections.abc import Callable
from copy import copy
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from bom.buying.offer import Offer, Supplier
from bom.intake import filled_sheet as back
from bom.intake.quote_sheet import QuoteTaken, read_quote
from bom.paper.workbooks import quote_sheet as out
from bom.paper.workbooks.quote_sheet import AskedLine, QuoteRequest, write_request
from bom.values.problem import ProblemsFound, Refused

OSMERE = Supplier("Osmere", "EUR")
TODAY = date(2026, 11, 25)
LINES = (
    AskedLine("25K10", "K2R-12S", "Kithmar", "twin relay", 20, "piece", date(2026, 12, 20)),
    AskedLine("=1+1", "22E1", "Ostrel", "relay", 5),
    AskedLine("", "SAC305-1.0", "Hollowmere Bench", "solder wire", 430, "g"),
)
Filled = Callable[..., Path]


@pytest.fixture
def filled(tmp_path: Path) -> Filled:
    """Writes the request, and fills in cells given as {part: {heading: value}}; a part's None removes its cells."""

    def fill(cells: dict[str, dict[str, Any]], until: Any = None) -> Path:
        path = tmp_path / "osmere.xlsx"
        write_request(path, QuoteRequest("Osmere", "EUR", LINES, TODAY))
        book = load_workbook(path)
        sheet: Any = book["Quote"]
        head = next(row for row in sheet.iter_rows() if row[0].value == "Your code")
        places = {cell.value: cell.column for cell in head}
        for row in range(head[0].row + 1, sheet.max_row + 1):
            for name, value in cells.get(sheet.cell(row, 2).value, {}).items():
                sheet.cell(row, places[name]).value = value
        sheet["C4"].value = until
        book.save(path)
        return path

    return fill


def taken(path: Path) -> QuoteTaken:
    return read_quote(path, OSMERE, TODAY)


def only(path: Path) -> Offer:
    (offer,) = taken(path).offers
    return offer


def told(path: Path) -> str:
    with pytest.raises(ProblemsFound) as found:
        taken(path)
    return str(found.value)


def test_what_is_read_back_has_the_names_that_are_written() -> None:
    assert set(back.COLUMNS) <= {name for name, *_ in out.COLUMNS}
    assert (back.FOR, back.UNTIL, back.AS_ASKED) == (out.FOR, out.UNTIL, out.AS_ASKED)


def test_a_request_is_a_page_that_fits_with_marked_cells(filled: Filled) -> None:
    sheet: Any = load_workbook(filled({}))["Quote"]
    assert (sheet.page_setup.orientation, sheet.page_setup.fitToWidth) == ("landscape", 1)
    assert sheet.print_title_rows == "$10:$10" and "No substitutes without asking" in sheet["A6"].value
    marked = {sheet.cell(10, c).value for c in range(1, 17) if sheet.cell(11, c).fill.fgColor.rgb == "00FFF7D6"}
    assert marked == {name for name, *_, theirs in out.COLUMNS if theirs}
    assert [sheet.cell(11, c).value for c in (1, 2, 3, 5, 6)] == ["25K10", "K2R-12S", "Kithmar", 20, "piece"]
    assert sheet["A12"].data_type == "s" and sheet["B12"].number_format == "@"
    assert sheet.cell(11, 7).value == datetime(2026, 12, 20) and sheet.cell(12, 7).value == "soonest"


@pytest.mark.parametrize(
    ("typed", "price"),
    [
        (0.5, "0.5"), (2, "2"), ("0,50", "0.5"), ("0.50", "0.5"), ("1,234.50", "1234.5"), ("1.234,50", "1234.5"),
        (" 2,10 € ", "2.1"), ("EUR 2.10", "2.1"), ("210/100", "2.1"), ("2.10 each", "2.1"), ("5,-", "5"),
        (Decimal("0.0125"), "0.0125"), ("1234", "1234"), (1e-05, "0.00001"),
    ],
)  # fmt: skip
def test_a_price_is_read_however_it_is_typed(filled: Filled, typed: Any, price: str) -> None:
    assert only(filled({"K2R-12S": {"Unit price": typed}})).breaks[0].price.amount == Decimal(price)


def test_a_price_that_could_be_two_is_decided_by_the_others_or_asked_for(filled: Filled) -> None:
    assert "decimal sign is certain" in told(filled({"K2R-12S": {"Unit price": "1,234"}}))
    both = taken(filled({"K2R-12S": {"Unit price": "1,234"}, "22E1": {"Unit price": "2,10"}})).offers
    assert [str(o.breaks[0].price.amount) for o in both] == ["1.234", "2.1"]


def test_everything_that_is_filled_in_is_taken(filled: Filled) -> None:
    cells = {
        "Unit price": "210", "Currency": "usd", "Price is for, units": 100, "Minimum quantity": "25 pcs",
        "Multiple": 5.0, "Lead time, days": "2-3 weeks", "Lower price from, units": "100", "Lower unit price": 190.0,
    }  # fmt: skip
    found = taken(filled({"K2R-12S": cells}, until=datetime(2026, 12, 31)))
    (offer,) = found.offers
    assert (found.made_for, found.until) == ("Osmere", date(2026, 12, 31))
    assert [(b.from_quantity, str(b.price)) for b in offer.breaks] == [(1, "2.10 USD"), (100, "1.90 USD")]
    assert (offer.moq, offer.multiple, offer.lead_days, offer.maker) == (25, 5, 21, "Kithmar")
    assert (offer.supplier_code, offer.file) == ("25K10", "osmere.xlsx")
    assert found.notes[:2] == (
        f"line {offer.line}: K2R-12S: at least 25, where 20 were asked for",
        f"line {offer.line}: K2R-12S is quoted in USD; Osmere sells in EUR",
    )


@pytest.mark.parametrize(
    ("typed", "days"),
    [(14, 14), ("14", 14), ("2 Wochen", 14), (datetime(2026, 12, 2), 7), ("", None), ("ca. 3 days", 3)],
)
def test_a_lead_time_may_be_weeks_or_a_day(filled: Filled, typed: Any, days: int | None) -> None:
    assert only(filled({"K2R-12S": {"Unit price": 1, "Lead time, days": typed}})).lead_days == days


@pytest.mark.parametrize("word", ["n/a", "no bid", "-", "auf Anfrage", 0])
def test_a_line_without_a_price_is_told_and_is_no_offer(filled: Filled, word: Any) -> None:
    found = taken(filled({"K2R-12S": {"Unit price": word}, "22E1": {"Unit price": 2}}))
    assert [o.part_number for o in found.offers] == ["22E1"]
    assert found.notes[-1] == "no price, so no offer, for K2R-12S, SAC305-1.0"


@pytest.mark.parametrize(
    ("typed", "day"),
    [("2026-12-31", date(2026, 12, 31)), ("31.12.2026", date(2026, 12, 31)), ("31/12/2026", date(2026, 12, 31))],
)
def test_a_last_day_may_be_typed(filled: Filled, typed: str, day: date) -> None:
    assert taken(filled({"K2R-12S": {"Unit price": 1}}, until=typed)).until == day


@pytest.mark.parametrize(
    ("cells", "until", "said"),
    [
        ({"Unit price": -1}, None, "[Unit price]: expected a price above 0, found '-1'"),
        ({"Unit price": "€ -2,10"}, None, "[Unit price]: expected a price above 0"),
        ({"Unit price": "x"}, None, "[Unit price]: expected a price; 'no bid'"),
        ({"Unit price": 2, "Lower price from, units": 50, "Lower unit price": "x"}, None, "[Lower unit price]"),
        ({"Unit price": "x", "Minimum quantity": "a few"}, None, "[Minimum quantity]"),
        ({"Unit price": -1, "Lead time, days": "soon", "Lower unit price": 2}, None, "[Lead time, days]"),
        ({"Unit price": 1, "Currency": "GPB"}, None, "(is GBP meant?)"),
        ({"Unit price": "2.10 USD"}, None, "a price in EUR (this is USD)"),
        ({"Unit price": datetime(2026, 2, 1)}, None, "[Unit price]: expected a price"),
        ({"Unit price": True}, None, "[Unit price]: expected a price"),
        ({"Unit price": 1, "Currency": "Taler"}, None, "[Currency]: expected an ISO 4217"),
        ({"Unit price": 1, "Minimum quantity": "a few"}, None, "[Minimum quantity]"),
        ({"Unit price": 1, "Minimum quantity": 2.5}, None, "[Minimum quantity]"),
        ({"Unit price": 1, "Multiple": "reel"}, None, "[Multiple]"),
        ({"Unit price": 1, "Lead time, days": "soon"}, None, "[Lead time, days]"),
        ({"Unit price": 1, "Lower unit price": 0.9}, None, "[Lower price from, units]: expected both"),
        ({"Unit price": 1, "Lower price from, units": 9}, None, "[Lower unit price]: expected both"),
        ({"Unit price": 1, "Price is for, units": "dozen"}, None, "[Price is for, units]: expected a number of"),
        ({"Unit price": 1, "Part number": None}, None, "a part number beside the price"),
        ({"Unit price": 1, "Part number": "2.2E+02"}, None, "an exponent"),
        ({"Unit price": 1, "Part number": "SAC305-1.0", "Your code": None}, None, "SAC305-1.0 once"),
        ({"Unit price": 1}, "3/4/2027", "a date such as"),
        ({"Unit price": 1}, "end of year", "a date such as"),
    ],
)
def test_a_cell_that_is_wrong_is_named(filled: Filled, cells: dict[str, Any], until: Any, said: str) -> None:
    assert said in told(filled({"K2R-12S": cells, "22E1": {"Unit price": 2}, "SAC305-1.0": {"Unit price": 3}}, until))


def test_lines_for_one_part_with_their_own_minimum_are_its_breaks(filled: Filled) -> None:
    more = {"Part number": "K2R-12S", "Your code": "25K10", "Unit price": 1.8, "Minimum quantity": 50}
    offer = only(filled({"K2R-12S": {"Unit price": 2, "Minimum quantity": 10}, "22E1": more}))
    assert [(b.from_quantity, str(b.price.amount)) for b in offer.breaks] == [(10, "2"), (50, "1.8")]
    assert offer.moq == 10


def test_a_part_that_was_not_asked_for_is_told(filled: Filled) -> None:
    found = taken(filled({"K2R-12S": {"Unit price": 2, "Part number": "K2R-99"}}))
    assert "K2R-99 was not asked for" in found.notes[0]


def test_an_empty_sheet_and_no_sheet_are_refused(filled: Filled, tmp_path: Path) -> None:
    assert "at least one price" in told(filled({}))
    (tmp_path / "x.xlsx").write_text("no spreadsheet", encoding="utf-8")
    for name in ("x.xlsx", "nosuch.xlsx"):
        with pytest.raises(Refused):
            taken(tmp_path / name)


def test_empty_rows_at_the_end_are_nothing_and_too_many_full_ones_are_refused(
    filled: Filled, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = filled({"K2R-12S": {"Unit price": 2}})
    book = load_workbook(path)
    book["Quote"].cell(9000, 3)._style = copy(book["Quote"].cell(10, 8)._style)
    book.save(path)
    assert only(path).part_number == "K2R-12S"
    monkeypatch.setattr(back, "MOST_ROWS", 9)
    with pytest.raises(Refused, match="at most 9 rows"):
        taken(path)


@pytest.mark.parametrize("typed", ["50", "50+", "ab 50", "50-99", 50])
def test_a_lower_price_may_be_from_a_range(filled: Filled, typed: Any) -> None:
    cells = {"Unit price": 2.1, "Lower price from, units": typed, "Lower unit price": "1,90"}
    assert [b.from_quantity for b in only(filled({"K2R-12S": cells}, "2026-12-31")).breaks] == [1, 50]


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        ({"Remark": "only until stocks end"}, "they remark 'only until stocks end'"),
        ({"Lower price from, units": 50, "Lower unit price": 2.5}, "the lower price is not lower"),
        ({"Lead time, days": "15.12.2026"}, "so many days from the day it was read"),
    ],
)
def test_what_a_person_should_look_at_is_told(filled: Filled, cells: dict[str, Any], said: str) -> None:
    assert said in "\n".join(taken(filled({"K2R-12S": {"Unit price": 2.1, **cells}}, "2026-12-31")).notes)


def test_a_total_below_the_lines_and_a_sheet_of_terms_before_them_do_no_harm(filled: Filled) -> None:
    path = filled({"K2R-12S": {"Unit price": 2.1, "Minimum quantity": "min. 5 pcs"}}, "2026-12-31")
    book = load_workbook(path)
    quote: Any = book["Quote"]
    quote.cell(quote.max_row + 2, 7).value = "Total:"
    quote.cell(quote.max_row, 8).value = 42
    book.create_sheet("Terms", 0)["A1"] = "General terms"
    book.save(path)
    assert (only(path).part_number, only(path).moq) == ("K2R-12S", 5)


def with_heading(path: Path, old: str, new: str) -> Path:
    book = load_workbook(path)
    cell = next(c for row in book["Quote"].iter_rows() for c in row if c.value == old)
    cell.value = new
    book.save(path)
    return path


PRICED = {"K2R-12S": {"Unit price": 2, "Lead time, days": 5}}


def test_a_heading_that_nobody_knows_is_refused_with_the_nearest(filled: Filled) -> None:
    said = told(with_heading(filled(PRICED, "2026-12-31"), "Lead time, days", "Lead tyme, days"))
    assert "[Lead tyme, days]: expected a heading of the request ('Lead time, days'?), or --leave-out" in said


def test_a_column_of_the_senders_own_is_left_out_by_name_alone(filled: Filled) -> None:
    path = with_heading(filled(PRICED, "2026-12-31"), "Remark", "Their stock")
    assert "one that is not known" in told(path)
    assert read_quote(path, OSMERE, TODAY, leave_out=["their stock"]).offers
    with pytest.raises(ProblemsFound, match="Other"):
        read_quote(path, OSMERE, TODAY, leave_out=["their stock", "Other"])


@pytest.mark.parametrize(("old", "new"), [("Remark", "Note of theirs"), ("Lead time, days", "LEAD time,days")])
def test_notes_and_other_capitals_and_spaces_are_fine(filled: Filled, old: str, new: str) -> None:
    assert taken(with_heading(filled(PRICED, "2026-12-31"), old, new)).offers


def test_a_heading_that_must_be_there_and_was_renamed_is_named_with_its_row(filled: Filled) -> None:
    path = filled({})
    book = load_workbook(path)
    next(cell for row in book["Quote"].iter_rows() for cell in row if cell.value == "Unit price").value = "Unit prise"
    book.save(path)
    with pytest.raises(ProblemsFound, match=r"osmere.xlsx:\d+ \[Unit price\]: .*Unit price, found 'Unit prise'"):
        back.opened_sheet(path)
