"""The cheapest order for what is needed, over all that is offered to the shop."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from bom.shop.amounts import units_in
from bom.shop.settings import settings_of

if TYPE_CHECKING:
    from bom.answers.buying import ShopPlan
    from bom.buying.from_offers import Need
    from bom.buying.offer import Offer, Supplier
    from bom.buying.order_lines import OrderLine
    from bom.buying.plan_problem import PlanProblem, Preferences, Watcher
    from bom.store.unit_of_work import Session


@dataclass(frozen=True, slots=True)
class PlannedFrom:
    """What a workbook needs besides the plan: all suppliers, the lines bought, and the offers by the lines' names."""

    suppliers: Sequence[Supplier]
    lines: tuple[OrderLine, ...]
    offers: Mapping[str, Offer]


def plan_needs(
    session: Session,
    needs: Sequence[Need],
    most: int | None,
    seconds: float,
    preferences: Preferences | None = None,
    gap: float = 0.0,
    watcher: Watcher | None = None,
) -> tuple[ShopPlan, PlannedFrom]:
    """(the plan to show, what a workbook needs besides)."""
    from bom.buying.from_offers import offer_ids, problem_from
    from bom.buying.order_lines import lines_of
    from bom.buying.plan import plan
    from bom.shop.plan_shown import shown
    from bom.shop.prices import in_own_currency, offers_for, rates_to, whose_not_stated
    from bom.store.offers import suppliers

    rates, known = rates_to(session, settings_of(session).counts_in), suppliers(session)
    accepted = [a for need in needs for a in need.accepts]
    listed, unclear = offers_for(session, accepted), whose_not_stated(session, accepted)
    offered, converted = in_own_currency(listed, known, rates)
    problem, left_out = problem_from(
        needs,
        known,
        offered,
        rates,
        tax_registered=settings_of(session).tax_registered,
        max_suppliers=most,
        today=date.today(),
    )
    problem = _as_preferred(problem, preferences)
    found = plan(problem, gap=gap, seconds=seconds, watcher=watcher)
    lines = lines_of(found, problem, offered) if found.cost is not None else ()
    answer = replace(
        shown(problem, found, lines, units_in(session), seconds),
        left_out=(*left_out, *unclear),
        rates_of=rates.day,
        reckoned=tuple(converted),
    )
    return answer, PlannedFrom(known, lines, offer_ids(offered))


def _as_preferred(problem: PlanProblem, preferences: Preferences | None) -> PlanProblem:
    """With what is preferred; a preference about a supplier who offers nothing wanted changes nothing."""
    from bom.buying.plan_problem import as_preferred

    if preferences is None:
        return problem
    there = {s.id for s in problem.suppliers}
    avoid = tuple(pair for pair in preferences.avoid if pair[0] in there)
    prefer = tuple(pair for pair in preferences.prefer if pair[0] in there)
    return as_preferred(problem, replace(preferences, avoid=avoid, prefer=prefer))
