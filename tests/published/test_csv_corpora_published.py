"""CSV files that others made to try readers with, read as they say.

Sources: Max Ogden, csv-spectrum 2.0.0 (npm), whose own JSON files are the expected cells; Christopher Groskopf and
contributors, csvkit 2.2.0 (PyPI), folder ``examples``: what those files hold is read off the files themselves. Files
that hold people, addresses or telephone numbers are left out. BSD and MIT licences lie beside the data.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from taken_whole import take_price_list

from bom.buying.offer import Feed, Supplier
from bom.intake.price_lists.list_file import Dialect, ListReport, open_table, source_of_file

DATA = Path(__file__).resolve().parents[1] / "data"
SPECTRUM, CSVKIT = DATA / "csv_spectrum", DATA / "csvkit_examples"
WHOLE = sorted(p.stem for p in SPECTRUM.glob("*.csv"))


def read(path: Path, headings: list[str], encoding: str = "utf-8", delimiter: str = "") -> list[list[str]]:
    """The cells under these headings; a list of problems, as text, where there are any."""
    report = ListReport(path.name)
    table = open_table(source_of_file(path), Dialect(encoding, delimiter), headings, report)
    rows = [[cells[table.place(h)] for h in headings] for _, cells in table.rows(report)] if table else []
    return [[str(p)] for p in report.problems] or rows


@pytest.mark.parametrize("name", WHOLE)
def test_csv_spectrum_is_read_as_its_json_says(name: str) -> None:
    expected = json.loads((SPECTRUM / f"{name}.json").read_text(encoding="utf-8"))
    headings = list(expected[0])
    assert read(SPECTRUM / f"{name}.csv", headings) == [list(row.values()) for row in expected]


def test_csv_spectrum_is_whole_but_for_an_address() -> None:
    assert len(WHOLE) == 10


ABC, FOO = ["a", "b", "c"], ["foo", "bar", "baz"]


@pytest.mark.parametrize(
    ("name", "encoding", "headings", "rows"),
    [
        ("dummy.csv", "utf-8", ABC, [["1", "2", "3"]]),
        ("dummy.tsv", "utf-8", ABC, [["1", "2", "3"]]),
        ("sniff_limit.csv", "utf-8", ABC, [["1", "2", "3"]]),
        ("optional_quote_characters.csv", "utf-8", ABC, [["1", "2", "3"]]),
        ("test_skip_lines.csv", "utf-8", ABC, [["1", "2", "3"]]),
        ("test_extra_header.csv", "utf-8", [*ABC, "d"], [["1", "2", "3", ""]]),
        ("test_join_short_rows.csv", "utf-8", ABC, [["1", "cat", ""], ["dog", "c", ""], ["3", "b", "c"]]),
        ("dummy_col_shuffled_ragged.csv", "utf-8", [*ABC, "d"], [["1", "2", "3", "4"]]),
        ("blanks.csv", "utf-8", [*"abcdef"], [["", "NA", "N/A", "NONE", "NULL", "."]]),
        ("date_like_number.csv", "utf-8", ["a"], [["4.5"]]),
        ("test_locale.csv", "utf-8", ABC, [["1,7", "200.000.000", ""]]),
        ("test_latin1.csv", "latin-1", ABC, [["1", "2", "3"], ["4", "5", "©"]]),
        ("test_utf8.csv", "utf-8", FOO, [["1", "2", "3"], ["4", "5", "ʤ"]]),
        ("test_utf8_bom.csv", "cp1252", FOO, [["1", "2", "3"], ["4", "5", "ʤ"]]),
        ("test_utf16_little.csv", "utf-8", ABC, [["1", "2", "3"], ["4", "5", "ʤ"]]),
        ("test_utf16_big.csv", "utf-8", ABC, [["1", "2", "3"], ["4", "5", "ʤ"]]),
        ("test_header_newline.csv", "utf-8", ["start end", "b", "c"], [["d", "e", "f"]]),
        ("test_empty_columns_long_row.csv", "utf-8", ABC, []),
        ("test_empty_columns_short_row.csv", "utf-8", ABC, []),
    ],
)
def test_csvkits_examples_are_read(name: str, encoding: str, headings: list[str], rows: list[list[str]]) -> None:
    assert read(CSVKIT / name, headings, encoding) == rows


def test_old_line_ends_are_line_ends() -> None:
    assert b"\n" not in (CSVKIT / "mac_newlines.csv").read_bytes()
    assert read(CSVKIT / "mac_newlines.csv", ABC) == [["1", "2", "3"], ["Once upon\ra time", "5", "6"]]


def test_a_longer_example_is_read_whole() -> None:
    assert len(read(CSVKIT / "iris.csv", ["species"])) == 150


@pytest.mark.parametrize(
    ("name", "encoding", "said"),
    [
        ("bad.csv", "utf-8", "bad.csv:2: expected 3 cells as in the header"),
        ("null_byte.csv", "utf-8", "zero bytes"),
        ("empty.csv", "utf-8", "a header row"),
        ("test_latin1.csv", "utf-8", "test_latin1.csv:3: expected text in utf-8"),
        ("test_utf8.csv", "ascii", "test_utf8.csv:3: expected text in ascii"),
    ],
)
def test_what_is_broken_in_csvkits_examples_is_told(name: str, encoding: str, said: str) -> None:
    headings = ["column_a", "column_b", "column_c"] if name == "bad.csv" else FOO if "utf8" in name else ABC
    (problem,), *_ = read(CSVKIT / name, headings, encoding)
    assert said in problem


def test_an_example_is_a_price_list_too() -> None:
    feed = Feed(file="x", columns=(("part_number", "b"),), break_columns=((1, "a"),))
    data = (CSVKIT / "test_locale.csv").read_bytes()
    (offer,) = take_price_list(feed, Supplier("Osmere", "EUR"), data, "test_locale.csv").offers
    assert (offer.part_number, str(offer.breaks[0].price)) == ("200.000.000", "1.70 EUR")
