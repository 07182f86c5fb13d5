"""Which parts go into which bag when kits are made up: as few bags as can be hold two kinds of what serves one
purpose.

Lines that the same parts may serve (two positions for one relay, say) belong together. A bag that holds only one part
for them is plain, one that holds several is mixed: right for the board, but puzzling for who opens it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from bom.kits.possible import GRAIN, KitNeed, Missing, WantedKit, picks
from bom.solver.program import Program
from bom.solver.statement import INFINITY, Solution

Filling = tuple[tuple[str, Decimal], ...]


@dataclass(frozen=True, slots=True)
class Bag:
    """``count`` bags alike. ``fillings`` has one entry for each line of the kit: its (part, quantity in one bag)."""

    count: int
    fillings: tuple[Filling, ...]


@dataclass(frozen=True, slots=True)
class _Group:
    """Lines (by their place in the kit) that the same parts may serve, best part first, and what each line takes."""

    lines: dict[int, Decimal]
    allowed: tuple[str, ...]

    @property
    def need(self) -> Decimal:
        return sum(self.lines.values(), Decimal(0))


def bags(stock: Mapping[str, Decimal | int], kit: WantedKit, count: int) -> tuple[tuple[Bag, ...], tuple[Missing, ...]]:
    """What goes into each of ``count`` bags, and what lacks for them; where anything lacks there are no bags.

    Better ranked parts go first, but never at the price of one more mixed bag.
    """
    missing = picks(stock, [kit], {kit.name: count})[1]
    if missing:
        return (), missing
    groups = _groups(kit.lines)
    shared = list(_shared(stock, groups, count))
    each = [_bag(groups, [share[n] for share in shared], len(kit.lines)) for n in range(count)]
    return tuple(Bag(each.count(bag), bag) for bag in dict.fromkeys(each)), ()


def _groups(lines: Sequence[KitNeed]) -> list[_Group]:
    found: dict[frozenset[str], _Group] = {}
    for n, line in enumerate(lines):
        group = found.setdefault(frozenset(line.allowed), _Group({}, tuple(dict.fromkeys(line.allowed))))
        group.lines[n] = line.need
    return list(found.values())


def _shared(
    stock: Mapping[str, Decimal | int], groups: Sequence[_Group], count: int
) -> Iterator[list[list[tuple[str, Decimal]]]]:
    """For each group, what each bag gets: plain bags of the best part first, mixed ones last."""
    program, shares = Program(), _Shares(stock, count)
    weight = count * float(sum(g.need for g in groups))  # above what all preferences together can cost
    columns = [shares.into(program, group, weight) for group in groups]
    shares.limit(program)
    best = program.minimise()
    for group, column in zip(groups, columns, strict=True):
        yield column.shares(best, group)


@dataclass(frozen=True, slots=True)
class _Column:
    """A group's variables: bags that hold one part only, mixed bags, and how much of a part goes into those."""

    plain: dict[str, int]
    mixed: int
    loose: dict[str, int]

    def shares(self, best: Solution, group: _Group) -> list[list[tuple[str, Decimal]]]:
        plain = [[(part, group.need)] for part, v in self.plain.items() for _ in range(best.whole(v))]
        pool = [(part, _exact(best.values[v])) for part, v in self.loose.items()]
        pool = [(part, quantity) for part, quantity in pool if quantity]
        return plain + [_take(pool, group.need) for _ in range(best.whole(self.mixed))]


class _Shares:
    """The variables of all groups, and the stock that limits them."""

    def __init__(self, stock: Mapping[str, Decimal | int], count: int) -> None:
        self.stock = {part: max(float(q), 0.0) for part, q in stock.items()}
        self.count = count
        self.takers: dict[str, dict[int, float]] = {}

    def into(self, program: Program, group: _Group, weight: float) -> _Column:
        need = float(group.need)
        column = _Column({}, program.variable(0, self.count, integer=True, cost=weight), {})
        for rank, part in enumerate(p for p in group.allowed if self.stock.get(p)):
            dearer = rank / len(group.allowed)
            column.plain[part] = program.variable(0, self.count, integer=True, cost=dearer * need)
            column.loose[part] = program.variable(0, self.stock[part], cost=dearer)
            self.takers.setdefault(part, {}).update({column.plain[part]: need, column.loose[part]: 1.0})
        bags = dict.fromkeys(column.plain.values(), 1.0)
        program.row(self.count, self.count, {**bags, column.mixed: 1.0})
        program.row(0, INFINITY, {**dict.fromkeys(column.loose.values(), 1.0), column.mixed: -need})
        return column

    def limit(self, program: Program) -> None:
        for part, terms in self.takers.items():
            program.row(-INFINITY, self.stock[part], terms)


def _exact(value: float) -> Decimal:
    return Decimal(repr(value)).quantize(GRAIN).normalize()


def _take(pool: list[tuple[str, Decimal]], need: Decimal) -> list[tuple[str, Decimal]]:
    """So much from the front of the pool, which gets that much shorter."""
    taken: list[tuple[str, Decimal]] = []
    while need > 0 and pool:
        part, there = pool.pop(0)
        taken.append((part, min(there, need)))
        need -= taken[-1][1]
        if there > taken[-1][1]:
            pool.insert(0, (part, there - taken[-1][1]))
    return taken


def _bag(groups: Sequence[_Group], shares: Sequence[list[tuple[str, Decimal]]], lines: int) -> tuple[Filling, ...]:
    """One bag, line by line, from what each group has for it."""
    fillings: list[Filling] = [()] * lines
    for group, share in zip(groups, shares, strict=True):
        pool = list(share)
        for n, need in group.lines.items():
            fillings[n] = tuple(_take(pool, need))
    return tuple(fillings)
