"""What is not ordered of what was wanted, why, when it could be here at the earliest, and what drops in meanwhile."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING

from bom.answers.buying import PartShort
from bom.buying.order_lines import blocked, lacking_alone
from bom.shop.prices import offers_for
from bom.shop.serving import stand_ins_of

if TYPE_CHECKING:
    from bom.buying.from_offers import Need
    from bom.buying.plan_problem import PlanProblem
    from bom.buying.shortage import Open
    from bom.shop.shop import Shop


def parts_short(shop: Shop, needs: Sequence[Need], problem: PlanProblem, left: Sequence[Open]) -> tuple[PartShort, ...]:
    """A row for what is left open of each of the problem's needs, which stand in the order of ``needs``."""
    if not left:
        return ()
    stated = {planned.id: need for planned, need in zip(problem.needs, needs, strict=True)}
    alone = lacking_alone(problem)
    together = "; ".join(blocked(problem)) if any(one.need not in alone for one in left) else ""
    return tuple(
        part_short(shop, stated[one.need], one.not_to_be_had, alone.get(one.need, together))
        for one in left
        if one.not_to_be_had
    )


def part_short(shop: Shop, need: Need, short: int, why: str) -> PartShort:
    """The row for a need of which so many cannot be had."""
    accepts = need.accepts or (need.part,)
    earliest, promised = _earliest(shop, accepts)
    return PartShort(
        part_number=need.part,
        unit=shop.unit(need.part),
        wanted=need.quantity,
        short=short,
        why=why,
        earliest=earliest,
        promised=promised,
        drop_ins=_drop_ins(shop, need.part, accepts),
    )


def _earliest(shop: Shop, parts: Iterable[str]) -> tuple[date | None, str]:
    """The first day on which anybody who states a lead time could send a piece, in stock or not, and who; a lapsed
    quote promises nothing."""
    usual = {s.name: s.lead_days for s in shop.suppliers}
    promises = [
        (days, offer.supplier)
        for offer in offers_for(shop, parts)
        if offer.supplier in usual
        and (offer.valid_until is None or offer.valid_until >= shop.today)
        and (days := usual[offer.supplier] if offer.lead_days is None else offer.lead_days) is not None
    ]
    if not promises:
        return None, ""
    days, supplier = min(promises)
    return shop.today + timedelta(days=days), supplier


def _drop_ins(shop: Shop, part: str, accepted: Iterable[str]) -> tuple[str, ...]:
    """What drops in, under a condition too, beyond what the plan could take anyway."""
    known = set(accepted)
    return tuple(name for name in stand_ins_of(shop, [part], conditional=True)[part] if name not in known)
