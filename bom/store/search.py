"""Finding relays by part number as people type it, by facts, and by a coil's reading in ohms.

A number is looked for inside the numbers stored; then as one that begins with a stored number; then with one
character wrong, missing, extra or changed places. Trigrams (three characters in a row) make that quick: SQLite's own
index of them, which every database here has (FTS5, SQLite 3.34 or later), or PostgreSQL's pg_trgm, without which
every number is read, which finds the same. By a reading every relay is left out that the reading can't be, and no
other.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from sqlalchemy import ColumnElement, and_, case, false, func, or_, select, text

from bom.duty.bench_reading import USUAL_REFERENCE_C, USUAL_TOLERANCE_PCT
from bom.duty.coil_heat import ratio
from bom.relays.relay import Relay, Suppression
from bom.store import tables as t
from bom.store.relay_rows import FIELDS, squeezed
from bom.store.rows import reader
from bom.values.part_number import normal, run_together, suggest

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


_NUMBER = t.relays.c.search_number
_SHORTEST_START = 4  # characters: a number that begins with less than that says nothing
_LIKELY = 2_000  # numbers looked at for one slip: the rarest trigrams keep it far below


Range = tuple[float | None, float | None]


@dataclass(frozen=True, slots=True)
class Facts:
    """What a relay must state: a word for a word, from and to for a number (None = open), drawings by their names.

    Capitals of a word make no difference. ``rated_words`` and ``rated`` are asked of one published rating, all
    together, whether that is for the part or for its series.
    """

    words: Mapping[str, str] = field(default_factory=dict)
    ranges: Mapping[str, Range] = field(default_factory=dict)
    rated_words: Mapping[str, Collection[str]] = field(default_factory=dict)
    rated: Mapping[str, Range] = field(default_factory=dict)
    footprints: Collection[str] | None = None
    wirings: Collection[str] | None = None

    def conditions(self) -> Iterator[ColumnElement[bool]]:
        for name, word in self.words.items():
            yield func.lower(t.relays.c[name]) == func.lower(word)
        for name, ends in self.ranges.items():
            yield from _between(t.relays.c[name], ends)
        if self.rated or self.rated_words:
            rated = select(t.ratings.c.applies_to).where(*self._of_one_rating())
            yield or_(t.relays.c.series.in_(rated), t.relays.c.part_number.in_(rated))
        for column, names in ((t.relays.c.footprint, self.footprints), (t.relays.c.wiring, self.wirings)):
            if names is not None:
                yield column.in_(names)

    def _of_one_rating(self) -> Iterator[ColumnElement[bool]]:
        for name, words in self.rated_words.items():
            yield t.ratings.c[name].in_(words)
        for name, ends in self.rated.items():
            yield from _between(t.ratings.c[name], ends)


def _between(column: ColumnElement[float], ends: Range) -> Iterator[ColumnElement[bool]]:
    low, high = ends
    yield column.is_not(None)
    if low is not None:
        yield column >= low
    if high is not None:
        yield column <= high


@dataclass(frozen=True, slots=True)
class Found:
    """Relays in the order of likeness, how many there are in all, and how the number was read."""

    relays: tuple[Relay, ...]
    total: int
    how: str


def find_relays(session: Session, typed: str, facts: Facts, limit: int) -> Found:
    """The relays that the text may mean and that state the facts, at most so many; the closest reading that has any."""
    wanted, stated = squeezed(normal(typed)), list(facts.conditions())
    for how, conditions in _readings(session, typed, wanted):
        found = _read(session, [*conditions, *stated], wanted, limit)
        if found.total:
            return Found(found.relays, found.total, how)
    return Found((), 0, "")


def _readings(session: Session, typed: str, wanted: str) -> Iterator[tuple[str, Iterable[ColumnElement[bool]]]]:
    """The ways to read what was typed, the closest first."""
    yield "as typed", _inside(session, wanted)
    if wanted:
        if len(typed.split()) > 1:
            yield "word by word", map(_word, typed.split())
        yield "as a longer form", _begun(session, wanted)
        yield "with one slip", _one_slip(session, wanted)


def _word(word: str) -> ColumnElement[bool]:
    """A word of the maker's name or a piece of the number, in whatever order they were typed."""
    by_maker = func.lower(t.relays.c.maker).contains(word.lower(), autoescape=True)
    piece = squeezed(normal(word))
    return or_(by_maker, _NUMBER.contains(piece, autoescape=True)) if piece else by_maker


def _read(session: Session, conditions: list[ColumnElement[bool]], wanted: str, limit: int) -> Found:
    total = session.scalar(select(func.count()).select_from(t.relays).where(*conditions)) or 0
    first = case((_NUMBER.in_([wanted]), 0), (_NUMBER.startswith(wanted, autoescape=True), 1), else_=2)
    order = (first, func.length(_NUMBER), _NUMBER, t.relays.c.maker)
    rows = select(*(t.relays.c[f] for f in FIELDS)).where(*conditions).order_by(*order).limit(limit)
    return Found(tuple(map(reader(Relay), session.execute(rows))) if total else (), total, "")


def _inside(session: Session, wanted: str) -> Iterable[ColumnElement[bool]]:
    if not wanted:
        return ()
    inside = _NUMBER.contains(wanted, autoescape=True)
    words = _trigrams(wanted)
    if not words or session.get_bind().dialect.name != "sqlite":
        return (inside,)
    return (_with_trigrams(" AND ".join(map(_quoted, _rarest(session, words, 3)))), inside)


def _begun(session: Session, wanted: str) -> Iterable[ColumnElement[bool]]:
    """Numbers that the text goes on from: a suffix that the catalogue does not know."""
    starts = [wanted[:n] for n in range(_SHORTEST_START, len(wanted))]
    numbers = session.scalars(select(t.relays.c.search_number).where(_NUMBER.in_(starts)).distinct()).all()
    longest = max(numbers, key=len, default=None)
    return (false(),) if longest is None else (longest == _NUMBER,)


def _one_slip(session: Session, wanted: str) -> Iterable[ColumnElement[bool]]:
    return (t.relays.c.part_number.in_(slips(session, wanted)),)


def slips(session: Session, typed: str, most: int = 20) -> list[str]:
    """Part numbers one slip away from the text, or alike to the eye, the likeliest first."""
    wanted = squeezed(normal(typed))
    likely = select(_NUMBER, t.relays.c.part_number).where(*_likely(session, wanted)).distinct().limit(_LIKELY)
    spelled: dict[str, list[str]] = {}
    for number, part_number in session.execute(likely):
        spelled.setdefault(number, []).append(part_number)
    likeliest = [wanted] * (wanted in spelled) + suggest(wanted, spelled, most)
    return [p for number in likeliest for p in spelled[number]][:most]


def run_together_as(session: Session, typed: str) -> list[str]:
    """Part numbers that the text is without their separators."""
    alike = select(t.relays.c.part_number).where(_NUMBER.in_([squeezed(normal(typed))])).distinct()
    return run_together(typed, session.scalars(alike.order_by(t.relays.c.part_number)))


def beginning(session: Session, typed: str, most: int) -> list[str]:
    """Part numbers that begin with the text, the shortest first, at most so many."""
    if not (wanted := squeezed(normal(typed))):
        return []
    c = t.relays.c
    begun = select(c.part_number, func.length(_NUMBER)).where(_NUMBER.startswith(wanted, autoescape=True)).distinct()
    return list(session.scalars(begun.order_by(func.length(_NUMBER), c.part_number).limit(most)))


def parts_typed(session: Session, typed: str, most: int) -> list[tuple[str, str]]:
    """(number, maker) of relays and supplies whose number begins with the text, or whose maker and number do."""
    wanted = " ".join(typed.casefold().split())
    relays = select(t.relays.c.part_number, t.relays.c.maker, t.relays.c.maker + " " + t.relays.c.part_number)
    supplies = select(t.supplies.c.part_number, t.supplies.c.maker, t.supplies.c.maker + " " + t.supplies.c.part_number)
    found: list[tuple[str, str]] = []
    for rows in (relays, supplies):
        number, _, both = rows.selected_columns
        begins = or_(*(func.lower(text).startswith(wanted, autoescape=True) for text in (number, both)))
        found += [(n, m) for n, m, _ in session.execute(rows.where(begins).order_by(number).limit(most))]
    return found[:most]


def _likely(session: Session, wanted: str) -> Iterable[ColumnElement[bool]]:
    """What shares enough with the text to be one slip away from it.

    A slip spoils at most four trigrams in a row (two characters that changed places), so of two that start five apart
    one survives; where the text is too short for that, five different ones do. Too short for that too, it is compared
    by its length and its ends.
    """
    length = (func.length(_NUMBER) >= len(wanted) - 1, func.length(_NUMBER) <= len(wanted) + 1)
    words = _trigrams(wanted)
    if len(words) < 5:
        return (*length, or_(*(_NUMBER.like(p, escape="\\") for p in _holed(wanted))))
    some = _rarest(session, words, 5)
    if session.get_bind().dialect.name == "sqlite":
        return (_with_trigrams(" OR ".join(map(_quoted, some))), *length)
    return (or_(*(_NUMBER.contains(word, autoescape=True) for word in some)), *length)


def _holed(wanted: str) -> list[str]:
    """The text with one character left open, added or left out, as patterns; swaps are two characters left open."""
    cut = [wanted[:i] + "_" + wanted[i + 1 :] for i in range(len(wanted))]
    added = [wanted[:i] + "_" + wanted[i:] for i in range(len(wanted) + 1)]
    missing = [wanted[:i] + wanted[i + 1 :] for i in range(len(wanted))]
    swapped = [wanted[:i] + wanted[i + 1] + wanted[i] + wanted[i + 2 :] for i in range(len(wanted) - 1)]
    return [p for p in (*cut, *added, *missing, *swapped) if p]


def _trigrams(wanted: str) -> list[str]:
    return list(dict.fromkeys(wanted[i : i + 3] for i in range(len(wanted) - 2)))


def _rarest(session: Session, words: list[str], count: int) -> list[str]:
    """The trigrams that fewest numbers have; on PostgreSQL the first, since it keeps no count."""
    if session.get_bind().dialect.name != "sqlite":
        return words[:count]
    counts = "SELECT term, doc FROM relay_trigram_counts WHERE term IN ({})"
    names = {f"w{i}": word.lower() for i, word in enumerate(words)}
    rows = session.execute(text(counts.format(", ".join(f":{n}" for n in names))), names)
    known = {row[0]: row[1] for row in rows}
    return sorted(words, key=lambda word: known.get(word.lower(), 0))[:count]


def _with_trigrams(asked: str) -> ColumnElement[bool]:
    inside = text("SELECT rowid FROM relay_trigrams WHERE relay_trigrams MATCH :trigrams").bindparams(trigrams=asked)
    return and_(t.relays.c.id.in_(inside.columns(t.relays.c.id)))


def _quoted(word: str) -> str:
    return '"' + word.replace('"', '""') + '"'


_ROUNDING = 1e-6  # a share: what is on the edge is left to the proof


def every_coil(session: Session) -> tuple[Relay, ...]:
    """Every relay: where the coil told nothing, it leaves none out."""
    return tuple(map(reader(Relay), session.execute(select(*(t.relays.c[n] for n in FIELDS)).order_by(t.relays.c.id))))


def coils_near(session: Session, ohms: float, at_c: float, times: float) -> tuple[Relay, ...]:
    """Relays whose stated coil is within so many times its tolerance of ``ohms`` read at ``at_c`` (copper's line).

    A coil with a suppression resistor beside it reads less than is stated of it, so it is left to the proof.
    ValueError where copper's line ends.
    """
    c = t.relays.c
    at_zero = ohms * ratio(at_c, 0.0)
    slope = ratio(0.0, 1.0) - 1.0  # copper's line is straight: so much more for every kelvin
    read = at_zero * (1.0 + slope * func.coalesce(c.coil_ref_temp_c, USUAL_REFERENCE_C))
    slack = times * func.coalesce(c.coil_ohms_tol_pct, USUAL_TOLERANCE_PCT) / 100.0 + _ROUNDING
    near = read.between(c.coil_ohms * (1.0 - slack), c.coil_ohms * (1.0 + slack))
    rows = select(*(c[name] for name in FIELDS)).where(or_(near, c.coil_suppression == Suppression.RESISTOR.value))
    return tuple(map(reader(Relay), session.execute(rows.order_by(c.id))))
