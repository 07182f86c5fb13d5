"""A file booked twice is noticed by its content, whatever its name; and all that one file booked is undone together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import fields, replace
from datetime import UTC, datetime
from decimal import Decimal
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from bom.stock.ledger import Move, MoveKind, reversal
from bom.values.problem import Refused

if TYPE_CHECKING:
    from bom.store.shop_files import TakenFile
    from bom.store.unit_of_work import Session

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


def must_be_new(session: Session, kind: str, name: str, mark: str, again: bool) -> None:
    """Refused where the content was booked before and stands, unless ``again`` says that it is meant."""
    same = [one for one in _standing(session, kind) if one.mark == mark]
    if same and not again:
        before = same[-1]
        raise Refused(
            f"{name} was booked before, on {before.when.date()}{_as(before, name)}; nothing was booked now. "
            f"--again books it once more, so that it counts twice; bom stock undo --file {mark[:SHORT]} takes the "
            "first one back"
        )


@contextmanager
def booked_once(session: Session, kind: str, name: str, mark: str, again: bool) -> Iterator[list[str]]:
    """Around the booking of a file: its entries are remembered as its own; gives notes to tell. Refused as by
    ``must_be_new``."""
    from bom.store.shop_files import keep_taken, last_entries

    must_be_new(session, kind, name, mark, again)
    named = [one for one in _standing(session, kind) if one.name == name and one.mark != mark]
    since = last_entries(session)
    yield [f"note: a file {name} with other content was booked on {one.when.date()}" for one in named[-1:]]
    keep_taken(session, kind, name, mark, datetime.now(UTC), since)


def _standing(session: Session, kind: str) -> list[TakenFile]:
    from bom.store.shop_files import taken_files

    return [one for one in taken_files(session) if one.undone is None and one.kind == kind]


def put_in_place_of(session: Session, kind: str, name: str, mark: str) -> bool:
    """Forget earlier files of this name, where the new one takes their place; whether the same content was among
    them."""
    from bom.store.shop_files import mark_undone

    earlier = [one for one in _standing(session, kind) if one.name == name]
    for one in earlier:
        mark_undone(session, one.number, datetime.now(UTC))
    return any(one.mark == mark for one in earlier)


def _as(before: TakenFile, name: str) -> str:
    return f" as {before.name}" if before.name != name else ""


def undo_file(session: Session, text: str, reason: str = "") -> list[str]:
    """Undo everything that a file booked, by counter-entries; ``text`` is its name, or the first characters of its
    mark. Refused where something rests on its entries: pieces that went on, orders of which something came."""
    from bom.store.shop_files import mark_undone

    taken, when = _file_meant(session, text), datetime.now(UTC)
    why = reason or f"undoes {taken.name}"
    moves = _moves_undone(session, taken, when, why)
    orders = _orders_undone(session, taken, when)
    past = _past_undone(session, taken)
    mark_undone(session, taken.number, when)
    said = [f"{moves} entries", f"{orders} order lines", f"{past} rows of past usage"]
    counts = [words for words, count in zip(said, (moves, orders, past), strict=True) if count]
    return [f"{taken.name} of {taken.when.date()} undone: {', '.join(counts) or 'nothing of it stood any more'}"]


def _file_meant(session: Session, text: str) -> TakenFile:
    from bom.store.shop_files import taken_files

    wanted = text.strip()
    files = taken_files(session)
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


def _moves_undone(session: Session, taken: TakenFile, when: datetime, why: str) -> int:
    from bom.store.shelf import add_moves, moves_between

    entries, undone = moves_between(session, *taken.moves)
    standing = [m for m in entries if m.counters is None and m.sequence not in undone and _moves_pieces(m)]
    try:
        add_moves(session, [reversal(m, when=when, reason=why) for m in reversed(standing)])
    except Refused as refused:
        raise Refused(f"{taken.name} cannot be undone any more: {refused}") from None
    return len(standing)


def _moves_pieces(move: Move) -> bool:
    return move.kind not in (MoveKind.SHIFT, MoveKind.INSPECT)


def _orders_undone(session: Session, taken: TakenFile, when: datetime) -> int:
    from bom.store.on_order import add_order, came_of, entered_between, on_order

    entered = {(o.number, o.part_number) for o in entered_between(session, *taken.orders)}
    if came := sorted(key for key in entered if came_of(session, *key)):
        said = ", ".join(f"{part} of order {number} came" for number, part in came)
        raise Refused(f"{taken.name} cannot be undone any more: {said}; bom stock call-off takes the rest off")
    still = [one for one in on_order(session) if (one.number, one.part_number) in entered]
    for one in still:
        add_order(session, replace(one, quantity=-one.quantity), when, "called off")
    return len(still)


def _past_undone(session: Session, taken: TakenFile) -> int:
    from bom.store.shop_files import rows_of, take_past_usage

    if taken.kind != PAST:
        return 0
    rows = rows_of(session, taken.name)
    take_past_usage(session, taken.name, ())
    return rows
