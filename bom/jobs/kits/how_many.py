"""How many kits can be made up, alone and side by side; what lacks for more, and a plan to buy it; kits planned."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from decimal import ROUND_CEILING, Decimal
from typing import TYPE_CHECKING

from bom.answers.kits import KitCount, Lacking, PlannedKits, PossibleKits
from bom.buying.from_offers import Need
from bom.duty.cautions import by_gravity
from bom.jobs.kits.costing import Asked, costs
from bom.kits.kit import Kit, Proviso
from bom.kits.possible import JointPlan, WantedKit, how_many, possible
from bom.shop.care import as_picked_now, bag_cautions, fitted, provisos_of, with_care
from bom.shop.kit_needs import lacking_for, ways
from bom.shop.names import few_enough, kit_and_count, kit_named
from bom.shop.plan import plan_needs
from bom.shop.shop import Shop
from bom.shop.sourcing import Sourcing
from bom.store.boards_and_kits import plan_kits, planned_kits
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.answers.buying import ShopPlan
    from bom.store.unit_of_work import Session


@dataclass(frozen=True, slots=True)
class HowMany:
    """``wanted`` are KIT=N words; ``by_profit`` weighs kits by what selling one leaves, not alike; ``plan`` buys."""

    wanted: Sequence[str] = ()
    by_profit: bool = False
    plan: bool = False


def possible_kits(session: Session, asked: HowMany) -> PossibleKits:
    """How many of each kit, alone and side by side; what lacks for the kits wanted, and a plan to buy it if asked."""
    shop = Shop(session)
    sourcing = Sourcing(shop)
    sold = [k for k in sourcing.kits.values() if k.market]
    if not sold:
        raise Refused(
            "no kit has a price yet: state [market] in its file, then bom kit add FILE"
            if sourcing.kits
            else "no kit yet: bom kit add FILE"
        )
    counts = _counts(shop, asked.wanted)
    sourcing.expect(sold)
    values = _profits(shop) if asked.by_profit else {kit.name: Decimal(1) for kit in sold}
    wanted = {kit.name: _kinds(kit, sourcing, values.get(kit.name, Decimal(0))) for kit in sold}
    joint = possible(sourcing.stock, [one for kinds in wanted.values() for one in kinds])
    answer = PossibleKits(
        kits=tuple(_counted(sourcing, wanted, joint)),
        best_by="profit" if asked.by_profit else "number",
        value=joint.value,
        proven=joint.proven,
        cautions=by_gravity(text for kit in sold for text in _care(sourcing, kit)[1]),
    )
    return _with_wanted(answer, sourcing, counts, asked.plan) if counts else answer


def _counts(shop: Shop, words: Iterable[str]) -> dict[str, int]:
    """Kit to how many are wanted, from KIT=N words; a kit that is named twice is wanted as often."""
    counts: dict[str, int] = {}
    for name, count in (kit_and_count(shop, word) for word in words):
        counts[name] = few_enough(counts.get(name, 0) + count)
    return counts


def _kinds(kit: Kit, sourcing: Sourcing, value: Decimal) -> list[WantedKit]:
    """Every way to pack the kit as a question of its own; none where nothing goes into it."""
    kinds = ways(kit, sourcing)
    return [way.wanted(f"{n} {kit.name}", value) for n, way in enumerate(kinds)] if kinds[-1].lines else []


def _counted(sourcing: Sourcing, wanted: Mapping[str, list[WantedKit]], joint: JointPlan) -> Iterator[KitCount]:
    planned = planned_kits(sourcing.shop.session)
    for name, kinds in wanted.items():
        yield KitCount(
            kit=name,
            alone=_alone(sourcing, kinds, joint),
            together=sum(joint.kits[one.name] for one in kinds),
            planned=planned.get(name, 0),
            why="" if kinds else "it has no lines: nothing goes into it",
        )


def _alone(sourcing: Sourcing, kinds: Sequence[WantedKit], joint: JointPlan) -> int:
    """How many if it were the only kit made, over all ways to pack it."""
    if len(kinds) == 1:
        return joint.alone[kinds[0].name]
    return how_many(sourcing.stock, kinds)


def _with_wanted(answer: PossibleKits, sourcing: Sourcing, counts: Mapping[str, int], plan: bool) -> PossibleKits:
    """The answer with what lacks for so many of each kit."""
    for name in counts:
        if not sourcing.kits[name].lines:
            raise Refused(f"kit {name} has no lines: nothing goes into it")
    short = lacking_for(sourcing, counts)
    on_condition = tuple(
        dict.fromkeys(proviso for name in counts for proviso in _care(sourcing, sourcing.kits[name])[0])
    )
    bought = _plan(sourcing.shop, short, counts) if plan and short else None
    return replace(answer, wanted=counts, missing=short, conditions=on_condition, plan=bought)


def _care(sourcing: Sourcing, kit: Kit) -> tuple[tuple[Proviso, ...], tuple[str, ...]]:
    """(on what the parts of the kit serve, what can hurt)."""
    contents = tuple(as_picked_now(kit, sourcing))
    parts = fitted(sourcing, kit, contents)
    return provisos_of(parts), bag_cautions(sourcing, parts, contents)


def _plan(shop: Shop, short: Sequence[Lacking], counts: Mapping[str, int]) -> ShopPlan:
    """The plan that buys what is missing; each of its lines says on what the part serves in these kits."""
    whole = [(one.parts, int(one.quantity.to_integral_value(ROUND_CEILING))) for one in short]
    needs = [Need(parts[0], q, parts) for parts, q in whole if parts]
    answer, _ = plan_needs(shop, needs, None, 30.0)
    return with_care(shop, answer, (), [f"{name}={count}" for name, count in counts.items()])


def _profits(shop: Shop) -> dict[str, Decimal]:
    """Kit to what selling one leaves; a kit without a known price, or at a loss, is worth nothing."""
    sales = {kit.kit: kit.sale for kit in costs(shop, Asked())}
    return {name: max(sale.profit.amount, Decimal(0)) for name, sale in sales.items() if sale}


def plan_to_make(session: Session, name: str, count: int) -> PlannedKits:
    """Mean to make so many more of a kit (or fewer, below 0): what they take counts when parts are reordered."""
    shop = Shop(session)
    kit = kit_named(shop, name)
    few_enough(abs(count))
    return PlannedKits(kit.name, plan_kits(shop.session, kit.name, count, datetime.now(UTC)))
