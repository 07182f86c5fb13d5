"""What the shelf's jobs found: what lies there lot by lot, what it is worth, where pieces went, what is to come.

Quantities are in the part's ``unit``; money is in the currency it carries; None is *not known*, or *not set*.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from bom.stock.ledger import Lot, Move
from bom.values.money import Money


@dataclass(frozen=True, slots=True)
class LotThere:
    """A lot of which something is there, and what one unit of it cost."""

    lot: str
    on_hand: Decimal
    held: Decimal
    drawer: str
    date_code: str
    expires: date | None
    expired: bool
    supplier: str
    unit_cost: Money | None


@dataclass(frozen=True, slots=True)
class StockOfPart:
    """What is there of a part, promised, kept back and to come; ``lots`` only where one part was asked for."""

    part_number: str
    unit: str
    on_hand: Decimal
    reserved: Decimal
    held: Decimal
    expired: Decimal
    available: Decimal
    on_order: Decimal
    reorder_point: Decimal | None
    order_up_to: Decimal | None
    average_cost: Money | None
    drawers: tuple[str, ...]
    lots: tuple[LotThere, ...] = ()


@dataclass(frozen=True, slots=True)
class PartWorth:
    """A part in money: what came in, what went out cost, what the rest is worth, and one unit of it."""

    part_number: str
    unit: str
    on_hand: Decimal | None
    came_in: Money | None
    gone: Money | None
    stock: Money | None
    each: Money | None


@dataclass(frozen=True, slots=True)
class StockWorth:
    """All parts in money by one ``method``, at rates of one day; the ``unknown`` parts are in no sum."""

    method: str
    currency: str
    rates_of: date
    parts: tuple[PartWorth, ...]
    came_in: Money
    gone: Money
    stock: Money
    unknown: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TrailStep:
    """Pieces of a lot that went ``into`` a kit lot or job, or to a customer, so many steps away."""

    depth: int
    lot: str
    part_number: str
    quantity: Decimal
    unit: str
    into: str
    customer: str


@dataclass(frozen=True, slots=True)
class BoughtLot:
    """A lot that came from a supplier."""

    lot: str
    part_number: str
    maker: str
    maker_lot: str
    date_code: str
    supplier: str
    received: datetime | None
    drawer: str


@dataclass(frozen=True, slots=True)
class LotLevel:
    """What is there of a lot now."""

    on_hand: Decimal
    held: Decimal
    reserved: Decimal


@dataclass(frozen=True, slots=True)
class LotStory:
    """A lot from its coming to its last piece; ``balance`` and ``held`` stand after each of its ``moves``."""

    lot: Lot
    unit: str
    drawer: str
    level: LotLevel
    moves: tuple[Move, ...]
    balance: tuple[Decimal, ...]
    held: tuple[Decimal, ...]
    went_into: tuple[str, ...]
    made_from: tuple[str, ...]
    onward: tuple[TrailStep, ...]
    made_of: tuple[TrailStep, ...]
    bought: tuple[BoughtLot, ...]
    customers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Given:
    """What went to a job or a customer, or came from a maker's lot, and what that was made of."""

    asked: str
    went_out: tuple[TrailStep, ...]
    made_of: tuple[TrailStep, ...]
    bought: tuple[BoughtLot, ...]


@dataclass(frozen=True, slots=True)
class StillToCome:
    """What an order has still to bring of a part."""

    order: str
    supplier: str
    part_number: str
    quantity: Decimal
    unit: str
    due: date | None
    late_days: int | None


@dataclass(frozen=True, slots=True)
class JournalFigure:
    """Entries of one kind: how many, of how much (None where several parts are put together), what they cost by their
    own lots, and how many of them have a cost that is not known: those are in no sum. ``cost`` None = none is known."""

    entries: int
    quantity: Decimal | None
    cost: Money | None
    unknown: int


@dataclass(frozen=True, slots=True)
class JournalRow:
    """What happened in a period to a part, supplier, kit or customer; ``name`` '' = to none, or all together."""

    period: str
    begins: date
    name: str
    unit: str
    bought: JournalFigure
    made: JournalFigure
    used: JournalFigure
    sold: JournalFigure
    lost: JournalFigure
    found: JournalFigure

    @property
    def figures(self) -> tuple[JournalFigure, ...]:
        """In the order in which they stand."""
        return self.bought, self.made, self.used, self.sold, self.lost, self.found


@dataclass(frozen=True, slots=True)
class Journal:
    """The journal of a span of days in one currency at rates of one day; ``unknown`` are the parts with a cost that is
    not known, or has no rate."""

    period: str
    by: str
    first: date
    last: date
    currency: str
    rates_of: date
    rows: tuple[JournalRow, ...]
    total: JournalRow
    unknown: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class IdlePart:
    """A part of which something lies there and nothing was used of late; ``last_used`` None = never, ``here_since``
    None = its first lot has no day; ``worth`` None = a lot's cost is not known."""

    part_number: str
    on_hand: Decimal
    unit: str
    drawers: tuple[str, ...]
    here_since: date | None
    last_used: date | None
    worth: Money | None


@dataclass(frozen=True, slots=True)
class IdleStock:
    """What was not used since a day, the dearest first, and what it is worth; the ``unknown`` are in no sum."""

    since: date
    currency: str
    parts: tuple[IdlePart, ...]
    worth: Money
    unknown: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PricePaid:
    """What one unit of a lot cost, as it was paid and in the shop's currency; None = not known, or no rate."""

    day: date | None
    supplier: str
    lot: str
    unit_cost: Money | None
    in_ours: Money | None


@dataclass(frozen=True, slots=True)
class PriceAsked:
    """An offer for so many ``pieces`` ordered alone: a piece as ``listed``, and ``landed`` with shipping, import fee
    and the tax that is not got back. ``landed`` None = it cannot be ranked; ``against`` says what stands against it."""

    supplier: str
    supplier_code: str
    pieces: int
    listed: Money | None
    landed: Money | None
    stock: int | None
    lead_days: int | None
    valid_until: date | None
    against: str


@dataclass(frozen=True, slots=True)
class PartPrices:
    """A part's lots in the order in which they came, and what is asked for so many, the cheapest first."""

    part_number: str
    unit: str
    currency: str
    rates_of: date
    wanted: int
    paid: tuple[PricePaid, ...]
    asked: tuple[PriceAsked, ...]
