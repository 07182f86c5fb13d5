"""The shop's job: what is below its reorder point, planned over the suppliers, written as a spreadsheet."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bom.values.money import Money

if TYPE_CHECKING:
    from bom.buying.from_offers import Need
    from bom.buying.offer import Offer, Supplier
    from bom.paper.sheets import ReorderBook, SupplierOrder
    from bom.store.unit_of_work import Session


def due_needs(session: Session) -> list[Need]:
    """Every part at or below its reorder point, brought up to its order-up-to level; its drop-ins may serve."""
    from bom.buying.from_offers import Need
    from bom.buying.reorder import due
    from bom.stock.ledger import Level, levels
    from bom.store.shelf import levels_wanted, moves

    there = levels(moves(session))
    quantities = {
        part: due(part, there.get(part, Level()).available, Decimal(0), int(point), int(up_to))
        for part, (point, up_to) in levels_wanted(session).items()
    }
    return [Need(part, int(q), (part, *stand_ins(session, part))) for part, q in quantities.items() if q > 0]


def stand_ins(session: Session, part: str) -> tuple[str, ...]:
    """What drops in wherever a board has this part fitted: proved at every such position, or nothing."""
    from bom.jobs.matching import boards_by_name, fitted_design, place_at
    from bom.match.match import match
    from bom.match.requirement import at_position
    from bom.store.catalogue import whole_catalogue
    from bom.values.finding import Verdict

    catalogue = whole_catalogue(session)
    answers: list[set[str]] = []
    for board in boards_by_name(session).values():
        for position in board.positions:
            if position.fitted == part:
                fitted = fitted_design(catalogue, board, position.ref)
                asked = at_position(board, position.ref, fitted, place_at(catalogue, board, position.ref))
                proved = (c for c in match(asked, catalogue.designs()) if c.verdict is Verdict.DROP_IN)
                answers.append({c.relay.part_number for c in proved} - {part})
    return tuple(sorted(set.intersection(*answers))) if answers else ()


def plan_reorder(session: Session, most: int | None, seconds: float) -> tuple[dict[str, Any], ReorderBook]:
    """The plan to show, and the workbook to write. A need nobody offers is named, and the rest is planned."""
    from bom.jobs.planning import plan_needs
    from bom.store.suppliers import offers

    due = due_needs(session)
    offered = {o.part_number for o in offers(session)}
    needs = [n for n in due if offered & set(n.accepts)]
    nobody = [f"{n.part}: {n.quantity} wanted, nobody offers it" for n in due if n not in needs]
    answer, more = plan_needs(session, needs, most, seconds)
    answer["left_out"] = [*nobody, *answer["left_out"]]
    answer["due"] = [{"part_number": n.part, "quantity": n.quantity, "accepted": list(n.accepts)} for n in due]
    return answer, _book(session, answer, more)


def write_reorder_book(path: Path, book: ReorderBook) -> None:
    from bom.paper.sheets import write_reorder

    write_reorder(path, book)


def _book(session: Session, answer: dict[str, Any], more: dict[str, Any]) -> ReorderBook:
    from bom.jobs.planning import shop_is_registered
    from bom.paper.sheets import ReorderBook

    registered = shop_is_registered(session)
    used = [s for s in more["suppliers"] if any(line.supplier == s.name for line in more["lines"])]
    orders = tuple(_supplier_order(session, s, more, registered) for s in used)
    checks = (
        ("status of the plan", str(answer["status"])),
        ("cost of the plan in " + answer["currency"], None if answer["cost"] is None else Decimal(str(answer["cost"]))),
        ("rates of", answer["rates_of"]),
        ("lines", len(more["lines"])),
    )
    return ReorderBook(date.today(), orders, tuple(answer["left_out"]), checks)


def _supplier_order(session: Session, supplier: Any, more: dict[str, Any], registered: bool) -> SupplierOrder:
    from bom.paper.sheets import ReorderLine, SupplierOrder

    lines = tuple(
        ReorderLine(
            line.supplier_code,
            line.part_number,
            line.maker,
            describe(session, line.part_number),
            line.quantity,
            line.unit_price,
            break_reached(more["offers"][line.offer], line.quantity),
            line.why,
        )
        for line in more["lines"]
        if line.supplier == supplier.name
    )
    goods = sum((line.line_total.millionths for line in lines), 0)
    tax = Decimal(0) if registered or supplier.prices_include_tax else supplier.tax_pct
    return SupplierOrder(
        supplier.name, supplier.currency, lines, _shipping(supplier, goods), _import_fee(supplier), tax, ()
    )


def _shipping(supplier: Supplier, goods_millionths: int) -> Money:
    free = supplier.free_from is not None and goods_millionths >= supplier.free_from.millionths
    nothing = Money.zero(supplier.currency)
    return nothing if free or supplier.shipping_fee is None else supplier.shipping_fee


def _import_fee(supplier: Supplier) -> Money:
    """As the plan reckons: a fee the supplier's file does not name is none."""
    return supplier.import_fee or Money.zero(supplier.currency)


def break_reached(offer: Offer, quantity: int) -> str:
    """The price break this quantity reaches, as in 25+; empty at the first."""
    starts = [b.from_quantity for b in offer.breaks if b.from_quantity <= quantity]
    return f"{max(starts)}+" if starts and max(starts) > 1 else ""


def describe(session: Session, part: str) -> str:
    """A few words for a part: what it is and its coil, or a supply's name."""
    from bom.match.bounds import contact_words
    from bom.store.catalogue import whole_catalogue

    catalogue = whole_catalogue(session)
    for relay in catalogue.named(part):
        wiring = catalogue.wirings.get(relay.wiring)
        units = {1: "", 2: "twin "}.get(len(wiring.units), "") if wiring else ""
        volts = f", {relay.coil_volts:g} V coil" if relay.coil_volts else ""
        return f"{units}relay, {contact_words(wiring) if wiring else 'wiring not stated'}{volts}"
    return next((s.name for s in catalogue.supplies if s.part_number == part), "")
