"""A kit lot's life: begun and promised its pieces, booked, finished later, or taken apart again by counter-entries."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from bom.answers.kits import BackInLot, FinishedKits, UndoneKits
from bom.kits.kit import MadeUp
from bom.shop.amounts import Drawers
from bom.shop.kits import kits_by_name
from bom.shop.sourcing import Sourcing
from bom.stock.ledger import Level, Lot, Move, MoveKind, reversal
from bom.values.money import Money
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session

Picked = list[tuple[Lot, Decimal]]
"""Lots, and how much to take of each."""


def begin(session: Session, made: MadeUp) -> MadeUp:
    """Give the kit lot its number and keep what is in its bags."""
    from bom.store.boards_and_kits import keep_made
    from bom.store.shelf import next_kit_lot

    numbered = replace(made, number=next_kit_lot(session))
    keep_made(session, numbered)
    return numbered


def promise(session: Session, made: MadeUp, picked: Picked) -> None:
    """Keep the pieces for the kit lot until it is finished."""
    from bom.store.shelf import add_moves

    why, when = f"for kit: {made.kit}", made.when or datetime.now(UTC)
    add_moves(session, [_move(MoveKind.RESERVE, lot, q, when, why, made.number) for lot, q in picked])


def _move(kind: MoveKind, lot: Lot, quantity: Decimal, when: datetime, reason: str, reference: str) -> Move:
    return Move(0, when, kind, lot.part_number, lot.number, quantity, reason, reference)


def book(bench: Sourcing, made: MadeUp, picked: Picked, drawer: str, promised: Sequence[Move] = ()) -> None:
    """Take the pieces out, those promised let go first, and put the kit lot in, all of one moment."""
    from bom.store.shelf import add_lot, add_moves

    session, when, why = bench.session, datetime.now(UTC), f"made up: {made.kit}"
    currency = bench.kits[made.kit].currency
    cost = _worth(bench, picked, currency)  # before they are gone: what is not there has no average
    kept = [reversal(m, when=when, reason=why) for m in promised]
    add_moves(session, [*kept, *(_move(MoveKind.OUT, lot, -q, when, why, made.number) for lot, q in picked)])
    each = None if cost is None else Money.of(cost.amount / made.count, currency)
    expires = min((lot.expires for lot, _ in picked if lot.expires), default=None)
    new = Lot(made.number, made.kit, drawer=drawer, unit_cost=each, received=when, expires=expires)
    add_lot(session, new, Decimal(made.count), when, "made up", made.number)


def standing(session: Session, kit_lot: str) -> list[Move]:
    """The entries that made a kit lot, or promise to it, and that nothing has undone; none = it is taken apart."""
    from bom.store.shelf import moves

    entries = moves(session, reference=kit_lot)
    undone = {m.counters for m in entries}
    return [m for m in entries if m.counters is None and m.sequence not in undone]


def _worth(bench: Sourcing, picked: Picked, currency: str) -> Money | None:
    """What the pieces cost by moving average; None where one of them is not known."""
    answer = Money.zero(currency)
    for lot, quantity in picked:
        if (average := bench.average(lot.part_number, currency)) is None:
            return None
        answer = answer + average.times(quantity)
    return answer


def fewer_planned(session: Session, made: MadeUp) -> None:
    from bom.store.boards_and_kits import plan_kits, planned_kits

    if planned := min(planned_kits(session).get(made.kit, 0), made.count):
        plan_kits(session, made.kit, -planned, datetime.now(UTC), f"kit lot {made.number}")


def _planned_again(session: Session, made: MadeUp) -> None:
    """What a kit lot taken apart took off the plan goes back onto it."""
    from bom.store.boards_and_kits import plan_kits, planned_for

    if taken := -planned_for(session, made.kit, f"kit lot {made.number}"):
        plan_kits(session, made.kit, taken, datetime.now(UTC), f"kit lot {made.number}")


def finish_kits(session: Session, kit_lot: str, drawer: str = "") -> FinishedKits:
    """Book what was promised to a kit lot: its pieces go out and the kits come in."""
    made = _made(session, kit_lot)
    promised = [m for m in standing(session, made.number) if m.kind is MoveKind.RESERVE]
    if not promised:
        raise Refused(f"nothing is promised to kit lot {made.number}: it is made up, or taken apart again")
    bench = Sourcing(session, kits_by_name(session))
    lots = {lot.number: lot for lot in bench.lots}
    into = Drawers(session).named(drawer)
    book(bench, made, [(lots[m.lot], m.quantity) for m in promised], into, promised)
    return FinishedKits(made.kit, made.number, made.count)


def _made(session: Session, kit_lot: str) -> MadeUp:
    from bom.store.boards_and_kits import made_up

    if (made := made_up(session, kit_lot.strip().upper())) is None:
        raise Refused(f"no kit lot {kit_lot}; a kit lot has a number such as K00001")
    return made


def undo_kits(session: Session, kit_lot: str, reason: str = "") -> UndoneKits:
    """Take a kit lot apart again: every entry that made it, or promised to it, is countered.

    Refused once any of its kits has gone, was promised or is held.
    """
    from bom.store.shelf import add_moves

    made = _made(session, kit_lot)
    entries = standing(session, made.number)
    if not entries:
        raise Refused(f"kit lot {made.number} is taken apart already")
    if any(m.lot == made.number for m in entries):
        _must_be_whole(session, made)
    when, why = datetime.now(UTC), reason or f"{made.number} taken apart"
    added = add_moves(session, [reversal(m, when=when, reason=why) for m in entries])
    _planned_again(session, made)
    back = tuple(BackInLot(m.part_number, m.lot, abs(m.quantity)) for m in added if m.lot != made.number)
    return UndoneKits(made.kit, made.number, made.count, back)


def _must_be_whole(session: Session, made: MadeUp) -> None:
    from bom.store.shelf import shelf

    there = shelf(session, [made.kit]).lots.get(made.number, Level())
    if there.available < made.count or there.on_hand != made.count:
        gone = made.count - there.available
        raise Refused(f"{gone} of the {made.count} kits of lot {made.number} have gone, are promised or are held")
