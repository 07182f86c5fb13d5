"""The shelf's day: goods out, counts, lots put elsewhere, held, promised and let go again, entries undone; and the
level that a part is reordered at, set by hand or left to its use.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from bom.jobs.shelf.ordering import unsettle
from bom.shop.amounts import amount_of, entry, plain
from bom.shop.names import Drawers, lot_named, part_named, stocked_named
from bom.shop.shop import Shop
from bom.stock.ledger import Level, Lot, Move, MoveKind, pick, reversal
from bom.stock.samples import Weighed, pieces
from bom.store.shelf import (
    add_moves,
    drawers_of,
    drop_level,
    lots,
    lying,
    move_numbered,
    promises_for,
    set_level,
    shelf,
    undone_by,
)
from bom.values.problem import Refused
from bom.values.quantity import read

if TYPE_CHECKING:
    from bom.store.shelf import Shelf
    from bom.store.unit_of_work import Session


def goods_out(session: Session, part: str, quantity: str, reason: str, lot: str = "", customer: str = "") -> list[str]:
    """Book pieces out, first to expire and oldest lot first, or from the lot named; a line for each lot.

    What was reserved for the same job is used up first: those pieces go out and the promise with them.
    """
    shop = Shop(session)
    number = stocked_named(shop, part)
    amount, when = amount_of(shop, number, quantity), datetime.now(UTC)
    there_now = {one.lot.number: one for one in lying(shop.session, [number])}
    offered = [one.lot for one in there_now.values()] if not lot else _the_lot(shop, number, lot)
    kept = _promises(promises_for(shop.session, number, reason), amount)
    there = _without(shelf(shop.session, [number]), kept)
    nothing = Decimal(0)
    picked = pick(number, amount, offered, there.lots, there.promised.get(number, nothing), date.today())
    out = [entry(when, MoveKind.OUT, one, -take, reason, customer=customer) for one, take in picked]
    freed = [Move(0, when, MoveKind.RELEASE, number, name, -q, f"went to {reason}", reason) for name, q in kept.items()]
    add_moves(shop.session, [*out, *freed])
    unit = shop.unit(number)
    return [
        f"{plain(q, unit)} of {number} from lot {one.number}, drawer {there_now[one.number].drawer or '-'}"
        for one, q in picked
    ]


def _the_lot(shop: Shop, part: str, text: str) -> list[Lot]:
    """The lot of this number, if it is of this part."""
    found = [one for one in lots(shop.session, {text, text.upper()}) if one.part_number == part]
    if not found:
        raise Refused(f"no lot {text} of {part}")
    return found


def _promises(entries: Iterable[Move], most: Decimal) -> dict[str, Decimal]:
    """Lot (empty = none named) to what these promises leave reserved, as much as ``most`` in all."""
    left: dict[str, Decimal] = {}
    for one in entries:
        left[one.lot] = left.get(one.lot, Decimal(0)) + one.quantity
    answer = {}
    for lot, quantity in left.items():
        if (take := min(quantity, most)) > 0:
            answer[lot], most = take, most - take
    return answer


def _without(there: Shelf, kept: dict[str, Decimal]) -> Shelf:
    """The shelf as if those promises were let go."""
    lots, promised = dict(there.lots), dict(there.promised)
    for lot, quantity in kept.items():
        if lot:
            lots[lot] = replace(lots[lot], reserved=lots[lot].reserved - quantity)
        else:
            promised = {part: q - quantity for part, q in promised.items()}
    return replace(there, lots=lots, promised=promised)


def enter_count(session: Session, lot: str, quantity: str, reason: str) -> str:
    """Book the difference between the ledger and what a count found."""
    shop = Shop(session)
    counted = lot_named(shop, lot)
    none_left = quantity.split()[:1] == ["0"]
    amount = Decimal(0) if none_left else amount_of(shop, counted.part_number, quantity)
    return counted_as(shop, counted, amount, reason)


def count_by_weight(
    session: Session, lot: str, gross: str, sample: str = "", tare: str = "0 g", step: str = "0.1 g"
) -> str:
    """Count a lot by weighing it: material in grams by its net weight, pieces by a ``sample`` such as '10=35.2 g'."""
    shop = Shop(session)
    counted = lot_named(shop, lot)
    weight, empty = _grams(gross), _grams(tare)
    if shop.unit(counted.part_number) == "g":
        if weight < empty:
            raise Refused(f"{gross} with its reel is less than the reel, {tare}")
        return counted_as(shop, counted, weight - empty, "weighed")
    number, equals, grams = sample.partition("=")
    if not equals or not number.strip().isdigit():
        raise Refused(f"expected a counted sample and its weight, as in --sample '10=35.2 g', found {sample!r}")
    weighed = Weighed(weight, int(number), _grams(grams), empty, _grams(step))
    return counted_as(shop, counted, Decimal(pieces(weighed)), f"weighed, {plain(weight)} g")


def _grams(text: str) -> Decimal:
    return Decimal(str(read(text, "g")))


def counted_as(shop: Shop, lot: Lot, amount: Decimal, reason: str) -> str:
    """Book the difference to what the ledger has, if there is one; what to tell of it."""
    return counted_together(shop, [(lot, amount, reason)])[0]


def counted_together(shop: Shop, counts: Sequence[tuple[Lot, Decimal, str]]) -> list[str]:
    """Book what a count found of each lot, none of them counted twice; what to tell of each."""
    there, when = shelf(shop.session, {lot.part_number for lot, _, _ in counts}).lots, datetime.now(UTC)
    booked = {lot.number: there.get(lot.number, Level()).on_hand for lot, _, _ in counts}
    wrong = [(lot, found - booked[lot.number], why) for lot, found, why in counts if found != booked[lot.number]]
    entries = [entry(when, MoveKind.COUNT, lot, difference, why) for lot, difference, why in wrong]
    added = {move.lot: move.sequence for move in add_moves(shop.session, entries)}
    return [_said_of(shop, lot, booked[lot.number], found, added.get(lot.number)) for lot, found, _ in counts]


def _said_of(shop: Shop, lot: Lot, booked: Decimal, found: Decimal, entry: int | None) -> str:
    unit = shop.unit(lot.part_number)
    if entry is None:
        return f"lot {lot.number}, {lot.part_number}: {plain(booked, unit)} counted, as booked"
    sign = "+" if found > booked else "-"
    both = f"{plain(booked, unit)} booked, {plain(found, unit)} counted"
    said = f"{both}, difference {sign}{plain(abs(found - booked), unit)} booked as entry {entry}"
    return f"lot {lot.number}, {lot.part_number}: {said}{_far_off(booked, found, entry)}"


def _far_off(booked: Decimal, counted: Decimal, entry: int) -> str:
    """A slip of a digit or the wrong lot's number looks like this: our own choice of 10 times, no source."""
    less, more = sorted((booked, counted))
    if less <= 0 or more <= 10 * less:
        return ""
    times = "more than 10 times" if counted == more else "less than a tenth of"
    return f"\nnote: that is {times} what was booked; if it is a slip: bom stock undo {entry}"


def put_elsewhere(session: Session, lot: str, drawer: str, reason: str = "") -> str:
    """The whole lot lies in another drawer from now on."""
    shop = Shop(session)
    one = lot_named(shop, lot)
    now = drawers_of(shop.session, [one])[one.number]
    if not drawer.strip():
        raise Refused("expected a drawer, as in B3")
    drawer = Drawers(shop).named(drawer)
    if now == drawer:
        return f"lot {one.number} lies in drawer {drawer} already"
    add_moves(
        shop.session, [entry(datetime.now(UTC), MoveKind.SHIFT, one, Decimal(0), reason or "moved", drawer=drawer)]
    )
    return f"lot {one.number}: from drawer {now or '-'} to drawer {drawer}"


def hold_lot(session: Session, lot: str, quantity: str, reason: str) -> str:
    """Quarantine a lot, or some of it: it stays on hand and is never picked."""
    shop = Shop(session)
    one = lot_named(shop, lot)
    there = shelf(shop.session, [one.part_number]).lots.get(one.number, Level()).available
    if not quantity and there <= 0:
        raise Refused(f"lot {one.number} has nothing available to hold")
    return _set_apart(shop, one, MoveKind.HOLD, quantity, there, reason)


def release_lot(session: Session, lot: str, quantity: str, reason: str) -> str:
    """Let a held lot go, or some of it."""
    shop = Shop(session)
    one = lot_named(shop, lot)
    held = shelf(shop.session, [one.part_number]).lots.get(one.number, Level()).held
    if held <= 0:
        raise Refused(f"nothing of lot {one.number} is held")
    return _set_apart(shop, one, MoveKind.FREE, quantity, held, reason)


def _set_apart(shop: Shop, lot: Lot, kind: MoveKind, quantity: str, all_of_it: Decimal, reason: str) -> str:
    amount = amount_of(shop, lot.part_number, quantity) if quantity else all_of_it
    signed = amount if kind is MoveKind.HOLD else -amount
    (added,) = add_moves(shop.session, [entry(datetime.now(UTC), kind, lot, signed, reason)])
    word = "held" if kind is MoveKind.HOLD else "let go"
    return f"lot {lot.number}: {plain(amount, shop.unit(lot.part_number))} {word}, entry {added.sequence}"


def reserve(session: Session, part: str, quantity: str, job: str, lot: str = "") -> str:
    """Promise pieces of a part, or of one lot of it, to a job; they are no longer available to others."""
    shop = Shop(session)
    number = stocked_named(shop, part)
    amount = amount_of(shop, number, quantity)
    name = lot_named(shop, lot).number if lot else ""
    move = Move(0, datetime.now(UTC), MoveKind.RESERVE, number, name, amount, "reserved", job.strip())
    (added,) = add_moves(shop.session, [move])
    return f"{plain(amount, shop.unit(number))} of {number} reserved for {job}, entry {added.sequence}"


def unreserve(session: Session, part: str, quantity: str, job: str) -> str:
    """Let go what is reserved of a part for a job: all of it, or so many."""
    shop = Shop(session)
    number = stocked_named(shop, part)
    most = amount_of(shop, number, quantity) if quantity else Decimal(10**12)
    kept = _promises(promises_for(shop.session, number, job), most)
    total = sum(kept.values(), Decimal(0))
    unit = shop.unit(number)
    if not total or (quantity and total < most):
        raise Refused(f"{plain(total, unit) if total else 'none'} of {number} reserved for {job}")
    when = datetime.now(UTC)
    add_moves(
        shop.session,
        [Move(0, when, MoveKind.RELEASE, number, lot, -q, "let go", job.strip()) for lot, q in kept.items()],
    )
    return f"{plain(total, unit)} of {number} no longer reserved for {job}"


def undo(session: Session, sequence: int, reason: str = "") -> str:
    """Undo one entry by a counter-move; the entry itself stays. A kit lot's entries are undone together instead."""
    shop = Shop(session)
    found = move_numbered(shop.session, sequence)
    if found is None:
        raise Refused(f"no entry {sequence}; bom stock trace LOT shows a lot's entries with their numbers")
    if (by := undone_by(shop.session, sequence)) is not None:
        raise Refused(f"entry {sequence} was undone by entry {by} already")
    if found.reference and any(lot.number == found.reference for lot in lots(shop.session, [found.reference])):
        raise Refused(
            f"entry {sequence} made up kit lot {found.reference}, which is taken apart as a whole: bom kit undo"
        )
    try:
        (added,) = add_moves(shop.session, [reversal(found, when=datetime.now(UTC), reason=reason)])
    except Refused as refused:
        raise Refused(f"entry {sequence} cannot be undone any more: {refused}") from None
    again = unsettle(shop, found) if found.kind is MoveKind.IN else ""
    lot = f" of lot {found.lot}" if found.lot else ""
    unit = shop.unit(found.part_number)
    what = f"{found.kind} {plain(abs(found.quantity), unit)} of {found.part_number}{lot}"
    return f"entry {sequence} ({what}) undone by entry {added.sequence}{again}"


def set_levels(session: Session, part: str, point: str, up_to: str) -> str:
    """Keep a part's reorder point and the level it is ordered up to."""
    shop = Shop(session)
    number, _ = part_named(shop, part)
    low = Decimal(0) if point.strip() == "0" else amount_of(shop, number, point)
    high, unit = amount_of(shop, number, up_to), shop.unit(number)
    if high < low:
        raise Refused(f"expected to order up to {plain(low, unit)} or more, found {plain(high, unit)}")
    set_level(shop.session, number, low, high)
    return f"{number}: at {plain(low, unit)} or less, order up to {plain(high, unit)}"


def forget_level(session: Session, part: str) -> str:
    """From now on the level follows from what is used."""
    shop = Shop(session)
    number, _ = part_named(shop, part)
    if not drop_level(shop.session, number):
        raise Refused(f"no level is set for {number}")
    return f"{number}: its level follows from what is used"
