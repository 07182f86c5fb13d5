"""The ledger in the database: lots and moves, only ever added, and the levels wanted on the shelf.

A part goes by its name here (see ``bom.store.part_names``), so ``part_number`` of a lot or move read back has its
maker before it where two makers have the number. Entries are added one writer at a time, and what they would leave is
checked before they are kept, so the same piece is never promised twice. Tables refuse changes to entries of
their own accord.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from functools import partial
from itertools import chain, count
from typing import TYPE_CHECKING, Any, NamedTuple

from sqlalchemy import ColumnElement, delete, func, insert, literal_column, select

from bom.stock.journal import Entry
from bom.stock.ledger import Level, Lot, Move, MoveKind, after, check_sign
from bom.store import tables as t
from bom.store.part_names import PartNames, part_and_maker, part_names
from bom.store.rows import moment_of, moment_text
from bom.store.running_figures import (
    AT_ONCE,
    LotNow,
    follow,
    follow_promises,
    in_pieces,
    last_drawers,
    level_of,
    lots_there,
    promised,
    rows_among,
    spell_lots,
    spelled,
)
from bom.store.unit_of_work import take_turn
from bom.values.money import Money
from bom.values.problem import Refused

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


def add_lot(
    session: Session, lot: Lot, quantity: Decimal, when: datetime, reason: str = "", reference: str = ""
) -> Move:
    """Take a lot onto the shelf: the lot and the entry that brings its pieces in. The entry is returned."""
    return add_lots(
        session, [(lot, Move(0, when, MoveKind.IN, lot.part_number, lot.number, quantity, reason, reference))]
    )[0]


def add_lots(session: Session, coming: Sequence[tuple[Lot, Move]]) -> tuple[Move, ...]:
    """Take lots onto the shelf together, each with the entry that brings its pieces in; the entries are returned."""
    for _, move in coming:
        if move.quantity <= 0:
            raise Refused(f"expected a quantity above zero, found {move.quantity}")
    take_turn(session)
    numbers = Counter(lot.number for lot, _ in coming)
    twice = [number for number, times in numbers.items() if times > 1]
    for number in [*lots_known(session, numbers), *twice]:
        raise Refused(f"there is a lot {number} already")
    for some in in_pieces(_lot_row(session, lot) for lot, _ in coming):
        session.execute(insert(t.lots), some)
    spell_lots(session, (lot for lot, _ in coming))
    return add_moves(session, (move for _, move in coming))


def lots_known(session: Session, numbers: Iterable[str]) -> list[str]:
    """Those of the numbers that a lot has."""
    c = t.lots.c.number
    return [n for some in in_pieces(set(numbers)) for n in session.scalars(select(c).where(c.in_(some)).order_by(c))]


def next_lot_number(session: Session) -> str:
    """A lot number that nobody has: one more than the highest in use, L and as many digits as that has.

    So L0009 is followed by L0010, and never by an L00010 that could be taken for another. Call it within ``work``.
    """
    return next(LotNumbers(session))


class LotNumbers:
    """Lot numbers that nobody has, one after the other, as by ``next_lot_number``; none of those that are ``taken``."""

    def __init__(self, session: Session, taken: Iterable[str] = ()) -> None:
        take_turn(session)
        self._highest, self._digits = 0, 4
        for number in chain(_highest_numbers(session), taken):
            self.taken(number)

    def taken(self, number: str) -> None:
        """Somebody else gave a lot this number."""
        digits = number[1:]
        if number.startswith("L") and digits.isascii() and digits.isdigit() and len(number) <= _LONGEST:
            self._highest, self._digits = max((self._highest, self._digits), (int(digits), len(digits)))

    def __next__(self) -> str:
        number = f"L{self._highest + 1:0{self._digits}}"
        self.taken(number)
        return number


def _highest_numbers(session: Session) -> Iterable[str]:
    """Of the lots numbered L and digits, the highest of each length: equally long, they come in the order of text."""
    number = t.lots.c.number
    length, rest = func.length(number), func.ltrim(func.substr(number, 2), "0123456789")
    return session.scalars(
        select(func.max(number)).where(number.like("L%"), length <= _LONGEST, rest == "").group_by(length)
    )


def drawers(session: Session) -> set[str]:
    """Every drawer that a lot ever lay in, as it was spelled."""
    lot, move = t.lots.c.drawer, t.moves.c.drawer
    questions = (select(lot).distinct(), select(move).where(literal_column("moves.drawer <> ''")).distinct())
    return {drawer for question in questions for drawer in session.scalars(question) if drawer}


_LONGEST = 10  # a longer row of digits after an L is a supplier's code typed as a lot's number: our own choice


def add_moves(session: Session, entries: Iterable[Move]) -> tuple[Move, ...]:
    """Add entries together, or refuse them together; they are returned with the sequence the ledger gave them.

    Refused: a sign that is not the kind's, a lot that isn't there or is of another part, pieces that aren't there or
    aren't free, an entry undone twice, a quantity finer than a thousandth. A count is a fact: it may leave less than
    was promised, and then less than nothing is available.
    """
    take_turn(session)
    numbered = _numbered(session, tuple(entries))
    if not numbered:
        return ()
    for move in numbered:
        check_sign(move)
    moved = {lot.number: lot for lot in lots(session, {m.lot for m in numbered if m.lot})}
    _must_name_lots(moved, numbered)
    _must_undo_once(session, numbered)
    left = _must_be_there(session, numbered)
    rows = [_move_row(session, m) for m in numbered]
    session.execute(insert(t.moves), rows)
    follow(session, numbered, moved, left)
    follow_promises(session, (row for row in rows if row["lot"] is None))
    return numbered


def _numbered(session: Session, entries: Sequence[Move]) -> tuple[Move, ...]:
    last = session.scalar(select(func.max(t.moves.c.sequence))) or 0
    return tuple(replace(m, sequence=number) for number, m in enumerate(entries, last + 1))


def _must_name_lots(moved: Mapping[str, Lot], entries: Sequence[Move]) -> None:
    for move in entries:
        if not move.lot and move.kind not in (MoveKind.RESERVE, MoveKind.RELEASE):
            raise Refused(f"expected a lot for {move.part_number}; only a promise can go without one")
        if move.lot and (move.lot not in moved or moved[move.lot].part_number != move.part_number):
            raise Refused(f"there is no lot {move.lot} of {move.part_number}")


def _must_undo_once(session: Session, entries: Sequence[Move]) -> None:
    """An entry is undone once, whoever else may be at it."""
    undoing = Counter(m.counters for m in entries if m.counters is not None)
    for number in (n for n, times in undoing.items() if times > 1):
        raise Refused(f"entry {number} is undone already")
    for number in undone_among(session, undoing):
        raise Refused(f"entry {number} is undone already")


def _must_be_there(session: Session, entries: Sequence[Move]) -> Mapping[str, Level]:
    """Judged by what all entries together leave, so their order does not matter: the level of each lot."""
    before = shelf(session, {m.part_number for m in entries})
    parts, by_lot = dict(before.parts), dict(before.lots)
    for move in entries:
        parts[move.part_number] = after(parts.get(move.part_number, Level()), move)
        by_lot[move.lot] = after(by_lot.get(move.lot, Level()), move)
    counted = {n for m in entries if m.kind is MoveKind.COUNT for n in (m.part_number, m.lot)}
    for then, now in ((before.parts, parts), (before.lots, by_lot)):
        for name in sorted(now.keys() - {""}):
            _must_hold(name, then.get(name, Level()), now[name], name in counted)
    return by_lot


_NOTHING = Decimal(0)


def _must_hold(name: str, before: Level, after: Level, counted: bool) -> None:
    if after.on_hand < min(before.on_hand, _NOTHING):
        raise Refused(f"only {before.on_hand} of {name} on hand, {before.on_hand - after.on_hand} wanted")
    if after.available < min(before.available, _NOTHING) and not counted:
        taken = before.available - after.available
        raise Refused(f"only {before.available} of {name} available, {taken} wanted")
    if after.reserved < min(before.reserved, _NOTHING):
        raise Refused(f"only {before.reserved} of {name} reserved, {before.reserved - after.reserved} released")
    if after.held < min(before.held, _NOTHING):
        raise Refused(f"only {before.held} of {name} held, {before.held - after.held} freed")


def moves(
    session: Session, part: str | None = None, *, reference: str | None = None, lot: str | None = None
) -> tuple[Move, ...]:
    """The ledger's entries in their order: all, or those of a part, of a lot, or with a reference."""
    names, conditions = part_names(session), []
    if part is not None:
        conditions.append(t.moves.c.part_number == names.part(part)[0])
    if reference is not None:
        conditions.append(t.moves.c.reference == reference)
    if lot is not None:
        conditions.append(t.moves.c.lot == lot)
    found = _moves(session, names, conditions)
    return found if part is None else tuple(move for move in found if move.part_number == part)


def _moves(session: Session, names: PartNames, conditions: Sequence[ColumnElement[bool]]) -> tuple[Move, ...]:
    rows = select(t.moves, _MAKER).select_from(_WITH_LOTS).where(*conditions).order_by(t.moves.c.sequence)
    return tuple(_move(row, names) for row in session.execute(rows))


_WITH_LOTS = t.moves.outerjoin(t.lots, t.lots.c.number == t.moves.c.lot)
_MAKER = func.coalesce(t.lots.c.maker, t.moves.c.maker).label("whose")
"""An entry is of its lot's maker; a promise without a lot says its own."""
_OUT: ColumnElement[bool] = literal_column("moves.kind = 'out'")
"""Written out as the indexes of what went out have it: asked by a parameter, a database would not use them."""
_CAME: ColumnElement[bool] = literal_column(f"moves.{t.CAME}")


def moves_between(session: Session, first: int, last: int) -> tuple[tuple[Move, ...], set[int]]:
    """(the entries of these numbers, which of them were undone by later ones)."""
    c = t.moves.c
    undone = select(c.counters).where(c.counters.between(first, last))
    entries = _moves(session, part_names(session), [c.sequence.between(first, last)])
    return entries, {number for number in session.scalars(undone) if number is not None}


def undone_among(session: Session, numbers: Iterable[int]) -> list[int]:
    """Those of these entries that another one undoes."""
    c = t.moves.c.counters
    pieces = in_pieces(sorted(set(numbers)))
    return [n for some in pieces for n in session.scalars(select(c).where(c.in_(some))) if n is not None]


def move_numbered(session: Session, sequence: int) -> Move | None:
    """The entry of this number, or None."""
    if not 0 < sequence < 2**31:
        return None
    return next(iter(_moves(session, part_names(session), [t.moves.c.sequence == sequence])), None)


def undone_by(session: Session, sequence: int) -> int | None:
    """The number of the entry that undoes this one, or None."""
    return session.scalar(select(t.moves.c.sequence).where(t.moves.c.counters == sequence))


def out_of(session: Session, lots: Iterable[str]) -> tuple[Move, ...]:
    """The entries that took pieces of these lots out, and that nothing undid."""
    return _gone(session, t.moves.c.lot, lots)


def into(session: Session, kit_lots: Iterable[str]) -> tuple[Move, ...]:
    """The entries that took pieces out for these kit lots, and that nothing undid."""
    return _gone(session, t.moves.c.reference, kit_lots)


def gone_to(session: Session, whom: str) -> tuple[Move, ...]:
    """The entries that took pieces out for a job or a customer, however it is spelled, and that nothing undid."""
    c, words = t.moves.c, spelled(session, whom)
    found = {m.sequence: m for column in (c.reason, c.reference, c.customer) for m in _gone(session, column, words)}
    return tuple(found[number] for number in sorted(found))


def promises_for(session: Session, part: str, job: str) -> tuple[Move, ...]:
    """What was reserved of a part for a job, however that is spelled, and let go again."""
    c, names = t.moves.c, part_names(session)
    kinds = [MoveKind.RESERVE.value, MoveKind.RELEASE.value]
    mine = (c.reference.in_(spelled(session, job)), c.part_number == names.part(part)[0], c.kind.in_(kinds))
    return tuple(move for move in _moves(session, names, mine) if move.part_number == part)


def uses(session: Session, since: date, parts: Iterable[str] | None = None) -> Iterator[tuple[str, date, Decimal]]:
    """(part, day, how much) of all that went out from this day on and was not undone, of all parts or of these."""
    c, names = t.moves.c, part_names(session)
    wanted = None if parts is None else set(parts)
    out: list[ColumnElement[bool]] = [_OUT, c.moment >= since.isoformat()]
    undone = set(session.scalars(select(c.counters).where(*out, c.counters.is_not(None))))
    columns = (c.sequence, c.part_number, _MAKER, c.moment, c.thousandths)
    rows = select(*columns).select_from(_WITH_LOTS).where(*out, c.counters.is_(None))
    numbers = None if wanted is None else {names.part(part)[0] for part in wanted}
    streamed = rows_among(session, rows.execution_options(yield_per=AT_ONCE), c.part_number, numbers)
    for sequence, number, maker, moment, thousandths in streamed:
        part = names.name(number, maker)
        if sequence not in undone and (wanted is None or part in wanted):
            yield part, date.fromisoformat(moment[:10]), _quantity(-thousandths)


def known_since(session: Session, parts: Iterable[str] | None = None) -> dict[str, date]:
    """Part to the day on which its first lot came, of all parts or of these; those of no known day are left out."""
    c, names = t.lots.c, part_names(session)
    wanted = None if parts is None else set(parts)
    numbers = None if wanted is None else {names.part(part)[0] for part in wanted}
    first = select(c.part_number, c.maker, func.min(c.received)).group_by(c.part_number, c.maker)
    answer: dict[str, date] = {}
    for number, maker, moment in rows_among(session, first.where(c.received.is_not(None)), c.part_number, numbers):
        part, day = names.name(number, maker), date.fromisoformat(moment[:10])
        if wanted is None or part in wanted:
            answer[part] = min(day, answer.get(part, day))
    return answer


def last_uses(session: Session, parts: Iterable[str]) -> dict[str, date]:
    """Each of these parts to the last day on which some of it went out and that was not undone; those never used are
    left out."""
    c, names, wanted = t.moves.c, part_names(session), set(parts)
    undo = t.moves.alias()
    undone = select(undo.c.counters).where(undo.c.counters == c.sequence).exists()
    rows = select(c.part_number, _MAKER, func.max(c.moment).label("last")).select_from(_WITH_LOTS)
    rows = rows.where(_OUT, c.counters.is_(None), ~undone).group_by(c.part_number, _MAKER)
    answer: dict[str, date] = {}
    for row in rows_among(session, rows, c.part_number, {names.part(part)[0] for part in wanted}):
        part, day = names.name(row.part_number, row.whose), date.fromisoformat(row.last[:10])
        if part in wanted:
            answer[part] = max(day, answer.get(part, day))
    return answer


def changes_between(session: Session, first: date, last: date) -> Iterator[Entry]:
    """What changed on hand from the first day to the last and was not undone, read as it is wanted."""
    c, lot, names = t.moves.c, t.lots.c, part_names(session)
    kits = {row.number: row.kit for row in session.execute(select(t.kit_lots.c.number, t.kit_lots.c.kit))}
    undone = set(session.scalars(select(c.counters).where(c.counters.is_not(None))))
    columns = (c.sequence, c.moment, c.kind, c.thousandths, c.lot, c.reference, c.customer)
    whose = (lot.part_number, lot.maker, lot.supplier, lot.cost_millionths, lot.cost_currency)
    span = (c.moment >= first.isoformat(), c.moment < (last + timedelta(days=1)).isoformat(), c.counters.is_(None))
    for some in (_OUT, _CAME):
        rows = select(*columns, *whose).join(t.lots, lot.number == c.lot).where(some, *span)
        for (
            sequence, moment, kind, thousandths, number, reference, customer, part, maker, supplier, millionths, code
        ) in session.execute(rows.execution_options(yield_per=AT_ONCE)):  # fmt: skip
            if sequence not in undone:
                cost = None if millionths is None else Money(millionths, code)
                yield Entry(
                    date.fromisoformat(moment[:10]), MoveKind(kind), thousandths, names.name(part, maker), supplier,
                    customer, kits.get(reference, ""), kits.get(number, ""), cost,
                )  # fmt: skip


def _gone(session: Session, column: ColumnElement[Any], among: Iterable[str]) -> tuple[Move, ...]:
    c, names, found = t.moves.c, part_names(session), list[Move]()
    stands: list[ColumnElement[bool]] = [_OUT, c.counters.is_(None)]
    if column is c.customer:
        stands.append(literal_column("moves.customer <> ''"))
    for some in in_pieces(sorted(set(among) - {""})):
        found += _moves(session, names, [*stands, column.in_(some)])
    undone = set(undone_among(session, [move.sequence for move in found]))
    return tuple(move for move in sorted(found, key=lambda m: m.sequence) if move.sequence not in undone)


@dataclass(frozen=True, slots=True)
class Shelf:
    """What is there now, summed by the database: by part, by lot, and what is promised of a part without a lot."""

    parts: dict[str, Level]
    lots: dict[str, Level]
    promised: dict[str, Decimal]


def shelf(session: Session, parts: Iterable[str] | None = None) -> Shelf:
    """What is there of all parts, or of these, by the running figures. A part or lot that is not named has nothing."""
    wanted = None if parts is None else set(parts)
    return summed(lots_there(session, wanted), promised(session, wanted))


def summed(there: Iterable[LotNow], promised: dict[str, Decimal]) -> Shelf:
    """What is there by part and by lot, from the lots that are there and what is promised without one."""
    answer = Shelf({}, {}, promised)
    for one in there:
        answer.lots[one.lot] = one.level
        answer.parts[one.part_number] = answer.parts.get(one.part_number, Level()) + one.level
    for part, quantity in answer.promised.items():
        answer.parts[part] = answer.parts.get(part, Level()) + Level(reserved=quantity)
    return answer


@dataclass(frozen=True, slots=True)
class Lying:
    """A lot of which something is there: how much, and in which drawer it lies."""

    lot: Lot
    level: Level
    drawer: str


def lying(
    session: Session,
    parts: Iterable[str] | None = None,
    drawers: Iterable[str] | None = None,
    over: date | None = None,
) -> tuple[Lying, ...]:
    """The lots of which something is there, by number: of all parts or of these, in all drawers or in these, and, with
    ``over``, only those whose last day was before it."""
    c, names = t.lots_there.c, part_names(session)
    wanted = None if parts is None else set(parts)
    joined = select(t.lots, c.drawer.label("lies_in"), c.on_hand, c.reserved, c.held).join_from(
        t.lots, t.lots_there, c.lot == t.lots.c.number
    )
    if drawers is not None:
        joined = joined.where(c.drawer.in_(sorted(drawers)))
    if over is not None:
        joined = joined.where(t.lots.c.expires < over)
    numbers = None if wanted is None else {names.part(part)[0] for part in wanted}
    found = (_lying(row, names) for row in rows_among(session, joined, c.part_number, numbers))
    return tuple(sorted((x for x in found if wanted is None or x.lot.part_number in wanted), key=_number))


def _lying(row: Any, names: PartNames) -> Lying:
    return Lying(_lot(row, names), level_of(row), row.lies_in)


def _number(one: Lying) -> str:
    return one.lot.number


def drawers_in_use(session: Session) -> set[str]:
    """Every drawer in which something lies, as it was spelled."""
    c = t.lots_there.c
    return {drawer for drawer in session.scalars(select(c.drawer).where(c.on_hand != 0).distinct()) if drawer}


def next_kit_lot(session: Session) -> str:
    """A kit lot's number that nobody has: K and a number, counted up. Call it within ``work``."""
    take_turn(session)
    begun = session.scalar(select(func.count()).select_from(t.kit_lots)) or 0
    return next(name for n in count(begun + 1) if not _is_taken(session, name := f"K{n:05}"))


def _is_taken(session: Session, name: str) -> bool:
    columns = (t.kit_lots.c.number, t.lots.c.number, t.moves.c.reference)
    return any(session.scalar(select(c).where(c == name).limit(1)) is not None for c in columns)


def lots(session: Session, numbers: Iterable[str] | None = None) -> tuple[Lot, ...]:
    """Every lot, or those with these numbers, by number."""
    return _lots(
        session, [[]] if numbers is None else [[t.lots.c.number.in_(n)] for n in in_pieces(sorted(set(numbers)))]
    )


def lots_of_part(session: Session, part: str) -> tuple[Lot, ...]:
    """Every lot of a part that ever came."""
    found = _lots(session, [[t.lots.c.part_number == part_names(session).part(part)[0]]])
    return tuple(lot for lot in found if lot.part_number == part)


def lots_sent_by(session: Session, supplier: str) -> list[str]:
    """The numbers of the lots that a supplier sent, its name in capitals or not."""
    c, wanted = t.lots.c, supplier.casefold()
    spelled_so = [name for name in session.scalars(select(c.supplier).distinct()) if name.casefold() == wanted]
    return list(session.scalars(select(c.number).where(c.supplier.in_(spelled_so)).order_by(c.number)))


def numbers_booked(session: Session) -> tuple[str, ...]:
    """Every part number that a lot ever came of."""
    return tuple(session.scalars(select(t.lots.c.part_number).distinct()))


def part_of_each_lot(session: Session, part_numbers: Iterable[str]) -> Iterator[tuple[str, str]]:
    """(lot number, part) of every lot of these part numbers that ever came, by number."""
    c, names = t.lots.c, part_names(session)
    every = select(c.number, c.part_number, c.maker).order_by(c.number)
    for some in in_pieces(dict.fromkeys(part_numbers)):
        for number, part, maker in session.execute(every.where(c.part_number.in_(some))):
            yield number, names.name(part, maker)


def lot_numbers_like(session: Session, text: str) -> set[str]:
    """What a lot of this number may be called, in capitals or not."""
    return {text.strip(), text.strip().upper(), *spelled(session, text)}


def lots_of_maker(session: Session, code: str) -> tuple[Lot, ...]:
    """The lots that carry this lot code of their maker, in capitals or not."""
    words = sorted(spelled(session, code) - {""})
    return _lots(session, [[literal_column("lots.maker_lot <> ''"), t.lots.c.maker_lot.in_(words)]])


def drawers_of(session: Session, known: Iterable[Lot]) -> dict[str, str]:
    """Lot number to the drawer in which the lot lies, or lay when its last piece went."""
    return last_drawers(session, {lot.number: lot for lot in known})


def _lots(session: Session, questions: Iterable[Sequence[ColumnElement[bool]]]) -> tuple[Lot, ...]:
    names, rows = part_names(session), select(t.lots).order_by(t.lots.c.number)
    return tuple(_lot(row, names) for conditions in questions for row in session.execute(rows.where(*conditions)))


def last_costs(session: Session, parts: Iterable[str] | None = None) -> Iterator[tuple[str, Money]]:
    """What one unit cost of the lots that came last, a part's newest last: one lot for each currency it was paid in.

    Of all parts, or of these; lots without a cost, or that cost nothing, are left out.
    """
    c, names = t.lots.c, part_names(session)
    when = func.coalesce(c.received, "")
    of_its_kind = func.row_number().over(
        partition_by=(c.part_number, c.maker, c.cost_currency), order_by=(when.desc(), c.number.desc())
    )
    columns = (c.part_number, c.maker, c.cost_millionths, c.cost_currency, when.label("came"), c.number)
    numbers = None if parts is None else sorted({names.part(part)[0] for part in parts})
    for some in [None] if numbers is None else in_pieces(numbers):
        among = [] if some is None else [c.part_number.in_(some)]
        lots = select(*columns, of_its_kind.label("place")).where(c.cost_millionths != 0, *among).subquery()
        newest = select(lots).where(lots.c.place == 1).order_by(lots.c.came, lots.c.number)
        for row in session.execute(newest):
            yield names.name(row.part_number, row.maker), Money(row.cost_millionths, row.cost_currency)


class CostEver(NamedTuple):
    """The lowest and the highest that one unit of a part's lots ever cost in a currency, in millionths."""

    part_number: str
    currency: str
    lowest: int
    highest: int


def costs_ever(session: Session) -> Iterator[CostEver]:
    """What the lots of each part ever cost; those without a cost, or that cost nothing, are left out."""
    c = t.lots.c
    cost = c.cost_millionths
    asked = select(c.part_number, c.cost_currency, func.min(cost), func.max(cost)).where(cost != 0)
    return (CostEver(*row) for row in session.execute(asked.group_by(c.cost_currency, c.part_number)))


def set_level(session: Session, part: str, reorder_point: Decimal, order_up_to: Decimal) -> None:
    """Keep the level at which a part is reordered and the one it is ordered up to."""
    drop_level(session, part)
    number, maker = part_and_maker(session, part)
    kept = {"reorder_point": _thousandths(reorder_point), "order_up_to": _thousandths(order_up_to)}
    session.execute(insert(t.levels).values(part_number=number, maker=maker, **kept))


def drop_level(session: Session, part: str) -> bool:
    """Forget the level set for a part; whether there was one."""
    names, number = part_names(session), part_names(session).part(part)[0]
    rows = session.execute(select(t.levels.c.maker).where(t.levels.c.part_number == number))
    makers = [maker for (maker,) in rows if names.name(number, maker) == part]
    mine = (t.levels.c.part_number == number) & t.levels.c.maker.in_(makers)
    session.execute(delete(t.levels).where(mine))
    return bool(makers)


def levels_wanted(session: Session) -> dict[str, tuple[Decimal, Decimal]]:
    """Part to its reorder point and order-up-to level."""
    names = part_names(session)
    rows = session.execute(select(t.levels).order_by(t.levels.c.part_number))
    return {names.name(r.part_number, r.maker): (_quantity(r.reorder_point), _quantity(r.order_up_to)) for r in rows}


def _lot_row(session: Session, lot: Lot) -> dict[str, Any]:
    cost, (number, maker) = lot.unit_cost, part_names(session).part(lot.part_number)
    return {
        **{name: getattr(lot, name) for name in _LOT_TEXTS},
        "part_number": number,
        "maker": maker or lot.maker,
        "cost_millionths": None if cost is None else cost.millionths,
        "cost_currency": None if cost is None else cost.currency,
        "received": moment_text(lot.received),
        "expires": lot.expires,
    }


_LOT_TEXTS = ("number", "part_number", "maker", "drawer", "date_code", "supplier", "maker_lot")


def _lot(row: Any, names: PartNames) -> Lot:
    cost = None if row.cost_millionths is None else Money(row.cost_millionths, row.cost_currency)
    texts = {name: getattr(row, name) for name in _LOT_TEXTS}
    texts["part_number"] = names.name(row.part_number, row.maker)
    return Lot(**texts, unit_cost=cost, received=moment_of(row.received), expires=row.expires)


def _move_row(session: Session, move: Move) -> dict[str, Any]:
    lot_says = bool(move.lot)
    number, maker = (part_names(session).part if lot_says else partial(part_and_maker, session))(move.part_number)
    return {
        "sequence": move.sequence,
        "moment": moment_text(move.when),
        "kind": move.kind.value,
        "part_number": number,
        "maker": "" if lot_says else maker,
        "lot": move.lot or None,
        "thousandths": _thousandths(move.quantity),
        "reason": move.reason,
        "reference": move.reference,
        "counters": move.counters,
        "drawer": move.drawer,
        "customer": move.customer,
    }


def _move(row: Any, names: PartNames) -> Move:
    part, when = names.name(row.part_number, row.whose), datetime.fromisoformat(row.moment)
    texts = (row.lot or "", _quantity(row.thousandths), row.reason, row.reference)
    return Move(row.sequence, when, MoveKind(row.kind), part, *texts, row.counters, row.drawer, row.customer)


def _thousandths(quantity: Decimal) -> int:
    """Whole thousandths of the part's unit: a milligram, a micrometre, or never needed."""
    if abs(quantity) > MOST:
        raise Refused(f"expected at most {MOST:f} at a time, found {quantity:f}")
    exact = quantity * 1000
    if exact != exact.to_integral_value():
        raise Refused(f"quantities are kept to the thousandth, found {quantity}")
    return int(exact)


MOST = Decimal(10**12)
"""The most of a part that one entry may move: sums of thousandths stay far inside 64 bits."""


def _quantity(thousandths: int) -> Decimal:
    return Decimal(thousandths) / 1000
