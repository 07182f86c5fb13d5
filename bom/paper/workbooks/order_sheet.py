"""Knows what a reorder workbook holds, and one supplier's sheet of it: lines that price themselves anew when a quantity
is edited."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from bom.paper.workbooks.sheet import (
    as_text,
    bold,
    caution_above,
    for_printing,
    header,
    money_format,
    number,
    on_top,
    tall_enough,
    title,
    to_fill_in,
    wrapped,
)
from bom.paper.writing import one_line
from bom.values.money import EXPONENTS, Money, total

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


COLUMNS = (  # header, width in characters, side
    ("Supplier code", 12, "left"),
    ("Part number", 15, "left"),
    ("Maker", 12, "left"),
    ("Description", 24, "left"),
    ("Quantity", 10, "right"),
    ("Unit", 7, "left"),
    ("Unit price", 13, "right"),
    ("Line total", 14, "right"),
    ("Price break", 8, "left"),
    ("Check", 13, "left"),
    ("Why", 28, "left"),
)
FIRST = 6  # the first line's row; the header stands above it
NOT_STATED = "not stated"


@dataclass(frozen=True, slots=True)
class Places:
    """Where a supplier's sheet keeps what the summary points at: cell addresses, and the line rows."""

    sheet: str
    first: int
    last: int
    goods: str
    shipping: str
    import_fee: str
    tax: str
    grand: str

    def at(self, cell: str) -> str:
        return "'" + self.sheet.replace("'", "''") + "'!" + cell

    @property
    def totals(self) -> str:
        return self.at(f"H{self.first}:H{self.last}")

    @property
    def quantities(self) -> str:
        return self.at(f"E{self.first}:E{self.last}")


def fill_order(sheet: Any, order: SupplierOrder, book: ReorderBook) -> Places:
    """The whole sheet."""
    title(sheet, f"Order to {one_line(order.supplier)}", book.made, book.number)
    caution_above(sheet, book.caution, COLUMNS)
    header(sheet, FIRST - 1, COLUMNS)
    for row, line in enumerate(order.lines, FIRST):
        _fill_line(sheet, row, line)
    places = _fill_foot(sheet, order)
    for row, note in enumerate(order.notes, int(places.grand[1:]) + 2):
        as_text(sheet.cell(row, 1), note)
    for_printing(sheet, f"A{FIRST}", f"1:{FIRST - 1}")
    return places


def _fill_line(sheet: Any, row: int, line: ReorderLine) -> None:
    texts = (
        *((1, line.supplier_code), (2, line.part_number), (3, line.maker), (4, line.description)),
        *((6, line.unit), (11, line.why)),
    )
    for column, text in texts:
        as_text(sheet.cell(row, column), text)
        wrapped(sheet.cell(row, column))
    number(sheet.cell(row, 5), line.quantity, "#,##0")
    to_fill_in(sheet.cell(row, 5))
    _fill_price(sheet, row, line)
    _fill_break(sheet, row, line)
    number(sheet.cell(row, 10), _check(row, line.terms), "General")
    wrapped(sheet.cell(row, 10))
    for column in (5, 7, 8):
        on_top(sheet.cell(row, column))
    tall_enough(sheet, row, [(text, COLUMNS[column - 1][1]) for column, text in texts])


def _fill_price(sheet: Any, row: int, line: ReorderLine) -> None:
    """Price and total as formulas of the quantity; one of them leads, the other follows."""
    code, terms = line.unit_price.currency, line.terms
    digits = EXPONENTS.get(code, 2)
    each: object = float(line.unit_price.amount)
    whole = f"=ROUND(E{row}*G{row},{digits})"
    if terms is not None and len(terms.breaks) > 1:
        if terms.incremental:
            whole = f"=ROUND({_stepped(row, terms)},{digits})"
            each = f"=IF(E{row}>0,({_stepped(row, terms)})/E{row},{_plain(terms.breaks[0][1])})"
        else:
            each = f"=LOOKUP(MAX(E{row},0),{_starts(terms)},{_prices(terms)})"
    number(sheet.cell(row, 7), each, money_format(code, finest=True))
    number(sheet.cell(row, 8), whole, money_format(code))


def _fill_break(sheet: Any, row: int, line: ReorderLine) -> None:
    """The price break that the quantity reaches as it is now, as in 25+."""
    cell = sheet.cell(row, 9)
    if line.terms is None or not line.terms.breaks:
        as_text(cell, line.price_break)
    else:
        number(cell, f"=LOOKUP(MAX(E{row},0),{_starts(line.terms)},{_break_words(line.terms)})", "General")
    wrapped(cell)


def _break_words(terms: Terms) -> str:
    """A word for each price; one that changes nothing is not worth a word of its own."""
    words: list[str] = []
    before: Money | None = None
    for start, price in terms.breaks:
        words.append(words[-1] if price == before else f'"{start}+"' if start > 1 else '""')
        before = price
    return "{" + ",".join(words) + "}"


def _starts(terms: Terms) -> str:
    """Where each price starts; the first holds from 0, so that a quantity taken away is priced too."""
    return "{" + ",".join(str(start) if n else "0" for n, (start, _) in enumerate(terms.breaks)) + "}"


def _prices(terms: Terms) -> str:
    return "{" + ",".join(_plain(price) for _, price in terms.breaks) + "}"


def _stepped(row: int, terms: Terms) -> str:
    """Each price for the units beyond its break: the first for all, then what each further one differs by."""
    parts, before = [], Decimal(0)
    for start, price in terms.breaks:
        parts.append(f"MAX(0,E{row}-{max(start - 1, 0)})*({price.amount - before:f})")
        before = price.amount
    return "+".join(parts)


def _plain(price: Money) -> str:
    return f"{price.amount.normalize():f}"


def _check(row: int, terms: Terms | None) -> str:
    """What stands against the quantity as it is now; the texts hold nothing but our own words and numbers."""
    asked = f"E{row}"
    tests = [(f"{asked}=0", "not ordered"), (f"{asked}<>INT({asked})", "not whole"), (f"{asked}<0", "below nothing")]
    if terms is not None:
        if terms.minimum > 1:
            tests.append((f"{asked}<{terms.minimum}", f"below minimum {terms.minimum}"))
        if terms.multiple > 1:
            tests.append((f"MOD({asked},{terms.multiple})<>0", f"not a multiple of {terms.multiple}"))
        if terms.stock is not None:
            tests.append((f"{asked}>{terms.stock}", f"{terms.stock} in stock"))
    formula = '"ok"'
    for test, word in reversed(tests):
        formula = f'IF({test},"{word}",{formula})'
    return f"={formula}"


def _fill_foot(sheet: Any, order: SupplierOrder) -> Places:
    """The foot of the sheet. SUM passes over text, so *not stated* counts as nothing and stays visible."""
    last = max(FIRST, FIRST + len(order.lines) - 1)
    goods, code = last + 2, order.currency
    digits = EXPONENTS.get(code, 2)
    _foot(sheet, goods, "Goods", code, f"=SUM(H{FIRST}:H{last})")
    pieces = f"SUM(E{FIRST}:E{last})"
    _foot(sheet, goods + 1, _shipping_label(order), code, _shipping(order, f"H{goods}", pieces))
    _foot(sheet, goods + 2, "Import fee", code, _where_ordered(order.import_fee, pieces))
    number(sheet.cell(goods + 3, 7), float(order.tax_pct), '0.##"\xa0%"')
    tax = f"=ROUND(SUM(H{goods}:H{goods + 1})*G{goods + 3}/100,{digits})"
    _foot(sheet, goods + 3, "Tax on goods and shipping", code, tax)
    _foot(sheet, goods + 4, _total_label(order), code, f"=SUM(H{goods}:H{goods + 3})", strong=True)
    if order.minimum:
        under = f'=IF(H{goods}<{_plain(order.minimum)},"below the minimum order of {order.minimum}","")'
        number(sheet.cell(goods, 9), under, "General")
    return Places(sheet.title, FIRST, last, *(f"H{goods + n}" for n in range(5)))


def _shipping_label(order: SupplierOrder) -> str:
    free = order.shipping is not None and order.free_from is not None
    return f"Shipping (free from {order.free_from})" if free else "Shipping"


def _shipping(order: SupplierOrder, goods: str, pieces: str) -> str | Money | None:
    """The fee, or nothing once the goods reach the threshold: that is asked anew when a quantity is edited."""
    if order.shipping is None or order.free_from is None:
        return _where_ordered(order.shipping, pieces)
    free = f"OR({pieces}<=0,{goods}>={_plain(order.free_from)})"
    return f"=IF({free},0,{_plain(order.shipping.rounded())})"


def _where_ordered(fee: Money | None, pieces: str) -> str | Money | None:
    """A fee of the order, which falls away with its last line."""
    return f"=IF({pieces}>0,{_plain(fee.rounded())},0)" if fee is not None and fee.millionths else fee


def _total_label(order: SupplierOrder) -> str:
    named = (("shipping", order.shipping), ("import fee", order.import_fee))
    missing = [name for name, amount in named if amount is None]
    return "Total to pay" + (f", without {' and '.join(missing)} (not stated)" if missing else "")


def _foot(sheet: Any, row: int, label: str, currency: str, amount: str | Money | None, strong: bool = False) -> None:
    as_text(sheet.cell(row, 4), label)
    cell = sheet.cell(row, 8)
    if amount is None:
        as_text(cell, NOT_STATED)
    else:
        value = float(amount.rounded().amount) if isinstance(amount, Money) else amount
        number(cell, value, money_format(currency))
    if strong:
        bold(sheet.cell(row, 4), cell)
