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
    """A price list read anew; where it ``failed``, ``offers`` are those of the last good one, seen ``as_of``.

    ``on_request`` counts its parts without a price, which are no offers, and the first of them are ``to_ask_for``; None
    where the list was not read, since it is the one that was read before or cannot be taken.
    """

    supplier: str
    list: str
    offers: int
    as_of: datetime.datetime | None
    how: str
    failed: bool
    notes: tuple[str, ...]
    on_request: int | None = None
    to_ask_for: tuple[str, ...] = ()


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


@dataclass(frozen=True, slots=True)
class QuoteKept:
    """A quote as it is kept; ``prices`` by the quantity from which each holds. ``days_left`` below 0 = it is over."""

    supplier: str
    part_number: str
    maker: str
    supplier_code: str
    prices: Mapping[int, Money]
    moq: int
    multiple: int
    lead_days: int | None
    valid_until: datetime.date
    days_left: int
    taken: datetime.datetime | None
    file: str


@dataclass(frozen=True, slots=True)
class Spared:
    """What a drop-in has to spare for another part, in that part's unit."""

    part_number: str
    quantity: Decimal


@dataclass(frozen=True, slots=True)
class PartStands:
    """A part as it stands, and the ``quantity`` to order of it now, in its ``unit``.

    ``reckoned`` is the level (point, up to) that its use asks for, by ``method``. ``accepted`` may be bought for it;
    None where that was not asked, since it is not due.
    """

    part_number: str
    quantity: int
    unit: str
    available: Decimal
    on_order: Decimal
    planned: Decimal
    stand_ins: Decimal
    served_by: tuple[Spared, ...]
    point: Decimal
    up_to: Decimal
    level_by: str
    reckoned: tuple[int, int] | None
    method: str | None
    status: str
    lasts: str
    why: str
    accepted: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class PiecesFor:
    """So many pieces of an order line serve this part that was wanted."""

    part_number: str
    pieces: int


@dataclass(frozen=True, slots=True)
class PlannedLine:
    """A line to order: prices as listed, what a piece comes to landed, what it is for, and its conditions and cautions.

    ``quantity`` is in the part's ``unit``; ``spare`` of it is for no need.
    """

    supplier_code: str
    part_number: str
    maker: str
    quantity: int
    unit_price: Money
    cost: Money
    landed_each: Money | None
    why: str
    for_: tuple[PiecesFor, ...]
    spare: int
    in_place_of: tuple[str, ...]
    conditions: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    unit: str = "piece"


@dataclass(frozen=True, slots=True)
class OrderSums:
    """What one order comes to, in the supplier's own currency."""

    goods: Money
    shipping: Money
    import_fee: Money
    tax: Money
    total: Money


@dataclass(frozen=True, slots=True)
class PlannedOrder:
    """One supplier's order. Bare sums are in the plan's currency, ``own`` in the supplier's ``currency``.

    ``rate`` is what one unit of its currency is worth in the plan's; ``reached`` says which thresholds are.
    """

    supplier: str
    currency: str
    lines: tuple[PlannedLine, ...]
    goods: float
    shipping: float
    import_fee: float
    tax: float
    total: float
    own: OrderSums
    rate: Decimal
    reached: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MadeOf:
    """What a cost is made of, in the plan's currency: goods that are needed, and ``leftovers`` that are not."""

    goods: float
    shipping: float
    import_fee: float
    tax: float
    leftovers: float

    @property
    def total(self) -> float:
        return self.goods + self.shipping + self.import_fee + self.tax + self.leftovers


@dataclass(frozen=True, slots=True)
class Habit:
    """What buying by a habit would have cost, and how much ``more`` that is; None where the habit gives no order."""

    name: str
    cost: float | None
    more: float | None
    note: str
    made_of: MadeOf | None


@dataclass(frozen=True, slots=True)
class BarePlan:
    """The cheapest order found: offers with their pieces, its cost, and the bound and gap (0.01 = 1 %) that are proved.

    Sums are in the problem's base currency. An infeasible plan has no cost, bound or gap.
    """

    status: str
    cost: float | None
    bound: float | None
    gap: float | None
    order: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class PartShort:
    """``short`` pieces of the ``wanted`` ones are not ordered, and ``why``.

    ``left_for_later``: they could be had, and are not worth it now. ``earliest`` is the first day that a supplier who
    states a lead time could send them, who ``promised`` it; None where nobody does. ``drop_ins`` may be bought or taken
    from the shelf instead, if somebody decides so.
    """

    part_number: str
    unit: str
    wanted: int
    short: int
    why: str
    left_for_later: bool = False
    earliest: datetime.date | None = None
    promised: str = ""
    drop_ins: tuple[str, ...] = ()

    @property
    def sentence(self) -> str:
        """As in *1E5: 2 of 27 not ordered, nobody offers it; in its place may serve: K2R-12S*."""
        said = [f"{self.part_number}: {self.short} of {self.wanted} not ordered, {self.why}"]
        if self.earliest:
            said.append(f"earliest {self.earliest}, if {self.promised} takes the order")
        if self.drop_ins:
            said.append(f"in its place may serve: {', '.join(self.drop_ins)}")
        return "; ".join(said)


@dataclass(frozen=True, slots=True)
class KitsShort:
    """Only ``planned`` of the kits ``wanted`` can be completed, and ``why``; parts are bought for those alone."""

    kit: str
    wanted: int
    planned: int
    why: str

    @property
    def sentence(self) -> str:
        many = self.planned or "none"
        return f"{self.kit}: {many} of {self.wanted} can be completed; {self.why}"


@dataclass(frozen=True, slots=True)
class BlockedPlan(BarePlan):
    """No order serves, and what is in the way."""

    blocked: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ShopPlan(BarePlan):
    """The plan over all that is offered to the shop: its orders, the proof in words, and the habits beside it.

    ``left_out`` says what no plan could take and why, ``reckoned`` which prices were converted, at ``rates_of`` a day.
    ``short`` and ``kits_short`` are what is not ordered of what was wanted; the proof is for the rest.
    """

    currency: str
    proof: str
    worth_of_leftovers: Money | None
    made_of: MadeOf | None
    orders: tuple[PlannedOrder, ...]
    habits: tuple[Habit, ...]
    compared_with: Mapping[str, float | None]
    blocked: tuple[str, ...]
    left_out: tuple[str, ...] = ()
    rates_of: datetime.date | None = None
    reckoned: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    caution: str = ""
    short: tuple[PartShort, ...] = ()
    kits_short: tuple[KitsShort, ...] = ()

    @property
    def is_whole(self) -> bool:
        """Whether everything wanted is ordered, but for what is better left for later."""
        can_wait = all(part.left_for_later for part in self.short)
        return self.status != "infeasible" and can_wait and not self.kits_short

    @property
    def lines(self) -> tuple[PlannedLine, ...]:
        """The lines of all orders."""
        return tuple(line for order in self.orders for line in order.lines)


@dataclass(frozen=True, slots=True)
class Reorder(ShopPlan):
    """The plan for what is ``due``; parts ``covered`` by drop-ins and those to ``watch`` at their end are not in it."""

    due: tuple[PartStands, ...] = ()
    covered: tuple[PartStands, ...] = ()
    watch: tuple[PartStands, ...] = ()
