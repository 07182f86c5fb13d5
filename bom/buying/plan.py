"""Knows how to find the cheapest order and how to price any order exactly.

The program is the price-tier model with one yes/no per offer and price break, each coverage variable bounded by its own
tier's yes/no (which is what makes it tight), one yes/no per supplier for "ordered" and one for "shipping is free".
It works in floats; the order it gives is priced again in Decimal, and that is the cost shown.
Not modelled: rounding of each line to the cent, reel fees, duty by value, shipping by weight.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from bom.buying.problem import ONE, ZERO, PlanNeed, PlanOffer, PlanProblem, PlanSupplier, fills
from bom.solver.program import INFINITY, PROVEN, Program, Solution, Status, gap_between
from bom.values.problem import Refused


@dataclass(frozen=True, slots=True)
class SupplierCost:
    """What one supplier's order comes to, in the base currency: goods and shipping without tax, the import fee, and
    the tax that is not got back."""

    supplier: str
    goods: Decimal
    shipping: Decimal
    import_fee: Decimal
    tax: Decimal

    @property
    def total(self) -> Decimal:
        return self.goods + self.shipping + self.import_fee + self.tax


@dataclass(frozen=True, slots=True)
class Plan:
    """The order found. ``cost`` is exact; ``bound`` is proven (no order is cheaper); ``gap`` is a share of the cost.

    ``order`` holds offers with more than 0 pieces. An infeasible plan has no cost, bound or gap.
    """

    status: Status
    cost: Decimal | None = None
    bound: float | None = None
    gap: float | None = None
    order: tuple[tuple[str, int], ...] = ()
    suppliers: tuple[SupplierCost, ...] = ()
    surplus_credit: Decimal = ZERO

    @property
    def quantities(self) -> dict[str, int]:
        """Offer to pieces."""
        return dict(self.order)

    def as_json(self) -> dict[str, object]:
        """Status, cost, bound, gap and order, ready for JSON; cost as a number in the base currency."""
        cost = None if self.cost is None else float(self.cost)
        return {
            "status": self.status,
            "cost": cost,
            "bound": self.bound,
            "gap": self.gap,
            "order": self.quantities,
        }


def plan(problem: PlanProblem, *, gap: float = 0.0, seconds: float = 60.0) -> Plan:
    """The cheapest order that covers every need, or one proven to be within ``gap`` (0.01 = 1 %) of it.

    Raises OutOfTime when no order was found in ``seconds``, Refused when surplus earns without limit.
    """
    if not any(need.demand for need in problem.needs):
        return Plan("optimal", ZERO, 0.0, 0.0)
    model = _Model(problem)
    solution = model.program.minimise(gap=gap, seconds=seconds)
    return Plan("infeasible") if solution.status == "infeasible" else _priced(problem, model, solution)


def price(problem: PlanProblem, order: Mapping[str, int]) -> Decimal:
    """The exact cost of an order in the base currency, surplus credited by the best assignment.

    Raises Refused when the order leaves a need uncovered. Minimum orders and stock are not asked here: see ``faults``.
    """
    return sum((c.total for c in supplier_costs(problem, order)), ZERO) - surplus_credit(problem, order)


def supplier_costs(problem: PlanProblem, order: Mapping[str, int]) -> tuple[SupplierCost, ...]:
    """What each supplier's part of the order comes to; suppliers without a piece are not in it."""
    goods = goods_by_supplier(problem, order)
    return tuple(_supplier_cost(s, goods[s.id]) for s in problem.suppliers if s.id in goods)


def goods_by_supplier(problem: PlanProblem, order: Mapping[str, int]) -> dict[str, Decimal]:
    """Supplier to goods value as listed, in its own currency."""
    goods: dict[str, Decimal] = {}
    for offer, quantity in problem.bought(order):
        goods[offer.supplier] = goods.get(offer.supplier, ZERO) + offer.goods(quantity)
    return goods


def surplus_credit(problem: PlanProblem, order: Mapping[str, int]) -> Decimal:
    """What the pieces that are not needed are worth, when the least valuable pieces are used up first."""
    spare = dict(order)
    for (offer, _), used in best_assignment(problem, order).items():
        spare[offer] -= used
    return sum((o.surplus_value * spare[o.id] for o, _ in problem.bought(order)), ZERO)


def best_assignment(problem: PlanProblem, order: Mapping[str, int]) -> dict[tuple[str, str], int]:
    """(offer, need) to pieces: every need covered, using the pieces of least surplus value.

    A transportation problem whose cost depends on the source only, so taking sources in rising value and giving each
    as much as can flow is best (greedy on a polymatroid; common knowledge). Raises Refused where a need stays open.
    """
    flow = _Flow(problem, order)
    for offer, pieces in sorted(problem.bought(order), key=lambda pair: pair[0].surplus_value):
        flow.send(offer.id, pieces)
    short = {need: left for need, left in flow.open.items() if left}
    if short:
        raise Refused("the order leaves needs open: " + ", ".join(f"{n} {left}" for n, left in short.items()))
    return {key: used for key, used in flow.used.items() if used}


def faults(problem: PlanProblem, order: Mapping[str, int]) -> tuple[str, ...]:
    """What stands against placing this order: stock, minimum quantities, multiples, minimum orders, supplier count."""
    goods = goods_by_supplier(problem, order)
    answer = [f for offer, q in problem.bought(order) for f in _offer_faults(offer, q)]
    for supplier in problem.suppliers:
        if supplier.id in goods and goods[supplier.id] < supplier.min_order_value:
            answer.append(f"{supplier.id}: below the minimum order of {supplier.min_order_value}")
    if problem.max_suppliers is not None and len(goods) > problem.max_suppliers:
        answer.append(f"{len(goods)} suppliers, at most {problem.max_suppliers} wanted")
    return tuple(answer)


def _offer_faults(offer: PlanOffer, quantity: int) -> Iterable[str]:
    if offer.stock is not None and quantity > offer.stock:
        yield f"{offer.id}: {quantity} wanted, {offer.stock} in stock"
    if quantity < offer.moq:
        yield f"{offer.id}: {quantity} is below the minimum of {offer.moq}"
    if quantity % offer.multiple:
        yield f"{offer.id}: {quantity} is not a multiple of {offer.multiple}"


def _supplier_cost(supplier: PlanSupplier, listed: Decimal) -> SupplierCost:
    shipping = ZERO if _ships_free(supplier, listed) else supplier.shipping_fee
    included = ONE + supplier.tax_rate if supplier.prices_include_tax else ONE
    on_shipping = included if supplier.tax_on_shipping else ONE
    net_goods = listed * supplier.fx_to_base / included
    net_shipping = shipping * supplier.fx_to_base / on_shipping
    paid = listed * supplier.goods_factor + shipping * supplier.shipping_factor
    fee = supplier.import_fee * supplier.fx_to_base
    return SupplierCost(supplier.id, net_goods, net_shipping, fee, paid - net_goods - net_shipping)


def _ships_free(supplier: PlanSupplier, listed: Decimal) -> bool:
    return supplier.free_shipping_from is not None and listed >= supplier.free_shipping_from


def _priced(problem: PlanProblem, model: _Model, solution: Solution) -> Plan:
    order = model.order(solution)
    cost = price(problem, order)
    bound = min(solution.bound, float(cost))  # the float bound may exceed the exact cost by rounding only
    left = gap_between(float(cost), bound)
    return Plan(
        "optimal" if left <= PROVEN else "feasible",
        cost,
        bound,
        left,
        tuple(order.items()),
        supplier_costs(problem, order),
        surplus_credit(problem, order),
    )


class _Flow:
    """Pieces flowing from offers to needs; later offers may push earlier ones to other needs, never out."""

    def __init__(self, problem: PlanProblem, order: Mapping[str, int]) -> None:
        self.open = {need.id: need.demand for need in problem.needs}
        self.used: dict[tuple[str, str], int] = {}
        bought = problem.bought(order)
        self.reach = {o.id: [n.id for n in problem.needs if fills(o, n)] for o, _ in bought}

    def send(self, offer: str, pieces: int) -> None:
        """Sends as many of the pieces as can be used."""
        while pieces > 0 and (path := self._path(offer)):
            pieces -= self._push(path, pieces)

    def _path(self, source: str) -> list[tuple[str, str]]:
        """Steps (offer, need) from the source to an open need, giving back at every second step; [] where none."""
        came: dict[str, tuple[str, str]] = {}
        queue, seen = [source], {source}
        for offer in queue:
            for need in self.reach.get(offer, ()):
                if need in came:
                    continue
                came[need] = (offer, need)
                if self.open[need]:
                    return self._steps(source, need, came)
                pushed = [o for (o, n), used in self.used.items() if n == need and used and o not in seen]
                seen.update(pushed)
                queue += pushed
                for o in pushed:
                    came[f"\0{o}"] = (o, need)
        return []

    def _steps(self, source: str, need: str, came: Mapping[str, tuple[str, str]]) -> list[tuple[str, str]]:
        steps = [came[need]]
        while steps[-1][0] != source:
            back = came[f"\0{steps[-1][0]}"]
            steps += [back, came[back[1]]]
        return steps

    def _push(self, steps: list[tuple[str, str]], pieces: int) -> int:
        moved = min([pieces, self.open[steps[0][1]], *(self.used[s] for s in steps[1::2])])
        for n, step in enumerate(steps):
            self.used[step] = self.used.get(step, 0) + (-moved if n % 2 else moved)
        self.open[steps[0][1]] -= moved
        return moved


@dataclass(frozen=True, slots=True)
class Tier:
    """One price break of an offer as it may be ordered: ``low`` to ``high`` pieces cost ``fixed`` + ``unit`` each."""

    low: int
    high: int
    fixed: Decimal
    unit: Decimal


def tiers(offer: PlanOffer, supplier: PlanSupplier, wanted: int) -> tuple[Tier, ...]:
    """The offer's price tiers, cut to what can be of use when the needs it may fill come to ``wanted`` pieces.

    No cheapest plan buys more of a tier than covers those needs or alone reaches the supplier's thresholds, unless
    surplus earns more than it costs.
    """
    found = [t for k in range(len(offer.breaks)) if (t := _tier(offer, supplier, wanted, k))]
    if offer.surplus_value:
        return tuple(found)
    return tuple(t for n, t in enumerate(found) if not _pointless(offer, supplier, wanted, t, found[:n]))


def _tier(offer: PlanOffer, supplier: PlanSupplier, wanted: int, k: int) -> Tier | None:
    start, unit = offer.breaks[k]
    fixed = offer.offset(k)
    low = offer.rounded_up(start)
    ends = [offer.most, offer.breaks[k + 1][0] - 1 if k + 1 < len(offer.breaks) else None]
    if not _earns(offer, supplier):
        ends.append(max(low, _useful(offer, supplier, wanted, fixed, unit)))
    limits = [end for end in ends if end is not None]
    if not limits:
        raise Refused(f"{offer.id}: surplus is worth more than it costs and stock has no limit")
    high = min(limits) // offer.multiple * offer.multiple
    return Tier(low, high, fixed, unit) if high >= low else None


def _earns(offer: PlanOffer, supplier: PlanSupplier) -> bool:
    return offer.surplus_value >= min(p for _, p in offer.breaks) * supplier.goods_factor and bool(offer.surplus_value)


def _useful(offer: PlanOffer, supplier: PlanSupplier, wanted: int, fixed: Decimal, unit: Decimal) -> int:
    threshold = max(supplier.free_shipping_from or ZERO, supplier.min_order_value)
    reaching = math.ceil((threshold - fixed) / unit) if unit and threshold > fixed else 0
    most = max(wanted, reaching)
    return offer.rounded_up(most) if most else 0


def _pointless(offer: PlanOffer, supplier: PlanSupplier, wanted: int, tier: Tier, lower: list[Tier]) -> bool:
    """Whether a lower tier covers all, meets the minimum order alone and is cheaper even if shipping must be paid."""
    if tier.low <= wanted:
        return False
    dearest = tier.fixed + tier.unit * tier.low
    shipping = supplier.shipping_fee * supplier.shipping_factor / supplier.goods_factor
    for other in lower:
        covering = max(other.low, offer.rounded_up(wanted))
        cost = other.fixed + other.unit * covering
        if covering <= other.high and cost >= supplier.min_order_value and cost + shipping <= dearest:
            return True
    return False


class _Model:
    """The program of a plan problem and where its variables are."""

    def __init__(self, problem: PlanProblem) -> None:
        self.program = Program()
        self.packs: list[tuple[PlanOffer, int]] = []
        self.cover: dict[str, dict[int, float]] = {n.id: {} for n in problem.needs if n.demand}
        self.goods: dict[str, dict[int, float]] = {s.id: {} for s in problem.suppliers}
        self.needs = [n for n in problem.needs if n.demand]
        self.ordered = {s.id: self._ordered(s) for s in problem.suppliers}
        suppliers = {s.id: s for s in problem.suppliers}
        for offer in problem.offers:
            self._offer(offer, suppliers[offer.supplier])
        self._close(problem)

    def order(self, solution: Solution) -> dict[str, int]:
        """Offer to pieces, where any are bought."""
        order: dict[str, int] = {}
        for offer, packs in self.packs:
            pieces = offer.multiple * solution.whole(packs)
            if pieces:
                order[offer.id] = order.get(offer.id, 0) + pieces
        return order

    def _ordered(self, supplier: PlanSupplier) -> int:
        fee = supplier.shipping_fee * supplier.shipping_factor + supplier.import_fee * supplier.fx_to_base
        return self.program.yes_no(cost=float(fee))

    def _offer(self, offer: PlanOffer, supplier: PlanSupplier) -> None:
        served = [n for n in self.needs if fills(offer, n)]
        wanted = sum(n.demand for n in served)
        chosen = [self._tier(offer, supplier, served, t) for t in tiers(offer, supplier, wanted)]
        if chosen:  # at most one tier, and only from a supplier that is ordered from
            self.program.row(-INFINITY, 0.0, {**dict.fromkeys(chosen, 1.0), self.ordered[supplier.id]: -1.0})

    def _tier(self, offer: PlanOffer, supplier: PlanSupplier, served: list[PlanNeed], tier: Tier) -> int:
        program, size, factor = self.program, offer.multiple, supplier.goods_factor
        pack_cost = (factor * tier.unit - offer.surplus_value) * size
        chosen = program.yes_no(cost=float(factor * tier.fixed))
        packs = program.variable(0, tier.high // size, integer=True, cost=float(pack_cost))
        program.row(-INFINITY, 0.0, {chosen: tier.low, packs: -size})
        program.row(-INFINITY, 0.0, {packs: size, chosen: -tier.high})
        self.packs.append((offer, packs))
        goods = self.goods[supplier.id]
        goods[packs] = float(tier.unit * size)
        goods[chosen] = float(tier.fixed)
        self._coverage(offer, served, tier, chosen, packs)
        return chosen

    def _coverage(self, offer: PlanOffer, served: list[PlanNeed], tier: Tier, chosen: int, packs: int) -> None:
        out: dict[int, float] = {}
        for need in served:
            most = min(need.demand, tier.high)
            used = self.program.variable(0, most, cost=float(offer.surplus_value))
            self.program.row(-INFINITY, 0.0, {used: 1.0, chosen: -most})
            self.cover[need.id][used] = 1.0
            out[used] = 1.0
        if out:
            self.program.row(-INFINITY, 0.0, {**out, packs: -offer.multiple})

    def _close(self, problem: PlanProblem) -> None:
        for need in self.needs:
            self.program.row(need.demand, need.demand, self.cover[need.id])
        for supplier in problem.suppliers:
            self._thresholds(supplier)
        if problem.max_suppliers is not None:
            self.program.row(0, problem.max_suppliers, dict.fromkeys(self.ordered.values(), 1.0))

    def _thresholds(self, supplier: PlanSupplier) -> None:
        goods, ordered = self.goods[supplier.id], self.ordered[supplier.id]
        if supplier.min_order_value:
            self.program.row(0.0, INFINITY, {**goods, ordered: -float(supplier.min_order_value)})
        if supplier.free_shipping_from is not None:
            free = self.program.yes_no(cost=-float(supplier.shipping_fee * supplier.shipping_factor))
            self.program.row(0.0, INFINITY, {**goods, free: -float(supplier.free_shipping_from)})
            self.program.row(-INFINITY, 0.0, {free: 1.0, ordered: -1.0})
