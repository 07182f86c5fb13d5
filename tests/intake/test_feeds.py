"""Price lists: read in every dialect, guessed at in none; and fetched only from where they are configured."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from dataclasses import replace
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path

import pytest

from bom.buying.offer import Feed, Supplier
from bom.intake import feeds
from bom.intake.amounts import Marks, amount_in, marks_of
from bom.intake.feeds import fetch, read_price_list, take_price_list
from bom.values.problem import Refused

SUPPLIER = Supplier("Osmere", "EUR", lead_days=4)
COLUMNS = (("supplier_code", "Code"), ("part_number", "Typ"), ("stock", "Bestand"), ("lead_days", "Tage"))
BY_COLUMN = Feed(
    file="x",
    delimiter=";",
    decimal=",",
    columns=COLUMNS,
    break_columns=((1, "ab 1"), (10, "ab 10")),
    encoding="cp1252",
)
BY_ROW = Feed(file="x", columns=(("part_number", "Part"),), from_column="Qty from", price_column="Price")
HEAD = "Code;Typ;Bestand;Tage;ab 1;ab 10\n"


def prices(feed: Feed, text: str, encoding: str = "cp1252") -> dict[str, list[tuple[int, str]]]:
    offers, problems = read_price_list(feed, SUPPLIER, text.encode(encoding), "list.csv")
    assert problems == ()
    return {o.part_number: [(b.from_quantity, str(b.price.amount.normalize())) for b in o.breaks] for o in offers}


def told(feed: Feed, text: str) -> str:
    return "\n".join(map(str, read_price_list(feed, SUPPLIER, text.encode("cp1252"), "list.csv")[1]))


def test_breaks_in_columns_and_a_decimal_comma() -> None:
    assert prices(BY_COLUMN, HEAD + "1;TW2;5;4;1,60 €;1,4075\n") == {"TW2": [(1, "1.6"), (10, "1.4075")]}


def test_breaks_in_rows_come_together_in_rising_order() -> None:
    text = "Part,Qty from,Price\nTW2,10,2.20\nK2R,1,3\nTW2,1,2.90\n"
    assert prices(BY_ROW, text) == {"TW2": [(1, "2.9"), (10, "2.2")], "K2R": [(1, "3")]}


@pytest.mark.parametrize("encoding", ["cp1252", "utf-8-sig", "utf-16"])
def test_a_byte_order_mark_outranks_the_configured_encoding(encoding: str) -> None:
    assert prices(BY_COLUMN, HEAD + "Ä1;TW2;5;4;1,60;\n", encoding) == {"TW2": [(1, "1.6")]}


def test_blank_rows_preambles_and_short_rows_do_no_harm() -> None:
    assert prices(BY_COLUMN, f"Preisliste\n\n{HEAD};;;;;\n1;TW2;;;1,60\n\n") == {"TW2": [(1, "1.6")]}


@pytest.mark.parametrize("cell", ["on request", "auf Anfrage", "-", "", "0,00"])
def test_a_part_without_a_price_is_left_out_with_a_note(cell: str) -> None:
    taken = take_price_list(BY_COLUMN, SUPPLIER, f"{HEAD}1;TW2;5;4;{cell};\n".encode(), "list.csv")
    assert (taken.offers, taken.problems) == ((), ())
    assert taken.notes == ("list.csv:2: TW2 has no price (on request), row left out",)


@pytest.mark.parametrize(
    ("cell", "stock"), [("", None), ("7", 7), ("1.250", 1250), (">100", 100), ("100+", 100), ("yes", None)]
)
def test_a_stock_is_what_is_sure_to_be_there(cell: str, stock: int | None) -> None:
    offers, problems = read_price_list(BY_COLUMN, SUPPLIER, f"{HEAD}1;TW2;{cell};;1,60;\n".encode(), "list.csv")
    assert problems == ()
    assert (offers[0].stock, offers[0].lead_days) == (stock, 4)


def test_fewer_than_the_first_break_cannot_be_ordered() -> None:
    offers, _ = read_price_list(BY_COLUMN, SUPPLIER, f"{HEAD}1;TW2;5;4;;1,20\n".encode(), "list.csv")
    assert offers[0].moq == 10


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("1;TW2;5;4;1.60;1,20\n", "list.csv:2 [ab 1]: expected a price with decimal sign ','"),
        ("1;TW2;5;4;1.250;\n", "no cell shows whether '.' marks thousands or decimals"),
        ("1;TW2;5;4;1,60;\n1;TW2;5;4;1,70;\n", "list.csv:3 [part_number]: expected each part once"),
        ("1;TW2;5;4;£1,60;\n", "a price in EUR"),
        ("1;TW2;5;2 weeks;1,60;\n", "[lead_days]: expected a whole number of days"),
        ("1;2.2E+02;5;4;1,60;\n", "turned it into an exponent"),
        ("1;TW2;5;4;1,60;1,50;9\n", "expected 6 cells"),
        ("1;TW2;5;4;-1,60;\n", "[ab 1]"),
    ],
)
def test_what_cannot_be_read_for_certain_is_a_problem(rows: str, said: str) -> None:
    assert said in told(BY_COLUMN, HEAD + rows)


def test_a_missing_column_and_a_wrong_encoding_are_problems() -> None:
    assert "a column named ab 10, as configured" in told(BY_COLUMN, "Code;Typ;Bestand;Tage;ab 1\n1;2;3;4;5\n")
    assert "list.csv:2: expected text in utf-8" in told(replace(BY_COLUMN, encoding="utf-8"), HEAD + "Ä;TW2;;;1;\n")
    assert "a header row" in told(BY_COLUMN, "")


@pytest.mark.parametrize(
    ("decimal", "others", "text", "amount"),
    [
        (",", ["2,50"], "1.250", "1250"),
        (",", ["2,50"], "1.250,75", "1250.75"),
        (",", [], "1.250,75", "1250.75"),
        (",", ["0.950"], "1.250", None),
        (",", [], "1.250", None),
        (".", ["2.50"], "1,250", "1250"),
        (".", [], "1.250", "1.250"),
        (".", ["2.50"], "12,50", None),
        (".", ["2.50"], "1,2500", None),
        (".", ["1,250,000"], "1,250", "1250"),
        (".", [], "1250", "1250"),
    ],
)
def test_the_other_cells_decide_on_thousands_marks(
    decimal: str, others: list[str], text: str, amount: str | None
) -> None:
    found = amount_in(text, marks_of(decimal, [*others, text]))
    assert (None if found is None else str(found)) == amount


def test_marks_name_each_other() -> None:
    assert (Marks(",").thousands, Marks(".").thousands) == (".", ",")


class Answers(BaseHTTPRequestHandler):
    asked: list[tuple[str, str]]

    def do_GET(self) -> None:
        type(self).asked.append((self.path, self.headers.get("Authorization", "")))
        if self.path == "/away":
            self._answer(302, b"", "http://localhost:1/list.csv")
        elif self.path == "/here":
            self._answer(302, b"", "/list.csv")
        else:
            self._answer(200 if self.path == "/list.csv" else 404, b"Part,Price\nTW2,1\n")

    def _answer(self, status: int, body: bytes, location: str = "") -> None:
        self.send_response(status)
        self.send_header("Content-Length", str(len(body)))
        if location:
            self.send_header("Location", location)
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_: object) -> None:
        pass


@pytest.fixture
def host() -> Iterator[str]:
    Answers.asked = []
    server = HTTPServer(("127.0.0.1", 0), Answers)
    threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


def test_a_list_is_fetched_once_and_kept_without_its_token(
    host: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("LIST_TOKEN", "s3cret-word")
    feed, kept = Feed(url=f"{host}/list.csv", secret_env="LIST_TOKEN"), tmp_path / "cache" / "feeds.sqlite"
    assert fetch(feed, kept) == fetch(feed, kept) == b"Part,Price\nTW2,1\n"
    assert Answers.asked == [("/list.csv", "Bearer s3cret-word")]
    assert all(b"s3cret-word" not in p.read_bytes() for p in kept.parent.iterdir())


def test_a_redirect_stays_on_the_same_host(host: str, tmp_path: Path) -> None:
    assert fetch(Feed(url=f"{host}/here"), tmp_path / "c.sqlite").startswith(b"Part")
    with pytest.raises(Refused, match="which is not configured"):
        fetch(Feed(url=f"{host}/away"), tmp_path / "c.sqlite")


def test_a_failure_is_one_clear_line(host: str, tmp_path: Path) -> None:
    with pytest.raises(Refused, match="it answers 404"):
        fetch(Feed(url=f"{host}/none"), tmp_path / "c.sqlite")
    with pytest.raises(Refused, match=r"could not be fetched from 127\.0\.0\.1: connection error"):
        fetch(Feed(url="http://127.0.0.1:1/list.csv?key=abc"), tmp_path / "c.sqlite")


def test_a_list_beyond_the_limit_is_not_kept(host: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    feed = Feed(url=f"{host}/list.csv")
    with monkeypatch.context() as tight:
        tight.setattr(feeds, "MOST_BYTES", 4)
        with pytest.raises(Refused, match="larger than"):
            fetch(feed, tmp_path / "c.sqlite")
    assert fetch(feed, tmp_path / "c.sqlite")


@pytest.mark.parametrize(
    "url", ["http://example.invalid/x", "ftp://x/y", "file:///etc/hosts", "https://me:pw@x/y", "", "http://[::1"]
)
def test_only_https_addresses_are_fetched(url: str, tmp_path: Path) -> None:
    with pytest.raises(Refused, match="expected an https address"):
        fetch(Feed(url=url), tmp_path / "c.sqlite")


def test_a_token_that_is_not_set_is_named(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="NO_SUCH_TOKEN"):
        fetch(Feed(url="https://example.invalid/x", secret_env="NO_SUCH_TOKEN"), tmp_path / "c.sqlite")
