"""What was ordered and has not come yet, in the database: entries only added, so on order is always their sum."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from sqlalchemy import func, insert, select

from bom.stock.deliveries import Delivery
from bom.store import tables as t
from bom.store.part_names import part_and_maker, part_names
from bom.store.rows import moment_text
from bom.store.running_figures import follow_order
from bom.store.unit_of_work import take_turn
from bom.values.problem import Refused

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True)
class Ordered:
    """So much of a part that an order still has to bring; ``due`` None = no day was promised."""

    number: str
    supplier: str
    part_number: str
    quantity: Decimal
    due: date | None = None


def next_order_number(session: Session) -> str:
    """O and a number that no order has. Call it within ``work``."""
    take_turn(session)
    return f"O{(session.scalar(select(func.count(func.distinct(t.orders.c.number)))) or 0) + 1:05}"


def add_order(session: Session, ordered: Ordered, when: datetime, reason: str = "ordered") -> None:
    """Enter what was ordered; a negative quantity is what came of it or was called off. Refused below nothing."""
    take_turn(session)
    left = sum((o.quantity for o in on_order(session, ordered.part_number) if o.number == ordered.number), Decimal(0))
    if left + ordered.quantity < 0:
        part, number = ordered.part_number, ordered.number
        raise Refused(f"order {number} still has to bring {left} of {part}, found {-ordered.quantity}")
    row = _row(session, ordered, when, reason)
    session.execute(insert(t.orders), [row])
    follow_order(session, row)


def on_order(session: Session, part: str | None = None) -> tuple[Ordered, ...]:
    """What has not come yet, by order number and part; what is settled is left out."""
    c, names = t.orders_open.c, part_names(session)
    mine = [] if part is None else [c.part_number == names.part(part)[0]]
    rows = session.execute(select(t.orders_open).where(*mine).order_by(c.number, c.part_number, c.maker))
    found: dict[tuple[str, str, str], Ordered] = {}
    for number, supplier, part_number, maker, thousandths, due in rows:
        one = Ordered(number, supplier, names.name(part_number, maker), Decimal(int(thousandths)) / 1000, due)
        key = (number, supplier, one.part_number)
        found[key] = _with(found[key], one) if key in found else one
    return tuple(one for one in found.values() if one.quantity and part in (None, one.part_number))


def _with(one: Ordered, other: Ordered) -> Ordered:
    days = [day for day in (one.due, other.due) if day is not None]
    return replace(one, quantity=one.quantity + other.quantity, due=max(days, default=None))


def is_order(session: Session, number: str) -> bool:
    """Whether an order of this number was ever entered."""
    return session.scalar(select(t.orders.c.number).where(t.orders.c.number == number).limit(1)) is not None


def taken_for(session: Session, reason: str) -> tuple[str, ...]:
    """The orders entered for this reason of which something is still to come or came; called off ones don't count."""
    c = t.orders.c
    numbers = session.scalars(select(c.number).where(c.reason == reason).distinct().order_by(c.number))
    called = select(c.number, func.sum(c.thousandths)).where(c.reason.in_((reason, "called off"))).group_by(c.number)
    left = {number: int(total) for number, total in session.execute(called)}
    return tuple(number for number in numbers if left.get(number))


def entered_between(session: Session, first: int, last: int) -> tuple[Ordered, ...]:
    """What was ordered by the entries of these numbers."""
    c, called = t.orders.c, part_names(session).name
    mine = (c.sequence.between(first, last), c.thousandths > 0)
    rows = session.execute(select(c.number, c.supplier, c.part_number, c.maker, c.thousandths, c.due).where(*mine))
    return tuple(Ordered(n, s, called(p, m), Decimal(int(q)) / 1000, due) for n, s, p, m, q, due in rows)


def came_of(session: Session, number: str, part: str) -> Decimal:
    """How much of a part came on an order, less what turned out not to have come."""
    c, names = t.orders.c, part_names(session)
    reasons = ("came", NOT_AFTER_ALL)
    mine = (c.number == number, c.part_number == names.part(part)[0], c.reason.in_(reasons))
    rows = session.execute(select(c.part_number, c.maker, c.thousandths).where(*mine))
    return -sum((Decimal(int(q)) / 1000 for p, m, q in rows if names.name(p, m) == part), Decimal(0))


def settled_by(session: Session, part: str, when: datetime) -> tuple[Ordered, ...]:
    """What goods that came in at this moment took off which orders."""
    c, names = t.orders.c, part_names(session)
    mine = (c.part_number == names.part(part)[0], c.moment == moment_text(when), c.reason == "came")
    rows = session.execute(select(c.number, c.supplier, c.part_number, c.maker, c.thousandths, c.due).where(*mine))
    back = (Ordered(n, s, names.name(p, m), -Decimal(int(q)) / 1000, due) for n, s, p, m, q, due in rows)
    return tuple(one for one in back if one.part_number == part)


@dataclass(frozen=True, slots=True)
class Came:
    """Something that was ordered and came: how many days that took."""

    supplier: str
    part_number: str
    days: float


def lead_times(session: Session) -> tuple[Came, ...]:
    """How long each delivery took, from its order's first entry."""
    c, names = t.orders.c, part_names(session)
    columns = (c.number, c.part_number, c.maker, c.supplier, c.moment, c.reason)
    ordered: dict[tuple[str, str], datetime] = {}
    answer = []
    for number, part_number, maker, supplier, moment, reason in session.execute(select(*columns).order_by(c.sequence)):
        when, part = datetime.fromisoformat(moment), names.name(part_number, maker)
        begun = ordered.setdefault((number, part), when)
        if reason == "came":
            answer.append(Came(supplier, part, (when - begun).total_seconds() / 86400))
    return tuple(answer)


def deliveries(session: Session) -> list[Delivery]:
    """What came of every order and what has not come, each with the day for which it was promised last before that.
    What turned out not to have come, and what was called off, is no delivery."""
    c, names = t.orders.c, part_names(session)
    columns = (c.number, c.supplier, c.part_number, c.maker, c.thousandths, c.moment, c.due, c.reason)
    promised: dict[tuple[str, str], date | None] = {}
    came: dict[tuple[str, str], list[tuple[int, Delivery]]] = {}
    for number, supplier, part_number, maker, thousandths, moment, due, reason in session.execute(
        select(*columns).order_by(c.sequence)
    ):
        part = names.name(part_number, maker)
        key = (number, part)
        if reason == "came":
            day = date.fromisoformat(moment[:10])
            one = Delivery(supplier, number, part, promised.get(key, due), day)
            came.setdefault(key, []).append((-thousandths, one))
        elif reason == NOT_AFTER_ALL:
            _take_back(came.get(key, []), thousandths)
        elif thousandths > 0:
            promised[key] = due
    open_now = (Delivery(o.supplier, o.number, o.part_number, o.due, None) for o in on_order(session))
    return [*(one for some in came.values() for _, one in some), *open_now]


def _take_back(came: list[tuple[int, Delivery]], thousandths: int) -> None:
    """Leave out the last delivery of so much."""
    for place in reversed(range(len(came))):
        if came[place][0] == thousandths:
            del came[place]
            return


NOT_AFTER_ALL = "did not come after all"
"""Why an order's entry takes back that something came."""


def _row(session: Session, ordered: Ordered, when: datetime, reason: str) -> dict[str, object]:
    part_number, maker = part_and_maker(session, ordered.part_number)
    return {
        "sequence": (session.scalar(select(func.max(t.orders.c.sequence))) or 0) + 1,
        "moment": moment_text(when),
        "number": ordered.number,
        "supplier": ordered.supplier,
        "part_number": part_number,
        "maker": maker,
        "thousandths": int(ordered.quantity * 1000),
        "due": ordered.due,
        "reason": reason,
    }
