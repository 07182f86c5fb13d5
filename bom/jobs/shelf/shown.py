"""What is on the shelf, lot by lot, and what it is worth; where pieces came from and went to: a lot's story, what a job
or a customer was given, a maker's lot recalled.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from operator import attrgetter
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
from bom.shop.books import Books
from bom.shop.names import stocked_named
from bom.shop.shop import Shop
from bom.stock.ledger import Level, Lot, Move, after, drawer_of, goes_first, is_over
from bom.stock.tracing import TracedMove, Trail
from bom.stock.valuation import Valued
from bom.store.running_figures import lots_there, parts_ever_there, promised
from bom.store.shelf import (
    drawers_in_use,
    drawers_of,
    gone_to,
    into,
    lot_numbers_like,
    lots,
    lots_of_maker,
    lying,
    out_of,
    summed,
)
from bom.store.shelf import moves as ledger
from bom.values.money import Money, total
from bom.values.part_number import normal
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def show_stock(session: Session, part: str) -> list[StockOfPart]:
    """A row for each part that was ever in stock, is on order, or has a level; for one part or one drawer's parts."""
    shop = Shop(session)
    parts = _asked_for(shop, part, _ever_seen(shop)) if part else sorted(_ever_seen(shop))
    there = _Shelf(shop, parts if part else None)
    rows = [there.row(name) for name in parts]
    return [replace(row, lots=_lots_there(shop, row.part_number)) for row in rows] if part else rows


def _ever_seen(shop: Shop) -> set[str]:
    """The parts that were ever in stock, are on order, or have a level."""
    return {*parts_ever_there(shop.session), *shop.levels_wanted, *(one.part_number for one in shop.on_order)}


def _asked_for(shop: Shop, text: str, known: Collection[str]) -> list[str]:
    """The part or kit that the text names, or every part in the drawer that it names."""
    wanted, folded = normal(text), text.casefold()
    if found := sorted(p for p in known if p.casefold() == folded or normal(p) == wanted):
        return found
    if drawers := {d for d in drawers_in_use(shop.session) if d.casefold() == folded}:
        return sorted({one.lot.part_number for one in lying(shop.session, drawers=drawers)})
    if lot := next(iter(lots(shop.session, lot_numbers_like(shop.session, text))), None):
        raise Refused(f"{text} is a lot, of {lot.part_number}: bom stock trace {lot.number} shows it")
    name = stocked_named(shop, text)
    if name not in known:
        raise Refused(f"{name} was never in stock; no drawer that holds anything is called {text} either")
    return [name]


class _Shelf:
    """What is there of all parts, or of those asked for, with what is to come, the levels set and the books."""

    def __init__(self, shop: Shop, parts: Sequence[str] | None) -> None:
        self.shop, self.books = shop, Books(shop, parts)
        there = lots_there(shop.session, parts)
        self.levels = summed(there, promised(shop.session, parts)).parts
        self.expired: dict[str, Decimal] = {}
        for one in lying(shop.session, parts, over=shop.today):
            if one.level.available > 0:
                part = one.lot.part_number
                self.expired[part] = self.expired.get(part, Decimal(0)) + one.level.available
        self.drawers: dict[str, set[str]] = {}
        for lot in there:
            if lot.level.on_hand > 0 and lot.drawer:
                self.drawers.setdefault(lot.part_number, set()).add(lot.drawer)
        self.coming: dict[str, Decimal] = {}
        for order in shop.on_order:
            self.coming[order.part_number] = self.coming.get(order.part_number, Decimal(0)) + order.quantity

    def row(self, part: str) -> StockOfPart:
        level, over = self.levels.get(part, Level()), self.expired.get(part, Decimal(0))
        point, up_to = self.shop.levels_wanted.get(part, (None, None))
        return StockOfPart(
            part_number=part,
            unit=self.shop.unit(part),
            on_hand=level.on_hand,
            reserved=level.reserved,
            held=level.held,
            expired=over,
            available=level.available - over,
            on_order=self.coming.get(part, Decimal(0)),
            reorder_point=point,
            order_up_to=up_to,
            average_cost=self.books.average(part),
            drawers=tuple(sorted(self.drawers.get(part, ()))),
        )


def _lots_there(shop: Shop, part: str) -> tuple[LotThere, ...]:
    """The lots of which something is there, in the order in which they are used up."""
    there = [one for one in lying(shop.session, (part,)) if one.level.on_hand]
    return tuple(
        LotThere(
            lot=one.lot.number,
            on_hand=one.level.on_hand,
            held=one.level.held,
            drawer=one.drawer,
            date_code=one.lot.date_code,
            expires=one.lot.expires,
            expired=is_over(one.lot, shop.today),
            supplier=one.lot.supplier,
            unit_cost=one.lot.unit_cost,
        )
        for one in sorted(there, key=lambda one: goes_first(one.lot))
    )


def worth(session: Session, method: str, part: str = "") -> StockWorth:
    """What the stock is worth by moving average or first in, first out, and what went out cost; IAS 2 allows both."""
    shop = Shop(session)
    wanted = _asked_for(shop, part, parts_ever_there(session)) if part else None
    books = Books(shop, wanted)
    found = {p: books.valued(p, method) for p in wanted or books.parts}
    known = [v for v in found.values() if v is not None and v.worth.stock is not None]
    return StockWorth(
        method=method,
        currency=books.currency,
        rates_of=books.rates.day,
        parts=tuple(_worth_row(p, shop.unit(p), v) for p, v in found.items()),
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
    shop, wanted = Shop(session), text.strip()
    ours = lots(session, lot_numbers_like(session, wanted))
    theirs = lots_of_maker(session, wanted)
    if len(ours or theirs) == 1:
        return _lot_story(shop, (ours or theirs)[0])
    if theirs:
        trail = trail_of(session, onward=[lot.number for lot in theirs])
        steps, inside, bought = [s for lot in theirs for s in trail.onward(lot.number)], [], list(theirs)
    else:
        given = gone_to(session, wanted)
        trail = trail_of(session, back=[move.lot for move in given], given=given)
        steps = list(trail.taken_by(text))
        inside, bought = [b for s in steps for b in trail.back(s.lot)], list(trail.bought([s.lot for s in steps]))
    if not steps and not theirs:
        raise Refused(f"no lot {text}, and nothing went to a job or a customer of that name")
    drawers = drawers_of(session, bought)
    return Given(
        asked=text,
        went_out=tuple(_step(s, shop.units) for s in steps),
        made_of=tuple(_step(s, shop.units) for s in inside),
        bought=tuple(_bought(x, drawers[x.number]) for x in bought),
    )


def trail_of(
    session: Session, onward: Iterable[str] = (), back: Iterable[str] = (), given: Iterable[Move] = ()
) -> Trail:
    """The part of the ledger that is walked from some lots onward, and from some back, a step at a time."""
    found = {move.sequence: move for move in given}
    for ask, start, far_end in ((out_of, onward, attrgetter("reference")), (into, back, attrgetter("lot"))):
        reached, here = set[str](), set(start)
        while here:
            reached |= here
            moves = ask(session, here)
            found |= {move.sequence: move for move in moves}
            here = {far_end(move) for move in moves} - reached - {""}
    names = {name for move in found.values() for name in (move.lot, move.reference)} | {*onward, *back}
    known = {lot.number: lot for lot in lots(session, names - {""})}
    return Trail(known.values(), [found[number] for number in sorted(found)])


def _lot_story(shop: Shop, lot: Lot) -> LotStory:
    session, units = shop.session, shop.units
    own = ledger(session, lot=lot.number)
    levels = _running(own)
    level = levels[-1] if levels else Level()
    trail = trail_of(session, onward=[lot.number], back=[lot.number])
    onward, back = trail.onward(lot.number), trail.back(lot.number)
    bought = trail.bought([lot.number]) if back else ()
    drawers = drawers_of(session, bought)
    return LotStory(
        lot=lot,
        unit=shop.unit(lot.part_number),
        drawer=drawer_of(lot, own),
        level=LotLevel(level.on_hand, level.held, level.reserved),
        moves=own,
        balance=tuple(now.on_hand for now in levels),
        held=tuple(now.held for now in levels),
        went_into=tuple(sorted({m.reference for m in own if m.reference and m.reference != lot.number})),
        made_from=tuple(sorted({s.lot for s in back if s.depth == 1})),
        onward=tuple(_step(s, units) for s in onward),
        made_of=tuple(_step(s, units) for s in back),
        bought=tuple(_bought(x, drawers[x.number]) for x in bought),
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


def _bought(lot: Lot, drawer: str) -> BoughtLot:
    return BoughtLot(
        lot=lot.number,
        part_number=lot.part_number,
        maker=lot.maker,
        maker_lot=lot.maker_lot,
        date_code=lot.date_code,
        supplier=lot.supplier,
        received=lot.received,
        drawer=drawer,
    )
