"""Knows what a shop may prefer besides a low cost, and how a problem is changed to hold to it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from bom.buying.problem import ZERO, PlanOffer, PlanProblem, PlanSupplier
from bom.values.problem import Refused


@dataclass(frozen=True, slots=True)
class Preferences:
    """``within_days``: everything must be here by then. ``most``: at most so many suppliers.

    ``avoid`` and ``prefer`` name suppliers with what it must save, in the base currency, to order from one that is
    avoided, or to pass one over that is preferred; to avoid at None is never to order there.
    ``surplus_pct`` of its lowest price is what a piece that is not needed is worth (0 to below 100).
    """

    within_days: int | None = None
    most: int | None = None
    avoid: tuple[tuple[str, Decimal | None], ...] = ()
    prefer: tuple[tuple[str, Decimal], ...] = ()
    surplus_pct: Decimal = ZERO


def as_preferred(problem: PlanProblem, wanted: Preferences) -> PlanProblem:
    """The problem changed so that its cheapest order is what is preferred. Refused: a supplier nobody knows."""
    _check(problem, wanted)
    never = {name for name, saving in wanted.avoid if saving is None}
    offers = (o for o in problem.offers if o.supplier not in never)
    return replace(
        problem,
        needs=tuple(replace(n, max_lead_days=_sooner(n.max_lead_days, wanted.within_days)) for n in problem.needs),
        suppliers=tuple(replace(s, reluctance=_reluctance(s, wanted)) for s in problem.suppliers if s.id not in never),
        offers=tuple(_with_worth(o, problem, wanted.surplus_pct) for o in offers),
        max_suppliers=problem.max_suppliers if wanted.most is None else wanted.most,
        avoided=(*problem.avoided, *(o for o in problem.offers if o.supplier in never)),
    )


def _check(problem: PlanProblem, wanted: Preferences) -> None:
    known = {s.id for s in problem.suppliers}
    for name in (*dict(wanted.avoid), *dict(wanted.prefer)):
        if name not in known:
            raise Refused(f"no supplier {name} offers anything wanted; there are {', '.join(sorted(known)) or 'none'}")
    if not 0 <= wanted.surplus_pct < 100:
        raise Refused(f"expected a worth of leftovers from 0 to below 100 %, found {wanted.surplus_pct}")


def _sooner(one: int | None, other: int | None) -> int | None:
    return min((days for days in (one, other) if days is not None), default=None)


def _reluctance(supplier: PlanSupplier, wanted: Preferences) -> Decimal:
    """To prefer one is to be reluctant about each of the others."""
    avoided = sum((saving for name, saving in wanted.avoid if name == supplier.id and saving), ZERO)
    favoured = {name for name, _ in wanted.prefer}
    passed_over = ZERO if supplier.id in favoured else sum((saving for _, saving in wanted.prefer), ZERO)
    return supplier.reluctance + avoided + passed_over


def _with_worth(offer: PlanOffer, problem: PlanProblem, pct: Decimal) -> PlanOffer:
    """A share of the lowest price: below it buying more just to have it left over never pays."""
    if not pct:
        return offer
    lowest = min(price for _, price in offer.breaks) * problem.supplier(offer.supplier).goods_factor
    return replace(offer, surplus_value=lowest * pct / 100)
