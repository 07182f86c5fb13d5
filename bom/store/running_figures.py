"""Running figures: what the ledger's entries come to, kept beside them so that no daily question reads the past.

They are what is there of each lot and where it lies, what is promised without a lot, each part's books, what orders
have still to bring, and how jobs and customers were spelled. Whoever enters something brings them up to date in the
same transaction; ``rebuild`` works them all out from the entries again, and ``drifted`` says where the two differ. The
entries stay the only truth.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from decimal import Decimal
from itertools import chain, groupby, islice
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

from sqlalchemy import ColumnElement, Select, Table, case, delete, func, insert, or_, select, tuple_, union

from bom.stock.ledger import Level, Lot, Move, MoveKind
from bom.stock.valuation import Amounts, Layer, PartBooks, booked, books_of
from bom.store import tables as t
from bom.store.marks import mark, marked
from bom.store.part_names import PartNames, find_shared, part_names
from bom.values.money import Money
from bom.values.part_number import normal
from bom.values.problem import Refused

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

T = TypeVar("T")
Told = Callable[[int, int], None] | None
"""Hears how many entries were read, and how many there are; None = nobody does."""

AT_ONCE = 2_000
"""So many things are asked for, or written, in one statement: databases bound how many values one may hold."""


def in_pieces(things: Iterable[T], size: int = AT_ONCE) -> Iterator[list[T]]:
    """The things in their order, so many at a time."""
    left = iter(things)
    while some := list(islice(left, size)):
        yield some


class LotNow(NamedTuple):
    """A lot of which something is there: whose it is, in which drawer it lies, and how much there is."""

    lot: str
    part_number: str
    drawer: str
    level: Level


def lots_there(session: Session, parts: Iterable[str] | None = None) -> list[LotNow]:
    """The lots of which something is there, of all parts or of these."""
    names, c = part_names(session), t.lots_there.c
    wanted = None if parts is None else set(parts)
    numbers = None if wanted is None else {names.part(part)[0] for part in wanted}
    found = (_lot_now(row, names) for row in rows_among(session, select(t.lots_there), c.part_number, numbers))
    return [one for one in found if wanted is None or one.part_number in wanted]


def _lot_now(row: Any, names: PartNames) -> LotNow:
    return LotNow(row.lot, names.name(row.part_number, row.maker), row.drawer, level_of(row))


def level_of(row: Any) -> Level:
    """What a row of ``lots_there`` says is there."""
    return Level(_quantity(row.on_hand), _quantity(row.reserved), _quantity(row.held))


def promised(session: Session, parts: Iterable[str] | None = None) -> dict[str, Decimal]:
    """Part to what is reserved of it without naming a lot."""
    names, c = part_names(session), t.promises.c
    wanted = None if parts is None else set(parts)
    numbers = None if wanted is None else {names.part(part)[0] for part in wanted}
    answer: dict[str, Decimal] = {}
    for row in rows_among(session, select(t.promises), c.part_number, numbers):
        part = names.name(row.part_number, row.maker)
        if wanted is None or part in wanted:
            answer[part] = answer.get(part, Decimal(0)) + _quantity(row.reserved)
    return answer


def part_books(session: Session, parts: Iterable[str] | None = None) -> dict[str, PartBooks]:
    """Part to its books, of all parts that were ever in stock or of those among these."""
    names, c = part_names(session), t.books.c
    wanted = None if parts is None else set(parts)
    numbers = None if wanted is None else {names.part(part)[0] for part in wanted}
    rows = rows_among(session, select(t.books), c.part_number, numbers)
    found = {names.name(row.part_number, row.maker): _books_read(row) for row in rows}
    return {part: books for part, books in found.items() if wanted is None or part in wanted}


def parts_ever_there(session: Session) -> set[str]:
    """The parts and kits that were ever in stock."""
    c, names = t.books.c, part_names(session)
    return {names.name(number, maker) for number, maker in session.execute(select(c.part_number, c.maker))}


def spelled(session: Session, text: str) -> set[str]:
    """The text without capitals, and every way in which it was written."""
    folded = text.strip().casefold()
    return {folded, *session.scalars(select(t.spellings.c.written).where(t.spellings.c.folded == folded))}


def rows_among(
    session: Session, rows: Select[Any], column: ColumnElement[str], among: Iterable[str] | None
) -> Iterator[Any]:
    """All that is asked for, or what of it has a value among these in the column, asked for in pieces."""
    if among is None:
        return iter(session.execute(rows))
    pieces = in_pieces(sorted(among))
    return chain.from_iterable(session.execute(rows.where(column.in_(some))) for some in pieces)


# Written with the entries.


def follow(session: Session, moves: Sequence[Move], lots: Mapping[str, Lot], levels: Mapping[str, Level]) -> None:
    """Bring the figures up to date with entries just made: ``lots`` are those they name, ``levels`` what is there of
    each of these now."""
    _follow_lots(session, moves, lots, levels)
    _follow_books(session, [m for m in moves if m.kind in ON_HAND], lots)
    _spell(session, chain.from_iterable(map(_said_of, moves)))


def _follow_lots(session: Session, moves: Sequence[Move], lots: Mapping[str, Lot], levels: Mapping[str, Level]) -> None:
    touched = {m.lot for m in moves if m.lot and m.kind is not MoveKind.INSPECT}
    if not touched:
        return
    lies = last_drawers(session, {lot: lots[lot] for lot in touched}) | {
        m.lot: m.drawer for m in moves if m.kind is MoveKind.SHIFT
    }
    names = part_names(session)
    rows = [
        {
            "lot": lot,
            "part_number": names.part(lots[lot].part_number)[0],
            "maker": lots[lot].maker,
            "drawer": lies[lot],
            "on_hand": _thousandths(level.on_hand),
            "reserved": _thousandths(level.reserved),
            "held": _thousandths(level.held),
        }
        for lot in sorted(touched)
        if (level := levels.get(lot, Level())) != Level()
    ]
    _put(session, t.lots_there, (t.lots_there.c.lot,), [(lot,) for lot in touched], rows)


def last_drawers(session: Session, lots: Mapping[str, Lot]) -> dict[str, str]:
    """Where each lot lies: as kept if anything of it is there, else by its last shift, else where it was put first."""
    c, m = t.lots_there.c, t.moves.c
    kept = {row.lot: row.drawer for row in rows_among(session, select(c.lot, c.drawer), c.lot, lots)}
    away = [lot for lot in lots if lot not in kept]
    shifts = select(m.lot, m.drawer).where(m.kind == MoveKind.SHIFT.value).order_by(m.sequence)
    shifted = {row.lot: row.drawer for row in rows_among(session, shifts, m.lot, away)}
    return {lot: lots[lot].drawer for lot in away} | shifted | kept


def follow_promises(session: Session, rows: Iterable[Mapping[str, Any]]) -> None:
    """Add what rows of entries without a lot promised, or let go."""
    c, sums = t.promises.c, dict[tuple[str, str], int]()
    for row in rows:
        key = row["part_number"], row["maker"]
        sums[key] = sums.get(key, 0) + row["thousandths"]
    if not sums:
        return
    for row in rows_among(session, select(t.promises), c.part_number, {number for number, _ in sums}):
        if (row.part_number, row.maker) in sums:
            sums[row.part_number, row.maker] += row.reserved
    left = [{"part_number": n, "maker": m, "reserved": some} for (n, m), some in sums.items() if some]
    _put(session, t.promises, (c.part_number, c.maker), sums, left)


def _follow_books(session: Session, moves: Sequence[Move], lots: Mapping[str, Lot]) -> None:
    of: dict[str, list[Move]] = {}
    for move in moves:
        of.setdefault(move.part_number, []).append(move)
    undone = {part for part, some in of.items() if any(m.counters is not None for m in some)}
    kept = part_books(session, of.keys() - undone)
    costs = {lot.number: lot.unit_cost for lot in lots.values()}
    found = {part: booked(kept.get(part, PartBooks()), of[part], costs) for part in of.keys() - undone}
    for part, entries, lot_costs in _entries(session, undone):
        found[part] = books_of(entries, lot_costs)
    _put_books(session, found)


def _put_books(session: Session, found: Mapping[str, PartBooks]) -> None:
    c, names = t.books.c, part_names(session)
    keys = {part: names.part(part) for part in sorted(found)}
    rows = [{"part_number": n, "maker": m, **_books_written(found[part])} for part, (n, m) in keys.items()]
    _put(session, t.books, (c.part_number, c.maker), keys.values(), rows)


def _said_of(move: Move) -> tuple[str, ...]:
    """The job, customer or kit lot that an entry speaks of, and is looked for by."""
    if move.kind is MoveKind.RESERVE:
        return (move.reference,)
    return (move.reason, move.reference, move.customer) if move.kind is MoveKind.OUT and move.counters is None else ()


def _spell(session: Session, written: Iterable[str]) -> None:
    """Remember how a job, a customer or a kit lot was written, where that is not how it is looked for."""
    capital = {text: folded for text in written if text and (folded := text.strip().casefold()) != text}
    c = t.spellings.c
    rows = rows_among(session, select(t.spellings), c.folded, set(capital.values())) if capital else ()
    known = {row.written for row in rows}
    new = [{"folded": folded, "written": text} for text, folded in capital.items() if text not in known]
    _put(session, t.spellings, (), (), new)


def spell_lots(session: Session, lots: Iterable[Lot]) -> None:
    """Remember how new lots and their makers' codes were written."""
    _spell(session, chain.from_iterable((lot.maker_lot, _odd(lot.number)) for lot in lots))


def _odd(number: str) -> str:
    """A lot's number that is not all capitals, else nothing: those in capitals are found without being remembered."""
    return number if number != number.upper() else ""


def follow_order(session: Session, row: Mapping[str, Any]) -> None:
    """Add to what an order has still to bring what one row of its entries says."""
    c = t.orders_open.c
    key = (c.number, c.supplier, c.part_number, c.maker)
    mine = [column == row[column.name] for column in key]
    kept = session.execute(select(c.thousandths).where(*mine)).scalar() or 0
    entries = [t.orders.c[column.name] == row[column.name] for column in key]
    left, due = row["thousandths"] + kept, session.scalar(select(func.max(t.orders.c.due)).where(*entries))
    new = [{**{column.name: row[column.name] for column in key}, "thousandths": left, "due": due}] if left else []
    _put(session, t.orders_open, key, [tuple(row[column.name] for column in key)], new)


def _put(
    session: Session,
    table: Table,
    key: Sequence[ColumnElement[Any]],
    gone: Iterable[tuple[Any, ...]],
    rows: Sequence[Mapping[str, Any]],
) -> None:
    """These rows in the place of those with such keys."""
    for some in in_pieces(gone):
        session.execute(delete(table).where(tuple_(*key).in_(some)))
    for some_rows in in_pieces(rows):
        session.execute(insert(table), some_rows)


# Worked out again from the entries.


def fill_once(session: Session) -> None:
    """Fill the figures of a database that was just brought to this version, if nothing has filled them yet."""
    if marked(session, TO_FILL):
        rebuild(session)
        mark(session, TO_FILL, 0)


TO_FILL = "running figures to fill"
"""The mark that the migration leaves."""


def rebuild(session: Session, told: Told = None) -> None:
    """Work out every figure from the entries, in place of what was kept. Takes a minute for each million or two."""
    for table, expected in _by_the_entries().items():
        session.execute(delete(table))
        session.execute(insert(table).from_select([c.name for c in table.c], expected))
    session.execute(delete(t.books))
    for some in in_pieces(_all_books(session, told)):
        _put_books(session, {part: books for part, books, _ in some if books is not None})
    session.execute(delete(t.spellings))
    for written in in_pieces(_written(session)):
        _spell(session, written)


def mark_shared(session: Session) -> None:
    """Find out afresh which numbers two makers have, and work out the books of those that changed: two makers' parts
    have books each. To be called whenever parts were added or taken out."""
    before = part_names(session).shared
    find_shared(session)
    changed = {normal(number) for number, _ in before ^ part_names(session).shared}
    ours = {n for n in session.scalars(select(t.books.c.part_number)) if normal(n) in changed} if changed else set()
    if ours:
        _put(session, t.books, (t.books.c.part_number,), [(n,) for n in ours], [])
        _put_books(session, {part: books_of(entries, costs) for part, entries, costs in _entries_of(session, ours)})


def _by_the_entries() -> dict[Table, Select[Any]]:
    """What each table of plain sums ought to hold, as a question to the database."""
    return {t.lots_there: _lots_by_entries(), t.promises: _promises_by_entries(), t.orders_open: _orders_by_entries()}


def _lots_by_entries() -> Select[Any]:
    m, lot = t.moves.c, t.lots.c
    on_hand, reserved, held = (sum_of(kinds) for kinds in (ON_HAND, RESERVED, HELD))
    sums = (
        select(m.lot, on_hand.label("on_hand"), reserved.label("reserved"), held.label("held"))
        .where(m.lot.is_not(None))
        .group_by(m.lot)
        .having(or_(on_hand != 0, reserved != 0, held != 0))
        .subquery()
    )
    shift = t.moves.alias()
    last = select(shift.c.drawer).where(shift.c.lot == lot.number, shift.c.kind == MoveKind.SHIFT.value)
    drawer = func.coalesce(last.order_by(shift.c.sequence.desc()).limit(1).scalar_subquery(), lot.drawer)
    columns = (lot.number, lot.part_number, lot.maker, drawer, sums.c.on_hand, sums.c.reserved, sums.c.held)
    return select(*columns).join(sums, sums.c.lot == lot.number)


def _promises_by_entries() -> Select[Any]:
    m, reserved = t.moves.c, sum_of(RESERVED)
    sums = select(m.part_number, m.maker, reserved).where(m.lot.is_(None))
    return sums.group_by(m.part_number, m.maker).having(reserved != 0)


def _orders_by_entries() -> Select[Any]:
    c = t.orders.c
    key = (c.number, c.supplier, c.part_number, c.maker)
    return select(*key, func.sum(c.thousandths), func.max(c.due)).group_by(*key).having(func.sum(c.thousandths) != 0)


def sum_of(kinds: Iterable[MoveKind]) -> ColumnElement[int]:
    """The sum of the entries of these kinds, in thousandths."""
    m = t.moves.c
    return func.sum(case((m.kind.in_([kind.value for kind in kinds]), m.thousandths), else_=0))


# Which entries change what.
ON_HAND = (MoveKind.IN, MoveKind.OUT, MoveKind.COUNT)
RESERVED = (MoveKind.RESERVE, MoveKind.RELEASE)
HELD = (MoveKind.HOLD, MoveKind.FREE)

PartEntries = tuple[str, list[Move], dict[str, Money | None]]
"""A part, the entries that changed what is on hand of it, and what one unit of each of its lots cost."""


def _entries(session: Session, parts: Iterable[str]) -> Iterator[PartEntries]:
    """The entries of these parts."""
    wanted, names = set(parts), part_names(session)
    found = _entries_of(session, {names.part(part)[0] for part in wanted})
    return (one for one in found if one[0] in wanted)


def _entries_of(session: Session, numbers: Iterable[str] | None = None) -> Iterator[PartEntries]:
    """The entries of all part numbers or of these, part by part, read as they are wanted."""
    m, lot, names = t.moves.c, t.lots.c, part_names(session)
    columns = (m.sequence, m.kind, m.part_number, m.lot, m.thousandths, m.counters)
    rows = (
        select(*columns, lot.maker, lot.cost_millionths, lot.cost_currency)
        .join(t.lots, lot.number == m.lot)
        .where(m.kind.in_([kind.value for kind in ON_HAND]))
        .order_by(m.part_number, m.sequence)
        .execution_options(yield_per=AT_ONCE)
    )
    for _, some in groupby(rows_among(session, rows, m.part_number, numbers), key=lambda row: row.part_number):
        of: dict[str, tuple[list[Move], dict[str, Money | None]]] = {}
        for number, kind, part_number, name, thousandths, counters, maker, millionths, currency in some:
            part = names.name(part_number, maker)
            moves, costs = of.setdefault(part, ([], {}))
            moves.append(Move(number, _EVER, MoveKind(kind), part, name, _quantity(thousandths), counters=counters))
            if name not in costs:
                costs[name] = None if millionths is None else Money(millionths, currency)
        yield from ((part, moves, costs) for part, (moves, costs) in of.items())


_EVER = datetime.min.replace(tzinfo=UTC)


def _all_books(session: Session, told: Told) -> Iterator[tuple[str, PartBooks | None, str]]:
    """(part, its books by its entries; else None and why they cannot be) of every part."""
    count, read = session.scalar(select(func.count()).select_from(t.moves)) or 0, 0
    for part, moves, costs in _entries_of(session):
        read += len(moves)
        if told is not None:
            told(read, count)
        try:
            yield part, books_of(moves, costs), ""
        except Refused as refused:
            yield part, None, str(refused)


def _written(session: Session) -> Iterator[str]:
    """Every job, customer and kit lot that pieces ever went to, and what lots were called."""
    m, lot = t.moves.c, t.lots.c
    gone = (m.kind == MoveKind.OUT.value, m.counters.is_(None))
    every = union(
        *(select(column).where(*gone, column != "") for column in (m.reason, m.reference, m.customer)),
        select(m.reference).where(m.kind == MoveKind.RESERVE.value),
    )
    yield from session.scalars(every.execution_options(yield_per=AT_ONCE))
    for number, code in session.execute(select(lot.number, lot.maker_lot).execution_options(yield_per=AT_ONCE)):
        yield from (code, _odd(number))


# Where the two differ.

FEW = 20
"""So many differences of a kind are named; the rest are counted. Own choice."""


def drifted(session: Session, told: Told = None) -> Iterator[str]:
    """A line for each figure that is not what the entries come to, the first few of each kind by name."""
    for (table, expected), what in zip(_by_the_entries().items(), ("lot", "promised of", "order"), strict=True):
        kept = select(*table.c)
        wrong = chain(*(session.execute(one.except_(other)) for one, other in ((kept, expected), (expected, kept))))
        keys = [column.name for column in table.primary_key]
        yield from _few(dict.fromkeys(f"{what} {' '.join(filter(None, row[: len(keys)]))}" for row in wrong))
    yield from _few(_drifted_books(session, told))


def _few(wrong: Iterable[str]) -> Iterator[str]:
    left = iter(wrong)
    for one in islice(left, FEW):
        yield f"{one}: the figure kept is not what the entries come to; bom db check --rebuild works it out again"
    if more := sum(1 for _ in left):
        yield f"and {more} more like the last"


def _drifted_books(session: Session, told: Told) -> Iterator[str]:
    parts = 0
    for some in in_pieces(_all_books(session, told)):
        parts += len(some)
        kept = part_books(session, {part for part, _, _ in some})
        for part, books, why in some:
            if kept.get(part) != books:
                yield f"books of {part}" + (f" ({why})" if why else "")
    if (rows := session.scalar(select(func.count()).select_from(t.books)) or 0) > parts:
        yield f"books of {rows - parts} parts without entries"


# How figures are written.


def _books_written(books: PartBooks) -> dict[str, Any]:
    return {
        "on_hand": _thousandths(books.average.quantity),
        "came_in": _amounts_written(books.came_in),
        "average": _amounts_written(books.average.worth),
        "layers": "\n".join(f"{_thousandths(x.quantity)} {_amounts_written(x.worth)}" for x in books.fifo),
    }


def _books_read(row: Any) -> PartBooks:
    layers = tuple(_layer_read(line) for line in row.layers.split("\n")) if row.layers else ()
    average = Layer(_quantity(row.on_hand), _amounts_read(row.average))
    return PartBooks(_amounts_read(row.came_in), average, layers)


def _layer_read(line: str) -> Layer:
    thousandths, _, worth = line.partition(" ")
    return Layer(_quantity(int(thousandths)), _amounts_read(worth))


def _amounts_written(amounts: Amounts) -> str:
    return " ".join(f"{currency}:{millionths}" for currency, millionths in sorted(amounts.items()))


def _amounts_read(text: str) -> Amounts:
    return {currency: int(millionths) for currency, _, millionths in (word.partition(":") for word in text.split())}


def _quantity(thousandths: int) -> Decimal:
    return Decimal(int(thousandths)) / 1000


def _thousandths(quantity: Decimal) -> int:
    return int(quantity * 1000)
