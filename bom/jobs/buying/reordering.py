"""The shop's job: what is due by its level, helped by what drop-ins have to spare, planned over the suppliers."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields, replace
from decimal import Decimal
from typing import TYPE_CHECKING

from bom.answers.buying import PartStands, Reorder, ShopPlan
from bom.buying.doubtful_prices import kept_out
from bom.buying.levels import Wish as Wish
from bom.jobs.buying.reorder_pages import write_reorder_book as write_reorder_book
from bom.shop.standing import Standing, standings

if TYPE_CHECKING:
    from bom.buying.from_offers import Need
    from bom.buying.offer import Offer
    from bom.buying.plan_problem import Watcher
    from bom.paper.workbooks.reorder_book import ReorderBook
    from bom.store.unit_of_work import Session


def due_needs(session: Session) -> list[Need]:
    """Every part at or below its reorder point, brought up to its order-up-to level; its drop-ins may serve."""
    return needs_of(*with_stand_ins(session, standings(session)))


Accepts = dict[str, tuple[str, ...]]


def with_stand_ins(session: Session, standing: list[Standing], count: bool = True) -> tuple[list[Standing], Accepts]:
    """(the parts, those due helped by what drop-ins of theirs have to spare, each piece once; what may be bought for
    whom). So a stand-in that was bought once is not bought again for the same want."""
    from bom.shop.stand_ins import stand_ins

    spare, accepts = {s.part: s.spare for s in standing if count}, Accepts()
    answer = []
    for one in standing:
        if one.wanted > 0:
            accepts[one.part] = (one.part, *stand_ins(session, one.part))
            for other in accepts[one.part][1:]:
                take = min(spare.get(other, Decimal(0)), Decimal(one.wanted))
                spare[other] = spare.get(other, Decimal(0)) - take
                one = replace(one, helpers=(*one.helpers, (other, take))) if take else one
        answer.append(one)
    return answer, accepts


def needs_of(standing: list[Standing], accepts: Accepts) -> list[Need]:
    from bom.buying.from_offers import Need

    return [Need(s.part, s.wanted, accepts[s.part]) for s in standing if s.wanted > 0]


def plan_reorder(
    session: Session,
    most: int | None,
    seconds: float,
    wish: Wish | None = None,
    count_stand_ins: bool = True,
    watcher: Watcher | None = None,
) -> tuple[Reorder, ReorderBook]:
    """The plan to show, and the workbook to write. A need nobody offers is named, and the rest is planned.

    Without ``count_stand_ins`` a part is due by its own pieces alone; what is bought for it may still be a drop-in.
    """
    from bom.jobs.buying.reorder_pages import book_of
    from bom.shop.plan import plan_needs
    from bom.shop.plan_care import with_care
    from bom.shop.prices import known_offers

    standing, accepts = with_stand_ins(session, standings(session, wish), count_stand_ins)
    wanted = needs_of(standing, accepts)
    offers = known_offers(session)
    offered = {o.part_number for o in offers if not o.doubt}
    needs = [n for n in wanted if offered & set(n.accepts)]
    nobody = [_nobody(n, offers) for n in wanted if n not in needs]
    plan, more = plan_needs(session, needs, most, seconds, watcher=watcher)
    plan = with_care(session, plan, [n.part for n in needs])
    answer = _reorder(replace(plan, left_out=(*nobody, *plan.left_out)), standing, accepts)
    return answer, book_of(session, answer, more)


def _reorder(plan: ShopPlan, standing: list[Standing], accepts: Accepts) -> Reorder:
    """The plan, and how the parts stand that it is for, and those that need none."""
    planned = {field.name: getattr(plan, field.name) for field in fields(plan)}
    return Reorder(
        **planned,
        due=tuple(s.as_row(accepts[s.part]) for s in standing if s.wanted > 0),
        covered=tuple(s.as_row() for s in standing if s.helpers and s.wanted == 0),
        watch=tuple(s.as_row() for s in standing if s.ending and s.wanted == 0 and (s.available or s.per_day)),
    )


def _nobody(need: Need, offers: Iterable[Offer]) -> str:
    """A need that no offer serves; those whose price is in doubt are named."""
    doubtful = [f"{o.supplier} {o.part_number} at {kept_out(o)}" for o in offers if o.part_number in need.accepts]
    offered = f"is offered only in doubt: {'; '.join(doubtful)}" if doubtful else "nobody offers it"
    return f"{need.part}: {need.quantity} wanted, {offered}"


def level_rows(session: Session, wish: Wish) -> list[PartStands]:
    """Every part's level with its reasons, whether anything is due or not."""
    return [s.as_row() for s in standings(session, wish)]
