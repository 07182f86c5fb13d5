"""Price lists as distributors' exports really look: taken right, or refused with the reason."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from taken_whole import PriceList, take_price_list

from bom.buying.offer import Feed, Supplier

COLUMNS = (
    ("supplier_code", "Nr"),
    ("part_number", "Typ"),
    ("stock", "Bestand"),
    ("moq", "MOQ"),
    ("lead_days", "Tage"),
)
FEED = Feed(file="x", columns=COLUMNS, break_columns=((1, "Preis"),))
HEAD = "Nr;Typ;Bestand;MOQ;Tage;Preis\n"
READ_ON = datetime(2026, 11, 25, tzinfo=UTC)


def taken(text: str | bytes, currency: str = "EUR", feed: Feed = FEED) -> PriceList:
    data = text.encode() if isinstance(text, str) else text
    return take_price_list(feed, Supplier("Osmere", currency, tax_pct=20), data, "list.csv", READ_ON)


def told(found: PriceList) -> str:
    return "\n".join([*map(str, found.problems), *found.notes])


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"<!DOCTYPE html><html><h1>Please log in</h1></html>", "a web page"),
        (b"PK\x03\x04\x14\x00\x06", "a spreadsheet whose archive is whole"),
        (b"%PDF-1.4\n1 0 obj", "a PDF"),
        (b'{"error": "unauthorized"}', "JSON"),
        (b"\n\n   \n", "an empty file"),
        ((HEAD + "1;TW\u00d6;5;1;4;3,10\n").encode("utf-16-le"), "zero bytes"),
    ],
)
def test_what_is_no_list_is_one_problem_and_not_one_a_column(data: bytes, what: str) -> None:
    (problem,) = taken(data).problems
    assert what in str(problem)


@pytest.mark.parametrize(
    ("row", "field", "right"),
    [
        ("1;TW2;1\u2019250;1;4;1\u2019003.10", "stock", 1250),
        ("1;TW2;5-;1;4;3,10", "stock", 0),
        ("1;TW2;-5;1;4;3,10", "stock", 0),
        ("1;TW2;5;0;4;3,10", "moq", 1),
        ("1;TW2;5;St\u00fcck;4;3,10", "moq", 1),
        ("1;TW2;5;1;2026-12-15;3,10", "lead_days", 20),
        ("1;TW2;5;1;15.12.2026;3,10", "lead_days", 20),
        ("1;TW2;5;1;15.12.2025;3,10", "lead_days", None),
        ("1;TW2;5;1;sofort;3,10", "lead_days", 0),
        ('"=""0503""";TW2;5;1;4;3,10', "supplier_code", "0503"),
        ("1;'=5V;5;1;4;3,10", "part_number", "=5V"),
        ("1;=5V;5;1;4;3,10", "part_number", "=5V"),
    ],
)
def test_cells_as_people_and_programs_write_them(row: str, field: str, right: object) -> None:
    decimal = row.replace("3,10", "3.10") if "\u2019" in row else row
    text = HEAD + decimal + ("\n9;K2R;5;1;4;2.50\n" if "\u2019" in row else "\n9;K2R;5;1;4;2,50\n")
    found = taken(text)
    assert found.problems == ()
    assert getattr(found.offers[0], field) == right


@pytest.mark.parametrize(
    ("heading", "currency", "expected"),
    [
        ("Price (USD)", "EUR", "prices in EUR"),
        ("Unit price $", "EUR", "prices in EUR"),
        ("Preis inkl. MwSt.", "EUR", "prices_include_tax = false"),
        ("Price (USD)", "USD", ""),
        ("Price EUR/USD", "EUR", ""),
        ("Preis exkl. MwSt.", "EUR", ""),
        ("Price ex VAT", "EUR", ""),
    ],
)
def test_a_heading_must_not_speak_against_the_suppliers_file(heading: str, currency: str, expected: str) -> None:
    feed = Feed(file="x", columns=(("part_number", "Typ"),), break_columns=((1, heading),))
    found = taken(f"Typ;{heading}\nTW2;3.10\n", currency, feed)
    assert expected in told(found) if expected else (told(found) == "" and len(found.offers) == 1)


@pytest.mark.parametrize("row", ["Summe;Gesamt;17;;;6,20", ";Total;17;;;6,20", "Zwischensumme;x;;;;6,20"])
def test_a_row_of_totals_is_no_part(row: str) -> None:
    found = taken(f"{HEAD}1;TW2;5;1;4;3,10\n{row}\n")
    assert ([o.part_number for o in found.offers], "stands for a total" in told(found)) == (["TW2"], True)


@pytest.mark.parametrize("cell", ["#DIV/0!", "#N/A", "a. A.", "Tagespreis"])
def test_a_price_that_a_spreadsheet_failed_to_reckon_is_no_price(cell: str) -> None:
    assert "has no price" in told(taken(f"{HEAD}1;TW2;5;1;4;{cell}\n"))


def test_a_price_too_small_to_keep_is_told_and_not_taken_for_on_request() -> None:
    assert "0.000001 EUR or more" in told(taken(f"{HEAD}1;TW2;5;1;4;0,0000004\n"))


@pytest.mark.parametrize("text", ["10", "10+", "ab 10", "10-99", "10 \u2013 99", "\u226510", ">=10", "10 St\u00fcck"])
def test_a_break_begins_at_the_lower_end_of_what_is_written(text: str) -> None:
    feed = Feed(file="x", columns=(("part_number", "Part"),), from_column="Qty", price_column="Price")
    (offer,) = taken(f"Part,Qty,Price\nTW2,1,3.10\nTW2,{text},2.90\n", feed=feed).offers
    assert [b.from_quantity for b in offer.breaks] == [1, 10]


def test_the_last_line_of_a_kind_is_the_last_in_the_list_though_met_earlier() -> None:
    rows = "1;TW2;5;1;4;POA\n2;K2R;5;1;4;POA\n3;DUO;5;1;4;POA\n1;TW2;5;1;4;POA\n"
    assert "the last on line 4" in told(taken(HEAD + rows + "9;Z;1;1;1;3,10\n"))
