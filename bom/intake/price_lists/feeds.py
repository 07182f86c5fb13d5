"""Knows how a supplier's price list becomes offers: two readings of the file, one to learn its habits, one to take it.

The first reading counts what decimal signs and thousands marks the cells show, and which parts stand in more than one
place; the second makes the offers one by one, so that a long list never lies in memory as a whole.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

from bom.buying.offer import Feed, Offer, Supplier
from bom.intake.price_lists.amounts import Marks, Shown
from bom.intake.price_lists.list_file import Dialect, ListTable, Source, open_table, source_of_bytes
from bom.intake.price_lists.list_habits import Survey, headings_of, says_the_suppliers_money, says_what_prices_are_for
from bom.intake.price_lists.list_offers import Listing, OfferMaker, groups
from bom.intake.price_lists.list_report import ListReport
from bom.values.problem import Problem


class PriceList(NamedTuple):
    """What a price list came to: offers, problems with their lines, and notes on rows that were left out."""

    offers: tuple[Offer, ...]
    problems: tuple[Problem, ...]
    notes: tuple[str, ...]


def take_price_list(feed: Feed, supplier: Supplier, data: bytes, name: str, seen: datetime | None = None) -> PriceList:
    """The offers in a price list, ``seen`` then, and notes; where there are problems, every problem and no offers.

    Prices stay as given, with or without tax.
    """
    reading = Reading(feed, supplier, source_of_bytes(name, data), seen)
    offers = tuple(reading.offers())
    problems = reading.report.problems
    return PriceList(() if problems else offers, problems, reading.report.notes)


@dataclass(slots=True)
class Reading:
    """One list being read. Once ``offers`` has run to its end, ``report`` says what is wrong and what was left out."""

    feed: Feed
    supplier: Supplier
    source: Source
    seen: datetime | None = None
    report: ListReport = field(init=False)

    def __post_init__(self) -> None:
        self.report = ListReport(self.source.name)

    def offers(self) -> Iterator[Offer]:
        """The offers as they are met; they count only where ``report`` has no problem in the end."""
        dialect = Dialect(self.feed.encoding, self.feed.delimiter)
        table = open_table(self.source, dialect, headings_of(self.feed), self.report)
        if table is None or not self._headings_are_clear(table):
            return
        habits = Survey(self.feed, self.supplier, table).habits()
        if (marks := self._marks(habits.prices)) is None:
            return
        listing = Listing(self.feed, self.supplier, self.seen, self.report)
        maker = OfferMaker(listing, table, habits, marks)
        for rows in groups(table, maker, habits.twice, self.report):
            if offer := maker.offer(*rows):
                yield offer

    def _headings_are_clear(self, table: ListTable) -> bool:
        for_how_many = says_what_prices_are_for(self.feed, table, self.report)
        return says_the_suppliers_money(self.feed, self.supplier, table, self.report) and for_how_many

    def _marks(self, shown: Shown) -> Marks | None:
        """The list's decimal sign; None, with the one problem it is, where the cells contradict or don't decide."""
        if found := shown.marks(self.feed.decimal):
            return found
        if configured := self.feed.decimal:
            other = Marks(configured).thousands
            line, text = shown.first[other]
            cells = f"{shown.counted[other]} cells show {other!r} and {shown.counted[configured]} show {configured!r}"
            self.report.wrong(line, "", f"prices with decimal sign {configured!r}, as configured ({cells})", text)
        else:
            line, text = shown.doubtful or shown.first["."]
            self.report.wrong(line, "", "a decimal sign: no cell decides it, so set decimal in [feed]", text)
        return None
