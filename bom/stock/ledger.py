"""The ledger: lots that came in, moves that changed them, and reservations; entries are added, never changed.

Everything shown (on hand, reserved, available, held, average cost) is summed from the entries.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum

from bom.values.money import Money
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
