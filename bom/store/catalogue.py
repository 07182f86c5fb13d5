"""The catalogue in the database: taken in whole, given back whole, narrowed and searched.

Taking the same catalogue again changes nothing; a row that reads differently replaces what was stored. Rows that a
catalogue does not mention stay.
"""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass, fields
from itertools import groupby
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from sqlalchemy import ColumnElement, Table, bindparam, delete, func, insert, or_, select, update

from bom.relays.catalogue import Catalogue
from bom.relays.footprint import Footprint, Pin, View
from bom.relays.relay import Rating, Relay, SupplyPart
from bom.relays.wiring import Element, Wiring
from bom.store import tables as t
from bom.store.marks import next_edition
from bom.store.rows import Changes as Changes
from bom.store.rows import reader, row_of
from bom.values.part_number import makers_and_numbers, normal

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

K = TypeVar("K", bound=Hashable)
V = TypeVar("V")


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


def values_of(relay: Relay) -> tuple[Any, ...]:
    """A relay's values in the order of its fields, words instead of enum members."""
    return tuple(row_of(relay).values())


def take_all_but_relays(session: Session, catalogue: Catalogue) -> Changes:
    """The drawings, ratings and supplies, which are few beside the relays."""
    return (
        _take_footprints(session, catalogue.footprints)
        + _take_wirings(session, catalogue.wirings)
        + _take_ratings(session, catalogue.ratings)
        + _take_supplies(session, catalogue.supplies)
    )


def _few(names: Collection[str]) -> Collection[str] | None:
    """These names to ask about; None = ask about all, for which there are too many."""
    return names if len(names) <= _TOGETHER else None


def _take_footprints(session: Session, taken: Mapping[str, Footprint]) -> Changes:
    news = _news(_footprints(session, _few(taken)), taken)
    if news.all:
        next_edition(session)
    _remove(session, t.footprints.c.name, news.updated)
    _add(session, t.footprints, [_footprint_row(f) for f in news.all.values()])
    _add(session, t.pins, _placed("footprint", {name: f.pins for name, f in news.all.items()}))
    return news.changes


def _footprint_row(footprint: Footprint) -> dict[str, Any]:
    x, y = footprint.body_mm or (None, None)
    return {"name": footprint.name, "view": footprint.view.value, "body_x_mm": x, "body_y_mm": y}


def _take_wirings(session: Session, taken: Mapping[str, Wiring]) -> Changes:
    news = _news(_wirings(session, _few(taken)), taken)
    if news.all:
        next_edition(session)
    _remove(session, t.wirings.c.name, news.updated)
    _add(session, t.wirings, [{"name": name} for name in news.all])
    _add(session, t.elements, _placed("wiring", {name: w.elements for name, w in news.all.items()}))
    return news.changes


def _take_ratings(session: Session, taken: Iterable[Rating]) -> Changes:
    """A part's ratings are replaced together: a data sheet's lines have no key of their own."""
    lines = _by_part(taken)
    news = _news(_by_part(_ratings(session, *_among(t.ratings.c.applies_to, _few(lines)))), lines)
    _remove(session, t.ratings.c.applies_to, news.updated)
    _add(session, t.ratings, _placed("applies_to", news.all))
    return news.changes


def _by_part(ratings: Iterable[Rating]) -> dict[str, tuple[Rating, ...]]:
    answer: dict[str, tuple[Rating, ...]] = {}
    for rating in ratings:
        answer[rating.applies_to] = (*answer.get(rating.applies_to, ()), rating)
    return answer


def _take_supplies(session: Session, taken: Iterable[SupplyPart]) -> Changes:
    """Parts are known by maker and part number, and keep their row when what is said of them changes."""
    news = _news(_by_number(supplies(session)), _by_number(taken))
    _add(session, t.supplies, [row_of(part) for part in news.added.values()])
    _change(session, t.supplies, [row_of(part) for part in news.updated.values()])
    return news.changes


def _by_number(parts: Iterable[SupplyPart]) -> dict[tuple[str, str], SupplyPart]:
    return {(p.maker, p.part_number): p for p in parts}


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


def part_numbers(session: Session) -> tuple[str, ...]:
    """Every part number, of relays and of supplies."""
    return tuple(n for table in (t.relays, t.supplies) for n in session.scalars(select(table.c.part_number)))


def supply_numbers(session: Session) -> tuple[str, ...]:
    """The part number of every supply."""
    return tuple(session.scalars(select(t.supplies.c.part_number)))


def supplies(session: Session) -> tuple[SupplyPart, ...]:
    """Every supply, in the order in which it was first taken."""
    rows = select(*_fields(t.supplies, SupplyPart)).order_by(t.supplies.c.id)
    return tuple(map(reader(SupplyPart), session.execute(rows)))


def makers(session: Session) -> tuple[tuple[str, str], ...]:
    """(part number, maker) of relays and of supplies."""
    tables = (t.relays, t.supplies)
    return tuple((n, m) for table in tables for n, m in session.execute(select(table.c.part_number, table.c.maker)))


def statuses(session: Session) -> Iterator[tuple[str, str, str]]:
    """(part number, maker, lifecycle or empty) of every relay and supply."""
    for table in (t.relays, t.supplies):
        for number, maker, status in session.execute(select(table.c.part_number, table.c.maker, table.c.status)):
            yield number, maker, status or ""


def made_under(session: Session, normal_numbers: Collection[str]) -> list[tuple[str, str]]:
    """(part number, maker) of relays and of supplies that have one of these normal numbers."""
    c, wanted = t.relays.c, sorted(normal_numbers)
    supplied = session.execute(select(t.supplies.c.part_number, t.supplies.c.maker))
    found = [(n, m) for n, m in supplied if normal(n) in normal_numbers]
    for some in (wanted[n : n + _TOGETHER] for n in range(0, len(wanted), _TOGETHER)):
        found += [(n, m) for n, m in session.execute(select(c.part_number, c.maker).where(c.normal_number.in_(some)))]
    return found


def each_relay(session: Session) -> Iterator[Relay]:
    """Every relay in the order in which it was first taken, read as it is asked for: a million need little memory."""
    rows = select(*_fields(t.relays, Relay)).order_by(t.relays.c.id)
    return map(reader(Relay), session.execute(rows.execution_options(yield_per=_TOGETHER)))


_TOGETHER = 2_000  # relays read at once


def all_but_relays(session: Session) -> Catalogue:
    """Everything taken so far that is few beside the relays."""
    return _catalogue_of(session, ())


def whole_catalogue(session: Session) -> Catalogue:
    """Everything taken so far, in the order in which it was first taken."""
    return _catalogue_of(session, _relays(session))


def kept_of(session: Session, taken: Catalogue) -> Catalogue:
    """What is stored of the drawings that a catalogue brings and of the parts it rates, and every supply."""
    owners = _few({rating.applies_to for rating in taken.ratings})
    ratings = _ratings(session, *_among(t.ratings.c.applies_to, owners))
    drawn = _footprints(session, _few(taken.footprints)), _wirings(session, _few(taken.wirings))
    return Catalogue((), *drawn, ratings, supplies(session))


def catalogue_around(session: Session, relays: Collection[Relay], wirings: Collection[str] = ()) -> Catalogue:
    """These relays with their footprints, wirings and ratings, and the wirings named besides."""
    names = {name for r in relays for name in (r.part_number, r.series)} - {""}
    ratings = _ratings(session, t.ratings.c.applies_to.in_(names))
    drawn = drawings_named(session, [(r.footprint, r.wiring) for r in relays] + [("", name) for name in wirings])
    return Catalogue(tuple(relays), drawn.footprints, drawn.wirings, ratings)


def all_drawings(session: Session) -> Catalogue:
    """Every footprint and wiring, which are few beside the relays."""
    return Catalogue((), _footprints(session), _wirings(session))


def drawings_named(session: Session, seats: Collection[tuple[str, str]]) -> Catalogue:
    """The footprints and wirings of these pairs, those of them that there are."""
    footprints, wirings = {f for f, _ in seats} - {""}, {w for _, w in seats} - {""}
    return Catalogue(
        (), _footprints(session, footprints) if footprints else {}, _wirings(session, wirings) if wirings else {}
    )


def _catalogue_of(session: Session, relays: tuple[Relay, ...]) -> Catalogue:
    return Catalogue(relays, _footprints(session), _wirings(session), _ratings(session), supplies(session))


def relays_with(session: Session, column: str, value: str, most: int = 4) -> tuple[int, list[str]]:
    """How many relays state this, and the first few of them by maker and number."""
    mine = t.relays.c[column] == value
    count = session.scalar(select(func.count()).select_from(t.relays).where(mine)) or 0
    rows = session.execute(
        select(t.relays.c.maker, t.relays.c.part_number).where(mine).order_by(t.relays.c.id).limit(most)
    )
    return count, [f"{maker} {number}" for maker, number in rows]


def relays_of_series(session: Session, name: str) -> tuple[Relay, ...]:
    """The relays of every series of this name, of this maker, or of both; capitals make no difference."""
    maker, series = func.lower(t.relays.c.maker), func.lower(t.relays.c.series)
    wanted = name.strip().lower()
    return _relays(session, or_(maker == wanted, series == wanted, maker + " " + series == wanted))


def series_known(session: Session) -> tuple[tuple[str, str], ...]:
    """Every maker with each of its series."""
    pairs = select(t.relays.c.maker, t.relays.c.series).distinct().order_by(t.relays.c.maker, t.relays.c.series)
    return tuple((maker, series) for maker, series in session.execute(pairs))


def named(session: Session, part_number: str) -> tuple[Relay, ...]:
    """Every relay with this part number, however it is spelled and whoever makes it, unless the text says whose."""
    for maker, number in makers_and_numbers(part_number):
        relays = _relays(session, t.relays.c.normal_number == normal(number))
        if found := tuple(r for r in relays if maker.casefold() in ("", r.maker.casefold())):
            return found
    return ()


def named_any(session: Session, texts: Iterable[str]) -> tuple[Relay, ...]:
    """Every relay that may be meant by one of these texts: a number, or maker and number."""
    numbers = {normal(number) for text in texts for _, number in makers_and_numbers(text)}
    return _relays(session, t.relays.c.normal_number.in_(numbers))


def _fields(table: Table, kind: type) -> list[ColumnElement[Any]]:
    return [table.c[f.name] for f in fields(kind)]


def _relays(session: Session, *conditions: ColumnElement[bool]) -> tuple[Relay, ...]:
    rows = select(*_fields(t.relays, Relay)).where(*conditions).order_by(t.relays.c.id)
    return tuple(map(reader(Relay), session.execute(rows)))


def _ratings(session: Session, *conditions: ColumnElement[bool]) -> tuple[Rating, ...]:
    rows = select(*_fields(t.ratings, Rating)).where(*conditions).order_by(t.ratings.c.applies_to, t.ratings.c.place)
    return tuple(map(reader(Rating), session.execute(rows)))


def _footprints(session: Session, names: Collection[str] | None = None) -> dict[str, Footprint]:
    """All of them, or those with these names."""
    pins = _grouped(session, t.pins, t.pins.c.footprint, Pin, names)
    stored = select(t.footprints).where(*_among(t.footprints.c.name, names)).order_by(t.footprints.c.name)
    return {row.name: _footprint(row, pins.get(row.name, ())) for row in session.execute(stored)}


def _footprint(row: Any, pins: tuple[Pin, ...]) -> Footprint:
    middle = None if row.body_x_mm is None or row.body_y_mm is None else (row.body_x_mm, row.body_y_mm)
    return Footprint(row.name, pins, View(row.view), middle)


def _wirings(session: Session, names: Collection[str] | None = None) -> dict[str, Wiring]:
    """All of them, or those with these names."""
    elements = _grouped(session, t.elements, t.elements.c.wiring, Element, names)
    found = session.scalars(select(t.wirings.c.name).where(*_among(t.wirings.c.name, names)).order_by(t.wirings.c.name))
    return {name: Wiring(name, elements.get(name, ())) for name in found}


def _among(column: ColumnElement[str], names: Collection[str] | None) -> list[ColumnElement[bool]]:
    return [] if names is None else [column.in_(names)]


def _grouped(
    session: Session, table: Table, owner: ColumnElement[str], kind: type[V], names: Collection[str] | None
) -> dict[str, tuple[V, ...]]:
    """Owner to its parts, in their places."""
    parts_of = select(owner, *_fields(table, kind)).where(*_among(owner, names)).order_by(owner, table.c.place)
    read = reader(kind)
    grouped = groupby(session.execute(parts_of), lambda row: str(row[0]))
    return {name: tuple(read(row[1:]) for row in parts) for name, parts in grouped}
