"""The shelf from files: opening stock, usage to book out, usage of the past, levels to order at; all or nothing.

A file booked twice is noticed by its content, whatever its name; and all that one file booked is undone together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import fields, replace
from datetime import UTC, datetime, time
from decimal import Decimal
from functools import cache, partial
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from bom.intake.shelf_files import read_levels, read_opening_stock, read_usage
from bom.shop.amounts import no_rate, plain
from bom.shop.names import Drawers, Part, part_stated
from bom.shop.readings import how_read, remember
from bom.shop.shop import Shop
from bom.stock.ledger import Level, Lot, Move, MoveKind, after, pick, reversal
from bom.store.on_order import add_order, came_of, entered_between
from bom.store.running_figures import promised
from bom.store.shelf import LotNumbers, add_lots, add_moves, lots_known, lying, moves_between, set_level
from bom.store.shop_files import Used, keep_taken, last_entries, mark_undone, rows_of, take_past_usage, taken_files
from bom.values.problem import Problem, ProblemsFound, Refused
from bom.values.reading import AS_THEY_ARE, HowAsked

if TYPE_CHECKING:
    from bom.intake.rows import Row
    from bom.intake.shelf_files import OpeningLot, UsageRow
    from bom.store.shop_files import TakenFile
    from bom.store.unit_of_work import Session


class _Row(Protocol):
    @property
    def part_number(self) -> str: ...
    @property
    def line(self) -> int: ...
    @property
    def row(self) -> Row | None: ...


R = TypeVar("R", bound=_Row)
Wrong = tuple[str, str, str]  # column, what was expected, what was found


def goods_in_file(
    session: Session, path: Path, leave_out: Sequence[str] = (), again: bool = False, asked: HowAsked = AS_THEY_ARE
) -> list[str]:
    """Book every lot of a stock file in, with its day; all or nothing. Raises ProblemsFound with every wrong row, and
    Refused where a file that says the same was booked before, unless ``again``."""
    shop = Shop(session)
    how = how_read(session, asked)
    rows, told = read_opening_stock(path, leave_out, how)
    taken = set(lots_known(session, (row.lot for row in rows if row.lot)))
    mark = mark_of("stock", rows)
    must_be_new(shop, "stock", path.name, mark, again)
    numbers = _parts_of(shop, rows, lambda row: _wrong_lot(shop, row, taken))
    drawers = Drawers(shop)
    free, why = LotNumbers(session, (row.lot for row in rows)), f"goods in, {path.name}"
    with booked_once(shop, "stock", path.name, mark, again) as notes:
        coming = [
            _lot_of(row, part, row.lot or next(free), drawers.named(row.drawer))
            for row, part in zip(rows, numbers, strict=True)
        ]
        add_lots(session, [(lot, _goods_in(lot, row.quantity, why)) for lot, row in zip(coming, rows, strict=True)])
    remember(session, how)
    uncosted = sum(row.unit_cost is None for row in rows)
    note = [f"note: {uncosted} lots state no cost, so their parts' average is not known"] if uncosted else []
    return [f"{len(rows)} lots of {len(set(numbers))} parts taken from {path.name}", *note, *notes, *told]


def _lot_of(row: OpeningLot, part: Part, number: str, drawer: str) -> Lot:
    when = datetime.combine(row.received, time(9), tzinfo=UTC) if row.received else datetime.now(UTC)
    return Lot(
        number, part.name, part.maker, drawer, row.date_code, row.supplier, row.unit_cost, when, row.expires,
        row.maker_lot,
    )  # fmt: skip


def _goods_in(lot: Lot, quantity: Decimal, why: str) -> Move:
    return Move(0, lot.received or datetime.now(UTC), MoveKind.IN, lot.part_number, lot.number, quantity, why)


def _wrong_lot(shop: Shop, row: OpeningLot, taken: set[str]) -> Wrong | None:
    if row.lot in taken:
        return "lot", "a lot that is not there yet", row.lot
    if row.unit_cost is not None and (why := no_rate(shop, row.unit_cost.currency)):
        return "currency", f"a currency that can be converted ({why})", row.unit_cost.currency
    return None


def goods_out_file(
    session: Session, path: Path, leave_out: Sequence[str] = (), again: bool = False, asked: HowAsked = AS_THEY_ARE
) -> list[str]:
    """Book out what a usage file says was used, each row on its day from the lots that go first.

    Raises ProblemsFound with every row that cannot be taken, as where less was there than was used; Refused where a
    file that says the same was booked before, unless ``again``.
    """
    shop = Shop(session)
    how = how_read(session, asked)
    rows, told = read_usage(path, leave_out, how)
    mark = mark_of("usage", rows)
    must_be_new(shop, "usage", path.name, mark, again)
    parts = [part for part, _ in _parts_of(shop, rows)]
    with booked_once(shop, "usage", path.name, mark, again) as notes:
        _book_out(shop, rows, parts)
    remember(session, how)
    return [f"{len(rows)} entries of {len(set(parts))} parts booked out from {path.name}", *notes, *told]


def _book_out(shop: Shop, rows: Sequence[UsageRow], parts: Sequence[str]) -> None:
    """Each row from what the rows before it left."""
    promises, lots, levels = promised(shop.session, parts), dict[str, list[Lot]](), dict[str, Level]()
    for one in lying(shop.session, parts):
        lots.setdefault(one.lot.part_number, []).append(one.lot)
        levels[one.lot.number] = one.level
    out, problems = list[Move](), list[Problem]()
    for row, part in zip(rows, parts, strict=True):
        try:
            picked = pick(part, row.quantity, lots.get(part, ()), levels, promises.get(part, Decimal(0)), row.day)
        except Refused as refused:
            problems.append(wrong_row(row, "quantity", f"what is there to be used ({refused})"))
            continue
        for move in _out(row, picked):
            levels[move.lot] = after(levels[move.lot], move)
            out.append(move)
    if problems:
        raise ProblemsFound(problems)
    add_moves(shop.session, out)


def _out(row: UsageRow, picked: Iterable[tuple[Lot, Decimal]]) -> list[Move]:
    when, why = datetime.combine(row.day, time(15), tzinfo=UTC), row.reason or "used"
    return [Move(0, when, MoveKind.OUT, lot.part_number, lot.number, -take, why) for lot, take in picked]


def past_usage_file(
    session: Session, path: Path, leave_out: Sequence[str] = (), again: bool = False, asked: HowAsked = AS_THEY_ARE
) -> list[str]:
    """Keep what was used before the ledger began: levels learn from it, nothing is booked. The file's name is its key.
    Refused where a file of another name says the same, unless ``again``."""
    shop = Shop(session)
    how = how_read(session, asked)
    rows, told = read_usage(path, leave_out, how)
    parts = [part for part, _ in _parts_of(shop, rows)]
    used = [Used(row.day, part, row.quantity, row.reason) for row, part in zip(rows, parts, strict=True)]
    mark = mark_of(PAST, rows)
    replaced = put_in_place_of(shop, PAST, path.name, mark)
    with booked_once(shop, PAST, path.name, mark, again or replaced):
        count = take_past_usage(shop.session, path.name, used)
    remember(session, how)
    return [
        f"{count} entries of {len(set(parts))} parts kept from {path.name}: for levels alone, nothing is booked",
        *told,
    ]


def levels_file(
    session: Session, path: Path, leave_out: Sequence[str] = (), asked: HowAsked = AS_THEY_ARE
) -> list[str]:
    """Set the level of every part in the file; a part that states only one of the two is named and left alone."""
    shop = Shop(session)
    how = how_read(session, asked)
    rows, told = read_levels(path, leave_out, how)
    parts = [part for part, _ in _parts_of(shop, rows)]
    half = []
    for row, part in zip(rows, parts, strict=True):
        if row.reorder_point is None or row.order_up_to is None:
            half.append(f"note: {part}, line {row.line}: expected both a point and a level to order up to; left alone")
        else:
            set_level(shop.session, part, row.reorder_point, row.order_up_to)
    remember(session, how)
    return [f"{len(rows) - len(half)} levels taken from {path.name}", *half, *told]


def _parts_of(shop: Shop, rows: Sequence[R], wrong: Callable[[R], Wrong | None] = lambda row: None) -> list[Part]:
    """The catalogue's part for every row; every row that cannot be taken is a problem."""
    units, stated = shop.units, cache(partial(part_stated, shop))
    shop.calls.expect(row.part_number for row in rows)
    problems: list[Problem] = []
    answer = []
    for row in rows:
        try:
            answer.append(stated(row.part_number, getattr(row, "maker", "")))
            found = in_its_unit(row, answer[-1].name, units) or wrong(row)
        except Refused as refused:
            found = ("part_number", f"a part in the catalogue ({refused})", row.part_number)
        if found:
            problems.append(wrong_row(row, *found))
    if problems:
        raise ProblemsFound(problems)
    return answer


def wrong_row(row: _Row, column: str, expected: str, found: str = "") -> Problem:
    """What is wrong in a row of a file, with its place there."""
    return row.row.problem(column, expected, found) if row.row else Problem("", row.line, column, expected, found)


def in_its_unit(row: _Row, part: str, units: Mapping[str, str]) -> Wrong | None:
    """An amount is in the unit that its part is kept in, and pieces come whole."""
    quantity, own = getattr(row, "quantity", None), units.get(part, "piece")
    for unit in sorted({getattr(row, "unit", "piece"), *getattr(row, "units", ())} - {"piece", own}):
        return (
            "quantity" if quantity is not None else "reorder_point",
            f"an amount in {own}, which {part} is kept in",
            unit,
        )
    if part in units or quantity is None or quantity == quantity.to_integral_value():
        return None
    return "quantity", "whole pieces", plain(quantity)


PAST = "past usage"

SHORT = 8
"""So many characters of a mark name a file among a shop's files. Own choice."""


def mark_of(kind: str, rows: Iterable[Any]) -> str:
    """What a file says, as one mark: its rows in any order and at any line, amounts however they are written."""
    said = sorted("|".join(_plain(row)) for row in rows)
    return sha256("\n".join([kind, *said]).encode()).hexdigest()


def _plain(row: Any) -> Iterator[str]:
    for field in fields(row):
        value = getattr(row, field.name)
        if field.name not in ("line", "row", "unit"):
            yield f"{value.normalize():f}" if isinstance(value, Decimal) else str(value)


def must_be_new(shop: Shop, kind: str, name: str, mark: str, again: bool) -> None:
    """Refused where the content was booked before and stands, unless ``again`` says that it is meant."""
    same = [one for one in _standing(shop, kind) if one.mark == mark]
    if same and not again:
        before = same[-1]
        raise Refused(
            f"{name} was booked before, on {before.when.date()}{_as(before, name)}; nothing was booked now. "
            f"--again books it once more, so that it counts twice; bom stock undo --file {mark[:SHORT]} takes the "
            "first one back"
        )


@contextmanager
def booked_once(shop: Shop, kind: str, name: str, mark: str, again: bool) -> Iterator[list[str]]:
    """Around the booking of a file: its entries are remembered as its own; gives notes to tell. Refused as by
    ``must_be_new``."""
    must_be_new(shop, kind, name, mark, again)
    named = [one for one in _standing(shop, kind) if one.name == name and one.mark != mark]
    since = last_entries(shop.session)
    yield [f"note: a file {name} with other content was booked on {one.when.date()}" for one in named[-1:]]
    keep_taken(shop.session, kind, name, mark, datetime.now(UTC), since)


def _standing(shop: Shop, kind: str) -> list[TakenFile]:
    return [one for one in taken_files(shop.session) if one.undone is None and one.kind == kind]


def put_in_place_of(shop: Shop, kind: str, name: str, mark: str) -> bool:
    """Forget earlier files of this name, where the new one takes their place; whether the same content was among
    them."""
    earlier = [one for one in _standing(shop, kind) if one.name == name]
    for one in earlier:
        mark_undone(shop.session, one.number, datetime.now(UTC))
    return any(one.mark == mark for one in earlier)


def _as(before: TakenFile, name: str) -> str:
    return f" as {before.name}" if before.name != name else ""


def undo_file(session: Session, text: str, reason: str = "") -> list[str]:
    """Undo everything that a file booked, by counter-entries; ``text`` is its name, or the first characters of its
    mark. Refused where something rests on its entries: pieces that went on, orders of which something came."""
    shop = Shop(session)
    taken, when = _file_meant(shop, text), datetime.now(UTC)
    why = reason or f"undoes {taken.name}"
    moves = _moves_undone(shop, taken, when, why)
    orders = _orders_undone(shop, taken, when)
    past = _past_undone(shop, taken)
    mark_undone(shop.session, taken.number, when)
    said = [f"{moves} entries", f"{orders} order lines", f"{past} rows of past usage"]
    counts = [words for words, count in zip(said, (moves, orders, past), strict=True) if count]
    return [f"{taken.name} of {taken.when.date()} undone: {', '.join(counts) or 'nothing of it stood any more'}"]


def _file_meant(shop: Shop, text: str) -> TakenFile:
    wanted = text.strip()
    files = taken_files(shop.session)
    found = [one for one in files if wanted and (one.name == wanted or one.mark.startswith(wanted.casefold()))]
    standing = [one for one in found if one.undone is None]
    if not found:
        known = ", ".join(dict.fromkeys(one.name for one in files if one.undone is None)) or "none"
        raise Refused(f"no file {text} was booked; files whose entries stand: {known}")
    if not standing:
        raise Refused(f"{found[-1].name} of {found[-1].when.date()} was undone already")
    if len({one.mark for one in standing}) > 1:
        which = " or ".join(f"{one.mark[:SHORT]} ({one.when:%Y-%m-%d %H:%M} UTC)" for one in standing)
        raise Refused(f"several files {text} were booked: name one by its mark, {which}")
    return standing[-1]


def _moves_undone(shop: Shop, taken: TakenFile, when: datetime, why: str) -> int:
    entries, undone = moves_between(shop.session, *taken.moves)
    standing = [m for m in entries if m.counters is None and m.sequence not in undone and _moves_pieces(m)]
    try:
        add_moves(shop.session, [reversal(m, when=when, reason=why) for m in reversed(standing)])
    except Refused as refused:
        raise Refused(f"{taken.name} cannot be undone any more: {refused}") from None
    return len(standing)


def _moves_pieces(move: Move) -> bool:
    return move.kind not in (MoveKind.SHIFT, MoveKind.INSPECT)


def _orders_undone(shop: Shop, taken: TakenFile, when: datetime) -> int:
    entered = {(o.number, o.part_number) for o in entered_between(shop.session, *taken.orders)}
    if came := sorted(key for key in entered if came_of(shop.session, *key)):
        said = ", ".join(f"{part} of order {number} came" for number, part in came)
        raise Refused(f"{taken.name} cannot be undone any more: {said}; bom stock call-off takes the rest off")
    still = [one for one in shop.on_order if (one.number, one.part_number) in entered]
    for one in still:
        add_order(shop.session, replace(one, quantity=-one.quantity), when, "called off")
    return len(still)


def _past_undone(shop: Shop, taken: TakenFile) -> int:
    if taken.kind != PAST:
        return 0
    rows = rows_of(shop.session, taken.name)
    take_past_usage(shop.session, taken.name, ())
    return rows
