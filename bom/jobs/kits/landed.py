"""Knows what parts cost in the plan that would buy a whole batch: shipping, fees and tax that is not got back shared
out over each order by value, surplus paid for by what is bought."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import ROUND_CEILING, Decimal
from typing import TYPE_CHECKING

from bom.kits.cost import UnitCost, gross
from bom.kits.kit import Kit
from bom.shop.needs import needed
from bom.shop.plan import plan_needs
from bom.shop.settings import settings_of
from bom.shop.sourcing import Sourcing
from bom.values.money import Money

if TYPE_CHECKING:
    from bom.buying.from_offers import Need
    from bom.buying.order_lines import OrderLine


def batch_plan(bench: Sourcing, kit: Kit) -> tuple[dict[str, int], dict[str, UnitCost]]:
    """(part to how much of it the plan buys, part to its unit cost); nothing where the currencies do not match."""
    needs = batch_needs(bench, kit)
    if settings_of(bench.session).counts_in != kit.currency or not needs:
        return {}, {}
    _, more = plan_needs(bench.session, needs, None, 20.0)
    bought: dict[str, int] = {}
    for line in more.lines:
        bought[line.part_number] = bought.get(line.part_number, 0) + line.quantity
    return bought, landed_units(bench, more.lines)


def batch_needs(bench: Sourcing, kit: Kit) -> list[Need]:
    """What the batch takes of what is offered, attrition added and rounded up once, by the parts that may serve."""
    from bom.buying.from_offers import Need

    sums: dict[frozenset[str], tuple[tuple[str, ...], Decimal]] = {}
    for one in needed(kit, bench):
        parts, before = sums.get(frozenset(one.parts), (one.parts, Decimal(0)))
        sums[frozenset(one.parts)] = (parts, before + gross(one.quantity * kit.batch, kit.attrition_pct))
    whole = [(parts, int(q.to_integral_value(ROUND_CEILING))) for parts, q in sums.values()]
    return [Need(parts[0], q, parts) for parts, q in whole if any(part in bench.offered for part in parts)]


def landed_units(bench: Sourcing, lines: Iterable[OrderLine]) -> dict[str, UnitCost]:
    """Each part's landed cost per unit bought, over all orders that bring it; in the plan's currency."""
    sums: dict[str, tuple[Decimal, int]] = {}
    said: dict[str, list[str]] = {}
    for line in lines:
        cost, bought = sums.get(line.part_number, (Decimal(0), 0))
        each = line.landed_each.amount if line.landed_each else Decimal(0)
        sums[line.part_number] = (cost + each * line.quantity, bought + line.quantity)
        said.setdefault(line.part_number, []).append(f"{line.quantity} {line.supplier}")
    base = settings_of(bench.session).counts_in
    return {
        part: UnitCost(Money.of(cost / bought, base), bench.unit(part), f"landed: {', '.join(said[part])}")
        for part, (cost, bought) in sums.items()
    }
