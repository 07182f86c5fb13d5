"""Knows how to say why no order can serve every need: which part, and what stands in its way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bom.buying.order import uncovered
from bom.buying.order_lines import listed
from bom.buying.plan import Plan, plan
from bom.buying.problem import ZERO, PlanNeed, PlanOffer, PlanProblem, fills
from bom.values.problem import Refused


def blocked(problem: PlanProblem, *, seconds: float = 10.0) -> tuple[str, ...]:
    """A sentence for each thing in the way of a plan that is infeasible; the parts named.

    First what each need lacks alone, then what they lack together, then the wishes and rules that leave no order.
    """
    alone = tuple(_lacking(problem))
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


def _lacking(problem: PlanProblem) -> Iterator[str]:
    for need in problem.needs:
        there = [o for o in problem.offers if o.part_number in need.fillable_by]
        in_time = [o for o in there if fills(o, need)]
        can = sum(_most(o, problem) for o in in_time)
        if need.demand > can:
            avoided = _avoided(problem, need)
            what = _what_there_is(need, there, in_time, can) if there else _nobody(avoided)
            yield f"{need.id}: {need.demand} wanted, {what}{avoided}"


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
