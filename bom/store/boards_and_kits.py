"""Boards and kits in the database, each kept whole as the document its file was read into.

With the kits stand those planned, what is in the bags made up, and what kits cost when last worked out.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy import func, insert, select

from bom.boards.board import Board
from bom.kits.kit import Kit, MadeUp
from bom.store import tables as t
from bom.store.catalogue import Changes
from bom.store.documents import all_filed, decode, encode, file_away, filed, forget
from bom.store.rows import moment_text
from bom.store.unit_of_work import take_turn
from bom.values.money import Money
from bom.values.problem import Refused

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


def take_board(session: Session, board: Board, digest: str = "") -> Changes:
    """Keep the board under its name; digest is that of its file."""
    return file_away(session, t.boards, board, digest)


def forget_board(session: Session, name: str) -> None:
    """Take the board of this name out again."""
    forget(session, t.boards, name)


def board(session: Session, name: str) -> Board | None:
    """The board of this name, or None."""
    return filed(session, t.boards, Board, name)


def boards(session: Session) -> tuple[Board, ...]:
    """Every board, by name."""
    return all_filed(session, t.boards, Board)


@dataclass(frozen=True, slots=True)
class KeptCost:
    """What a kit cost on a day: per kit, and each part's cost per kit by its line. None = was not known."""

    when: datetime
    basis: str
    batch: int
    per_kit: Money | None
    lines: tuple[tuple[str, str, Money | None], ...] = ()


def take_kit(session: Session, kit: Kit, digest: str = "") -> Changes:
    """Keep the kit under its name; digest is that of its file."""
    return file_away(session, t.kits, kit, digest)


def forget_kit(session: Session, name: str) -> None:
    """Take the kit of this name out again; what it once cost stays."""
    forget(session, t.kits, name)


def lots_of(session: Session, kit: str) -> tuple[str, ...]:
    """The numbers of the kit lots ever made of this kit."""
    lots = t.kit_lots.c
    return tuple(session.scalars(select(lots.number).where(lots.kit == kit).order_by(lots.number)))


def kit(session: Session, name: str) -> Kit | None:
    """The kit of this name, or None."""
    return filed(session, t.kits, Kit, name)


def kits(session: Session) -> tuple[Kit, ...]:
    """Every kit, by name."""
    return all_filed(session, t.kits, Kit)


def plan_kits(session: Session, kit: str, count: int, when: datetime, reason: str = "") -> int:
    """Add to the kits of this name that somebody means to make up (or take off, below 0); how many are planned now."""
    take_turn(session)
    planned = planned_kits(session).get(kit, 0) + count
    if planned < 0:
        raise Refused(f"only {planned - count} of {kit} are planned")
    number = (session.scalar(select(func.max(t.planned_kits.c.sequence))) or 0) + 1
    row = {"sequence": number, "moment": moment_text(when), "kit": kit, "count": count, "reason": reason}
    session.execute(insert(t.planned_kits), [row])
    return planned


def planned_kits(session: Session) -> dict[str, int]:
    """Kit to how many are planned and not made yet; none = left out."""
    c = t.planned_kits.c
    sums = session.execute(select(c.kit, func.sum(c.count)).group_by(c.kit).order_by(c.kit))
    return {kit: int(count) for kit, count in sums if count}


def planned_for(session: Session, kit: str, reason: str) -> int:
    """The sum of what was planned (or taken off, below 0) of a kit for this reason."""
    c = t.planned_kits.c
    return int(session.scalar(select(func.sum(c.count)).where(c.kit == kit, c.reason == reason)) or 0)


def keep_made(session: Session, made: MadeUp) -> None:
    """Add what is in the bags of a new kit lot."""
    take_turn(session)
    session.execute(insert(t.kit_lots), [{"number": made.number, "kit": made.kit, "document": encode(made)}])


def made_up(session: Session, number: str) -> MadeUp | None:
    """What is in the bags of this kit lot, or None."""
    found = session.scalar(select(t.kit_lots.c.document).where(t.kit_lots.c.number == number))
    return None if found is None else decode(MadeUp, found)


def keep_cost(session: Session, kit: str, cost: KeptCost) -> None:
    """Add what a kit costs now to what is known of its past."""
    take_turn(session)
    number = (session.scalar(select(func.max(t.kit_costs.c.sequence))) or 0) + 1
    row = {"sequence": number, "moment": moment_text(cost.when), "kit": kit, "basis": cost.basis, "batch": cost.batch}
    session.execute(insert(t.kit_costs), [{**row, "document": encode(cost)}])


def last_cost(session: Session, kit: str, basis: str, batch: int) -> KeptCost | None:
    """What the kit cost when it was last kept, worked out by the same basis for the same batch; None = never."""
    c = t.kit_costs.c
    mine = select(c.document).where(c.kit == kit, c.basis == basis, c.batch == batch)
    found = session.scalar(mine.order_by(c.sequence.desc()).limit(1))
    return None if found is None else decode(KeptCost, found)
