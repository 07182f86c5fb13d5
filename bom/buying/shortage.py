"""How a plan goes on where not everything can be had, or is worth having now: what is left open is an offer of nobody.

For a piece that cannot be had nobody asks no money, and has exactly as many as must stay open at least: so no piece
that can be had stays open for the sake of money, and the cheapest order is found as for any other problem. For a piece
that can wait nobody asks what having it later is taken to cost. What nobody delivers is then taken off the needs. The
order is the cheapest for what it covers: with nobody's same pieces a cheaper one would have been cheaper there too.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from time import monotonic

from bom.buying.model import Model
from bom.buying.order import covering, price, supplier_costs, surplus_credit, uncovered
from bom.buying.plan import Plan, plan
from bom.buying.plan_problem import ZERO, PlanNeed, PlanOffer, PlanProblem, PlanSupplier, Watcher, by_part_number, fills
from bom.solver.statement import gap_between

# No name of a supplier, an offer or a part begins so; of nobody's offers, one kind cannot be had and one can wait.
NOBODY = "\0nobody"
NEVER, LATER = f"{NOBODY}, never", f"{NOBODY}, later"

# The share of the time that finding out how little must stay open may take. Own choice.
LEAST_OPEN_SHARE = 0.3  # it decides how long is looked, never what is right: no test can tell


@dataclass(frozen=True, slots=True)
class Later:
    """``pieces`` of a need may wait, where having one later is taken to cost ``each``, in the base currency."""

    pieces: int
    each: Decimal


@dataclass(frozen=True, slots=True)
class Open:
    """Of a need, ``not_to_be_had`` pieces that nobody can deliver, and ``later`` ones that are not worth having now."""

    need: str
    not_to_be_had: int
    later: int = 0

    @property
    def pieces(self) -> int:
        return self.not_to_be_had + self.later


@dataclass(frozen=True, slots=True)
class PartPlan:
    """The plan for what is covered: ``served`` is the problem less what is left ``open``, and ``plan`` is its plan.

    ``waits`` is what having the rest later is taken to cost, in the base currency; no part of the plan's cost.
    Where nothing at all can be had, the plan is infeasible and ``served`` the whole problem.
    """

    plan: Plan
    served: PlanProblem
    open: tuple[Open, ...] = ()
    waits: Decimal = ZERO


def plan_what_can_be_had(
    problem: PlanProblem,
    later: Mapping[str, Later] | None = None,
    *,
    gap: float = 0.0,
    seconds: float = 60.0,  # how long to wait is the caller's wish: no test can tell a minute from a little more
    watcher: Watcher | None = None,
) -> PartPlan:
    """The cheapest order that leaves as few pieces open as can be, those of ``later`` (by need) at their price.

    Raises as ``plan`` does.
    """
    until = monotonic() + seconds
    waiting = {name: one for name, one in (later or {}).items() if one.pieces}
    wider = widened(problem, waiting)
    found = plan(wider, gap=gap, seconds=seconds, watcher=watcher)
    if found.cost is None:  # minimum orders, packs or the number of suppliers leave more open than stock does
        left = max(0.1, until - monotonic())
        now = _that_cannot_wait(problem, waiting)
        least = _least_open(now, seconds=LEAST_OPEN_SHARE * left)
        if least is None:
            return PartPlan(found, problem)
        wider = _widened(problem, waiting, [(least, now.needs)])
        found = plan(wider, gap=gap, seconds=max(0.1, until - monotonic()), watcher=watcher)
    return _part_plan(problem, wider, found)


def widened(problem: PlanProblem, later: Mapping[str, Later]) -> PlanProblem:
    """The problem with what nobody offers, as far as stock, packs and lead times leave pieces open."""
    return _widened(problem, later, _groups_open(_that_cannot_wait(problem, later)))


def _that_cannot_wait(problem: PlanProblem, later: Mapping[str, Later]) -> PlanProblem:
    return _without(problem, {name: one.pieces for name, one in later.items()})


def not_to_be_had(problem: PlanProblem) -> dict[str, int]:
    """Need to the pieces of it that stay open whatever is bought, as far as stock, packs and lead times say."""
    return uncovered(problem, {o.id: _most(o, problem) for o in problem.offers})


def _without(problem: PlanProblem, pieces: Mapping[str, int]) -> PlanProblem:
    """The problem with so many pieces fewer of these needs."""
    needs = (replace(n, demand=max(0, n.demand - pieces.get(n.id, 0))) for n in problem.needs)
    return replace(problem, needs=tuple(needs))


def _groups_open(problem: PlanProblem) -> list[tuple[int, tuple[PlanNeed, ...]]]:
    """(pieces that stay open whatever is bought, the needs one of which they are of), for needs that share offers."""
    short = not_to_be_had(problem)
    if not short:
        return []
    answer = []
    for group in _sharing(problem):
        if pieces := sum(short.get(n.id, 0) for n in group):
            answer.append((pieces, group))
    return answer


def _most(offer: PlanOffer, problem: PlanProblem) -> int:
    """As many as can be ordered; stock without end counts as enough for everything."""
    return sum(n.demand for n in problem.needs) if offer.most is None else offer.most


def _sharing(problem: PlanProblem) -> list[tuple[PlanNeed, ...]]:
    """The needs in groups that no offer joins."""
    numbers = by_part_number(problem.needs)
    group = {n.id: {n.id} for n in problem.needs}
    for offer in problem.offers:
        served = [n.id for n in numbers.get(offer.part_number, ()) if fills(offer, n)]
        joined = set[str]().union(*(group[name] for name in served))
        group.update(dict.fromkeys(joined, joined))
    unique = {id(names): names for names in group.values()}
    return [tuple(n for n in problem.needs if n.id in names) for names in unique.values()]


def _widened(
    problem: PlanProblem, waiting: Mapping[str, Later], groups: Iterable[tuple[int, tuple[PlanNeed, ...]]]
) -> PlanProblem:
    """The problem with what nobody offers: pieces that cannot be had, and pieces that can wait."""
    offers: list[PlanOffer] = []
    numbers: dict[str, list[str]] = {n.id: [] for n in problem.needs}

    def offered(kind: str, needs: Iterable[PlanNeed], pieces: int, each: Decimal) -> None:
        name = f"{kind} {len(offers)}"
        offers.append(PlanOffer(name, NOBODY, name, ((1, each),), stock=pieces, lead_days=0))
        for need in needs:
            numbers[need.id].append(name)

    for need in problem.needs:
        if one := waiting.get(need.id):
            offered(LATER, [need], min(one.pieces, need.demand), one.each)
    for pieces, needs in groups:
        if pieces:
            offered(NEVER, needs, pieces, ZERO)
    if not offers:
        return problem
    fillable = (replace(n, fillable_by=(*n.fillable_by, *numbers[n.id])) for n in problem.needs)
    nobody = PlanSupplier(NOBODY, problem.base_currency, is_counted=False)
    return replace(
        problem,
        needs=tuple(fillable),
        suppliers=(*problem.suppliers, nobody),
        offers=(*problem.offers, *offers),
    )


def _least_open(problem: PlanProblem, *, seconds: float) -> int | None:
    """How few pieces any order leaves open, with every rule kept; None where that is not found out in time."""
    wanted = sum(n.demand for n in problem.needs)
    model = Model(_widened(problem, {}, [(wanted, problem.needs)]))
    program = model.program
    nobodys = {at.packs for at in model.columns if at.offer.supplier == NOBODY}
    program.cost[:] = [1.0 if n in nobodys else 0.0 for n in range(len(program.cost))]
    found = program.minimise(seconds=seconds)
    return round(found.objective) if found.status == "optimal" else None


def _part_plan(problem: PlanProblem, wider: PlanProblem, found: Plan) -> PartPlan:
    if found.cost is None or found.bound is None:
        return PartPlan(found, problem)
    left, waits = _left_open(problem, wider, found.quantities)
    order = {name: pieces for name, pieces in found.order if not name.startswith(NOBODY)}
    if not order and any(name.startswith(NEVER) for name in found.quantities):
        return PartPlan(Plan("infeasible"), problem, left)
    served = _without(problem, {one.need: one.pieces for one in left})
    cost = price(served, order)
    bound = min(found.bound - float(waits), float(cost))
    if not any(o.surplus_value for o in problem.offers):
        bound = max(bound, 0.0)  # no order costs less than nothing
    gap = 0.0 if found.status == "optimal" else gap_between(float(cost), bound)
    parts = supplier_costs(served, order)
    credit = surplus_credit(served, order)
    return PartPlan(
        Plan(found.status, cost, bound, gap, tuple(order.items()), parts, credit, found.was_enough), served, left, waits
    )


def _left_open(problem: PlanProblem, wider: PlanProblem, order: Mapping[str, int]) -> tuple[tuple[Open, ...], Decimal]:
    """(what nobody delivers of each need, once what is bought is used as well as it can be; the price of waiting)."""
    nobodys = {o.id: o.breaks[0][1] for o in wider.offers if o.supplier == NOBODY}
    plain = replace(wider, offers=tuple(replace(o, surplus_value=ZERO) for o in wider.offers))
    # what is bought comes first, then what costs least to leave open
    rising = sorted(order, key=lambda name: (name in nobodys, nobodys.get(name, ZERO)))
    left = {
        pair: p for pair, p in covering(plain, {name: order[name] for name in rising}).items() if pair[0] in nobodys
    }
    pieces, wait = dict[str, int](), dict[str, int]()
    for (name, need), count in left.items():
        pieces[need] = pieces.get(need, 0) + count
        wait[need] = wait.get(need, 0) + count * name.startswith(LATER)
    # what can wait and could not be had anyway is not left open for its price
    anyway = not_to_be_had(problem) if left else {}
    later = {need: max(0, min(wait[need], pieces[need] - anyway.get(need, 0))) for need in pieces}
    found = tuple(Open(n.id, pieces[n.id] - later[n.id], later[n.id]) for n in problem.needs if n.id in pieces)
    return found, sum((count * nobodys[name] for (name, _), count in left.items()), ZERO)
