"""The journal: what was bought, made, used, sold, lost and found in a span of days, by period and by whatever one asks.

All of it is in money at what the entry's own lot cost. An entry that was undone counts nowhere, nor does the one that
undid it. A lot whose cost nobody knows, or was paid in a currency without a rate, is counted apart and never as free.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum
from typing import NamedTuple

from bom.stock.ledger import MoveKind
from bom.values.money import Money


class Deed(StrEnum):
    """What an entry did. *used* went to a job or into a kit, *sold* to a customer; *lost* and *found* is what counts
    showed, so neither is use."""

    BOUGHT = "bought"
    MADE = "made"
    USED = "used"
    SOLD = "sold"
    LOST = "lost"
    FOUND = "found"


class Period(StrEnum):
    """How long each row of a journal is; *all* makes one of the whole span."""

    DAY = "day"
    MONTH = "month"
    QUARTER = "quarter"
    YEAR = "year"
    ALL = "all"


class By(StrEnum):
    """What the entries of a period are told apart by; by *kind* a period has one row."""

    KIND = "kind"
    PART = "part"
    SUPPLIER = "supplier"
    KIT = "kit"
    CUSTOMER = "customer"


class Entry(NamedTuple):
    """An entry that changed what is on hand and stands; ``thousandths`` of the part's unit, more or less.

    ``into`` is the kit that the pieces went into, ``made`` the kit that the lot itself holds; '' = none.
    """

    day: date
    kind: MoveKind
    thousandths: int
    part: str
    supplier: str
    customer: str
    into: str
    made: str
    unit_cost: Money | None

    @property
    def deed(self) -> Deed:
        if self.kind is MoveKind.IN:
            return Deed.MADE if self.made else Deed.BOUGHT
        if self.kind is MoveKind.COUNT:
            return Deed.LOST if self.thousandths < 0 else Deed.FOUND
        return Deed.SOLD if self.customer and not self.into else Deed.USED

    def goes_by(self, by: By) -> str:
        """The part, supplier, kit or customer that it counts for; '' where it has none."""
        names = {By.PART: self.part, By.SUPPLIER: self.supplier, By.CUSTOMER: self.customer}
        return self.into or self.made if by is By.KIT else names.get(by, "")


@dataclass(slots=True)
class Summed:
    """Entries of one deed put together: how many there are, of how much, and how many and how much by currency.

    Money is in thousandths of a millionth, so that nothing is rounded before all is summed; '' = cost not known.
    """

    entries: int = 0
    thousandths: int = 0
    paid_in: dict[str, tuple[int, int]] = field(default_factory=dict)

    def enter(self, entry: Entry) -> None:
        some, cost = abs(entry.thousandths), entry.unit_cost
        self.entries += 1
        self.thousandths += some
        code, worth = ("", 0) if cost is None else (cost.currency, cost.millionths * some)
        entries, before = self.paid_in.get(code, (0, 0))
        self.paid_in[code] = (entries + 1, before + worth)

    def cost(self, currency: str, worth_of: Callable[[str], Decimal | None]) -> tuple[Money | None, int]:
        """(the cost of those whose cost is known, how many entries' cost is not). None where no cost is known though
        there are entries. Each currency is converted and rounded once."""
        known, unknown, millionths = 0, 0, 0
        for code, (entries, exact) in self.paid_in.items():
            worth = worth_of(code) if code else None
            if worth is None:
                unknown += entries
            else:
                known += entries
                millionths += int((exact * worth / 1000).to_integral_value(ROUND_HALF_UP))
        return (Money(millionths, currency) if known or not unknown else None), unknown


Sums = dict[Deed, Summed]


def journal(entries: Iterable[Entry], period: Period, by: By, span: Span) -> tuple[dict[tuple[date, str], Sums], Sums]:
    """((first day of the period, name) to its sums in their order, the sums of all). By kind every period of the span
    has its row, also one in which nothing happened."""
    rows: dict[tuple[date, str], Sums] = {}
    if by is By.KIND:
        rows = {(begins, ""): {} for begins in span.periods(period)}
    total: Sums = {}
    for entry in entries:
        deed = entry.deed
        row = rows.setdefault((span.begins(period, entry.day), entry.goes_by(by)), {})
        for sums in (row, total):
            if (found := sums.get(deed)) is None:
                found = sums[deed] = Summed()
            found.enter(entry)
    return dict(sorted(rows.items())), total


class Span(NamedTuple):
    """From the first day to the last, both within."""

    first: date
    last: date

    def begins(self, period: Period, day: date) -> date:
        """The first day of the period that the day lies in, or the span's own."""
        return self.first if period is Period.ALL else begins(period, day)

    def periods(self, period: Period) -> Iterator[date]:
        """The first day of each period that has a day in the span."""
        at = self.begins(period, self.first)
        while at <= self.last:
            yield at
            if period is Period.ALL:
                return
            at = after(period, at)

    def count(self, period: Period) -> int:
        """How many periods have a day in the span."""
        if period is Period.DAY:
            return (self.last - self.first).days + 1
        return sum(1 for _ in self.periods(period))


def begins(period: Period, day: date) -> date:
    """The first day of the day's month, quarter or year; a day is its own."""
    if period is Period.YEAR:
        return day.replace(month=1, day=1)
    if period is Period.QUARTER:
        return day.replace(month=day.month - (day.month - 1) % 3, day=1)
    return day.replace(day=1) if period is Period.MONTH else day


def after(period: Period, begins: date, count: int = 1) -> date:
    """The first day so many periods later, or earlier."""
    if period is Period.DAY:
        return begins + timedelta(days=count)
    months = begins.year * 12 + begins.month - 1 + count * _MONTHS[period]
    return date(months // 12, months % 12 + 1, 1)


_MONTHS = {Period.MONTH: 1, Period.QUARTER: 3, Period.YEAR: 12, Period.ALL: 1}


def called(period: Period, begins: date) -> str:
    """2026-11-28, 2026-11, 2026-Q4 or 2026; the whole span has no name."""
    if period is Period.QUARTER:
        return f"{begins.year}-Q{(begins.month + 2) // 3}"
    letters = {Period.DAY: 10, Period.MONTH: 7, Period.YEAR: 4}.get(period, 0)
    return begins.isoformat()[:letters]


def days_meant(text: str) -> Span | None:
    """The days that a date, a month, a quarter or a year names; None where it names none from 1900 to 2999.

    >>> days_meant("2026-02").last.isoformat()
    '2026-02-28'
    """
    found = _NAMED.fullmatch(text.strip().upper())
    if found is None or not 1900 <= int(found["year"]) <= 2999:
        return None
    year, quarter, month, day = int(found["year"]), found["quarter"], found["month"], found["day"]
    period = Period.DAY if day else Period.MONTH if month else Period.QUARTER if quarter else Period.YEAR
    try:
        first = date(year, int(month or (int(quarter) * 3 - 2 if quarter else 1)), int(day or 1))
    except ValueError:
        return None
    return Span(first, after(period, first) - timedelta(days=1))


_NAMED = re.compile(r"(?P<year>[0-9]{4})(-Q(?P<quarter>[1-4])|-(?P<month>[0-9]{2})(-(?P<day>[0-9]{2}))?)?")

LATELY = 12
"""A journal that states no first day reaches over so many periods. Own choice."""


def lately(period: Period, last: date) -> date:
    """The first day of a journal that states none: twelve periods up to the last day, months where it is one of all."""
    step = Period.MONTH if period is Period.ALL else period
    return after(step, begins(step, last), 1 - LATELY)
