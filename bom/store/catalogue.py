"""The catalogue in the database: taken in whole, given back whole, narrowed and searched.

Taking the same catalogue again changes nothing; a row that reads differently replaces what was stored. Rows that a
catalogue does not mention stay.
"""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable, Mapping
from dataclasses import dataclass, fields
from itertools import groupby
from typing import Any, Generic, TypeVar

from sqlalchemy import ColumnElement, Table, bindparam, case, delete, func, insert, or_, select, update
from sqlalchemy.orm import Session

from bom.relays.catalogue import Catalogue
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.relay import Rating, Relay, SupplyKind, SupplyPart
from bom.relays.wiring import Element, Wiring
from bom.store import tables as t
from bom.store.rows import reader, row_of
from bom.values.part_number import normal
from bom.values.problem import Refused

K = TypeVar("K", bound=Hashable)
V = TypeVar("V")
P = TypeVar("P", Relay, SupplyPart)


@dataclass(frozen=True, slots=True)
class Changes:
    """How many things (relays, footprints, wirings, parts with ratings, supplies) were new, different or the same."""

    added: int = 0
    updated: int = 0
    unchanged: int = 0

    def __add__(self, other: Changes) -> Changes:
        return Changes(self.added + other.added, self.updated + other.updated, self.unchanged + other.unchanged)


@dataclass(frozen=True, slots=True)
class _News(Generic[K, V]):
    """What a catalogue brings, told apart by what is stored already."""

    added: dict[K, V]
    updated: dict[K, V]
    unchanged: int

    @property
    def all(self) -> dict[K, V]:
        return self.added | self.updated

    @property
    def changes(self) -> Changes:
        return Changes(len(self.added), len(self.updated), self.unchanged)


def _news(stored: Mapping[K, V], taken: Mapping[K, V]) -> _News[K, V]:
    added = {k: v for k, v in taken.items() if k not in stored}
    updated = {k: v for k, v in taken.items() if k in stored and stored[k] != v}
    return _News(added, updated, len(taken) - len(added) - len(updated))


def take_catalogue(session: Session, catalogue: Catalogue) -> Changes:
    """Store every thing in the catalogue within the caller's transaction: all of it or, on any error, nothing."""
    return (
        _take_footprints(session, catalogue.footprints)
        + _take_wirings(session, catalogue.wirings)
        + _take_parts(session, t.relays, _relays(session), catalogue.relays)
        + _take_ratings(session, catalogue.ratings)
        + _take_parts(session, t.supplies, _supplies(session), catalogue.supplies)
    )


def _take_footprints(session: Session, taken: Mapping[str, Footprint]) -> Changes:
    news = _news(_footprints(session), taken)
    _remove(session, t.footprints.c.name, news.updated)
    _add(session, t.footprints, [{"name": name, "view": f.view.value} for name, f in news.all.items()])
    _add(session, t.pins, _placed("footprint", {name: f.pins for name, f in news.all.items()}))
    return news.changes


def _take_wirings(session: Session, taken: Mapping[str, Wiring]) -> Changes:
    news = _news(_wirings(session), taken)
    _remove(session, t.wirings.c.name, news.updated)
    _add(session, t.wirings, [{"name": name} for name in news.all])
    _add(session, t.elements, _placed("wiring", {name: w.elements for name, w in news.all.items()}))
    return news.changes


def _take_ratings(session: Session, taken: Iterable[Rating]) -> Changes:
    """A part's ratings are replaced together: a data sheet's lines have no key of their own."""
    news = _news(_by_part(_ratings(session)), _by_part(taken))
    _remove(session, t.ratings.c.applies_to, news.updated)
    _add(session, t.ratings, _placed("applies_to", news.all))
    return news.changes


def _by_part(ratings: Iterable[Rating]) -> dict[str, tuple[Rating, ...]]:
    answer: dict[str, tuple[Rating, ...]] = {}
    for rating in ratings:
        answer[rating.applies_to] = (*answer.get(rating.applies_to, ()), rating)
    return answer


def _take_parts(session: Session, table: Table, stored: Iterable[P], taken: Iterable[P]) -> Changes:
    """Parts are known by maker and part number, and keep their row when what is said of them changes."""
    news = _news(_by_number(stored), _by_number(taken))
    _add(session, table, [_part_row(table, part) for part in news.added.values()])
    _change(session, table, [_part_row(table, part) for part in news.updated.values()])
    return news.changes


def _by_number(parts: Iterable[P]) -> dict[tuple[str, str], P]:
    return {(p.maker, p.part_number): p for p in parts}


def _part_row(table: Table, part: Relay | SupplyPart) -> dict[str, Any]:
    search = {"normal_number": normal(part.part_number)} if "normal_number" in table.c else {}
    return row_of(part, **search)


def _placed(owner: str, things: Mapping[str, Iterable[Any]]) -> list[dict[str, Any]]:
    """Rows that keep their owner's name and their order."""
    return [row_of(p, **{owner: name, "place": i}) for name, parts in things.items() for i, p in enumerate(parts)]


def _add(session: Session, table: Table, rows: list[dict[str, Any]]) -> None:
    if rows:
        session.execute(insert(table), rows)


def _remove(session: Session, column: ColumnElement[str], names: Collection[str]) -> None:
    if names:
        table = column.table
        session.connection().execute(delete(table).where(column == bindparam("gone")), [{"gone": n} for n in names])


def _change(session: Session, table: Table, rows: list[dict[str, Any]]) -> None:
    if rows:
        same = (table.c.maker == bindparam("of_maker")) & (table.c.part_number == bindparam("of_number"))
        keyed = [{**r, "of_maker": r["maker"], "of_number": r["part_number"]} for r in rows]
        values: dict[str, Any] = {name: bindparam(name) for name in rows[0]}
        session.connection().execute(update(table).where(same).values(values), keyed)


def whole_catalogue(session: Session) -> Catalogue:
    """Everything taken so far, in the order in which it was first taken."""
    return _catalogue_of(session, _relays(session))


def candidates(
    session: Session,
    *,
    coil_volts: tuple[float, float] | None = None,
    coil_supply: SupplyKind | None = None,
    footprints: Collection[str] | None = None,
) -> Catalogue:
    """The catalogue narrowed to relays that may serve: coil volts from, to; this coil supply; one of these footprints.

    A relay that does not state a value stays in, since what is unknown is for the checks to say.
    """
    conditions = []
    if coil_volts is not None:
        conditions.append(_stated(t.relays.c.coil_volts, t.relays.c.coil_volts.between(*coil_volts)))
    if coil_supply is not None:
        conditions.append(_stated(t.relays.c.coil_supply, t.relays.c.coil_supply == coil_supply.value))
    if footprints is not None:
        conditions.append(t.relays.c.footprint.in_([*footprints, ""]))
    return _catalogue_of(session, _relays(session, *conditions))


def _stated(column: ColumnElement[Any], condition: ColumnElement[bool]) -> ColumnElement[bool]:
    return or_(column.is_(None), condition)


def _catalogue_of(session: Session, relays: tuple[Relay, ...]) -> Catalogue:
    return Catalogue(relays, _footprints(session), _wirings(session), _ratings(session), _supplies(session))


def find(
    session: Session, text: str = "", filters: Mapping[str, Any] | None = None, limit: int | None = 50
) -> tuple[Relay, ...]:
    """Relays whose part number holds this text however it is spelled, those that begin with it and shorter ones first.

    ``filters`` maps fields of a relay to the value wanted, for example ``{"coil_volts": 12, "maker": "Ostrel"}``.
    """
    wanted, number = normal(text).replace("-", ""), func.replace(t.relays.c.normal_number, "-", "")
    first = case((number.startswith(wanted, autoescape=True), 0), else_=1)
    conditions = [number.contains(wanted, autoescape=True), *_equal(filters or {})]
    rows = (
        select(*_fields(t.relays, Relay))
        .where(*conditions)
        .order_by(first, func.length(number), t.relays.c.id)
        .limit(limit)
    )
    return tuple(map(reader(Relay), session.execute(rows)))


def named(session: Session, part_number: str) -> tuple[Relay, ...]:
    """Every relay with this part number, whoever makes it and however it is spelled."""
    return _relays(session, t.relays.c.normal_number == normal(part_number))


def _equal(filters: Mapping[str, Any]) -> list[ColumnElement[bool]]:
    known = {f.name for f in fields(Relay)}
    if strange := sorted(set(filters) - known):
        raise Refused(f"a relay has no {', '.join(strange)}")
    return [t.relays.c[name] == getattr(value, "value", value) for name, value in filters.items()]


def _fields(table: Table, kind: type) -> list[ColumnElement[Any]]:
    return [table.c[f.name] for f in fields(kind)]


def _relays(session: Session, *conditions: ColumnElement[bool]) -> tuple[Relay, ...]:
    rows = select(*_fields(t.relays, Relay)).where(*conditions).order_by(t.relays.c.id)
    return tuple(map(reader(Relay), session.execute(rows)))


def _supplies(session: Session) -> tuple[SupplyPart, ...]:
    rows = select(*_fields(t.supplies, SupplyPart)).order_by(t.supplies.c.id)
    return tuple(map(reader(SupplyPart), session.execute(rows)))


def _ratings(session: Session) -> tuple[Rating, ...]:
    rows = select(*_fields(t.ratings, Rating)).order_by(t.ratings.c.applies_to, t.ratings.c.place)
    return tuple(map(reader(Rating), session.execute(rows)))


def _footprints(session: Session) -> dict[str, Footprint]:
    pins = _grouped(session, t.pins, t.pins.c.footprint, Pin)
    stored = session.execute(select(t.footprints.c.name, t.footprints.c.view).order_by(t.footprints.c.name))
    return {name: Footprint(name, pins.get(name, ()), View(view)) for name, view in stored}


def _wirings(session: Session) -> dict[str, Wiring]:
    elements = _grouped(session, t.elements, t.elements.c.wiring, Element)
    names = session.scalars(select(t.wirings.c.name).order_by(t.wirings.c.name))
    return {name: Wiring(name, elements.get(name, ())) for name in names}


def _grouped(session: Session, table: Table, owner: ColumnElement[str], kind: type[V]) -> dict[str, tuple[V, ...]]:
    """Owner to its parts, in their places."""
    rows = session.execute(select(owner, *_fields(table, kind)).order_by(owner, table.c.place))
    read = reader(kind)
    return {name: tuple(read(row[1:]) for row in parts) for name, parts in groupby(rows, lambda row: str(row[0]))}
