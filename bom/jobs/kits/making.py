"""Kits made up: lots picked and booked into kit lots, promised first where wanted, and taken apart again.

Whoever makes up kits works alone on the ledger from the first look to the last entry, so no piece goes into two kits.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from bom.answers.kits import InBag, KitLotMade, Lacking, MadeKits, Pick
from bom.jobs.kits.kit_lots import Picked, begin, book, fewer_planned, promise
from bom.kits.bags import Bag, bags
from bom.kits.kit import Content, Kit, MadeUp
from bom.kits.possible import possible
from bom.shop.amounts import Drawers
from bom.shop.care import bag_cautions, fitted, provisos_of
from bom.shop.kits import few_enough, kit_named, kits_by_name
from bom.shop.needs import Needed, Way, ways, what_lacks
from bom.shop.sourcing import Sourcing
from bom.stock.ledger import Lot, drawer_of, pick
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
    if count < 1:
        raise Refused(f"expected at least one kit to make up, found {count}")
    few_enough(count)
    kit, bench = kit_named(session, name), Sourcing(session, kits_by_name(session))
    found, missing = _bags(bench, kit, count)
    made = [MadeUp("", kit.name, bag.count, _contents(way.lines, bag), datetime.now(UTC)) for way, bag in found]
    packed = list(zip(made, _picked(bench, [bag for _, bag in found]), strict=True))
    if not dry:
        into = None if reserve else Drawers(session).named(drawer)
        packed = [(_enter(bench, one, picked, into), picked) for one, picked in packed]
    booked = None if dry or missing else "reserved" if reserve else "made up"
    contents = [content for one, _ in packed for content in one.contents]
    parts = fitted(bench, kit, contents)
    return MadeKits(
        kit=kit.name,
        count=count,
        booked=booked,
        missing=missing,
        kit_lot=next((made.number or None for made, _ in packed), None),
        kit_lots=tuple(_kit_lot(bench, made) for made, _ in packed),
        picks=tuple(_pick(bench, made, lot, q) for made, picked in packed for lot, q in picked),
        conditions=provisos_of(parts),
        cautions=bag_cautions(bench, parts, contents) if contents else (),
    )


def _bags(bench: Sourcing, kit: Kit, count: int) -> tuple[list[tuple[Way, Bag]], tuple[Lacking, ...]]:
    """(what goes into so many bags, what lacks for them): kits inside it that lie there made up are taken first."""
    stock, left, packed = dict(bench.stock), count, []
    *made_up, opened = ways(kit, bench)
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
        return [], what_lacks(opened.lines, missing, bench.expired)
    return packed + [(opened, bag) for bag in found if left], ()


def _take(stock: dict[str, Decimal], found: Iterable[Bag]) -> None:
    for bag in found:
        for part, quantity in _parts_of(bag).items():
            stock[part] -= quantity


def _enter(bench: Sourcing, made: MadeUp, picked: Picked, drawer: str | None) -> MadeUp:
    """Begin the kit lot, and book it into the drawer; None = only promise its pieces."""
    begun = begin(bench.session, made)
    if drawer is None:
        promise(bench.session, begun, picked)
    else:
        book(bench, begun, picked, drawer)
    fewer_planned(bench.session, begun)
    return begun


def _picked(bench: Sourcing, found: Iterable[Bag]) -> list[Picked]:
    """For each kind of bag the lots its parts come from: each part picked once for all, the first bags first."""
    wants = [_parts_of(bag) for bag in found]
    totals: dict[str, Decimal] = {}
    for want in wants:
        for part, quantity in want.items():
            totals[part] = totals.get(part, Decimal(0)) + quantity
    queues = {part: _from_shelf(bench, part, quantity) for part, quantity in totals.items()}
    return [[one for part, q in sorted(want.items()) for one in _off(queues[part], q)] for want in wants]


def _parts_of(bag: Bag) -> dict[str, Decimal]:
    answer: dict[str, Decimal] = {}
    for filling in bag.fillings:
        for part, quantity in filling:
            answer[part] = answer.get(part, Decimal(0)) + quantity * bag.count
    return answer


def _from_shelf(bench: Sourcing, part: str, quantity: Decimal) -> Picked:
    shelf, nothing = bench.shelf, Decimal(0)
    return pick(part, quantity, bench.lots, shelf.lots, shelf.promised.get(part, nothing), bench.today)


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


def _kit_lot(bench: Sourcing, made: MadeUp) -> KitLotMade:
    return KitLotMade(made.number or None, made.count, tuple(_in_bag(bench, content) for content in made.contents))


def _in_bag(bench: Sourcing, content: Content) -> InBag:
    return InBag(
        position=content.position,
        part_number=content.part_number,
        name=bench.describe(content.part_number),
        quantity=content.quantity,
        unit=content.unit,
        inside=content.inside,
    )


def _pick(bench: Sourcing, made: MadeUp, lot: Lot, quantity: Decimal) -> Pick:
    from bom.store.shelf import moves

    return Pick(
        drawer=drawer_of(lot, moves(bench.session, lot=lot.number)),
        part_number=lot.part_number,
        name=bench.describe(lot.part_number),
        lot=lot.number,
        quantity=quantity,
        unit=bench.unit(lot.part_number),
        date_code=lot.date_code,
        expires=lot.expires,
        kit_lot=made.number or None,
    )
