"""A supplier, and an offer: a supplier's part at price breaks, with stock, MOQ, multiple and lead time.

Prices are in the supplier's own currency, to the millionth.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from bom.values.money import Money


@dataclass(frozen=True, slots=True)
class Break:
    """From this many pieces on, this unit price."""

    from_quantity: int
    price: Money


@dataclass(frozen=True, slots=True)
class Supplier:
    """A supplier of the user's own. Money in ``currency``; ``tax_pct`` of 100; ``free_from`` None = never free.

    ``import_fee`` is what one order costs at the border, whatever it holds. ``customer_number`` is ours there, and
    ``terms`` what was agreed, in words for papers to it.
    """

    name: str
    currency: str
    prices_include_tax: bool = False
    tax_pct: Decimal = Decimal(0)
    shipping_fee: Money | None = None
    free_from: Money | None = None
    import_fee: Money | None = None
    minimum_order: Money | None = None
    lead_days: int | None = None
    customer_number: str = ""
    terms: str = ""


@dataclass(frozen=True, slots=True)
class Offer:
    """One supplier's price for one part. ``incremental`` breaks price only the pieces beyond each break.

    ``stock`` None = not stated. ``valid_until`` is set on a quote. ``seen``, ``file`` and ``line``: when, where.
    ``doubt`` says why its price looks like a slip; empty = it does not.
    """

    supplier: str
    part_number: str
    breaks: tuple[Break, ...]
    maker: str = ""
    supplier_code: str = ""
    stock: int | None = None
    moq: int = 1
    multiple: int = 1
    lead_days: int | None = None
    incremental: bool = False
    valid_until: date | None = None
    seen: datetime | None = None
    file: str = ""
    line: int = 0
    doubt: str = ""

    @property
    def fewest(self) -> int:
        """The fewest pieces that it is sold in."""
        return max(self.moq, self.multiple)


@dataclass(frozen=True, slots=True)
class Feed:
    """How to read a supplier's price list: a ``file`` or a ``url``, its dialect and which column holds what.

    ``delimiter`` and ``decimal`` "" = not stated: the list's own cells decide. ``columns`` maps our words
    (supplier_code, part_number, maker, stock, moq, multiple, lead_days, price_per, currency) to the headings.
    Breaks are columns (``break_columns``: from quantity, heading; ``break_pairs``: headings of quantity and price) or
    rows (``from_column`` and ``price_column``). Prices are for ``price_per`` pieces, 0 = not stated, which is one.
    ``packing`` says how many pieces a packing code stands for. ``sheet`` is that of a spreadsheet, "" = the one with
    these headings. ``lead_time_in`` is what bare lead times are in, "" = the heading decides, else days. A part
    of which none is in stock comes in the time that its row states, or not at all: ``only_what_lies_there``.
    """

    file: str = ""
    url: str = ""
    secret_env: str = ""
    delimiter: str = ""
    encoding: str = "utf-8"
    decimal: str = ""
    keep_hours: float = 12.0
    columns: tuple[tuple[str, str], ...] = ()
    break_columns: tuple[tuple[int, str], ...] = ()
    from_column: str = ""
    price_column: str = ""
    incremental: bool = False
    break_pairs: tuple[tuple[str, str], ...] = ()
    price_per: int = 0
    packing: tuple[tuple[str, int], ...] = ()
    sheet: str = ""
    lead_time_in: str = ""
    only_what_lies_there: bool = False


@dataclass(frozen=True, slots=True)
class Rates:
    """Dated exchange rates: what one unit of a currency is worth in ``base``."""

    base: str
    day: date
    worth: tuple[tuple[str, Decimal], ...] = ()
    source: str = ""

    def to_base(self, currency: str) -> Decimal | None:
        """What one unit of the currency is worth, or None without a rate (then it is shown, never ranked)."""
        if currency == self.base:
            return Decimal(1)
        return dict(self.worth).get(currency)

    def in_terms_of(self, base: str) -> Rates | None:
        """These rates to another base, crossed through this one; None where that base has no rate here."""
        if base == self.base:
            return self
        if not (worth := self.to_base(base)):
            return None
        crossed = ((code, rate / worth) for code, rate in (*self.worth, (self.base, Decimal(1))) if code != base)
        return Rates(base, self.day, tuple(crossed), self.source)
