"""What is on the shelf, lot by lot, and what it is worth."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from bom.answers.shelf import LotThere, PartWorth, StockOfPart, StockWorth
from bom.shop.amounts import stocked_named, units_in
from bom.shop.books import Books
from bom.stock.ledger import Level, drawer_of, expired, goes_first, is_over, levels, lot_levels
from bom.stock.valuation import Valued
from bom.values.money import Money, total
from bom.values.part_number import same
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def show_stock(session: Session, part: str) -> list[StockOfPart]:
    """A row for each part that was ever in stock, is on order, or has a level; for one part or one drawer's parts."""
    from bom.store.on_order import on_order
    from bom.store.shelf import levels_wanted

    books, wanted, units = Books(session), levels_wanted(session), units_in(session)
    coming: dict[str, Decimal] = {}
    for one in on_order(session):
        coming[one.part_number] = coming.get(one.part_number, Decimal(0)) + one.quantity
    known = sorted({*books.moves, *wanted, *coming})
    parts = _asked_for(session, part, known, books) if part else known
    rows = [
        _stock_row(p, books, units.get(p, "piece"), coming.get(p, Decimal(0)), wanted.get(p, (None, None)))
        for p in parts
    ]
    return [replace(row, lots=_lots_there(books, row.part_number)) for row in rows] if part else rows


def _asked_for(session: Session, text: str, known: Sequence[str], books: Books) -> list[str]:
    """The part or kit that the text names, or every part in the drawer that it names."""
    if found := [p for p in known if same(p, text) or p.casefold() == text.casefold()]:
        return found
    if found := [p for p in known if text.casefold() in (d.casefold() for d in books.drawers(p))]:
        return found
    if lot := next((x for lots in books.lots.values() for x in lots if x.number.casefold() == text.casefold()), None):
        raise Refused(f"{text} is a lot, of {lot.part_number}: bom stock trace {lot.number} shows it")
    name = stocked_named(session, text)
    if name not in known:
        raise Refused(f"{name} was never in stock; no drawer that holds anything is called {text} either")
    return [name]


def _lots_there(books: Books, part: str) -> tuple[LotThere, ...]:
    """The lots of which something is there, in the order in which they are used up."""
    moves, by_lot = books.moves.get(part, []), lot_levels(books.moves.get(part, ()))
    there = [lot for lot in books.lots.get(part, ()) if by_lot.get(lot.number, Level()).on_hand]
    return tuple(
        LotThere(
            lot=lot.number,
            on_hand=by_lot[lot.number].on_hand,
            held=by_lot[lot.number].held,
            drawer=drawer_of(lot, moves),
            date_code=lot.date_code,
            expires=lot.expires,
            expired=is_over(lot, date.today()),
            supplier=lot.supplier,
            unit_cost=lot.unit_cost,
        )
        for lot in sorted(there, key=goes_first)
    )


def _stock_row(
    part: str, books: Books, unit: str, coming: Decimal, wanted: tuple[Decimal | None, Decimal | None]
) -> StockOfPart:
    moves = books.moves.get(part, ())
    level = levels(moves).get(part, Level())
    over = expired(books.lots.get(part, ()), lot_levels(moves), date.today()).get(part, Decimal(0))
    return StockOfPart(
        part_number=part,
        unit=unit,
        on_hand=level.on_hand,
        reserved=level.reserved,
        held=level.held,
        expired=over,
        available=level.available - over,
        on_order=coming,
        reorder_point=wanted[0],
        order_up_to=wanted[1],
        average_cost=books.average(part),
        drawers=tuple(books.drawers(part)),
    )


def worth(session: Session, method: str, part: str = "") -> StockWorth:
    """What the stock is worth by moving average or first in, first out, and what went out cost; IAS 2 allows both."""
    books = Books(session)
    parts = _asked_for(session, part, sorted(books.moves), books) if part else sorted(books.moves)
    units = units_in(session)
    found = {p: books.valued(p, method) for p in parts}
    known = [v for v in found.values() if v is not None and v.worth.stock is not None]
    return StockWorth(
        method=method,
        currency=books.currency,
        rates_of=books.rates.day,
        parts=tuple(_worth_row(p, units.get(p, "piece"), v) for p, v in found.items()),
        came_in=_sum((v.came_in for v in known), books.currency),
        gone=_sum((v.worth.gone for v in known), books.currency),
        stock=_sum((v.worth.stock for v in known), books.currency),
        unknown=tuple(p for p, v in found.items() if v is None or v.worth.stock is None),
    )


def _sum(amounts: Iterable[Money | None], currency: str) -> Money:
    return total([a for a in amounts if a is not None], currency)


def _worth_row(part: str, unit: str, valued: Valued | None) -> PartWorth:
    return PartWorth(
        part_number=part,
        unit=unit,
        on_hand=valued.worth.on_hand if valued else None,
        came_in=valued.came_in if valued and valued.worth.stock is not None else None,
        gone=valued.worth.gone if valued else None,
        stock=valued.worth.stock if valued else None,
        each=valued.worth.average if valued else None,
    )
