"""What is due by its level, helped by what drop-ins have to spare, planned over the suppliers; and its workbook, with
each supplier's order and terms, the parts due, and what to look at.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import fields, replace
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from bom.answers.buying import PartStands, Reorder, ShopPlan
from bom.buying.doubtful_prices import kept_out
from bom.buying.from_offers import Need
from bom.buying.levels import Wish as Wish
from bom.match.spec_bounds import contact_words
from bom.paper.workbooks.order_sheet import PartDue, ReorderBook, ReorderLine, SupplierOrder, Terms
from bom.paper.workbooks.reorder_workbook import write_reorder
from bom.relays.relay import SupplyPart
from bom.shop.care import with_care
from bom.shop.plan import plan_needs
from bom.shop.prices import offers_for
from bom.shop.serving import stand_ins_of
from bom.shop.shop import Shop
from bom.shop.shortages import part_short
from bom.shop.standing import Standing, standings
from bom.values.money import Money

if TYPE_CHECKING:
    from bom.buying.offer import Offer, Supplier
    from bom.buying.order_lines import OrderLine
    from bom.buying.plan_problem import Watcher
    from bom.shop.plan import PlannedFrom
    from bom.store.unit_of_work import Session


def due_needs(shop: Shop) -> list[Need]:
    """Every part at or below its reorder point, brought up to its order-up-to level; its drop-ins may serve."""
    return needs_of(*with_stand_ins(shop, standings(shop)))


Accepts = dict[str, tuple[str, ...]]


def with_stand_ins(shop: Shop, standing: list[Standing], count: bool = True) -> tuple[list[Standing], Accepts]:
    """(the parts, those due helped by what drop-ins of theirs have to spare, each piece once; what may be bought for
    whom). So a stand-in that was bought once is not bought again for the same want."""
    spare = {s.part: s.spare for s in standing if count}
    accepts = {
        part: (part, *more) for part, more in stand_ins_of(shop, [s.part for s in standing if s.wanted > 0]).items()
    }
    answer = []
    for one in standing:
        if one.wanted > 0:
            for other in accepts[one.part][1:]:
                take = min(spare.get(other, Decimal(0)), Decimal(one.wanted))
                spare[other] = spare.get(other, Decimal(0)) - take
                one = replace(one, helpers=(*one.helpers, (other, take))) if take else one
        answer.append(one)
    return answer, accepts


def needs_of(standing: list[Standing], accepts: Accepts) -> list[Need]:
    return [
        Need(s.part, s.wanted, accepts[s.part], may=s.can_wait, per_day=s.per_day) for s in standing if s.wanted > 0
    ]


def plan_reorder(
    session: Session,
    most: int | None,
    seconds: float,
    wish: Wish | None = None,
    count_stand_ins: bool = True,
    watcher: Watcher | None = None,
) -> tuple[Reorder, ReorderBook]:
    """The plan to show, and the workbook to write. What cannot be had is named, and the rest is planned.

    Without ``count_stand_ins`` a part is due by its own pieces alone; what is bought for it may still be a drop-in.
    """
    shop = Shop(session)
    standing, accepts = with_stand_ins(shop, standings(shop, wish), count_stand_ins)
    wanted = needs_of(standing, accepts)
    offers = offers_for(shop, [part for need in wanted for part in need.accepts])
    offered = {o.part_number for o in offers if not o.doubt}
    needs = [n for n in wanted if offered & set(n.accepts)]
    nobody = [part_short(shop, n, n.quantity, _nobody(n, offers)) for n in wanted if n not in needs]
    plan, more = plan_needs(shop, needs, most, seconds, watcher=watcher)
    plan = with_care(shop, plan, [n.part for n in needs])
    answer = _reorder(replace(plan, short=(*nobody, *plan.short)), standing, accepts)
    return answer, book_of(shop, answer, more)


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
    """Why no offer serves the need; those whose price is in doubt are named."""
    doubtful = [f"{o.supplier} {o.part_number} at {kept_out(o)}" for o in offers if o.part_number in need.accepts]
    return f"is offered only in doubt: {'; '.join(doubtful)}" if doubtful else "nobody offers it"


def level_rows(session: Session, wish: Wish) -> list[PartStands]:
    """Every part's level with its reasons, whether anything is due or not."""
    shop = Shop(session)
    return [s.as_row() for s in standings(shop, wish)]


Care = dict[tuple[str, str, str], str]


def write_reorder_book(path: Path, book: ReorderBook) -> None:
    write_reorder(path, book)


def book_of(shop: Shop, answer: Reorder, more: PlannedFrom) -> ReorderBook:
    """The workbook of a reorder plan; without an order it still says what is due and what is in the way."""
    rates = shop.rates_to(answer.currency)
    care = _care(answer)
    used = [s for s in more.suppliers if any(line.supplier == s.name for line in more.lines)]
    orders = tuple(_order(shop, s, more, care, rates.to_base(s.currency)) for s in used)
    return ReorderBook(
        made=date.today(),
        orders=orders,
        left_out=(*(part.sentence for part in answer.short), *answer.left_out),
        checks=tuple(_checks(answer, more)),
        parts=tuple(_part(row) for row in (*answer.due, *answer.covered, *answer.watch)),
        number=f"{datetime.now():%Y%m%d-%H%M%S}",
        currency=answer.currency,
        rates_of=rates.day,
        caution=answer.caution,
    )


def _care(answer: Reorder) -> Care:
    """(supplier, its code, part) to the words that the line is never without: its conditions, its grave cautions."""
    lines = ((order.supplier, line) for order in answer.orders for line in order.lines)
    return {
        (supplier, line.supplier_code, line.part_number): "; ".join([*line.conditions, *line.cautions])
        for supplier, line in lines
    }


def _checks(answer: Reorder, more: PlannedFrom) -> list[tuple[str, str | int | date | Money | None]]:
    cost = None if answer.cost is None else Money.of(answer.cost, answer.currency).rounded()
    found = [
        ("the plan", answer.proof),
        ("landed cost of the plan, not rounded by line", cost),
        ("exchange rates of", answer.rates_of),
        ("lines", len(more.lines)),
    ]
    return [*found, *(("in the way", why) for why in answer.blocked if not answer.orders)]


def _part(row: PartStands) -> PartDue:
    return PartDue(
        row.part_number,
        row.unit,
        row.available,
        row.on_order,
        row.planned,
        row.point,
        row.up_to,
        Decimal(row.quantity),
        row.level_by,
        row.why,
        row.lasts,
        row.stand_ins,
    )


def _order(shop: Shop, supplier: Supplier, more: PlannedFrom, care: Care, rate: Decimal | None) -> SupplierOrder:
    units = shop.units
    mine = [line for line in more.lines if line.supplier == supplier.name]
    said = {line.offer: care.get((line.supplier, line.supplier_code, line.part_number), "") for line in mine}
    lines = tuple(_line(shop, line, more.offers[line.offer], units, said[line.offer]) for line in mine)
    taxed = not (shop.settings.tax_registered or supplier.prices_include_tax)
    nothing = Money.zero(supplier.currency)  # as in the plan: what the supplier's file does not name is none
    return SupplierOrder(
        supplier.name,
        supplier.currency,
        lines,
        supplier.shipping_fee or nothing,
        supplier.import_fee or nothing,
        supplier.tax_pct if taxed else Decimal(0),
        free_from=supplier.free_from,
        minimum=supplier.minimum_order or None,
        rate=rate,
    )


def _line(shop: Shop, line: OrderLine, offer: Offer, units: Mapping[str, str], care: str) -> ReorderLine:
    terms = Terms(
        tuple(sorted((b.from_quantity, b.price) for b in offer.breaks)),
        offer.incremental,
        max(offer.moq, min(b.from_quantity for b in offer.breaks)),
        offer.multiple,
        offer.stock or None,
    )
    return ReorderLine(
        line.supplier_code,
        line.part_number,
        line.maker,
        describe(shop, line.part_number),
        line.quantity,
        line.unit_price,
        why="; ".join(filter(None, (line.why, care))),
        unit=units.get(line.part_number, "piece"),
        terms=terms,
    )


def describe(shop: Shop, part: str) -> str:
    """A few words for a part: what it is and its coil, or a supply's name."""
    if (relay := shop.relay(part)) is not None:
        wiring = shop.around(part).wirings.get(relay.wiring)
        units = {1: "", 2: "twin "}.get(len(wiring.units), "") if wiring else ""
        volts = f", {relay.coil_volts:g} V coil" if relay.coil_volts else ""
        return f"{units}relay, {contact_words(wiring) if wiring else 'wiring not stated'}{volts}"
    supply = shop.part(part)
    return supply.name if isinstance(supply, SupplyPart) else ""
