"""Necessary conditions as SQL: which relays meet them, in groups of one kind and series, and each group's best first.

A group's margin is the widest that any of its relays can come to by its facts alone. Everything asked is in one index,
so that no relay is read but those that are to be proved.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, NamedTuple

from sqlalchemy import select

from bom.match.match import LIFECYCLES
from bom.match.necessary_conditions import Condition, Limit, Margin, OneOf
from bom.match.search_facts import KIND
from bom.relays.relay import Rating, Relay
from bom.store import tables as t
from bom.store.relay_rows import FIELDS
from bom.store.rows import reader

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

_NAME = re.compile(r":(\w+)")

ENDLESS = 1e300
"""Stands for a margin that nothing narrows."""


@dataclass(frozen=True, slots=True)
class SeriesGroup:
    """Relays of one kind and series that meet the conditions; ``silent``: those that leave out what is asked for.

    ``margin`` is the widest of theirs, ``status`` the best, as a place in the order of lifecycles.
    """

    kind: int
    series: str
    alone: int
    silent: bool
    count: int
    margin: float
    status: int


class Shelved(NamedTuple):
    """A relay in stock or on offer that meets the conditions, by its id, and its margin by its facts alone."""

    id: int
    maker: str
    part_number: str
    margin: float


_LOOKED_UP = 5_000
"""Of so many relays each is looked up on the shelf by itself: some hundredths of a second."""


@dataclass(slots=True)
class Search:
    """The conditions on relays of these kinds (all of them, where there are none to choose by), ready to be asked."""

    session: Session
    conditions: tuple[Condition, ...]
    kinds: Collection[int]
    values: dict[str, Any] = field(default_factory=dict)
    written: dict[str, str] = field(default_factory=dict)
    ready: dict[tuple[int, str, int, bool], list[tuple[Relay, float]]] | None = None
    known: dict[int, Relay] = field(default_factory=dict)

    def groups(self) -> list[SeriesGroup]:
        """Every group that has a relay meeting the conditions; their counts add up to how many relays do."""
        if not self.kinds:
            return []
        silent, margin, status = self._silent(), self._margin(), _status_place()
        said, kept = f"CASE WHEN {silent} THEN {{}} END", f"CASE WHEN {silent} THEN NULL ELSE {{}} END"
        asked = (
            f"SELECT kind, series, rated_alone, count({kept.format('1')}), max({kept.format(margin)}),"
            f" min({kept.format(status)}), count({said.format('1')}), max({said.format(margin)}),"
            f" min({said.format(status)}) FROM relays {self._hint()}"
            f"WHERE {self._of_kinds()} AND {self._where()}"
            " GROUP BY kind, series, rated_alone"
        )
        return [group for row in self._run(asked) for group in _groups(row)]

    def best(self, group: SeriesGroup, count: int, after: int) -> list[tuple[Relay, float]]:
        """So many relays of the group with their margins, the widest first, after the first so many."""
        if self.ready is not None:
            return self.ready.get((group.kind, group.series, group.alone, group.silent), [])[after : after + count]
        silent = self._silent()
        asked = (
            f"SELECT {', '.join(FIELDS)}, {self._margin()} AS margin FROM relays {self._hint()}"
            f"WHERE kind = :kind AND series = :series AND rated_alone = :alone AND {self._where()} "
            f"AND {silent if group.silent else f'NOT ({silent})'} {self._widest_first()} LIMIT :count OFFSET :after"
        )
        rows = self._run(asked, kind=group.kind, series=group.series, alone=group.alone, count=count, after=after)
        read = reader(Relay)
        return [(read(row), row[-1]) for row in rows]

    def read_all(self) -> None:
        """Have every group ready at once: where few relays meet the conditions, one question costs less than many."""
        self.ready = {}
        asked = (
            f"SELECT {', '.join(FIELDS)}, id, kind, rated_alone, {self._silent()}, {self._margin()} AS margin "
            f"FROM relays {self._hint()}WHERE {self._of_kinds()} AND {self._where()} {self._widest_first()}"
        )
        read = reader(Relay)
        for row in self._run(asked) if self.kinds else ():
            relay, (number, kind, alone, silent, margin) = read(row), row[-5:]
            self.known[number] = relay
            self.ready.setdefault((kind, relay.series, alone, bool(silent)), []).append((relay, margin))

    def _widest_first(self) -> str:
        return f"ORDER BY margin DESC, {_status_place()}, maker, part_number"

    def _of_kinds(self) -> str:
        return f"kind IN ({', '.join(map(str, sorted(self.kinds)))})"

    def on_the_shelf(self, left: int) -> dict[SeriesGroup, list[Shelved]]:
        """Those in stock or on offer among the ``left`` relays that meet the conditions, as groups of their own, the
        widest margin first.

        Few are looked up on the shelf one by one; with many the shelf and the offers are gone through instead.
        """
        if not self.kinds:
            return {}
        if left <= _LOOKED_UP:
            known = "EXISTS (SELECT 1 FROM offers WHERE offers.normal_number = relays.normal_number) OR EXISTS"
            known += " (SELECT 1 FROM lots WHERE lots.part_number = relays.part_number)"
            among = f"{self._hint()}WHERE {self._of_kinds()} AND"
        else:
            known = "normal_number IN (SELECT normal_number FROM offers)"
            known += " OR part_number IN (SELECT part_number FROM lots)"
            among = "WHERE"
        asked = (
            f"SELECT kind, series, rated_alone, {self._silent()}, {_status_place()}, {self._margin()} AS margin,"
            f" id, maker, part_number FROM relays {among} ({known}) AND {self._where()} {self._widest_first()}"
        )
        kinds, found = set(self.kinds), dict[tuple[int, str, int, int], list[Any]]()
        for row in self._run(asked):
            if row[0] in kinds:
                found.setdefault((row[0], row[1], row[2], row[3]), []).append(row)
        return {
            SeriesGroup(kind, series, alone, bool(silent), len(rows), rows[0][5], min(row[4] for row in rows)): [
                Shelved(row[6], row[7], row[8], row[5]) for row in rows
            ]
            for (kind, series, alone, silent), rows in found.items()
        }

    def by_id(self, ids: Collection[int]) -> list[Relay]:
        """These relays, in no order; those that were read already are not read again."""
        if self.ready is not None:
            return [self.known[number] for number in ids]
        rows = self.session.execute(select(*(t.relays.c[f] for f in FIELDS)).where(t.relays.c.id.in_(ids)))
        return list(map(reader(Relay), rows))

    def nearest(self, kinds: Mapping[int, int], count: int) -> list[Relay]:
        """Relays of these kinds (each with how many of its words are wrong) that miss the fewest conditions, but one at
        least."""
        if not kinds:
            return []
        wrong = " + ".join(f"CASE WHEN {c} THEN 0 ELSE 1 END" for c in self._each()) or "0"
        words = " ".join(f"WHEN {kind} THEN {misses}" for kind, misses in kinds.items() if misses)
        misses = f"{wrong} + " + (f"CASE kind {words} ELSE 0 END" if words else "0")
        asked = (
            f"SELECT id FROM (SELECT id, {misses} AS misses FROM relays "
            f"WHERE kind IN ({', '.join(map(str, sorted(kinds)))})) AS judged "
            "WHERE misses > 0 ORDER BY misses, id LIMIT :count"
        )
        ids = [row[0] for row in self._run(asked, count=count)]
        rows = self.session.execute(select(*(t.relays.c[f] for f in FIELDS)).where(t.relays.c.id.in_(ids)))
        return list(map(reader(Relay), rows))

    def _run(self, asked: str, **values: Any) -> Any:
        """Straight to the driver, which both name their values in their own way: a page asks a dozen times."""
        every = self.values | values
        named = {name: every[name] for name in _NAME.findall(asked)}
        connection = self.session.connection()
        if connection.dialect.name != "sqlite":
            asked = _NAME.sub(r"%(\1)s", asked)
        return connection.exec_driver_sql(asked, named)

    def _hint(self) -> str:
        """SQLite chooses by guess unless told; everything asked lies in this index."""
        return "INDEXED BY ix_relays_narrow " if self._dialect() == "sqlite" else ""

    def _dialect(self) -> str:
        return self.session.connection().dialect.name

    def _once(self, name: str, write: Callable[[], str]) -> str:
        """SQL that stays the same for all that is asked: a page asks some dozens of times."""
        if name not in self.written:
            self.written[name] = write()
        return self.written[name]

    def _where(self) -> str:
        return self._once("where", lambda: " AND ".join(self._each()) or "1 = 1")

    def _each(self) -> list[str]:
        return [self._condition(c) for c in self.conditions if c.column not in KIND]

    def _condition(self, condition: Condition) -> str:
        column = condition.column
        if isinstance(condition, OneOf):
            names = [self._value(v) for v in sorted(condition.values)]
            return f"({column} IS NULL OR {column} = '' OR {column} IN ({', '.join(names) or 'NULL'}))"
        sign = ">=" if condition.least else "<="
        return f"({column} IS NULL OR {column} {sign} {self._value(condition.limit)})"

    def _value(self, value: Any) -> str:
        """The name under which the value is handed over."""
        name = next((n for n, v in self.values.items() if v == value and type(v) is type(value)), "")
        if not name:
            name = f"v{len(self.values):03}"
            self.values[name] = value
        return f":{name}"

    def _silent(self) -> str:
        return self._once("silent", self._write_silent)

    def _write_silent(self) -> str:
        asked = dict.fromkeys(c.column for c in self._limits() if c.asked)
        return "(" + (" OR ".join(f"{column} IS NULL" for column in asked) or "1 = 0") + ")"

    def _margin(self) -> str:
        return self._once("margin", self._write_margin)

    def _write_margin(self) -> str:
        rooms = dict.fromkeys(self._room(c) for c in self._limits() if c.margin is not None)
        least = "min" if self._dialect() == "sqlite" else "least"
        return f"{least}({', '.join(f'coalesce({r}, {ENDLESS})' for r in rooms)}, {ENDLESS}, {ENDLESS})".replace(
            "(, ", "("
        )

    def _room(self, limit: Limit) -> str:
        """The room between a relay's column and its limit in SQL, as ``Limit.room`` works it out in Python."""
        column, basis = limit.column, self._value(limit.basis)
        if limit.margin is Margin.NEED:
            return f"CASE WHEN {column} > 0 THEN {basis} / {column} - 1.0 END"
        room = f"({column} - {basis})" if limit.margin is Margin.SHARE else f"({basis} - {column})"
        return f"{room} / abs({basis})"

    def _limits(self) -> Iterable[Limit]:
        return (c for c in self.conditions if isinstance(c, Limit))


def _groups(row: Any) -> list[SeriesGroup]:
    kind, series, alone, stated, margin, status, silent, margin_silent, status_silent = row
    answer = [SeriesGroup(kind, series, alone, False, stated, margin, status)] if stated else []
    return answer + ([SeriesGroup(kind, series, alone, True, silent, margin_silent, status_silent)] if silent else [])


def _status_place() -> str:
    """A lifecycle's place in the order in which candidates are ranked."""
    said = " ".join(f"WHEN '{s.value}' THEN {i}" for i, s in enumerate(LIFECYCLES) if s)
    return f"CASE coalesce(status, '') {said} ELSE {LIFECYCLES.index(None)} END"


def kinds_of(session: Session, seats: Collection[tuple[str, str]]) -> dict[int, tuple[str, ...]]:
    """The kinds with one of these pairs of footprint and wiring: number to their words, in the order of ``KIND``."""
    footprints = sorted({footprint for footprint, _ in seats})
    columns = [t.kinds.c[name] for name in KIND]
    rows = session.execute(select(t.kinds.c.id, *columns).where(t.kinds.c.footprint.in_(footprints)))
    return {row[0]: tuple(row[1:]) for row in rows if (row[1], row[2]) in seats}


def all_seats(session: Session) -> list[tuple[str, str]]:
    """Every pair of footprint and wiring that a relay has."""
    pairs = select(t.kinds.c.footprint, t.kinds.c.wiring).distinct()
    return [(row[0], row[1]) for row in session.execute(pairs.order_by(t.kinds.c.footprint, t.kinds.c.wiring))]


def ratings_by_name(session: Session, names: Collection[str]) -> dict[str, tuple[Rating, ...]]:
    """Part number or series to its ratings, in their order; names without any are left out."""
    columns = [t.ratings.c[f] for f in Rating.__slots__]
    asked = select(*columns).where(t.ratings.c.applies_to.in_(set(names) - {""}))
    answer: dict[str, tuple[Rating, ...]] = {}
    for rating in map(reader(Rating), session.execute(asked.order_by(t.ratings.c.applies_to, t.ratings.c.place))):
        answer[rating.applies_to] = (*answer.get(rating.applies_to, ()), rating)
    return answer
