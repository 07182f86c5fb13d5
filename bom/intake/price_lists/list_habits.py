"""What a first reading of a price list teaches: the marks its cells show, and which parts stand apart twice."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from operator import itemgetter

from bom.buying.offer import Feed, Supplier
from bom.intake.price_lists.amounts import (
    PLAIN_PRICE,
    MarksShown,
    bare,
    header_per,
    heading_currency,
    heading_has_tax,
    without_per,
)
from bom.intake.price_lists.counts import CountsShown
from bom.intake.price_lists.list_file import ListReport, ListRows

PartKey = tuple[str, str, str]
_HELD, _TRIGGERS = ("=", "'"), ("=", "+", "-", "@")
REMEMBERED = 50_000  # how many different cells are remembered with what they mean
COUNTS = ("stock", "moq", "multiple", "lead_days")
# A part's place in the table that remembers parts met: 16 MB, so that of 200 000 parts one in a hundred shares one.
_SLOTS = 1 << 24


def headings_of(feed: Feed) -> tuple[str, ...]:
    """Every heading that the list must have."""
    pairs = (h for pair in feed.break_pairs for h in pair)
    rows = (feed.from_column, feed.price_column) if feed.from_column else ()
    return (*(h for _, h in feed.columns), *(h for _, h in feed.break_columns), *pairs, *rows)


def price_headings(feed: Feed) -> tuple[str, ...]:
    rows = (feed.price_column,) if feed.price_column else ()
    return (*(h for _, h in feed.break_columns), *(p for _, p in feed.break_pairs), *rows)


def what_prices_are_for(feed: Feed, table: ListRows, report: ListReport) -> int | None:
    """For how many pieces the prices are, as [feed] or every price heading says (*per 100*); 0 where rows say it, or
    nothing does. None, with what to answer, where headings differ, or where 100 may be the quantity of the break."""
    if feed.price_per or "price_per" in dict(feed.columns):
        return feed.price_per
    names = price_headings(feed)
    said = {header_per(name) for name in names}
    starts = {start for start, _ in feed.break_columns}
    if said <= {1}:
        return 0
    if len(said) > 1 or said & starts:
        for name in (n for n in names if (number := header_per(n)) > 1):
            number = header_per(name)
            report.wrong(table.line, name, f"price_per = {number} (or 1) in [feed], because the heading names {number}")
        return None
    (number,) = said
    report.note(table.line, names[0], f"is read as the price of {number} pieces; price_per in [feed] says otherwise")
    return number


def says_the_suppliers_money(feed: Feed, supplier: Supplier, table: ListRows, report: ListReport) -> bool:
    """Whether no price heading names another currency than the supplier's, or speaks of tax against its file."""
    right = True
    for name in price_headings(feed):
        if "currency" not in dict(feed.columns) and (other := heading_currency(name, supplier.currency)):
            report.wrong(table.line, name, f"prices in {supplier.currency}, as [supplier] says", other)
            right = False
        if supplier.tax_pct and heading_has_tax(name) is (not supplier.prices_include_tax):
            stated = "true" if supplier.prices_include_tax else "false"
            report.wrong(table.line, name, f"prices as prices_include_tax = {stated} in [supplier] says", name)
            right = False
    return right


@dataclass(frozen=True, slots=True)
class Habits:
    """What the first reading learnt. ``twice``: the slots of parts that stand in more than one place."""

    prices: MarksShown
    counts: dict[str, CountsShown]
    twice: frozenset[int]


class Survey:
    """The first reading of a list; it tells no problems, the second does."""

    def __init__(self, feed: Feed, supplier: Supplier, table: ListRows) -> None:
        self.table, self.by_rows = table, bool(feed.from_column)
        self.prices = [table.place(h) for h in price_headings(feed)]
        columns = dict(feed.columns)
        starts = [feed.from_column, *(h for h, _ in feed.break_pairs)]
        self.counted = {w: table.place(columns[w]) for w in COUNTS if w in columns}
        self.counted |= {h: table.place(h) for h in starts if h}
        self.key = key_reader(table, columns)
        self.currency = supplier.currency
        self.known: dict[str, str] = {}

    def habits(self) -> Habits:
        shown, counts = MarksShown(), {word: CountsShown() for word in self.counted}
        met, twice, before, known = bytearray(_SLOTS), set(), -1, self.known
        for line, cells in self.table.rows(ListReport("")):
            for place in self.prices:
                sign = known[text] if (text := cells[place]) in known else self._sign(text)
                if sign:
                    shown.also(sign, line, text)
            for word, place in self.counted.items():
                if "." in (text := cells[place]) or "," in text:
                    counts[word].look(text, line)
            slot = slot_of(self.key(cells))
            if met[slot] and not (self.by_rows and slot == before):
                twice.add(slot)
            met[slot], before = 1, slot
        return Habits(shown, counts, frozenset(twice))

    def _sign(self, text: str) -> str:
        """What a price cell shows; most are met again and again, so it is remembered for a while."""
        sign = self._sign_of(text)
        if len(self.known) < REMEMBERED:
            self.known[text] = sign
        return sign

    def _sign_of(self, text: str) -> str:
        if (plain := PLAIN_PRICE.fullmatch(text)) and len(plain[3] or "") != 3:
            return plain[2] or ""
        one, amount = MarksShown(), without_per(text.strip())
        if amount is not None:
            one.look(0, bare(amount[0], self.currency))
        return one.mostly or ("?" if one.doubtful else "")


def key_reader(table: ListRows, columns: Mapping[str, str]) -> Callable[[list[str]], PartKey]:
    """Reads a row's supplier code, part number and maker; empty where the list has no such column."""
    cells_of = itemgetter(*(table.place(columns.get(w, "")) for w in ("supplier_code", "part_number", "maker")))

    def key(cells: list[str]) -> PartKey:
        code, number, maker = map(str.strip, cells_of(cells))
        if code.startswith(_HELD) or number.startswith(_HELD):
            return _as_typed(code), _as_typed(number), maker
        return code, number, maker

    return key


def _as_typed(text: str) -> str:
    """The code alone where a list holds it so that a spreadsheet program keeps it as text: *="0503"* or *'=5V*."""
    if (held := re.fullmatch('="([^"]*)"', text)) is not None:
        return held[1].strip()
    return text[1:] if text.startswith("'") and text[1:2] in _TRIGGERS else text


def slot_of(key: PartKey) -> int:
    return hash(key) % _SLOTS
