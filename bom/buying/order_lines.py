"""How a plan becomes order lines: what to buy where, what for, why so many, and what a piece comes to landed.

Where no order can serve every need, it says which part, and what stands in its way.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from bom.buying.from_offers import offer_ids
from bom.buying.offer import Offer
from bom.buying.order import SupplierCost, best_assignment, goods_by_supplier, uncovered
from bom.buying.plan import Plan, plan
from bom.buying.plan_problem import ZERO, PlanNeed, PlanOffer, PlanProblem, PlanSupplier, fills
from bom.values.money import Money
from bom.values.problem import Refused


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
    spare: int = 0  # every line that is made states its own, so no test can tell
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


# how long to look is the caller's wish: no test can tell ten seconds from a little more
def blocked(problem: PlanProblem, *, seconds: float = 10.0) -> tuple[str, ...]:
    """A sentence for each thing in the way of a plan that is infeasible; the parts named.

    First what each need lacks alone, then what they lack together, then the wishes and rules that leave no order.
    """
    alone = tuple(f"{need}: {said}" for need, said in lacking_alone(problem).items())
    if alone:
        return alone
    together = uncovered(problem, {o.id: _most(o, problem) for o in problem.offers})
    if together:
        return tuple(
            f"{need}: {pieces} lacking, because the same pieces are wanted for other parts too"
            for need, pieces in together.items()
        )
    return tuple(_rules(problem, seconds)) or (
        "minimum quantities, multiples and stock leave no order that serves " + _names(problem.needs),
    )


def lacking_alone(problem: PlanProblem) -> dict[str, str]:
    """What each need lacks though nothing else were wanted, as in *27 wanted, 25 to be had (Osmere 25)*."""
    return dict(_lacking(problem))


def _lacking(problem: PlanProblem) -> Iterator[tuple[str, str]]:
    for need in problem.needs:
        there = [o for o in problem.offers if o.part_number in need.fillable_by]
        in_time = [o for o in there if fills(o, need)]
        can = sum(_most(o, problem) for o in in_time)
        if need.demand > can:
            avoided = _avoided(problem, need)
            what = _what_there_is(need, there, in_time, can) if there else _nobody(avoided)
            yield need.id, f"{need.demand} wanted, {what}{avoided}"


def _avoided(problem: PlanProblem, need: PlanNeed) -> str:
    """Who offers it in time and is not to be ordered from; empty where nobody."""
    names = tuple(dict.fromkeys(o.supplier for o in problem.avoided if fills(o, need)))
    who, verb = " and ".join(names), "are" if len(names) > 1 else "is"
    return f"; {who}, who {verb} to be avoided, would" if names else ""


def _nobody(avoided: str) -> str:
    return "nobody else offers it" if avoided else "nobody offers it"


def _what_there_is(need: PlanNeed, there: list[PlanOffer], in_time: list[PlanOffer], can: int) -> str:
    late = [o for o in there if o not in in_time]
    limit = "1 day" if need.max_lead_days == 1 else f"{need.max_lead_days} days"
    too_late = f"nothing within {limit}: " + ", ".join(map(_when, late)) if late else ""
    if not in_time:
        return too_late
    stock = ", ".join(f"{o.supplier} {_why_so_few(o)}" for o in in_time)
    return f"{can} to be had ({stock})" + (f"; {too_late}" if late else "")


def _when(offer: PlanOffer) -> str:
    return f"{offer.supplier} " + (
        "states no lead time" if offer.lead_days is None else f"takes {offer.lead_days} days"
    )


def _why_so_few(offer: PlanOffer) -> str:
    """Stock, and the rule that keeps some or all of it from being ordered."""
    if offer.stock == offer.most:
        return f"{offer.stock}"
    rule = f"minimum {offer.moq}" if not offer.most and offer.moq > 1 else f"multiple of {offer.multiple}"
    return f"{offer.most} of {offer.stock}, {rule}"


def _most(offer: PlanOffer, problem: PlanProblem) -> int:
    """As many as can be ordered; stock without end counts as enough for everything."""
    return sum(n.demand for n in problem.needs) if offer.most is None else offer.most


def _rules(problem: PlanProblem, seconds: float) -> Iterator[str]:
    """Rules that, dropped, would leave an order: the number of suppliers, then minimum orders."""
    if problem.max_suppliers is not None:
        found = _solved(_cheap_to_open(replace(problem, max_suppliers=None)), seconds)
        if found is not None and found.cost is not None:
            yield f"at most {problem.max_suppliers} suppliers wanted: {_names(problem.needs)} need {_suppliers(found)}"
            return
    minimums = [s for s in problem.suppliers if s.min_order_value]
    without = replace(problem, suppliers=tuple(replace(s, min_order_value=ZERO) for s in problem.suppliers))
    found = _solved(without, seconds) if minimums else None
    for cost in found.suppliers if found is not None else ():
        supplier = problem.supplier(cost.supplier)
        if supplier.min_order_value:
            yield f"{supplier.id}: its minimum order of {listed(supplier.min_order_value, supplier)} cannot be reached"


def _cheap_to_open(problem: PlanProblem) -> PlanProblem:
    """The problem as it is when nothing counts but the number of suppliers."""
    # dearer than any piece; no test can tell one more from two
    dear = sum((max(p for _, p in o.breaks) for o in problem.offers), ZERO) + 1
    pieces = sum(n.demand for n in problem.needs) + 1  # dearer than any order; no test can tell one more from two
    return replace(problem, suppliers=tuple(replace(s, reluctance=dear * pieces) for s in problem.suppliers))


def _solved(problem: PlanProblem, seconds: float) -> Plan | None:
    try:
        # near enough to name who is needed; no test can tell one hundredth from a little more
        return plan(problem, gap=0.01, seconds=seconds)
    except Refused:
        return None


def _suppliers(found: Plan) -> str:
    return f"{len(found.suppliers)} ({', '.join(c.supplier for c in found.suppliers)})"


def _names(needs: tuple[PlanNeed, ...]) -> str:
    names = [n.id for n in needs if n.demand]
    return ", ".join(names[:6]) + (f" and {len(names) - 6} more" if len(names) > 6 else "")
