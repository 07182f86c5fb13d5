"""A supplier file: the supplier's terms, and how its price list is read, if it has one; and a file of exchange rates.

A rate is what one unit of a currency is worth in the base currency on a day. Each key is described once, with what it
means, what it may hold and an example; it is read and explained by that description.
"""

from __future__ import annotations

import codecs
import re
from datetime import date
from decimal import Decimal
from pathlib import Path

from bom.buying.offer import Feed, Rates, Supplier
from bom.intake.price_lists.counts import LEAD_UNITS
from bom.intake.price_lists.fetching import check_address
from bom.intake.rows import Report, Taken, is_note
from bom.intake.tables import Table, currency_words, read_toml
from bom.values.column import called, day, keys, money, number, table, text, under, whole, word, yes_or_no
from bom.values.money import KNOWN
from bom.values.problem import Refused

BREAK_KINDS = ("all units", "incremental")
STOCK_0 = ("coming", "no offer")

SUPPLIER = keys(
    name=called("The supplier's name.", "Osmere Components", needed=True),
    currency=text("The currency of its prices, an ISO 4217 code.", "EUR", needed=True),
    prices_include_tax=yes_or_no("Whether its prices hold tax.", "false"),
    tax_pct=number("%", "The tax on its prices.", "20", least=0, most=100),
    import_fee=money("What one order costs at the border, whatever it holds.", "9.00"),
    minimum_order=money("The least that an order must come to.", "25.00"),
    lead_days=whole("Days from order to arrival.", "4"),
    customer_number=text("The shop's customer number there, for papers to it.", "40117"),
    terms=text("What was agreed with it, in words for orders to it.", "30 days net."),
)
SHIPPING = keys(
    fee=money("What an order's shipping costs.", "6.50"),
    free_from=money("From what order on shipping is free.", "60.00"),
)
WORDS = (
    "supplier_code", "part_number", "maker", "stock", "moq", "multiple", "lead_days", "price_per", "currency",
)  # fmt: skip
FEED = keys(
    file=text("The price list, a file beside this one; or url.", "osmere-prices.csv"),
    url=text("Where the price list is fetched, https; or file.", "https://example.invalid/price-list.csv"),
    secret_env=text("The environment variable that holds the token for it.", "OSMERE_FEED_TOKEN"),
    delimiter=text("What stands between its cells; else its header decides.", ";"),
    encoding=text("Its text encoding.", "cp1252"),
    decimal=word((".", ","), "Its decimal sign; else its prices decide.", ","),
    sheet=text("The sheet of a spreadsheet; else the one with these headings.", "Prices"),
    keep_hours=number("", "How many hours a fetched copy serves.", "12", least=0),
    columns=table(f"The list's heading of each of {', '.join(WORDS)}: those that it has.", '{ part_number = "Typ" }'),
    break_kind=word(BREAK_KINDS, "Whether a lower price is for all pieces or for those beyond.", "all units"),
    price_per=whole("For how many pieces its prices are; else for one.", "100", least=1),
    lead_time_in=word(LEAD_UNITS, "What its bare lead times are in; else their heading decides.", "weeks"),
    stock_0=word(STOCK_0, "What a stock of 0 means: coming in the time its row states, or no offer.", "no offer"),
    packing=table("How many pieces each packing code stands for.", "{ RL = 500 }"),
)
BREAK = keys(
    column=text("The heading of this price's column.", "Preis 10", needed=True),
)
BREAK_FROM = keys(
    **{"from": text("From how many pieces it is the price, or the heading that says so.", "10", needed=True)}
)
BREAK_ROWS = keys(
    **{"from": text("The heading of the column that says from how many pieces.", "Qty from", needed=True)},
    price=text("The heading of the price column.", "Unit price", needed=True),
)
SUPPLIER_KEYS = {
    **under("supplier", SUPPLIER),
    **under("supplier.shipping", SHIPPING),
    **under("feed", FEED),
    **under("feed.breaks[]", {**BREAK_FROM, **BREAK}),
    **under("feed.break_rows", BREAK_ROWS),
}
"""Every key of a supplier file by its path."""

RATES = keys(
    base=text("The currency that the others are worth so much of, an ISO 4217 code.", "GBP", needed=True),
    date=day("The day of these rates, which has come.", "2026-11-02", needed=True),
    rates=table("What one unit of each currency is worth in the base.", "{ EUR = 0.87 }"),
    source=text("Where they were read.", "the bank's list"),
)
RATES_KEYS = {**RATES, **under("rate[]", RATES)}
"""Every key of a rates file by its path: at the top for one day, under [[rate]] for several."""


def take_supplier(path: Path) -> Taken[tuple[Supplier, Feed | None]]:
    """The supplier and its feed, and notes."""
    report = Report()
    if (outer := read_toml(path, report)) is None:
        return report.taken((Supplier("", "XXX"), None))
    supplier = _supplier(outer.needed_table("supplier"))
    feed = _feed(outer.table("feed"), path)
    outer.leave()
    return report.taken((supplier, feed))


def _supplier(table: Table) -> Supplier:
    currency, shipping = table.currency(), table.table("shipping")
    values = table.amounts_of(SUPPLIER, currency, "currency")
    sent = shipping.amounts_of(SHIPPING, currency) if shipping else {}
    return Supplier(
        **values | {"tax_pct": values["tax_pct"] or Decimal(0)},
        currency=currency,
        shipping_fee=sent.get("fee"),
        free_from=sent.get("free_from"),
    )


def _feed(table: Table | None, path: Path) -> Feed | None:
    if table is None:
        return None
    table.knows(FEED)
    breaks, rows = _breaks(table), table.table("break_rows")
    if bool(breaks) == bool(rows):
        expected = "prices either in columns (breaks) or in rows (break_rows)"
        table.wrong("breaks", expected, "both" if rows else "neither")
    file, url = _source(table, path)
    return Feed(
        file=file,
        url=url,
        secret_env=_secret_env(table, url),
        delimiter=_delimiter(table),
        encoding=_encoding(table),
        decimal=table.read(FEED["decimal"]),
        keep_hours=_keep_hours(table),
        columns=_columns(table),
        break_columns=tuple(sorted((start, column) for start, column in breaks if isinstance(start, int))),
        break_pairs=tuple((start, column) for start, column in breaks if isinstance(start, str)),
        from_column=rows.read(BREAK_ROWS["from"]) if rows else "",
        price_column=rows.read(BREAK_ROWS["price"]) if rows else "",
        incremental=table.read(FEED["break_kind"]) == "incremental",
        price_per=table.read(FEED["price_per"]) or 0,
        packing=_packing(table.table("packing")),
        sheet=table.text("sheet"),
        lead_time_in=table.read(FEED["lead_time_in"]) or "",
        only_what_lies_there=table.read(FEED["stock_0"]) == "no offer",
    )


def _secret_env(table: Table, url: str) -> str:
    """The name of an environment variable; the token itself has no place in a file."""
    name = table.text("secret_env")
    if name and not re.fullmatch(r"[A-Za-z_][A-Za-z0-9_]*", name):
        table.wrong("secret_env", "the name of an environment variable such as OSMERE_FEED_TOKEN, not the token itself")
        return ""
    if name and not url:
        table.wrong("secret_env", "a url that the token is for", "none")
    return name


def _packing(table: Table | None) -> tuple[tuple[str, int], ...]:
    """Packing code to pieces, as in { TU = 20, RL = 500 }."""
    return tuple((code, table.whole(code, 1) or 1) for code in table.values if not is_note(code)) if table else ()


def _source(table: Table, path: Path) -> tuple[str, str]:
    """(file, url), one of them; the file's name is taken from where the supplier file lies."""
    file, url = table.text("file"), table.text("url")
    if bool(file) == bool(url):
        table.wrong("url", "either file or url", "both" if file else "neither")
    if url:
        _check_url(table, url)
    return (str((path.parent / file).resolve()) if file else ""), url


def _check_url(table: Table, url: str) -> None:
    try:
        check_address(url)
    except Refused:
        table.wrong("url", "an https address without a password in it (http only on this machine)")


def _keep_hours(table: Table) -> float:
    found = table.read(FEED["keep_hours"])
    return 12.0 if found is None else float(found)


def _delimiter(table: Table) -> str:
    # Not Table.text: a tab is blank, and it is a delimiter too.
    found = table.get("delimiter")
    if found in (None, ""):
        return ""
    if not isinstance(found, str) or len(found) != 1 or found in '"\r\n':
        table.wrong("delimiter", "one character", found)
        return ""
    return found


def _encoding(table: Table) -> str:
    name = table.text("encoding") or "utf-8"
    try:
        "".encode(codecs.lookup(name).name)
    except LookupError:
        table.wrong("encoding", "a text encoding such as utf-8 or cp1252", name)
    return name


def _columns(table: Table) -> tuple[tuple[str, str], ...]:
    """Our words and the list's headers. A part number column must be among them."""
    columns = table.needed_table("columns")
    columns.knows(WORDS)
    if columns.values and "part_number" not in columns:
        columns.wrong("part_number", "the header of the part number column", "nothing")
    return tuple((word, columns.needed(word)) for word in WORDS if word in columns)


def _breaks(table: Table) -> tuple[tuple[int | str, str], ...]:
    """(from, heading of the price); *from* is a quantity, or the heading of the column that holds it."""
    pairs = tuple((_from(t), t.read(BREAK["column"])) for t in table.tables("breaks"))
    starts = [start for start, _ in pairs]
    if len(set(starts)) != len(starts):
        table.wrong("breaks", "each 'from' once", starts)
    return pairs


def _from(table: Table) -> int | str:
    said = table.get("from")
    if isinstance(said, str) and re.fullmatch("[1-9][0-9]{0,8}", said.strip()):
        return int(said)
    if isinstance(said, str) or "from" not in table:
        return str(table.read(BREAK_FROM["from"]))
    return table.whole("from", 1) or 1


def read_dated_rates(path: Path) -> tuple[Rates, ...]:
    """All rates in this file, oldest first.

    Keys *base*, *date*, *rates* and *source*, at the top or under each [[rate]].
    """
    report = Report()
    outer = read_toml(path, report)
    tables = () if outer is None else outer.tables("rate") or (outer,)
    found = [_rates(t) for t in tables]
    if outer is not None:
        outer.leave()
    return tuple(sorted(report.taken(found).value, key=lambda r: r.day))


def _rates(table: Table) -> Rates:
    table.knows(RATES)
    base, day = table.currency("base"), table.read(RATES["date"])
    if day is not None and day > date.today():
        table.wrong("date", "a day that has come, because rates are dated when they were published", str(day))
    return Rates(base, day or date.min, _worth(table.needed_table("rates")), table.read(RATES["source"]))


def _worth(table: Table) -> tuple[tuple[str, Decimal], ...]:
    found = ((code, _rate(table, code)) for code in table.values if not is_note(code))
    return tuple((code, worth) for code, worth in found if worth is not None)


def _rate(table: Table, code: str) -> Decimal | None:
    if code not in KNOWN:
        table.wrong(code, currency_words(code), code)
    return table.at_least(code, above=True)
