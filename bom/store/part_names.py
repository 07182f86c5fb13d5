"""What each part is called here: its number alone, or its maker and number where two makers have the same number.

Tables keep number and maker apart. Everything above them knows a part by this one name, so that two makers' parts are
never counted, promised or bought as one.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from sqlalchemy import delete, func, insert, or_, select

from bom.store import tables as t
from bom.values.part_number import makers_and_numbers, normal

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

_NAMES = "part names"


class PartNames:
    """Names given to (number, maker) and taken apart again."""

    def __init__(self, shared: Iterable[tuple[str, str]] = ()) -> None:
        self._parts = {f"{maker} {number}": (number, maker) for number, maker in shared}
        self._names = {(normal(number), maker.casefold()): name for name, (number, maker) in self._parts.items()}
        self.shared_numbers = frozenset(number for number, _ in self._names)

    def name(self, number: str, maker: str) -> str:
        """The number, with its maker before it where another maker has that number too."""
        if not self._names:
            return number
        return self._names.get((normal(number), maker.casefold()), number)

    def part(self, name: str) -> tuple[str, str]:
        """(number, maker) of a name; a number that one maker has leaves the maker open, as ''."""
        return self._parts.get(name, (name, ""))

    @property
    def shared(self) -> frozenset[tuple[str, str]]:
        """(number, maker) of the parts whose number two makers have."""
        return frozenset(self._parts.values())

    def makers(self, number: str) -> list[str]:
        """The makers that share this number; none where it is one maker's or nobody's, or where it says whose."""
        if not self._parts or (wanted := normal(number)) not in self.shared_numbers:
            return []
        return [maker for other, maker in self._parts.values() if normal(other) == wanted]


def part_names(session: Session) -> PartNames:
    """The names in use, read once for a session and whenever the catalogue changed."""
    if _NAMES not in session.info:
        c = t.shared_numbers.c
        shared = session.execute(select(c.part_number, c.maker).order_by(c.maker, c.part_number))
        session.info[_NAMES] = PartNames((number, maker) for number, maker in shared)
    names: PartNames = session.info[_NAMES]
    return names


def parts_called(session: Session, texts: Iterable[str]) -> dict[str, list[tuple[str, str]]]:
    """Each text to (number, maker) of every relay and supply that it names, whoever makes it: a number, or maker and
    number. A text that names none is left out."""
    meant = {text: [(maker, normal(number)) for maker, number in makers_and_numbers(text)] for text in texts}
    wanted, relay = sorted({number for some in meant.values() for _, number in some}), t.relays.c
    of: dict[str, list[tuple[str, str]]] = {}
    columns = (relay.normal_number, relay.part_number, relay.maker)
    for first in range(0, len(wanted), _AT_ONCE):
        among = relay.normal_number.in_(wanted[first : first + _AT_ONCE])
        for called, number, maker in session.execute(select(*columns).where(among).order_by(relay.id)):
            of.setdefault(called, []).append((number, maker))
    for number, maker in session.execute(select(t.supplies.c.part_number, t.supplies.c.maker)):
        of.setdefault(normal(number), []).append((number, maker))
    read = {text: (_made_by(maker, of.get(number, ())) for maker, number in some) for text, some in meant.items()}
    found = {text: next(filter(None, ways), None) for text, ways in read.items()}
    return {text: parts for text, parts in found.items() if parts}


def _made_by(maker: str, parts: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    return [(number, whose) for number, whose in parts if maker.casefold() in ("", whose.casefold())]


_AT_ONCE = 2_000  # numbers asked for at once: databases bound how many values one question may hold


def part_and_maker(session: Session, name: str) -> tuple[str, str]:
    """(number, maker) to keep of a part by its name; '' where the catalogue does not say one maker."""
    number, maker = part_names(session).part(name)
    return number, maker or _sole_maker(session, number)


def _sole_maker(session: Session, number: str) -> str:
    tables = (t.relays, t.supplies)
    makers = {
        m for table in tables for m in session.scalars(select(table.c.maker).where(table.c.part_number == number))
    }
    return next(iter(makers)) if len(makers) == 1 else ""


def find_shared(session: Session) -> None:
    """Find out afresh which numbers two makers have. What is kept by part must follow: ``running_figures.mark_shared``
    sees to both."""
    relays, supplies = t.relays.c, t.supplies.c
    twice = select(relays.normal_number).group_by(relays.normal_number).having(func.count() > 1)
    supplied = [(n, m) for n, m in session.execute(select(supplies.part_number, supplies.maker))]
    among = or_(relays.normal_number.in_(twice), relays.normal_number.in_({normal(n) for n, _ in supplied}))
    parts = [(n, m) for n, m in session.execute(select(relays.part_number, relays.maker).where(among))]
    session.execute(delete(t.shared_numbers))
    if shared := _with_two_makers([*parts, *supplied]):
        session.execute(insert(t.shared_numbers), [{"part_number": n, "maker": m} for n, m in shared])
    session.info.pop(_NAMES, None)


def _with_two_makers(parts: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    by_number: dict[str, dict[tuple[str, str], None]] = {}
    for number, maker in parts:
        by_number.setdefault(normal(number), {})[number, maker] = None
    return [one for same in by_number.values() if len({m.casefold() for _, m in same}) > 1 for one in same]
