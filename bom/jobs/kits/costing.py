"""Kits costed by the basis wanted, priced, and what changed since they were last costed.

By landed cost a part costs what it does in the plan that would buy the whole batch: shipping, fees and tax that is not
got back shared out over each order by value, surplus paid for by what is bought.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from decimal import ROUND_CEILING, Decimal
from typing import TYPE_CHECKING

from bom.answers.kits import CostChanged, CostedKit, LineChanged, SoldAt
from bom.buying.from_offers import Need
from bom.intake.rows import number_in
from bom.kits.cost import KitCost, LineCost, UnitCost, cost, gross, leaves
from bom.kits.kit import BASES, Kit
from bom.kits.possible import how_many
from bom.kits.price import Sale, markup_of_margin, price_for, profit
from bom.shop.care import as_picked_now, bag_cautions, fitted, provisos_of
from bom.shop.kit_needs import needed, ways
from bom.shop.names import few_enough, kit_named
from bom.shop.plan import plan_needs
from bom.shop.settings import settings_of
from bom.shop.shop import Shop
from bom.shop.sourcing import Sourcing
from bom.store.boards_and_kits import KeptCost, keep_cost, last_cost
from bom.values.money import Money
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.buying.order_lines import OrderLine
    from bom.store.unit_of_work import Session


@dataclass(frozen=True, slots=True)
class Asked:
    """How kits are to be costed: everything None or empty = as their files say. ``keep`` remembers the figures."""

    name: str = ""
    board: str = ""
    batch: int | None = None
    basis: str = ""
    price: Decimal | None = None
    margin_pct: Decimal | None = None
    keep: bool = False


def amount_typed(text: str, what: str) -> Decimal | None:
    """A number from 0 up, typed with a decimal point; None where nothing was typed."""
    if not text:
        return None
    amount = number_in(text.strip())
    if amount is None or not 0 <= amount < 10**9:
        raise Refused(f"expected {what} as a number with a decimal point, such as 14.90, found {text!r}")
    return amount


def cost_kits(session: Session, name: str, batch: int | None) -> list[CostedKit]:
    """One kit's cost, or every kit's that is sold on its own, with its price and how many can be made up now."""
    return cost_asked(session, Asked(name, batch=batch))


def cost_asked(session: Session, asked: Asked) -> list[CostedKit]:
    """What one kit, a board's kits or all cost, by any basis, at another price or for another margin."""
    return costs(Shop(session), asked)


def costs(shop: Shop, asked: Asked) -> list[CostedKit]:
    """What the kits that were asked for cost, in a shop that a job has read of already."""
    if asked.batch is not None and asked.batch < 1:
        raise Refused(f"expected a batch of at least one kit, found {asked.batch}")
    few_enough(asked.batch or 1)
    if asked.basis and asked.basis not in BASES:
        raise Refused(f"expected a basis of {', '.join(BASES)}, found {asked.basis!r}")
    if asked.price is not None and asked.margin_pct is not None:
        raise Refused("expected a price or a margin, found both")
    sourcing = Sourcing(shop)
    chosen = [_as_asked(kit, asked) for kit in _chosen(sourcing, asked)]
    sourcing.expect(chosen)
    return [_costed(kit, sourcing, asked.keep) for kit in chosen]


def _chosen(sourcing: Sourcing, asked: Asked) -> list[Kit]:
    if asked.name:
        return [kit_named(sourcing.shop, asked.name)]
    sold = [k for k in sourcing.kits.values() if k.market]
    chosen = [k for k in sold if asked.board.casefold() in ("", k.board.casefold())]
    if not sold:
        raise Refused(
            "no kit has a price yet: state [market] in its file, then bom kit add FILE"
            if sourcing.kits
            else "no kit yet: bom kit add FILE"
        )
    if not chosen:
        raise Refused(
            f"no kit for board {asked.board}; there are kits for {', '.join(sorted({k.board for k in sold}))}"
        )
    return chosen


def _as_asked(kit: Kit, asked: Asked) -> Kit:
    market = kit.market
    if asked.price is not None or asked.margin_pct is not None:
        if market is None:
            raise Refused(f"kit {kit.name} states no market to sell it in")
        price = None if asked.price is None else Money.of(asked.price, kit.currency)
        market = replace(market, price=price, margin_pct=asked.margin_pct)
    batch = kit.batch if asked.batch is None else asked.batch
    return replace(kit, batch=batch, cost_by=asked.basis or kit.cost_by, market=market)


def _costed(kit: Kit, sourcing: Sourcing, keep: bool) -> CostedKit:
    sourcing.bought, landed = batch_plan(sourcing, kit) if kit.cost_by == "landed" else ({}, {})
    asked = sourcing.unit_cost(kit, landed)
    answer = cost(kit, unit_costs=asked, kits=sourcing.kits, choose=sourcing.choose, why_none=sourcing.why_none)
    sale, no_price = _sale(kit, answer)
    contents = tuple(as_picked_now(kit, sourcing))
    parts = fitted(sourcing, kit, contents)
    return CostedKit(
        kit=kit.name,
        board=kit.board,
        repair=kit.repair,
        batch=kit.batch,
        cost_by=kit.cost_by,
        attrition_pct=kit.attrition_pct,
        lines=answer.lines,
        unknown=tuple(f"{line.line}: {line.why}" for line in answer.unknown),
        notes=(*(f"{line.part}: {line.how}" for line in kit.lines if line.how), *_rounded_up(kit, answer)),
        conditions=provisos_of(parts),
        cautions=bag_cautions(sourcing, parts, contents),
        per_kit=answer.total_per_kit,
        sale=sale,
        no_price=no_price,
        changed=_changed(sourcing.shop, kit, answer, keep),
        can_make_now=_can_make(kit, sourcing),
    )


ROUNDED_UP = Decimal("1.25")
"""Buying more than this times what goes into the kits is worth a word. Own choice."""


def _rounded_up(kit: Kit, answer: KitCost) -> list[str]:
    """Where whole pieces for attrition weigh heavily, as they do in a small batch."""
    sums: dict[str, tuple[Decimal, Decimal]] = {}
    for line in leaves(answer.lines):
        if line.part_number and line.unit == "piece":
            needed, bought = sums.get(line.part_number, (Decimal(0), Decimal(0)))
            sums[line.part_number] = (needed + line.needed, bought + line.bought)
    heavy = [part for part, (needed, bought) in sums.items() if bought > needed * ROUNDED_UP]
    if not heavy:
        return []
    return [f"attrition goes up to whole pieces, which weighs on a batch of {kit.batch}: {', '.join(heavy)}"]


def _sale(kit: Kit, answer: KitCost) -> tuple[SoldAt | None, str]:
    """(the price and what it leaves, why there is none): None where the cost is not known or it is not sold alone."""
    materials = answer.materials_per_kit
    if kit.market is None or materials is None:
        return None, ""
    sale: Sale
    try:
        if kit.market.price is not None:
            sale = profit(kit.market, kit.packing, materials)
        elif kit.market.margin_pct is not None:
            sale = price_for(kit.market, kit.packing, materials, kit.market.margin_pct)
        else:
            return None, ""
    except Refused as refused:
        return None, str(refused)
    return _sold_at(sale), ""


def _sold_at(sale: Sale) -> SoldAt:
    margin = sale.margin_pct
    markup = None if margin is None or margin >= 100 else markup_of_margin(margin)
    return SoldAt(
        price=sale.price,
        tax=sale.tax,
        fee=sale.fee,
        postage=sale.postage,
        packing=sale.packing,
        labour=sale.labour,
        cost=sale.cost,
        profit=sale.profit,
        margin_pct=None if margin is None else round(margin, 1),
        margin_on="price without tax",
        markup_pct=None if markup is None else round(markup, 1),
        markup_on="all its costs",
    )


def _changed(shop: Shop, kit: Kit, answer: KitCost, keep: bool) -> CostChanged | None:
    """What is dearer or cheaper per kit than in the figures that were last kept by this basis for this batch; None
    where none were or nothing changed. ``keep`` keeps these figures; nothing is written otherwise."""
    lines = tuple((line.line, line.part_number, _per_kit(line, kit.batch)) for line in leaves(answer.lines))
    now = KeptCost(datetime.now(UTC), kit.cost_by, kit.batch, answer.total_per_kit, lines)
    then = last_cost(shop.session, kit.name, kit.cost_by, kit.batch)
    same = then is not None and replace(then, when=now.when) == now
    if keep and not same:
        keep_cost(shop.session, kit.name, now)
    if then is None or same:
        return None
    return CostChanged(then.when.date(), _more(then.per_kit, now.per_kit), _changed_lines(then, now))


def _changed_lines(then: KeptCost, now: KeptCost) -> tuple[LineChanged, ...]:
    before = {what: (part, money) for what, part, money in then.lines}
    after = {what: (part, money) for what, part, money in now.lines}
    nothing: tuple[str, Money | None] = ("", None)
    changed = [
        (what, before.get(what, nothing), after.get(what, nothing))
        for what in dict.fromkeys([*before, *after])
        if before.get(what) != after.get(what)
    ]
    return tuple(LineChanged(what, was, now_is, _more(old, new)) for what, (was, old), (now_is, new) in changed)


def _per_kit(line: LineCost, batch: int) -> Money | None:
    return None if line.cost is None else Money.of(line.cost.amount / batch, line.cost.currency)


def _more(before: Money | None, now: Money | None) -> Money | None:
    known = before is not None and now is not None and before.currency == now.currency
    return now - before if known and before is not None and now is not None else None


def _can_make(kit: Kit, sourcing: Sourcing) -> int:
    """Kits that can be made up now from what is available, kits inside taken made up or opened."""
    kinds = ways(kit, sourcing)
    if not kinds[-1].lines:
        return 0
    wanted = [way.wanted(f"{n}") for n, way in enumerate(kinds)]
    return how_many(sourcing.stock, wanted)


def batch_plan(sourcing: Sourcing, kit: Kit) -> tuple[dict[str, int], dict[str, UnitCost]]:
    """(part to how much of it the plan buys, part to its unit cost); nothing where the currencies do not match."""
    needs = batch_needs(sourcing, kit)
    if settings_of(sourcing.shop.session).counts_in != kit.currency or not needs:
        return {}, {}
    _, more = plan_needs(sourcing.shop, needs, None, 20.0)
    bought: dict[str, int] = {}
    for line in more.lines:
        bought[line.part_number] = bought.get(line.part_number, 0) + line.quantity
    return bought, landed_units(sourcing, more.lines)


def batch_needs(sourcing: Sourcing, kit: Kit) -> list[Need]:
    """What the batch takes of what is offered, attrition added and rounded up once, by the parts that may serve."""
    sums: dict[frozenset[str], tuple[tuple[str, ...], Decimal]] = {}
    for one in needed(kit, sourcing):
        parts, before = sums.get(frozenset(one.parts), (one.parts, Decimal(0)))
        sums[frozenset(one.parts)] = (parts, before + gross(one.quantity * kit.batch, kit.attrition_pct))
    whole = [(parts, int(q.to_integral_value(ROUND_CEILING))) for parts, q in sums.values()]
    return [Need(parts[0], q, parts) for parts, q in whole if any(part in sourcing.offered for part in parts)]


def landed_units(sourcing: Sourcing, lines: Iterable[OrderLine]) -> dict[str, UnitCost]:
    """Each part's landed cost per unit bought, over all orders that bring it; in the plan's currency."""
    sums: dict[str, tuple[Decimal, int]] = {}
    said: dict[str, list[str]] = {}
    for line in lines:
        cost, bought = sums.get(line.part_number, (Decimal(0), 0))
        each = line.landed_each.amount if line.landed_each else Decimal(0)
        sums[line.part_number] = (cost + each * line.quantity, bought + line.quantity)
        said.setdefault(line.part_number, []).append(f"{line.quantity} {line.supplier}")
    base = settings_of(sourcing.shop.session).counts_in
    return {
        part: UnitCost(Money.of(cost / bought, base), sourcing.unit(part), f"landed: {', '.join(said[part])}")
        for part, (cost, bought) in sums.items()
    }
