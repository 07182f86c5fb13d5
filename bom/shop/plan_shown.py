"""A plan as the mapping that is printed: orders and reasons, what a piece comes to, how near the best it is proved."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from bom.values.money import Money

if TYPE_CHECKING:
    from bom.buying.baskets import Basket
    from bom.buying.order import SupplierCost
    from bom.buying.order_lines import OrderLine
    from bom.buying.plan import Plan
    from bom.buying.problem import PlanProblem

# How near its best a habit's order is planned: it is only shown beside the plan. Own choice.
HABIT_GAP = 0.002
# Seconds for all habits together once somebody has said that the plan is good enough. Own choice.
HURRIED = 4.0
PARTS = ("goods", "shipping", "import_fee", "tax")


def shown(problem: PlanProblem, found: Plan, lines: Sequence[OrderLine], seconds: float) -> dict[str, Any]:
    """The contract's keys, and besides them the orders, the proof in words, the habits, and what blocks."""
    from bom.buying.blocked import blocked

    base = problem.base_currency
    answer: dict[str, Any] = {**found.as_json(), "currency": base, "proof": proof(found, base)}
    if found.cost is None:
        return answer | {"orders": [], "habits": [], "compared_with": {}, "blocked": list(blocked(problem))}
    habits = _habits(problem, found, HURRIED if found.was_enough else seconds) if lines else []
    return answer | {
        "worth_of_leftovers": _money(found.surplus_credit, base),
        "made_of": _made_of(problem, found.quantities, found.suppliers),
        "orders": [_order(problem, found, cost, lines) for cost in found.suppliers],
        "habits": habits,
        "compared_with": {habit["name"]: habit["cost"] for habit in habits},
        "blocked": [],
    }


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


def _order(problem: PlanProblem, found: Plan, cost: SupplierCost, lines: Iterable[OrderLine]) -> dict[str, Any]:
    """One supplier's order; sums in the base currency as numbers, and under ``own`` in the supplier's as money."""
    from bom.buying.order import goods_by_supplier
    from bom.buying.order_lines import thresholds

    supplier = problem.supplier(cost.supplier)
    return {
        "supplier": cost.supplier,
        "currency": supplier.currency,
        "lines": [_line(problem, line) for line in lines if line.supplier == cost.supplier],
        **{name: round(float(getattr(cost, name)), 2) for name in (*PARTS, "total")},
        "own": {
            name: _money(getattr(cost, name) / supplier.fx_to_base, supplier.currency) for name in (*PARTS, "total")
        },
        "rate": supplier.fx_to_base,
        "reached": list(thresholds(supplier, goods_by_supplier(problem, found.quantities)[supplier.id])),
    }


def _line(problem: PlanProblem, line: OrderLine) -> dict[str, Any]:
    wanted = {n.id: n.fillable_by[0] for n in problem.needs}
    pieces: dict[str, int] = {}
    for need, used in line.covers:
        pieces[wanted[need]] = pieces.get(wanted[need], 0) + used
    return {
        "supplier_code": line.supplier_code,
        "part_number": line.part_number,
        "maker": line.maker,
        "quantity": line.quantity,
        "unit_price": line.unit_price,
        "cost": line.line_total,
        "landed_each": line.landed_each,
        "why": line.why,
        "for": [{"part_number": part, "pieces": used} for part, used in pieces.items()],
        "spare": line.spare,
        "in_place_of": list(line.in_place_of),
    }


def _habits(problem: PlanProblem, found: Plan, seconds: float) -> list[dict[str, Any]]:
    """What the two habits would have cost. The second one plans twice for every supplier, so its time is shared out."""
    from bom.buying.baskets import best_single_supplier, lowest_unit_price_habit

    each = max(min(0.5, seconds / 8), seconds / (8 * len(problem.suppliers)))
    main = best_single_supplier(problem, gap=HABIT_GAP, seconds=each)
    return [
        _habit("lowest unit price on every line", lowest_unit_price_habit(problem), problem, found),
        _habit(f"one main supplier{f' ({main.main})' if main else ''}, the rest elsewhere", main, problem, found),
    ]


def _habit(name: str, basket: Basket | None, problem: PlanProblem, found: Plan) -> dict[str, Any]:
    from bom.buying.order import supplier_costs

    if basket is None or found.cost is None:
        return {
            "name": name,
            "cost": None,
            "more": None,
            "note": "gives no order: pieces run out, or a minimum order is out of reach",
            "made_of": None,
        }
    order = dict(basket.order)
    return {
        "name": name,
        "cost": round(float(basket.cost), 6),
        "more": round(float(basket.cost - found.cost), 6),
        "note": _note(basket, problem),
        "made_of": _made_of(problem, order, supplier_costs(problem, order)),
    }


def _note(basket: Basket, problem: PlanProblem) -> str:
    from bom.buying.order import goods_by_supplier

    used = len(goods_by_supplier(problem, dict(basket.order)))
    notes = (
        [f"{basket.wasted:.2f} {problem.base_currency} of goods only fill up minimum orders"] if basket.wasted else []
    )
    if problem.max_suppliers is not None and used > problem.max_suppliers:
        notes.append(f"from {used} suppliers, more than the {problem.max_suppliers} wanted")
    return "; ".join(notes)


def _made_of(problem: PlanProblem, order: dict[str, int], costs: Sequence[SupplierCost]) -> dict[str, float]:
    """What a cost is made of: goods that are needed, shipping, import fees, tax, and pieces (or value) left over."""
    from bom.buying.order import leftovers

    spare = leftovers(problem, order)
    sums = {name: sum((getattr(c, name) for c in costs), Decimal(0)) for name in PARTS}
    sums["goods"] -= spare
    return {name: round(float(amount), 6) for name, amount in {**sums, "leftovers": spare}.items()}
