"""What the buying jobs found: how price lists and quotes stand, the rates taken, what is due, and what to order where.

Money is in the currency it carries; None is *not known*, or *none*.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from bom.values.money import Money


@dataclass(frozen=True, slots=True)
class SupplierStands:
    """How a supplier's price list stands: how old it is, why it could not be read anew, and what keeps offers out.

    ``rate`` is what one unit of its currency is worth in ``rate_to``; without one its offers are never ranked.
    """

    supplier: str
    currency: str
    rate: Decimal | None
    rate_to: str
    list: str
    offers: int
    as_of: datetime.datetime | None
    age: str
    failed: datetime.datetime | None
    why_failed: str
    in_doubt: tuple[str, ...]
    quotes: int
    quotes_expired: int


@dataclass(frozen=True, slots=True)
class ListTaken:
    """A price list read anew; where it ``failed``, ``offers`` are those of the last good one, seen ``as_of``."""

    supplier: str
    list: str
    offers: int
    as_of: datetime.datetime | None
    how: str
    failed: bool
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RatesTaken:
    """The newest day of the rates taken: what one unit of each currency is worth in the base."""

    base_currency: str
    counts_in: str
    date: datetime.date
    rates: Mapping[str, Decimal]
    source: str
    days_taken: int


@dataclass(frozen=True, slots=True)
class QuotedLine:
    """A line of a quote as it was understood; ``prices`` by the quantity from which each holds."""

    line: int | None
    supplier_code: str
    part_number: str
    maker: str
    prices: Mapping[int, Money]
    moq: int
    multiple: int
    lead_days: int | None


@dataclass(frozen=True, slots=True)
class QuoteBack:
    """A quote taken back, what was quoted, and what keeps some of it out of plans."""

    supplier: str
    quotes: int
    valid_until: datetime.date
    lines: tuple[QuotedLine, ...]
    notes: tuple[str, ...]
