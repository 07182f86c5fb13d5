"""Where pieces came from and went to: a lot's story, what a job or a customer was given, a maker's lot recalled."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from bom.answers.shelf import BoughtLot, Given, LotLevel, LotStory, TrailStep
from bom.shop.amounts import units_in
from bom.stock.ledger import Level, Lot, Move, after, drawer_of
from bom.stock.tracing import Step, Trail
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def trace_lot(session: Session, text: str) -> LotStory | Given:
    """Where a lot came from and went to, or what a job or a customer was given: both ways through kit lots.

    ``text`` is a lot's number, the maker's own lot code, a job or a customer.
    """
    from bom.store.shelf import lots as all_lots
    from bom.store.shelf import moves as ledger

    lots, moves = all_lots(session), ledger(session)
    trail, wanted = Trail(lots, moves), text.strip().casefold()
    ours = [lot for lot in lots if lot.number.casefold() == wanted]
    theirs = [lot for lot in lots if lot.maker_lot and lot.maker_lot.casefold() == wanted]
    if len(ours or theirs) == 1:
        return _lot_story((ours or theirs)[0], moves, trail, units_in(session))
    steps = [s for lot in theirs for s in trail.onward(lot.number)] or list(trail.taken_by(text))
    if not steps and not theirs:
        raise Refused(f"no lot {text}, and nothing went to a job or a customer of that name")
    bought = theirs or trail.bought([s.lot for s in steps])
    inside = [] if theirs else [b for s in steps for b in trail.back(s.lot)]
    units = units_in(session)
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


def _step(step: Step, units: Mapping[str, str]) -> TrailStep:
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
