"""Kits made up: lots picked and booked into kit lots, promised first where wanted, finished later, taken apart again.

Whoever makes up kits works alone on the ledger from the first look to the last entry, so no piece goes into two kits.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from bom.answers.kits import BackInLot, FinishedKits, InBag, KitLotMade, Lacking, MadeKits, Pick, UndoneKits
from bom.kits.bags import Bag, bags
from bom.kits.kit import Content, Kit, MadeUp
from bom.kits.possible import possible
from bom.shop.care import bag_cautions, fitted, provisos_of
from bom.shop.kit_needs import Needed, Way, ways, what_lacks
from bom.shop.names import Drawers, few_enough, kit_named
from bom.shop.shop import Shop
from bom.shop.sourcing import Sourcing
from bom.stock.ledger import Level, Lot, Move, MoveKind, pick, reversal
from bom.store.boards_and_kits import keep_made, made_up, plan_kits, planned_for
from bom.store.running_figures import promised
from bom.store.shelf import add_lot, add_moves, drawers_of, lots, lying, moves, next_kit_lot, shelf
from bom.values.money import Money
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.unit_of_work import Session


def make_kits(
    session: Session, name: str, count: int, dry: bool, drawer: str = "", *, reserve: bool = False
) -> MadeKits:
    """Pick the lots for so many kits and book them out into kit lots; short of anything, nothing is booked.

    All bags of a kit lot are alike: where the same part does not do for all, there are more kit lots. A kit lot is a
    lot like any other: it costs what its parts did, lasts as long as the first of them, can be sold, counted and
    traced. ``reserve`` only promises the pieces; ``finish_kits`` books them. Kits of this name that were planned
    become that many fewer.
    """
    shop = Shop(session)
    if count < 1:
        raise Refused(f"expected at least one kit to make up, found {count}")
    few_enough(count)
    kit, sourcing = kit_named(shop, name), Sourcing(shop)
    found, missing = _bags(sourcing, kit, count)
    made = [MadeUp("", kit.name, bag.count, _contents(way.lines, bag), datetime.now(UTC)) for way, bag in found]
    packed = list(zip(made, _picked(sourcing, [bag for _, bag in found]), strict=True))
    drawers = drawers_of(session, [lot for _, picked in packed for lot, _ in picked])
    if not dry:
        into = None if reserve else Drawers(shop).named(drawer)
        packed = [(_enter(sourcing, one, picked, into), picked) for one, picked in packed]
    booked = None if dry or missing else "reserved" if reserve else "made up"
    contents = [content for one, _ in packed for content in one.contents]
    parts = fitted(sourcing, kit, contents)
    return MadeKits(
        kit=kit.name,
        count=count,
        booked=booked,
        missing=missing,
        kit_lot=next((made.number or None for made, _ in packed), None),
        kit_lots=tuple(_kit_lot(sourcing, made) for made, _ in packed),
        picks=tuple(_pick(sourcing, made, lot, q, drawers[lot.number]) for made, picked in packed for lot, q in picked),
        conditions=provisos_of(parts),
        cautions=bag_cautions(sourcing, parts, contents) if contents else (),
    )


def _bags(sourcing: Sourcing, kit: Kit, count: int) -> tuple[list[tuple[Way, Bag]], tuple[Lacking, ...]]:
    """(what goes into so many bags, what lacks for them): kits inside it that lie there made up are taken first."""
    *made_up, opened = ways(kit, sourcing)
    stock, left, packed = dict(sourcing.stock), count, []
    if not opened.lines:
        raise Refused(f"kit {kit.name} has no lines: there is nothing to make up")
    for way in made_up:
        most = min(left, possible(stock, [way.wanted(kit.name)]).kits[kit.name])
        found, _ = bags(stock, way.wanted(kit.name), most)
        packed += [(way, bag) for bag in found if most]
        left -= most
        _take(stock, found)
    found, missing = bags(stock, opened.wanted(kit.name), left)
    if missing:
        return [], what_lacks(opened.lines, missing, sourcing.expired)
    return packed + [(opened, bag) for bag in found if left], ()


def _take(stock: dict[str, Decimal], found: Iterable[Bag]) -> None:
    for bag in found:
        for part, quantity in _parts_of(bag).items():
            stock[part] -= quantity


def _enter(sourcing: Sourcing, made: MadeUp, picked: Picked, drawer: str | None) -> MadeUp:
    """Begin the kit lot, and book it into the drawer; None = only promise its pieces."""
    begun = begin(sourcing.shop, made)
    if drawer is None:
        promise(sourcing.shop, begun, picked)
    else:
        book(sourcing, begun, picked, drawer)
    fewer_planned(sourcing.shop, begun)
    return begun


def _picked(sourcing: Sourcing, found: Iterable[Bag]) -> list[Picked]:
    """For each kind of bag the lots its parts come from: each part picked once for all, the first bags first."""
    wants = [_parts_of(bag) for bag in found]
    totals: dict[str, Decimal] = {}
    for want in wants:
        for part, quantity in want.items():
            totals[part] = totals.get(part, Decimal(0)) + quantity
    queues = _from_shelf(sourcing.shop, totals)
    return [[one for part, q in sorted(want.items()) for one in _off(queues[part], q)] for want in wants]


def _parts_of(bag: Bag) -> dict[str, Decimal]:
    answer: dict[str, Decimal] = {}
    for filling in bag.fillings:
        for part, quantity in filling:
            answer[part] = answer.get(part, Decimal(0)) + quantity * bag.count
    return answer


def _from_shelf(shop: Shop, totals: Mapping[str, Decimal]) -> dict[str, Picked]:
    """Part to the lots that so much of it comes from."""
    there, promises = lying(shop.session, totals), promised(shop.session, totals)
    levels = {one.lot.number: one.level for one in there}
    of: dict[str, list[Lot]] = {}
    for one in there:
        of.setdefault(one.lot.part_number, []).append(one.lot)
    return {
        part: pick(part, quantity, of.get(part, ()), levels, promises.get(part, Decimal(0)), shop.today)
        for part, quantity in totals.items()
    }


def _off(queue: Picked, quantity: Decimal) -> Picked:
    """So much from the front of the queue, which gets that much shorter."""
    taken: Picked = []
    while quantity > 0:
        lot, there = queue.pop(0)
        taken.append((lot, min(there, quantity)))
        quantity -= taken[-1][1]
        if there > taken[-1][1]:
            queue.insert(0, (lot, there - taken[-1][1]))
    return taken


def _contents(lines: Sequence[Needed], bag: Bag) -> tuple[Content, ...]:
    return tuple(
        Content(part, quantity, one.line.unit, one.line.position, one.inside)
        for one, filling in zip(lines, bag.fillings, strict=True)
        for part, quantity in filling
    )


def _kit_lot(sourcing: Sourcing, made: MadeUp) -> KitLotMade:
    return KitLotMade(made.number or None, made.count, tuple(_in_bag(sourcing, content) for content in made.contents))


def _in_bag(sourcing: Sourcing, content: Content) -> InBag:
    return InBag(
        position=content.position,
        part_number=content.part_number,
        name=sourcing.describe(content.part_number),
        quantity=content.quantity,
        unit=content.unit,
        inside=content.inside,
    )


def _pick(sourcing: Sourcing, made: MadeUp, lot: Lot, quantity: Decimal, drawer: str) -> Pick:
    return Pick(
        drawer=drawer,
        part_number=lot.part_number,
        name=sourcing.describe(lot.part_number),
        lot=lot.number,
        quantity=quantity,
        unit=sourcing.unit(lot.part_number),
        date_code=lot.date_code,
        expires=lot.expires,
        kit_lot=made.number or None,
    )


Picked = list[tuple[Lot, Decimal]]
"""Lots, and how much to take of each."""


def begin(shop: Shop, made: MadeUp) -> MadeUp:
    """Give the kit lot its number and keep what is in its bags."""
    numbered = replace(made, number=next_kit_lot(shop.session))
    keep_made(shop.session, numbered)
    return numbered


def promise(shop: Shop, made: MadeUp, picked: Picked) -> None:
    """Keep the pieces for the kit lot until it is finished."""
    why, when = f"for kit: {made.kit}", made.when or datetime.now(UTC)
    add_moves(shop.session, [_move(MoveKind.RESERVE, lot, q, when, why, made.number) for lot, q in picked])


def _move(kind: MoveKind, lot: Lot, quantity: Decimal, when: datetime, reason: str, reference: str) -> Move:
    return Move(0, when, kind, lot.part_number, lot.number, quantity, reason, reference)


def book(sourcing: Sourcing, made: MadeUp, picked: Picked, drawer: str, kept: Sequence[Move] = ()) -> None:
    """Take the pieces out, those promised let go first, and put the kit lot in, all of one moment."""
    session, when, why = sourcing.shop.session, datetime.now(UTC), f"made up: {made.kit}"
    currency = sourcing.kits[made.kit].currency
    cost = _worth(sourcing, picked, currency)  # before they are gone: what is not there has no average
    let_go = [reversal(m, when=when, reason=why) for m in kept]
    add_moves(session, [*let_go, *(_move(MoveKind.OUT, lot, -q, when, why, made.number) for lot, q in picked)])
    each = None if cost is None else Money.of(cost.amount / made.count, currency)
    expires = min((lot.expires for lot, _ in picked if lot.expires), default=None)
    new = Lot(made.number, made.kit, drawer=drawer, unit_cost=each, received=when, expires=expires)
    add_lot(session, new, Decimal(made.count), when, "made up", made.number)


def standing(shop: Shop, kit_lot: str) -> list[Move]:
    """The entries that made a kit lot, or promise to it, and that nothing has undone; none = it is taken apart."""
    entries = moves(shop.session, reference=kit_lot)
    undone = {m.counters for m in entries}
    return [m for m in entries if m.counters is None and m.sequence not in undone]


def _worth(sourcing: Sourcing, picked: Picked, currency: str) -> Money | None:
    """What the pieces cost by moving average; None where one of them is not known."""
    answer = Money.zero(currency)
    for lot, quantity in picked:
        if (average := sourcing.average(lot.part_number, currency)) is None:
            return None
        answer = answer + average.times(quantity)
    return answer


def fewer_planned(shop: Shop, made: MadeUp) -> None:
    if planned := min(shop.planned_kits.get(made.kit, 0), made.count):
        plan_kits(shop.session, made.kit, -planned, datetime.now(UTC), f"kit lot {made.number}")


def _planned_again(shop: Shop, made: MadeUp) -> None:
    """What a kit lot taken apart took off the plan goes back onto it."""
    if taken := -planned_for(shop.session, made.kit, f"kit lot {made.number}"):
        plan_kits(shop.session, made.kit, taken, datetime.now(UTC), f"kit lot {made.number}")


def finish_kits(session: Session, kit_lot: str, drawer: str = "") -> FinishedKits:
    """Book what was promised to a kit lot: its pieces go out and the kits come in."""
    shop = Shop(session)
    made = _made(shop, kit_lot)
    kept = [m for m in standing(shop, made.number) if m.kind is MoveKind.RESERVE]
    if not kept:
        raise Refused(f"nothing is promised to kit lot {made.number}: it is made up, or taken apart again")
    sourcing = Sourcing(shop)
    known = {lot.number: lot for lot in lots(session, {m.lot for m in kept})}
    into = Drawers(shop).named(drawer)
    book(sourcing, made, [(known[m.lot], m.quantity) for m in kept], into, kept)
    return FinishedKits(made.kit, made.number, made.count)


def _made(shop: Shop, kit_lot: str) -> MadeUp:
    if (made := made_up(shop.session, kit_lot.strip().upper())) is None:
        raise Refused(f"no kit lot {kit_lot}; a kit lot has a number such as K00001")
    return made


def undo_kits(session: Session, kit_lot: str, reason: str = "") -> UndoneKits:
    """Take a kit lot apart again: every entry that made it, or promised to it, is countered.

    Refused once any of its kits has gone, was promised or is held.
    """
    shop = Shop(session)
    made = _made(shop, kit_lot)
    entries = standing(shop, made.number)
    if not entries:
        raise Refused(f"kit lot {made.number} is taken apart already")
    if any(m.lot == made.number for m in entries):
        _must_be_whole(shop, made)
    when, why = datetime.now(UTC), reason or f"{made.number} taken apart"
    added = add_moves(shop.session, [reversal(m, when=when, reason=why) for m in entries])
    _planned_again(shop, made)
    back = tuple(BackInLot(m.part_number, m.lot, abs(m.quantity)) for m in added if m.lot != made.number)
    return UndoneKits(made.kit, made.number, made.count, back)


def _must_be_whole(shop: Shop, made: MadeUp) -> None:
    there = shelf(shop.session, [made.kit]).lots.get(made.number, Level())
    if there.available < made.count or there.on_hand != made.count:
        gone = made.count - there.available
        raise Refused(f"{gone} of the {made.count} kits of lot {made.number} have gone, are promised or are held")
