"""A supplier's file says how its price list is to be read; what it leaves unsaid is left to the list's own cells."""

from __future__ import annotations

from pathlib import Path

import pytest

from bom.buying.offer import Feed
from bom.intake.supplier_file import FEED, WORDS, take_supplier
from bom.values.problem import ProblemsFound

HEAD = '[supplier]\nname = "Osmere"\ncurrency = "EUR"\n[feed]\n'
FILE = 'file = "list.csv"\n'
COLUMNS = 'columns = { part_number = "Typ" }\n'
BREAKS = 'breaks = [ { from = 1, column = "Preis" } ]\n'


def feed_of(tmp_path: Path, text: str) -> Feed:
    (tmp_path / "osmere.toml").write_text(HEAD + text, encoding="utf-8")
    feed = take_supplier(tmp_path / "osmere.toml").value[1]
    assert feed is not None
    return feed


def test_what_is_not_stated_is_left_to_the_list(tmp_path: Path) -> None:
    feed = feed_of(tmp_path, FILE + COLUMNS + BREAKS)
    assert (feed.delimiter, feed.decimal, feed.encoding, feed.price_per) == ("", "", "utf-8", 0)


def test_packing_codes_prices_per_hundred_and_their_columns(tmp_path: Path) -> None:
    columns = 'columns = { part_number = "Typ", multiple = "VPE", price_per = "PE", currency = "W" }\n'
    feed = feed_of(tmp_path, FILE + columns + BREAKS + "price_per = 100\npacking = { TU = 20, RL = 500 }\n")
    assert (feed.price_per, feed.packing) == (100, (("TU", 20), ("RL", 500)))
    assert dict(feed.columns) == {"part_number": "Typ", "multiple": "VPE", "price_per": "PE", "currency": "W"}


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("", ("", False)),
        ('lead_time_in = ""\nstock_0 = ""\n', ("", False)),
        ('lead_time_in = "weeks"\nstock_0 = "no offer"\n', ("weeks", True)),
        ('lead_time_in = "working days"\nstock_0 = "coming"\n', ("working days", False)),
    ],
)
def test_what_lead_times_are_in_and_what_a_stock_of_0_means(tmp_path: Path, text: str, kept: tuple[str, bool]) -> None:
    feed = feed_of(tmp_path, FILE + COLUMNS + BREAKS + text)
    assert (feed.lead_time_in, feed.only_what_lies_there) == kept


def test_break_quantities_may_be_numbers_or_columns(tmp_path: Path) -> None:
    both = 'breaks = [ { from = 1, column = "P1" }, { from = "Menge 2", column = "P2" } ]\n'
    feed = feed_of(tmp_path, FILE + COLUMNS + both)
    assert (feed.break_columns, feed.break_pairs) == (((1, "P1"),), (("Menge 2", "P2"),))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (FILE + COLUMNS + BREAKS + 'secret_env = "T"\n', "a url that the token is for"),
        ('url = "https://x.invalid/l.csv"\n' + COLUMNS + BREAKS + 'secret_env = "ab-12!"\n', "not the token itself"),
        ('url = "http://x.invalid/l.csv"\n' + COLUMNS + BREAKS, "expected an https address"),
        ('url = "https://me:pw@x.invalid/l.csv"\n' + COLUMNS + BREAKS, "without a password in it"),
        ('url = "https://x.invalid/l.csv"\n' + FILE + COLUMNS + BREAKS, "either file or url"),
        (FILE + COLUMNS, "prices either in columns (breaks) or in rows"),
        (FILE + COLUMNS + BREAKS + "packing = { TU = 0 }\n", "[feed.packing.TU]"),
        (FILE + COLUMNS + BREAKS + "price_per = 0\n", "[feed.price_per]"),
        (FILE + COLUMNS + BREAKS + 'lead_time_in = "fortnights"\n', "[feed.lead_time_in]"),
        (FILE + COLUMNS + BREAKS + "lead_time_in = 7\n", "[feed.lead_time_in]"),
        (FILE + COLUMNS + BREAKS + 'lead_time_im = "weeks"\n', "lead_time_in"),
        (FILE + COLUMNS + BREAKS + 'stock_0 = "maybe"\n', "[feed.stock_0]"),
        (FILE + COLUMNS + BREAKS + "stock_0 = 0\n", "[feed.stock_0]"),
        (FILE + COLUMNS + BREAKS.replace("} ]", '}, { from = 1, column = "x" } ]'), "each 'from' once"),
    ],
)
def test_a_wrong_key_is_named_and_no_token_is_shown(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(ProblemsFound, match=r"osmere\.toml") as found:
        feed_of(tmp_path, text)
    assert said in str(found.value)
    assert "ab-12!" not in str(found.value) and "pw" not in str(found.value)


def test_a_quantity_in_quotes_is_the_quantity_and_not_a_heading(tmp_path: Path) -> None:
    feed = feed_of(tmp_path, FILE + COLUMNS + BREAKS.replace("from = 1", 'from = "10"'))
    assert (feed.break_columns, feed.break_pairs) == (((10, "Preis"),), ())


def test_every_word_that_a_list_may_have_a_heading_for_is_explained() -> None:
    assert all(word in FEED["columns"].meaning for word in WORDS)
