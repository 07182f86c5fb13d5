"""A cost that no order can beat: needs that share no offer are decided alone, suppliers' terms paid at a price.

What joins the needs, a supplier's fees and thresholds, is given a price: a guess, or what the relaxed program says.
With those prices paid, each group of needs that share offers is decided by itself, and no order is cheaper than the
groups together; what they choose makes a good order. Source: Lagrangian relaxation (Geoffrion 1974, from memory). One
need alone is covered at the least cost to the piece, from offers with price tiers, packs and stock.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from time import monotonic
from typing import Any

from bom.buying.model import Columns, Model
from bom.buying.plan_problem import Watcher
from bom.solver.program import Program
from bom.solver.statement import INFINITY, OutOfTime, Relaxation

WHOLE = 1e-7  # far above what floats miss by and far below a piece; no test can tell by how much
# A need of more pieces than this is left to the solver: its table has as many squares as the square of its pieces.
TABLE = 400  # it decides by which way the cost is found, never which: no test can tell
# The share of the time left that one group of several needs may take. Own choice.
SHARE = 0.2  # it decides how long is looked, never what is right: no test can tell
# Needs that hold more than this share of all variables are the problem itself, left to the solver. Own choice.
WHOLE_PROBLEM = 0.75  # it decides who decides, never what: no test can tell
A_HAIR = 1e-6  # far below a cent; no test can tell one hair from another

PricedRow = tuple[Mapping[int, float], float]


@dataclass(frozen=True, slots=True)
class _Decided:
    """What a group costs at least, and how many packs it takes of each of its columns."""

    least: float
    packs: Sequence[int]


@dataclass(frozen=True, slots=True)
class Apart:
    """``bound``: no order is cheaper. ``order`` is what the groups choose, each for itself; thresholds are not asked.

    ``cover``, (offer, need) to pieces, is what the relaxation says for the groups that were left undecided. ``rows``
    (terms, lower bound) hold for every order and make the relaxation as high as the bound.
    """

    bound: float
    order: dict[str, int]
    cover: dict[tuple[str, str], int] = field(default_factory=dict)
    rows: tuple[PricedRow, ...] = ()


@dataclass(frozen=True, slots=True)
class Effort:
    """``until`` (``monotonic``) groups are decided, or the bound is ``enough``; those of several needs to a ``gap``."""

    until: float = INFINITY
    gap: float = 1e-4  # so near that no test can tell a tenth of it
    enough: float = INFINITY
    watcher: Watcher | None = None

    @property
    def is_over(self) -> bool:
        return monotonic() > self.until or (self.watcher is not None and self.watcher.enough)


def taken_apart(model: Model, relaxed: Relaxation, effort: Effort = Effort()) -> Apart:
    """The groups decided one by one; what is left when the time is over stays as it is relaxed."""
    costs = _with_prices_paid(model, relaxed.prices)
    apart = Apart(relaxed.objective, {})
    bound, rows = relaxed.objective, list[PricedRow]()
    for group in groups_of(model):
        wanted = bound < effort.enough
        decided = _decided(model.program, group, costs, relaxed.values, effort) if wanted else None
        if decided is None:
            apart.cover.update(_rounded_cover(group, relaxed.values))
            continue
        _add(apart.order, group, decided.packs)
        before = sum(costs[n] * relaxed.values[n] for n in group.numbers())
        if decided.least > before + A_HAIR:
            bound += decided.least - before
            rows.append(({n: costs[n] for n in group.numbers() if costs[n]}, decided.least))
    return replace(apart, bound=bound, rows=tuple(rows))


def as_relaxed(model: Model, relaxed: Relaxation) -> Apart:
    """Nothing decided: what the relaxation says, rounded."""
    whole = NeedGroup([n.id for n in model.needs], model.columns)
    return Apart(relaxed.objective, {}, _rounded_cover(whole, relaxed.values))


def _rounded_cover(group: NeedGroup, values: Sequence[float] | Mapping[int, float]) -> dict[tuple[str, str], int]:
    """(offer, need) to whole pieces: each need's shares rounded so that their running sum is right, big ones first."""
    shares: dict[str, list[tuple[float, str]]] = {}
    for at in group.columns:
        for need, column in at.used.items():
            if values[column] > WHOLE:
                shares.setdefault(need, []).append((values[column], at.offer.id))
    cover: dict[tuple[str, str], int] = {}
    for need, parts in shares.items():
        before = after = 0.0
        for pieces, offer in sorted(parts, reverse=True):
            before, after = after, after + pieces
            if whole := round(after) - round(before):
                cover[offer, need] = cover.get((offer, need), 0) + whole
    return cover


def _add(order: dict[str, int], group: NeedGroup, packs: Sequence[int]) -> None:
    for at, count in zip(group.columns, packs, strict=True):
        if count:
            order[at.offer.id] = order.get(at.offer.id, 0) + count * at.offer.multiple


def quick_bound(model: Model, order: Mapping[str, int], *, seconds: float) -> Apart | None:
    """A bound without the relaxed program, at prices guessed from an order; None where that is not done in time.

    Needs that share offers are relaxed here, all in one program, and others decided to the piece.
    """
    costs = _with_prices_paid(model, _guessed_prices(model, order))
    groups = groups_of(model)
    until = monotonic() + seconds
    bound, chosen, rest = _least_elsewhere(model, groups, costs), dict[str, int](), list[NeedGroup]()
    for group in groups:
        decided = _alone(model.program, group, costs)
        if decided is None:
            rest.append(group)
        else:
            bound += decided.least
            _add(chosen, group, decided.packs)
        if monotonic() > until:
            return None
    if _is_nearly_all(model.program, rest):
        return None
    together = NeedGroup([n for g in rest for n in g.needs], [c for g in rest for c in g.columns], _rows_of(rest))
    # how long is looked, never what is right: no test can tell
    relaxed = _own_program(model.program, together, costs).relax(seconds=max(0.1, until - monotonic()))
    if relaxed.status != "optimal":
        return None
    values = dict(zip(together.numbers(), relaxed.values, strict=True))
    return Apart(bound + relaxed.objective, chosen, _rounded_cover(together, values))


def _is_nearly_all(program: Program, groups: Iterable[NeedGroup]) -> bool:
    return sum(len(group.numbers()) for group in groups) > WHOLE_PROBLEM * len(program.cost)


def _rows_of(groups: Iterable[NeedGroup]) -> list[int]:
    return [row for group in groups for row in group.rows]


def _packs_in(group: NeedGroup, values: Sequence[float]) -> list[int]:
    """Packs of each column in a program of the group's own columns."""
    places = {n: place for place, n in enumerate(group.numbers())}
    return [round(values[places[at.packs]]) for at in group.columns]


def _guessed_prices(model: Model, order: Mapping[str, int]) -> list[float]:
    """Each supplier's fees shared out evenly over the offers that an order takes from it; thresholds for nothing."""
    lines: dict[str, list[str]] = {}
    for bought, _ in model.problem.bought(order):
        lines.setdefault(bought.supplier, []).append(bought.id)
    prices, cost = [0.0] * len(model.program.row_lower), model.program.cost
    for supplier, offers in lines.items():
        fees = cost[model.ordered[supplier]] + (cost[model.free[supplier]] if supplier in model.free else 0.0)
        for offer in offers:
            if (row := model.opening.get(offer)) is not None:
                prices[row] = -fees / len(offers)
    return prices


def _least_elsewhere(model: Model, groups: Iterable[NeedGroup], costs: Sequence[float]) -> float:
    """What the columns of no group cost at least, whatever they are: suppliers ordered from, shipping free."""
    grouped = {n for group in groups for n in group.numbers()}
    ends = zip(costs, model.program.lower, model.program.upper, strict=True)
    return sum(min(cost * low, cost * high) for n, (cost, low, high) in enumerate(ends) if cost and n not in grouped)


def _with_prices_paid(model: Model, prices: Sequence[float]) -> list[float]:
    """What each column costs when the joining rows are paid for at their prices."""
    program, costs = model.program, list(model.program.cost)
    for row in model.joining:
        if price := prices[row]:
            for k in range(program.starts[row], program.starts[row + 1]):
                costs[program.indices[k]] -= price * program.coefficients[k]
    return costs


def _decided(
    program: Program, group: NeedGroup, costs: Sequence[float], values: Sequence[float], effort: Effort
) -> _Decided | None:
    """The group's own best; None where there is no time for it."""
    if all(abs(values[n] - round(values[n])) < WHOLE for at in group.columns for n in (at.chosen, at.packs)):
        return _Decided(
            sum(costs[n] * values[n] for n in group.numbers()), [round(values[a.packs]) for a in group.columns]
        )
    if effort.is_over or (len(group.needs) > 1 and _is_nearly_all(program, [group])):
        return None
    return _alone(program, group, costs) or _by_solver(program, group, costs, effort)


def _alone(program: Program, group: NeedGroup, costs: Sequence[float]) -> _Decided | None:
    """A group of one need of not too many pieces, decided by its table; None for any other."""
    demand = max(program.row_lower[row] for row in group.rows)
    if len(group.needs) > 1 or demand > TABLE:
        return None
    found = cheapest_cover(group.columns, int(demand), costs)
    return None if found is None else _Decided(*found)


def _by_solver(program: Program, group: NeedGroup, costs: Sequence[float], effort: Effort) -> _Decided | None:
    part = _own_program(program, group, costs)
    try:
        # how long is looked, never what is right: no test can tell
        found = part.minimise(gap=effort.gap, seconds=max(0.1, SHARE * (effort.until - monotonic())))
    except OutOfTime:
        return None
    return None if found.status == "infeasible" else _Decided(found.bound, _packs_in(group, found.values))


def _own_program(program: Program, group: NeedGroup, costs: Sequence[float]) -> Program:
    columns = group.numbers()
    places = {n: place for place, n in enumerate(columns)}
    part = program.part(columns, group.rows, [costs[n] for n in columns])
    for tiers in tiers_of(
        group.columns
    ).values():  # this rule of an offer stands in a row that joins it to its supplier
        part.row(-INFINITY, 1.0, {places[group.columns[k].chosen]: 1.0 for k in tiers})
    return part


@dataclass(slots=True)
class NeedGroup:
    """Needs that share offers, the columns of those offers and the rows that hold nothing else."""

    needs: list[str] = field(default_factory=list)
    columns: list[Columns] = field(default_factory=list)
    rows: list[int] = field(default_factory=list)

    def numbers(self) -> list[int]:
        return [n for at in self.columns for n in at.numbers]


def groups_of(model: Model) -> list[NeedGroup]:
    """Needs joined through every offer that may serve several, the quickest to decide first.

    An offer that serves none is in no group.
    """
    leads = _leaders(model)
    groups: dict[str, NeedGroup] = {}
    for need, leader in leads.items():
        groups.setdefault(leader, NeedGroup()).needs.append(need)
    home: dict[int, NeedGroup] = {}
    for at in model.columns:
        if at.used:
            group = groups[leads[next(iter(at.used))]]
            group.columns.append(at)
            home.update(dict.fromkeys(at.numbers, group))
    _share_rows(model, home)
    return sorted(groups.values(), key=lambda group: len(group.needs))


def _leaders(model: Model) -> dict[str, str]:
    """Need to the one need that stands for its group (union and find)."""
    leader = {n.id: n.id for n in model.needs}

    def led_by(need: str) -> str:
        while leader[need] != need:
            leader[need] = need = leader[leader[need]]
        return need

    for at in model.columns:
        for other in at.used:
            leader[led_by(other)] = led_by(next(iter(at.used)))
    return {need: led_by(need) for need in leader}


def _share_rows(model: Model, home: Mapping[int, NeedGroup]) -> None:
    program, joining = model.program, set(model.joining)
    for row in range(len(program.row_lower)):
        start = program.starts[row]
        if row not in joining and start < program.starts[row + 1] and (group := home.get(program.indices[start])):
            group.rows.append(row)


def tiers_of(columns: Sequence[Columns]) -> dict[str, list[int]]:
    """Offer to its places among the columns; at most one of them may be chosen."""
    offers: dict[str, list[int]] = {}
    for place, at in enumerate(columns):
        offers.setdefault(at.offer.id, []).append(place)
    return offers


def cheapest_cover(columns: Sequence[Columns], demand: int, costs: Sequence[float]) -> tuple[float, list[int]] | None:
    """(what the need costs at least, packs of each column); None where whole packs cannot cover it.

    ``costs`` are those of the program's variables, in floats. The cheapest way to cover 0, 1, 2 ... pieces is found by
    the first offer, then by the first two, and so on (dynamic programming; Bellman 1957, from memory).
    """
    import numpy as np

    taken = np.arange(demand + 1)
    best = np.where(taken == 0, 0.0, INFINITY)
    before = taken[:, None] - taken[None, :]  # what earlier offers cover, where this one covers so many
    steps: list[tuple[Any, Any, Any]] = []
    for tiers in tiers_of(columns).values():
        cost, place, packs = _offer_costs(columns, tiers, demand, costs)
        ways = np.where(before >= 0, best[np.maximum(before, 0)], INFINITY) + cost[None, :]
        used = ways.argmin(axis=1)
        best = ways[taken, used]
        steps.append((used, place, packs))
    if not np.isfinite(best[demand]):
        return None
    return float(best[demand]), _traced(steps, demand, len(columns))


def _traced(steps: Sequence[tuple[Any, Any, Any]], demand: int, columns: int) -> list[int]:
    """The packs of each column, read back from the last offer's table to the first."""
    packs, left = [0] * columns, demand
    for used, place, count in reversed(steps):
        pieces = int(used[left])
        if count[pieces]:
            packs[int(place[pieces])] = int(count[pieces])
        left -= pieces
    return packs


def _offer_costs(
    columns: Sequence[Columns], tiers: Iterable[int], demand: int, costs: Sequence[float]
) -> tuple[Any, Any, Any]:
    """For 0, 1, 2 ... pieces used of an offer: the least cost, the column it takes and how many packs of it."""
    import numpy as np

    pieces = np.arange(demand + 1)
    best, place, packs = np.where(pieces == 0, 0.0, INFINITY), np.zeros_like(pieces), np.zeros_like(pieces)
    for k in tiers:
        cost, count = _tier_costs(columns[k], pieces, costs)
        better = cost < best
        best, place, packs = np.where(better, cost, best), np.where(better, k, place), np.where(better, count, packs)
    return best, place, packs


def _tier_costs(at: Columns, pieces: Any, costs: Sequence[float]) -> tuple[Any, Any]:
    """(what so many pieces used cost in this tier, the packs for them)."""
    import numpy as np

    size, pack = at.offer.multiple, costs[at.packs]
    count = np.maximum(-(-pieces // size), -(-at.tier.low // size))
    if pack < 0:  # every pack more is worth it, for its supplier's threshold
        count = np.full_like(count, at.tier.high // size)
    (use,) = at.used.values()
    cost = costs[at.chosen] + pack * count + costs[use] * pieces
    held = (pieces <= count * size) & (count * size <= at.tier.high)
    return np.where(held, cost, INFINITY), count
