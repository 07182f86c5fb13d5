"""How to find a good order fast: open and close suppliers, then move needs one by one, while it gets cheaper.

It proves nothing; it gives the solver an order to start from and to measure against. Works in floats.
Source: the add and drop heuristics of plant location (Kuehn and Hamburger 1963; Feldman, Lehrer and Ray 1966),
from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from time import monotonic

from bom.buying.order import faults
from bom.buying.plan_problem import PlanNeed, PlanOffer, PlanProblem, PlanSupplier, by_part_number, fills

INFINITE = float("inf")
A_HAIR = 1e-9  # far below a cent; no test can tell one hair from another
# What an open piece costs: more than any order, so that covering comes before saving; no test can tell how much more.
OPEN_PIECE = 1e9
# How many of a need's cheapest offers are tried in pairs. Own choice: it buys time, and no test can tell 6 from 7.
LOOKED_AT = 6
SECONDS = 5.0  # how long to look is the caller's wish: no test can tell five seconds from a little more


def first_order(problem: PlanProblem, *, seconds: float = SECONDS) -> dict[str, int] | None:
    """Offer to pieces, without faults and covering every need; None where none was found, though there may be one."""
    search = _Search(problem, monotonic() + seconds)
    search.choose_suppliers()
    search.move_needs()
    order = search.order()
    return None if search.is_open or faults(problem, order) else order


def better_order(
    problem: PlanProblem, cover: Mapping[tuple[str, str], int], *, seconds: float = SECONDS
) -> dict[str, int] | None:
    """From (offer, need) to pieces, faulty or not, an order bettered need by need; None where it stays faulty."""
    search = _Search(problem, monotonic() + seconds)
    search.take(cover)
    search.move_needs()
    found = search.order()
    return None if search.is_open or faults(problem, found) else found


_Share = tuple[tuple[str, int], ...]  # offers and pieces that together cover one need


class _Search:
    """The order as it stands: for each need the offers that cover it, and what that comes to."""

    def __init__(self, problem: PlanProblem, until: float) -> None:
        self.problem, self.until = problem, until
        suppliers = {s.id: s for s in problem.suppliers}
        self.terms = {s.id: SupplierTerms(s) for s in problem.suppliers}
        self.counted = {s.id for s in problem.suppliers if s.is_counted}
        self.prices = {o.id: priced(o, suppliers[o.supplier]) for o in problem.offers}
        self.needs = [n for n in problem.needs if n.demand]
        self.ways = _ways(self.needs, self.prices)
        self.needs.sort(key=lambda n: len(self.ways[n.id]))  # who has least choice chooses first
        self.clear()

    def clear(self) -> None:
        self.shares: dict[str, _Share] = {}
        self.taken = dict.fromkeys(self.prices, 0)
        self.goods = dict.fromkeys(self.terms, 0.0)
        self.cost = 0.0  # orders are only compared with each other: no test can tell where they begin

    def take(self, cover: Mapping[tuple[str, str], int]) -> None:
        """Stand as this does, as far as stock goes; what it leaves open stays open until it is moved."""
        covered: dict[str, list[tuple[str, int]]] = {need.id: [] for need in self.needs}
        for (offer, name), pieces in cover.items():
            covered[name].append((offer, pieces))
        for need in self.needs:
            self._put(need, tuple(self._there(covered[need.id])))

    def _there(self, share: Iterable[tuple[str, int]]) -> Iterator[tuple[str, int]]:
        for offer, pieces in share:
            if room := int(min(pieces, self.prices[offer].most - self.taken[offer])):
                yield offer, room

    @property
    def is_open(self) -> bool:
        return self.cost >= OPEN_PIECE

    def choose_suppliers(self) -> None:
        """Close or open the supplier that saves most, until none does; too many are closed at any price."""
        opened = set(self.terms)
        best = self._total(opened)
        while monotonic() < self.until:
            trials = [opened ^ {name} for name in self.terms]
            many = self._too_many(opened)
            allowed = [t for t in trials if len(t) < len(opened) or not (many or self._too_many(t))]
            cost, trial = min(((self._total(t), n) for n, t in enumerate(allowed) if t), default=(INFINITE, 0))
            if cost >= best - A_HAIR and not many:
                break
            best, opened = cost, allowed[trial]
        self._fill(opened)

    def move_needs(self) -> None:
        """Cover one need from another supplier wherever that is cheaper, fees and thresholds counted."""
        while monotonic() < self.until:
            moved = [self._move(need) for need in self.needs if monotonic() < self.until]
            if not any(moved):
                break

    def order(self) -> dict[str, int]:
        """Whole quantities, filled up where a minimum order or free shipping is worth it."""
        order = {name: self.prices[name].of(pieces)[0] for name, pieces in self.taken.items() if pieces}
        goods = dict.fromkeys(self.terms, 0.0)
        for name, quantity in order.items():
            goods[self.prices[name].offer.supplier] += self.prices[name].goods(quantity)
        for name, listed in goods.items():
            if listed and (threshold := self.terms[name].worth_reaching(listed)):
                self._fill_up(order, name, threshold)
        return order

    def _too_many(self, opened: Iterable[str]) -> bool:
        most = self.problem.max_suppliers
        return most is not None and len(self.counted & set(opened)) > most

    def _total(self, opened: set[str]) -> float:
        self._fill(opened)
        return self.cost

    def _fill(self, opened: set[str]) -> None:
        """Every need from the open suppliers, each as cheaply as its own goods can be had."""
        self.clear()
        for need in self.needs:
            self._put(need, self._cheapest(need, opened))

    def _cheapest(self, need: PlanNeed, opened: set[str]) -> _Share:
        for _, price in self.ways[need.id]:
            name = price.offer.id
            if price.offer.supplier in opened and self.taken[name] + need.demand <= price.most:
                return ((name, need.demand),)
        return self._split(need, opened)

    def _split(self, need: PlanNeed, opened: set[str]) -> _Share:
        """From several offers, cheapest first, where no single one has enough."""
        share, left = [], need.demand
        for _, price in self.ways[need.id]:
            room = min(left, price.most - self.taken[price.offer.id])
            if price.offer.supplier in opened and room > 0:
                share.append((price.offer.id, int(room)))
                left -= int(room)
        return tuple(share)

    def _put(self, need: PlanNeed, share: _Share) -> None:
        self.cost += self._change(share, 1) + OPEN_PIECE * (need.demand - sum(q for _, q in share))
        self.shares[need.id] = share

    def _take_back(self, need: PlanNeed) -> _Share:
        share = self.shares.pop(need.id)
        self.cost += self._change(share, -1) - OPEN_PIECE * (need.demand - sum(q for _, q in share))
        return share

    def _change(self, share: _Share, sign: int) -> float:
        """What taking (or giving back) these pieces changes in cost; the books are kept."""
        change = 0.0
        for name, pieces in share:
            price, before = self.prices[name], self.taken[name]
            _, old_goods, old_cost = price.of(before)
            _, new_goods, new_cost = price.of(before + sign * pieces)
            supplier = price.offer.supplier
            terms, goods = self.terms[supplier], self.goods[supplier]
            listed = goods + new_goods - old_goods
            change += new_cost - old_cost + terms.cost(listed) - terms.cost(goods)
            self.goods[supplier], self.taken[name] = listed, before + sign * pieces
        return change

    def _move(self, need: PlanNeed) -> bool:
        """Whether the need found a cheaper place."""
        before, start = self.cost, self.shares[need.id]
        self._take_back(need)
        hair = A_HAIR * max(1.0, abs(before))  # floats grow coarser; no test can tell one hair from another
        best, where = before - hair, start
        opened = {s for s, goods in self.goods.items() if goods > A_HAIR}
        most = self.problem.max_suppliers
        closed = self.counted - opened if most is not None and len(self.counted & opened) >= most else set[str]()
        places = [p for _, p in self.ways[need.id] if p.offer.supplier not in closed]
        for share in self._shares(need.demand, places):
            self._put(need, share)
            if self.cost < best:
                best, where = self.cost, share
            self._take_back(need)
        self._put(need, where)
        return where is not start

    def _shares(self, demand: int, places: Sequence[Priced]) -> Iterator[_Share]:
        """Ways to cover a demand: whole from one offer, or what whole packs of one give and the rest from another."""
        for first in places:
            room = first.most - self.taken[first.offer.id]
            if room >= demand:
                yield ((first.offer.id, demand),)
        for first in places[:LOOKED_AT]:
            room = first.most - self.taken[first.offer.id]
            part = int(min(demand - 1, room)) // first.offer.multiple * first.offer.multiple
            for second in places[:LOOKED_AT] if part else ():
                if second is not first and second.most - self.taken[second.offer.id] >= demand - part:
                    yield ((first.offer.id, part), (second.offer.id, demand - part))

    def _fill_up(self, order: dict[str, int], supplier: str, threshold: float) -> None:
        """Add pieces of what is ordered anyway until the threshold is reached: finest packs first to waste least."""
        mine = [self.prices[name] for name in order if self.prices[name].offer.supplier == supplier]
        for price in sorted(mine, key=lambda p: p.steps[-1][2] * p.offer.multiple):
            name, size = price.offer.id, price.offer.multiple
            lacking = threshold - sum(p.goods(order[p.offer.id]) for p in mine)
            unit = price.steps[-1][2] * size
            while lacking > 0 and unit > 0 and order[name] + size <= price.most:
                packs = max(1, int(min(lacking / unit, (price.most - order[name]) / size)))
                order[name] += packs * size
                lacking = threshold - sum(p.goods(order[p.offer.id]) for p in mine)


def _ways(needs: Iterable[PlanNeed], prices: Mapping[str, Priced]) -> dict[str, list[tuple[float, Priced]]]:
    """For each need the offers that may cover it, by what covering all of it (or as much as there is) costs a piece."""
    ways: dict[str, list[tuple[float, Priced]]] = {n.id: [] for n in needs}
    numbers = by_part_number(needs)
    for price in prices.values():
        for need in numbers.get(price.offer.part_number, ()):
            most = int(min(need.demand, price.most))
            if most and fills(price.offer, need) and (cost := price.of(most)[2]) < INFINITE:
                ways[need.id].append((cost / most, price))
    for found in ways.values():
        found.sort(key=lambda way: way[0])
    return ways


@dataclass(slots=True)
class Priced:
    """An offer's price steps as floats, (from, listed fixed part, listed unit price); what one listed unit costs."""

    offer: PlanOffer
    steps: tuple[tuple[int, float, float], ...]
    factor: float
    surplus: float
    most: float
    known: dict[int, tuple[int, float, float]]

    def of(self, pieces: int) -> tuple[int, float, float]:
        """(pieces to order, listed goods, cost less surplus) so that this many can be used; buys up where cheaper."""
        if pieces not in self.known:
            self.known[pieces] = self._best(pieces)
        return self.known[pieces]

    def goods(self, ordered: int) -> float:
        """Listed goods of an ordered quantity."""
        fixed, unit = next((f, u) for start, f, u in reversed(self.steps) if start <= ordered)
        return fixed + unit * ordered

    def _best(self, pieces: int) -> tuple[int, float, float]:
        if not pieces:
            return 0, 0.0, 0.0
        starts = [pieces, *(start for start, _, _ in self.steps if start > pieces)]
        ordered = [q for start in starts if (q := self.offer.rounded_up(start)) <= self.most]
        rows = ((q, goods := self.goods(q), goods * self.factor - self.surplus * (q - pieces)) for q in ordered)
        return min(rows, key=lambda row: row[2], default=(0, 0.0, INFINITE))


def priced(offer: PlanOffer, supplier: PlanSupplier) -> Priced:
    """The offer's prices as this supplier's order pays for them."""
    steps = [(start if k else 1, float(offer.offset(k)), float(unit)) for k, (start, unit) in enumerate(offer.breaks)]
    factor, most = float(supplier.goods_factor), INFINITE if offer.most is None else offer.most
    return Priced(offer, tuple(steps), factor, float(offer.surplus_value), most, {})


class SupplierTerms:
    """What a supplier's order costs besides goods: fees, and goods of no use that reach a threshold."""

    def __init__(self, supplier: PlanSupplier) -> None:
        self.factor = float(supplier.goods_factor)
        self.fee = float(supplier.shipping_fee * supplier.shipping_factor)
        self.fixed = float(supplier.import_fee * supplier.fx_to_base + supplier.reluctance)
        self.free_from = INFINITE if supplier.free_shipping_from is None else float(supplier.free_shipping_from)
        self.minimum = float(supplier.min_order_value)

    def cost(self, goods: float) -> float:
        """Beyond the goods, for this much of them as listed; nothing where nothing is ordered."""
        if goods <= A_HAIR:
            return 0.0
        extra, lacking = self.fixed, self.minimum - goods
        if lacking > 0.0:
            extra, goods = extra + lacking * self.factor, self.minimum
        short = (self.free_from - goods) * self.factor
        if short > 0.0:
            extra += short if short < self.fee else self.fee
        return extra

    def worth_reaching(self, goods: float) -> float:
        """The threshold that is to be filled up to; 0 where none is."""
        filled = max(goods, self.minimum)
        if filled < self.free_from and (self.free_from - filled) * self.factor < self.fee:
            return self.free_from
        return self.minimum if goods < self.minimum else 0.0
