"""Knows what a reorder workbook holds: orders with their lines and terms, the parts that asked for them, checks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from bom.values.money import Money, total

CheckValue = str | int | Decimal | Money | date | None


@dataclass(frozen=True, slots=True)
class Terms:
    """How an offer may be ordered: its price ``breaks`` (from quantity, price of one), for all units or, where
    ``incremental``, for the units beyond each; minimum, multiple, and what is in stock (None = not stated)."""

    breaks: tuple[tuple[int, Money], ...] = ()
    incremental: bool = False
    minimum: int = 1
    multiple: int = 1
    stock: int | None = None


@dataclass(frozen=True, slots=True)
class ReorderLine:
    """One thing to order: a quantity in its unit at a unit price before tax; ``price_break`` and ``why`` are words.

    With ``terms`` the sheet prices a quantity that is edited anew, and names the break itself; without, both stay.
    """

    supplier_code: str
    part_number: str
    maker: str
    description: str
    quantity: int
    unit_price: Money
    price_break: str = ""
    why: str = ""
    unit: str = "piece"
    terms: Terms | None = None

    @property
    def line_total(self) -> Money:
        """Quantity times price, rounded once; by the breaks themselves where each prices its own units."""
        if self.terms is None or not self.terms.incremental:
            return self.unit_price.times(self.quantity).rounded()
        amount, before = Decimal(0), Decimal(0)
        for start, price in self.terms.breaks:
            amount += max(0, self.quantity - max(start - 1, 0)) * (price.amount - before)
            before = price.amount
        return Money.of(amount, self.unit_price.currency).rounded()


@dataclass(frozen=True, slots=True)
class SupplierOrder:
    """One order, all money in ``currency``. ``shipping`` or ``import_fee`` None = not stated, and the total says so.

    ``tax_pct`` of 100 is added to goods and shipping; the import fee is taken as it is. Nothing ordered costs nothing.
    Where prices include tax, or tax comes back, it is 0. Goods of ``free_from`` or more are sent free of charge.
    ``rate`` is what one unit of the currency is worth in the book's own; None = no rate is known.
    """

    supplier: str
    currency: str
    lines: tuple[ReorderLine, ...]
    shipping: Money | None = None
    import_fee: Money | None = None
    tax_pct: Decimal = Decimal(0)
    notes: tuple[str, ...] = ()
    free_from: Money | None = None
    minimum: Money | None = None
    rate: Decimal | None = None

    @property
    def pieces(self) -> int:
        return sum(line.quantity for line in self.lines)

    @property
    def goods(self) -> Money:
        return total([line.line_total for line in self.lines], self.currency)

    @property
    def shipping_due(self) -> Money:
        """The shipping fee, or nothing from ``free_from`` on, or where none is stated."""
        free = self.free_from is not None and self.goods >= self.free_from
        return (
            Money.zero(self.currency) if free or not self.pieces else _or_zero(self.shipping, self.currency).rounded()
        )

    @property
    def tax(self) -> Money:
        return (self.goods + self.shipping_due).times(self.tax_pct / 100).rounded()

    @property
    def grand_total(self) -> Money:
        """Everything stated, to be paid; the sheet's formulas must come to the same."""
        fee = _or_zero(self.import_fee if self.pieces else None, self.currency).rounded()
        return total([self.goods, self.shipping_due, self.tax, fee], self.currency)


@dataclass(frozen=True, slots=True)
class PartDue:
    """A part that is ordered, or worth a look, and why: what is there, on order and planned for kits, its level.
    ``stand_ins`` are pieces to spare of parts that drop in for it."""

    part_number: str
    unit: str
    available: Decimal
    on_order: Decimal
    planned: Decimal
    point: Decimal
    up_to: Decimal
    wanted: Decimal
    level_by: str
    why: str
    lasts: str = ""
    stand_ins: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class ReorderBook:
    """What the workbook holds: the orders, the parts due, what was left out and why, and values worth a look.

    ``number`` names the book, so that it is not taken as ordered twice; ``currency`` is the shop's own.
    ``caution`` is the line that no sheet of it is without.
    """

    made: date
    orders: tuple[SupplierOrder, ...] = ()
    left_out: tuple[str, ...] = ()
    checks: tuple[tuple[str, CheckValue], ...] = ()
    parts: tuple[PartDue, ...] = ()
    number: str = ""
    currency: str = ""
    rates_of: date | None = None
    caution: str = ""


def _or_zero(amount: Money | None, currency: str) -> Money:
    return Money.zero(currency) if amount is None else amount
