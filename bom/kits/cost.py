"""What a kit costs: every line for a whole batch and for one kit, through kits inside kits.

The same part on several lines is one order: its need is summed, attrition is added, and pieces are rounded
up once. Attrition s grosses a need up to need / (1 - s), so 100 pieces at 5 % are 106, not 105 (common
practice, no source). A line without a known cost makes the total unknown; it is never taken for nothing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal

from bom.kits.kit import Kit, Line
from bom.kits.price import labour, no_packing
from bom.values.money import Money, total
from bom.values.problem import Refused


@dataclass(frozen=True, slots=True)
class UnitCost:
    """What one ``unit`` (piece, g, mm, ml) of a part costs, and where that figure comes from."""

    each: Money
    unit: str = "piece"
    source: str = ""


UnitCosts = Callable[[str, Decimal], UnitCost | None]
Choose = Callable[[Kit, Line], str | None]
WhyNone = Callable[[Kit, Line], str]


@dataclass(frozen=True, slots=True)
class Asking:
    """Who is asked while costs are rolled up: the kits there are, which part to cost, and why there is none."""

    kits: Mapping[str, Kit]
    choose: Choose
    why_none: WhyNone


@dataclass(frozen=True, slots=True)
class LineCost:
    """One line for the whole batch. ``needed`` goes into the kits; ``bought`` is with attrition, this line's
    share of the order. ``why`` says where the cost is from; where ``cost`` is None = unknown, what is missing.
    ``inside`` holds the lines of a kit line."""

    line: str
    part_number: str
    needed: Decimal
    bought: Decimal
    unit: str
    each: Money | None
    cost: Money | None
    why: str = ""
    inside: tuple[LineCost, ...] = ()


@dataclass(frozen=True, slots=True)
class KitCost:
    """A kit's cost for a batch; money is for the batch unless its name says ``per_kit``. Postage is no part
    of it."""

    name: str
    currency: str
    batch: int
    lines: tuple[LineCost, ...]
    packing: Money
    labour: Money
    minutes: Decimal

    @property
    def materials(self) -> Money | None:
        """All lines, without packing and labour; None where a line is unknown."""
        return _sum([line.cost for line in self.lines], self.currency)

    @property
    def total(self) -> Money | None:
        """Lines, packing and labour; None where a line is unknown."""
        return _sum([self.materials, self.packing, self.labour], self.currency)

    @property
    def materials_per_kit(self) -> Money | None:
        """One kit's lines, to a millionth: the cost that the price is worked out from."""
        return self._share(self.materials)

    @property
    def total_per_kit(self) -> Money | None:
        return self._share(self.total)

    @property
    def unknown(self) -> tuple[LineCost, ...]:
        """The lines, at any depth, whose cost nobody knows."""
        return tuple(leaf for leaf in leaves(self.lines) if leaf.cost is None)

    def _share(self, whole: Money | None) -> Money | None:
        return None if whole is None else Money.of(whole.amount / self.batch, self.currency)


def cost(
    kit: Kit,
    *,
    unit_costs: UnitCosts,
    kits: Mapping[str, Kit],
    choose: Choose,
    why_none: WhyNone = lambda kit, line: "",
) -> KitCost:
    """The cost of ``kit.batch`` kits.

    ``unit_costs(part, quantity)`` is asked once per part, with the whole order's quantity; ``choose(kit, line)`` names
    the part for a position line, or None where there is none, and ``why_none`` says why. Refused: a cycle of kits
    (named), a kit that is not known, an attrition of 100 % or more, a cost in another currency or another unit.
    """
    if kit.batch < 1:
        raise Refused(f"expected a batch of at least one of kit {kit.name!r}, found {kit.batch}")
    needs = _needs(kit, Decimal(kit.batch), Asking(kits, choose, why_none), ())
    prices = {o.part: _price(o, kit, unit_costs) for o in _orders(needs)}
    shares = _Shares(prices, kit.currency)
    packing = kit.packing or no_packing(kit.currency)
    return KitCost(
        kit.name,
        kit.currency,
        kit.batch,
        tuple(shares.line(need) for need in needs),
        _in(kit, packing.cost).times(kit.batch),
        _in(kit, labour(packing)).times(kit.batch),
        packing.minutes * kit.batch,
    )


def leaves(lines: Iterable[LineCost]) -> Iterator[LineCost]:
    """The lines at the ends of the tree, in order: kits inside are opened."""
    for line in lines:
        if line.inside:
            yield from leaves(line.inside)
        else:
            yield line


def bought_as_one(lines: Iterable[LineCost]) -> list[LineCost]:
    """The lines in order, those that take the same part for a known cost added up: they are bought together."""
    found: dict[tuple[str, str] | int, LineCost] = {}
    for n, line in enumerate(lines):
        key = (line.part_number, line.unit) if line.part_number and line.cost is not None else n
        found[key] = _added(found[key], line) if key in found else line
    return list(found.values())


def _added(one: LineCost, other: LineCost) -> LineCost:
    return replace(
        one,
        line=one.line if one.line == other.line else f"{one.line}, {other.line}",
        needed=one.needed + other.needed,
        bought=one.bought + other.bought,
        cost=None if one.cost is None or other.cost is None else one.cost + other.cost,
    )


def gross(need: Decimal, attrition_pct: Decimal) -> Decimal:
    """The need with attrition, before rounding: need / (1 - s).

    >>> round(gross(Decimal(100), Decimal(2)), 1)
    Decimal('102.0')
    """
    if not 0 <= attrition_pct < 100:
        raise Refused(f"expected an attrition from 0 to below 100 %, found {attrition_pct}")
    return need / (1 - attrition_pct / 100)


def order_quantity(grossed: Decimal, unit: str) -> Decimal:
    """What to order: whole pieces, rounded up once per order; masses and lengths as they are.

    >>> order_quantity(Decimal("102.04"), "piece"), order_quantity(Decimal("102.04"), "g")
    (Decimal('103'), Decimal('102.04'))
    """
    return grossed.to_integral_value(ROUND_CEILING) if unit == "piece" else grossed


@dataclass(frozen=True, slots=True)
class _Need:
    """A line's need for the whole batch; a kit line has needs inside, packing has its money already."""

    what: str
    part: str
    needed: Decimal
    gross: Decimal
    unit: str
    inside: tuple[_Need, ...] = ()
    money: Money | None = None
    why: str = ""


@dataclass(frozen=True, slots=True)
class _Order:
    part: str
    unit: str
    gross: Decimal


@dataclass(frozen=True, slots=True)
class _Priced:
    order: _Order
    unit_cost: UnitCost | None

    @property
    def bought(self) -> Decimal:
        return order_quantity(self.order.gross, self.order.unit)

    def bought_for(self, gross: Decimal) -> Decimal:
        """The share of the order that so much of its need has; nothing where nothing is wanted."""
        return self.bought * gross / self.order.gross if self.order.gross else Decimal(0)


def _needs(kit: Kit, batch: Decimal, asking: Asking, above: tuple[str, ...]) -> tuple[_Need, ...]:
    if kit.name in above:
        cycle = " > ".join([*above[above.index(kit.name) :], kit.name])
        raise Refused(f"a kit cannot hold itself: {cycle}")
    path = (*above, kit.name)
    return tuple(
        _kit_need(kit, line, batch, asking, path) if line.kit else _part_need(kit, line, batch, asking)
        for line in kit.lines
    )


def _part_need(kit: Kit, line: Line, batch: Decimal, asking: Asking) -> _Need:
    needed = line.quantity * batch
    part = line.part or asking.choose(kit, line) or ""
    why = "" if part else f"no part serves position {line.position} of {kit.board}"
    if not part and (more := asking.why_none(kit, line)):
        why = f"{why}: {more}"
    what = line.position or line.part
    return _Need(what, part, needed, gross(needed, kit.attrition_pct), line.unit, why=why)


def _kit_need(kit: Kit, line: Line, batch: Decimal, asking: Asking, path: tuple[str, ...]) -> _Need:
    """A kit inside a kit. Its own attrition goes for its lines; the outer kit's isn't laid on top of it."""
    if line.kit not in asking.kits:
        raise Refused(f"kit {kit.name!r} holds kit {line.kit!r}, which is not known")
    if line.unit != "piece":
        raise Refused(f"expected kit {line.kit!r} in kit {kit.name!r} by the piece, found {line.unit}")
    inner, needed = asking.kits[line.kit], line.quantity * batch
    if inner.currency != kit.currency:
        raise Refused(f"kit {inner.name!r} is in {inner.currency} and kit {kit.name!r} in {kit.currency}")
    inside = (*_needs(inner, needed, asking, path), *_make_up(inner, needed))
    return _Need(line.kit, "", needed, needed, "piece", inside)


def _make_up(kit: Kit, number: Decimal) -> Iterator[_Need]:
    """Packing and labour of a kit inside another; it is not posted on its own."""
    if kit.packing is None:
        return
    for what, each in (("packing", kit.packing.cost), ("labour", labour(kit.packing))):
        if each:
            yield _Need(what, "", number, number, "piece", money=_in(kit, each).times(number))


def _orders(needs: tuple[_Need, ...]) -> list[_Order]:
    """One order per part, from all lines that want it."""
    sums: dict[str, _Order] = {}
    for need in _parts_of(needs):
        order = sums.get(need.part, _Order(need.part, need.unit, Decimal(0)))
        if order.unit != need.unit:
            raise Refused(f"part {need.part} is wanted both by {order.unit} and by {need.unit}")
        sums[need.part] = _Order(order.part, order.unit, order.gross + need.gross)
    return list(sums.values())


def _parts_of(needs: Iterable[_Need]) -> Iterator[_Need]:
    for need in needs:
        yield from _parts_of(need.inside)
        if need.part:
            yield need


def _price(order: _Order, kit: Kit, unit_costs: UnitCosts) -> _Priced:
    unit_cost = unit_costs(order.part, order_quantity(order.gross, order.unit))
    if unit_cost is None:
        return _Priced(order, None)
    if unit_cost.unit != order.unit:
        raise Refused(f"part {order.part} is wanted by {order.unit} and its cost is per {unit_cost.unit}")
    if unit_cost.each.currency != kit.currency:
        found = unit_cost.each.currency
        raise Refused(f"part {order.part} costs {found} and kit {kit.name!r} is in {kit.currency}")
    return _Priced(order, unit_cost)


class _Shares:
    """Deals each order's cost out to the lines that want the part, so that the lines sum to the order
    exactly.

    Each line takes the rounded running total less what earlier lines took.
    """

    def __init__(self, prices: Mapping[str, _Priced], currency: str) -> None:
        self._prices, self._currency = prices, currency
        self._dealt: dict[str, Decimal] = defaultdict(Decimal)

    def line(self, need: _Need) -> LineCost:
        if need.inside:
            return self._kit_line(need)
        if not need.part:
            return LineCost(need.what, "", need.needed, need.gross, need.unit, None, need.money, need.why)
        return self._part_line(need, self._prices[need.part])

    def _kit_line(self, need: _Need) -> LineCost:
        inside = tuple(self.line(n) for n in need.inside)
        money = _sum([line.cost for line in inside], self._currency)
        why = "" if money is not None else "a line inside has no known cost"
        return LineCost(need.what, "", need.needed, need.gross, need.unit, None, money, why, inside)

    def _part_line(self, need: _Need, priced: _Priced) -> LineCost:
        bought = priced.bought_for(need.gross)
        if priced.unit_cost is None:
            why = f"no cost is known for {need.part}"
            return LineCost(need.what, need.part, need.needed, bought, need.unit, None, None, why)
        each, source = priced.unit_cost.each, priced.unit_cost.source
        money = self._deal(need, priced, each)
        return LineCost(need.what, need.part, need.needed, bought, need.unit, each, money, source)

    def _deal(self, need: _Need, priced: _Priced, each: Money) -> Money:
        before = self._dealt[need.part]
        self._dealt[need.part] = before + need.gross
        return each.times(priced.bought_for(before + need.gross)) - each.times(priced.bought_for(before))


def _sum(amounts: list[Money | None], currency: str) -> Money | None:
    known = [a for a in amounts if a is not None]
    return total(known, currency) if len(known) == len(amounts) else None


def _in(kit: Kit, money: Money) -> Money:
    if money.currency != kit.currency:
        raise Refused(f"kit {kit.name!r} is in {kit.currency} and its packing in {money.currency}")
    return money
