"""Suppliers at work: lists that fail leave the last good offers, quotes last until their day, rates set the base."""

from __future__ import annotations

import re
import shutil
import threading
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from bom.answers.buying import ListTaken
from bom.jobs.bench import bench, glance
from bom.jobs.buying.planning import PlanAsked, plan_asked
from bom.jobs.buying.price_lists import refresh
from bom.jobs.buying.quotes import ask_quotes, take_quote
from bom.jobs.buying.reordering import plan_reorder
from bom.jobs.buying.suppliers import add_supplier, age, confirm, show_suppliers, take_rates_file
from bom.jobs.demo import load_shop
from bom.paper.terminal.buying import quote_table, rates_table, refreshed_table, suppliers_table
from bom.shop.prices import cheapest, offers_for
from bom.shop.settings import settings_of
from bom.shop.shop import Shop
from bom.stock.ledger import Lot
from bom.store.offers import feed_of, list_state, offers, supplier, take_supplier
from bom.store.shelf import add_lot
from bom.values.difference import Replacing
from bom.values.money import Money
from bom.values.problem import ProblemsFound, Refused

NEXT_YEAR = date.today() + timedelta(days=365)
SECRET = "s3cret-word"
HEAD = "Code;Part;Stock;Price\n"
GOOD = HEAD + "1;TW2-12S;5;3.10\n2;K2R-12S;7;2.90\n"


@pytest.fixture(scope="module")
def loaded(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("suppliers") / "bom.db"
    with bench(f"sqlite:///{file}") as session:
        list(load_shop(session, demo_folder))
    return file


@pytest.fixture
def url(loaded: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    shutil.copy(loaded, tmp_path / "bom.db")
    return f"sqlite:///{tmp_path / 'bom.db'}"


class Answering(BaseHTTPRequestHandler):
    """A supplier's server that answers whatever the test wants next."""

    status, body, kind = 200, GOOD, "text/csv"

    def do_GET(self) -> None:
        data = self.body.encode()
        self.send_response(self.status)
        self.send_header("Content-Type", self.kind)
        self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        self.wfile.write(data)

    def log_message(self, *_: object) -> None:
        pass


@pytest.fixture
def server(monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    for name in ("HTTP_PROXY", "http_proxy", "ALL_PROXY", "all_proxy"):
        monkeypatch.setenv(name, "http://127.0.0.1:1")  # what stays on this machine goes through no proxy
    monkeypatch.setenv("HOLLOW_TOKEN", SECRET)
    for name, value in (("status", 200), ("body", GOOD), ("kind", "text/csv")):
        monkeypatch.setattr(Answering, name, value)
    served = ThreadingHTTPServer(("127.0.0.1", 0), Answering)
    threading.Thread(target=served.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True).start()
    yield f"http://127.0.0.1:{served.server_port}/k3y/list.csv"
    served.shutdown()
    served.server_close()


@pytest.fixture
def fed(url: str, server: str, tmp_path: Path) -> str:
    """The shop with a supplier more, whose list comes from the server."""
    text = f"""
[supplier]
name = "Hollowmere Bench"
currency = "GBP"
[feed]
url = "{server}"
secret_env = "HOLLOW_TOKEN"
delimiter = ";"
keep_hours = 0
columns = {{ supplier_code = "Code", part_number = "Part", stock = "Stock" }}
breaks = [ {{ from = 1, column = "Price" }} ]
"""
    (tmp_path / "hollowmere.toml").write_text(text, encoding="utf-8")
    with bench(url) as session:
        add_supplier(session, tmp_path / "hollowmere.toml")
    return url


def refreshed(url: str, **wishes: bool) -> ListTaken:
    (answer,) = refresh(url, "hollowmere bench", **wishes)
    return answer


def offered(url: str) -> list[str]:
    with glance(url) as session:
        return [o.part_number for o in offers(session) if o.supplier == "Hollowmere Bench"]


def test_offers_remember_their_list_the_moment_and_the_line(fed: str) -> None:
    before = datetime.now(UTC)
    assert refreshed(fed).offers == 2
    with glance(fed) as session:
        first = next(o for o in offers(session) if o.supplier == "Hollowmere Bench")
    assert (first.file, first.line) == ("127.0.0.1/list.csv", 2)
    assert first.seen is not None and before <= first.seen <= datetime.now(UTC)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"status": 500}, "it answers 500"),
        ({"kind": "text/html", "body": "<html>"}, "is no CSV"),
        ({"body": GOOD.replace("3.10", "3,1O")}, "list.csv:2 [Price]: expected a price"),
        ({"body": HEAD}, "the list holds no offer"),
        ({"body": GOOD.replace("Price", "Cost")}, "a column named Price, as configured"),
    ],
)
def test_a_list_that_fails_leaves_the_last_good_offers_and_says_how_old_they_are(
    fed: str, monkeypatch: pytest.MonkeyPatch, changed: dict[str, Any], said: str
) -> None:
    refreshed(fed)
    for name, value in changed.items():
        monkeypatch.setattr(Answering, name, value)
    answer = refreshed(fed)
    assert answer.failed and any(said in note for note in answer.notes)
    assert "the 2 offers of " in answer.notes[-1] and "they are less than a minute old" in answer.notes[-1]
    assert offered(fed) == ["TW2-12S", "K2R-12S"]
    with glance(fed) as session:
        state = list_state(session, "Hollowmere Bench")
    assert state is not None and state.failed is not None and state.offers == 2 and said.split(" [")[0] in state.why


def test_the_token_and_the_address_are_neither_shown_nor_kept(
    fed: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = refreshed_table([refreshed(fed)])
    monkeypatch.setattr(Answering, "status", 500)
    said += refreshed_table([refreshed(fed)])
    kept = b"".join(p.read_bytes() for p in tmp_path.rglob("*") if p.is_file())
    assert SECRET not in said and "k3y" not in said and SECRET.encode() not in kept


def test_the_same_list_again_is_not_read_again_and_is_as_young_as_the_question(
    fed: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, again = refreshed(fed), refreshed(fed)
    assert (again.offers, again.notes[0]) == (2, "the same list as last time")
    assert again.as_of > first.as_of
    with glance(fed) as session:
        assert {o.seen for o in offers(session) if o.supplier == "Hollowmere Bench"} == {again.as_of}
    assert "the same list as last time" not in refreshed(fed, anew=True).notes
    monkeypatch.setattr(Answering, "body", GOOD.replace("3.10", "3.20"))
    assert "the same list as last time" not in refreshed(fed).notes


def test_parts_on_request_are_counted_and_named_and_are_no_offers(fed: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Answering, "body", GOOD + "".join(f"{n};P{n};1;POA\n" for n in range(12)))
    answer = refreshed(fed)
    assert (answer.offers, answer.on_request, answer.to_ask_for[:2]) == (2, 12, ("P0", "P1"))
    assert "on request, 12 parts: P0, P1, P2, P3, P4, P5, P6, P7 and 4 more" in refreshed_table([answer])
    assert refreshed(fed).on_request is None  # the same list, which is not read again


def test_a_list_that_lost_most_of_its_offers_is_taken_only_when_told_so(
    fed: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Answering, "body", HEAD + "".join(f"{n};P{n};1;2.50\n" for n in range(50)))
    assert refreshed(fed).offers == 50
    monkeypatch.setattr(Answering, "body", GOOD)
    assert "2 offers where the last one held 50" in refreshed(fed).notes[0]
    assert refreshed(fed, shorter=True).offers == 2


def test_parts_outside_the_catalogue_are_told(fed: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Answering, "body", GOOD + "3;NOBODY-1;1;1.00\n4;tw2 24s;1;1.00\n")
    assert "1 of 4 offers are for parts that are not in the catalogue (NOBODY-1)" in refreshed(fed).notes


def test_every_problem_has_its_own_line(fed: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Answering, "body", HEAD + "1;TW2-12S;5;3.1o\n2;K2R-12S;5;two\n3;2.2E+02;1;2.90\n")
    assert len(refreshed_table([refreshed(fed)]).splitlines()) == 4


def test_a_list_from_a_file_that_is_gone_fails_and_the_others_are_read(url: str, tmp_path: Path) -> None:
    with bench(url) as session:
        one, feed = supplier(session, "Osmere"), feed_of(session, "Osmere")
        assert one is not None and feed is not None
        take_supplier(session, one, replace(feed, file=str(tmp_path / "gone.csv")))
    answers = {a.supplier: a for a in refresh(url)}
    assert [name for name, a in answers.items() if a.failed] == ["Osmere"]
    assert "the 46 offers of" in answers["Osmere"].notes[-1]


def test_a_part_on_tape_is_the_part_and_keeps_what_the_supplier_calls_it(
    fed: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Answering, "body", HEAD + ";tw2-12s/TR;50;1.10\n")
    refreshed(fed)
    with glance(fed) as session:
        mine = [o for o in offers_for(Shop(session), ["TW2-12S"]) if o.supplier == "Hollowmere Bench"]
        assert [(o.part_number, o.supplier_code) for o in mine] == [("TW2-12S", "tw2-12s/TR")]
        assert cheapest(Shop(session)).among(["TW2-12S"])["TW2-12S"].amount == Decimal("1.1")


def test_a_supplier_shows_how_its_list_stands(fed: str, monkeypatch: pytest.MonkeyPatch) -> None:
    refreshed(fed)
    monkeypatch.setattr(Answering, "status", 503)
    refreshed(fed)
    with glance(fed) as session:
        (one,) = show_suppliers(session, "hollowmere bench")
        shown = suppliers_table(show_suppliers(session))
    assert (one.offers, one.age, one.list) == (2, "less than a minute", "127.0.0.1/list.csv")
    assert "the last refresh failed" in shown and "it answers 503" in shown and "Thaxley" in shown


@pytest.mark.parametrize(
    ("minutes", "said"),
    [(0, "less than a minute"), (1, "1 minute"), (60, "1 hour"), (2879, "47 hours"), (2880, "2 days")],
)
def test_an_age_is_said_as_people_say_it(minutes: int, said: str) -> None:
    now = datetime(2026, 11, 25, tzinfo=UTC)
    assert age(now, now - timedelta(minutes=minutes)) == said


def test_rates_change_what_the_shop_counts_in_only_where_that_is_said(url: str, tmp_path: Path) -> None:
    text = 'base = "EUR"\ndate = 2026-11-20\nrates = { GBP = 1.15, USD = 0.87 }\nsource = "invented"\n'
    (tmp_path / "rates.toml").write_text(text, encoding="utf-8")
    with bench(url) as session:
        assert settings_of(session).counts_in == "GBP"
        take_rates_file(session, tmp_path / "rates.toml", replacing=Replacing(True))
        assert settings_of(session).counts_in == "GBP"
        answer = take_rates_file(session, tmp_path / "rates.toml", "EUR", replacing=Replacing(True))
        assert Shop(session).currency == "EUR"
        assert Shop(session).rates_to("EUR").to_base("USD") == Decimal("0.87")
    shown = rates_table(answer)
    assert "rates of 2026-11-20, invented" in shown and "The shop counts in EUR." in shown


def test_rates_to_another_base_are_crossed(url: str) -> None:
    with glance(url) as session:
        crossed = Shop(session).rates_to("EUR")
    assert crossed.day == date(2026, 11, 2)
    assert [round(crossed.to_base(code) or 0, 4) for code in ("GBP", "USD", "EUR")] == [
        Decimal("1.1494"),
        Decimal("0.8736"),
        Decimal(1),
    ]
    assert crossed.to_base("CHF") is None


def test_rates_with_two_bases_are_asked_about(url: str, tmp_path: Path) -> None:
    day = '[[rate]]\nbase = "{}"\ndate = 2026-11-20\n[rate.rates]\nUSD = 0.8\n'
    (tmp_path / "rates.toml").write_text(day.format("EUR") + day.format("GBP"), encoding="utf-8")
    with bench(url) as session:
        with pytest.raises(Refused, match="--base"):
            take_rates_file(session, tmp_path / "rates.toml")
        answer = take_rates_file(session, tmp_path / "rates.toml", "eur", Replacing(True))
        assert answer.base_currency == "EUR"


def asked(url: str, folder: Path, name: str = "osmere") -> Path:
    with glance(url) as session:
        files, _ = ask_quotes(session, ["k2r 12s=20"], folder, "2026-12-20")
    return next(f for f in files if f.stem == name)


def fill(path: Path, until: Any = None, **cells: Any) -> Path:
    """Fill in the one line; keywords are the headings with _ for blanks."""
    book = load_workbook(path)
    sheet: Any = book["Quote"]
    head = next(row for row in sheet.iter_rows() if row[0].value == "Your code")
    for cell in head:
        if (name := cell.value.replace(" ", "_").replace(",", "")) in cells:
            sheet.cell(cell.row + 1, cell.column).value = cells[name]
    sheet["C4"].value = until
    book.save(path)
    return path


def test_a_quote_is_taken_from_whom_and_until_when_its_sheet_says(url: str, tmp_path: Path) -> None:
    file = fill(asked(url, tmp_path), NEXT_YEAR, Unit_price="0,50")
    with bench(url) as session:
        answer = take_quote(session, file)
        (quote,) = [o for o in offers(session) if o.valid_until]
    assert (answer.supplier, quote.valid_until, quote.maker) == ("Osmere", NEXT_YEAR, "Kithmar")
    assert (quote.file, quote.supplier_code) == ("osmere.xlsx", "25K10")
    assert "0.50 EUR" in quote_table(answer)


@pytest.mark.parametrize(
    ("name", "until", "said"),
    [
        ("Fennmoor", NEXT_YEAR, "was made for Osmere; it is no quote of Fennmoor"),
        ("", None, "say it with --until"),
        ("", date(2020, 1, 31), "which is over"),
    ],
)
def test_a_quote_of_another_or_without_a_day_is_refused(
    url: str, tmp_path: Path, name: str, until: date | None, said: str
) -> None:
    file = fill(asked(url, tmp_path), until, Unit_price=0.5)
    with bench(url) as session, pytest.raises(Refused, match=said):
        take_quote(session, file, name)


def test_of_two_last_days_the_earlier_counts(url: str, tmp_path: Path) -> None:
    file = fill(asked(url, tmp_path), NEXT_YEAR, Unit_price=0.5)
    with bench(url) as session:
        answer = take_quote(session, file, "Osmere", str(NEXT_YEAR - timedelta(days=9)))
    assert answer.valid_until == NEXT_YEAR - timedelta(days=9) and "the earlier day counts" in answer.notes[0]


def test_what_is_odd_about_a_quote_is_told(url: str, tmp_path: Path) -> None:
    file = fill(asked(url, tmp_path), NEXT_YEAR, Unit_price=1, Part_number="K2R-12Z", Currency="CHF")
    with bench(url) as session:
        notes = "\n".join(take_quote(session, file).notes)
    for said in ("was not asked for", "quoted in CHF", "not in the catalogue (did you mean", "no rate from CHF to GBP"):
        assert said in notes


def test_an_expired_quote_is_shown_and_not_ranked(url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = fill(asked(url, tmp_path), NEXT_YEAR, Unit_price=0.01, Lead_time_days=1)
    with bench(url) as session:
        take_quote(session, file)
        quote = next(o for o in offers(session) if o.valid_until)
        from bom.store.offers import take_quotes

        take_quotes(session, "Osmere", [replace(quote, valid_until=date(2026, 1, 1))], datetime.now(UTC))
        answer = plan_asked(session, PlanAsked(parts=["K2R-12S=20"], seconds=20.0))
    assert any("the quote expired on 2026-01-01" in line for line in answer.left_out)
    assert (answer.cost or 0) > 5


@pytest.mark.parametrize(("currency", "ranked"), [("USD", True), ("CHF", False)])
def test_a_quote_in_another_currency_is_ranked_by_a_dated_rate_only(
    url: str, tmp_path: Path, currency: str, ranked: bool
) -> None:
    file = fill(asked(url, tmp_path), NEXT_YEAR, Unit_price="1,50", Currency=currency, Lead_time_days=3)
    with bench(url) as session:
        take_quote(session, file)
        answer = plan_asked(session, PlanAsked(parts=["K2R-12S=20"], seconds=20.0))
    told = answer.reckoned if ranked else answer.left_out
    assert any("priced" in line and currency in line for line in told)
    (order,) = answer.orders
    assert (order.supplier == "Osmere" and order.lines[0].unit_price.amount < 2) is ranked
    if ranked:  # 1.50 USD at 0.76 GBP, in EUR at 0.87 GBP
        assert order.lines[0].unit_price.amount == Decimal("1.310345")


@pytest.mark.parametrize(
    ("price", "said"),
    [
        (210, r"K2R-12S at 210 EUR, where [\d.]+ EUR was last paid: more than 5 times as much; kept out of plans"),
        (0.02, r"K2R-12S at 0.02 EUR, where .* was last paid: less than a fifth of it; kept out of plans"),
        (2.3, None),
    ],
)
def test_a_quoted_price_that_looks_like_a_slip_is_named(
    url: str, tmp_path: Path, price: float, said: str | None
) -> None:
    with bench(url) as session:
        notes = take_quote(session, fill(asked(url, tmp_path), NEXT_YEAR, Unit_price=price)).notes
    found = [note for note in notes if "kept out" in note]
    assert bool(found) == bool(said) and (not said or re.search(said, found[0]))


SLIP = GOOD.replace("3.10", "0.031")


def test_a_listed_price_that_looks_like_a_slip_is_named_and_kept_out_until_it_is_confirmed(
    fed: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Answering, "body", SLIP)
    said = 'kept out of plans until bom supplier confirm "Hollowmere Bench" TW2-12S'
    assert any(said in note for note in refreshed(fed).notes)
    assert any(said in note for note in refreshed(fed).notes)  # the same list again
    with bench(fed) as session:
        assert cheapest(Shop(session)).among(["TW2-12S"])["TW2-12S"].amount > 1
        answer = plan_asked(session, PlanAsked(parts=["TW2-12S=5"], seconds=20.0))
        assert any("Hollowmere Bench 1" in line and said in line for line in answer.left_out)
        assert said in suppliers_table(show_suppliers(session))
        assert confirm(session, "hollowmere bench", ["tw2 12s"]) == [
            "Hollowmere Bench: TW2-12S at 0.031 GBP is taken for true"
        ]
        (order,) = plan_asked(session, PlanAsked(parts=["TW2-12S=5"], seconds=20.0)).orders
    assert order.supplier == "Hollowmere Bench"
    assert not any("kept out" in note for note in refreshed(fed, anew=True).notes)
    monkeypatch.setattr(Answering, "body", GOOD.replace("3.10", "0.005"))
    assert any("was confirmed on" in note for note in refreshed(fed).notes)


def test_a_refresh_names_the_first_few_slips_and_counts_the_rest(fed: str, monkeypatch: pytest.MonkeyPatch) -> None:
    with glance(fed) as session:
        parts = sorted(cheapest(Shop(session)).among(tuple(Shop(session).parts)))[:9]
    monkeypatch.setattr(Answering, "body", HEAD + "".join(f"{n};{part};1;9999\n" for n, part in enumerate(parts)))
    notes = [note for note in refreshed(fed).notes if "kept out" in note]
    assert len(notes) == 6 and notes[-1] == "4 more prices are kept out of plans; bom supplier show lists them all"


@pytest.mark.parametrize(
    ("name", "part", "said"),
    [
        ("Hollowmere Bench", "K2R-12S", "no price in doubt for K2R-12S; in doubt: TW2-12S"),
        ("Hollowmere", "TW2-12S", "no supplier Hollowmere; did you mean Hollowmere Bench"),
        ("Osmere", "TW2-12S", "in doubt: none"),
    ],
)
def test_only_a_price_in_doubt_can_be_confirmed(
    fed: str, monkeypatch: pytest.MonkeyPatch, name: str, part: str, said: str
) -> None:
    monkeypatch.setattr(Answering, "body", SLIP)
    refreshed(fed)
    with bench(fed) as session, pytest.raises(Refused, match=said):
        confirm(session, name, [part])


def test_a_part_that_is_offered_at_prices_in_doubt_alone_is_named_by_a_reorder(url: str) -> None:
    with bench(url) as session:
        due = max(plan_reorder(session, None, 5.0)[0].due, key=lambda row: row.quantity)
        part, now = due.part_number, datetime.now(UTC)
        add_lot(session, Lot("L9", part, unit_cost=Money.of(999, "GBP"), received=now), Decimal(1), now)
        answer, book = plan_reorder(session, None, 5.0)
    (short,) = [row for row in answer.short if row.part_number == part]
    assert short.why.startswith("is offered only in doubt: ") and "999 GBP was last paid" in short.why
    assert any(f"{short.short} of {short.wanted} not ordered, {short.why}" in line for line in book.left_out)
    assert answer.orders and not any(line.part_number == part for line in answer.lines)


def test_every_problem_of_a_quote_is_told_at_once(url: str, tmp_path: Path) -> None:
    file = fill(asked(url, tmp_path), None, Unit_price=-2, Minimum_quantity="some", Lead_time_days="soon")
    with pytest.raises(ProblemsFound) as found, bench(url) as session:
        take_quote(session, file)
    columns = [p.column for p in found.value.problems]
    assert columns == ["Unit price", "Minimum quantity", "Lead time, days", "Prices valid until"]


def test_a_wrong_quote_changes_nothing(url: str, tmp_path: Path) -> None:
    file = fill(asked(url, tmp_path), NEXT_YEAR, Unit_price="cheap-ish 2")
    with pytest.raises(ProblemsFound), bench(url) as session:
        take_quote(session, file)
    with glance(url) as session:
        assert not [o for o in offers(session) if o.valid_until]


def test_each_supplier_has_a_file_of_its_own(url: str, tmp_path: Path) -> None:
    with glance(url) as session:
        files, _ = ask_quotes(session, ["K2R-12S=20"], tmp_path / "q")
        with pytest.raises(Refused, match="a date such as"):
            ask_quotes(session, ["K2R-12S=20"], tmp_path / "q", "soon")
    assert sorted(f.name for f in files) == ["fennmoor.xlsx", "osmere.xlsx", "thaxley.xlsx"]
