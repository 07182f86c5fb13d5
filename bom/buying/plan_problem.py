"""The plan problem: needs, suppliers and offers as plain numbers, what a shop may prefer, and who waits for the answer.

Which offer fills which need is part of it. Money is Decimal in the supplier's currency; ``fx_to_base`` turns it into
the base currency. Nothing is rounded. A preference changes the problem, so that every way of solving it holds to it.
Whoever waits hears of every better order and bound, and may say that the best so far will do.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from bom.solver.statement import gap_between
from bom.values.problem import Refused

ONE = Decimal(1)
ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class PlanNeed:
    """``demand`` pieces, to be covered by pieces of any part number in ``fillable_by``.

    ``max_lead_days`` None = any time will do; else an offer fills it only with a stated lead time no longer than that.
    """

    id: str
    demand: int
    fillable_by: tuple[str, ...]
    max_lead_days: int | None = None


@dataclass(frozen=True, slots=True)
class PlanSupplier:
    """A supplier. Fee and thresholds are in its currency, tested on the goods (surplus pieces too) with >=.

    ``prices_include_tax``: everything it states, thresholds too, holds the tax. ``import_fee`` is untaxed, in its
    currency, once per order. ``tax_rate`` is a share (0.21). ``reluctance`` is what ordering from it must save, in the
    base currency, before it is chosen; it is no cost. ``is_counted`` among those that ``max_suppliers`` limits.
    """

    id: str
    currency: str
    fx_to_base: Decimal = ONE
    shipping_fee: Decimal = ZERO
    free_shipping_from: Decimal | None = None
    min_order_value: Decimal = ZERO
    tax_rate: Decimal = ZERO
    tax_recoverable: bool = False
    tax_on_shipping: bool = True
    import_fee: Decimal = ZERO
    prices_include_tax: bool = False
    reluctance: Decimal = ZERO
    is_counted: bool = True

    @property
    def goods_factor(self) -> Decimal:
        """Base currency that one listed unit of goods value comes to cost."""
        return self.fx_to_base * (self._paid / self._listed)

    @property
    def shipping_factor(self) -> Decimal:
        """Base currency that one listed unit of shipping comes to cost."""
        return self.goods_factor if self.tax_on_shipping else self.fx_to_base

    @property
    def _paid(self) -> Decimal:
        return ONE if self.tax_recoverable else ONE + self.tax_rate

    @property
    def _listed(self) -> Decimal:
        return ONE + self.tax_rate if self.prices_include_tax else ONE


@dataclass(frozen=True, slots=True)
class PlanOffer:
    """A supplier's price for a part number. ``stock`` None = as many as wanted.

    ``breaks`` are (from quantity, unit price), rising quantities; the first price also holds below its quantity.
    ``incremental``: pieces from each break on cost that price; else all pieces cost the reached price.
    ``surplus_value``: base currency credited per piece bought and not needed.
    """

    id: str
    supplier: str
    part_number: str
    breaks: tuple[tuple[int, Decimal], ...]
    stock: int | None = None
    moq: int = 1
    multiple: int = 1
    lead_days: int | None = None
    incremental: bool = False
    surplus_value: Decimal = ZERO

    def reached(self, quantity: int) -> int:
        """The index of the break that this quantity reaches."""
        return max((k for k, (start, _) in enumerate(self.breaks) if start <= quantity), default=0)

    def goods(self, quantity: int) -> Decimal:
        """What this many pieces cost, in the supplier's currency as listed.

        >>> PlanOffer("K", "Osmere", "K2R-12S", ((1, Decimal("2.27")), (25, Decimal("2.01")))).goods(30)
        Decimal('60.30')
        """
        k = self.reached(quantity)
        return self.offset(k) + self.breaks[k][1] * quantity if quantity else ZERO

    def offset(self, k: int) -> Decimal:
        """The fixed part of break ``k``'s straight line: 0 for all-units, what earlier pieces cost more otherwise."""
        if not self.incremental:
            return ZERO
        steps = zip(self.breaks[:k], self.breaks[1 : k + 1], strict=True)
        return sum(((before - after) * (start - 1) for (_, before), (start, after) in steps), ZERO)

    def rounded_up(self, quantity: int) -> int:
        """The smallest number of pieces that may be ordered and is at least this many, stock aside.

        >>> PlanOffer("K", "Osmere", "K2R-12S", ((1, Decimal(2)),), moq=10, multiple=4).rounded_up(3)
        12
        """
        least = max(quantity, self.moq, 1)
        return -(-least // self.multiple) * self.multiple

    @property
    def most(self) -> int | None:
        """The largest number of pieces that may be ordered; 0 where none may, None without limit."""
        if self.stock is None:
            return None
        most = self.stock // self.multiple * self.multiple
        return most if most >= self.rounded_up(1) else 0


@dataclass(frozen=True, slots=True)
class PlanProblem:
    """Everything a plan is made from. ``max_suppliers`` None = as many as it takes.

    ``avoided`` are offers of suppliers that are not to be ordered from; no plan takes one, a reason may name them.
    """

    base_currency: str
    needs: tuple[PlanNeed, ...]
    suppliers: tuple[PlanSupplier, ...]
    offers: tuple[PlanOffer, ...]
    max_suppliers: int | None = None
    id: str = ""
    avoided: tuple[PlanOffer, ...] = ()

    @property
    def counts_waiting(self) -> bool:
        """Whether its cost holds the price of pieces that can wait, which nobody delivers."""
        nobody = {s.id for s in self.suppliers if not s.is_counted}
        return any(price for o in self.offers if o.supplier in nobody for _, price in o.breaks)

    def supplier(self, name: str) -> PlanSupplier:
        """The supplier of that id."""
        return next(s for s in self.suppliers if s.id == name)

    def bought(self, order: Mapping[str, int]) -> list[tuple[PlanOffer, int]]:
        """The order's offers and pieces, where any are bought; Refused where an id is none of the problem's."""
        offers = {offer.id: offer for offer in self.offers}
        strange = next((name for name in order if name not in offers), None)
        if strange is not None:
            raise Refused(f"expected an offer of the problem, found {strange!r}")
        return [(offers[name], pieces) for name, pieces in order.items() if pieces > 0]


def fills(offer: PlanOffer, need: PlanNeed) -> bool:
    """Whether the offer's part may fill the need, in time. An unstated lead time never meets a limit."""
    if offer.part_number not in need.fillable_by:
        return False
    return need.max_lead_days is None or (offer.lead_days is not None and offer.lead_days <= need.max_lead_days)


def by_part_number(needs: Iterable[PlanNeed]) -> dict[str, list[PlanNeed]]:
    """Part number to the needs it may fill, lead times aside."""
    answer: dict[str, list[PlanNeed]] = {}
    for need in needs:
        for number in dict.fromkeys(need.fillable_by):
            answer.setdefault(number, []).append(need)
    return answer


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


@dataclass(frozen=True, slots=True)
class SoFar:
    """How a plan stands while it is being made: its cost and what no order can be cheaper than, in ``currency``.

    ``counts_waiting``: both hold what is taken to be the cost of having later what can wait.
    """

    cost: float
    bound: float | None
    currency: str
    counts_waiting: bool = False

    def after(self, before: SoFar | None) -> SoFar:
        """The best of both: what was found and proved before stays so."""
        if before is None:
            return self
        bounds = [b for b in (self.bound, before.bound) if b is not None]
        return replace(self, cost=min(self.cost, before.cost), bound=max(bounds, default=None))

    @property
    def gap(self) -> float | None:
        """The share of the cost that a better order could save at most; None before anything is proved."""
        return None if self.bound is None else gap_between(self.cost, min(self.bound, self.cost))


def nobody(so_far: SoFar) -> None:
    """Nobody wants to hear."""


@dataclass(slots=True)
class Watcher:
    """``hear`` is told how the plan stands; once ``enough`` is set, the plan ends with the best order so far."""

    hear: Callable[[SoFar], None] = nobody
    enough: bool = False
