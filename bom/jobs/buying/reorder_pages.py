"""The reorder plan as a workbook: each supplier's order with its terms, the parts due, and what to look at."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from bom.paper.workbooks.reorder_book import PartDue, ReorderBook, ReorderLine, SupplierOrder, Terms
from bom.shop.amounts import units_in
from bom.shop.settings import settings_of
from bom.values.money import Money

if TYPE_CHECKING:
    from bom.answers.buying import PartStands, Reorder
    from bom.buying.offer import Offer, Supplier
    from bom.buying.order_lines import OrderLine
    from bom.shop.plan import PlannedFrom
    from bom.store.unit_of_work import Session


Care = dict[tuple[str, str, str], str]


def write_reorder_book(path: Path, book: ReorderBook) -> None:
    from bom.paper.workbooks.sheets import write_reorder

    write_reorder(path, book)


def book_of(session: Session, answer: Reorder, more: PlannedFrom) -> ReorderBook:
    """The workbook of a reorder plan; without an order it still says what is due and what is in the way."""
    from bom.shop.prices import rates_to

    rates = rates_to(session, answer.currency)
    care = _care(answer)
    used = [s for s in more.suppliers if any(line.supplier == s.name for line in more.lines)]
    orders = tuple(_order(session, s, more, care, rates.to_base(s.currency)) for s in used)
    return ReorderBook(
        made=date.today(),
        orders=orders,
        left_out=tuple(answer.left_out),
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
    return [*found, *(("in the way", why) for why in answer.blocked)]


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


def _order(session: Session, supplier: Supplier, more: PlannedFrom, care: Care, rate: Decimal | None) -> SupplierOrder:
    units = units_in(session)
    mine = [line for line in more.lines if line.supplier == supplier.name]
    said = {line.offer: care.get((line.supplier, line.supplier_code, line.part_number), "") for line in mine}
    lines = tuple(_line(session, line, more.offers[line.offer], units, said[line.offer]) for line in mine)
    taxed = not (settings_of(session).tax_registered or supplier.prices_include_tax)
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


def _line(session: Session, line: OrderLine, offer: Offer, units: Mapping[str, str], care: str) -> ReorderLine:
    terms = Terms(
        tuple(sorted((b.from_quantity, b.price) for b in offer.breaks)),
        offer.incremental,
        max(offer.moq, min(b.from_quantity for b in offer.breaks)),
        offer.multiple,
        offer.stock,
    )
    return ReorderLine(
        line.supplier_code,
        line.part_number,
        line.maker,
        describe(session, line.part_number),
        line.quantity,
        line.unit_price,
        why="; ".join(filter(None, (line.why, care))),
        unit=units.get(line.part_number, "piece"),
        terms=terms,
    )


def describe(session: Session, part: str) -> str:
    """A few words for a part: what it is and its coil, or a supply's name."""
    from bom.match.spec_bounds import contact_words
    from bom.store.catalogue import whole_catalogue

    catalogue = whole_catalogue(session)
    if (relay := catalogue.only(part)) is not None:
        wiring = catalogue.wirings.get(relay.wiring)
        units = {1: "", 2: "twin "}.get(len(wiring.units), "") if wiring else ""
        volts = f", {relay.coil_volts:g} V coil" if relay.coil_volts else ""
        return f"{units}relay, {contact_words(wiring) if wiring else 'wiring not stated'}{volts}"
    return next((s.name for s in catalogue.supplies if s.part_number == part), "")
