"""The cheapest order for what is needed, over all that is offered to the shop, and how it is shown: orders and reasons,
what could not be had, what a piece comes to, how near the best it is proved, what the habits would have cost.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING

from bom.answers.buying import BarePlan, Habit, MadeOf, OrderSums, PiecesFor, PlannedLine, PlannedOrder, ShopPlan
from bom.buying.buying_habits import best_single_supplier, lowest_unit_price_habit
from bom.buying.from_offers import offer_ids, problem_from
from bom.buying.order import goods_by_supplier, leftovers, supplier_costs
from bom.buying.order_lines import blocked, lines_of, thresholds
from bom.buying.plan_problem import as_preferred
from bom.buying.shortage import Later, not_to_be_had, plan_what_can_be_had
from bom.buying.waiting import waiting
from bom.shop.prices import in_own_currency, offers_for, whose_not_stated
from bom.shop.shortages import parts_short
from bom.values.money import Money

if TYPE_CHECKING:
    from datetime import date

    from bom.buying.buying_habits import Basket
    from bom.buying.from_offers import Need
    from bom.buying.offer import Offer, Supplier
    from bom.buying.order import SupplierCost
    from bom.buying.order_lines import OrderLine
    from bom.buying.plan import Plan
    from bom.buying.plan_problem import PlanProblem, PlanSupplier, Preferences, Watcher
    from bom.buying.shortage import PartPlan
    from bom.shop.shop import Shop


@dataclass(frozen=True, slots=True)
class PlannedFrom:
    """What a workbook needs besides the plan: all suppliers, the lines bought, and the offers by the lines' names."""

    suppliers: Sequence[Supplier]
    lines: tuple[OrderLine, ...]
    offers: Mapping[str, Offer]


def plan_needs(
    shop: Shop,
    needs: Sequence[Need],
    most: int | None,
    seconds: float,
    preferences: Preferences | None = None,
    gap: float = 0.0,
    watcher: Watcher | None = None,
) -> tuple[ShopPlan, PlannedFrom]:
    """(the plan to show, what a workbook needs besides)."""
    market = _market(shop, needs, most, preferences)
    later = {
        planned.id: waiting(market.problem, planned, need.per_day)
        for planned, need in zip(market.problem.needs, needs, strict=True)
        if need.may
    }
    can_wait = {
        planned.id: Later(need.may, later[planned.id].each)
        for planned, need in zip(market.problem.needs, needs, strict=True)
        if need.may
    }
    part = plan_what_can_be_had(market.problem, can_wait, gap=gap, seconds=seconds, watcher=watcher)
    lines = lines_of(part.plan, part.served, market.offered) if part.plan.cost is not None else ()
    answer = replace(
        shown(market.problem, part, lines, shop.units, seconds),
        left_out=market.left_out,
        rates_of=market.rates_of,
        reckoned=market.converted,
        short=parts_short(shop, needs, market.problem, part.open, later),
    )
    return answer, PlannedFrom(shop.suppliers, lines, offer_ids(market.offered))


def pieces_not_to_be_had(shop: Shop, needs: Sequence[Need], most: int | None, preferences: Preferences | None) -> int:
    """How many pieces stay open whatever is bought, as far as stock, packs and lead times say."""
    return sum(not_to_be_had(_market(shop, needs, most, preferences).problem).values())


def why_not_to_be_had(
    shop: Shop, needs: Sequence[Need], most: int | None, preferences: Preferences | None
) -> tuple[str, ...]:
    """A sentence for each part that is in the way of having it all."""
    return blocked(_market(shop, needs, most, preferences).problem)


@dataclass(frozen=True, slots=True)
class _Market:
    """What is wanted and offered as a plan problem, and what had to be left out or converted for it."""

    problem: PlanProblem
    offered: Sequence[Offer]
    left_out: tuple[str, ...]
    converted: tuple[str, ...]
    rates_of: date | None


def _market(shop: Shop, needs: Sequence[Need], most: int | None, preferences: Preferences | None) -> _Market:
    rates, known = shop.rates_to(shop.currency), shop.suppliers
    accepted = [a for need in needs for a in need.accepts]
    listed, unclear = offers_for(shop, accepted), whose_not_stated(shop, accepted)
    offered, converted = in_own_currency(listed, known, rates)
    problem, left_out = problem_from(
        needs,
        known,
        offered,
        rates,
        tax_registered=shop.settings.tax_registered,
        max_suppliers=most,
        today=shop.today,
    )
    problem = _as_preferred(problem, preferences)
    return _Market(problem, offered, (*left_out, *unclear), tuple(converted), rates.day)


def _as_preferred(problem: PlanProblem, preferences: Preferences | None) -> PlanProblem:
    """With what is preferred; a preference about a supplier who offers nothing wanted changes nothing."""
    if preferences is None:
        return problem
    there = {s.id for s in problem.suppliers}
    avoid = tuple(pair for pair in preferences.avoid if pair[0] in there)
    prefer = tuple(pair for pair in preferences.prefer if pair[0] in there)
    return as_preferred(problem, replace(preferences, avoid=avoid, prefer=prefer))


# How near its best a habit's order is planned: it is only shown beside the plan. Own choice.
HABIT_GAP = 0.002
# Seconds for all habits together once somebody has said that the plan is good enough. Own choice.
HURRIED = 4.0


def bare(found: Plan) -> BarePlan:
    """The plan alone; its cost as a number in the base currency."""
    cost = None if found.cost is None else float(found.cost)
    return BarePlan(found.status, cost, found.bound, found.gap, found.quantities)


def shown(
    asked: PlanProblem, part: PartPlan, lines: Sequence[OrderLine], units: Mapping[str, str], seconds: float
) -> ShopPlan:
    """The plan with its orders, proof in words, habits, and what blocks; ``units`` of parts not kept by the piece.

    All but what blocks is for what can be had of what is ``asked``, so the habits are held to the same pieces.
    """
    problem, found = part.served, part.plan
    base, plain = problem.base_currency, bare(found)
    served = found.cost is not None
    habits = _habits(problem, found, HURRIED if found.was_enough else seconds) if served and lines else ()
    orders = (_order(problem, found, cost, lines, units) for cost in found.suppliers) if served else ()
    is_short = any(one.not_to_be_had for one in part.open)
    return ShopPlan(
        status=plain.status,
        cost=plain.cost,
        bound=plain.bound,
        gap=plain.gap,
        order=plain.order,
        currency=base,
        proof=proof(found, base) + (", for what can be had" if served and is_short else ""),
        worth_of_leftovers=_money(found.surplus_credit, base) if served else None,
        made_of=_made_of(problem, found.quantities, found.suppliers) if served else None,
        orders=tuple(orders),
        habits=habits,
        compared_with={habit.name: habit.cost for habit in habits},
        blocked=blocked(asked) if is_short or not served else (),
    )


def proof(found: Plan, base: str) -> str:
    """The gap and the bound in plain words."""
    if found.cost is None or found.bound is None or found.gap is None:
        return "no order over these offers serves every need"
    if found.status == "optimal":
        return "proved the cheapest"
    if found.bound <= 0:
        return "how near the cheapest this is was not found out in the time it had"
    saving = max(Decimal(0), found.cost - Decimal(str(found.bound)))
    return (
        f"no order can be cheaper than {found.bound:.2f} {base}: at most {saving:.2f} {base}"
        f" ({100 * found.gap:.2f} %) could still be saved by looking longer"
    )


def _money(amount: Decimal, currency: str) -> Money:
    return Money.of(amount, currency).rounded()


def _order(
    problem: PlanProblem, found: Plan, cost: SupplierCost, lines: Iterable[OrderLine], units: Mapping[str, str]
) -> PlannedOrder:
    supplier = problem.supplier(cost.supplier)
    return PlannedOrder(
        supplier=cost.supplier,
        currency=supplier.currency,
        lines=tuple(_line(problem, line, units) for line in lines if line.supplier == cost.supplier),
        goods=_cents(cost.goods),
        shipping=_cents(cost.shipping),
        import_fee=_cents(cost.import_fee),
        tax=_cents(cost.tax),
        total=_cents(cost.total),
        own=_own(cost, supplier),
        rate=supplier.fx_to_base,
        reached=thresholds(supplier, goods_by_supplier(problem, found.quantities)[supplier.id]),
    )


def _cents(amount: Decimal) -> float:
    return round(float(amount), 2)


def _own(cost: SupplierCost, supplier: PlanSupplier) -> OrderSums:
    """The order's sums in the supplier's currency."""
    sums = (cost.goods, cost.shipping, cost.import_fee, cost.tax, cost.total)
    return OrderSums(*(_money(amount / supplier.fx_to_base, supplier.currency) for amount in sums))


def _line(problem: PlanProblem, line: OrderLine, units: Mapping[str, str]) -> PlannedLine:
    wanted = {n.id: n.fillable_by[0] for n in problem.needs}
    pieces: dict[str, int] = {}
    for need, used in line.covers:
        pieces[wanted[need]] = pieces.get(wanted[need], 0) + used
    return PlannedLine(
        supplier_code=line.supplier_code,
        part_number=line.part_number,
        maker=line.maker,
        quantity=line.quantity,
        unit_price=line.unit_price,
        cost=line.line_total,
        landed_each=line.landed_each,
        why=line.why,
        for_=tuple(PiecesFor(part, used) for part, used in pieces.items()),
        spare=line.spare,
        in_place_of=line.in_place_of,
        unit=units.get(line.part_number, "piece"),
    )


def _habits(problem: PlanProblem, found: Plan, seconds: float) -> tuple[Habit, ...]:
    """What the two habits would have cost. The second one plans twice for every supplier, so its time is shared out."""
    each = max(min(0.5, seconds / 8), seconds / (8 * len(problem.suppliers)))
    main = best_single_supplier(problem, gap=HABIT_GAP, seconds=each)
    return (
        _habit("lowest unit price on every line", lowest_unit_price_habit(problem), problem, found),
        _habit(f"one main supplier{f' ({main.main})' if main else ''}, the rest elsewhere", main, problem, found),
    )


def _habit(name: str, basket: Basket | None, problem: PlanProblem, found: Plan) -> Habit:
    if basket is None or found.cost is None:
        return Habit(name, None, None, "gives no order: pieces run out, or a minimum order is out of reach", None)
    order = dict(basket.order)
    return Habit(
        name=name,
        cost=round(float(basket.cost), 6),
        more=round(float(basket.cost - found.cost), 6),
        note=_note(basket, problem),
        made_of=_made_of(problem, order, supplier_costs(problem, order)),
    )


def _note(basket: Basket, problem: PlanProblem) -> str:
    used = len(goods_by_supplier(problem, dict(basket.order)))
    notes = (
        [f"{basket.wasted:.2f} {problem.base_currency} of goods only fill up minimum orders"] if basket.wasted else []
    )
    if problem.max_suppliers is not None and used > problem.max_suppliers:
        notes.append(f"from {used} suppliers, more than the {problem.max_suppliers} wanted")
    return "; ".join(notes)


def _made_of(problem: PlanProblem, order: dict[str, int], costs: Sequence[SupplierCost]) -> MadeOf:
    spare = leftovers(problem, order)
    return MadeOf(
        goods=_fine([*(c.goods for c in costs), -spare]),
        shipping=_fine(c.shipping for c in costs),
        import_fee=_fine(c.import_fee for c in costs),
        tax=_fine(c.tax for c in costs),
        leftovers=_fine([spare]),
    )


def _fine(amounts: Iterable[Decimal]) -> float:
    """Their sum, to a millionth."""
    return round(float(sum(amounts, Decimal(0))), 6)
