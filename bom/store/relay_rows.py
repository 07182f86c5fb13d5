"""Relays as rows: taken in by the million without holding them, and given back.

A row is a relay's values in the order of its fields, then what a search goes by: the number in its one spelling, the
kind, and the numbers of ``bom.match.search_facts``. Into an empty table rows go the driver's own way (COPY on
PostgreSQL) and indexes come last; otherwise each row is compared with what is stored.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import fields
from functools import lru_cache
from itertools import islice
from operator import itemgetter
from typing import TYPE_CHECKING, Any

from sqlalchemy import Index, bindparam, delete, func, insert, or_, select, text, update

from bom.match.search_facts import DERIVED, KIND, least_ohms_20, operate_volts_20, rated_amps, total
from bom.relays.relay import CoilSystem, Relay, SupplyKind
from bom.store import tables as t
from bom.store.marks import mark, marked, next_edition
from bom.store.rows import Changes
from bom.store.running_figures import mark_shared
from bom.values.part_number import normal

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

Values = tuple[Any, ...]
FIELDS = tuple(f.name for f in fields(Relay))
COLUMNS = (*FIELDS, "normal_number", "search_number", "kind", "rated_alone", *DERIVED)
_TOGETHER = 2_000  # rows compared at once: few enough to hold, many enough to be quick
_KIND_TEXTS = itemgetter(*map(FIELDS.index, KIND))
_at = FIELDS.index
_PULL_IN = itemgetter(_at("operate_volts"), _at("coil_ref_temp_c"))
_OHMS = itemgetter(_at("coil_ohms"), _at("coil_ohms_tol_pct"), _at("coil_ref_temp_c"))
_AMPS = itemgetter(_at("coil_volts"), _at("coil_ohms"))
_HEIGHT = itemgetter(_at("body_height_mm"), _at("standoff_mm"))
_NUMBER = FIELDS.index("part_number")


Changing = Callable[[Values, Values], None]
"""Hears the row that is stored and the one that takes its place, before it does."""


def take_rows(session: Session, rows: Iterable[Values], changing: Changing | None = None) -> Changes:
    """Store every row within the caller's transaction; what is said of a part already stored is replaced."""
    kinds, rated, stored = Kinds(session), rated_names(session), marked(session, "relays")
    completed = (complete(row, kinds, rated) for row in rows)
    changes = _take_into_stored(session, completed, changing) if stored else _take_into_empty(session, completed)
    kinds.keep()
    mark(session, "relays", stored + changes.added)
    return changes


def coils_of(session: Session, families: Collection[tuple[str, str]]) -> Iterator[Relay]:
    """One relay of each maker's series for each coil in it, with nothing but its name and its coil.

    Of relays with one coil the first and the last by number stand for all.
    """
    c = t.relays.c
    coil = (c.maker, c.series, c.coil_system, c.coil_supply, c.coil_volts, c.coil_ohms)
    asked = [key for key in sorted(families) if key[1]]
    for some in (asked[at : at + _TOGETHER] for at in range(0, len(asked), _TOGETHER)):
        alike = select(*coil, func.min(c.part_number), func.max(c.part_number))
        named = alike.where(c.series.in_({series for _, series in some}), c.coil_ohms.is_not(None)).group_by(*coil)
        for maker, series, system, supply, volts, ohms, *numbers in session.execute(named):
            for number in dict.fromkeys(numbers):
                yield Relay(
                    maker,
                    number,
                    series=series,
                    coil_system=system and CoilSystem(system),
                    coil_supply=supply and SupplyKind(supply),
                    coil_volts=volts,
                    coil_ohms=ohms,
                )


def rated_names(session: Session) -> frozenset[str]:
    """What ratings apply to: series, and part numbers."""
    return frozenset(session.scalars(select(t.ratings.c.applies_to).distinct()))


def mark_rated(session: Session) -> None:
    """Mark the relays that ratings name by their part number, taken after them."""
    rated = update(t.relays).where(t.relays.c.part_number.in_(select(t.ratings.c.applies_to)))
    session.connection().execute(rated.where(t.relays.c.rated_alone == 0).values(rated_alone=1))


def remove_relay(session: Session, maker: str, part_number: str) -> None:
    """Take one relay out again, with the ratings that name its part number alone."""
    c = t.relays.c
    found = session.execute(
        select(c.id, c.search_number).where(c.maker == maker, c.part_number == part_number)
    ).one_or_none()
    if found is None:
        return
    if session.get_bind().dialect.name == "sqlite":  # the index keeps no text, so it must be told what it forgets
        gone = "INSERT INTO relay_trigrams (relay_trigrams, rowid, search_number) VALUES ('delete', :id, :number)"
        session.execute(text(gone), {"id": found.id, "number": found.search_number})
    session.execute(delete(t.relays).where(c.id == found.id))
    shared = select(c.id).where(or_(c.part_number == part_number, c.series == part_number))
    if session.execute(shared.limit(1)).first() is None:
        session.execute(delete(t.ratings).where(t.ratings.c.applies_to == part_number))
    mark(session, "relays", marked(session, "relays") - 1)
    next_edition(session)
    mark_shared(session)


def complete(row: Values, kinds: Kinds, rated: frozenset[str]) -> Values:
    """The row with what a search goes by."""
    number = normal(row[_NUMBER])
    return (
        *row,
        number,
        squeezed(number),
        kinds.of(row),
        int(row[_NUMBER] in rated),
        _operate_volts(*_PULL_IN(row)),
        _least_ohms(*_OHMS(row)),
        rated_amps(*_AMPS(row)),
        total(*_HEIGHT(row)),
    )


# Coils repeat by the thousand, so what they come to is worked out once.
_operate_volts = lru_cache(maxsize=1 << 14)(operate_volts_20)
_least_ohms = lru_cache(maxsize=1 << 14)(least_ohms_20)


def squeezed(normal_number: str) -> str:
    """The spelling searched by: without the hyphens and dots that even the one spelling keeps between digits."""
    return normal_number.replace("-", "").replace(".", "")


class Kinds:
    """The combinations of words that relays come in, each with its number; new ones are stored by ``keep``."""

    def __init__(self, session: Session) -> None:
        self.session = session
        rows = session.execute(select(t.kinds.c.id, *(t.kinds.c[name] for name in KIND)))
        self.known: dict[Values, int] = {tuple(row[1:]): row[0] for row in rows}
        self.last = self.stored = max(self.known.values(), default=0)

    def of(self, row: Values) -> int:
        said = _KIND_TEXTS(row)
        return self.known.get(said) or self._plainly(said)

    def _plainly(self, said: Values) -> int:
        """Not stated is an empty text among kinds; the combination is then known as it was said, too."""
        plain = tuple(text or "" for text in said)
        if plain not in self.known:
            self.last += 1
            self.known[plain] = self.last
        self.known[said] = self.known[plain]
        return self.known[plain]

    def keep(self) -> None:
        new = {number: said for said, number in self.known.items() if number > self.stored and None not in said}
        if new:
            rows = [dict(zip(KIND, said, strict=True), id=number) for number, said in new.items()]
            self.session.execute(insert(t.kinds), rows)
            next_edition(self.session)


def _take_into_empty(session: Session, rows: Iterable[Values]) -> Changes:
    indexes = [i for i in t.relays.indexes if _plain(session, i)]
    _drop(session, indexes)
    before = _last_id(session)
    put = _copy if session.get_bind().dialect.name == "postgresql" else _write
    count = put(session, rows)
    _make(session, indexes)
    _search_by(session, before)
    return Changes(added=count)


def _plain(session: Session, index: Index) -> bool:
    """Whether the index can be made again from its table's description; PostgreSQL's by spelling has more to it."""
    return session.get_bind().dialect.name != "postgresql" or index.name != "ix_relays_normal_number"


def _write(session: Session, rows: Iterable[Values]) -> int:
    """SQLite: the driver takes the rows as they come."""
    marks = ", ".join("?" * len(COLUMNS))
    counted = _Counted(rows)
    connection: Any = session.connection().connection.driver_connection
    connection.execute("PRAGMA cache_size = -65536")  # 64 MB, so that indexes are sorted in few passes
    connection.executemany(f"INSERT INTO relays ({', '.join(COLUMNS)}) VALUES ({marks})", counted)
    return counted.count


def _copy(session: Session, rows: Iterable[Values]) -> int:
    """PostgreSQL: through COPY."""
    counted = _Counted(rows)
    connection: Any = session.connection().connection.driver_connection
    with connection.cursor() as cursor, cursor.copy(f"COPY relays ({', '.join(COLUMNS)}) FROM STDIN") as copy:
        for row in counted:
            copy.write_row(row)
    return counted.count


class _Counted:
    """Passes rows on and counts them."""

    def __init__(self, rows: Iterable[Values]) -> None:
        self.rows, self.count = rows, 0

    def __iter__(self) -> Iterator[Values]:
        for row in self.rows:
            self.count += 1
            yield row


def _take_into_stored(session: Session, rows: Iterable[Values], changing: Changing | None) -> Changes:
    changes, before = Changes(), _last_id(session)
    source = iter(rows)
    while some := list(islice(source, _TOGETHER)):
        changes += _compared(session, some, changing)
    _search_by(session, before)
    return changes


def _compared(session: Session, rows: list[Values], changing: Changing | None) -> Changes:
    stored = _stored(session, {row[_NUMBER] for row in rows})
    new = [row for row in rows if row[:2] not in stored]
    other = [(stored[row[:2]][0], row) for row in rows if row[:2] in stored and stored[row[:2]][1:] != row]
    if new:
        session.execute(insert(t.relays), [dict(zip(COLUMNS, row, strict=True)) for row in new])
    if changing:
        for _, row in other:
            changing(stored[row[:2]][1:], row)
    if other:
        values: dict[str, Any] = {name: bindparam(name) for name in COLUMNS}
        change = update(t.relays).where(t.relays.c.id == bindparam("of_id")).values(values)
        keyed = [dict(zip(COLUMNS, row, strict=True), of_id=number) for number, row in other]
        session.connection().execute(change, keyed)
    return Changes(len(new), len(other), len(rows) - len(new) - len(other))


def _stored(session: Session, numbers: set[str]) -> dict[Values, Values]:
    """(maker, part number) to the id and all values of what is stored under these numbers."""
    columns = [t.relays.c[name] for name in COLUMNS]
    rows = session.execute(select(t.relays.c.id, *columns).where(t.relays.c.part_number.in_(numbers)))
    return {tuple(row[1:3]): tuple(row) for row in rows}


def _last_id(session: Session) -> int:
    return session.scalar(select(func.max(t.relays.c.id))) or 0


def _drop(session: Session, indexes: Iterable[Index]) -> None:
    for index in indexes:
        index.drop(session.connection())


def _make(session: Session, indexes: Iterable[Index]) -> None:
    for index in indexes:
        index.create(session.connection())


def _search_by(session: Session, after: int) -> None:
    """New relays into the trigram index; PostgreSQL keeps its own."""
    if session.get_bind().dialect.name == "sqlite":
        rows = "SELECT id, search_number FROM relays WHERE id > :after"
        session.execute(text(f"INSERT INTO relay_trigrams (rowid, search_number) {rows}"), {"after": after})
