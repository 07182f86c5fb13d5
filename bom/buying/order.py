"""What any order costs, exactly, which needs its pieces cover, and what stands against placing it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from bom.buying.plan_problem import ONE, ZERO, PlanOffer, PlanProblem, PlanSupplier, by_part_number, fills
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


def reluctance(problem: PlanProblem, order: Mapping[str, int]) -> Decimal:
    """What the suppliers ordered from must save before they are chosen; counted in choosing, never in the cost."""
    used = goods_by_supplier(problem, order)
    return sum((s.reluctance for s in problem.suppliers if s.id in used), ZERO)


def surplus_credit(problem: PlanProblem, order: Mapping[str, int]) -> Decimal:
    """What the pieces that are not needed are worth, when the least valuable pieces are used up first."""
    spare = dict(order)
    for (offer, _), used in best_assignment(problem, order).items():
        spare[offer] -= used
    return sum((o.surplus_value * spare[o.id] for o, _ in problem.bought(order)), ZERO)


def leftovers(problem: PlanProblem, order: Mapping[str, int]) -> Decimal:
    """What the pieces that are not needed were bought for, without tax, in the base currency: a part of the goods."""
    spare = dict(order)
    for (offer, _), used in best_assignment(problem, order).items():
        spare[offer] -= used
    suppliers = {s.id: s for s in problem.suppliers}
    paid = (_net(suppliers[o.supplier], o.goods(q)) * spare[o.id] / q for o, q in problem.bought(order))
    return sum(paid, ZERO)


def best_assignment(problem: PlanProblem, order: Mapping[str, int]) -> dict[tuple[str, str], int]:
    """(offer, need) to pieces: every need covered, using the pieces of least surplus value.

    A transportation problem whose cost depends on the source only, so taking sources in rising value and giving each
    as much as can flow is best (greedy on a polymatroid; common knowledge). Raises Refused where a need stays open.
    """
    flow = _flow(problem, order)
    short = {need: left for need, left in flow.open.items() if left}
    if short:
        raise Refused("the order leaves needs open: " + ", ".join(f"{n} {left}" for n, left in short.items()))
    return flow.used


def uncovered(problem: PlanProblem, order: Mapping[str, int]) -> dict[str, int]:
    """Need to the pieces that this order leaves open, where it does."""
    return {need: left for need, left in _flow(problem, order).open.items() if left}


def covering(problem: PlanProblem, order: Mapping[str, int]) -> dict[tuple[str, str], int]:
    """(offer, need) to pieces, as in ``best_assignment``, though needs may stay open."""
    return _flow(problem, order).used


def _flow(problem: PlanProblem, order: Mapping[str, int]) -> _Flow:
    flow = _Flow(problem, order)
    for offer, pieces in sorted(problem.bought(order), key=lambda pair: pair[0].surplus_value):
        flow.send(offer.id, pieces)
    return flow


def faults(problem: PlanProblem, order: Mapping[str, int]) -> tuple[str, ...]:
    """What stands against placing this order: stock, minimum quantities, multiples, minimum orders, supplier count."""
    goods = goods_by_supplier(problem, order)
    answer = [f for offer, q in problem.bought(order) for f in _offer_faults(offer, q)]
    for supplier in problem.suppliers:
        if supplier.id in goods and goods[supplier.id] < supplier.min_order_value:
            answer.append(f"{supplier.id}: below the minimum order of {supplier.min_order_value}")
    used = sum(supplier.id in goods for supplier in problem.suppliers if supplier.is_counted)
    if problem.max_suppliers is not None and used > problem.max_suppliers:
        answer.append(f"{used} suppliers, at most {problem.max_suppliers} wanted")
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
    on_shipping = _tax_inside(supplier) if supplier.tax_on_shipping else ONE
    net_goods = _net(supplier, listed)
    net_shipping = shipping * supplier.fx_to_base / on_shipping
    paid = listed * supplier.goods_factor + shipping * supplier.shipping_factor
    fee = supplier.import_fee * supplier.fx_to_base
    return SupplierCost(supplier.id, net_goods, net_shipping, fee, paid - net_goods - net_shipping)


def _net(supplier: PlanSupplier, listed: Decimal) -> Decimal:
    """Goods as listed, without tax, in the base currency."""
    return listed * supplier.fx_to_base / _tax_inside(supplier)


def _tax_inside(supplier: PlanSupplier) -> Decimal:
    return ONE + supplier.tax_rate if supplier.prices_include_tax else ONE


def _ships_free(supplier: PlanSupplier, listed: Decimal) -> bool:
    return supplier.free_shipping_from is not None and listed >= supplier.free_shipping_from


class _Flow:
    """Pieces flowing from offers to needs; later offers may push earlier ones to other needs, never out."""

    def __init__(self, problem: PlanProblem, order: Mapping[str, int]) -> None:
        self.open = {need.id: need.demand for need in problem.needs}
        self.filled: dict[str, dict[str, int]] = {need.id: {} for need in problem.needs}
        numbers = by_part_number(problem.needs)
        self.reach = {
            o.id: [n.id for n in numbers.get(o.part_number, ()) if fills(o, n)] for o, _ in problem.bought(order)
        }

    @property
    def used(self) -> dict[tuple[str, str], int]:
        """(offer, need) to pieces."""
        return {(o, n): used for n, givers in self.filled.items() for o, used in givers.items() if used}

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
                pushed = [o for o, used in self.filled[need].items() if used and o not in seen]
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
        back = [self.filled[need][offer] for offer, need in steps[1::2]]
        moved = min([pieces, self.open[steps[0][1]], *back])
        for n, (offer, need) in enumerate(steps):
            self.filled[need][offer] = self.filled[need].get(offer, 0) + (-moved if n % 2 else moved)
        self.open[steps[0][1]] -= moved
        return moved
