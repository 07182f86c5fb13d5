"""What a ledger that was tampered with or damaged would show: missing entries, entries undone twice, impossible sums,
running figures that are not what the entries come to, lost guards."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from sqlalchemy import func, or_, select, text

from bom.store import tables as t
from bom.store.part_names import part_names
from bom.store.running_figures import HELD, ON_HAND, RESERVED, Told, drifted, sum_of

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

GUARDS = ("lots_never_change", "lots_never_go", "moves_never_change", "moves_never_go")

_GUARDS_THERE = {
    "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger'",
    "postgresql": "SELECT tgname FROM pg_trigger WHERE tgrelid IN ('lots'::regclass, 'moves'::regclass)",
}


def ledger_faults(session: Session, told: Told = None) -> Iterator[str]:
    """One line for each fault; ``told`` hears how many entries have been read."""
    yield from _missing_entries(session)
    yield from _wrong_lots(session)
    yield from _undone_twice(session)
    yield from _overdelivered(session)
    yield from _impossible_sums(session)
    yield from drifted(session, told)
    yield from _lost_guards(session)


def _missing_entries(session: Session) -> Iterator[str]:
    """Entries are numbered 1, 2, 3 … by one writer at a time, so a gap is an entry that was taken out."""
    number = t.moves.c.sequence
    count, first, last = session.execute(select(func.count(), func.min(number), func.max(number))).one()
    if count and (first, last) != (1, count):
        yield f"the ledger has {count} entries numbered {first} to {last}: some are missing"


def _wrong_lots(session: Session) -> Iterator[str]:
    joined = select(t.moves.c.sequence, t.moves.c.lot).join(t.lots, t.lots.c.number == t.moves.c.lot)
    for sequence, lot in session.execute(joined.where(t.lots.c.part_number != t.moves.c.part_number)):
        yield f"entry {sequence} moves pieces of lot {lot}, which is of another part"


def _undone_twice(session: Session) -> Iterator[str]:
    undone = t.moves.c.counters
    counted = select(undone, func.count()).where(undone.is_not(None)).group_by(undone).having(func.count() > 1)
    for number, times in session.execute(counted):
        yield f"entry {number} is undone {times} times"


def _overdelivered(session: Session) -> Iterator[str]:
    """What is on order is never less than nothing."""
    c = t.orders.c
    left = select(c.number, c.part_number, func.sum(c.thousandths)).group_by(c.number, c.part_number, c.maker)
    for number, part, thousandths in session.execute(left):
        if thousandths < 0:
            yield f"order {number} brought {-int(thousandths) / 1000:g} more of {part} than was ordered"


def _impossible_sums(session: Session) -> Iterator[str]:
    """Parts and lots of which less than nothing is there: summed by the database, few of them to be read."""
    c, sums = t.moves.c, [sum_of(kinds) for kinds in (ON_HAND, RESERVED, HELD)]
    below = or_(*(one < 0 for one in sums))
    whose = func.coalesce(t.lots.c.maker, c.maker)
    parts: dict[str, list[int]] = {}
    of_parts = select(c.part_number, whose, *sums).outerjoin(t.lots, t.lots.c.number == c.lot)
    for number, maker, *some in session.execute(of_parts.group_by(c.part_number, whose)):
        kept = parts.setdefault(part_names(session).name(number, maker), [0, 0, 0])
        kept[:] = [before + int(more) for before, more in zip(kept, some, strict=True)]
    lots = session.execute(select(c.lot, *sums).where(c.lot.is_not(None)).group_by(c.lot).having(below))
    wrong = [("part", name, *some) for name, some in parts.items() if min(some) < 0] + [("lot", *row) for row in lots]
    for of, name, on_hand, reserved, held in wrong:
        yield f"{of} {name} comes to {_said(on_hand)} on hand, {_said(reserved)} reserved, {_said(held)} held"


def _said(thousandths: int) -> str:
    return f"{int(thousandths) / 1000:g}"


def _lost_guards(session: Session) -> Iterator[str]:
    there = set(session.scalars(text(_GUARDS_THERE[session.get_bind().dialect.name])))
    for guard in GUARDS:
        if guard not in there:
            yield f"the table's guard {guard} is gone: entries could be changed unseen"
