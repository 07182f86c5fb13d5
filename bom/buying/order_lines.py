"""Knows how a plan becomes order lines: what to buy where, what for, why so many, and what a piece comes to landed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from bom.buying.from_offers import offer_ids
from bom.buying.offer import Offer
from bom.buying.order import SupplierCost, best_assignment, goods_by_supplier
from bom.buying.plan import Plan
from bom.buying.problem import ZERO, PlanOffer, PlanProblem, PlanSupplier
from bom.values.money import Money


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One line of an order. Prices as listed, in the supplier's currency; an incremental unit price is the average.

    ``covers`` says which needs the pieces are for; ``spare`` is how many are for none. ``why`` explains the quantity.
    ``landed_each`` is what one piece comes to in the base currency, the order's shipping, fee and tax shared out by
    value. ``in_place_of`` are the parts wanted that this one stands in for.
    """

    supplier: str
    supplier_code: str
    part_number: str
    maker: str
    quantity: int
    unit_price: Money
    line_total: Money
    why: str
    covers: tuple[tuple[str, int], ...] = ()
    spare: int = 0
    offer: str = ""
    landed_each: Money | None = None
    in_place_of: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Order:
    """One supplier's order: its terms, its goods as listed in its currency, and what it comes to in the base one."""

    supplier: PlanSupplier
    goods: Decimal
    cost: SupplierCost
    base: str

    def landed(self, listed: Decimal, pieces: int) -> Money:
        """A piece's share of the order's total, by value; by nothing where the goods are free."""
        return Money.of(self.cost.total * (listed / self.goods if self.goods else ZERO) / pieces, self.base)


def lines_of(plan: Plan, problem: PlanProblem, offers: Sequence[Offer]) -> tuple[OrderLine, ...]:
    """The plan's order lines, by supplier, in the order of the offers; ``offers`` as given to ``problem_from``."""
    by_id = offer_ids(offers)
    covers = best_assignment(problem, plan.quantities) if plan.order else {}
    planned = {o.id: o for o in problem.offers}
    orders = _orders(plan, problem)
    lines = [
        _line(planned[name], by_id[name], quantity, _mine(name, covers, problem), orders[planned[name].supplier])
        for name, quantity in plan.order
    ]
    places = {s.id: n for n, s in enumerate(problem.suppliers)}
    return tuple(sorted(lines, key=lambda line: places[line.supplier]))


def _orders(plan: Plan, problem: PlanProblem) -> dict[str, _Order]:
    goods = goods_by_supplier(problem, plan.quantities)
    return {
        c.supplier: _Order(problem.supplier(c.supplier), goods[c.supplier], c, problem.base_currency)
        for c in plan.suppliers
    }


def _mine(offer: str, covers: Mapping[tuple[str, str], int], problem: PlanProblem) -> tuple[tuple[str, str, int], ...]:
    """(need, the part it is for, pieces) that this offer covers."""
    wanted = {n.id: n.fillable_by[0] for n in problem.needs}
    return tuple((need, wanted[need], used) for (name, need), used in covers.items() if name == offer)


def _line(
    planned: PlanOffer, offer: Offer, quantity: int, mine: tuple[tuple[str, str, int], ...], order: _Order
) -> OrderLine:
    currency = offer.breaks[0].price.currency
    goods = planned.goods(quantity)
    spare = quantity - sum(used for _, _, used in mine)
    instead = tuple(dict.fromkeys(part for _, part, _ in mine if part != planned.part_number))
    why = why_so_many(planned, quantity, spare, order.supplier, order.goods)
    return OrderLine(
        supplier=offer.supplier,
        supplier_code=offer.supplier_code,
        part_number=offer.part_number,
        maker=offer.maker,
        quantity=quantity,
        unit_price=Money.of(goods / quantity, currency),
        line_total=Money.of(goods, currency).rounded(),
        why=f"in place of {', '.join(instead)}; {why}" if instead else why,
        covers=tuple((need, used) for need, _, used in mine),
        spare=spare,
        offer=planned.id,
        landed_each=order.landed(goods, quantity),
        in_place_of=instead,
    )


def why_so_many(offer: PlanOffer, quantity: int, spare: int, supplier: PlanSupplier, goods: Decimal) -> str:
    """Why this quantity: the price reached, and what made it more than is needed.

    ``goods`` is what the whole order from this supplier lists, in its currency, this line included.
    """
    reasons = [*_reached(offer, quantity, spare), *_more(offer, quantity, spare, supplier, goods)]
    return ", ".join(reasons) or ("as needed" if not spare else f"{spare} to spare")


def _reached(offer: PlanOffer, quantity: int, spare: int) -> Iterator[str]:
    """The price break, and that it was bought up to where fewer would have cost as much or more."""
    reached = offer.reached(quantity)
    start, each = offer.breaks[reached]
    if start <= 1 or not reached or offer.breaks[reached - 1][1] == each:
        return
    fewer = offer.rounded_up(quantity - spare)
    bought_up = offer.reached(fewer) < offer.reached(quantity) and offer.goods(fewer) >= offer.goods(quantity)
    yield f"{start}+ price" + (f" makes {quantity} cheaper than {fewer}" if bought_up else "")


def _more(offer: PlanOffer, quantity: int, spare: int, supplier: PlanSupplier, goods: Decimal) -> Iterator[str]:
    needed = quantity - spare
    fewer = offer.rounded_up(needed)
    if not spare:
        return
    if needed < offer.moq:
        yield f"minimum {offer.moq}"
    if max(needed, offer.moq) % offer.multiple:
        yield f"multiple of {offer.multiple}"
    if quantity > fewer and offer.goods(fewer) < offer.goods(quantity):
        without = goods - offer.goods(quantity) + offer.goods(fewer)
        yield f"{quantity - fewer} more {_filled_up(supplier, without, goods)}"


def _filled_up(supplier: PlanSupplier, without: Decimal, goods: Decimal) -> str:
    """What the goods beyond ``without`` are good for."""
    if without < supplier.min_order_value <= goods:
        return f"reach the minimum order of {listed(supplier.min_order_value, supplier)}"
    free = supplier.free_shipping_from
    if free is not None and without < free <= goods:
        return f"reach free shipping from {listed(free, supplier)}"
    return "fill up the order"


def thresholds(supplier: PlanSupplier, goods: Decimal) -> tuple[str, ...]:
    """What an order of so much goods (as listed) reaches or misses at this supplier, in plain words."""
    return tuple(_thresholds(supplier, goods))


def _thresholds(supplier: PlanSupplier, goods: Decimal) -> Iterator[str]:
    free = supplier.free_shipping_from
    if free is not None and goods >= free:
        yield f"shipping is free from {listed(free, supplier)}: reached"
    elif free is not None:
        yield f"shipping is free from {listed(free, supplier)}: {listed(free - goods, supplier)} short"
    if supplier.min_order_value:
        yield f"minimum order {listed(supplier.min_order_value, supplier)}: reached"


def listed(amount: Decimal, supplier: PlanSupplier) -> str:
    """An amount in the supplier's currency, for the eye."""
    return f"{amount:.2f} {supplier.currency}"
