"""How to find the cheapest order: a quick good one first, then the program's bound, then the proof.

The program (``bom.buying.model``) works in floats; the order it gives is priced again in Decimal
(``bom.buying.order``), and that is the cost shown.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from time import monotonic

from bom.buying.first_order import better_order, first_order
from bom.buying.lagrangian_bound import Apart, Effort, as_relaxed, quick_bound, taken_apart
from bom.buying.model import Model
from bom.buying.order import SupplierCost, covering, price, reluctance, supplier_costs, surplus_credit
from bom.buying.plan_problem import ZERO, PlanProblem, SoFar, Watcher
from bom.solver.highs import Watch
from bom.solver.statement import INFINITY, PROVEN, OutOfTime, SolveStatus, gap_between

# Shares of the time left that the first order, the quick bound and taking the problem apart may take.
# A program smaller than this is solved before it could be taken apart. Own choice, from markets of 10 to 1000 lines.
# They decide how long is looked where, never what the cheapest order is, so no test can tell them from their like.
FIRST_SHARE, QUICK_SHARE, APART_SHARE, SMALL = 0.15, 0.9, 0.4, 1000  # what comes after the quick bound takes longer


@dataclass(frozen=True, slots=True)
class Plan:
    """The order found. ``cost`` is exact; ``bound`` is proven (no order is cheaper); ``gap`` is a share of the cost.

    ``order`` holds offers with more than 0 pieces. An infeasible plan has no cost, bound or gap. Where suppliers are
    ordered from with reluctance, the bound holds for orders that use them no more than this one does.
    """

    status: SolveStatus
    cost: Decimal | None = None
    bound: float | None = None
    gap: float | None = None
    order: tuple[tuple[str, int], ...] = ()
    suppliers: tuple[SupplierCost, ...] = ()
    surplus_credit: Decimal = ZERO
    was_enough: bool = False  # whoever waited for it had it end here

    @property
    def quantities(self) -> dict[str, int]:
        """Offer to pieces."""
        return dict(self.order)


def plan(
    problem: PlanProblem,
    *,
    gap: float = 0.0,
    seconds: float = 60.0,  # how long to wait is the caller's wish: no test can tell a minute from a little more
    watcher: Watcher | None = None,
) -> Plan:
    """The cheapest order that covers every need, or one proven to be within ``gap`` (0.01 = 1 %) of it.

    ``watcher`` hears of every better order as it is found, and may have it end with the best one so far.
    Raises OutOfTime when no order was found by then, Refused when surplus earns without limit.
    """
    if not any(need.demand for need in problem.needs):
        return Plan("optimal", ZERO, 0.0, 0.0)
    return _Planning(problem, gap, seconds, watcher or Watcher()).plan()


class _Planning:
    """One plan being made: the best order so far, and the bound so far."""

    def __init__(self, problem: PlanProblem, gap: float, seconds: float, watcher: Watcher) -> None:
        self.problem, self.gap, self.seconds, self.watcher = problem, gap, seconds, watcher
        self.until = monotonic() + seconds
        self.told: SoFar | None = None
        self.counts_waiting = problem.counts_waiting
        self.order: Mapping[str, int] | None = None
        self.cost: Decimal | None = None  # what choosing goes by: the order's cost and what it is reluctant for
        self.bound: float | None = None
        self.is_apart = False  # whether the needs fall into groups, so that parts of it are an order already

    def plan(self) -> Plan:
        # how long is looked, never what is right: no test can tell
        if first := first_order(self.problem, seconds=self.seconds * FIRST_SHARE):
            self._take(first)
        self.model = Model(self.problem)
        if self._look_quickly():
            return self._proved()
        self.relaxed = self.model.program.relax(seconds=self._left())
        if self.relaxed.status == "infeasible":
            return Plan("infeasible")
        self._bounded(self.relaxed.objective)
        if not self._is_near_enough():
            self._take_apart()
        if not self._is_near_enough() and self._left() and not self._solve():
            return Plan("infeasible")
        return self._proved()

    def _look_quickly(self) -> bool:
        """Whether a bound at guessed prices, which is had fast, is near enough already."""
        # by which way it is found, never what the cheapest order is
        if self.order is None or len(self.model.program.cost) < SMALL:
            return False
        # how long is looked, never what is right: no test can tell
        quick = quick_bound(self.model, self.order, seconds=QUICK_SHARE * self._left())
        if quick is not None:
            self.is_apart = True
            self._bounded(quick.bound)
            if not self._is_near_enough():
                self._better(quick)
        return self._is_near_enough()

    def _better(self, apart: Apart) -> None:
        """Mend and better what the parts chose, and keep it if it is good."""
        cover = {**covering(self.problem, apart.order), **apart.cover}
        # how long is looked, never what is right: no test can tell
        if better := better_order(self.problem, cover, seconds=FIRST_SHARE * self._left()):
            self._take(better)

    def _take_apart(self) -> None:
        """A higher bound, a better order, and rows that lift the relaxation."""
        program = self.model.program
        # by which way it is found, never what the cheapest order is
        if self.relaxed.status != "optimal" or len(program.cost) < SMALL:
            return
        if not self.is_apart:
            self._better(as_relaxed(self.model, self.relaxed))
        if self._is_near_enough():
            return
        enough = (1 - self.gap) * float(self.cost) if self.gap and self.cost is not None else INFINITY
        # how long and how near a group is decided, never what the cheapest order is: no test can tell
        effort = Effort(monotonic() + APART_SHARE * self._left(), max(self.gap / 4, 1e-4), enough, self.watcher)
        apart = taken_apart(self.model, self.relaxed, effort)
        self._bounded(apart.bound)
        self._better(apart)
        if not self._is_near_enough():
            for terms, lower in apart.rows:
                # a hair below, so that rounding keeps no order out; no test can tell which: `PROVEN * abs(lower)`
                program.row(lower - PROVEN * abs(lower), INFINITY, terms)
            self._relax_again()

    def _relax_again(self) -> None:
        again = self.model.program.relax(seconds=self._left())
        if again.status == "optimal":  # a better start for the solver, never another answer: no test can tell
            self.relaxed = again

    def _solve(self) -> bool:
        """Solve without what must cost more than the order there is; whether there is an order."""
        start = () if self.order is None else self.model.values(self.order) or ()
        slack = self._slack()
        program = self.model.program.narrowed(self.relaxed, slack)
        try:
            found = program.minimise(gap=self.gap, seconds=self._left(), start=start, watch=self._watch(slack))
        except OutOfTime:
            if self.order is None:
                raise
            return True
        if found.status != "infeasible":
            self._take(self.model.order(found))
            self._bounded(min(found.bound, self.relaxed.objective + slack))
        elif self.order is not None:  # nothing is cheaper than what was kept out
            self._bounded(self.relaxed.objective + slack)
        return self.order is not None

    def _slack(self) -> float:
        """How far above the relaxation an order may be that is still of use."""
        if self.cost is None:
            return INFINITY
        return max(0.0, float(self.cost) - self.relaxed.objective) + PROVEN * abs(float(self.cost))

    def _watch(self, slack: float) -> Watch:
        """Passes on how the solver stands; its bound holds for orders within the slack only."""

        def heard(cost: float, bound: float) -> None:
            self._tell(cost, min(bound, self.relaxed.objective + slack))

        return Watch(heard, lambda: self.watcher.enough)

    def _tell(self, cost: float, bound: float | None) -> None:
        """Tell how the plan stands where that is news: the solver begins again below what was known before it."""
        if cost < INFINITY:
            news = SoFar(cost, bound, self.problem.base_currency, self.counts_waiting).after(self.told)
            if news != self.told:
                self.told = news
                self.watcher.hear(news)

    def _left(self) -> float:
        return 0.0 if self.watcher.enough else max(0.0, self.until - monotonic())

    def _take(self, order: Mapping[str, int]) -> None:
        """Keep the order if it is better, and tell of it."""
        cost = price(self.problem, order) + reluctance(self.problem, order)
        if self.cost is None or cost < self.cost:
            self.order, self.cost = order, cost
            self._tell(float(cost), self.bound)

    def _bounded(self, bound: float) -> None:
        if self.bound is None or bound > self.bound:
            self.bound = bound
            if self.cost is not None:
                self._tell(float(self.cost), bound)

    def _too_short(self) -> str:
        return f"no order found in {self.seconds:g} s; allow more seconds"

    def _gap(self) -> float:
        """The share of the cost that a better order could save at most."""
        if self.cost is None or self.bound is None:
            return INFINITY
        return gap_between(float(self.cost), min(self.bound, float(self.cost)))  # floats may pass the exact cost

    def _is_near_enough(self) -> bool:
        return self._gap() <= max(self.gap, PROVEN)

    def _proved(self) -> Plan:
        if self.order is None or self.cost is None or self.bound is None:
            raise OutOfTime("no order was found yet" if self.watcher.enough else self._too_short())
        if not any(offer.surplus_value for offer in self.problem.offers):
            self._bounded(0.0)  # what is left over then earns nothing
        left, unpaid = self._gap(), reluctance(self.problem, self.order)
        return Plan(
            "optimal" if left <= PROVEN else "feasible",
            self.cost - unpaid,
            min(self.bound, float(self.cost)) - float(unpaid),
            left,
            tuple((o.id, self.order[o.id]) for o in self.problem.offers if self.order.get(o.id)),
            supplier_costs(self.problem, self.order),
            surplus_credit(self.problem, self.order),
            self.watcher.enough,
        )
