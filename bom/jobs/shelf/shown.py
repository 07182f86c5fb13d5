"""What is on the shelf, lot by lot, and what it is worth; where pieces came from and went to: a lot's story, what a job
or a customer was given, a maker's lot recalled.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from bom.answers.shelf import (
    BoughtLot,
    Given,
    LotLevel,
    LotStory,
    LotThere,
    PartWorth,
    StockOfPart,
    StockWorth,
    TrailStep,
)
from bom.shop.names import stocked_named
from bom.shop.prices import Books
from bom.shop.shop import Shop
from bom.stock.ledger import (
    Level,
    Lot,
    Move,
    after,
    drawer_of,
    expired,
    goes_first,
    is_over,
    levels,
    lot_levels,
)
from bom.stock.tracing import TracedMove, Trail
from bom.stock.valuation import Valued
from bom.store.shelf import lots as all_lots
from bom.store.shelf import moves as ledger
from bom.values.money import Money, total
from bom.values.part_number import same
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def show_stock(session: Session, part: str) -> list[StockOfPart]:
    """A row for each part that was ever in stock, is on order, or has a level; for one part or one drawer's parts."""
    shop = Shop(session)
    books, wanted, units = Books(shop), shop.levels_wanted, shop.units
    coming: dict[str, Decimal] = {}
    for one in shop.on_order:
        coming[one.part_number] = coming.get(one.part_number, Decimal(0)) + one.quantity
    known = sorted({*books.moves, *wanted, *coming})
    parts = _asked_for(shop, part, known, books) if part else known
    rows = [
        _stock_row(p, books, units.get(p, "piece"), coming.get(p, Decimal(0)), wanted.get(p, (None, None)))
        for p in parts
    ]
    return [replace(row, lots=_lots_there(books, row.part_number)) for row in rows] if part else rows


def _asked_for(shop: Shop, text: str, known: Sequence[str], books: Books) -> list[str]:
    """The part or kit that the text names, or every part in the drawer that it names."""
    if found := [p for p in known if same(p, text) or p.casefold() == text.casefold()]:
        return found
    if found := [p for p in known if text.casefold() in (d.casefold() for d in books.drawers(p))]:
        return found
    if lot := next((x for lots in books.lots.values() for x in lots if x.number.casefold() == text.casefold()), None):
        raise Refused(f"{text} is a lot, of {lot.part_number}: bom stock trace {lot.number} shows it")
    name = stocked_named(shop, text)
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
    shop = Shop(session)
    books = Books(shop)
    parts = _asked_for(shop, part, sorted(books.moves), books) if part else sorted(books.moves)
    units = shop.units
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


def trace_lot(session: Session, text: str) -> LotStory | Given:
    """Where a lot came from and went to, or what a job or a customer was given: both ways through kit lots.

    ``text`` is a lot's number, the maker's own lot code, a job or a customer.
    """
    shop = Shop(session)
    lots, moves = all_lots(shop.session), ledger(shop.session)
    trail, wanted = Trail(lots, moves), text.strip().casefold()
    ours = [lot for lot in lots if lot.number.casefold() == wanted]
    theirs = [lot for lot in lots if lot.maker_lot and lot.maker_lot.casefold() == wanted]
    if len(ours or theirs) == 1:
        return _lot_story((ours or theirs)[0], moves, trail, shop.units)
    steps = [s for lot in theirs for s in trail.onward(lot.number)] or list(trail.taken_by(text))
    if not steps and not theirs:
        raise Refused(f"no lot {text}, and nothing went to a job or a customer of that name")
    bought = theirs or trail.bought([s.lot for s in steps])
    inside = [] if theirs else [b for s in steps for b in trail.back(s.lot)]
    units = shop.units
    return Given(
        asked=text,
        went_out=tuple(_step(s, units) for s in steps),
        made_of=tuple(_step(s, units) for s in inside),
        bought=tuple(_bought(x, moves) for x in bought),
    )


def _lot_story(lot: Lot, moves: Sequence[Move], trail: Trail, units: Mapping[str, str]) -> LotStory:
    own = [m for m in moves if m.lot == lot.number]
    levels = _running(own)
    level = levels[-1] if levels else Level()
    onward, back = trail.onward(lot.number), trail.back(lot.number)
    return LotStory(
        lot=lot,
        unit=units.get(lot.part_number, "piece"),
        drawer=drawer_of(lot, own),
        level=LotLevel(level.on_hand, level.held, level.reserved),
        moves=tuple(own),
        balance=tuple(now.on_hand for now in levels),
        held=tuple(now.held for now in levels),
        went_into=tuple(sorted({m.reference for m in own if m.reference and m.reference != lot.number})),
        made_from=tuple(sorted({s.lot for s in back if s.depth == 1})),
        onward=tuple(_step(s, units) for s in onward),
        made_of=tuple(_step(s, units) for s in back),
        bought=tuple(_bought(x, moves) for x in trail.bought([lot.number])) if back else (),
        customers=tuple(sorted({s.customer for s in onward if s.customer})),
    )


def _running(moves: Sequence[Move]) -> list[Level]:
    """The lot's level after each of its entries."""
    answer: list[Level] = []
    for move in moves:
        answer.append(after(answer[-1] if answer else Level(), move))
    return answer


def _step(step: TracedMove, units: Mapping[str, str]) -> TrailStep:
    return TrailStep(
        depth=step.depth,
        lot=step.lot,
        part_number=step.part_number,
        quantity=step.quantity,
        unit=units.get(step.part_number, "piece"),
        into=step.into,
        customer=step.customer,
    )


def _bought(lot: Lot, moves: Sequence[Move]) -> BoughtLot:
    return BoughtLot(
        lot=lot.number,
        part_number=lot.part_number,
        maker=lot.maker,
        maker_lot=lot.maker_lot,
        date_code=lot.date_code,
        supplier=lot.supplier,
        received=lot.received,
        drawer=drawer_of(lot, moves),
    )
