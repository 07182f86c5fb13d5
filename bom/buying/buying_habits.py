"""Two habits that a plan is compared with: the lowest unit price line by line, and one main supplier."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from bom.buying.order import goods_by_supplier, price
from bom.buying.plan import plan
from bom.buying.plan_problem import ZERO, PlanNeed, PlanOffer, PlanProblem, PlanSupplier, fills
from bom.solver.statement import OutOfTime


@dataclass(frozen=True, slots=True)
class Basket:
    """An order that a habit would have placed and its cost in the base currency.

    ``wasted`` is the part of the goods that only filled up minimum orders. ``main`` is the main supplier, if one is.
    """

    name: str
    cost: Decimal
    order: tuple[tuple[str, int], ...]
    main: str = ""
    wasted: Decimal = ZERO


def lowest_unit_price_habit(problem: PlanProblem) -> Basket | None:
    """Each need in turn from whoever asks least for a piece; None where that leaves a need open.

    The piece price is the one reached at the quantity that would be ordered, shipping not looked at. A minimum order
    not reached is filled up with more of the same, and None where that is not there. The number of suppliers is not
    limited.
    """
    needed = dict.fromkeys((o.id for o in problem.offers), 0)
    for need in problem.needs:
        if not _take_cheapest(problem, need, needed):
            return None
    offers = {o.id: o for o in problem.offers}
    order = {name: offers[name].rounded_up(pieces) for name, pieces in needed.items() if pieces}
    before = _paid(problem, order)
    for supplier in problem.suppliers:
        if not _fill_up(problem, order, supplier):
            return None
    return Basket("lowest unit price", price(problem, order), tuple(order.items()), "", _paid(problem, order) - before)


def best_single_supplier(
    problem: PlanProblem,
    *,
    gap: float = 0.0,
    seconds: float = 60.0,  # how long to wait is the caller's wish: no test can tell a minute from a little more
) -> Basket | None:
    """The best main supplier: every need it can fill from it, the rest as cheaply as can be from the others.

    None where no choice of main supplier covers everything. ``seconds`` is for each plan, two a supplier; each is
    within ``gap`` of its best.
    """
    found = [_with_main(problem, s.id, gap, seconds) for s in problem.suppliers]
    return min((b for b in found if b is not None), key=lambda b: b.cost, default=None)


def _with_main(problem: PlanProblem, main: str, gap: float, seconds: float) -> Basket | None:
    mine = tuple(n for n in problem.needs if _could_fill(problem, main, n))
    rest = tuple(n for n in problem.needs if n not in mine)
    if not mine:
        return None
    others = {s.id for s in problem.suppliers} - {main}
    try:
        first = plan(_only(problem, {main}, mine), gap=gap, seconds=seconds)
        fewer = replace(problem, max_suppliers=_one_less(problem))
        second = plan(_only(fewer, others, rest), gap=gap, seconds=seconds)
    except OutOfTime:
        return None
    if first.cost is None or second.cost is None:
        return None
    return Basket("main supplier", first.cost + second.cost, first.order + second.order, main)


def _one_less(problem: PlanProblem) -> int | None:
    return None if problem.max_suppliers is None else problem.max_suppliers - 1


def _could_fill(problem: PlanProblem, supplier: str, need: PlanNeed) -> bool:
    offers = [o for o in problem.offers if o.supplier == supplier and fills(o, need)]
    return sum(need.demand if o.most is None else o.most for o in offers) >= need.demand and bool(offers)


def _only(problem: PlanProblem, suppliers: set[str], needs: tuple[PlanNeed, ...]) -> PlanProblem:
    return replace(
        problem,
        needs=needs,
        suppliers=tuple(s for s in problem.suppliers if s.id in suppliers),
        offers=tuple(o for o in problem.offers if o.supplier in suppliers),
    )


def _take_cheapest(problem: PlanProblem, need: PlanNeed, needed: dict[str, int]) -> bool:
    """Adds the need's pieces to what is needed of each offer, least unit price first; False where they run out."""
    left = need.demand
    offers = [o for o in problem.offers if fills(o, need)]
    factors = {s.id: s.goods_factor for s in problem.suppliers}
    while left:
        room = {o.id: min(left, _room(o, needed[o.id], left)) for o in offers}
        open_offers = [o for o in offers if room[o.id] > 0]
        if not open_offers:
            return False
        best = min(
            open_offers,
            key=lambda o: factors[o.supplier] * _unit_price(o, needed[o.id] + room[o.id]),
        )
        needed[best.id] += room[best.id]
        left -= room[best.id]
    return True


def _room(offer: PlanOffer, taken: int, wanted: int) -> int:
    return wanted if offer.most is None else offer.most - taken


def _unit_price(offer: PlanOffer, pieces: int) -> Decimal:
    ordered = offer.rounded_up(pieces)
    return offer.goods(ordered) / ordered


def _fill_up(problem: PlanProblem, order: dict[str, int], supplier: PlanSupplier) -> bool:
    """Adds packs of what is ordered anyway, the cheapest pack first, until the minimum order is reached, if it can."""
    mine = [offer for offer, _ in problem.bought(order) if offer.supplier == supplier.id]
    for offer in sorted(mine, key=lambda o: o.breaks[-1][1] * o.multiple):
        while (lacking := _lacking(mine, order, supplier)) > 0 and (packs := _packs(offer, order[offer.id], lacking)):
            order[offer.id] += packs * offer.multiple
    return not mine or _lacking(mine, order, supplier) <= 0


def _lacking(mine: list[PlanOffer], order: Mapping[str, int], supplier: PlanSupplier) -> Decimal:
    return supplier.min_order_value - sum((o.goods(order[o.id]) for o in mine), ZERO)


def _packs(offer: PlanOffer, ordered: int, lacking: Decimal) -> int:
    """How many packs at the last price that takes, one at least, where there are as many; 0 where nothing helps."""
    pack = offer.breaks[-1][1] * offer.multiple
    if not pack:
        return 0
    wanted = max(1, int(lacking / pack))
    return wanted if offer.most is None else min(wanted, (offer.most - ordered) // offer.multiple)


def _paid(problem: PlanProblem, order: Mapping[str, int]) -> Decimal:
    """What the goods come to, in the base currency."""
    goods = goods_by_supplier(problem, order)
    return sum((goods[s.id] * s.goods_factor for s in problem.suppliers if s.id in goods), ZERO)
