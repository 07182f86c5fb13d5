"""Knows how suppliers' lists, quotes and exchange rates look in a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from bom.answers.buying import ListTaken, QuoteBack, QuotedLine, RatesTaken, SupplierStands
from bom.paper.for_the_eye import as_listed, day
from bom.paper.readable import one_line
from bom.paper.terminal.tables import simple_table

_HOW = {
    "fetched": "fetched anew",
    "unchanged": "asked after, unchanged",
    "kept": "the kept copy, still young enough",
    "read": "read from its file",
}


def refreshed_table(answer: Sequence[ListTaken]) -> str:
    """Each supplier's list in a line, and under it what was said, a line each."""
    return "\n".join(line for one in answer for line in _refreshed(one))


def _refreshed(one: ListTaken) -> list[str]:
    if one.failed:
        head = f"{one.supplier}: the list was not taken"
    else:
        offers = "1 offer" if one.offers == 1 else f"{one.offers} offers"
        head = f"{one.supplier}: {offers} from {one.list} ({_HOW.get(one.how, one.how)})"
    return [head, *(f"  {one_line(note)}" for note in one.notes)]


def suppliers_table(answer: Sequence[SupplierStands]) -> str:
    """A line a supplier; under the table what stands in the way of using one's offers."""
    rows = [(a.supplier, a.currency, a.list or "no list", a.offers, a.age, a.quotes, a.quotes_expired) for a in answer]
    head = ["supplier", "currency", "price list", "offers", "age", "quotes", "expired"]
    return (
        simple_table("", head, rows).rstrip()
        + "\n"
        + "".join(f"{one_line(said)}\n" for a in answer for said in _hindered(a))
    )


def _hindered(one: SupplierStands) -> list[str]:
    failed = f"{one.supplier}: the last refresh failed ({day(one.failed)}): {one.why_failed}"
    rate = f"{one.supplier}: no rate from {one.currency} to {one.rate_to}; shown, not ranked"
    doubts = [f"{one.supplier}: {said}" for said in one.in_doubt]
    return ([failed] if one.failed else []) + ([] if one.rate else [rate]) + doubts


def rates_table(answer: RatesTaken) -> str:
    """What one unit of each currency is worth, and in which currency the shop counts."""
    base = answer.base_currency
    rows = [(code, worth, base) for code, worth in answer.rates.items()]
    source = f", {answer.source}" if answer.source else ""
    table = simple_table(f"rates of {answer.date}{source}", ["1 unit of", "is worth", ""], rows)
    return f"{table.rstrip()}\nThe shop counts in {answer.counts_in}."


def quote_table(answer: QuoteBack) -> str:
    """The quote's lines as they were understood, and under them what to know about them."""
    title = f"quote of {answer.supplier}, valid until {answer.valid_until}"
    head = ["their code", "part", "maker", "price a piece", "minimum", "multiple", "days"]
    table = simple_table(title, head, [_quoted(line) for line in answer.lines])
    return table.rstrip() + "\n" + "".join(f"note: {one_line(note)}\n" for note in answer.notes)


def _quoted(line: QuotedLine) -> tuple[object, ...]:
    prices = line.prices.items()
    shown = "; ".join(as_listed(price) if start == 1 else f"{start}+ {as_listed(price)}" for start, price in prices)
    days = "" if line.lead_days is None else line.lead_days
    return (line.supplier_code, line.part_number, line.maker, shown, line.moq, line.multiple, days)
