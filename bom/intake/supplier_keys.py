"""The keys of a supplier file and of a rates file: what each means, what it may hold and an example; they are read
and explained by these descriptions."""

from __future__ import annotations

from bom.values.column import called, day, keys, money, number, table, text, under, whole, word, yes_or_no

BREAK_KINDS = ("all units", "incremental")

SUPPLIER = keys(
    name=called("The supplier's name.", "Osmere Components", needed=True),
    currency=text("The currency of its prices, an ISO 4217 code.", "EUR", needed=True),
    prices_include_tax=yes_or_no("Whether its prices hold tax.", "false"),
    tax_pct=number("%", "The tax on its prices.", "20", least=0, most=100),
    import_fee=money("What one order costs at the border, whatever it holds.", "9.00"),
    minimum_order=money("The least that an order must come to.", "25.00"),
    lead_days=whole("Days from order to arrival.", "4"),
)
SHIPPING = keys(
    fee=money("What an order's shipping costs.", "6.50"),
    free_from=money("From what order on shipping is free.", "60.00"),
)
FEED = keys(
    file=text("The price list, a file beside this one; or url.", "osmere-prices.csv"),
    url=text("Where the price list is fetched, https; or file.", "https://example.invalid/price-list.csv"),
    secret_env=text("The environment variable that holds the token for it.", "OSMERE_FEED_TOKEN"),
    delimiter=text("What stands between its cells; else its header decides.", ";"),
    encoding=text("Its text encoding.", "cp1252"),
    decimal=word((".", ","), "Its decimal sign; else its prices decide.", ","),
    keep_hours=number("", "How many hours a fetched copy serves.", "12", least=0),
    columns=table("Which heading of the list each of our words has.", '{ part_number = "Typ" }'),
    break_kind=word(BREAK_KINDS, "Whether a lower price is for all pieces or for those beyond.", "all units"),
    price_per=whole("For how many pieces its prices are; else for one.", "100", least=1),
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
