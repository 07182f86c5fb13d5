"""What is not ordered of what was wanted, why, when it could be here at the earliest, and what drops in meanwhile."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
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
    from bom.buying.waiting import Waiting
    from bom.shop.shop import Shop


def parts_short(
    shop: Shop,
    needs: Sequence[Need],
    problem: PlanProblem,
    left: Sequence[Open],
    later: Mapping[str, Waiting],
) -> tuple[PartShort, ...]:
    """A row for what is left open of each of the problem's needs, which stand in the order of ``needs``, and one for
    what of it is left for ``later`` (need to what waiting is taken to cost)."""
    if not left:
        return ()
    stated = {planned.id: need for planned, need in zip(problem.needs, needs, strict=True)}
    alone = lacking_alone(problem)
    lacking = [one for one in left if one.not_to_be_had]
    together = "; ".join(blocked(problem)) if any(one.need not in alone for one in lacking) else ""
    return (
        *(part_short(shop, stated[o.need], o.not_to_be_had, alone.get(o.need, together)) for o in lacking),
        *(_not_now(shop, stated[o.need], o.later, later[o.need], problem.base_currency) for o in left if o.later),
    )


def _not_now(shop: Shop, need: Need, pieces: int, waiting: Waiting, base: str) -> PartShort:
    return PartShort(
        part_number=need.part,
        unit=shop.unit(need.part),
        wanted=need.quantity,
        short=pieces,
        why=f"not now: {_why_later(waiting, base)}",
        left_for_later=True,
    )


def _why_later(waiting: Waiting, base: str) -> str:
    """As in *20 must be taken, which are 5 years of use*, or what a piece would have had to cost at most."""
    if waiting.least and waiting.days is not None:
        return f"{waiting.least} must be taken, which are {_long(waiting.days)} of use"
    if waiting.least:
        return f"{waiting.least} must be taken, and nothing was used lately"
    return f"a piece would cost over {waiting.each:.2f} {base}, what it comes to with a later order"


def _long(days: float) -> str:
    """Two years or more in years."""
    return f"{days / 365:.0f} years" if days >= 730 else f"{days / 30.4:.0f} months"


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
