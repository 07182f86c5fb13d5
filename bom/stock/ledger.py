"""The ledger: lots that came in, moves that changed them, and reservations; entries are added, never changed.

Everything shown (on hand, reserved, available, held, average cost) is summed from the entries. Pieces are taken from
the lot that expires first, then from the one that came in first; never a piece that is held, promised or past its
last day.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum

from bom.values.money import Money
from bom.values.part_number import same
from bom.values.problem import Refused


class MoveKind(StrEnum):
    """What a move records. Quantities are signed: positive comes in, negative goes out.

    *hold* and *free* move pieces of a lot into and out of quarantine without changing what is on hand;
    *reserve* and *release* do the same for promised pieces. *shift* says that the lot now lies in another drawer and
    *inspect* what an inspection found; both have the quantity 0.
    """

    IN = "in"
    OUT = "out"
    COUNT = "count"
    RESERVE = "reserve"
    RELEASE = "release"
    HOLD = "hold"
    FREE = "free"
    SHIFT = "shift"
    INSPECT = "inspect"


@dataclass(frozen=True, slots=True)
class Lot:
    """Pieces of one part that came in together, at one unit cost. A kit's lot has the kit's name for its part.

    ``drawer`` is where it was put first (``drawer_of`` knows better); ``expires`` its last day, None = keeps;
    ``maker_lot`` is the maker's own lot or trace code, as on the bag.
    """

    number: str
    part_number: str
    maker: str = ""
    drawer: str = ""
    date_code: str = ""
    supplier: str = ""
    unit_cost: Money | None = None
    received: datetime | None = None
    expires: date | None = None
    maker_lot: str = ""


@dataclass(frozen=True, slots=True)
class Move:
    """One entry of the ledger. ``sequence`` orders entries; ``counters`` names the entry that this one
    undoes.

    ``reference`` is the kit lot that pieces went into, or the job they went to; ``customer`` whom they went to.
    """

    sequence: int
    when: datetime
    kind: MoveKind
    part_number: str
    lot: str
    quantity: Decimal
    reason: str = ""
    reference: str = ""
    counters: int | None = None
    drawer: str = ""
    customer: str = ""


@dataclass(frozen=True, slots=True)
class Level:
    """What is there of a part (or of a lot), in its unit."""

    on_hand: Decimal = Decimal(0)
    reserved: Decimal = Decimal(0)
    held: Decimal = Decimal(0)

    @property
    def available(self) -> Decimal:
        return self.on_hand - self.reserved - self.held

    def __add__(self, other: Level) -> Level:
        return Level(self.on_hand + other.on_hand, self.reserved + other.reserved, self.held + other.held)


def after(level: Level, move: Move) -> Level:
    """The level once this move has happened."""
    on_hand, reserved, held = level.on_hand, level.reserved, level.held
    match move.kind:
        case MoveKind.IN | MoveKind.OUT | MoveKind.COUNT:
            on_hand += move.quantity
        case MoveKind.RESERVE | MoveKind.RELEASE:
            reserved += move.quantity
        case MoveKind.HOLD | MoveKind.FREE:
            held += move.quantity
    return Level(on_hand, reserved, held)


def levels(moves: Iterable[Move]) -> dict[str, Level]:
    """Part number to level, from all entries in any order."""
    answer: dict[str, Level] = {}
    for move in moves:
        answer[move.part_number] = after(answer.get(move.part_number, Level()), move)
    return answer


def lot_levels(moves: Iterable[Move]) -> dict[str, Level]:
    """Lot number to level."""
    answer: dict[str, Level] = {}
    for move in moves:
        answer[move.lot] = after(answer.get(move.lot, Level()), move)
    return answer


def drawer_of(lot: Lot, moves: Iterable[Move]) -> str:
    """Where the lot lies: the drawer of its last *shift*, else the one it was put into."""
    shifts = [m for m in moves if m.lot == lot.number and m.kind is MoveKind.SHIFT]
    return max(shifts, key=lambda m: m.sequence).drawer if shifts else lot.drawer


_COMES = frozenset({MoveKind.IN, MoveKind.RESERVE, MoveKind.HOLD})
_GOES = frozenset({MoveKind.OUT, MoveKind.RELEASE, MoveKind.FREE})
_NOTES = frozenset({MoveKind.SHIFT, MoveKind.INSPECT})


def reversal(move: Move, *, sequence: int = 0, when: datetime | None = None, reason: str = "") -> Move:
    """The entry that undoes ``move``: the same kind and lot, the other sign. Entries are never changed or
    taken away.

    The store gives the real ``sequence``. A counter-move is not undone: enter the move afresh. Nor is a shift or
    an inspection: put the lot back, inspect it again.
    """
    if move.kind is MoveKind.SHIFT:
        raise Refused(f"entry {move.sequence} only says where the lot lies; put it back instead")
    if move.kind is MoveKind.INSPECT:
        raise Refused(f"entry {move.sequence} only says what was found; inspect the lot again instead")
    if move.counters is not None:
        raise Refused(f"entry {move.sequence} undoes entry {move.counters}; enter the move afresh instead")
    return replace(
        move,
        sequence=sequence,
        when=when or move.when,
        quantity=-move.quantity,
        reason=reason or f"undoes entry {move.sequence}",
        counters=move.sequence,
    )


def check_sign(move: Move) -> None:
    """Refused where a move's sign is not its kind's; a counter-move has the other sign, a count may have either."""
    if move.kind in _NOTES and move.quantity:
        raise Refused(f"a {move.kind} of {move.part_number} moves no pieces, found {move.quantity}")
    quantity = move.quantity if move.counters is None else -move.quantity
    wrong = (move.kind in _COMES and quantity <= 0) or (move.kind in _GOES and quantity >= 0)
    if wrong:
        expected = "more" if (move.kind in _COMES) == (move.counters is None) else "less"
        what = f"{move.kind} of {move.part_number}"
        raise Refused(f"expected {what} to be {expected} than none, found {move.quantity}")


def pick(
    part: str,
    quantity: Decimal,
    lots: Iterable[Lot],
    levels: Mapping[str, Level],
    promised: Decimal = Decimal(0),
    today: date | None = None,
) -> list[tuple[Lot, Decimal]]:
    """Lots and how many to take of each: the first to expire first, those that keep in the order received, and a lot
    without a date last. With ``today`` given, a lot past its last day stays where it is.

    ``levels`` is by lot number; ``promised`` is what is reserved of the part without naming a lot. Refused,
    naming the shortage, where fewer are available.
    """
    if quantity <= 0:
        raise Refused(f"expected to pick more than none of {part}, found {quantity}")
    queue = sorted((x for x in lots if same(x.part_number, part) and not is_over(x, today)), key=goes_first)
    _enough(part, quantity, [levels.get(lot.number, Level()) for lot in queue], promised)
    picked = []
    for lot in queue:
        take = min(max(levels.get(lot.number, Level()).available, Decimal(0)), quantity)
        quantity -= take
        if take:
            picked.append((lot, take))
    return picked


def is_over(lot: Lot, today: date | None) -> bool:
    """Whether the lot's last day is past; a lot that keeps is never over."""
    return today is not None and lot.expires is not None and lot.expires < today


def promised(moves: Iterable[Move]) -> dict[str, Decimal]:
    """Part number to what is reserved of it without naming a lot."""
    answer: dict[str, Decimal] = {}
    for move in moves:
        if not move.lot and move.kind in (MoveKind.RESERVE, MoveKind.RELEASE):
            answer[move.part_number] = answer.get(move.part_number, Decimal(0)) + move.quantity
    return answer


def free(
    lots: Iterable[Lot], levels: Mapping[str, Level], promised: Mapping[str, Decimal], today: date | None = None
) -> dict[str, Decimal]:
    """Part number to how much of it ``pick`` could take: what is available in lots that are not over."""
    answer: dict[str, Decimal] = {}
    for lot in lots:
        there = Decimal(0) if is_over(lot, today) else max(levels.get(lot.number, Level()).available, Decimal(0))
        answer[lot.part_number] = answer.get(lot.part_number, Decimal(0)) + there
    return {part: max(there - promised.get(part, Decimal(0)), Decimal(0)) for part, there in answer.items()}


def expired(lots: Iterable[Lot], levels: Mapping[str, Level], today: date) -> dict[str, Decimal]:
    """Part number to how much of it nobody set apart and ``pick`` still leaves, because its last day is past."""
    answer: dict[str, Decimal] = {}
    for lot in lots:
        there = levels.get(lot.number, Level()).available
        if is_over(lot, today) and there > 0:
            answer[lot.part_number] = answer.get(lot.part_number, Decimal(0)) + there
    return answer


def _enough(part: str, quantity: Decimal, levels: list[Level], promised: Decimal) -> None:
    available = sum((max(level.available, Decimal(0)) for level in levels), Decimal(0)) - promised
    if available < quantity:
        on_hand = sum((level.on_hand for level in levels), Decimal(0))
        reserved = sum((level.reserved for level in levels), Decimal(0)) + promised
        held = sum((level.held for level in levels), Decimal(0))
        raise Refused(
            f"{part}: {quantity - available} short: {quantity} wanted and {available} available "
            f"({on_hand} on hand, {reserved} reserved, {held} held)"
        )


def goes_first(lot: Lot) -> tuple[date, bool, datetime | str, str]:
    """What expires goes before what keeps; undated lots after dated ones; the lot number settles a tie."""
    last_day = lot.expires or date.max
    return (last_day, True, "", lot.number) if lot.received is None else (last_day, False, lot.received, lot.number)
