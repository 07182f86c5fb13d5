"""The program of a plan problem: the price-tier model, its variables, and orders read out of it or put into it.

One yes/no per offer and price break, each coverage variable bounded by its own tier's yes/no (which is what makes it
tight), one yes/no per supplier for "ordered" and one for "shipping is free". It works in floats.
Not modelled: rounding of each line to the cent, reel fees, duty by value, shipping by weight.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from bom.buying.order import best_assignment, goods_by_supplier
from bom.buying.plan_problem import ZERO, PlanNeed, PlanOffer, PlanProblem, PlanSupplier, by_part_number, fills
from bom.solver.program import Program
from bom.solver.statement import INFINITY, Solution
from bom.values.problem import Refused


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
    low = offer.rounded_up(start if k else 1)  # the first price also holds below its quantity
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
    return offer.rounded_up(max(wanted, math.ceil((threshold - fixed) / unit)) if unit else wanted)


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


@dataclass(frozen=True, slots=True)
class Columns:
    """Where one tier of one offer is in the program: the yes/no, the packs, and the pieces used for each need."""

    offer: PlanOffer
    tier: Tier
    chosen: int
    packs: int
    used: dict[str, int]

    @property
    def numbers(self) -> tuple[int, ...]:
        """Every variable of the tier."""
        return (self.chosen, self.packs, *self.used.values())


class Model:
    """The program of a plan problem and where its variables are."""

    def __init__(self, problem: PlanProblem) -> None:
        self.problem = problem
        self.program = Program()
        self.needs = [n for n in problem.needs if n.demand]
        self.numbers = by_part_number(self.needs)
        self.columns: list[Columns] = []
        self.joining: list[int] = []  # the rows that join needs which share no offer
        self.opening: dict[str, int] = {}  # offer to the row that joins it to its supplier
        self.cover: dict[str, dict[int, float]] = {n.id: {} for n in self.needs}
        self.goods: dict[str, dict[int, float]] = {s.id: {} for s in problem.suppliers}
        self.ordered = {s.id: self._ordered(s) for s in problem.suppliers}
        self.free: dict[str, int] = {}
        suppliers = {s.id: s for s in problem.suppliers}
        for offer in problem.offers:
            self._offer(offer, suppliers[offer.supplier])
        self._close(problem)

    def order(self, solution: Solution) -> dict[str, int]:
        """Offer to pieces, where any are bought."""
        order: dict[str, int] = {}
        for at in self.columns:
            if pieces := at.offer.multiple * solution.whole(at.packs):
                order[at.offer.id] = order.get(at.offer.id, 0) + pieces
        return order

    def values(self, order: Mapping[str, int]) -> tuple[float, ...] | None:
        """The program's variables for an order without faults; None where it buys what the tiers were cut to."""
        values = [0.0] * len(self.program.cost)
        covered = best_assignment(self.problem, order)
        left = dict(order)
        for at in self.columns:
            pieces = left.get(at.offer.id, 0)
            if at.tier.low <= pieces <= at.tier.high:
                del left[at.offer.id]
                values[at.chosen], values[at.packs] = 1.0, pieces // at.offer.multiple
                for need, column in at.used.items():
                    values[column] = covered.get((at.offer.id, need), 0)
        for name, goods in goods_by_supplier(self.problem, order).items():
            threshold = self.problem.supplier(name).free_shipping_from
            values[self.ordered[name]] = 1.0
            if threshold is not None and goods >= threshold:
                values[self.free[name]] = 1.0
        return None if any(left.values()) else tuple(values)

    def _ordered(self, supplier: PlanSupplier) -> int:
        fee = supplier.shipping_fee * supplier.shipping_factor + supplier.import_fee * supplier.fx_to_base
        return self.program.yes_no(cost=float(fee + supplier.reluctance))

    def _offer(self, offer: PlanOffer, supplier: PlanSupplier) -> None:
        served = [n for n in self.numbers.get(offer.part_number, ()) if fills(offer, n)]
        wanted = sum(n.demand for n in served)
        chosen = [self._tier(offer, supplier, served, t) for t in tiers(offer, supplier, wanted)]
        if chosen:  # at most one tier, and only from a supplier that is ordered from
            self.opening[offer.id] = len(self.program.row_lower)
            self._joining(-INFINITY, 0.0, {**dict.fromkeys(chosen, 1.0), self.ordered[supplier.id]: -1.0})

    def _joining(self, lower: float, upper: float, terms: Mapping[int, float]) -> None:
        self.joining.append(len(self.program.row_lower))
        self.program.row(lower, upper, terms)

    def _tier(self, offer: PlanOffer, supplier: PlanSupplier, served: list[PlanNeed], tier: Tier) -> int:
        program, size, factor = self.program, offer.multiple, supplier.goods_factor
        pack_cost = (factor * tier.unit - offer.surplus_value) * size
        chosen = program.yes_no(cost=float(factor * tier.fixed))
        packs = program.variable(0, tier.high // size, integer=True, cost=float(pack_cost))
        program.row(-INFINITY, 0.0, {chosen: tier.low, packs: -size})
        program.row(-INFINITY, 0.0, {packs: size, chosen: -tier.high})
        goods = self.goods[supplier.id]
        goods[packs] = float(tier.unit * size)
        goods[chosen] = float(tier.fixed)
        used = self._coverage(offer, served, tier, chosen, packs)
        self.columns.append(Columns(offer, tier, chosen, packs, used))
        return chosen

    def _coverage(
        self, offer: PlanOffer, served: list[PlanNeed], tier: Tier, chosen: int, packs: int
    ) -> dict[str, int]:
        columns: dict[str, int] = {}
        for need in served:
            most = min(need.demand, tier.high)
            used = self.program.variable(0, most, cost=float(offer.surplus_value))
            self.program.row(-INFINITY, 0.0, {used: 1.0, chosen: -most})
            self.cover[need.id][used] = 1.0
            columns[need.id] = used
            self._whole_packs(offer, tier, [used], most, (chosen, packs))
        wanted = sum(n.demand for n in served)
        # Where the tier starts above all it can serve, the rows just added already hold the pieces used below it.
        if columns and tier.low < wanted:
            self.program.row(-INFINITY, 0.0, {**dict.fromkeys(columns.values(), 1.0), packs: -offer.multiple})
        if len(columns) > 1:
            self._whole_packs(offer, tier, list(columns.values()), min(wanted, tier.high), (chosen, packs))
        return columns

    def _whole_packs(
        self, offer: PlanOffer, tier: Tier, used: Sequence[int], most: int, bought: tuple[int, int]
    ) -> None:
        """The last pack is paid whole though only ``rest`` of it is used: 33 of packs of 10 need a fourth one.

        With ``whole`` full packs below ``most``, used <= rest * packs + (size - rest) * whole * chosen holds for whole
        numbers of packs and cuts part packs off (mixed-integer rounding: Nemhauser and Wolsey 1990, from memory).
        """
        size, (chosen, packs) = offer.multiple, bought
        whole, rest = divmod(most, size)
        if rest and tier.low < most:
            row = {packs: -float(rest), chosen: -float((size - rest) * whole)}
            self.program.row(-INFINITY, 0.0, {**dict.fromkeys(used, 1.0), **row})

    def _close(self, problem: PlanProblem) -> None:
        for need in self.needs:
            self.program.row(need.demand, need.demand, self.cover[need.id])
        for supplier in problem.suppliers:
            self._thresholds(supplier)
        if problem.max_suppliers is not None:
            counted = {self.ordered[s.id]: 1.0 for s in problem.suppliers if s.is_counted}
            self._joining(-INFINITY, problem.max_suppliers, counted)

    def _thresholds(self, supplier: PlanSupplier) -> None:
        goods, ordered = self.goods[supplier.id], self.ordered[supplier.id]
        if supplier.min_order_value:
            self._joining(0.0, INFINITY, {**goods, ordered: -float(supplier.min_order_value)})
        if supplier.free_shipping_from is not None:
            free = self.program.yes_no(cost=-float(supplier.shipping_fee * supplier.shipping_factor))
            self._joining(0.0, INFINITY, {**goods, free: -float(supplier.free_shipping_from)})
            self._joining(-INFINITY, 0.0, {free: 1.0, ordered: -1.0})
            self.free[supplier.id] = free
